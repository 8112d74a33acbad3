"""The looks: what a coach may look at, what it takes, and what comes back. One table; costs, doubts and gear: common
practice, no source, but where a doubt is put together below.

Sensors read the mean of the swings recorded, so the golfer's own scatter (`references.SCATTER`) over their root is in the
doubt. *With care*: errors of the mean of five swings of a careful calibration, root mean squares on simulated lessons (the
page of validation has the newest): flexion at most 1.7, roll 1.5, unsetting 1.0, face since address 0.8; with the scatter 2.2,
2.3, 1.5 and 1.4, the last with the face at address (2) 2.4. Grip through the address: η 5, 1.4 of flexion, face at address: 5.5.

*By a level*, degrees about the shaft: what the shape of the hand adds once it is zeroed flat on a table 1.0; laying the phone
on 2 and gripping anew 2, each of three times, 1.6; laying it on for the zero 1.3; the toe straight up 0.7; a grip held out is
not quite the grip of the shot 1.5; together 2.8. A photograph has no zero of the hand and a lens that stands off the shaft: 4.
"""

from dataclasses import dataclass
from typing import Final

from ferrule.coaching.case import Gear

USUAL_BEND_DEG: Final = 38.0
INTERRUPTION_S: Final = 90.0
"""What every look takes beside its own time: the lesson stops, it is said, set up, entered and talked over."""


@dataclass(frozen=True, slots=True)
class Look:
    """One thing to look at. cost_s: seconds of the lesson; needs: gear; sd_deg: doubt of the reading that comes back under
    the glossary key `key`; shows: observations that it brings, that of the key first, each with its doubt in degrees of
    what the model sees of it; question: what the coach asks or does; answers: label and value in degrees of `key` for
    answering with one tap.
    """

    name: str
    needs: Gear
    cost_s: float
    sd_deg: float
    key: str
    shows: tuple[tuple[str, float], ...]
    question: str
    how_to: str
    answers: tuple[tuple[str, float], ...] = ()

    @property
    def time_s(self) -> float:
        """Seconds of the lesson, the interruption with it."""
        return self.cost_s + INTERRUPTION_S


LOOKS: Final[tuple[Look, ...]] = (
    Look("ball_start", "ball", 60, 1.2, "ball.start_deg", (("ball_start", 1.2),), "Where does the ball start?",
         "Stand behind the ball and watch the first twenty metres of three balls.",
         (("Left", -4.0), ("Straight", 0.0), ("Right", 4.0))),
    Look("ball_curve", "ball", 60, 2.2, "ball.curve_deg", (("ball_curve", 2.2),), "Which way does it bend?",
         "Watch three balls to the end.", (("Left", -5.0), ("Hardly", 0.0), ("Right", 5.0))),
    Look("grip", "eye", 15, 7.0, "grip_turn_deg", (("grip_turn", 7.0),), "How is the lead hand set on the handle?",
         "Look face-on at address at the back of the lead hand.",
         (("Weak", -10.0), ("Neutral", 0.0), ("Strong", 10.0))),
    Look("grip_photo", "video", 45, 4.0, "grip_turn_deg", (("grip_turn", 4.0),),
         "How is the lead hand set, seen close?",
         "Photograph the grip face-on at address, then with the hand opened: the line of the handle across the palm shows the turn.",
         (("Weak", -10.0), ("Neutral", 0.0), ("Strong", 10.0))),
    Look("grip_level", "video", 75, 2.8, "grip_turn_deg", (("grip_turn", 2.8),),
         "How is the lead hand set, by the level of a phone?",
         "Phone on the back of the lead hand: zero it with the hand flat on a table; then club held out level, toe straight up, three"
         " fresh grips.",
         (("Weak", -10.0), ("Neutral", 0.0), ("Strong", 10.0))),
    Look("forward_bend", "eye", 20, 2.9, "posture.forward_bend_impact_deg", (("bend_lost", 3.3),),
         "At impact, is the golfer still bent over?", "Look from behind at the next ball.",
         (("Still down", 3.0), ("A little up", 8.0), ("Stood up", 16.0))),
    Look("handle", "video", 60, 2.0, "handle_raise_deg", (("handle", 2.0),),
         "How much steeper is the shaft at impact than at address?", "Film from behind, at hand height, on the ball.",
         (("The same", 0.0), ("A little", 3.0), ("A lot", 8.0))),
    Look("shaft_lean", "video", 60, 3.0, "shaft_lean_impact_deg", (("shaft_lean", 2.7),),
         "How far are the hands ahead at impact?", "Film face-on, square to the ball.",
         (("Behind", -4.0), ("Level", 0.0), ("A little ahead", 6.0), ("Far ahead", 12.0))),
    Look("shaft_lean_by_eye", "eye", 20, 4.5, "shaft_lean_impact_deg", (("shaft_lean", 4.0),),
         "Are the hands ahead of the ball at impact?", "Look face-on at the next ball.",
         (("Behind", -4.0), ("Level", 0.0), ("A little ahead", 6.0), ("Far ahead", 12.0))),
    Look("lead_wrist", "sensor", 90, 3.5, "wrist.impact.flexion_deg",
         (("impact_flexion", 3.5), ("impact_roll", 4.0), ("unset", 4.2), ("grip_address", 5.8), ("face_since_address", 4.0)),
         "What does the lead wrist read at impact?", "Put the sensors on and record three swings."),
    Look("lead_wrist_with_care", "sensor", 300, 2.2, "wrist.impact.flexion_deg",
         (("impact_flexion", 2.2), ("impact_roll", 2.3), ("unset", 1.5), ("grip_address", 5.5), ("face_since_address", 2.4)),
         "What does the lead wrist read, calibrated with care?",
         "Put the sensors on anew, take the calibration slowly, each pose along an edge, and record five swings."),
    Look("lead_wrist_by_eye", "eye", 20, 7.0, "wrist.impact.flexion_deg", (("impact_flexion", 7.0),),
         "Is the lead wrist cupped, flat or bowed at impact?", "Look face-on, just after the ball.",
         (("Cupped", -14.0), ("Flat", 0.0), ("Bowed", 12.0))),
    Look("forearm_roll", "sensor", 90, 4.0, "wrist.impact.forearm_roll_deg", (("impact_roll", 4.0),),
         "How far has the forearm rolled by impact?", "Put the sensors on and record three swings."),
    Look("aim", "eye", 20, 1.0, "aim_deg", (("aim", 1.0),), "Where do the feet and shoulders aim?",
         "Lay a club along the toes and look from behind.",
         (("Left", -4.0), ("Square", 0.0), ("Right", 4.0))),
    Look("path", "eye", 40, 3.0, "delivery.path_deg", (("path", 3.0),), "Where does the divot point?",
         "Look at three divots, or at a line of tees.", (("Left", -5.0), ("Straight", 0.0), ("Right", 5.0))),
    Look("wrist_at_address", "eye", 15, 7.0, "wrist.address.flexion_deg", (("grip_address", 6.3),),
         "How much is the lead wrist cupped at address?", "Look face-on before the swing.",
         (("Hardly", -5.0), ("Some", -15.0), ("A lot", -25.0))),
)  # fmt: skip

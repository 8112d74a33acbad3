"""The glossary: every quantity a case can hold, with key, unit, sign, default doubt, and what is possible at all.

One table for reader, model, screens and docs. Keys are those of the machine interface, with the unit in the key;
values of readings stay in that unit until the model takes them in. Default doubts: common practice, no source.
Ranges of the wrist: AAOS means (science.md B01-B06 quotes the goniometry text); 15 degrees beyond them a wrist reading
is more likely a sensor or mounting error (that margin: common practice, no source).
"""

from dataclasses import dataclass
from typing import Final, Literal

Frame = Literal["world", "body", "club", "none"]
Event = Literal["address", "takeaway", "top", "lead_arm_level_down", "shaft_level_down", "impact", "finish"]
EVENTS: Final[tuple[Event, ...]] = (
    "address",
    "takeaway",
    "top",
    "lead_arm_level_down",
    "shaft_level_down",
    "impact",
    "finish",
)
WRIST_MARGIN_DEG: Final = 15.0


@dataclass(frozen=True, slots=True)
class Quantity:
    """One entry of the glossary.

    key: dotted path inside a swing; sd: doubt of a bare typed number, in the unit of the key; low, high: outside these
    a value is refused; usual_low, usual_high: outside these it is accepted and remarked on; frame: `world` quantities
    change sign between a left- and a right-handed golfer; words: what it is and what + means.
    """

    key: str
    sd: float
    low: float
    high: float
    frame: Frame
    words: str
    usual_low: float | None = None
    usual_high: float | None = None
    sd_by_eye: float | None = None


_WRIST: Final = {
    # name: (default sd, AAOS low, AAOS high, words)
    "flexion_deg": (3.0, -70.0, 80.0, "lead-wrist flexion, + flexed (bowed), - extended (cupped)"),
    "ulnar_deviation_deg": (3.0, -20.0, 30.0, "ulnar deviation, + ulnar (unset), - radial (set)"),
}


def _wrist_quantities(prefix: str, side: str) -> list[Quantity]:
    rows = []
    for event in EVENTS:
        for name, (sd, low, high, words) in _WRIST.items():
            rows.append(
                Quantity(
                    f"{prefix}.{event}.{name}",
                    sd,
                    low - WRIST_MARGIN_DEG,
                    high + WRIST_MARGIN_DEG,
                    "body",
                    f"{side} {words.removeprefix('lead-')} at {event.replace('_', ' ')}",
                    low,
                    high,
                    7.0,
                )
            )
        rows.append(
            Quantity(
                f"{prefix}.{event}.forearm_roll_deg",
                3.0,
                -200.0,
                200.0,
                "body",
                f"{side} forearm roll since address at {event.replace('_', ' ')}, + supination",
                sd_by_eye=7.0,
            )
        )
    return rows


def _q(key: str, sd: float, low: float, high: float, frame: Frame, words: str, eye: float | None = None) -> Quantity:
    return Quantity(key, sd, low, high, frame, words, sd_by_eye=eye)


_ROWS: Final[list[Quantity]] = [
    *_wrist_quantities("wrist", "lead"),
    *_wrist_quantities("trail_wrist", "trail"),
    _q("forearm_shaft_angle_impact_deg", 4, 0, 90, "body", "angle between forearm and shaft at impact", 7),
    _q("shaft_lean_impact_deg", 3, -40, 60, "body", "shaft lean at impact seen face-on, + hands ahead", 4),
    _q("handle_raise_deg", 2, -25, 35, "body", "shaft steeper at impact than at address, + handle raised", 4),
    _q("posture.forward_bend_address_deg", 3, -10, 90, "body", "forward bend at address", 5),
    _q("posture.forward_bend_shaft_level_deg", 3, -20, 90, "body", "forward bend at shaft level down", 5),
    _q("posture.forward_bend_impact_deg", 3, -20, 90, "body", "forward bend at impact", 5),
    _q("body.chest_open_impact_deg", 5, -60, 120, "body", "chest turned open at impact, + towards the target", 10),
    _q("body.pelvis_open_impact_deg", 5, -60, 120, "body", "pelvis turned open at impact, + towards the target", 10),
    _q("leading_edge_tilt_shaft_level_deg", 5, -120, 150, "body", "leading edge at shaft level, + tilted forward", 7),
    _q("aim_deg", 1, -45, 45, "world", "aim of body and face line, + right of the target", 2),
    _q("face_address_deg", 2, -60, 60, "world", "face at address, + right of the aim", 3),
    _q("ball_position_m", 0.02, -0.6, 0.6, "none", "ball forward of this golfer's usual place, + forward", 0.03),
    _q("delivery.face_deg", 1, -60, 60, "world", "face at impact, + right of the target", 4),
    _q("delivery.path_deg", 1, -45, 45, "world", "path of the head at impact, + to the right", 3),
    _q("delivery.attack_deg", 1, -30, 30, "none", "attack angle, + upwards", 3),
    _q("delivery.delivered_loft_deg", 2, -10, 85, "none", "loft at impact", 4),
    _q("delivery.club_speed_mps", 1, 1, 75, "none", "speed of the head at impact", 4),
    _q("ball.start_deg", 1, -60, 60, "world", "start direction of the ball, + right of the target", 1.5),
    _q("ball.curve_deg", 2, -60, 60, "world", "landing direction less start direction, + bends right", 3),
    _q("ball.carry_m", 5, 0, 350, "none", "horizontal distance to landing", 12),
    _q("ball.side_m", 4, -200, 200, "world", "landing to the right of the target line", 8),
]
QUANTITIES: Final[dict[str, Quantity]] = {q.key: q for q in _ROWS}
FACE: Final = "delivery.face_deg"
GRIP_TURN: Final = Quantity(
    "grip_turn_deg", 3, -60, 60, "body", "grip turned on the handle, + strong (closes), - weak (opens)", sd_by_eye=7
)

STRIKES: Final = ("centre", "toe", "heel", "thin", "fat", "high", "low")
STARTS: Final = ("pull", "straight", "push")
SHAPES: Final = (
    "straight",
    "fade",
    "draw",
    "slice",
    "hook",
    "push",
    "pull",
    "push-fade",
    "push-draw",
    "push-slice",
    "push-hook",
    "pull-fade",
    "pull-draw",
    "pull-slice",
    "pull-hook",
)
FEEL_WORDS_MAX: Final = 200

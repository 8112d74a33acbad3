"""Who comes to Tarnlow, an invented practice ground. First names only; none of them lives."""

from typing import Final

from ferrule.app.demo.learners import NADIA, PIET
from ferrule.app.demo.script import Ball, DemoGolfer, DemoLesson, DemoTrial, File, Plan, RecordedBall
from ferrule.app.golfers import GolferFields

PLACE: Final = "Tarnlow practice ground"
FLIGHT_SEEN_M: Final = 190.0
SHAFT_LEVEL: Final = "wrist.shaft_level_down.flexion_deg"
TOP: Final = "wrist.top.flexion_deg"
IMPACT: Final = "wrist.impact.flexion_deg"
ADDRESS: Final = "wrist.address.flexion_deg"
BEND_ADDRESS: Final = "posture.forward_bend_address_deg"
HANDLE: Final = "handle_raise_deg"
BEND_IMPACT: Final = "posture.forward_bend_impact_deg"


def _ranges(flexion: float, extension: float, radial: float, ulnar: float, chest: float, hips: float) -> GolferFields:
    return {
        "wrist_flexion_range_deg": flexion,
        "wrist_extension_range_deg": extension,
        "wrist_radial_range_deg": radial,
        "wrist_ulnar_range_deg": ulnar,
        "forearm_supination_range_deg": 85.0,
        "forearm_pronation_range_deg": 80.0,
        "chest_turn_range_deg": chest,
        "hip_turn_range_deg": hips,
    }


TOMAS: Final = DemoGolfer(
    "Tomas", "right", "adult", "right", "left",
    goal="One miss instead of two. Would give ten yards for it.",
    told_before="Keep the head down. Roll the hands.",
    balls_a_week=150,
    ranges=_ranges(74, 66, 21, 31, 92, 44),
    lessons=(
        DemoLesson(
            39, 15, "Mat 4",
            balls=(Ball("push-fade", "centre"), Ball("pull-draw", "centre"), Ball("push-slice", "heel"),
                   Ball("straight", "centre"), Ball("pull-hook", "toe"), Ball("push-fade", "thin", aside="topped it")),
            notes=("Two-way miss with every club. Good contact, no pattern he can feel.",
                   "Cupped coming down, then everything at the last moment. Told him what we will look at first."),
            looks=(("aim", 0.0), ("grip", 0.0)),
            file=File("mat-4-first-look.csv", 318, "cupped_and_flipped",
                      (RecordedBall(5.2, 0.5), RecordedBall(-4.1, -0.5), RecordedBall(6.4, 1.0, "heel"),
                       RecordedBall(0.6, 0.0), RecordedBall(-3.0, 0.0, "toe"))),
        ),
        DemoLesson(
            18, 16, "Mat 2",
            balls=(Ball("push-fade", "centre"), Ball("pull-draw", "toe"), Ball("fade", "centre")),
            notes=("Has been rolling the hands harder since the last lesson: the left one got worse.",
                   "Bowing it from the top made sense to him at once. Slow rehearsals, then half balls."),
            looks=(("lead_wrist_by_eye", -14.0),),
            trial=DemoTrial(
                "flexed_in_transition", "rolled_late", "knuckles to the ground as the arms start down",
                "thumb to the sky after the ball",
                ("draw", "straight", "fade", "push-fade", "pull-draw", "pull-hook", "pull-draw", "push-fade", "straight",
                 "straight", "draw", "straight"),
                "The first one feels strange but quiet. The second is a lottery.", "a",
            ),
            plan=Plan("flexed_in_transition", "Knuckles to the ground as the arms start down",
                      "Pump drill: top, halfway down and stop, knuckles down, then hit. Ten slow, five half speed.",
                      "Ten cold balls with the 7-iron at the start of the next lesson.",
                      (SHAFT_LEVEL, -6.0, 4.0, 14.0)),
        ),
        DemoLesson(
            4, 15, "Mat 4",
            balls=(Ball("fade", "centre"), Ball("draw", "centre"), Ball("push-fade", "centre")),
            notes=("Cold balls first: the left one is gone, the right one is smaller.",
                   "Still cupped at the top. Fine, it is what happens next that counts."),
            looks=(("path", 0.0),),
            file=File("mat-4-cold-test.csv", 327, "rolled_late",
                      (RecordedBall(3.0, 0.5), RecordedBall(1.2, 0.0), RecordedBall(3.6, 0.5), RecordedBall(-0.8, 0.0))),
        ),
    ),
)  # fmt: skip

RUTH: Final = DemoGolfer(
    "Ruth", "right", "senior", "right", "straight",
    goal="Reach the greens of the short holes again.",
    told_before="You are lifting your head.",
    balls_a_week=60,
    pain=("low back",),
    ranges=_ranges(70, 62, 19, 28, 68, 29),
    lessons=(
        DemoLesson(
            32, 9, "Mat 1",
            balls=(Ball("push-fade", "centre", seen={BEND_ADDRESS: 40.0, BEND_IMPACT: 25.0}, filmed={HANDLE: 13.0}),
                   Ball("push-fade", "thin", filmed={HANDLE: 12.0}),
                   Ball("push-fade", "centre", filmed={HANDLE: 14.0}),
                   Ball("push-fade", "heel", aside="back caught her")),
            at_hand=("eye", "ball", "video", "sensor"),
            notes=("Back is stiff in the mornings, fine after walking. No more than thirty balls.",
                   "Wrist is fine all the way down. She stands up through the ball and the toe points down."),
            looks=(("aim", 0.0), ("grip", 0.0)),
            file=File("ruth-mat-1.csv", 405, "neutral",
                      (RecordedBall(4.6, 1.0), RecordedBall(3.8, 0.5), RecordedBall(5.4, 1.0, "thin"),
                       RecordedBall(4.2, 0.5)), handle_raise_deg=12.0, lean_deg=6.0),
        ),
        DemoLesson(
            11, 9, "Mat 1",
            balls=(Ball("push", "centre", seen={BEND_ADDRESS: 38.0, BEND_IMPACT: 29.0}, filmed={HANDLE: 7.0}),
                   Ball("straight", "centre", filmed={HANDLE: 5.0}),
                   Ball("push-fade", "thin")),
            notes=("Chair behind her: stays down in rehearsal, half of it with the ball.",
                   "Back felt better than last time. Kept it to twenty-five balls."),
            looks=(("shaft_lean_by_eye", 6.0), ("grip", 0.0)),
            at_hand=("eye", "ball", "video"),
            plan=Plan("posture", "Belt buckle stays behind the ball", "Ten rehearsals touching the chair, no ball.",
                      "Five balls with the chair, five without, same contact."),
        ),
    ),
)  # fmt: skip

KOFI: Final = DemoGolfer(
    "Kofi", "right", "adult", "left", "straight",
    goal="Lose the hook off the tee before the team match.",
    told_before="Weaken your grip. Tried it, shanked, went back.",
    balls_a_week=250,
    event="Team match", event_in_days=9,
    ranges=_ranges(82, 70, 24, 35, 104, 52),
    lessons=(
        DemoLesson(
            46, 17, "Mat 7",
            balls=(Ball("hook", "centre"), Ball("pull-hook", "centre"), Ball("draw", "centre"), Ball("push-hook", "toe")),
            notes=("Fast hands, strong. The bad one starts left and keeps going.",
                   "Three knuckles and bowed at the top. Either alone would be fine."),
            looks=(("aim", 0.0),),
            grip_deg=13.0,
            file=File("kofi-irons.csv", 518, "flexed_early",
                      (RecordedBall(-5.2, 1.5), RecordedBall(-4.4, 2.0), RecordedBall(-2.8, 1.5),
                       RecordedBall(-5.8, 1.0, "toe"))),
        ),
        DemoLesson(
            6, 17, "Mat 7",
            balls=(Ball("draw", "centre"), Ball("hook", "centre"), Ball("straight", "centre"), Ball("fade", "centre")),
            notes=("Match in two weeks: nothing new. One knuckle less, same swing.",
                   "Driver: aims right and lets it come back. Good enough for the match."),
            grip_deg=7.0,
            file=File("kofi-weaker-grip.csv", 533, "flexed_early",
                      (RecordedBall(-2.4, 1.5), RecordedBall(-1.2, 1.0), RecordedBall(-3.4, 1.5), RecordedBall(0.4, 1.0))),
            plan=Plan("grip", "Two knuckles, then play", "Grip the club ten times on the way to the range, check each.",
                      "Same ten cold balls after the match."),
        ),
    ),
)  # fmt: skip

ELENA: Final = DemoGolfer(
    "Elena", "right", "adult", "right", "left",
    goal="Hit a driver that does not end in the next fairway.",
    told_before="Close the face. Then everything went left.",
    balls_a_week=100,
    event="Autumn cup", event_in_days=24,
    ranges=_ranges(78, 70, 22, 33, 88, 40),
    device=("launch box", "delivery.path_deg", "right"),
    lessons=(
        DemoLesson(
            29, 11, "Mat 9",
            balls=(Ball("pull-slice", "centre", {"delivery.path_deg": -7.5}), Ball("pull-fade", "centre", {"delivery.path_deg": -6.0}),
                   Ball("pull-slice", "heel", {"delivery.path_deg": -8.0}), Ball("pull", "toe", {"delivery.path_deg": -6.5})),
            notes=("Face is close to square. It is the path: seven left, every time.",
                   "Told her why closing the face gave her the left one."),
            looks=(("aim", -4.0), ("grip", 0.0)),
            file=File("elena-7-iron.csv", 607, "neutral",
                      (RecordedBall(-1.0, -7.0), RecordedBall(0.4, -6.0), RecordedBall(-0.6, -8.0, "heel"),
                       RecordedBall(-1.6, -6.5, "toe"))),
        ),
        DemoLesson(
            8, 11, "Mat 9", club="driver",
            balls=(Ball("slice", "centre", {"delivery.path_deg": -6.5, "delivery.face_deg": -0.5}),
                   Ball("pull-slice", "heel", {"delivery.path_deg": -7.0, "delivery.face_deg": -1.0}),
                   Ball("fade", "centre", {"delivery.path_deg": -3.5, "delivery.face_deg": 0.5}, feel="swing to right field"),
                   Ball("straight", "centre", {"delivery.path_deg": -1.5, "delivery.face_deg": -1.0}, feel="swing to right field",
                        amount=2.0)),
            notes=("Feet aim left to make room for the slice, and so the slice stays. Squared up first.",
                   "With the feet square she sees the ball start left and still curve: as expected for a while."),
            looks=(("aim", -4.0),),
            plan=Plan("aim", "Feet to the flag, swing over second base", "Two tees as a gate, ten balls, half speed.",
                      "Ten drives: how many start right of the left tree?"),
        ),
    ),
)  # fmt: skip

JONAS: Final = DemoGolfer(
    "Jonas", "left", "adult", "right", None,
    goal="Stop closing it with the short irons.",
    told_before="Nothing yet, first lessons.",
    balls_a_week=80,
    ranges=_ranges(76, 68, 20, 30, 90, 41),
    lessons=(
        DemoLesson(
            36, 18, "Mat 3 (left)",
            balls=(Ball("pull-draw", "centre"), Ball("pull-hook", "centre"), Ball("pull", "centre"), Ball("draw", "toe")),
            notes=("Left-handed. The miss is to the right: face closed, contact is good.",
                   "Flat and bowed early, and the forearm keeps rolling. Grip is strong."),
            looks=(("aim", 0.0),),
            grip_deg=12.0,
            file=File("jonas-left-handed.csv", 716, "flexed_early",
                      (RecordedBall(-4.8, 0.5), RecordedBall(-5.6, 0.0), RecordedBall(-3.4, 0.0),
                       RecordedBall(-4.2, 1.0, "toe"))),
        ),
        DemoLesson(
            13, 18, "Mat 3 (left)",
            balls=(Ball("draw", "centre"), Ball("straight", "centre"), Ball("pull-draw", "centre"),
                   Ball("straight", "centre", feel="logo to the target for longer")),
            notes=("Holding the logo to the target took half of it away.", "Asked for a drill that needs no ball."),
            looks=(("wrist_at_address", -15.0),),
            grip_deg=6.0,
            plan=Plan("forearm_roll", "Logo looks at the target for longer", "Toe up, then through",
                      ""),
        ),
    ),
)  # fmt: skip

MIA: Final = DemoGolfer(
    "Mia", "right", "junior", "right", "straight",
    goal="Hit it as straight as her brother.",
    told_before="Swing harder.",
    balls_a_week=90,
    device=("wrist dial", TOP, "cups"),
    lessons=(
        DemoLesson(
            41, 14, "Short mat", club="8-iron", at_hand=("eye", "ball"),
            balls=(Ball("push-fade", "centre", {ADDRESS: 16.0, TOP: 21.0, IMPACT: 12.0}),
                   Ball("push", "heel", {ADDRESS: 15.0, TOP: 23.0, IMPACT: 10.0}),
                   Ball("push-fade", "centre", {ADDRESS: 17.0, TOP: 20.0, IMPACT: 13.0})),
            notes=("Eleven, very bendy, loves to hit it hard. No recordings until her father has agreed.",
                   "Numbers read off the dial: it goes up when the wrist cups."),
            looks=(("grip", -10.0),),
        ),
        DemoLesson(
            20, 14, "Short mat", club="8-iron", at_hand=("eye", "ball"),
            balls=(Ball("fade", "centre", {ADDRESS: 16.0, TOP: 19.0, IMPACT: 9.0}),
                   Ball("push-fade", "centre", {ADDRESS: 15.0, TOP: 20.0, IMPACT: 11.0}),
                   Ball("straight", "centre", {ADDRESS: 14.0, TOP: 17.0, IMPACT: 6.0}, feel="two knuckles")),
            notes=("Two knuckles instead of one. Said it feels like holding a bicycle.",),
            looks=(("grip", 0.0),),
            plan=Plan("grip", "Two knuckles, like the bicycle", "Hand on the line",
                      "Six balls at the red flag."),
        ),
        DemoLesson(
            5, 14, "Short mat", club="8-iron", at_hand=("eye", "ball"),
            balls=(Ball("straight", "centre", {ADDRESS: 15.0, TOP: 18.0, IMPACT: 7.0}),
                   Ball("fade", "thin", {ADDRESS: 15.0, TOP: 19.0, IMPACT: 8.0}),
                   Ball("straight", "centre", {ADDRESS: 16.0, TOP: 17.0, IMPACT: 5.0}),
                   Ball("push", "centre", aside="slipped on the wet mat")),
            notes=("Grip held without a word from me. Rested after every five.",),
        ),
    ),
)  # fmt: skip

PEOPLE: Final = (TOMAS, RUTH, KOFI, ELENA, JONAS, MIA, NADIA, PIET)

"""Two golfers of the invented practice ground who learn: one whose change lasts, one who has it in practice only."""

from typing import Final

from ferrule.app.demo.script import Ball, DemoGolfer, DemoLesson, Plan

ADDRESS: Final = "wrist.address.flexion_deg"
TOP: Final = "wrist.top.flexion_deg"
SHAFT_LEVEL: Final = "wrist.shaft_level_down.flexion_deg"
START: Final = "ball.start_deg"
CURVE: Final = "ball.curve_deg"
SCATTER: Final = (-1.9, 1.2, 0.3, -0.8, 2.3, -0.4, 1.4, -1.7, 0.6, -1.0)
"""From swing to swing, degrees, the same for everybody; invented."""


def _balls(
    count: int,
    key: str,
    level: float,
    start: float,
    curve: float,
    *,
    top: float = -16.0,
    shift: int = 0,
    feel: str | None = None,
) -> tuple[Ball, ...]:
    """Balls of one part of a lesson: the wrist read off the video, start and bend off the launch box."""
    out = []
    for i in range(count):
        off, other = SCATTER[(i + shift) % 10], SCATTER[(3 * i + shift + 4) % 10]
        begins, bends = start - 0.3 * off + 0.6 * other, curve - 0.2 * off + 0.8 * other
        filmed = {ADDRESS: -14.0 + 0.3 * other, TOP: top + 0.5 * other, key: level + off}
        read = {START: round(begins, 1), CURVE: round(bends, 1)}
        out.append(
            Ball(_seen(begins, bends), "centre", read, filmed={k: round(v) for k, v in filmed.items()}, feel=feel)
        )
    return tuple(out)


def _seen(start: float, curve: float) -> str:
    """What a coach behind the golfer would call it."""
    words = ["push" if start > 0 else "pull"] if abs(start) > 1.8 else []
    if abs(curve) > 2.0:
        words.append("fade" if curve > 0 else "draw")
    return "-".join(words) or "straight"


SEEN: Final = ("eye", "ball", "video")

NADIA: Final = DemoGolfer(
    "Nadia", "right", "adult", "right", None,
    goal="Trust the seven iron over water.",
    told_before="Turn the hands over. It came and went.",
    balls_a_week=120,
    device=("launch box", START, "right"),
    lessons=(
        DemoLesson(
            54, 10, "Mat 6", at_hand=SEEN,
            balls=_balls(8, SHAFT_LEVEL, -15.0, 5.0, 3.5),
            notes=("Cupped all the way down, ball starts right and fades. Same as on the course, she says.",),
        ),
        DemoLesson(
            47, 10, "Mat 6", at_hand=SEEN,
            balls=_balls(8, SHAFT_LEVEL, -14.0, 4.6, 3.2, shift=3),
            practice=_balls(6, SHAFT_LEVEL, -2.0, 1.4, 1.0, shift=6, feel="Stop with the shaft level"),
            notes=("Second look: the same again. Now we change it.", "Stopped at shaft level she sees it herself."),
            plan=Plan("flexed_in_transition", "Leading edge leaning like your back when the shaft is level",
                      "Stop with the shaft level", "", (SHAFT_LEVEL, -6.0, 4.0, 8.0)),
            says=(4, "Feels like I will hit the ground left."),
        ),
        DemoLesson(
            33, 10, "Mat 6", at_hand=SEEN, cold=True,
            balls=_balls(10, SHAFT_LEVEL, -4.0, 1.2, 0.8, shift=1),
            practice=_balls(6, SHAFT_LEVEL, 0.0, 0.6, 0.4, shift=8, feel="Stop with the shaft level"),
            notes=("Ten cold balls first. Most of it is there without a word.",),
            says=(6, "On the course with irons, yes. Under pressure, no."),
        ),
        DemoLesson(
            4, 10, "Mat 6", at_hand=SEEN, cold=True,
            balls=_balls(10, SHAFT_LEVEL, -3.0, 0.9, 0.6, shift=5),
            practice=_balls(5, SHAFT_LEVEL, -1.0, 0.5, 0.5, shift=2, feel="Stop with the shaft level"),
            notes=("Cold balls again, a month on: it has stayed.",),
            says=(8, "I do not think of it any more."),
        ),
    ),
)  # fmt: skip

PIET: Final = DemoGolfer(
    "Piet", "right", "adult", "right", "straight",
    goal="Take the range swing to the course.",
    told_before="It is all tempo.",
    balls_a_week=300,
    device=("launch box", START, "right"),
    lessons=(
        DemoLesson(
            51, 17, "Mat 2", at_hand=SEEN,
            balls=_balls(8, TOP, -17.0, 5.4, 3.8),
            notes=("Cupped at the top, ball starts right. Hits three hundred a week, fast.",),
        ),
        DemoLesson(
            44, 17, "Mat 2", at_hand=SEEN,
            balls=_balls(8, TOP, -16.0, 5.0, 3.6, shift=4),
            practice=_balls(8, TOP, -2.0, 0.8, 0.8, shift=7, feel="Face set by the top"),
            notes=("The same as last week. He had it within ten balls.",),
            plan=Plan("flexed_early", "The face looks more at the sky at the top", "Face set by the top", "",
                      (TOP, -6.0, 4.0, 6.0)),
            says=(9, "Easy."),
        ),
        DemoLesson(
            30, 17, "Mat 2", at_hand=SEEN, cold=True,
            balls=_balls(10, TOP, -16.0, 4.9, 3.5, shift=2),
            practice=_balls(8, TOP, -1.0, 0.6, 0.6, shift=1, feel="Face set by the top"),
            notes=("Cold: the old one. After five balls with me beside him: the new one.",),
            says=(7, "It is there as soon as I warm up."),
        ),
        DemoLesson(
            9, 17, "Mat 2", at_hand=SEEN, cold=True,
            balls=_balls(10, TOP, -15.0, 4.6, 3.4, shift=6),
            practice=_balls(8, TOP, -1.0, 0.5, 0.7, shift=9, feel="Face set by the top"),
            notes=("Cold again the old one. From now on less help, more silence, another target every ball.",),
            says=(5, "Only with you watching."),
        ),
    ),
)  # fmt: skip

"""Line drawings of the drills, one function each, drawn for a right-handed golfer and mirrored for a left-handed one.

Seen face-on, a right-handed golfer has the target on the right of the picture; seen from behind (the target ahead, away
from the eye) the golfer faces right; seen from above the target is up the page. No words inside: the caption says from
where it is seen.
"""

from collections.abc import Callable
from typing import Final

from ferrule.coaching.drills import Picture
from ferrule.sheet.ink import ACT, FAINT, INK, PAPER, SOFT, WASH, At, arrow, block, dot, ground, line, path, run, svg

WIDTH: Final = 320.0
HEIGHT: Final = 240.0
GROUND: Final = 222.0


def drill_picture(picture: Picture, left_handed: bool = False) -> str:
    """The drawing as SVG text."""
    drawn, label, seen = _PICTURES[picture]
    return svg(WIDTH, HEIGHT, f"{label}, seen {seen}", *drawn(), mirrored=left_handed)


def seen_from(picture: Picture) -> str:
    """From where the drawing is seen: "seen from behind"."""
    return f"seen {_PICTURES[picture][2]}"


def described(picture: Picture) -> str:
    """What the drawing shows, in words."""
    return f"{_PICTURES[picture][1]}, seen {_PICTURES[picture][2]}"


def _club(hands: At, head: At, toe: At, paint: str = SOFT) -> str:
    """Shaft and leading edge, the toe with a dot."""
    return line(hands, head, 2.2, paint) + line(head, toe, 7.0, INK) + dot(toe, 5.0, PAPER, INK, 2.5)


def _from_behind(hands: At, head_up: float = 0.0) -> list[str]:
    """A golfer bent over, seen from behind, facing right; arms to the hands."""
    hip, shoulder = At(96, 148), At(148, 78 - head_up)
    return [
        ground(WIDTH, GROUND),
        run(hip, At(116, 184), At(102, GROUND), At(120, GROUND)),
        run(hip, At(94, 186), At(80, GROUND), At(98, GROUND)),
        line(hip, shoulder, 3.5),
        dot(At(166, 58 - head_up), 14),
        run(shoulder, At((shoulder.x + hands.x) / 2 + 6, (shoulder.y + hands.y) / 2 + 4), hands, width=2.8),
    ]


def _face_on(hands: At, feet: float = 38.0, turn: float = 0.0) -> list[str]:
    """A golfer seen face-on, target to the right; turn: shoulders tilted, hips ahead."""
    left, right = At(134, 84 + turn), At(184, 84 - turn)
    hip = At(160 + turn, 142)
    return [
        ground(WIDTH, GROUND),
        dot(At(158, 50), 14),
        line(At(159, 66), hip, 3.5),
        line(left, right, 3.0),
        run(hip, At(160 - feet * 0.7, 182), At(160 - feet, GROUND), At(160 - feet - 14, GROUND)),
        run(hip, At(160 + feet * 0.75 + turn, 182), At(160 + feet, GROUND), At(160 + feet + 14, GROUND)),
        line(left, hands, 2.6),
        line(right, hands, 2.6),
    ]


def _stop_at_shaft_level() -> list[str]:
    hands, head = At(164, 150), At(226, 142)
    spine_like = (At(190, 192), At(262, 92))
    toe = At(head.x + 24, head.y - 34)
    heel = At(head.x - 8, head.y + 11)
    return [
        *_from_behind(hands),
        line(*spine_like, 1.8, FAINT, "2 7"),
        line(hands, head, 2.2, SOFT),
        line(heel, toe, 8.0, INK),
        dot(toe, 6.0, PAPER, INK, 2.5),
        path("M206 62 C 222 74, 230 86, 232 98", 2.5, ACT),
        run(At(223, 91), At(232, 99), At(236, 88), width=2.5, paint=ACT),
    ]


def _face_set_at_the_top() -> list[str]:
    hands, head = At(112, 52), At(66, 44)
    return [
        *_from_behind(hands),
        line(hands, head, 2.2, SOFT),
        line(At(74, 36), At(40, 66), 8.0, INK),
        dot(At(40, 66), 6.0, PAPER, INK, 2.5),
        arrow(At(52, 36), At(36, 16)),
    ]


def _toe_up_after() -> list[str]:
    hands, head = At(222, 136), At(282, 130)
    return [
        *_face_on(hands, turn=6),
        _club(hands, head, At(284, 102)),
        dot(At(176, GROUND - 6), 5, PAPER, INK, 2),
        path("M196 196 C 236 192, 262 176, 276 152", 2.2, ACT, "2 6"),
        line(At(300, 116), At(300, GROUND), 2.4, FAINT),
    ]


def _toe_up_before() -> list[str]:
    hands, head = At(164, 150), At(226, 146)
    toe, heel = At(head.x, head.y - 40), At(head.x, head.y + 13)
    return [
        *_from_behind(hands),
        line(At(head.x, 196), At(head.x, 84), 1.8, FAINT, "2 7"),
        line(hands, head, 2.2, SOFT),
        line(heel, toe, 8.0, INK),
        dot(toe, 6.0, PAPER, INK, 2.5),
        path("M262 172 C 272 150, 272 126, 262 106", 2.5, ACT),
        run(At(258, 117), At(261, 104), At(272, 111), width=2.5, paint=ACT),
    ]


def _gate() -> list[str]:
    ball = At(160, 200)
    return [
        dot(ball, 7, PAPER, INK, 2.5),
        arrow(At(160, 188), At(160, 26), 2.2),
        dot(At(128, 92), 5, INK),
        dot(At(192, 92), 5, INK),
        line(At(128, 92), At(128, 74), 3),
        line(At(192, 92), At(192, 74), 3),
        line(At(142, 212), At(178, 212), 7, INK),
        dot(At(178, 212), 5, PAPER, INK, 2.5),
        line(At(142, 212), At(96, 232), 2.2, SOFT),
    ]


def _wall_behind() -> list[str]:
    hip, shoulder = At(96, 148), At(148, 82)
    return [
        ground(WIDTH, GROUND),
        block(At(40, 30), At(66, GROUND), WASH, FAINT, 1.5),
        run(hip, At(118, 184), At(104, GROUND), At(122, GROUND)),
        run(hip, At(96, 186), At(82, GROUND), At(100, GROUND)),
        path("M96 148 C 78 148, 68 140, 68 128 C 70 112, 96 118, 110 130", 2.8, INK),
        line(hip, shoulder, 3.5),
        dot(At(166, 62), 14),
        run(At(146, 88), At(158, 118), At(134, 110), width=2.6),
        arrow(At(96, 136), At(72, 132), 2.4),
        dot(At(226, GROUND - 6), 6, PAPER, INK, 2.5),
        line(At(176, 74), At(220, 204), 1.6, FAINT, "2 7"),
    ]


def _towel() -> list[str]:
    hands = At(172, 150)
    return [
        *_face_on(hands, feet=30),
        path("M128 92 C 140 104, 178 104, 190 92 L 190 104 C 178 118, 140 118, 128 104 Z", 1.8, INK, fill=WASH),
        _club(hands, At(184, 214), At(198, 218)),
        path("M104 176 C 116 196, 140 206, 160 206", 2.2, ACT, "2 6"),
        path("M206 204 C 226 198, 240 186, 246 172", 2.2, ACT, "2 6"),
        run(At(237, 176), At(247, 170), At(250, 182), width=2.2, paint=ACT),
    ]


def _hand_on_the_line() -> list[str]:
    return [
        path("M40 108 L 292 84 C 304 84, 304 122, 292 124 L 40 140 Z", 2.6, INK, fill=PAPER),
        line(At(52, 122), At(286, 103), 2.2, ACT),
        path(
            "M120 62 C 104 84, 106 150, 128 176 C 156 190, 176 184, 182 168 C 190 132, 186 84, 172 58",
            3,
            INK,
            fill=PAPER,
        ),
        path("M120 62 C 128 50, 162 44, 172 58", 3, INK),
        line(At(110, 96), At(160, 92), 2),
        line(At(108, 120), At(164, 117), 2),
        line(At(112, 146), At(166, 144), 2),
        dot(At(146, 114), 7, ACT, ACT, 1),
        path("M212 60 C 196 66, 184 78, 168 96", 2.4, ACT),
        run(At(170, 84), At(167, 97), At(180, 95), width=2.4, paint=ACT),
    ]


def _feet_together() -> list[str]:
    hands = At(168, 148)
    return [
        *_face_on(hands, feet=9),
        _club(hands, At(180, 212), At(194, 216)),
        dot(At(202, GROUND - 5), 5, PAPER, INK, 2),
        line(At(136, 234), At(184, 234), 2.4, ACT),
    ]


def _rails() -> list[str]:
    return [
        line(At(196, 232), At(196, 20), 4, SOFT),
        line(At(120, 232), At(120, 60), 4, SOFT),
        arrow(At(196, 40), At(196, 16), 2.6),
        dot(At(184, 150), 7, PAPER, INK, 2.5),
        path("M82 118 L 98 118 C 114 118, 114 138, 98 138 L 82 138 Z", 2.4, INK, fill=WASH),
        path("M82 176 L 98 176 C 114 176, 114 196, 98 196 L 82 196 Z", 2.4, INK, fill=WASH),
        line(At(120, 150), At(176, 150), 1.8, FAINT, "2 7"),
    ]


def _slow_motion() -> list[str]:
    hands = At(170, 148)
    ghosts = [(At(112, 140), At(58, 132)), (At(118, 60), At(150, 18)), (At(126, 110), At(76, 72))]
    faint = [line(a, b, 2.0, FAINT) + line(b, At(b.x - 4, b.y - 13), 5.0, FAINT) for a, b in ghosts]
    return [
        *faint,
        *_face_on(hands),
        _club(hands, At(182, 212), At(196, 216)),
        path("M150 200 C 92 196, 50 158, 52 104", 2.2, ACT, "2 6"),
        run(At(45, 114), At(52, 102), At(60, 113), width=2.2, paint=ACT),
    ]


def _tee_ahead() -> list[str]:
    hands = At(184, 148)
    return [
        *_face_on(hands, turn=4),
        _club(hands, At(172, 212), At(186, 217)),
        dot(At(196, GROUND - 6), 6, PAPER, INK, 2.5),
        line(At(228, GROUND), At(228, GROUND - 9), 3.5, ACT),
        line(At(222, GROUND - 9), At(234, GROUND - 9), 3.5, ACT),
        path("M176 234 C 196 240, 216 240, 236 232", 2.2, ACT),
        run(At(226, 231), At(238, 231), At(231, 240), width=2.2, paint=ACT),
    ]


_Drawn = tuple[Callable[[], list[str]], str, str]
_PICTURES: Final[dict[Picture, _Drawn]] = {
    "stop_at_shaft_level": (_stop_at_shaft_level, "Stopped with the shaft level, the leading edge along the back", "from behind"),
    "face_set_at_the_top": (_face_set_at_the_top, "At the top with the face towards the sky", "from behind"),
    "toe_up_after": (_toe_up_after, "After the ball with the shaft level and the toe up", "face-on"),
    "toe_up_before": (_toe_up_before, "Stopped with the shaft level, the toe straight up", "from behind"),
    "gate": (_gate, "A ball, and a gate of two tees on the target line", "from above"),
    "wall_behind": (_wall_behind, "Bent over with the seat on a wall, looking at the ball", "from behind"),
    "towel": (_towel, "A towel across the chest, held under both arms", "face-on"),
    "hand_on_the_line": (_hand_on_the_line, "The mark on the glove on the line of the handle", "from above"),
    "feet_together": (_feet_together, "Feet together, the ball on a low tee", "face-on"),
    "rails": (_rails, "One stick at the ball to the target, one along the toes", "from above"),
    "slow_motion": (_slow_motion, "The swing in slow motion", "face-on"),
    "tee_ahead": (_tee_ahead, "A tee in the ground ahead of the ball, brushed by the club", "face-on"),
}  # fmt: skip

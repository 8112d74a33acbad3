"""A swing as line sketches, seen from behind and face-on, at one instant; `static/swing_sketch.js` moves the same lines.

Forearm, hand, shaft and leading edge are as measured and drawn in ink; the body is a usual one in thin lines, since nothing
of it was measured. From behind, the target is away from the eye and right is right; face-on, a right-handed golfer's target
is to the right. A left-handed golfer is the same drawing in the mirror.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Final, Literal

from ferrule.web.markup import Markup, tag
from ferrule.web.pictures.ink import Point, dot, line, stroke, svg

Spot = tuple[float, float, float]
"""A place in the target frame of a right-handed golfer, m: x to the target, y up, z towards the ball."""
View = Literal["behind", "face-on"]
VIEWS: Final[tuple[View, ...]] = ("behind", "face-on")
AXIS: Final = {"behind": 2, "face-on": 0}
SCALE: Final = 150.0
"""Picture units to the metre."""
MARGIN: Final = 0.14
SHOULDER, WRIST, GRIP, HEEL, TOE = range(5)
LIMBS: Final = (
    ("arm", SHOULDER, WRIST, 3.4, "ink"),
    ("hand", WRIST, GRIP, 6.5, "ink"),
    ("shaft", GRIP, HEEL, 2.2, "now"),
    ("edge", HEEL, TOE, 8.0, "now"),
)
"""Part, from, to, thickness, colour."""


@dataclass(frozen=True, slots=True)
class Stage:
    """What both sketches must hold: low and high corner in m, where the shoulder stands at address, how far the spine is
    bent forward, and whether it is drawn in the mirror.
    """

    low: Spot
    high: Spot
    shoulder: Spot
    spine_deg: float = 36.0
    left_handed: bool = False

    @property
    def sign(self) -> float:
        """-1 in the mirror."""
        return -1.0 if self.left_handed else 1.0

    def width(self, view: View) -> float:
        """Of the sketch, in picture units."""
        return (self.high[AXIS[view]] - self.low[AXIS[view]]) * SCALE

    @property
    def height(self) -> float:
        """Of both sketches, in picture units."""
        return (self.high[1] - self.low[1]) * SCALE

    def origin(self, view: View) -> Point:
        """Where the ball lies in the sketch."""
        axis = AXIS[view]
        left = self.low[axis] if self.sign > 0 else -self.high[axis]
        return Point(-left * SCALE, self.high[1] * SCALE)

    def place(self, spot: Spot, view: View) -> Point:
        """Where a place is drawn."""
        ball = self.origin(view)
        return Point(ball.x + self.sign * SCALE * spot[AXIS[view]], ball.y - SCALE * spot[1])


def stage_of(swings: Sequence[Sequence[Sequence[Spot]]], spine_deg: float, left_handed: bool) -> Stage:
    """A stage that holds every frame of one swing or two, and the body."""
    shoulder = swings[0][0][SHOULDER]
    spots = [spot for swing in swings for frame in swing for spot in frame]
    spots += [spot for part in body_of(shoulder, spine_deg).values() for spot in part]
    low, high = ([edge(spot[axis] for spot in spots) for axis in range(3)] for edge in (min, max))
    return Stage(
        (low[0] - MARGIN, -MARGIN, low[2] - MARGIN),
        (high[0] + MARGIN, high[1] + MARGIN, high[2] + MARGIN),
        shoulder,
        spine_deg,
        left_handed,
    )


def body_of(shoulder: Spot, spine_deg: float) -> dict[str, list[Spot]]:
    """A usual body about a lead shoulder: chains of places by part; `head` is the middle of the head and its crown."""
    x, y, z = shoulder
    bend = radians(spine_deg)
    neck = (x - 0.18, y + 0.03, z - 0.03)
    hip = (neck[0], neck[1] - 0.52 * cos(bend), neck[2] - 0.52 * sin(bend))
    head = (neck[0] - 0.01, neck[1] + 0.23 * cos(0.8 * bend), neck[2] + 0.23 * sin(0.8 * bend))
    chains = {
        "spine": [hip, neck],
        "collar": [neck, shoulder],
        "trail-collar": [neck, (x - 0.36, y - 0.02, z)],
        "head": [head, (head[0], head[1] + 0.105, head[2])],
    }
    for side, out in (("lead", 1.0), ("trail", -1.0)):
        at = hip[0] + 0.24 * out
        ankle = (at, 0.06, hip[2] + 0.02)
        knee = (hip[0] + 0.19 * out, 0.53, hip[2] + 0.16 - 0.03 * out)
        chains[f"{side}-leg"] = [
            hip,
            knee,
            ankle,
            (at + 0.03 * out, 0.0, hip[2] + 0.02),
            (at + 0.06 * out, 0.0, hip[2] + 0.24),
        ]
    return chains


def sketch(stage: Stage, view: View, points: Sequence[Spot], label: str, ghost: Sequence[Spot] | None = None) -> Markup:
    """The golfer at one instant: points as of `app.swing_frames.POINTS`; ghost: those of another swing, thin and dashed."""
    ball = stage.origin(view)
    wide = stage.width(view)
    return svg(
        wide,
        stage.height,
        label,
        line(Point(8, ball.y), Point(wide - 8, ball.y), 1.6, "rule"),
        *_body(stage, view, points[SHOULDER]),
        dot(Point(ball.x, ball.y - 5), 5, "sheet", "ink"),
        tag("g", *limbs(stage, view, ghost, thin=True), data_swing="ghost") if ghost is not None else None,
        tag("g", *limbs(stage, view, points), data_swing="own"),
        class_="sketch",
        data_view=view,
        data_axis=AXIS[view],
        data_x=round(ball.x, 2),
        data_y=round(ball.y, 2),
    )


def limbs(stage: Stage, view: View, points: Sequence[Spot], thin: bool = False) -> list[Markup]:
    """Arm, hand, shaft and leading edge with its dot at the toe."""
    at = [stage.place(spot, view) for spot in points]
    paint, dash = ("soft", "5 5") if thin else ("", None)
    drawn = [
        line(at[a], at[b], 1.8 if thin else width, paint or colour, dash, data_part=part)
        for part, a, b, width, colour in LIMBS
    ]
    drawn.append(dot(at[TOE], 4.5 if thin else 6.5, "paper", paint or "now", 1.8 if thin else 3, data_part="toe"))
    return drawn


def _body(stage: Stage, view: View, shoulder_now: Spot) -> list[Markup]:
    chains = body_of(stage.shoulder, stage.spine_deg)
    head, crown = (stage.place(spot, view) for spot in chains.pop("head"))
    collar = chains.pop("collar")
    if view == "behind":
        del chains["trail-collar"]
    drawn = [
        stroke(" ".join(f"{'L' if i else 'M'}{p.x:.1f} {p.y:.1f}" for i, p in enumerate(stage.place(s, view) for s in chain)), 1.8, "soft")
        for chain in chains.values()
    ]  # fmt: skip
    neck = stage.place(collar[0], view)
    return [
        *drawn,
        line(neck, stage.place(shoulder_now, view), 1.8, "soft", data_part="collar", data_body=True),
        dot(head, round(head.y - crown.y, 1), "paper", "soft", 1.8),
    ]

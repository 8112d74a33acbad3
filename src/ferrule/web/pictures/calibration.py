"""Line drawings of the calibration's steps: an arm with a sensor on forearm and hand, seen from the side or from above.

No words inside: the caption says from where it is seen. Drawn for the left arm of a right-handed golfer, mirrored for a
left-handed one.
"""

from collections.abc import Callable
from math import cos, pi, radians, sin
from typing import Final

from ferrule.web.markup import Markup, tag
from ferrule.web.pictures.ink import Point, dot, line, shape, stroke, svg

WIDTH: Final = 320.0
HEIGHT: Final = 200.0
TABLE: Final = 150.0


def calibration_picture(phase: str, left_handed: bool = False) -> Markup:
    """The drawing of one step."""
    drawn, label, seen = PICTURES[phase]
    turned = f"translate({WIDTH:g},0) scale(-1,1)" if left_handed else None
    return svg(WIDTH, HEIGHT, f"{label}, seen {seen}", tag("g", *drawn(), transform=turned))


def seen_from(phase: str) -> str:
    """As "seen from the side"."""
    return f"seen {PICTURES[phase][2]}"


def _table() -> list[Markup]:
    return [
        line(Point(24, TABLE), Point(296, TABLE), 3.0),
        line(Point(52, TABLE), Point(46, 192), 2.0, "soft"),
        line(Point(268, TABLE), Point(274, 192), 2.0, "soft"),
    ]


def _sensor(at: Point, angle: float = 0.0, strapped: bool = True) -> Markup:
    """A sensor, a small block with its strap, lying along `angle` degrees."""
    block = tag(
        "rect", x=-15, y=-9, width=30, height=18, rx=5, fill="var(--act)", stroke="var(--paper)", stroke_width=2,
    )  # fmt: skip
    strap = line(Point(0, -9), Point(0, 24), 3.0, "act") if strapped else None
    return tag("g", strap, block, transform=f"translate({at.x:g},{at.y:g}) rotate({angle:g})")


def _arm(elbow: Point, wrist: Point, hand: float, *, ghost: bool = False, thumb: bool = True) -> list[Markup]:
    """Forearm from elbow to wrist and a hand that leaves the wrist at `hand` degrees (0 in line, + up the page)."""
    paint = "soft" if ghost else "ink"
    dash = "2 6" if ghost else None
    along = _unit(elbow, wrist)
    side = Point(-along.y, along.x)
    out = [] if ghost else [
        shape(_outline(elbow, wrist, 19, 12), "sheet"),
        stroke(f"M{elbow.x - side.x * 19:.1f} {elbow.y - side.y * 19:.1f} L{wrist.x - side.x * 12:.1f} {wrist.y - side.y * 12:.1f}", 3.0),
        stroke(f"M{elbow.x + side.x * 19:.1f} {elbow.y + side.y * 19:.1f} L{wrist.x + side.x * 12:.1f} {wrist.y + side.y * 12:.1f}", 3.0),
    ]  # fmt: skip
    turn = radians(-hand)
    way = Point(along.x * cos(turn) - along.y * sin(turn), along.x * sin(turn) + along.y * cos(turn))
    across = Point(-way.y, way.x)

    def place(on: float, off: float) -> Point:
        return Point(wrist.x + on * way.x + off * across.x, wrist.y + on * way.y + off * across.y)

    a, b, c, d = place(0, -12), place(26, -15), place(74, -7), place(80, 0)
    e, f, g = place(74, 6), place(28, 13), place(0, 12)
    hand_path = (
        f"M{a.x:.1f} {a.y:.1f} Q{b.x:.1f} {b.y:.1f} {c.x:.1f} {c.y:.1f} Q{d.x + way.x * 4:.1f} {d.y + way.y * 4:.1f} {e.x:.1f} {e.y:.1f}"
        f" Q{f.x:.1f} {f.y:.1f} {g.x:.1f} {g.y:.1f}"
    )
    if not ghost:
        out.append(shape(hand_path, "sheet"))
    out.append(stroke(hand_path, 2.0 if ghost else 3.0, paint, dash))
    if thumb and not ghost:
        root, tip = place(14, 10), place(44, 22)
        out.append(
            stroke(
                f"M{root.x:.1f} {root.y:.1f} Q{place(30, 24).x:.1f} {place(30, 24).y:.1f} {tip.x:.1f} {tip.y:.1f}", 2.5
            )
        )
    return out


def _outline(a: Point, b: Point, wide: float, narrow: float) -> str:
    along = _unit(a, b)
    side = Point(-along.y, along.x)
    corners = [
        Point(a.x - side.x * wide, a.y - side.y * wide),
        Point(b.x - side.x * narrow, b.y - side.y * narrow),
        Point(b.x + side.x * narrow, b.y + side.y * narrow),
        Point(a.x + side.x * wide, a.y + side.y * wide),
    ]
    return "M" + " L".join(f"{p.x:.1f} {p.y:.1f}" for p in corners) + " Z"


def _unit(a: Point, b: Point) -> Point:
    dx, dy = b.x - a.x, b.y - a.y
    size = (dx * dx + dy * dy) ** 0.5
    return Point(dx / size, dy / size)


def _arc(middle: Point, rx: float, ry: float, start: float, end: float, *, both: bool = True) -> list[Markup]:
    """A turning arrow about a point, angles in degrees from the right, clockwise; heads at both ends or at the last."""
    steps = 24
    points = [
        Point(middle.x + rx * cos(t), middle.y + ry * sin(t))
        for t in (radians(start + (end - start) * i / steps) for i in range(steps + 1))
    ]
    path = " ".join(f"{'M' if i == 0 else 'L'}{p.x:.1f} {p.y:.1f}" for i, p in enumerate(points))
    out = [stroke(path, 2.5, "act"), _head(points[-3], points[-1])]
    return [*out, _head(points[2], points[0])] if both else out


def _head(before: Point, tip: Point) -> Markup:
    along = _unit(before, tip)
    size = 10.0
    left = Point(
        tip.x - size * (along.x * cos(pi / 7) - along.y * sin(pi / 7)),
        tip.y - size * (along.y * cos(pi / 7) + along.x * sin(pi / 7)),
    )
    right = Point(
        tip.x - size * (along.x * cos(pi / 7) + along.y * sin(pi / 7)),
        tip.y - size * (along.y * cos(pi / 7) - along.x * sin(pi / 7)),
    )
    return shape(f"M{tip.x:.1f} {tip.y:.1f} L{left.x:.1f} {left.y:.1f} L{right.x:.1f} {right.y:.1f} Z", "act")  # fmt: skip


def _table_rest() -> list[Markup]:
    out = _table()
    for x in (118.0, 202.0):
        out.append(
            stroke(
                f"M{x - 40:g} {TABLE - 3:g} Q{x - 22:g} {TABLE - 14:g} {x - 14:g} {TABLE - 10:g} M{x + 14:g} {TABLE - 10:g} Q{x + 24:g} {TABLE - 14:g} {x + 40:g} {TABLE - 3:g}",
                3.0,
                "act",
            )
        )
        out.append(_sensor(Point(x, TABLE - 11), strapped=False))
    return out  # fmt: skip


def _aim() -> list[Markup]:
    """From above, the target up the page: the golfer side on, the lead arm out along the line."""
    shoulders = [
        tag(
            "ellipse",
            cx=160,
            cy=166,
            rx=20,
            ry=46,
            fill="var(--sheet)",
            stroke="var(--ink)",
            stroke_width=3,
            transform="rotate(4 160 166)",
        ),
        dot(Point(164, 164), 15, "paper", "ink", 3),
    ]
    target = [
        stroke("M160 -4 L160 -26 L182 -20 L160 -13", 2.5, "soft"),
    ]
    arm = [
        *_arm(Point(160, 118), Point(160, 82), 0.0, thumb=True),
        _sensor(Point(160, 106), 90, strapped=False),
        _sensor(Point(160, 60), 90, strapped=False),
    ]
    return [tag("g", *target, *shoulders, *arm, transform="translate(40,22) scale(0.75)")]  # fmt: skip


def _flat(again: bool = False) -> list[Markup]:
    out = _table()
    elbow, wrist = Point(66, TABLE - 20), Point(176, TABLE - 14)
    out += _arm(elbow, wrist, 3.0, thumb=False)
    out += [_sensor(Point(146, TABLE - 30), 3, strapped=False), _sensor(Point(206, TABLE - 28), 3, strapped=False)]
    if again:
        out += [
            *_arc(Point(160, 58), 30, 26, -200, 60, both=False),
        ]
    return out


def _turning() -> list[Markup]:
    elbow, wrist = Point(62, 112), Point(176, 104)
    return [
        line(Point(20, 115), Point(300, 95), 1.8, "soft", "2 7"),
        stroke("M62 112 Q36 96 40 40", 3.0),
        *_arm(elbow, wrist, 0.0),
        _sensor(Point(148, 97), -4),
        _sensor(Point(206, 94), -4),
        *_arc(Point(116, 108), 17, 48, -60, 235),
    ]


def _bending() -> list[Markup]:
    elbow, wrist = Point(60, TABLE - 20), Point(182, TABLE - 15)
    out = [
        line(Point(24, TABLE), Point(190, TABLE), 3.0),
        line(Point(52, TABLE), Point(46, 192), 2.0, "soft"),
        line(Point(176, TABLE), Point(180, 192), 2.0, "soft"),
    ]
    out += _arm(elbow, wrist, 52.0, ghost=True, thumb=False)
    out += _arm(elbow, wrist, -48.0, ghost=True, thumb=False)
    out += _arm(elbow, wrist, 3.0, thumb=False)
    out += [_sensor(Point(148, TABLE - 30), 3, strapped=False), _sensor(Point(212, TABLE - 28), 3, strapped=False)]
    out += _arc(wrist, 104, 104, -44, 44)
    return [tag("g", *out, transform="translate(0,-32)")]


PICTURES: Final[dict[str, tuple[Callable[[], list[Markup]], str, str]]] = {
    "table_rest": (_table_rest, "Two sensors lying on a table", "from the side"),
    "aim": (_aim, "The lead arm straight out to the target", "from above"),
    "flat_hand": (_flat, "Forearm and hand flat on a table, palm down, wrist straight", "from the side"),
    "forearm_rotation": (_turning, "The forearm turning about its own length, wrist straight", "from the side"),
    "flexion_extension": (_bending, "The hand bending up and down over the edge, the forearm still", "from the side"),
    "flat_hand_end": (lambda: _flat(again=True), "The same flat hand once more", "from the side"),
}

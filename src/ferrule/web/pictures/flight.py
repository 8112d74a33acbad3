"""The ball's flight, seen from above: target up the page, so right is right for either hand.

The picture is not to scale sideways: it widens what happens by `WIDEN`, or less where the ball would leave the page.
"""

from dataclasses import dataclass
from math import hypot, radians, tan
from typing import Final

from ferrule.web.markup import Markup, join, tag
from ferrule.web.pictures.ink import Point, dot, length, line, shape, stroke, svg, words

WIDTH: Final = 354.0
HEIGHT: Final = 450.0
TEE: Final = Point(168.0, 372.0)
FLAG: Final = Point(168.0, 84.0)
WIDEN: Final = 2.4
EDGE: Final = 40.0


@dataclass(frozen=True, slots=True)
class Flight:
    """What a ball does. Degrees, + to the right of the target for either hand.

    start_deg: start direction; curve_deg: landing direction less start direction; landing_sd_deg: doubt or scatter of
    the landing direction; length_sd: scatter of the carry as a share of it; path_deg: path of the head, None unknown;
    title, start_words, landing_words, path_words: what is written; left_handed: on which side the club comes in.
    """

    start_deg: float
    curve_deg: float
    landing_sd_deg: float = 2.0
    length_sd: float = 0.05
    path_deg: float | None = None
    title: str = "the usual ball"
    start_words: tuple[str, ...] = ()
    landing_words: str = ""
    path_words: str = ""
    left_handed: bool = False


def landing_point(flight: Flight) -> Point:
    """Where the ball comes down in the picture."""
    return Point(TEE.x + _sideways(flight, flight.start_deg + flight.curve_deg), FLAG.y + 8.0)


def flight_picture(flight: Flight, label: str) -> Markup:
    """The flight with its patch of doubt, the flag, the club at the ball and the path as a divot."""
    land = landing_point(flight)
    reach = TEE.y - land.y
    k = _widening(flight)
    out = _control(flight)
    rx = min(110.0, max(14.0, reach * k * tan(radians(flight.landing_sd_deg))))
    ry = min(60.0, max(12.0, reach * flight.length_sd * 1.6))
    patch = "open" if flight_opens(flight) else "closed" if flight_closes(flight) else "soft"
    ellipse = {"cx": round(land.x, 1), "cy": round(land.y, 1), "rx": round(rx, 1), "ry": round(ry, 1)}
    return svg(
        WIDTH,
        HEIGHT,
        label,
        tag("rect", x=0.5, y=0.5, width=WIDTH - 1, height=HEIGHT - 1, rx=18, fill="var(--turf)", stroke="var(--rule)"),
        tag("ellipse", cx=FLAG.x, cy=FLAG.y, rx=88, ry=42, fill="var(--green)"),
        line(FLAG, Point(FLAG.x, FLAG.y - 44), 2.5),
        shape(f"M{FLAG.x} {FLAG.y - 44} l24 8 l-24 9 Z", "ink"),
        line(Point(TEE.x, TEE.y + 6), Point(FLAG.x, FLAG.y + 6), 1.8, "soft", "2 7"),
        tag("ellipse", **ellipse, fill=f"var(--{patch})", fill_opacity=0.16),
        tag(
            "ellipse",
            **ellipse,
            fill="none",
            stroke=f"var(--{patch})",
            stroke_width=1.6,
            stroke_dasharray="4 4",
            class_="hair",
        ),
        stroke(f"M{TEE.x:.1f} {TEE.y:.1f} Q{out.x:.1f} {out.y:.1f} {land.x:.1f} {land.y:.1f}"),
        dot(land, 6, "sheet", "ink"),
        _club(flight),
        dot(TEE, 7.5, "sheet", "ink"),
        _said(flight, land, rx, ry),
    )


def flight_opens(flight: Flight) -> bool:
    """Whether the ball finishes on the side of an open face."""
    side = flight.start_deg + flight.curve_deg
    return (side if not flight.left_handed else -side) > 0.75


def flight_closes(flight: Flight) -> bool:
    """Whether the ball finishes on the side of a closed face."""
    side = flight.start_deg + flight.curve_deg
    return (side if not flight.left_handed else -side) < -0.75


def _widening(flight: Flight) -> float:
    reach = TEE.y - FLAG.y
    furthest = reach * tan(
        radians(min(60.0, max(abs(flight.start_deg + flight.curve_deg), abs(flight.start_deg), 0.1)))
    )
    room = (WIDTH - EDGE - TEE.x) if flight.start_deg + flight.curve_deg > 0 else TEE.x - EDGE
    return min(WIDEN, room / furthest)


def _control(flight: Flight) -> Point:
    """The corner of the curve: where the start line is a bit over half way."""
    land_y = FLAG.y + 8.0
    return Point(TEE.x + 0.55 * _sideways(flight, flight.start_deg), TEE.y - 0.55 * (TEE.y - land_y))


def _curve_x(flight: Flight, y: float) -> float:
    """Where the drawn flight is at a height of the picture."""
    out, land = _control(flight), landing_point(flight)
    best = min((abs(_along(TEE.y, out.y, land.y, t / 50) - y), t / 50) for t in range(51))[1]
    return _along(TEE.x, out.x, land.x, best)


def _along(a: float, b: float, c: float, t: float) -> float:
    return (1 - t) ** 2 * a + 2 * t * (1 - t) * b + t**2 * c


def _sideways(flight: Flight, angle_deg: float) -> float:
    reach = TEE.y - FLAG.y
    return reach * _widening(flight) * tan(radians(max(-60.0, min(60.0, angle_deg))))


def _club(flight: Flight) -> Markup:
    side = -1.0 if flight.left_handed else 1.0
    divot = NONE_DIVOT
    if flight.path_deg is not None:
        turn = max(-24.0, min(24.0, 3.0 * flight.path_deg))
        divot = tag(
            "g",
            shape("M-7 -24 Q0 -33 7 -24 L6 24 Q0 31 -6 24 Z", "divot"),
            transform=f"translate({TEE.x:g},{TEE.y + 42:g}) rotate({turn:.1f})",
        )
    head = tag(
        "g",
        shape("M-23 -2 Q-23 -6 -18 -6 L20 -7 Q27 -7 27 0 Q27 9 18 9 L-16 6 Q-23 6 -23 -2 Z", "ink"),
        stroke("M-21 1 L-62 30", 6, "now"),
        transform=f"translate({TEE.x - side:g},{TEE.y + 14:g}) scale({side:g},1)",
    )
    return join(divot, head)


def _said(flight: Flight, land: Point, rx: float, ry: float) -> Markup:
    right = land.x >= TEE.x
    said = [
        words(Point(18, 32), flight.title, paint="soft")
        if right
        else words(Point(WIDTH - 18, 32), flight.title, anchor="end", paint="soft")
    ]
    if flight.landing_words:
        wide = length(flight.landing_words)
        if abs(land.x - FLAG.x) < 70:
            x, y = land.x + rx + 10 if right else land.x - rx - 10 - wide, land.y + 24
        else:
            x, y = land.x - wide / 2, land.y - ry - 12
            x = max(x, FLAG.x + 34) if right else min(x, FLAG.x - 12 - wide)  # clear of the flag
        said.append(words(Point(min(WIDTH - 14 - wide, max(14.0, x)), y), flight.landing_words, bold=True))
    first = TEE.y - 0.40 * (TEE.y - land.y)
    rows = [(first + 22 * i, each) for i, each in enumerate(flight.start_words)]
    beside = [_curve_x(flight, y - 5) for y, _ in rows]
    for y, each in rows:
        x = min(max(beside) + 20, WIDTH - 12 - length(each)) if right else max(min(beside) - 20, 12 + length(each))
        said.append(words(Point(x, y), each, anchor="start" if right else "end"))
    if flight.path_words:
        left = flight.left_handed  # the club comes in from the other side
        said.append(
            words(
                Point(14 if left else WIDTH - 14, HEIGHT - 22),
                flight.path_words,
                anchor="start" if left else "end",
                paint="soft",
            )
        )
    return join(*said)


NONE_DIVOT: Final = Markup("")


def pad_curve(start: int, bend: int) -> Markup:
    """The small drawing on a key of the ball pad. start, bend: -1 left, 0 straight, 1 right."""
    foot = Point(32.0, 56.0)
    out = Point(foot.x + 10.0 * start, 34.0)
    end = Point(foot.x + 17.0 * start + 11.0 * bend, 10.0)
    reach = hypot(end.x - foot.x, end.y - foot.y)
    if reach <= 0:
        raise ValueError("the flight has no length")
    if bend == 0:
        d = f"M{foot.x} {foot.y} L{foot.x + 17.0 * start} 10"
    else:
        d = f"M{foot.x} {foot.y} Q{out.x:.1f} {out.y:.1f} {end.x:.1f} {end.y:.1f}"
    return tag(
        "svg",
        line(foot, Point(foot.x, 8.0), 1.5, "rule", "2 5"),
        stroke(d, 3.5, "ink"),
        dot(foot, 4.5, "sheet", "ink"),
        viewBox="0 0 64 64",
        class_="pic curve",
        aria_hidden="true",
    )

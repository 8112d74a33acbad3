"""Line sketches of the golfer with the club: coming down seen from behind, at the top seen from behind, at impact.

A right-handed golfer seen from behind (the target up ahead, away from the eye) faces right; a left-handed one is the
same drawing in the mirror. The leading edge is a thick line with a dot at the toe. What is now is grey, the way green.
Angles of the edge are measured from vertical, + tilted forward, that is towards the ball.
"""

from dataclasses import dataclass
from math import cos, radians, sin
from typing import Final

from ferrule.web.markup import Markup, join, tag
from ferrule.web.pictures.ink import Point, dot, line, stroke, svg, words

WIDTH: Final = 340.0
HEIGHT: Final = 282.0
SHORT: Final = 236.0
"""Height of a drawing without words beneath."""
EDGE: Final = 40.0
"""Half the length of a drawn leading edge."""


@dataclass(frozen=True, slots=True)
class ShaftLevel:
    """Coming down, the shaft level with the ground.

    spine_deg: forward tilt of the spine at address; now_open_deg, way_open_deg: how far the leading edge is open to that
    spine, None unknown; now_words, way_words: beneath the edges; left_handed: mirror; captioned: a caption beside the drawing
    says from where it is seen.
    """

    spine_deg: float = 35.0
    now_open_deg: float | None = None
    way_open_deg: float | None = None
    now_words: str = ""
    way_words: str = ""
    left_handed: bool = False
    captioned: bool = False


def edge_tilt_deg(spine_deg: float, open_deg: float) -> float:
    """Tilt of the leading edge from vertical, + forward: like the spine when square, less tilted when open."""
    return spine_deg - open_deg


def shaft_level_picture(sketch: ShaftLevel, label: str) -> Markup:
    """The golfer from behind with the leading edge now and with the way, beside the spine."""
    hip, hands, face = Point(90, 154), Point(160, 156), Point(222, 146)
    spine = radians(sketch.spine_deg)
    reach = 88.0
    shoulder = Point(hip.x + reach * sin(spine), hip.y - reach * cos(spine))
    head = Point(shoulder.x + 22 * sin(spine) + 2, shoulder.y - 22 * cos(spine) + 1)
    like = (
        Point(face.x - 64 * sin(spine), face.y + 64 * cos(spine)),
        Point(face.x + 64 * sin(spine), face.y - 64 * cos(spine)),
    )
    drawing = [
        line(Point(24, 224), Point(WIDTH - 24, 224), 2, "rule"),
        stroke(f"M{hip.x} {hip.y} L{shoulder.x:.1f} {shoulder.y:.1f}"),
        dot(head, 14, "paper", "ink", 3),
        stroke(f"M{hip.x} {hip.y} L108 190 L96 224 L112 224 M{hip.x} {hip.y} L88 192 L76 224 L92 224"),
        stroke(f"M{shoulder.x - 2:.1f} {shoulder.y + 8:.1f} L{hands.x} {hands.y}", 2.5),
        line(like[0], like[1], 1.8, "soft", "2 7"),
        line(hands, Point(face.x - 4, face.y + 2), 1.6, "now"),
    ]
    if sketch.now_open_deg is not None:
        drawing.append(edge(face, edge_tilt_deg(sketch.spine_deg, sketch.now_open_deg), "now"))
    if sketch.way_open_deg is not None:
        drawing.append(edge(Point(face.x + 4, face.y + 1), edge_tilt_deg(sketch.spine_deg, sketch.way_open_deg), "act"))
    height = HEIGHT if sketch.now_words or sketch.way_words else SHORT
    return svg(WIDTH, height, label, _handed(drawing, sketch.left_handed), _edge_words(sketch))


def heel(middle: Point, tilt_deg: float, half: float = EDGE) -> Point:
    """The end of a leading edge at which the shaft joins it."""
    return Point(middle.x - half * sin(radians(tilt_deg)), middle.y + half * cos(radians(tilt_deg)))


def edge(middle: Point, tilt_deg: float, paint: str, half: float = EDGE) -> Markup:
    """A leading edge: heel at the bottom, a dot at the toe."""
    tilt = radians(tilt_deg)
    toe = Point(middle.x + half * sin(tilt), middle.y - half * cos(tilt))
    return join(line(heel(middle, tilt_deg, half), toe, 8, paint), dot(toe, 6.5, "paper", paint, 3))


def _handed(drawing: list[Markup], left_handed: bool) -> Markup:
    return tag("g", *drawing, transform=f"translate({WIDTH:g},0) scale(-1,1)" if left_handed else None)


def _edge_words(sketch: ShaftLevel) -> Markup:
    x, anchor = (WIDTH - 8, "end") if not sketch.left_handed else (8.0, "start")
    said = [
        words(Point(x, 30), "like the spine", size=16, anchor=anchor, paint="soft"),
    ]
    if not sketch.captioned:
        other = "start" if anchor == "end" else "end"
        said.append(words(Point(WIDTH - x, 30), "seen from behind", size=16, anchor=other, paint="soft"))
    if sketch.now_words:
        said.append(words(Point(24, 250), sketch.now_words))
    if sketch.way_words:
        said.append(words(Point(24, 274), sketch.way_words, paint="act", bold=True))
    return join(*said)


@dataclass(frozen=True, slots=True)
class FaceAt:
    """The face at one place of a swing. tilt_deg as in this module for top and shaft level; face_deg at impact,
    + to the right of the target; spine_deg for the line beside the edge; says: what is written under it.
    """

    tilt_deg: float | None = None
    face_deg: float | None = None
    spine_deg: float = 35.0
    says: str = ""
    left_handed: bool = False


def top_picture(at: FaceAt, label: str) -> Markup:
    """At the top, seen from behind: arms up, the leading edge hanging from the shaft."""
    hip, shoulder, hands = Point(142, 154), Point(176, 84), Point(122, 62)
    face = Point(70, 50)
    drawing = [
        line(Point(24, 224), Point(WIDTH - 24, 224), 2, "rule"),
        stroke(f"M{hip.x} {hip.y} L{shoulder.x} {shoulder.y}"),
        dot(Point(196, 64), 14, "paper", "ink", 3),
        stroke(f"M{hip.x} {hip.y} L160 190 L148 224 L164 224 M{hip.x} {hip.y} L140 192 L128 224 L144 224"),
        stroke(f"M{shoulder.x - 2} {shoulder.y + 6} L{hands.x} {hands.y}", 2.5),
    ]
    if at.tilt_deg is not None:
        drawing += [line(hands, heel(face, at.tilt_deg), 1.6, "now"), edge(face, at.tilt_deg, "now")]
    return svg(WIDTH, SHORT, label, _handed(drawing, at.left_handed))


def shaft_level_alone(at: FaceAt, label: str) -> Markup:
    """Shaft level coming down, seen from behind, with one edge and the spine beside it."""
    open_deg = None if at.tilt_deg is None else at.spine_deg - at.tilt_deg
    return shaft_level_picture(ShaftLevel(at.spine_deg, open_deg, left_handed=at.left_handed, captioned=True), label)


def impact_picture(at: FaceAt, label: str) -> Markup:
    """Impact, seen from above with the target up the page: the face against the line to the target."""
    ball = Point(WIDTH / 2, 110)
    side = -1.0 if at.left_handed else 1.0
    turn = max(-35.0, min(35.0, (at.face_deg or 0.0) * 1.5))
    club = tag(
        "g",
        line(Point(-46 * side, 0), Point(40 * side, 0), 8, "now"),
        dot(Point(40 * side, 0), 6.5, "paper", "now", 3),
        line(Point(-46 * side, 2), Point(-108 * side, 64), 2.5, "now"),
        transform=f"translate({ball.x:g},{ball.y + 16:g}) rotate({turn:.1f})",
    )
    out = radians(turn)
    drawing = [
        line(Point(ball.x, ball.y + 90), Point(ball.x, 18), 1.8, "soft", "2 7"),
        club if at.face_deg is not None else None,
        line(ball, Point(ball.x + 84 * sin(out), ball.y - 84 * cos(out)), 2.5) if at.face_deg is not None else None,
        dot(ball, 8, "sheet", "ink"),
        words(Point(ball.x + 14, 30), "target", size=16, paint="soft"),
    ]
    return svg(WIDTH, SHORT, label, *drawing)

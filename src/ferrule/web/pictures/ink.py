"""The hand that draws: lines, words and shapes of every picture, in the tokens of the look.

Colours are names of tokens (`ink`, `open`, ...), written as `var(--ink)` so that one drawing serves every mode of the
page; `solid` writes them out for a place without style sheets. Lengths are in picture units, which are CSS pixels at
the width the picture is meant for; text is never below 16.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ferrule.web.markup import Attribute, Child, Markup, tag

SMALLEST: Final = 16
LETTER: Final = 0.52
"""Mean advance of a letter, in units of the type size, for wrapping."""


@dataclass(frozen=True, slots=True)
class Point:
    """A place in the picture, x to the right, y down the page."""

    x: float
    y: float

    def mirrored(self, width: float) -> "Point":
        """The place seen in a mirror that stands in the middle of a picture of that width."""
        return Point(width - self.x, self.y)


def colour(name: str) -> str:
    """A token as a paint: `ink` is `var(--ink)`; `none` stays."""
    return name if name == "none" else f"var(--{name})"


def svg(width: float, height: float, label: str, *children: Child, class_: str = "", **more: Attribute) -> Markup:
    """A picture with the sentence that says what it shows, for those who do not see it."""
    return tag(
        "svg",
        tag("title", label),
        *children,
        viewBox=f"0 0 {width:g} {height:g}",
        role="img",
        aria_label=label,
        class_=f"pic {class_}".strip(),
        xmlns="http://www.w3.org/2000/svg",
        **more,
    )


def line(
    a: Point, b: Point, width: float = 2.0, paint: str = "ink", dash: str | None = None, **more: Attribute
) -> Markup:
    """A straight line."""
    return tag(
        "line",
        x1=_r(a.x), y1=_r(a.y), x2=_r(b.x), y2=_r(b.y),
        stroke=colour(paint), stroke_width=width, stroke_linecap="round", stroke_dasharray=dash,
        class_=weight(width), **more,
    )  # fmt: skip


def stroke(d: str, width: float = 3.0, paint: str = "ink", dash: str | None = None, **more: Attribute) -> Markup:
    """A path without filling."""
    return tag(
        "path",
        d=d, fill="none", stroke=colour(paint), stroke_width=width, stroke_linecap="round", stroke_linejoin="round",
        stroke_dasharray=dash, class_=weight(width), **more,
    )  # fmt: skip


def shape(d: str, paint: str, **more: Attribute) -> Markup:
    """A filled path."""
    return tag("path", d=d, fill=colour(paint), **more)


def dot(
    at: Point, radius: float, paint: str, rim: str | None = None, rim_width: float = 2.0, **more: Attribute
) -> Markup:
    """A filled circle, with a rim when one is named."""
    return tag(
        "circle",
        cx=_r(at.x), cy=_r(at.y), r=radius, fill=colour(paint),
        stroke=colour(rim) if rim else None, stroke_width=rim_width if rim else None,
        class_=weight(rim_width) if rim else None, **more,
    )  # fmt: skip


def words(
    at: Point,
    said: str,
    *,
    size: float = 17,
    anchor: str = "start",
    paint: str = "ink",
    bold: bool = False,
    serif: bool = False,
    halo: bool = False,
) -> Markup:
    """Text in the picture; halo keeps lines behind it off the letters. Sizes under 16 are a mistake and raised as one."""
    if size < SMALLEST:
        raise ValueError(f"text of {size} is under {SMALLEST}")
    return tag(
        "text",
        said,
        x=_r(at.x), y=_r(at.y), font_size=size, text_anchor=None if anchor == "start" else anchor, fill=colour(paint),
        stroke="var(--paper)" if halo else None, stroke_width=7 if halo else None, paint_order="stroke" if halo else None,
        stroke_linejoin="round" if halo else None, font_weight=600 if bold else None, font_family="Book, Georgia, serif" if serif else "Plain, system-ui, sans-serif",
    )  # fmt: skip


def wrapped(said: str, width: float, size: float = 17) -> list[str]:
    """The text in lines that fit the width, broken between words."""
    room = max(4, int(width / (size * LETTER)))
    lines = [""]
    for word in said.split():
        joined = f"{lines[-1]} {word}".strip()
        if len(joined) <= room or not lines[-1]:
            lines[-1] = joined
        else:
            lines.append(word)
    return lines


def length(said: str, size: float = 17) -> float:
    """About how wide the text is."""
    return len(said) * size * LETTER


def weight(width: float) -> str:
    """The class by which sun mode thickens a line."""
    return "hair" if width < 2 else "line" if width < 3 else "firm" if width < 5 else "thick"


def solid(picture: Markup, tokens: Mapping[str, str]) -> Markup:
    """The picture with the tokens written out, for paper and export."""
    said = str(picture)
    for name, value in tokens.items():
        said = said.replace(f"var(--{name})", value)
    return Markup(said)


def polyline(points: Sequence[Point]) -> str:
    """Path data of straight pieces."""
    return " ".join(f"{'M' if i == 0 else 'L'}{p.x:.1f} {p.y:.1f}" for i, p in enumerate(points))


def _r(value: float) -> float:
    return round(value, 1)

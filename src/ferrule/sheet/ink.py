"""The hand that draws the sheet: plain SVG as text, in black and greys, so that paper, phone and a copier show the same.

Lengths in picture units. Whatever is told by a colour is told by a shape or a word as well.
"""

from dataclasses import dataclass
from html import escape
from math import cos, hypot, radians, sin
from typing import Final

INK: Final = "#1B2426"
SOFT: Final = "#4B5759"
FAINT: Final = "#9AA19F"
WASH: Final = "#E7E4DA"
ACT: Final = "#22403A"
PAPER: Final = "#FFFFFF"
FONT: Final = "Hanken Grotesk, Helvetica, Arial, sans-serif"


@dataclass(frozen=True, slots=True)
class At:
    """A place: x to the right, y down."""

    x: float
    y: float

    def to(self, length: float, angle_deg: float) -> "At":
        """The place so far away: 0 is to the right, 90 up."""
        return At(self.x + length * cos(radians(angle_deg)), self.y - length * sin(radians(angle_deg)))


def svg(width: float, height: float, label: str, *parts: str, mirrored: bool = False) -> str:
    """A picture with its sentence for those who do not see it; mirrored: as for the other hand (words stay outside)."""
    inner = "".join(parts)
    if mirrored:
        inner = f'<g transform="translate({width:g},0) scale(-1,1)">{inner}</g>'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" role="img"'
        f' aria-label="{escape(label)}"><title>{escape(label)}</title>{inner}</svg>'
    )


def line(a: At, b: At, width: float = 3.0, paint: str = INK, dash: str = "") -> str:
    """A straight line."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line x1="{a.x:.1f}" y1="{a.y:.1f}" x2="{b.x:.1f}" y2="{b.y:.1f}" stroke="{paint}" stroke-width="{width:g}"'
        f' stroke-linecap="round"{dashed}/>'
    )


def run(*points: At, width: float = 3.0, paint: str = INK, dash: str = "") -> str:
    """A line through several places."""
    d = "M" + " L".join(f"{p.x:.1f} {p.y:.1f}" for p in points)
    return path(d, width, paint, dash)


def path(d: str, width: float = 3.0, paint: str = INK, dash: str = "", fill: str = "none") -> str:
    """A path."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{d}" fill="{fill}" stroke="{paint}" stroke-width="{width:g}" stroke-linecap="round"'
        f' stroke-linejoin="round"{dashed}/>'
    )


def dot(at: At, radius: float, fill: str = PAPER, rim: str = INK, width: float = 3.0) -> str:
    """A circle."""
    return f'<circle cx="{at.x:.1f}" cy="{at.y:.1f}" r="{radius:g}" fill="{fill}" stroke="{rim}" stroke-width="{width:g}"/>'


def block(a: At, b: At, fill: str, rim: str = "none", width: float = 1.5) -> str:
    """A rectangle between two corners."""
    x, y = min(a.x, b.x), min(a.y, b.y)
    return (
        f'<rect x="{x:.1f}" y="{y:.1f}" width="{abs(a.x - b.x):.1f}" height="{abs(a.y - b.y):.1f}" fill="{fill}"'
        f' stroke="{rim}" stroke-width="{width:g}"/>'
    )


def arrow(a: At, b: At, width: float = 2.5, paint: str = ACT, head: float = 10.0) -> str:
    """A line with a head at its end."""
    reach = hypot(b.x - a.x, b.y - a.y) or 1.0
    ux, uy = (b.x - a.x) / reach, (b.y - a.y) / reach
    one = At(b.x - head * ux + 0.5 * head * uy, b.y - head * uy - 0.5 * head * ux)
    two = At(b.x - head * ux - 0.5 * head * uy, b.y - head * uy + 0.5 * head * ux)
    return line(a, b, width, paint) + run(one, b, two, width=width, paint=paint)


def words(at: At, text: str, size: float = 16.0, anchor: str = "start", paint: str = INK, *, halo: bool = False) -> str:
    """Text on one line; halo: a rim of paper, for words that stand on lines."""
    rim = f' stroke="{PAPER}" stroke-width="5" stroke-linejoin="round" paint-order="stroke"' if halo else ""
    return (
        f'<text x="{at.x:.1f}" y="{at.y:.1f}" font-family="{FONT}" font-size="{size:g}"'
        f' text-anchor="{anchor}" fill="{paint}"{rim}>{escape(text)}</text>'
    )


def ground(width: float, y: float) -> str:
    """The ground, a soft line."""
    return line(At(14, y), At(width - 14, y), 2.0, FAINT)

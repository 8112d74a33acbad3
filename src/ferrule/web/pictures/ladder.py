"""How the face closed on the way down, as a ladder: a rung for each place of the swing, a piece for each joint.

Degrees about the shaft. Closing runs to the left of the rail, opening to the right; the figure beside a rung is what
lies between it and the next one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ferrule.web.markup import Markup, tag
from ferrule.web.pictures.ink import Point, line, svg, words

WIDE: Final = 720.0
NARROW: Final = 354.0


@dataclass(frozen=True, slots=True)
class Piece:
    """What one part did between two places: closing_deg + closes, - opens."""

    part: str
    closing_deg: float


@dataclass(frozen=True, slots=True)
class Rung:
    """Two neighbouring places of the swing and the pieces between them. total_deg is measured by itself."""

    upper: str
    lower: str
    pieces: tuple[Piece, ...]
    total_deg: float | None = None


def closing_words(closing_deg: float) -> str:
    """As "41° closing", "6° opening", "no turn"."""
    if abs(closing_deg) < 0.5:
        return "no turn"
    return f"{abs(closing_deg):.0f}° {'closing' if closing_deg > 0 else 'opening'}"


def ladder(rungs: Sequence[Rung], label: str, narrow: bool = False) -> Markup:
    """The ladder from top to impact. Pieces under half a degree are left out of the drawing."""
    width = NARROW if narrow else WIDE
    rail = 178.0 if narrow else 400.0
    room = (rail - 16.0) if narrow else 210.0
    biggest = max([20.0, *(abs(p.closing_deg) for r in rungs for p in r.pieces)])
    scale = room / biggest
    y = 26.0
    drawn: list[Markup] = []
    for i, rung in enumerate(rungs):
        drawn.append(line(Point(0, y + 8), Point(width, y + 8), 2))
        drawn.append(words(Point(0, y), rung.upper, bold=True))
        if rung.total_deg is not None:
            drawn.append(words(Point(width, y), closing_words(rung.total_deg), anchor="end", paint="soft"))
        y += 22
        shown = [p for p in rung.pieces if abs(p.closing_deg) >= 0.5]
        start = y
        for piece in shown:
            if narrow:
                drawn.append(
                    words(Point(0, y + 14), f"{piece.part}, {closing_words(piece.closing_deg)}", size=16, halo=True)
                )
                y += 22
            else:
                drawn.append(
                    words(Point(width, y + 15), closing_words(piece.closing_deg), size=16, anchor="end", paint="soft")
                )
                drawn.append(words(Point(0, y + 15), piece.part, size=16))
            drawn.append(_bar(rail, y, piece.closing_deg * scale))
            y += 32 if narrow else 30
        drawn.insert(0, line(Point(rail, start), Point(rail, y - 6), 1.4, "soft"))
        y += 26
        if i == len(rungs) - 1:
            drawn.append(line(Point(0, y + 8), Point(width, y + 8), 2))
            drawn.append(words(Point(0, y), rung.lower, bold=True))
    return svg(width, y + 16, label, *drawn)


def _bar(rail: float, y: float, long: float) -> Markup:
    x = rail - long if long > 0 else rail
    return tag(
        "rect",
        x=round(x, 1), y=round(y, 1), width=round(abs(long), 1), height=20, rx=4,
        fill=f"var(--{'closed' if long > 0 else 'open'})",
    )  # fmt: skip

"""The balls of the day on one rail, from closed to open: untouched swings as rounds, tries as lozenges with the feel."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from ferrule.web.markup import Markup
from ferrule.web.pictures.ink import Point, dot, length, line, shape, svg, words

WIDE: Final = 1000.0
NARROW: Final = 354.0
STEP: Final = 20.0
TOUCHING: Final = 17.0
Kind = Literal["untouched", "try", "aside"]


@dataclass(frozen=True, slots=True)
class Mark:
    """One ball: degrees open (- closed), whether something was tried, and the feel in the golfer's words."""

    open_deg: float
    kind: Kind = "untouched"
    words: str = ""


def rail(marks: Sequence[Mark], label: str, narrow: bool = False) -> Markup:
    """The rail; closed is left and open is right for either hand, and both words are there."""
    width = NARROW if narrow else WIDE
    left, right = (20.0, width - 20.0) if narrow else (90.0, width - 90.0)
    middle = (left + right) / 2
    reach = max([6.0, *(abs(m.open_deg) * 1.15 for m in marks)])
    piled = _piled([m.open_deg / reach * (right - left) / 2 for m in marks])
    y = 78.0 + max(0, max(piled, default=0) - 1) * STEP

    def x(deg: float) -> float:
        return middle + deg / reach * (right - left) / 2

    drawn: list[Markup] = [
        line(Point(left, y), Point(right, y), 2),
        line(Point(middle, 46), Point(middle, y + 18), 2),
        words(Point(left, 34), "closed", paint="closed", bold=True),
        words(Point(middle, 34), "square", paint="soft", anchor="middle"),
        words(Point(right, 34), "open", paint="open", bold=True, anchor="end"),
    ]
    for mark, row in zip(marks, piled, strict=True):
        at = Point(x(mark.open_deg), y - row * STEP)
        if mark.kind == "try":
            drawn.append(
                shape(
                    f"M{at.x:.1f} {at.y - 13:.1f} l12 13 l-12 13 l-12 -13 Z",
                    "act",
                    stroke="var(--paper)",
                    stroke_width=1.5,
                )
            )
        else:
            paint = "open" if mark.open_deg > 0 else "closed"
            faded = mark.kind == "aside"
            drawn.append(
                dot(
                    at,
                    9,
                    "paper" if faded else paint,
                    paint if faded else "paper",
                    1.5,
                    fill_opacity=None if faded else 0.62,
                )
            )
    rows = _rows([(x(m.open_deg), m.words) for m in marks if m.words], left, right)
    drawn += [
        words(Point(place, y + 44 + 24 * row), said, size=16, anchor="middle", paint="act") for place, row, said in rows
    ]
    height = y + 44 + 24 * max([row for _, row, _ in rows], default=-1) + 18
    return svg(width, max(height, y + 34), label, *drawn)


def _piled(places: Sequence[float]) -> list[int]:
    """Rows above the rail, so that balls that would cover each other stand on top of each other."""
    rows: list[int] = []
    for i, place in enumerate(places):
        taken = {rows[j] for j in range(i) if abs(places[j] - place) < TOUCHING}
        rows.append(next(r for r in range(len(places) + 1) if r not in taken))
    return rows


def _rows(said: Sequence[tuple[float, str]], left: float, right: float) -> list[tuple[float, int, str]]:
    """Places for the words under the rail: the first row in which they do not touch another."""
    placed: list[tuple[float, int, str]] = []
    seen: set[str] = set()
    for at, each in said:
        if each in seen:
            continue
        seen.add(each)
        half = length(each, 16) / 2
        centre = min(max(at, left + half - 16), right - half + 16)
        row = 0
        while any(r == row and abs(a - centre) < half + length(s, 16) / 2 + 12 for a, r, s in placed):
            row += 1
        placed.append((centre, row, each))
    return placed

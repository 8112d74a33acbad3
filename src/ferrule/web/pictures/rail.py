"""The balls of the day on one rail, from closed to open: untouched swings as rounds, tries as lozenges with the feel."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from ferrule.web.markup import Markup, tag
from ferrule.web.pictures.ink import Point, dot, length, line, shape, svg, words

WIDE: Final = 1000.0
NARROW: Final = 354.0
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
    y = 78.0

    def x(deg: float) -> float:
        return middle + deg / reach * (right - left) / 2

    drawn: list[Markup] = [
        line(Point(left, y), Point(right, y), 2),
        line(Point(middle, y - 18), Point(middle, y + 18), 2),
        words(Point(left, 34), "closed", paint="closed", bold=True),
        words(Point(middle, 34), "square", paint="soft", anchor="middle"),
        words(Point(right, 34), "open", paint="open", bold=True, anchor="end"),
    ]
    for mark in marks:
        at = Point(x(mark.open_deg), y)
        if mark.kind == "try":
            drawn.append(
                shape(
                    f"M{at.x:.1f} {y - 13:g} l12 13 l-12 13 l-12 -13 Z", "act", stroke="var(--paper)", stroke_width=1.5
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
    for at, row, said in rows:
        drawn.append(words(Point(at, y + 44 + 24 * row), said, size=16, anchor="middle", paint="act"))
    height = y + 44 + 24 * max([row for _, row, _ in rows], default=-1) + 18
    return svg(width, max(height, y + 34), label, *drawn)


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


def key(narrow: bool = False) -> Markup:
    """What the marks mean, in words beside the marks."""
    return tag("span", "round: as the golfer came; lozenge: a try", class_="soft" + (" narrow" if narrow else ""))

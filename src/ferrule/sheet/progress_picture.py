"""Progress in one plot: cold tests against the baseline, with the smallest real change drawn.

Told by shape, not by colour: open rounds are baseline, full rounds cold tests, small squares practice (which does not
count). A line is drawn through what counts; the whisker is the 90 % interval of the day's level.
"""

from collections.abc import Callable
from datetime import date
from itertools import pairwise
from typing import Final

from ferrule.sheet.content import Progress
from ferrule.sheet.ink import FAINT, INK, PAPER, SOFT, WASH, At, block, dot, line, run, svg, words

WIDTH: Final = 640.0
HEIGHT: Final = 252.0
LEFT: Final = 150.0
RIGHT: Final = 480.0
TOP: Final = 24.0
BOTTOM: Final = 186.0
_SHORT: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MOST_DATES: Final = 6
SIZE: Final = 15.0


def progress_picture(progress: Progress) -> str:
    """The plot as SVG text."""
    days = sorted({p.on for p in progress.points})
    low, high = _range(progress)

    def x(on: date) -> float:
        share = 0.5 if len(days) == 1 else days.index(on) / (len(days) - 1)
        return LEFT + 26.0 + share * (RIGHT - LEFT - 52.0)

    def y(value: float) -> float:
        return BOTTOM - (value - low) / (high - low) * (BOTTOM - TOP)

    parts = [line(At(LEFT, TOP - 8), At(LEFT, BOTTOM + 8), 1.6, SOFT)]
    parts += [words(At(LEFT - 12, TOP + 4), progress.up, SIZE, "end", SOFT)]
    parts += [words(At(LEFT - 12, BOTTOM + 4), progress.down, SIZE, "end", SOFT)]
    if progress.low is not None and progress.high is not None:
        parts.insert(0, block(At(LEFT, y(progress.high)), At(RIGHT, y(progress.low)), WASH))
    said = _levels(progress)
    parts += [line(At(LEFT, y(v)), At(RIGHT, y(v)), 1.6, INK if dash else SOFT, dash) for v, _, dash in said]
    placed = _apart([y(v) for v, _, _ in said])
    parts += [
        words(At(RIGHT + 10, at + 5), text, SIZE, "start", INK) for at, (_, text, _) in zip(placed, said, strict=True)
    ]
    counting = [p for p in progress.points if p.counts]
    line_of = [At(x(p.on), y(p.level)) for p in counting]
    if len(line_of) > 1:
        parts.append(run(*line_of, width=1.6, paint=FAINT))
    for p in progress.points:
        at = At(x(p.on) + (0.0 if p.counts else 11.0), y(p.level))
        if not p.counts:
            parts.append(block(At(at.x - 4.5, at.y - 4.5), At(at.x + 4.5, at.y + 4.5), PAPER, SOFT))
            continue
        parts.append(line(At(at.x, y(p.low)), At(at.x, y(p.high)), 1.6, INK))
        parts.append(dot(at, 6.5, PAPER if p.kind == "baseline" else INK, INK, 2.4))
    parts += _dates(days, x)
    parts += _legend(progress)
    return svg(WIDTH, HEIGHT, _sentence(progress), *parts)


def _levels(progress: Progress) -> list[tuple[float, str, str]]:
    """Level lines with their words and dash."""
    if progress.baseline is None:
        return []
    out = [(progress.baseline, "where you began", "")]
    if progress.smallest_real is not None:
        out.append((progress.baseline + progress.wanted * progress.smallest_real, "real from here on", "7 6"))
    return out


def _range(progress: Progress) -> tuple[float, float]:
    values = [v for p in progress.points for v in (p.low, p.high)]
    values += [v for v, _, _ in _levels(progress)]
    values += [v for v in (progress.low, progress.high) if v is not None]
    low, high = min(values), max(values)
    pad = max(0.06 * (high - low), 0.5)
    return low - pad, high + pad


def _apart(places: list[float]) -> list[float]:
    """Places of the words beside the level lines, at least a line apart."""
    order = sorted(range(len(places)), key=lambda i: places[i])
    out = list(places)
    for before, after in pairwise(order):
        out[after] = max(out[after], out[before] + SIZE + 3.0)
    return out


def _dates(days: list[date], x: Callable[[date], float]) -> list[str]:
    shown = days[:: -(-len(days) // MOST_DATES)]
    return [words(At(x(d), BOTTOM + 28), f"{d.day} {_SHORT[d.month - 1]}", SIZE, "middle", SOFT) for d in shown]


def _legend(progress: Progress) -> list[str]:
    kinds = {p.kind for p in progress.points}
    y, x = HEIGHT - 12.0, LEFT
    out: list[str] = []
    if "baseline" in kinds:
        out += [dot(At(x, y - 5), 6.0, PAPER, INK, 2.4), words(At(x + 13, y), "before", SIZE)]
        x += 82.0
    if "retention" in kinds:
        out += [dot(At(x, y - 5), 6.0, INK, INK, 2.4), words(At(x + 13, y), "cold test", SIZE)]
        x += 100.0
    if "practice" in kinds:
        out += [
            block(At(x - 5, y - 10), At(x + 4, y - 1), PAPER, SOFT),
            words(At(x + 12, y), "practice (does not count)", SIZE),
        ]
    return out


def _sentence(progress: Progress) -> str:
    tests = sum(p.kind == "retention" for p in progress.points)
    before = sum(p.kind == "baseline" for p in progress.points)
    return f"{progress.quantity}: {before} blocks before the change, {tests} cold tests since"

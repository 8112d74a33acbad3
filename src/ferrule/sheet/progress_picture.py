"""Progress in one plot: cold tests against the baseline, with the smallest real change drawn.

Told by shape, not by colour: open rounds are baseline, full rounds cold tests, small squares practice (which does not
count). A line is drawn through what counts; the whisker is the 90 % interval of the day's level.
"""

from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Final

from ferrule.sheet.content import Progress
from ferrule.sheet.ink import FAINT, INK, PAPER, SOFT, WASH, At, block, dot, line, run, svg, words

SIZE: Final = 15.0


@dataclass(frozen=True, slots=True)
class Frame:
    """Where things stand in the picture. beside: level words to the right of the lines, else on top of them."""

    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    dates: int
    beside: bool


WIDE: Final = Frame(640.0, 252.0, 150.0, 480.0, 24.0, 186.0, 6, True)
NARROW: Final = Frame(318.0, 330.0, 10.0, 308.0, 44.0, 222.0, 4, False)
_SHORT: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def progress_picture(progress: Progress, *, narrow: bool = False) -> str:
    """The plot as SVG text; narrow: for a phone."""
    frame = NARROW if narrow else WIDE
    days = sorted({p.on for p in progress.points})
    low, high = _range(progress)

    def x(on: date) -> float:
        share = 0.5 if len(days) == 1 else days.index(on) / (len(days) - 1)
        return frame.left + 26.0 + share * (frame.right - frame.left - 52.0)

    def y(value: float) -> float:
        return frame.bottom - (value - low) / (high - low) * (frame.bottom - frame.top)

    parts = []
    if progress.low is not None and progress.high is not None:
        parts.append(block(At(frame.left, y(progress.high)), At(frame.right, y(progress.low)), WASH))
    parts += [line(At(frame.left, frame.top - 8), At(frame.left, frame.bottom + 8), 1.6, SOFT)]
    parts += _ends(progress, frame)
    said = _levels(progress)
    parts += [
        line(At(frame.left, y(v)), At(frame.right, y(v)), 1.6, INK if dash else SOFT, dash) for v, _, dash in said
    ]
    if not frame.beside:
        # On a phone the words stand on their lines, on the side away from the other line, and the days lie over them.
        up, down_ = (-6.0, 17.0) if progress.wanted > 0 else (17.0, -6.0)
        parts += [
            words(At(frame.right, y(v) + (up if dash else down_)), text, SIZE, "end", halo=True)
            for v, text, dash in said
        ]
    line_of = [At(x(p.on), y(p.level)) for p in progress.points if p.counts]
    if len(line_of) > 1:
        parts.append(run(*line_of, width=1.6, paint=FAINT))
    for p in progress.points:
        at = At(x(p.on) + (0.0 if p.counts else 11.0), y(p.level))
        if not p.counts:
            parts.append(block(At(at.x - 4.5, at.y - 4.5), At(at.x + 4.5, at.y + 4.5), PAPER, SOFT))
            continue
        parts.append(line(At(at.x, y(p.low)), At(at.x, y(p.high)), 1.6, INK))
        parts.append(dot(at, 6.5, PAPER if p.kind == "baseline" else INK, INK, 2.4))
    if frame.beside:
        placed = _apart([y(v) for v, _, _ in said])
        parts += [
            words(At(frame.right + 10, at + 5.0), text, SIZE, "start")
            for at, (_, text, _) in zip(placed, said, strict=True)
        ]
    shown = days[:: -(-len(days) // frame.dates)]
    parts += [words(At(x(d), frame.bottom + 28), f"{d.day} {_SHORT[d.month - 1]}", SIZE, "middle", SOFT) for d in shown]
    parts += _legend(progress, frame)
    return svg(frame.width, frame.height, _sentence(progress), *parts)


def _ends(progress: Progress, frame: Frame) -> list[str]:
    """Words at the two ends of the axis."""
    if frame.beside:
        return [
            words(At(frame.left - 12, frame.top + 4), progress.up, SIZE, "end", SOFT),
            words(At(frame.left - 12, frame.bottom + 4), progress.down, SIZE, "end", SOFT),
        ]
    return [
        words(At(frame.left, frame.top - 20), f"↑ {progress.up}", SIZE, "start", SOFT),
        words(At(frame.left, frame.bottom + 54), f"↓ {progress.down}", SIZE, "start", SOFT),
    ]


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


def _legend(progress: Progress, frame: Frame) -> list[str]:
    kinds = {p.kind for p in progress.points}
    y, x = frame.height - 12.0 - (0.0 if frame.beside else 20.0), frame.left + (0.0 if frame.beside else 8.0)
    out: list[str] = []
    if "baseline" in kinds:
        out += [dot(At(x, y - 5), 6.0, PAPER, INK, 2.4), words(At(x + 13, y), "before", SIZE)]
        x += 82.0
    if "retention" in kinds:
        out += [dot(At(x, y - 5), 6.0, INK, INK, 2.4), words(At(x + 13, y), "cold test", SIZE)]
        x += 100.0
    if "practice" in kinds:
        if not frame.beside:
            x, y = frame.left + 8.0, y + 22.0
        out += [block(At(x - 5, y - 10), At(x + 4, y - 1), PAPER, SOFT)]
        out += [words(At(x + 13, y), "practice (does not count)", SIZE)]
    return out


def _sentence(progress: Progress) -> str:
    tests = sum(p.kind == "retention" for p in progress.points)
    before = sum(p.kind == "baseline" for p in progress.points)
    return f"{progress.quantity}: {before} blocks before the change, {tests} cold tests since"

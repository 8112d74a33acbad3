"""The numbers of a change: baseline, practice and cold tests in one hierarchy over days, with drift and devices in it.

Design of a fit, one row a block: level of the baseline, step of the cold tests (and of the latest ones), drift, a step
per device that was linked on a common day. Practice never enters the fit that proves anything.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.change import (
    DRIFT_BASELINES,
    TEST_SWINGS,
    Amount,
    Block,
    Point,
    Question,
    days_of,
)
from ferrule.coaching.change_evidence import Sorted
from ferrule.statistics.hierarchy import Blocks, LevelFit, Mixture, blocks_of, day_levels, fit_levels, foreseen

Floats = NDArray[np.float64]

DRIFT_LESSONS: Final = 3.0
"""A drift that nobody has seen is believed to run no longer than so many lessons either side of the change."""
SEEN_DRIFT_SD: Final = 2.0
DRIFT_SURE: Final = 0.98
DEVICE_SD: Final = 6.0
"""How far two devices may disagree before a common day tells (common practice, no source)."""


@dataclass(frozen=True, eq=False, slots=True)
class ProofFit:
    """Baseline and cold tests fitted. Columns of design: 0 level, 1 cold tests, 2 drift, then the rest."""

    blocks: Blocks
    design: Floats
    precision: Floats
    fit: LevelFit
    late: int | None
    drift_at: tuple[float, ...]

    def change(self) -> Mixture:
        """Step of all cold tests."""
        return self.fit.contrast(self._row({1: 1.0}))

    def early_change(self) -> Mixture:
        """Step of the earlier cold tests, where the latest stand apart."""
        return self.fit.contrast(self._row({1: 1.0}))

    def late_change(self) -> Mixture:
        """Step of the latest cold tests."""
        return self.fit.contrast(self._row({1: 1.0} if self.late is None else {1: 1.0, self.late: 1.0}))

    def late_less_early(self) -> Mixture:
        """What the latest cold tests add."""
        if self.late is None:
            raise ValueError("this fit does not set the latest tests apart")
        return self.fit.contrast(self._row({self.late: 1.0}))

    def smallest_real(self, more_tests: int, quantile: float) -> float:
        """Smallest change that would count as real after so many further cold tests of ten balls."""
        n = self.blocks.mean.size
        day = np.concatenate([self.blocks.day, self.blocks.day.max() + 1 + np.arange(more_tests)])
        extra = np.zeros((more_tests, self.design.shape[1]))
        extra[:, :2] = 1.0
        last = self.drift_at[-1]
        extra[:, 2] = np.minimum(last + 1.0 + np.arange(more_tests), DRIFT_LESSONS)
        swings = np.concatenate([self.blocks.swings, np.full(more_tests, float(TEST_SWINGS))])
        design = np.vstack([self.design[:n], extra])
        return foreseen(self.fit, swings, day, design, self.precision, self._row({1: 1.0})).quantile(quantile)

    def _row(self, entries: dict[int, float]) -> Floats:
        row = np.zeros(self.design.shape[1])
        for column, value in entries.items():
            row[column] = value
        return row


def fit_proof(parts: Sorted, question: Question, *, split_late: bool = False, drift_seen: bool = False) -> ProofFit:
    """Fit baseline and cold tests. split_late: let the latest cold tests stand apart (the last of two, else the last two).

    With no cold test yet the step is unknown, and only `smallest_real` means something.
    """
    tests = days_of(parts.tests)
    bridging = [b for b in parts.practice if _is_bridge(b, parts.practice)]
    used = [*parts.baseline, *parts.tests, *bridging]
    columns = [np.ones(len(used)), np.array([float(b.kind == "retention") for b in used])]
    drift, place = _drift_column(used, parts)
    columns.append(drift)
    drift_sd = SEEN_DRIFT_SD if drift_seen else question.drift_sd
    precision = [0.0, 0.0 if tests else 1e-6, 1.0 / drift_sd**2]
    late = None
    if split_late and len(tests) >= 2:
        latest = set(tests[-1:] if len(tests) == 2 else tests[-2:])
        late = len(columns)
        columns.append(np.array([float(b.kind == "retention" and b.on in latest) for b in used]))
        precision.append(0.0)
    for day in days_of(bridging):
        columns.append(np.array([float(b.kind == "practice" and b.on == day) for b in used]))
        precision.append(1e-6)
    _add_devices(columns, precision, used, parts)
    design, weight = np.column_stack(columns), np.array(precision)
    blocks = _blocks(used)
    return ProofFit(blocks, design, weight, fit_levels(blocks, design, weight, question.spread), late, place)


def fit_practice(parts: Sorted, question: Question) -> tuple[Mixture, Mixture | None]:
    """Step of the last two practice days against the baseline, and against the cold tests (None without any)."""
    latest = set(days_of(parts.practice)[-2:])
    used = [*parts.baseline, *parts.tests, *(b for b in parts.practice if b.on in latest)]
    columns = [np.ones(len(used)), np.array([float(b.kind == "practice") for b in used])]
    columns.append(_drift_column(used, parts)[0])
    precision = [0.0, 0.0, 1.0 / question.drift_sd**2]
    if parts.tests:
        columns.append(np.array([float(b.kind == "retention") for b in used]))
        precision.append(0.0)
    _add_devices(columns, precision, used, parts)
    fit = fit_levels(_blocks(used), np.column_stack(columns), np.array(precision), question.spread)
    row = np.zeros(len(columns))
    row[1] = 1.0
    against = None
    if parts.tests:
        apart = row.copy()
        apart[3] = -1.0
        against = fit.contrast(apart)
    return fit.contrast(row), against


def baseline_drift(parts: Sorted, question: Question) -> Amount | None:
    """Drift per lesson before anything was changed; None below three baselines or when doubt covers zero (98 %)."""
    days = days_of(parts.baseline)
    if len(days) < DRIFT_BASELINES:
        return None
    used = list(parts.baseline)
    columns = [np.ones(len(used)), np.array([float(days.index(b.on)) for b in used])]
    precision = [0.0, 0.0]
    _add_devices(columns, precision, used, parts)
    fit = fit_levels(_blocks(used), np.column_stack(columns), np.array(precision), question.spread)
    slope = fit.contrast(np.eye(len(columns))[1])
    low, high = slope.interval(DRIFT_SURE)
    return None if low <= 0.0 <= high else amount_of(slope, question)


def amount_of(mixture: Mixture, question: Question) -> Amount:
    """A change in the question's unit with its 90 % interval and its chances in the wanted sense."""
    low, high = mixture.interval(0.9)
    up = question.sign > 0
    worth = question.worthwhile
    return Amount(
        mixture.value,
        low,
        high,
        mixture.above(0.0) if up else 1.0 - mixture.above(0.0),
        mixture.above(worth) if up else 1.0 - mixture.above(-worth),
    )


def points_of(parts: Sorted, question: Question) -> tuple[Point, ...]:
    """Every block of the main club as it is drawn, with its level drawn towards the golfer's own."""
    used = [*parts.baseline, *parts.practice, *parts.tests]
    if not used:
        return ()
    columns = [np.array([float(b.kind == kind) for b in used]) for kind in ("baseline", "practice", "retention")]
    columns = [c for c in columns if c.any()]
    precision = [1e-6] * len(columns)
    _add_devices(columns, precision, used, parts)
    design = np.column_stack(columns)
    blocks = _blocks(used)
    fit = fit_levels(blocks, design, np.array(precision), question.spread)
    level, sd = day_levels(blocks, fit, design)
    made = [
        Point(b.on, b.kind, float(m), float(v), float(v - 1.645 * s), float(v + 1.645 * s), b.kind != "practice")
        for b, m, v, s in zip(used, blocks.mean, level, sd, strict=True)
    ]
    return tuple(sorted(made, key=lambda p: (p.on, p.kind)))


def _blocks(used: Sequence[Block]) -> Blocks:
    days = days_of(used)
    return blocks_of([b.values for b in used], [days.index(b.on) for b in used])


def _lessons(parts: Sorted) -> list[date]:
    return days_of([*parts.baseline, *parts.practice, *parts.tests])


def _drift_column(used: Sequence[Block], parts: Sorted) -> tuple[Floats, tuple[float, ...]]:
    """Lessons from the change, held at a few either side; and the same for every lesson in order."""
    lessons = _lessons(parts)
    last_before = max(lessons.index(b.on) for b in parts.baseline)
    tests = [lessons.index(b.on) for b in parts.tests]
    middle = 0.5 * (last_before + (min(tests) if tests else last_before + 1))
    place = {d: float(np.clip(i - middle, -DRIFT_LESSONS, DRIFT_LESSONS)) for i, d in enumerate(lessons)}
    return np.array([place[b.on] for b in used]), tuple(place[d] for d in lessons)


def _is_bridge(block: Block, practice: Sequence[Block]) -> bool:
    return any(b.on == block.on and b.device != block.device for b in practice)


def _add_devices(columns: list[Floats], precision: list[float], used: Sequence[Block], parts: Sorted) -> None:
    for device in parts.devices[1:]:
        column = np.array([float(b.device == device) for b in used])
        if column.any():
            columns.append(column)
            precision.append(1.0 / DEVICE_SD**2)

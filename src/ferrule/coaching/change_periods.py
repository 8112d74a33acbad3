"""Two periods beside each other: cold blocks alone, with the doubt that days differ. A comparison, not a proof."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from ferrule.coaching.change import Amount, Block, Question, Reason, days_of
from ferrule.coaching.change_evidence import sort_blocks
from ferrule.coaching.change_model import amount_of
from ferrule.statistics.hierarchy import blocks_of, fit_levels


@dataclass(frozen=True, slots=True)
class Periods:
    """Second period less first. first_days, second_days: days with cold blocks; change None: reason says why."""

    first_days: int
    second_days: int
    first_level: float | None
    second_level: float | None
    change: Amount | None
    reason: Reason | None


def compare_periods(
    blocks: Sequence[Block], question: Question, first: tuple[date, date], second: tuple[date, date]
) -> Periods:
    """Compare the cold blocks (baseline and retention) of two periods, ends included, by the same rules of comparison.

    Two days a period are needed; practice is never looked at. Raises ValueError when the second does not follow the first.
    """
    if second[0] <= first[1]:
        raise ValueError("the second period must begin after the first ends")
    cold = [b for b in blocks if b.kind in ("baseline", "retention") and b.club == question.club]
    early = [replace(b, kind="baseline") for b in cold if first[0] <= b.on <= first[1]]
    late = [replace(b, kind="retention") for b in cold if second[0] <= b.on <= second[1]]
    parts = sort_blocks([*early, *late], replace(question, began=first[1]))
    days = len(days_of(parts.baseline)), len(days_of(parts.tests))
    aside: list[Reason] = [r for _, r in parts.aside]
    reason: Reason | None = parts.refused
    if reason is None and days[0] < 2:
        reason = "small_blocks" if "small_blocks" in aside else "one_baseline" if days[0] else "no_baseline"
    if reason is None and days[1] < 2:
        reason = "device" if "device" in aside else "no_test"
    if reason is not None:
        return Periods(*days, None, None, None, reason)
    used = [*parts.baseline, *parts.tests]
    at = days_of(used)
    columns = [np.ones(len(used)), np.array([float(b.kind == "retention") for b in used])]
    precision = [0.0, 0.0]
    for device in parts.devices[1:]:
        columns.append(np.array([float(b.device == device) for b in used]))
        precision.append(1e-3)
    design = np.column_stack(columns)
    grouped = blocks_of([b.values for b in used], [at.index(b.on) for b in used])
    fit = fit_levels(grouped, design, np.array(precision), question.spread)
    change = fit.contrast(np.eye(design.shape[1])[1])
    level = fit.contrast(np.eye(design.shape[1])[0]).value
    return Periods(*days, level, level + change.value, amount_of(change, question), None)

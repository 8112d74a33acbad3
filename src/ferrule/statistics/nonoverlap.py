"""How little two phases overlap, from every pair of a value before and a value after. No model, no spread assumed.

NAP and Tau after Parker, Vannest & Davis 2011; Tau-U and why it leaves [-1, 1]: Tarlow 2017 (Behav Modif 41:427-467).
Checks E20-E28.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Pairs:
    """Pairs (before, after) in which after is higher, lower, or the same."""

    higher: int
    lower: int
    tied: int

    @property
    def total(self) -> int:
        """All pairs."""
        return self.higher + self.lower + self.tied

    @property
    def nap(self) -> float:
        """Non-overlap of all pairs: 1 all higher, 0.5 no difference, 0 all lower. Mann-Whitney's U over all pairs."""
        return (self.higher + 0.5 * self.tied) / self.total

    @property
    def tau(self) -> float:
        """2 NAP - 1, in [-1, 1]."""
        return (self.higher - self.lower) / self.total


@dataclass(frozen=True, slots=True)
class Trend:
    """Kendall's tau-b of values against their order, with its p; 0 and 1 where there is nothing to rank."""

    tau: float
    p: float


def pairs(before: Floats, after: Floats) -> Pairs:
    """Count all pairs. Raises ValueError when a phase is empty."""
    if before.size == 0 or after.size == 0:
        raise ValueError("both phases need at least one value")
    # Sorting makes long records cheap: positions of every "after" among the sorted "before".
    ordered = np.sort(before)
    below = np.searchsorted(ordered, after, side="left")
    not_above = np.searchsorted(ordered, after, side="right")
    higher, lower = int(below.sum()), int((before.size - not_above).sum())
    return Pairs(higher, lower, before.size * after.size - higher - lower)


def pairs_reference(before: Floats, after: Floats) -> Pairs:
    """The same by looking at every pair."""
    difference = np.subtract.outer(after, before)
    return Pairs(int((difference > 0).sum()), int((difference < 0).sum()), int((difference == 0).sum()))


def trend_score(values: Floats) -> int:
    """Kendall's S of a series against time: rising pairs less falling pairs."""
    difference = np.sign(values[None, :] - values[:, None])
    return int(np.triu(difference, 1).sum())


def tau_u(before: Floats, after: Floats) -> float:
    """(S of the pairs - S of the baseline) / pairs. Not bounded by ±1: show Tau and the baseline trend instead."""
    counted = pairs(before, after)
    return (counted.higher - counted.lower - trend_score(before)) / counted.total


def baseline_trend(values: Floats) -> Trend:
    """Whether the baseline was already moving."""
    if values.size < 3 or np.ptp(values) == 0.0:
        return Trend(0.0, 1.0)
    # Imported here: the whole of scipy.stats would hold up every start, and only a long baseline needs it.
    from scipy.stats import kendalltau

    found = kendalltau(np.arange(values.size), values)
    return Trend(float(found.statistic), float(found.pvalue))

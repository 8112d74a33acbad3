"""Agreement of repeated measures: intraclass correlations, standard error of measurement, smallest detectable change.

Shrout & Fleiss 1979 (Psychol Bull 86:420-428) for the six coefficients and their intervals, named after McGraw & Wong
1996; Weir 2005 (JSCR 19:231-240) for the standard error straight from the mean squares. Checks E01-E15.
"""

from dataclasses import dataclass
from math import sqrt
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.stats import f as f_distribution

Floats = NDArray[np.float64]
Form = Literal["1", "2", "3"]
"""1: every target by other judges; 2: the judges are a sample; 3: these very judges (consistency)."""

Z_95: Final = 1.96
Z_90: Final = 1.645
"""Rounded as the literature prints them."""


@dataclass(frozen=True, slots=True)
class MeanSquares:
    """Two-way analysis of variance of n targets by k judges: sums of squares and mean squares, in squared units."""

    targets: int
    judges: int
    ss_between: float
    ss_judges: float
    ss_error: float

    @property
    def ss_within(self) -> float:
        """Within targets: judges and error together."""
        return self.ss_judges + self.ss_error

    @property
    def between(self) -> float:
        """BMS."""
        return self.ss_between / (self.targets - 1)

    @property
    def of_judges(self) -> float:
        """JMS."""
        return self.ss_judges / (self.judges - 1)

    @property
    def error(self) -> float:
        """EMS."""
        return self.ss_error / ((self.targets - 1) * (self.judges - 1))

    @property
    def within(self) -> float:
        """WMS."""
        return self.ss_within / (self.targets * (self.judges - 1))


def mean_squares(table: Floats) -> MeanSquares:
    """Analysis of variance of a table, shape (targets, judges), no gaps. Raises ValueError when it is too small."""
    if table.ndim != 2 or min(table.shape) < 2 or not np.all(np.isfinite(table)):
        raise ValueError(f"needs at least two targets by two judges without gaps, got shape {table.shape}")
    n, k = table.shape
    grand = table.mean()
    between = float(k * np.sum((table.mean(axis=1) - grand) ** 2))
    judges = float(n * np.sum((table.mean(axis=0) - grand) ** 2))
    total = float(np.sum((table - grand) ** 2))
    return MeanSquares(n, k, between, judges, total - between - judges)


def icc_single(ms: MeanSquares, form: Form) -> float:
    """ICC of one judge: ICC(1,1), ICC(2,1) (absolute agreement) or ICC(3,1) (consistency)."""
    n, k, b = ms.targets, ms.judges, ms.between
    if form == "1":
        return (b - ms.within) / (b + (k - 1) * ms.within)
    if form == "2":
        return (b - ms.error) / (b + (k - 1) * ms.error + k * (ms.of_judges - ms.error) / n)
    return (b - ms.error) / (b + (k - 1) * ms.error)


def icc_average(ms: MeanSquares, form: Form) -> float:
    """ICC of the mean of the k judges: ICC(1,k), ICC(2,k) or ICC(3,k)."""
    b = ms.between
    if form == "1":
        return (b - ms.within) / b
    if form == "2":
        return (b - ms.error) / (b + (ms.of_judges - ms.error) / ms.targets)
    return (b - ms.error) / b


def icc_interval(ms: MeanSquares, form: Form, confidence: float = 0.95) -> tuple[float, float]:
    """Confidence interval of the single-judge ICC (Shrout & Fleiss 1979; form 2 by Satterthwaite's degrees of freedom)."""
    n, k, b, e = ms.targets, ms.judges, ms.between, ms.error
    upper = 0.5 + confidence / 2.0
    if form == "2":
        icc, fj = icc_single(ms, "2"), ms.of_judges / e
        part = n * (1 + (k - 1) * icc) - k * icc
        v = (k - 1) * (n - 1) * (k * icc * fj + part) ** 2 / ((n - 1) * (k * icc * fj) ** 2 + part**2)
        low_f, high_f = float(f_distribution.ppf(upper, n - 1, v)), float(f_distribution.ppf(upper, v, n - 1))
        rest = k * ms.of_judges + (k * n - k - n) * e
        return n * (b - low_f * e) / (low_f * rest + n * b), n * (high_f * b - e) / (rest + n * high_f * b)
    ratio, df = (b / ms.within, n * (k - 1)) if form == "1" else (b / e, (n - 1) * (k - 1))
    low = ratio / float(f_distribution.ppf(upper, n - 1, df))
    high = ratio * float(f_distribution.ppf(upper, df, n - 1))
    return (low - 1) / (low + k - 1), (high - 1) / (high + k - 1)


def sem_consistency(ms: MeanSquares) -> float:
    """Standard error of measurement when a constant offset of a judge does not matter."""
    return sqrt(ms.error)


def sem_agreement(ms: MeanSquares) -> float:
    """Standard error of measurement with the judges' offsets in it."""
    return sqrt(ms.within)


def sem_from_icc(sd: float, icc: float) -> float:
    """SD √(1 - ICC), for figures of a paper that gives no mean squares."""
    return sd * sqrt(1.0 - icc)


def sem_from_repeats(sds: Floats) -> float:
    """Typical error from several subjects' own standard deviations: their root mean square."""
    return float(np.sqrt(np.mean(np.asarray(sds, dtype=np.float64) ** 2)))


def detectable_change(sem: float, z: float = Z_95) -> float:
    """Change between two single measures that measurement error alone seldom makes: z √2 SEM (2.7719 SEM at 95 %)."""
    return z * sqrt(2.0) * sem


def detectable_change_of_means(sd: float, n_before: int, n_after: int) -> float:
    """1.96 sd √(1/n₁ + 1/n₂): the change between two session means if a golfer were the same every day.

    Nobody is: with a day-to-day spread of 1.5 to 3 degrees it calls 29-55 % of unchanged golfers changed. Kept as the
    published yardstick; verdicts use `hierarchy`.
    """
    return Z_95 * sd * sqrt(1.0 / n_before + 1.0 / n_after)

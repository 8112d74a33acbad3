"""Means of days that belong to one person: a normal hierarchy with a prior for the day-to-day spread.

Swing means of blocks y = X b + day + noise: the noise of a mean is swing variance over its number of swings, the day has
a standard deviation τ shared by all blocks of that day. Two or four days say little about τ, so a population prior (log
normal) is laid over it and τ is integrated out on a grid; given τ everything is linear and exact. Coefficients have
normal priors by their precision (0 is flat; the likelihood of τ is then the restricted one).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

GRID_POINTS: Final = 33
GRID_REACH: Final = 4.0
"""Half-width of the grid in standard deviations of the prior of log τ."""


@dataclass(frozen=True, slots=True)
class Spread:
    """What is believed of a golfer's scatter before his own swings are counted, in the unit of the quantity.

    swing_sd, swing_df: scatter between swings of one block and how many degrees of freedom that belief is worth;
    day_sd, day_log_sd: median and log standard deviation of the day-to-day spread over golfers.
    """

    swing_sd: float
    swing_df: float
    day_sd: float
    day_log_sd: float


@dataclass(frozen=True, eq=False, slots=True)
class Blocks:
    """Swing means: mean and number of swings of each block, its day, and the pooled within-block sum of squares."""

    mean: Floats
    swings: Floats
    day: Ints
    within_ss: float
    within_df: float


@dataclass(frozen=True, eq=False, slots=True)
class Mixture:
    """A number whose doubt is a weighted mixture of normals: means, standard deviations and weights, each shape (T,)."""

    means: Floats
    sds: Floats
    weights: Floats

    @property
    def value(self) -> float:
        """Mean."""
        return float(self.weights @ self.means)

    @property
    def sd(self) -> float:
        """Standard deviation."""
        return float(np.sqrt(self.weights @ (self.sds**2 + (self.means - self.value) ** 2)))

    def above(self, bound: float) -> float:
        """Probability of being above the bound."""
        return float(self.weights @ ndtr((self.means - bound) / self.sds))

    def quantile(self, p: float) -> float:
        """Value with probability p below it, by halving."""
        reach = 12.0 * float(np.max(self.sds))
        low, high = float(np.min(self.means)) - reach, float(np.max(self.means)) + reach
        for _ in range(60):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if 1.0 - self.above(middle) < p else (low, middle)
        return 0.5 * (low + high)

    def interval(self, confidence: float = 0.9) -> tuple[float, float]:
        """Central interval."""
        return self.quantile(0.5 - confidence / 2.0), self.quantile(0.5 + confidence / 2.0)


@dataclass(frozen=True, eq=False, slots=True)
class LevelFit:
    """The hierarchy fitted. day_sds, weights: grid of τ and its posterior, shape (T,); coefficient, covariance: given τ,
    shapes (T, p) and (T, p, p); swing_variance: pooled.
    """

    day_sds: Floats
    weights: Floats
    coefficient: Floats
    covariance: Floats
    swing_variance: float

    def contrast(self, row: Floats) -> Mixture:
        """Posterior of row · b, shape (p,)."""
        variance = np.einsum("i,tij,j->t", row, self.covariance, row)
        return Mixture(self.coefficient @ row, np.sqrt(np.maximum(variance, 1e-12)), self.weights)

    @property
    def day_sd(self) -> float:
        """Posterior mean of τ."""
        return float(self.weights @ self.day_sds)

    @property
    def swing_sd(self) -> float:
        """Scatter between swings of a block."""
        return float(np.sqrt(self.swing_variance))


def blocks_of(values: Sequence[Floats], days: Sequence[int]) -> Blocks:
    """Means and pooled scatter of blocks of swings; days: an index per block, the same for blocks of one day."""
    ss = sum(float(np.sum((v - v.mean()) ** 2)) for v in values)
    return Blocks(
        np.array([v.mean() for v in values]),
        np.array([float(v.size) for v in values]),
        np.asarray(days, dtype=np.intp),
        ss,
        float(sum(v.size - 1 for v in values)),
    )


def swing_variance(blocks: Blocks, spread: Spread) -> float:
    """Pooled variance between swings, own swings and prior weighed by their degrees of freedom."""
    return (blocks.within_ss + spread.swing_df * spread.swing_sd**2) / (blocks.within_df + spread.swing_df)


def day_grid(spread: Spread) -> tuple[Floats, Floats]:
    """Grid of τ, evenly spaced in its logarithm, and its log prior there (up to a constant), each shape (T,)."""
    z = np.linspace(-GRID_REACH, GRID_REACH, GRID_POINTS)
    return exp(log(spread.day_sd)) * np.exp(spread.day_log_sd * z), -0.5 * z**2


def fit_levels(blocks: Blocks, design: Floats, precision: Floats, spread: Spread) -> LevelFit:
    """Fit the hierarchy. design: shape (blocks, p); precision: of the coefficients' zero-mean normal priors, shape (p,).

    Raises ValueError when a coefficient with a flat prior cannot be told from the data.
    """
    taus, log_prior = day_grid(spread)
    variance = swing_variance(blocks, spread)
    same_day = (blocks.day[:, None] == blocks.day[None, :]).astype(np.float64)
    covariance = taus[:, None, None] ** 2 * same_day + np.diag(variance / blocks.swings)
    lower = np.linalg.cholesky(covariance)
    stacked = np.broadcast_to(np.column_stack([design, blocks.mean]), (taus.size, design.shape[0], design.shape[1] + 1))
    white = np.linalg.solve(lower, stacked)
    x, y = white[..., :-1], white[..., -1]
    information = np.swapaxes(x, 1, 2) @ x + np.diag(precision)
    if np.linalg.matrix_rank(information[0]) < design.shape[1]:
        raise ValueError("these blocks cannot tell all coefficients apart")
    b_cov = np.linalg.inv(information)
    b = np.einsum("tij,tnj,tn->ti", b_cov, x, y)
    squares = np.einsum("tn,tn->t", y, y) - np.einsum("ti,tij,tj->t", b, information, b)
    log_det = 2.0 * np.sum(np.log(np.diagonal(lower, axis1=1, axis2=2)), axis=1)
    score = log_prior - 0.5 * (log_det + np.linalg.slogdet(information)[1] + squares)
    weights = np.exp(score - score.max())
    return LevelFit(taus, weights / weights.sum(), b, b_cov, variance)


def day_levels(blocks: Blocks, fit: LevelFit, design: Floats) -> tuple[Floats, Floats]:
    """Each block's level with its own day in it, drawn towards the fit: means and standard deviations, shape (blocks,).

    For drawing progress: a block of few swings leans on the others. The doubt of the coefficients enters.
    """
    same_day = (blocks.day[:, None] == blocks.day[None, :]).astype(np.float64)
    noise = np.diag(fit.swing_variance / blocks.swings)
    mean, square = np.zeros(blocks.mean.size), np.zeros(blocks.mean.size)
    for tau, weight, b, cov in zip(fit.day_sds, fit.weights, fit.coefficient, fit.covariance, strict=True):
        days = tau**2 * same_day
        gain = days @ np.linalg.inv(days + noise)
        level = design @ b + gain @ (blocks.mean - design @ b)
        rest = design - gain @ design
        var = np.diag(days - gain @ days) + np.einsum("ni,ij,nj->n", rest, cov, rest)
        mean += weight * level
        square += weight * (var + level**2)
    return mean, np.sqrt(np.maximum(square - mean**2, 0.0))

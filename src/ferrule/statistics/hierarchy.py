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

ROOT_TWO_PI_INVERSE: Final = 0.3989422804014327
GRID_POINTS: Final = 21
GRID_REACH: Final = 3.5
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
        """Value with probability p below it: Newton's steps, halving where one would leave the bracket."""
        at, sd = self.value, self.sd
        low, high = at - 9.0 * sd, at + 9.0 * sd
        for _ in range(60):
            z = (at - self.means) / self.sds
            miss = float(self.weights @ ndtr(z)) - p
            low, high = (low, at) if miss > 0.0 else (at, high)
            density = float(self.weights @ (np.exp(-0.5 * z * z) / self.sds)) * ROOT_TWO_PI_INVERSE
            step = at - miss / density if density > 0.0 else low
            nearer = step if low < step < high else 0.5 * (low + high)
            if abs(nearer - at) < 1e-10 * sd:
                break
            at = nearer
        return at

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
    lower = _roots(blocks.swings, blocks.day, taus, variance)
    white = _whitened(lower, np.column_stack([design, blocks.mean]))
    x, y = white[..., :-1], white[..., -1]
    information = np.swapaxes(x, 1, 2) @ x + np.diag(precision)
    if np.linalg.matrix_rank(information[0]) < design.shape[1]:
        raise ValueError("these blocks cannot tell all coefficients apart")
    b_cov = np.linalg.inv(information)
    b = (b_cov @ np.swapaxes(x, 1, 2) @ y[..., None])[..., 0]
    squares = np.einsum("tn,tn->t", y, y) - np.einsum("ti,tij,tj->t", b, information, b)
    log_det = 2.0 * np.sum(np.log(np.diagonal(lower, axis1=1, axis2=2)), axis=1)
    score = log_prior - 0.5 * (log_det + np.linalg.slogdet(information)[1] + squares)
    weights = np.exp(score - score.max())
    return LevelFit(taus, weights / weights.sum(), b, np.asarray(b_cov), variance)


def foreseen(fit: LevelFit, swings: Floats, day: Ints, design: Floats, precision: Floats, row: Floats) -> Mixture:
    """Doubt of row · b, centred on 0, if these blocks were there: for tests not yet made. Spreads as in the fit."""
    white = _whitened(_roots(swings, day, fit.day_sds, fit.swing_variance), design)
    covariance = np.linalg.inv(np.swapaxes(white, 1, 2) @ white + np.diag(precision))
    variance = np.einsum("i,tij,j->t", row, covariance, row)
    return Mixture(np.zeros(variance.size), np.sqrt(variance), fit.weights)


def _roots(swings: Floats, day: Ints, taus: Floats, variance: float) -> Floats:
    """Cholesky factors of the blocks' covariance at every τ, shape (T, n, n)."""
    same_day = (day[:, None] == day[None, :]).astype(np.float64)
    return np.asarray(np.linalg.cholesky(taus[:, None, None] ** 2 * same_day + np.diag(variance / swings)))


def _whitened(lower: Floats, columns: Floats) -> Floats:
    return np.asarray(np.linalg.solve(lower, np.broadcast_to(columns, (lower.shape[0], *columns.shape))))


def day_levels(blocks: Blocks, fit: LevelFit, design: Floats) -> tuple[Floats, Floats]:
    """Each block's level with its own day in it, drawn towards the fit: means and standard deviations, shape (blocks,).

    For drawing progress: a block of few swings leans on the others. The doubt of the coefficients enters.
    """
    same_day = (blocks.day[:, None] == blocks.day[None, :]).astype(np.float64)
    days = fit.day_sds[:, None, None] ** 2 * same_day
    gain = days @ np.linalg.inv(days + np.diag(fit.swing_variance / blocks.swings))
    fitted = np.einsum("np,tp->tn", design, fit.coefficient)
    level = fitted + (gain @ (blocks.mean - fitted)[..., None])[..., 0]
    rest = design - gain @ design
    variance = np.diagonal(days - gain @ days, axis1=1, axis2=2) + np.einsum("tnp,tnp->tn", rest @ fit.covariance, rest)
    mean = fit.weights @ level
    return np.asarray(mean), np.sqrt(np.maximum(fit.weights @ (variance + level**2) - mean**2, 0.0))

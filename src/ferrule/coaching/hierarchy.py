"""Typical delivery apart from scatter, over 1 to 500 swings: a normal hierarchy, worked out in closed form.

    reading  y = a · x_i + o_s + e        x_i: what swing i did, k quantities; o_s: offset of the source; e: own noise
    swing    x_i = μ + u_i                u_i ~ N(0, scatter²), each quantity by itself
    typical  μ ~ N(mean, sd²),   source  o_s ~ N(mean_s, sd_s²)

A source is whatever errs the same way every time: one mounting of the sensors, one coach's eye. Its offset is learned
wherever its readings meet others of the same swings (the flight of the ball, an instrument). The swings are eliminated
one by one, so the cost grows with their number alone; `fit_plainly` is the same normal written out whole. The golfer's
own scatter is learned too, its prior counting as a few swings. One unit throughout.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from ferrule.statistics.estimate import Estimate

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

SCATTER_DF: Final = 6.0
"""How many swings the prior of the scatter counts for (common practice, no source)."""
OUTLIER_CHANCE: Final = 0.02
"""Chance that a lesson without any odd swing has one named."""
MOST_OUTLIERS: Final = 0.2
"""Never more than this share of the swings is set aside."""
_ROUNDS: Final = 12
_ASIDE: Final = 10.0


@dataclass(frozen=True, slots=True)
class Level:
    """One quantity of the delivery: prior mean and sd of its typical value, and its usual scatter from swing to swing."""

    name: str
    mean: float
    sd: float
    scatter: float


@dataclass(frozen=True, eq=False, slots=True)
class Readings:
    """Readings, r of them. swing: index, shape (r,); weights: of the k quantities in the reading, shape (r, k); value,
    sd: shape (r,), sd the noise of its own that no other reading shares; source: index of the source whose offset it
    holds, -1 for none, shape (r,).
    """

    swing: Ints
    weights: Floats
    value: Floats
    sd: Floats
    source: Ints


@dataclass(frozen=True, slots=True)
class Outlier:
    """A swing unlike the golfer's others: which quantity, by how much, and by how many of its standard deviations."""

    swing: int
    quantity: str
    departure: float
    deviations: float


@dataclass(frozen=True, eq=False, slots=True)
class Hierarchy:
    """What n swings say. typical: per quantity; typical_cov: (k, k); offsets: per source; scatter: (k,);
    swing_mean, swing_sd: what each swing did, (n, k); alike: sd of what the errors of all swings share, (k,); departure: its standing among the others in standard deviations of
    what would be expected, N(0, 1) for an ordinary swing, (n, k); outliers: set aside for typical and scatter.
    """

    levels: tuple[Level, ...]
    typical: tuple[Estimate, ...]
    typical_cov: Floats
    offsets: tuple[Estimate, ...]
    scatter: Floats
    swing_mean: Floats
    swing_sd: Floats
    alike: Floats
    departure: Floats
    outliers: tuple[Outlier, ...]

    def swing(self, index: int, quantity: str) -> Estimate:
        """What one swing did in one quantity."""
        k = next(i for i, level in enumerate(self.levels) if level.name == quantity)
        return Estimate(float(self.swing_mean[index, k]), float(self.swing_sd[index, k]))


@dataclass(frozen=True, eq=False, slots=True)
class _Solved:
    """Mean and covariance of the shared unknowns (μ, o); departures u with variances, (n, k); alone: those variances were
    the shared unknowns known; gain: of u on the shared unknowns, (n, k, g).
    """

    shared: Floats
    shared_cov: Floats
    u: Floats
    u_var: Floats
    alone: Floats
    gain: Floats

    def lift(self) -> Floats:
        """What a swing did, μ + u, per unit of the shared unknowns, (n, k, g)."""
        lift = -self.gain
        lift[:, :, : self.u.shape[1]] += np.eye(self.u.shape[1])
        return lift

    def swing_variance(self) -> Floats:
        """Variances of what each swing did, (n, k)."""
        lift = self.lift()
        return np.asarray(self.alone + np.einsum("nkg,nkg->nk", lift @ self.shared_cov, lift))

    def alike(self) -> Floats:
        """Variance of the mean error of the swings that comes from the shared unknowns, (k,)."""
        if not len(self.u):
            return np.zeros(self.u.shape[1])
        lift = self.lift().mean(axis=0)
        return np.asarray(np.einsum("kg,kg->k", lift @ self.shared_cov, lift))


@dataclass(frozen=True, eq=False, slots=True)
class _Sums:
    """Readings of each swing summed up once: precision of x (n, k, k), its cross terms with the shared unknowns
    (n, k, g), right side (n, k); the shared unknowns' own precision (g, g) and right side (g,).
    """

    own: Floats
    cross: Floats
    right: Floats
    shared: Floats
    shared_right: Floats


def fit_hierarchy(
    levels: Sequence[Level],
    readings: Readings,
    swings: int,
    sources: Sequence[Estimate] = (),
    *,
    more_scatter: Floats | None = None,
    learn_scatter: bool = True,
    name_outliers: bool = True,
) -> Hierarchy:
    """Fit all levels at once.

    swings: how many, with readings or without; sources: prior of each source's offset; more_scatter: further sd of the
    departure of single swings (a try is not one of the usual swings), shape (n, k); such swings do not teach the scatter.
    """
    k = len(levels)
    sums = _summed(levels, readings, swings, sources)
    usual = np.array([level.scatter for level in levels]) ** 2
    more = np.zeros((swings, k)) if more_scatter is None else more_scatter**2
    counted = np.all(more == 0.0, axis=1)
    scatter = usual
    solved, scatter = _learned(sums, usual, scatter, more, counted, learn_scatter)
    outliers: list[Outlier] = []
    if name_outliers and swings >= 4:
        limit = float(ndtri(1.0 - OUTLIER_CHANCE / (2.0 * swings * k)))
        for _ in range(max(int(MOST_OUTLIERS * swings), 1)):
            z = np.where(counted[:, None], _standing(solved, scatter + more), 0.0)
            worst = int(np.argmax(np.max(np.abs(z), axis=1)))
            # A swing that is odd widens the scatter it is judged by: judged again by the others alone.
            if np.max(np.abs(z[worst])) < 0.6 * limit:
                break
            tried_more, tried_counted = more.copy(), counted.copy()
            tried_more[worst] += (_ASIDE**2) * usual
            tried_counted[worst] = False
            tried, own = _learned(sums, usual, scatter, tried_more, tried_counted, learn_scatter)
            found = _odd(levels, tried, own, tried_more, worst)
            if abs(found.deviations) < limit:
                break
            outliers.append(found)
            solved, scatter, more, counted = tried, own, tried_more, tried_counted
    return _told(levels, solved, scatter, more, sources, outliers)


def fit_plainly(
    levels: Sequence[Level], readings: Readings, swings: int, sources: Sequence[Estimate], scatter: Floats
) -> tuple[Floats, Floats]:
    """The same normal written out whole, at a given scatter: mean and covariance of (μ, o, x_1, ..., x_n).

    The plain form that `fit_hierarchy` is held to; small n only.
    """
    k, m = len(levels), len(sources)
    size = k + m + swings * k
    precision, right = np.zeros((size, size)), np.zeros(size)

    def add(row: Floats, value: float, sd: float) -> None:
        precision[:] += np.outer(row, row) / sd**2
        right[:] += row * value / sd**2

    unit = np.eye(size)
    for j, level in enumerate(levels):
        add(unit[j], level.mean, level.sd)
        for i in range(swings):
            add(unit[k + m + i * k + j] - unit[j], 0.0, float(scatter[j]))
    for j, source in enumerate(sources):
        add(unit[k + j], source.value, source.sd)
    for r in range(len(readings.value)):
        row = np.zeros(size)
        first = k + m + int(readings.swing[r]) * k
        row[first : first + k] = readings.weights[r]
        if readings.source[r] >= 0:
            row[k + int(readings.source[r])] = 1.0
        add(row, float(readings.value[r]), float(readings.sd[r]))
    covariance: Floats = np.asarray(np.linalg.inv(precision), dtype=np.float64)
    return covariance @ right, covariance


def _summed(levels: Sequence[Level], readings: Readings, swings: int, sources: Sequence[Estimate]) -> _Sums:
    k, m = len(levels), len(sources)
    w = 1.0 / readings.sd**2
    a = readings.weights.reshape(-1, k)
    row = np.zeros((len(w), k + m))
    row[:, :k] = a
    has = readings.source >= 0
    row[has, k + readings.source[has]] = 1.0
    own, cross, right = np.zeros((swings, k, k)), np.zeros((swings, k, k + m)), np.zeros((swings, k))
    np.add.at(own, readings.swing, (w[:, None, None] * a[:, :, None]) * a[:, None, :])
    np.add.at(cross, readings.swing, (w[:, None, None] * a[:, :, None]) * row[:, None, :])
    np.add.at(right, readings.swing, (w * readings.value)[:, None] * a)
    mean = np.array([level.mean for level in levels] + [s.value for s in sources])
    prior = 1.0 / np.array([level.sd for level in levels] + [s.sd for s in sources]) ** 2
    return _Sums(
        own, cross, right, row.T @ (w[:, None] * row) + np.diag(prior), row.T @ (w * readings.value) + prior * mean
    )


def _solve(sums: _Sums, variance: Floats) -> _Solved:
    """All unknowns at a given scatter. variance: of the departures, shape (n, k)."""
    n, k = variance.shape
    inverse = np.linalg.inv(sums.own + np.eye(k) / variance[:, None, :])
    gain = inverse @ sums.cross
    flat = sums.cross.reshape(n * k, sums.cross.shape[2])
    precision = sums.shared - flat.T @ gain.reshape(n * k, sums.cross.shape[2])
    u0 = (inverse @ sums.right[:, :, None])[:, :, 0]
    right = sums.shared_right - flat.T @ u0.ravel()
    covariance: Floats = np.asarray(np.linalg.inv(precision), dtype=np.float64)
    shared = covariance @ right
    u = u0 - gain @ shared
    alone = np.diagonal(inverse, axis1=1, axis2=2)
    u_var = alone + np.einsum("nkg,nkg->nk", gain @ covariance, gain)
    return _Solved(shared, covariance, u, u_var, alone, gain)


def _learned(
    sums: _Sums, usual: Floats, start: Floats, more: Floats, counted: NDArray[np.bool_], learn: bool
) -> tuple[_Solved, Floats]:
    """Scatter by expectation and maximisation from `start`, the prior counting as `SCATTER_DF` swings."""
    variance = start
    solved = _solve(sums, variance + more)
    if not learn or not counted.any():
        return solved, variance
    for _ in range(_ROUNDS):
        squares = np.sum((solved.u**2 + solved.u_var)[counted], axis=0)
        following = (SCATTER_DF * usual + squares) / (SCATTER_DF + counted.sum())
        settled = bool(np.all(np.abs(following / variance - 1.0) < 0.01))
        variance = following
        solved = _solve(sums, variance + more)
        if settled:
            break
    return solved, variance


def _standing(solved: _Solved, variance: Floats) -> Floats:
    """Departures over their own sd: the variance of a posterior mean is the prior's less the posterior's."""
    seen = variance - solved.u_var
    return np.where(seen > 1e-3 * variance, solved.u / np.sqrt(np.maximum(seen, 1e-12 * variance)), 0.0)


def _odd(levels: Sequence[Level], solved: _Solved, scatter: Floats, more: Floats, swing: int) -> Outlier:
    """The departure of a swing that was set aside, against what the others let one expect of it.

    Under the wide prior the posterior mean has variance wide - post; under the usual scatter it is scaled by the same
    gain, and only the part of the readings' own noise stays: gain² (scatter + noise), gain = 1 - post / wide.
    """
    wide = scatter + more[swing]
    gain = np.clip(1.0 - solved.u_var[swing] / wide, 1e-9, 1.0)
    noise = wide * (1.0 - gain) / gain
    z = solved.u[swing] / (gain * np.sqrt(scatter + noise))
    j = int(np.argmax(np.abs(z)))
    return Outlier(swing, levels[j].name, float(solved.u[swing, j]), float(z[j]))


def _told(
    levels: Sequence[Level],
    solved: _Solved,
    scatter: Floats,
    more: Floats,
    sources: Sequence[Estimate],
    outliers: list[Outlier],
) -> Hierarchy:
    k = len(levels)
    sd = np.sqrt(np.diagonal(solved.shared_cov))
    estimates = [Estimate(float(v), float(s)) for v, s in zip(solved.shared, sd, strict=True)]
    return Hierarchy(
        tuple(levels),
        tuple(estimates[:k]),
        solved.shared_cov[:k, :k],
        tuple(estimates[k : k + len(sources)]),
        np.sqrt(scatter),
        solved.shared[:k] + solved.u,
        np.sqrt(solved.swing_variance()),
        np.sqrt(solved.alike()),
        _standing(solved, scatter + more),
        tuple(sorted(outliers, key=lambda o: o.swing)),
    )


__all__ = ["Hierarchy", "Level", "Outlier", "Readings", "fit_hierarchy", "fit_plainly"]

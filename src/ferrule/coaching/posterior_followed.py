"""Posteriors that no single normal is near: a second peak, a long tail, readings that contradict each other.

Where only the curve of the ball sees the face, a low delivered loft explains it as well as a high one does with another
face; such posteriors bend or have two peaks. They are followed with many points of a mixture of normals, fitted to what
the points before it found (population Monte Carlo, then expectation maximisation).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.delivery_state import SIZE
from ferrule.coaching.posterior_fits import Target, normalised, other_peaks
from ferrule.coaching.posterior_points import calibrated, evenly, quasi_random, terms_of
from ferrule.coaching.posterior_rule import Normal

Floats = NDArray[np.float64]

_SOME: Final = 2000
_MANY: Final = 8000
_KEPT: Final = 800
_LEARNT: Final = 1000
_ROUNDS: Final = 6
_WIDER: Final = 1.3
_FOUND: Final = 0.3
"""Effective share of the points from which a mixture can be fitted to them."""
_CLEAR: Final = 0.6
_BROAD: Final = 0.15
_PARTS: Final = 3
_PASSES: Final = 5
_OUTWARD: Final = 1.05
_HANDFUL: Final = 200.0
_LEAST: Final = 24


@dataclass(frozen=True, eq=False, slots=True)
class _Mixture:
    """Normals with their shares. share: (k,); centre: (k, 10); root: triangular roots of the covariances, (k, 10, 10)."""

    share: Floats
    centre: Floats
    root: Floats

    def normal(self, part: int) -> Normal:
        """Of one part."""
        return self.centre[part], self.root[part]

    def log_densities(self, y: Floats) -> Floats:
        """Of each part at y, its share included, up to one constant, shape (k, n)."""
        z = (y - self.centre[:, None, :]) @ np.swapaxes(np.linalg.inv(self.root), 1, 2)
        volume = np.log(np.abs(np.diagonal(self.root, axis1=1, axis2=2))).sum(axis=1)
        return np.asarray((np.log(self.share) - volume)[:, None] - 0.5 * np.einsum("kni,kni->kn", z, z))

    def beside(self, others: Sequence[Normal], share: float) -> "_Mixture":
        """With further parts that get this share each."""
        rest = 1.0 - share * len(others)
        return _Mixture(
            np.concatenate([rest * self.share, np.full(len(others), share)]),
            np.concatenate([self.centre, [n[0] for n in others]]),
            np.concatenate([self.root, [n[1] for n in others]]),
        )


@dataclass(frozen=True, eq=False, slots=True)
class _Drawn:
    """Weighted points: coordinates y and states x, (n, 10)."""

    y: Floats
    x: Floats
    weight: Floats

    @property
    def effective(self) -> float:
        return 1.0 / float(self.weight @ self.weight)


def followed(target: Target, broad: Normal, begin: list[Normal]) -> tuple[Floats, Floats]:
    """States and weights of points that say what many do; broad: the normal of all readings but those that
    see the face; begin: normals at what is known of the posterior.

    Other peaks and the broad normal have a part throughout: its points reach a long tail that the others would miss.
    """
    peaks = [*begin[1:], *other_peaks(target, begin[0], broad[0][None])]
    standing = [broad, *((mode, _WIDER * root) for mode, root in peaks)]
    first = _Mixture(np.ones(1), begin[0][0][None], _WIDER * begin[0][1][None])
    best = drawn = _draw(target, first.beside(standing, _BROAD), _SOME)
    for _ in range(_ROUNDS):
        if best.effective >= _FOUND * _SOME:
            break
        drawn = _draw(target, _one_like(drawn).beside(standing, _BROAD), _SOME)
        best = max(best, drawn, key=lambda d: d.effective)
    for count in (_SOME, _MANY):
        if count == _MANY or best.effective < _CLEAR * _SOME:
            wide = _one_like(best).normal(0)
            mixture = _several_like(best).beside([(wide[0], _WIDER * wide[1])], _BROAD).beside(standing, 0.5 * _BROAD)
            best = max(best, _draw(target, mixture, count), key=lambda d: d.effective)
    return _fewer(best)


def _draw(target: Target, mixture: _Mixture, count: int) -> _Drawn:
    """About so many points of the mixture, weighted by target over mixture."""
    counts = np.maximum(2 * np.rint(0.5 * count * mixture.share).astype(int), _LEAST)
    first = np.concatenate([[0], np.cumsum(counts // 2)]).tolist()
    parts = zip(counts.tolist(), first, mixture.centre, mixture.root, strict=False)
    y = np.concatenate([centre + quasi_random(n, skip) @ root.T for n, skip, centre, root in parts])
    drawn_from = _Mixture(counts / counts.sum(), mixture.centre, mixture.root)
    states, log_density = target.at(y)
    return _Drawn(y, states.x, normalised(log_density - _log_sum(drawn_from.log_densities(y))))


def _fewer(drawn: _Drawn) -> tuple[Floats, Floats]:
    """States and weights of some of the points, evenly taken along the first coordinate, with mean and spread of them all."""
    order = np.argsort(drawn.y[:, 0], kind="stable")
    taken = order[evenly(drawn.weight[order], _KEPT)]
    mean, root = _one_like(drawn).normal(0)
    terms = terms_of((drawn.y - mean) @ np.linalg.inv(root).T)
    weight = calibrated(terms[taken], np.full(_KEPT, 1.0 / _KEPT), drawn.weight @ terms)
    if weight.min() < 0.0:
        return drawn.x, drawn.weight
    return drawn.x[taken], weight / weight.sum()


def _one_like(drawn: _Drawn) -> _Mixture:
    """The normal that has the mean and the spread of the points, somewhat wider."""
    mean = drawn.weight @ drawn.y
    covariance = (drawn.y - mean).T @ ((drawn.y - mean) * drawn.weight[:, None])
    if drawn.effective < _HANDFUL:
        # A handful of points says little of ten spreads: part of how far all of them reach is kept.
        share = drawn.effective / (drawn.effective + _HANDFUL)
        covariance = share * covariance + (1.0 - share) * np.cov(drawn.y.T)
    root = np.asarray(_OUTWARD * np.linalg.cholesky(covariance + 1e-12 * np.eye(SIZE)), dtype=np.float64)
    return _Mixture(np.ones(1), mean[None], root[None])


def _several_like(drawn: _Drawn) -> _Mixture:
    """A mixture fitted to the points by expectation maximisation, begun with slices along the long tail."""
    y = drawn.y[evenly(drawn.weight, _LEARNT)]
    whole = np.linalg.cholesky(np.cov(y.T) + 1e-12 * np.eye(SIZE))
    middle = y.mean(axis=0)
    z = (y - middle) @ np.linalg.inv(whole).T
    tail = np.einsum("ni,n->i", z, np.einsum("ni,ni->n", z, z))
    slices = np.argsort(np.argsort(z @ tail, kind="stable"), kind="stable") * _PARTS // len(z)
    belongs = (slices == np.arange(_PARTS)[:, None]).astype(np.float64)
    for last in [False] * _PASSES + [True]:
        mixture = _maximised(z, belongs)
        if not last:
            log_density = mixture.log_densities(z)
            belongs = np.exp(log_density - _log_sum(log_density))
    return _Mixture(mixture.share, middle + mixture.centre @ whole.T, _OUTWARD * (whole @ mixture.root))


def _maximised(z: Floats, belongs: Floats) -> _Mixture:
    """The likeliest normals given how far each point belongs to each, (parts, n); a tenth of a part's spread is kept from
    what is usual for a part, so that none collapses.
    """
    size = belongs.sum(axis=1) + 1e-9
    centre = belongs @ z / size[:, None]
    apart = z - centre[:, None, :]
    square = np.swapaxes(apart * belongs[:, :, None], 1, 2) @ apart
    usual = 0.1 * len(z) / len(size)
    spread = (square + 0.5 * usual * np.eye(SIZE)) / (size + usual)[:, None, None]
    return _Mixture(size / size.sum(), centre, np.asarray(np.linalg.cholesky(spread), dtype=np.float64))


def _log_sum(log_densities: Floats) -> Floats:
    largest = log_densities.max(axis=0)
    return np.asarray(largest + np.log(np.exp(log_densities - largest).sum(axis=0)), dtype=np.float64)

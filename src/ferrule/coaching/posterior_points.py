"""Points of a standard normal in as many dimensions as the state, and what makes a few of them say as much as many.

Latin and quasi-random points stand for a whole distribution; the fully symmetric rule of fifth degree (McNamee and Stenger 1967) gives
means and spreads of smooth functions exactly up to that degree but no distribution; `calibrated` gives weighted
points of the former kind the mean and the spread of the rule.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from ferrule.coaching.delivery_state import SIZE

Floats = NDArray[np.float64]

PAIRS: Final = np.triu_indices(SIZE)
"""Rows and columns of the products of two coordinates among the terms."""
_LONGEST: Final = 8192


@dataclass(frozen=True, eq=False, slots=True)
class NormalPoints:
    """z: points, shape (n, SIZE); half_square: half of their squared lengths, (n,); terms: 1, each coordinate and each
    product of two of them, (n, 66).
    """

    z: Floats
    half_square: Floats
    terms: Floats


@lru_cache(maxsize=8)
def few_points(count: int) -> NormalPoints:
    """Antithetic Latin points, whitened: the size of each coordinate falls once into each of count / 2 equally likely
    slices, so that a few of them already show how likely each share is to be the largest. Always the same ones.
    """
    half = count // 2
    drawn = np.random.default_rng(5).random((half, SIZE))
    size = ndtri(0.5 + (0.5 + np.argsort(np.argsort(np.abs(drawn - 0.5), axis=0), axis=0)) / count)
    return _with_terms(_whitened(np.where(drawn < 0.5, -size, size)))


def quasi_random(count: int, first: int = 0) -> Floats:
    """Antithetic quasi-random points, whitened, for where they are many; first: how many pairs of the sequence to skip.
    Shape (count, SIZE); count is even.
    """
    return _whitened(normal_sequence(_LONGEST, SIZE)[first : first + count // 2])


def evenly(weight: Floats, count: int) -> NDArray[np.intp]:
    """Indices of equally likely points out of weighted ones."""
    # A hair early: where equal weights put a place on the border of two points, rounding must not choose between them.
    places = (0.5 + np.arange(count)) / count - 1e-9
    return np.minimum(np.searchsorted(np.cumsum(weight), places), len(weight) - 1)


@lru_cache(maxsize=1)
def fifth_degree() -> tuple[NormalPoints, Floats]:
    """The rule's 201 points and weights: the origin, and sqrt 3 along one or along two of the axes."""
    n = SIZE
    axes = np.sqrt(3.0) * np.eye(n)
    one = np.vstack([axes, -axes])
    two = [p * axes[i] + q * axes[j] for i, j in combinations(range(n), 2) for p in (1, -1) for q in (1, -1)]
    weight = np.array([(n * n - 7 * n + 18) / 18.0, *[(4 - n) / 18.0] * len(one), *[1.0 / 36.0] * len(two)])
    return _with_terms(np.vstack([np.zeros((1, n)), one, *two])), weight


@lru_cache(maxsize=1)
def finer_along_first() -> tuple[Floats, Floats]:
    """What to add to the rule of fifth degree, points and weights, so that along the first axis it is of 13th degree."""
    others = np.sqrt(SIZE - 1.0) * np.vstack([np.eye(SIZE - 1), -np.eye(SIZE - 1)])
    z, weight = [], []
    for nodes, sign in ((7, 1.0), (3, -1.0)):
        for node, share in zip(*np.polynomial.hermite_e.hermegauss(nodes), strict=True):
            z.append(np.hstack([np.full((len(others), 1), node), others]))
            weight.append(np.full(len(others), sign * share / np.sqrt(2.0 * np.pi) / len(others)))
    return np.vstack(z), np.concatenate(weight)


def terms_of(z: Floats) -> Floats:
    """1, each coordinate and each product of two of them, (n, 66)."""
    return np.hstack([np.ones((len(z), 1)), z, z[:, PAIRS[0]] * z[:, PAIRS[1]]])


def calibrated(terms: Floats, weight: Floats, wanted: Floats) -> Floats:
    """Weights nearest to these with which the terms, (n, 66), have the wanted means, (66,), as surveys are calibrated.

    Some may come out negative: then the weights were too far from what is wanted.
    """
    lack, rooted = wanted - weight @ terms, terms * np.sqrt(weight)[:, None]
    return np.asarray(weight * (1.0 + terms @ np.linalg.solve(rooted.T @ rooted, lack)))


@lru_cache(maxsize=8)
def normal_sequence(count: int, dimensions: int) -> Floats:
    """Quasi-random standard normal points, shape (count, dimensions): an additive recurrence on the generalised golden
    ratio (Roberts 2018). Always the same ones.
    """
    ratio = 1.0
    for _ in range(64):
        ratio = (1.0 + ratio) ** (1.0 / (dimensions + 1))
    out = np.asarray(ndtri((0.5 + np.arange(1, count + 1)[:, None] * ratio ** -np.arange(1, dimensions + 1)) % 1.0))
    out.flags.writeable = False
    return out


def _whitened(half: Floats) -> Floats:
    """These points and their opposites, with a covariance of exactly 1 (and so a mean of 0)."""
    z = np.concatenate([half, -half])
    return np.asarray(z @ np.linalg.inv(np.linalg.cholesky(z.T @ z / len(z))).T)


def _with_terms(z: Floats) -> NormalPoints:
    out = NormalPoints(z, 0.5 * np.sum(z**2, axis=1), terms_of(z))
    for array in (out.z, out.half_square, out.terms):
        array.flags.writeable = False
    return out

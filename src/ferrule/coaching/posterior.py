"""The posterior of a delivery: Gauss-Newton to the mode, then weighted low-discrepancy points.

At each of a few slopes of the lean tie, the mode and its curvature give a normal; a fixed, whitened, antithetic set of
quasi-random points of that normal is weighted by target over proposal. That keeps the curvature of the face (a plain
linearisation is off by 0.3°), is deterministic, and takes milliseconds. `posterior_reference`
is the plain form it is held to.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from ferrule.coaching.delivery_state import SIZE, DeliveryModel, G, L, States
from ferrule.coaching.observation import Observation
from ferrule.coaching.references import LEAN_TIE

Floats = NDArray[np.float64]
Coordinates = Callable[[Floats], tuple[Floats, Floats]]
"""From coordinates to states, with the log of the change of volume."""

POINTS: Final = 160
_STEP: Final = 1e-5
_STEPS_AT_MOST: Final = 40
_ENOUGH: Final = 0.32
_WIDER: Final = 1.25
_FACE_SEEN: Final = ("face", "face_since_address", "ball_start", "ball_landing")
_AROUND: Final = np.vstack([np.zeros((1, SIZE)), _STEP * np.eye(SIZE), -_STEP * np.eye(SIZE)])


@dataclass(frozen=True, eq=False, slots=True)
class Posterior:
    """Weighted points. x: states, shape (n, 10), radians; weight: shape (n,), sums to 1."""

    x: Floats
    weight: Floats

    @property
    def effective(self) -> float:
        """How many equally weighted points would say as much."""
        return 1.0 / float(np.sum(self.weight**2))

    def mean(self, values: Floats) -> Floats:
        """Weighted mean over points of values of shape (n, ...)."""
        return np.asarray(np.einsum("n,n...->...", self.weight, values))

    def sd(self, values: Floats) -> Floats:
        """Weighted standard deviation over points of values of shape (n, ...)."""
        return np.asarray(np.sqrt(np.maximum(self.mean((values - self.mean(values)) ** 2), 0.0)))


def posterior_of(model: DeliveryModel, observations: Sequence[Observation], points: int = POINTS) -> Posterior:
    """Posterior points of the state given independent observations; points: for each slope of the lean tie.

    The slope of the lean tie multiplies other unknowns, which no single normal follows: it is taken at Gauss-Hermite
    nodes, each with its own normal, weighted by how well it explains what was read.
    """
    mean, sd = LEAN_TIE
    nodes, log_nodes = _hermite_nodes()
    slopes = mean + sd * nodes
    coordinates = _coordinates(model, observations)
    start = model.prior_mean()
    if coordinates is not _plain:
        start[G] = float(model.face(start[None, :])[0])
    modes, roots = _modes_and_roots(model, observations, coordinates, slopes, start)
    target = _Target(model, tuple(observations), coordinates, slopes, log_nodes)
    posterior, y = target.weighted(modes, roots, points)
    if posterior.effective < _ENOUGH * len(posterior.weight):
        # The normals at the modes fit poorly (extreme or contradictory readings): look further out with more points, then
        # once more around what they found.
        posterior, y = target.weighted(modes, _WIDER * roots, 4 * points)
        mean_y = posterior.mean(y)
        covariance = np.einsum("n,ni,nj->ij", posterior.weight, y - mean_y, y - mean_y)
        root = 1.1 * np.linalg.cholesky(covariance + 1e-12 * np.eye(SIZE))
        k = len(slopes)
        posterior, _ = target.weighted(np.tile(mean_y, (k, 1)), np.tile(root, (k, 1, 1)), 4 * points)
    return posterior


@dataclass(frozen=True, eq=False, slots=True)
class _Target:
    """The posterior up to a constant, at each slope of the lean tie."""

    model: DeliveryModel
    observations: tuple[Observation, ...]
    coordinates: Coordinates
    slopes: Floats
    log_nodes: Floats

    def weighted(self, centres: Floats, roots: Floats, points: int) -> tuple[Posterior, Floats]:
        """Points of each slope's normal weighted by target over proposal, and the same points in coordinates.

        centres: (k, 10); roots: triangular, (k, 10, 10).
        """
        z = _normal_points(points)
        y = (centres[:, None, :] + np.einsum("knj,kij->kni", z, roots)).reshape(-1, SIZE)
        x, log_weight = self.coordinates(y)
        log_weight = log_weight + self.model.log_prior(x, np.repeat(self.slopes, points))
        states = States(self.model, x)
        for observation in self.observations:
            log_weight += observation.log_likelihood(states)
        log_volume = np.log(np.abs(np.diagonal(roots, axis1=1, axis2=2))).sum(axis=1)
        log_weight += np.repeat(self.log_nodes + log_volume, points) + 0.5 * np.sum(z**2, axis=2).ravel()
        weight = np.exp(log_weight - log_weight.max())
        return Posterior(x, weight / weight.sum()), y


def _coordinates(model: DeliveryModel, observations: Sequence[Observation]) -> Coordinates:
    """Coordinates in which the posterior is nearest to a normal: face first where the face was seen, else the state."""
    return model.from_face_first if any(o.name in _FACE_SEEN for o in observations) else _plain


def _plain(y: Floats) -> tuple[Floats, Floats]:
    return y, np.zeros(len(y))


def _modes_and_roots(
    model: DeliveryModel,
    observations: Sequence[Observation],
    coordinates: Coordinates,
    slopes: Floats,
    start: Floats,
) -> tuple[Floats, Floats]:
    """Modes of the posterior at each slope of the lean tie, (k, 10), and square roots of the covariances, (k, 10, 10).

    All slopes are worked together; upper triangular roots, in coordinates.
    """
    mean, sd = model.prior_mean(), model.prior_sd()

    def linearised(x: Floats) -> tuple[Floats, Floats, Floats]:
        residual, jacobian = _linearised(model, observations, coordinates, slopes, x, mean, sd)
        return np.sum(residual**2, axis=1), np.einsum("kmi,km->ki", jacobian, residual), jacobian

    x = np.tile(start, (len(slopes), 1))
    damping = np.full(len(slopes), 1e-3)
    cost, gradient, jacobian = linearised(x)
    for _ in range(_STEPS_AT_MOST):
        normal = np.swapaxes(jacobian, 1, 2) @ jacobian
        damped = normal + damping[:, None, None] * np.eye(SIZE) * np.diagonal(normal, axis1=1, axis2=2)[:, None, :]
        step = np.linalg.solve(damped, -gradient[:, :, None])[:, :, 0]
        tried = linearised(x + step)
        # Levenberg-Marquardt, each slope by itself: a step that makes things worse is taken back and shortened.
        better = tried[0] <= cost
        x[better] += step[better]
        cost = np.where(better, tried[0], cost)
        gradient[better], jacobian[better] = tried[1][better], tried[2][better]
        damping = np.where(better, damping * 0.1, damping * 8.0)
        if np.max(np.abs(step)) < 1e-5:
            break
    lower = np.linalg.cholesky(np.swapaxes(jacobian, 1, 2) @ jacobian)
    return x, np.swapaxes(np.linalg.inv(lower), 1, 2)


def _linearised(
    model: DeliveryModel,
    observations: Sequence[Observation],
    coordinates: Coordinates,
    slopes: Floats,
    x: Floats,
    mean: Floats,
    sd: Floats,
) -> tuple[Floats, Floats]:
    """Whitened residuals of prior and observations at x, (k, m), and their derivatives in coordinates, (k, m, 10)."""
    k = len(slopes)
    around = (x[:, None, :] + _AROUND).reshape(-1, SIZE)
    probe, _ = coordinates(around)
    states = States(model, probe)
    prior = (probe - mean) / sd
    prior[:, L] = (probe[:, L] - np.repeat(slopes, len(_AROUND)) * model.lean_lever(probe)) / sd[L]
    rows = [prior, *(_residual(o, states, k)[:, None] for o in observations)]
    table = np.concatenate(rows, axis=1).reshape(k, len(_AROUND), -1)
    slope = (table[:, 1 : SIZE + 1] - table[:, SIZE + 1 :]) / (2.0 * _STEP)
    return table[:, 0], np.swapaxes(slope, 1, 2)


def _residual(observation: Observation, states: States, k: int) -> Floats:
    """Whitened residual at each probe. The spread is that at the centre of each of the k sets of probes: a fit must not
    win by making its own doubt larger.
    """
    predicted = observation.predict(states).reshape(k, -1)
    spread = np.broadcast_to(observation.spread(predicted[:, :1]), (k, 1))
    return np.asarray(((predicted - observation.value) / spread).ravel())


@lru_cache(maxsize=1)
def _hermite_nodes() -> tuple[Floats, Floats]:
    """Nodes and log weights of the standard normal, 5 of them."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(5)
    return nodes, np.log(weights / weights.sum())


@lru_cache(maxsize=4)
def _normal_points(points: int) -> Floats:
    """Antithetic quasi-random points of a standard normal for each node, whitened, shape (5, points, 10).

    Each node's points continue the sequence where the one before it ended, so that their errors do not add up.
    """
    half = points // 2
    # Additive recurrence on the generalised golden ratio (Roberts 2018), shifted off the origin.
    ratio = 1.0
    for _ in range(64):
        ratio = (1.0 + ratio) ** (1.0 / (SIZE + 1))
    alpha = ratio ** -np.arange(1, SIZE + 1)
    blocks = []
    for block in range(len(_hermite_nodes()[0])):
        u = (0.5 + np.arange(block * half + 1, (block + 1) * half + 1)[:, None] * alpha) % 1.0
        z = ndtri(u)
        z = np.vstack([z, -z])
        blocks.append(z @ np.linalg.inv(np.linalg.cholesky(np.cov(z.T, bias=True))).T)
    out = np.asarray(blocks)
    out.flags.writeable = False
    return out

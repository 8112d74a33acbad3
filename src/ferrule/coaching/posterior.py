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

from ferrule.coaching.delivery_state import SIZE, DeliveryModel, G, States
from ferrule.coaching.observation import Observation
from ferrule.coaching.references import LEAN_TIE

Floats = NDArray[np.float64]
Coordinates = Callable[[Floats], tuple[States, Floats]]
"""From coordinates to states, with the log of the change of volume."""

POINTS: Final = 160
_STEP: Final = 1e-5
_STEPS_AT_MOST: Final = 40
# Radians a step at which the mode is near enough: the weights of the points make up for the rest.
_NEAR: Final = 2e-3
_STUCK: Final = 1e-5
_ENOUGH: Final = 0.32
_WIDER: Final = 1.25
_OUTWARD: Final = 1.1
_ROUNDS: Final = 4
_MANY: Final = 200.0
_FACE_SEEN: Final = ("face", "face_since_address", "ball_start", "ball_curve", "ball_landing")
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


@dataclass(frozen=True, eq=False, slots=True)
class Fits:
    """A normal at the mode for each slope of the lean tie, and for each of several subsets of the observations.

    coordinates: in which the normals stand; slopes: (k,); modes: (subsets, k, 10); roots: square roots of the
    covariances, upper triangular, (subsets, k, 10, 10); cost: sum of squared whitened residuals at the mode, (subsets, k).
    """

    coordinates: Coordinates
    slopes: Floats
    modes: Floats
    roots: Floats
    cost: Floats

    def node_weights(self, subset: int) -> Floats:
        """How much each slope counts by its normal alone (Laplace), shape (k,), sums to 1."""
        log_volume = np.log(np.abs(np.diagonal(self.roots[subset], axis1=1, axis2=2))).sum(axis=1)
        log_weight = _hermite_nodes()[1] + log_volume - 0.5 * self.cost[subset]
        weight = np.exp(log_weight - log_weight.max())
        return np.asarray(weight / weight.sum())

    def around(self, subset: int) -> tuple[States, Floats]:
        """Points of the normals that give mean and variance of smooth functions (cubature of third degree), with weights.

        States of shape (20 k, 10); weights of shape (20 k,), sum to 1.
        """
        arm = np.sqrt(SIZE) * np.swapaxes(self.roots[subset], 1, 2)
        y = self.modes[subset][:, None, :] + np.concatenate([arm, -arm], axis=1)
        states, _ = self.coordinates(y.reshape(-1, SIZE))
        return states, np.repeat(self.node_weights(subset) / (2 * SIZE), 2 * SIZE)


def posterior_of(model: DeliveryModel, observations: Sequence[Observation], points: int = POINTS) -> Posterior:
    """Posterior points of the state given independent observations; points: for each slope of the lean tie.

    The slope of the lean tie multiplies other unknowns, which no single normal follows: it is taken at Gauss-Hermite
    nodes, each with its own normal, weighted by how well it explains what was read.
    """
    return posterior_from(model, observations, fits_of(model, observations), points)


def posterior_from(
    model: DeliveryModel, observations: Sequence[Observation], fits: Fits, points: int = POINTS
) -> Posterior:
    """The same from fits whose first subset holds all the observations."""
    modes, roots, slopes = fits.modes[0], fits.roots[0], fits.slopes
    target = _Target(model, tuple(observations), fits.coordinates, slopes)
    posterior, y = target.weighted(modes, roots, points)
    if posterior.effective < _ENOUGH * len(posterior.weight):
        # The normals at the modes fit poorly (extreme or contradictory readings): look further out with more points, then
        # around what they found, as long as that goes on to find more (population Monte Carlo).
        centres, spread = modes, _WIDER * roots
        posterior, y = target.weighted(centres, spread, 4 * points)
        around = posterior, y
        for _ in range(_ROUNDS):
            centres, spread = _around(*around, len(slopes))
            around = target.weighted(centres, spread, 4 * points)
            if around[0].effective > posterior.effective:
                posterior = around[0]
            if posterior.effective >= _ENOUGH * len(posterior.weight):
                break
    return posterior


def _around(posterior: Posterior, y: Floats, k: int) -> tuple[Floats, Floats]:
    """Centres and roots of a normal like the points y, somewhat wider, the same for each of k slopes."""
    mean = posterior.mean(y)
    covariance = np.einsum("n,ni,nj->ij", posterior.weight, y - mean, y - mean)
    if posterior.effective < _MANY:
        # A handful of points says little of ten spreads: part of how far all of them reach is kept.
        share = posterior.effective / (posterior.effective + _MANY)
        covariance = share * covariance + (1.0 - share) * np.cov(y.T)
    root = _OUTWARD * np.linalg.cholesky(covariance + 1e-12 * np.eye(SIZE))
    return np.tile(mean, (k, 1)), np.tile(root, (k, 1, 1))


def fits_of(model: DeliveryModel, observations: Sequence[Observation], subsets: Sequence[Sequence[bool]] = ()) -> Fits:
    """Normals for all the observations, and then for each of these subsets (one flag an observation)."""
    mean, sd = LEAN_TIE
    slopes = mean + sd * _hermite_nodes()[0]
    coordinates = _coordinates(model, observations)
    start = model.prior_mean()
    if coordinates == model.from_face_first:
        start[G] = float(model.face(start[None, :])[0])
    counted = np.array([[True] * len(observations), *subsets], dtype=np.float64)
    search = _Search(model, tuple(observations), coordinates, np.tile(slopes, len(counted)), counted)
    modes, roots, cost = search.modes(start)
    shape = (len(counted), len(slopes))
    return Fits(
        coordinates, slopes, modes.reshape(*shape, SIZE), roots.reshape(*shape, SIZE, SIZE), cost.reshape(shape)
    )


@dataclass(frozen=True, eq=False, slots=True)
class _Target:
    """The posterior up to a constant, at each slope of the lean tie."""

    model: DeliveryModel
    observations: tuple[Observation, ...]
    coordinates: Coordinates
    slopes: Floats

    def weighted(self, centres: Floats, roots: Floats, points: int) -> tuple[Posterior, Floats]:
        """Points of each slope's normal weighted by target over proposal, and the same points in coordinates.

        centres: (k, 10); roots: triangular, (k, 10, 10).
        """
        z, half_squares = _normal_points(points)
        y = (centres[:, None, :] + z @ np.swapaxes(roots, 1, 2)).reshape(-1, SIZE)
        states, log_weight = self.coordinates(y)
        log_weight = log_weight + self.model.log_prior(states.x, np.repeat(self.slopes, points))
        for observation in self.observations:
            log_weight += observation.log_likelihood(states)
        log_volume = np.log(np.abs(np.diagonal(roots, axis1=1, axis2=2))).sum(axis=1)
        log_weight += np.repeat(_hermite_nodes()[1] + log_volume, points) + half_squares
        weight = np.exp(log_weight - log_weight.max())
        return Posterior(states.x, weight / weight.sum()), y


def _coordinates(model: DeliveryModel, observations: Sequence[Observation]) -> Coordinates:
    """Coordinates in which the posterior is nearest to a normal: face first where the face was seen, else the state."""
    if any(o.name in _FACE_SEEN for o in observations):
        return model.from_face_first
    return lambda y: (States(model, y), np.zeros(len(y)))


@dataclass(frozen=True, eq=False, slots=True)
class _Search:
    """Modes of several posteriors that differ in the slope of the lean tie and in which observations count, all at once.

    slopes: (k,); counted: 1 or 0 for each subset and observation, (subsets, m); k is a multiple of subsets.
    """

    model: DeliveryModel
    observations: tuple[Observation, ...]
    coordinates: Coordinates
    slopes: Floats
    counted: Floats

    def modes(self, start: Floats) -> tuple[Floats, Floats, Floats]:
        """Modes (k, 10), upper triangular roots of the covariances (k, 10, 10), and costs (k,)."""
        x = np.tile(start, (len(self.slopes), 1))
        damping = np.full(len(self.slopes), 1e-3)
        cost, gradient, normal = self._expanded(x)
        for _ in range(_STEPS_AT_MOST):
            damped = normal + damping[:, None, None] * np.eye(SIZE) * np.diagonal(normal, axis1=1, axis2=2)[:, None, :]
            step = np.linalg.solve(damped, -gradient[:, :, None])[:, :, 0]
            # A short step is an arrival only where it was not the damping that shortened it.
            near = np.max(np.abs(step), axis=1) < np.where(damping < 0.1, _NEAR, _STUCK)
            if near.all():
                x, cost = x + step, cost + np.einsum("ki,ki->k", gradient, step)
                break
            tried = self._expanded(x + step)
            # Levenberg-Marquardt, each by itself: a step that makes things worse is taken back and shortened.
            better = tried[0] <= cost
            x[better] += step[better]
            cost = np.where(better, tried[0], cost)
            gradient[better], normal[better] = tried[1][better], tried[2][better]
            damping = np.where(better, damping * 0.1, damping * 8.0)
        return x, np.swapaxes(np.linalg.inv(np.linalg.cholesky(normal)), 1, 2), cost

    def _expanded(self, x: Floats) -> tuple[Floats, Floats, Floats]:
        """Cost (k,), half its gradient (k, 10) and the normal matrix (k, 10, 10) at x, (k, 10)."""
        residual, jacobian = self._linearised(x)
        turned = np.swapaxes(jacobian, 1, 2)
        return np.einsum("km,km->k", residual, residual), (turned @ residual[:, :, None])[:, :, 0], turned @ jacobian

    def _linearised(self, x: Floats) -> tuple[Floats, Floats]:
        """Whitened residuals of prior and observations at x, (k, m), and their derivatives in coordinates, (k, m, 10)."""
        k, probes = len(self.slopes), len(_AROUND)
        states, _ = self.coordinates((x[:, None, :] + _AROUND).reshape(-1, SIZE))
        table = np.empty((k, probes, SIZE + len(self.observations)))
        table[:, :, :SIZE] = self.model.prior_residual(states.x, np.repeat(self.slopes, probes)).reshape(
            k, probes, SIZE
        )
        for i, observation in enumerate(self.observations):
            predicted = observation.predict(states).reshape(k, probes)
            # The spread is that at the centre of the probes: a fit must not win by making its own doubt larger.
            table[:, :, SIZE + i] = (predicted - observation.value) / observation.spread(predicted[:, :1])
        table[:, :, SIZE:] *= np.repeat(self.counted, k // len(self.counted), axis=0)[:, None, :]
        slope = (table[:, 1 : SIZE + 1] - table[:, SIZE + 1 :]) / (2.0 * _STEP)
        return table[:, 0], np.swapaxes(slope, 1, 2)


@lru_cache(maxsize=1)
def _hermite_nodes() -> tuple[Floats, Floats]:
    """Nodes and log weights of the standard normal, 5 of them."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(5)
    return nodes, np.log(weights / weights.sum())


@lru_cache(maxsize=4)
def _normal_points(points: int) -> tuple[Floats, Floats]:
    """Antithetic quasi-random points of a standard normal for each node, whitened, shape (5, points, 10), and half of
    their squared lengths, shape (5 points,).

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
    half_squares = 0.5 * np.sum(out**2, axis=2).ravel()
    out.flags.writeable = half_squares.flags.writeable = False
    return out, half_squares

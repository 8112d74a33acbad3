"""Normals at the modes of one posterior and of what subsets of its readings say, found together by Gauss-Newton."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.delivery_state import SIZE, Coordinates, DeliveryModel, States
from ferrule.coaching.observation import Observation
from ferrule.coaching.posterior_rule import Normal, Rule, rule_for
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

Floats = NDArray[np.float64]

SIGHTS: Final = ("face", "face_since_address", "ball_start", "ball_curve", "ball_landing")
"""Observations that see the face, or the ball that it sent off."""
_LEAN_SEEN: Final = ("shaft_lean", "delivered_loft")
_FLIGHT: Final = ("ball_curve", "ball_landing")
_LOW: Final = Observation("low_loft", 5.0 * DEG, 1.5 * DEG, lambda s: s.loft)
_BEYOND: Final = 5.0
_GLANCE: Final = 12
_STEP: Final = 1e-5
_STEPS_AT_MOST: Final = 40
# Radians a step at which the mode is near enough: what follows starts from it and moves on.
_NEAR: Final = 5e-3
_STUCK: Final = 1e-5
_APART: Final = 2.0
_FAR_BELOW: Final = 5.0
_EYE: Final = np.eye(SIZE)
_AROUND: Final = np.vstack([np.zeros((1, SIZE)), _STEP * _EYE, -_STEP * _EYE])


@dataclass(frozen=True, eq=False, slots=True)
class Fits:
    """A normal at the mode for each of several subsets of the observations.

    coordinates: in which the normals stand; modes: (subsets, 10); roots: square roots of the covariances, upper
    triangular, (subsets, 10, 10); rule: for the first; points: of the subsets one after the other, see `around`, then those
    of the rule. The last is of all readings but those that see the face.
    """

    coordinates: Coordinates
    modes: Floats
    roots: Floats
    rule: Rule
    points: States

    @property
    def at_rule(self) -> States:
        """The states at the points of the rule."""
        return self.points.some(slice(2 * SIZE * len(self.modes), None))

    def normal(self, subset: int) -> Normal:
        """Of one subset."""
        return self.modes[subset], self.roots[subset]

    def around(self, subset: int) -> States:
        """Equally weighted points of a normal that give mean and variance of smooth functions (cubature of third degree),
        20 of them.
        """
        first = 2 * SIZE * (subset % len(self.modes))
        return self.points.some(slice(first, first + 2 * SIZE))


def fits_of(model: DeliveryModel, observations: Sequence[Observation], subsets: Sequence[Sequence[bool]] = ()) -> Fits:
    """Normals for all the observations, then for each of these subsets (one flag an observation), and without the sights."""
    coordinates = coordinates_for(model, observations)
    rest = [o.name not in SIGHTS for o in observations]
    counted = np.array([[True] * len(observations), *subsets, rest], dtype=np.float64)
    modes, roots = _Search(model, tuple(observations), coordinates, counted).modes()
    arms = np.sqrt(SIZE) * np.swapaxes(roots, 1, 2)
    points = modes[:, None, :] + np.concatenate([arms, -arms], axis=1)
    first = modes[0], roots[0]
    rule = rule_for(coordinates, first)
    # In one go: what states cost is mostly that they are asked for at all.
    states = coordinates.states(np.concatenate([points.reshape(-1, SIZE), rule.around(first)]))
    return Fits(coordinates, modes, roots, rule, states)


def at_low_loft(target: "Target", fits: Fits) -> Floats | None:
    """The mode if the delivered loft were low, (1, 10), where the flight was seen and the other readings allow of it: a curve
    is explained twice, by one face with the usual loft and by another with a low one.
    """
    if not any(o.name in _FLIGHT for o in target.observations):
        return None
    loft = moments_of(fits.around(-1).loft)
    if loft.value - _LOW.value > _BEYOND * loft.sd:
        return None
    used = (*target.observations, _LOW)
    search = _Search(target.model, used, target.coordinates, np.ones((1, len(used))))
    return search.modes(most=_GLANCE)[0]


def coordinates_for(model: DeliveryModel, observations: Sequence[Observation]) -> Coordinates:
    """Coordinates in which the posterior is nearest to a normal: face first where the face was seen, lean by its tie where
    only the tie speaks of it.
    """
    names = {o.name for o in observations}
    return Coordinates(model, not names.isdisjoint(SIGHTS), names.isdisjoint(_LEAN_SEEN))


def moments_of(values: Floats) -> Estimate:
    """Mean and sd of equally weighted values, of which there are few."""
    few = values.tolist()
    mean = sum(few) / len(few)
    return Estimate(mean, sqrt(sum((v - mean) ** 2 for v in few) / len(few)))


def normalised(log_weight: Floats) -> Floats:
    """Weights that sum to 1."""
    weight = np.exp(log_weight - log_weight.max())
    return np.asarray(weight / weight.sum())


@dataclass(frozen=True, eq=False, slots=True)
class Target:
    """The posterior up to a constant."""

    model: DeliveryModel
    observations: tuple[Observation, ...]
    coordinates: Coordinates

    def at(self, y: Floats) -> tuple[States, Floats]:
        """States and log density of coordinates y, (n, 10)."""
        states = self.coordinates.states(y)
        return states, self.log_density(states)

    def log_density(self, states: States) -> Floats:
        """At states that came from coordinates, shape (n,)."""
        seen = _predicted(self.observations, states)
        value, sd, relative = _told(self.observations)
        variance = sd**2 + (relative * seen) ** 2
        told = ((seen - value) ** 2 / variance + np.log(variance)).sum(axis=0)
        return np.asarray(self.coordinates.log_prior(states) - 0.5 * told)


def _predicted(observations: Sequence[Observation], states: States) -> Floats:
    """What each observation should read at each state, (m, n)."""
    return np.array([o.predict(states) for o in observations]).reshape(len(observations), len(states.x))


def _told(observations: Sequence[Observation]) -> Floats:
    """Value, sd and relative doubt of each observation, each of shape (m, 1)."""
    return np.array([[o.value, o.sd, o.relative] for o in observations]).reshape(-1, 3).T[:, :, None]


def other_peaks(target: Target, normal: Normal, starts: Floats) -> list[Normal]:
    """The normals at peaks beside this one that starts, (k, 10), lead to; those far below it left out."""
    height = target.at(np.concatenate([normal[0][None], starts]))[1]
    starts = starts[height[1:] > height[0] - _FAR_BELOW]
    if not len(starts):
        return []
    counted = np.ones((len(starts), len(target.observations)))
    modes, roots = _Search(target.model, target.observations, target.coordinates, counted).modes(starts)
    peaks = [normal]
    for mode, root in zip(modes, roots, strict=True):
        if all(np.linalg.norm(np.linalg.solve(r, mode - m)) > _APART for m, r in peaks):
            peaks.append((mode, root))
    return peaks[1:]


@dataclass(frozen=True, eq=False, slots=True)
class _Search:
    """Modes of several posteriors that differ in which observations count, or in where the search starts, all at once.

    counted: 1 or 0 for each subset and observation, (subsets, m).
    """

    model: DeliveryModel
    observations: tuple[Observation, ...]
    coordinates: Coordinates
    counted: Floats

    def modes(self, start: Floats | None = None, most: int = _STEPS_AT_MOST) -> tuple[Floats, Floats]:
        """Modes (subsets, 10) and upper triangular roots of the covariances (subsets, 10, 10); start: of each, where it is
        not the mean of the prior for all; most: steps.
        """
        k = len(self.counted)
        x = np.tile(self.coordinates.of_prior_mean(), (k, 1)) if start is None else start.copy()
        damping = np.full(k, 1e-3)
        cost, gradient, normal = self._expanded(
            _around_prior_mean(self.coordinates) if start is None else _around(self.coordinates, x)
        )
        for _ in range(most):
            damped = normal * (1.0 + damping[:, None, None] * _EYE)
            step = np.linalg.solve(damped, -gradient[:, :, None])[:, :, 0]
            # A short step is an arrival only where it was not the damping that shortened it.
            near = np.max(np.abs(step), axis=1) < np.where(damping < 0.1, _NEAR, _STUCK)
            if near.all():
                x = x + step
                break
            tried = self._expanded(_around(self.coordinates, x + step))
            # Levenberg-Marquardt, each by itself: a step that makes things worse is taken back and shortened.
            better = tried[0] <= cost
            x[better] += step[better]
            cost = np.where(better, tried[0], cost)
            gradient[better], normal[better] = tried[1][better], tried[2][better]
            damping = np.where(better, damping * 0.1, damping * 8.0)
        return x, np.swapaxes(np.linalg.inv(np.linalg.cholesky(normal)), 1, 2)

    def _expanded(self, states: States) -> tuple[Floats, Floats, Floats]:
        """Cost (subsets,), half its gradient (subsets, 10) and the normal matrix (subsets, 10, 10), from states around the
        places of the subsets, or around one place for all.
        """
        residual, jacobian = self._linearised(states)
        turned = np.swapaxes(jacobian, 1, 2)
        return np.einsum("km,km->k", residual, residual), (turned @ residual[:, :, None])[:, :, 0], turned @ jacobian

    def _linearised(self, states: States) -> tuple[Floats, Floats]:
        """Whitened residuals of prior and observations, (k, m), and their derivatives in coordinates, (k, m, 10)."""
        prior = self.model.prior_residual(states).reshape(-1, len(_AROUND), SIZE)
        seen = _predicted(self.observations, states).reshape(len(self.observations), *prior.shape[:2])
        value, sd, relative = _told(self.observations)
        # The spread is that at the centre of the probes: a fit must not win by making its own doubt larger.
        spread = np.sqrt(sd**2 + (relative * seen[:, :, 0]) ** 2)
        weight = (self.counted.T / spread)[:, :, None]
        seen = np.moveaxis((seen - value[:, :, None]) * weight, 0, 2)
        table = np.concatenate([np.broadcast_to(prior, (*seen.shape[:2], SIZE)), seen], axis=2)
        slope = (table[:, 1 : SIZE + 1] - table[:, SIZE + 1 :]) / (2.0 * _STEP)
        return table[:, 0], np.swapaxes(slope, 1, 2)


def _around(coordinates: Coordinates, x: Floats) -> States:
    """States at places x, (k, 10), and a little to either side along each coordinate."""
    return coordinates.states((x[:, None, :] + _AROUND).reshape(-1, SIZE))


@lru_cache(maxsize=64)
def _around_prior_mean(coordinates: Coordinates) -> States:
    """The same around the mean of the prior, from where every search of a club starts."""
    return _around(coordinates, coordinates.of_prior_mean()[None])

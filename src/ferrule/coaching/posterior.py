"""The posterior of a delivery: deterministic weighted points, in a millisecond or two.

Gauss-Newton to the mode; a rule of fifth degree moves that normal to the mean and spread of the posterior; a few
points of it are weighted by target over proposal, and their weights calibrated to what the rule says there,
which takes out nearly all of the error of so few. That keeps the curvature of the face (a plain linearisation is off by
0.3°). A posterior that no single normal is near is followed with many points instead (`posterior_followed`).
`posterior_reference` is the plain form all this is held to.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.delivery_state import SIZE, DeliveryModel, States
from ferrule.coaching.observation import Observation
from ferrule.coaching.posterior_fits import Fits, Target, at_low_loft, fits_of, normalised, other_peaks
from ferrule.coaching.posterior_followed import followed
from ferrule.coaching.posterior_points import PAIRS, calibrated, few_points
from ferrule.coaching.posterior_rule import Normal, Rule, rule_for
from ferrule.statistics.estimate import Estimate, weighted_estimates

Floats = NDArray[np.float64]
POINTS: Final = 320
_NEAR_NORMAL: Final = 0.93
"""Effective share of the points from which one normal is near enough to a posterior."""
_STANDING_NEAR: Final = 0.85
"""The same where the rule, used from the normal, finds nearly the same one again."""
_STANDS: Final = 0.001
"""Divergence between the normal that the rule is used from and the one it finds, from which it is used again from there:
used once, it was off by up to 0.1 degrees beyond, by 0.025 below (761 simulated golfers).
"""
_NEARLY_STANDS: Final = 0.002
"""Divergence up to which a normal is near enough with an effective share of `_STANDING_NEAR`: off by 0.12 degrees at most (64
of 1800 simulated golfers), beyond by up to 0.3.
"""
_STANDARD: Final = np.concatenate([[1.0], np.zeros(SIZE), np.eye(SIZE)[PAIRS]])
"""Means of the terms under the standard normal."""
_DIVERGES: Final = np.concatenate([[0.0], np.full(SIZE, 0.5), np.where(PAIRS[0] == PAIRS[1], 0.25, 0.5)])
"""What a square of each departure from those adds to the divergence of the normal (Kullback and Leibler 1951), to second
order.
"""


@dataclass(frozen=True, eq=False, slots=True)
class Posterior:
    """Weighted points. states: n of them; weight: shape (n,), none negative, sums to 1."""

    states: States
    weight: Floats

    @property
    def x(self) -> Floats:
        """The states, shape (n, 10), radians."""
        return self.states.x

    @property
    def effective(self) -> float:
        """How many equally weighted points would say as much."""
        return 1.0 / float(np.sum(self.weight**2))

    def mean(self, values: Floats) -> Floats:
        """Weighted mean over points of values of shape (n,) or (n, k)."""
        return np.asarray(self.weight @ values)

    def sd(self, values: Floats) -> Floats:
        """Weighted standard deviation over points of values of shape (n,) or (n, k)."""
        return np.asarray(np.sqrt(self.weight @ (values - self.mean(values)) ** 2))

    def estimates(self, values: Sequence[Floats]) -> list[Estimate]:
        """Mean and standard deviation over points of each of these, of shape (n,)."""
        return weighted_estimates(np.array(values).reshape(-1, len(self.weight)), self.weight)


def posterior_of(model: DeliveryModel, observations: Sequence[Observation], points: int = POINTS) -> Posterior:
    """Posterior points of the state given independent observations; points: how many, where one normal is near enough."""
    return posterior_from(model, observations, fits_of(model, observations), points)


def posterior_from(
    model: DeliveryModel, observations: Sequence[Observation], fits: Fits, points: int = POINTS
) -> Posterior:
    """The same from fits whose first subset holds all the observations."""
    target = Target(model, tuple(observations), fits.coordinates)
    mode = fits.normal(0)
    moved, low = _moved_by(fits.rule, mode, target.log_density(fits.at_rule)), at_low_loft(target, fits)
    others = [] if low is None else other_peaks(target, mode, low)
    few = None if moved is None or others else _few(target, moved, points)
    if few is not None:
        return few
    x, weight = followed(target, fits.normal(-1), [mode if moved is None else moved, *others])
    return Posterior(States(model, x), weight)


def _moved(target: Target, normal: Normal) -> Normal | None:
    """The normal with the mean and the spread of the target, as the rule sees them from this one."""
    rule = rule_for(target.coordinates, normal)
    return _moved_by(rule, normal, target.at(rule.around(normal))[1])


def _moved_by(rule: Rule, normal: Normal, log_density: Floats) -> Normal | None:
    """The same from the log density at the points of the rule."""
    terms = rule.means(log_density)
    return None if terms is None else _with_terms(normal, terms)


def _with_terms(normal: Normal, terms: Floats) -> Normal | None:
    """The normal with these means of the terms, in units of this one; None when they are of no normal."""
    mean = terms[1 : SIZE + 1]
    square = np.empty((SIZE, SIZE))
    rows, columns = PAIRS
    square[rows, columns] = square[columns, rows] = terms[SIZE + 1 :]
    try:
        root = np.linalg.cholesky(square - np.outer(mean, mean))
    except np.linalg.LinAlgError:
        return None
    return normal[0] + normal[1] @ mean, np.asarray(normal[1] @ root)


def _few(target: Target, normal: Normal, count: int) -> Posterior | None:
    """A few points of this normal, weighted and calibrated; None where the target is not near enough to it."""
    points, rule = few_points(count), rule_for(target.coordinates, normal)
    states, log_density = target.at(normal[0] + np.concatenate([points.z, rule.z]) @ normal[1].T)
    weight = normalised(log_density[:count] + points.half_square)
    effective = 1.0 / float(weight @ weight) / count
    wanted = rule.means(log_density[count:]) if effective >= _STANDING_NEAR else None
    if wanted is None:
        return None
    moves = float((wanted - _STANDARD) ** 2 @ _DIVERGES)
    if effective < _NEAR_NORMAL and moves > _NEARLY_STANDS:
        return None
    if moves > _STANDS:
        wanted = _means_from_nearer(target, normal, wanted)
        if wanted is None:
            return None
    weight = calibrated(points.terms, weight, wanted)
    return Posterior(states.some(slice(count)), weight / weight.sum()) if weight.min() >= 0.0 else None


def _means_from_nearer(target: Target, normal: Normal, terms: Floats) -> Floats | None:
    """Means of the terms in units of this normal, as the rule sees them from the normal that has these means."""
    nearer = _with_terms(normal, terms)
    moved = None if nearer is None else _moved(target, nearer)
    if moved is None:
        return None
    mean, root = np.linalg.solve(normal[1], moved[0] - normal[0]), np.linalg.solve(normal[1], moved[1])
    return np.concatenate([[1.0], mean, (root @ root.T + np.outer(mean, mean))[PAIRS]])

"""The rule by which mean and spread of a posterior are seen from a normal near to it."""

from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.delivery_state import Coordinates
from ferrule.coaching.posterior_points import fifth_degree, finer_along_first, terms_of
from ferrule.units import DEG

Floats = NDArray[np.float64]
Normal = tuple[Floats, Floats]
"""Centre, shape (10,), and a triangular square root of the covariance, (10, 10)."""

_LONG_LEVER: Final = 4.0 * DEG


@dataclass(frozen=True, eq=False, slots=True)
class Rule:
    """Points of a rule in units of a normal, with their weights and what `NormalPoints` has beside points."""

    z: Floats
    half_square: Floats
    terms: Floats
    weight: Floats

    def around(self, normal: Normal) -> Floats:
        """The points of the rule for this normal, shape (n, 10)."""
        return np.asarray(normal[0] + self.z @ normal[1].T)

    def means(self, log_density: Floats) -> Floats | None:
        """Means of the terms under the target with this log density at the points; None when the rule breaks down."""
        with np.errstate(over="ignore", invalid="ignore"):
            ratio = self.weight * np.exp(log_density - log_density[0] + self.half_square)
            total = float(ratio.sum())
            return np.asarray(ratio @ self.terms / total) if 0.0 < total < np.inf else None


def rule_for(coordinates: Coordinates, normal: Normal) -> Rule:
    """The rule of fifth degree, with more points where a target in these coordinates needs them."""
    points, weight = fifth_degree()
    axis = normal[1].T @ coordinates.lever_slopes(normal[0])
    long = sqrt(axis @ axis)
    if long <= _LONG_LEVER:
        return Rule(points.z, points.half_square, points.terms, weight)
    # Where the lean was read and the lever is little known, the target is far from a polynomial along the lever.
    turned, finer = finer_along_first()
    more = _with_first_axis_along(axis / long, turned)
    return Rule(
        np.vstack([points.z, more]),
        np.concatenate([points.half_square, 0.5 * np.einsum("ni,ni->n", turned, turned)]),
        np.vstack([points.terms, terms_of(more)]),
        np.concatenate([weight, finer]),
    )


def _with_first_axis_along(axis: Floats, z: Floats) -> Floats:
    """Points mirrored so that the first axis comes to lie along this one, of length 1."""
    normal = axis.copy()
    normal[0] += 1.0 if axis[0] > 0.0 else -1.0
    return np.asarray(z - np.outer(z @ normal, 2.0 / (normal @ normal) * normal))

"""Several balls: the typical miss, its spread, and whether the misses go one way or both."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.observed import InferredDelivery
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

Floats = NDArray[np.float64]
Miss = Literal["one_way_right", "one_way_left", "two_way", "straight", "too_few"]

_ENOUGH = 4
_MISS = 2.0 * DEG
_ONE_SIDED = 0.8


@dataclass(frozen=True, slots=True)
class Spread:
    """A golfer's typical value (with the doubt of the mean) and the scatter from swing to swing, radians."""

    typical: Estimate
    scatter: float


@dataclass(frozen=True, slots=True)
class BallPattern:
    """What several balls say together. misses: which way the balls that missed went."""

    face: Spread
    path: Spread
    face_less_path: Spread
    misses: Miss
    balls: int


def ball_pattern(shots: Sequence[InferredDelivery]) -> BallPattern:
    """Typical delivery and scatter behind several inferred shots (at least one).

    The doubt of each shot is taken out of the scatter, and its common part (prior, grip of the face) stays in the mean.
    """
    if not shots:
        raise ValueError("a pattern needs at least one shot")
    return BallPattern(
        spread_of([s.face for s in shots]),
        spread_of([s.path for s in shots]),
        spread_of([s.face_less_path for s in shots]),
        misses_of([s.face for s in shots]),
        len(shots),
    )


def spread_of(values: Sequence[Estimate]) -> Spread:
    """Mean and scatter of values each known with doubt (DerSimonian & Laird's moments, 1986)."""
    x = np.array([v.value for v in values])
    own = np.array([max(v.sd, 1e-9) for v in values]) ** 2
    weight = 1.0 / own
    mean = float(np.sum(weight * x) / np.sum(weight))
    between = 0.0
    if len(x) > 1:
        excess = float(np.sum(weight * (x - mean) ** 2)) - (len(x) - 1)
        between = max(0.0, excess / float(np.sum(weight) - np.sum(weight**2) / np.sum(weight)))
    weight = 1.0 / (own + between)
    mean = float(np.sum(weight * x) / np.sum(weight))
    return Spread(Estimate(mean, 1.0 / sqrt(float(np.sum(weight)))), sqrt(between))


def misses_of(faces: Sequence[Estimate]) -> Miss:
    """Which way the faces miss: a miss is more than 2 degrees and surer than not; one-way when four in five agree."""
    if len(faces) < _ENOUGH:
        return "too_few"
    missed = [f.value for f in faces if abs(f.value) > max(_MISS, 0.7 * f.sd)]
    if len(missed) * 4 < len(faces):
        return "straight"
    right = sum(v > 0.0 for v in missed) / len(missed)
    if right >= _ONE_SIDED:
        return "one_way_right"
    return "one_way_left" if right <= 1.0 - _ONE_SIDED else "two_way"

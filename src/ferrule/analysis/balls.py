"""Several balls of one golfer with one club: face and path behind each, and what they say together."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from ferrule.ball.air import SEA_LEVEL, Air
from ferrule.ball.coefficients import Coefficients
from ferrule.ball.flight import fly_many
from ferrule.ball.launch import Launch, Launches
from ferrule.ball.observed import Ball, DeliveryPrior, InferredDelivery, Observed, default_prior, infer_deliveries
from ferrule.ball.pattern import BallPattern, ball_pattern
from ferrule.club.clubs import Club
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

# A device's spin axis and rate: together they leave the curve this uncertain (common practice, no source).
_CURVE_OF_A_LAUNCH = 1.0 * DEG


@dataclass(frozen=True, slots=True)
class BallsRead:
    """deliveries: one for each ball, in order; pattern: typical values, scatter and misses of all of them."""

    deliveries: tuple[InferredDelivery, ...]
    pattern: BallPattern


def read_balls(
    balls: Sequence[Observed],
    club: Club,
    speed: Estimate | None = None,
    air: Air | None = None,
    ball: Ball = "own",
) -> BallsRead:
    """Face and path (radians, + right) behind balls struck with one club.

    speed: club speed in m/s where it was measured; air: given when the wind is known. Raises ValueError without a ball.
    """
    prior: DeliveryPrior = default_prior(club, speed)
    found = tuple(infer_deliveries(balls, club, prior, air, ball))
    return BallsRead(found, ball_pattern(found))


def curve_of_launch(launch: Launch, air: Air = SEA_LEVEL) -> Estimate:
    """Curve in radians of a measured launch, between the two coefficient sets, with the doubt of both set and device."""
    both = fly_many(Launches.of([launch, launch]), air, Coefficients(np.array([0.0, 1.0]))).curve
    return Estimate(float(both.mean()), hypot(float(abs(both[1] - both[0])) / 2.0, _CURVE_OF_A_LAUNCH))

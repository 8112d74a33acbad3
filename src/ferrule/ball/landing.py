"""Where the balls land: the spread that scatter of face, path, speed and strike makes, worked out in two ways."""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.stats import qmc

from ferrule.ball.air import SEA_LEVEL, Air
from ferrule.ball.coefficients import Coefficients
from ferrule.ball.flight import Flights, fly_many
from ferrule.ball.impact import delivery_with, strike_many
from ferrule.ball.launch import Launches
from ferrule.club.clubs import Club

Floats = NDArray[np.float64]

_MEAN_SET = Coefficients(0.5)


@dataclass(frozen=True, slots=True)
class TypicalDelivery:
    """The golfer's typical delivery: radians, m/s; toe and high in metres."""

    face: float
    path: float
    attack: float
    delivered_loft: float
    club_speed: float
    toe: float = 0.0
    high: float = 0.0
    handed: int = 1


@dataclass(frozen=True, slots=True)
class Scatter:
    """Sd from swing to swing, independent of each other: radians, m/s, metres (common practice: mid-handicap)."""

    face: float = 0.035
    path: float = 0.030
    attack: float = 0.020
    delivered_loft: float = 0.030
    club_speed: float = 0.7
    toe: float = 0.006
    high: float = 0.005


@dataclass(frozen=True, slots=True)
class LandingSpread:
    """Metres: middle of side and carry and their sds, and their correlation."""

    side: float
    side_sd: float
    carry: float
    carry_sd: float
    correlation: float


_FIELDS = ("face", "path", "attack", "delivered_loft", "club_speed", "toe", "high")


def landing_spread(
    club: Club, typical: TypicalDelivery, scatter: Scatter, air: Air = SEA_LEVEL, draws: int = 0, seed: int = 0
) -> LandingSpread:
    """Landing spread by propagating the scatter, or by `draws` simulated balls (best a power of 2).

    Plain slopes overstate a driver's side by 8 %, since a curve levels off and an off-centre hit loses speed; so the
    scatter is carried through 99 deliveries that hold slopes, bends and the play between each two quantities.
    """
    middle = np.array([getattr(typical, f) for f in _FIELDS])
    sd = np.array([getattr(scatter, f) for f in _FIELDS])
    if draws:
        # Evenly spread draws (Sobol): a few thousand do what a hundred thousand plain ones would.
        even = qmc.MultivariateNormalQMC(np.zeros(len(sd)), rng=np.random.default_rng(seed)).random(draws)
        flights = _flights(club, typical, middle + sd * even, air)
        covariance = np.cov(flights.side, flights.carry)
        return _spread(float(np.mean(flights.side)), float(np.mean(flights.carry)), covariance)
    points, weights = _cubature(len(sd))
    flights = _flights(club, typical, middle + sd * points, air)
    landed = np.stack([flights.side, flights.carry])
    centre = landed @ weights
    off = landed - centre[:, None]
    return _spread(float(centre[0]), float(centre[1]), (off * weights) @ off.T)


def _cubature(n: int) -> tuple[Floats, Floats]:
    """Points (m, n) and weights (m,) for means over n independent standard normals, exact to fifth degree.

    McNamee & Stenger 1967, with the points at sqrt(3): the middle, each axis, and each pair of axes.
    """
    r = np.sqrt(3.0) * np.eye(n)
    single = [sign * r[i] for i in range(n) for sign in (1.0, -1.0)]
    pairs = [a * r[i] + b * r[j] for i, j in combinations(range(n), 2) for a in (1.0, -1.0) for b in (1.0, -1.0)]
    points = np.stack([np.zeros(n), *single, *pairs])
    weights = np.concatenate(
        [[1.0 + n * (n - 7) / 18.0], np.full(len(single), (4 - n) / 18.0), np.full(len(pairs), 1.0 / 36.0)]
    )
    return points, weights


def _spread(side: float, carry: float, covariance: Floats) -> LandingSpread:
    side_sd, carry_sd = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    both = side_sd * carry_sd
    correlation = float(covariance[0, 1] / both) if both > 0.0 else 0.0
    return LandingSpread(side, float(side_sd), carry, float(carry_sd), correlation)


def _flights(club: Club, typical: TypicalDelivery, deliveries: Floats, air: Air) -> Flights:
    face, path, attack, loft, speed, toe, high = deliveries.T
    like = delivery_with(club, typical.club_speed, 0.0, 0.0, 0.0, typical.delivered_loft)
    # The world is mirrored for a left-handed golfer, whose toe points left.
    launches: Launches = strike_many(
        face, path, attack, loft, np.maximum(speed, 1.0), like=like, toe=toe * typical.handed, high=high
    )
    return fly_many(launches, air, _MEAN_SET)


@dataclass(frozen=True, slots=True)
class NextBall:
    """What the next balls will do: radians and metres, + right."""

    start: float
    curve: float
    side: float
    carry: float


def next_ball(club: Club, typical: TypicalDelivery, air: Air = SEA_LEVEL) -> NextBall:
    """The ball of that delivery, both coefficient sets averaged."""
    values = np.array([[getattr(typical, f) for f in _FIELDS]])
    like = delivery_with(club, typical.club_speed, 0.0, 0.0, 0.0, typical.delivered_loft)
    face, path, attack, loft, speed, toe, high = values.T
    launch = strike_many(face, path, attack, loft, speed, like=like, toe=toe * typical.handed, high=high)
    flown = fly_many(launch, air, _MEAN_SET)
    return NextBall(float(launch.azimuth[0]), float(flown.curve[0]), float(flown.side[0]), float(flown.carry[0]))

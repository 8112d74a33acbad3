"""Shots from known deliveries, with everything unknown varied: what the way back from the ball is tested on."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.coefficients import Coefficients
from ferrule.ball.flight import Flights, fly_many
from ferrule.ball.impact import TANGENTIAL_RESTITUTION, TANGENTIAL_RESTITUTION_SD, delivery_with, strike_many
from ferrule.ball.launch import Launches
from ferrule.ball.observed import DeliveryPrior, Observed, default_prior
from ferrule.ball.strike_spot import StrikeSpot
from ferrule.club.clubs import Club
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True)
class SimulatedShots:
    """True face and path (radians, shape (n,)) with the launches and flights they made."""

    face: Floats
    path: Floats
    launches: Launches
    flights: Flights

    def observed(
        self, rng: np.random.Generator, start_sd: float, curve_sd: float, strike: StrikeSpot
    ) -> list[Observed]:
        """Start and curve as seen, with normal errors of those sds in radians."""
        start = self.launches.azimuth + rng.normal(0.0, start_sd, len(self.face))
        curve = self.flights.curve + rng.normal(0.0, curve_sd, len(self.face))
        return [
            Observed(Estimate(float(a), start_sd), Estimate(float(b), curve_sd), strike=strike)
            for a, b in zip(start, curve, strict=True)
        ]


def simulate_shots(
    club: Club, n: int, rng: np.random.Generator, strike_sd: float = 0.002, prior: DeliveryPrior | None = None
) -> SimulatedShots:
    """As many shots of golfers drawn from the prior, struck within strike_sd metres of the centre, flown by the full model.

    Between shots vary face, path, attack, spin loft, speed by 5 %, grip of the face, and the ball anywhere between the
    two coefficient sets.
    """
    prior = prior or default_prior(club)

    def drawn(of: Estimate) -> Floats:
        return rng.normal(of.value, of.sd, n)

    path = drawn(prior.path)
    face = path + drawn(prior.face_less_path)
    attack = drawn(prior.attack)
    loft = np.clip(drawn(prior.delivered_loft) + attack - prior.attack.value, 2.0 * DEG, 70.0 * DEG)
    speed = prior.club_speed.value * (1.0 + rng.normal(0.0, 0.05, n))
    toe, high = rng.normal(0.0, strike_sd, n), rng.normal(0.0, strike_sd, n)
    grip = rng.normal(TANGENTIAL_RESTITUTION, TANGENTIAL_RESTITUTION_SD, n)
    like = delivery_with(club, prior.club_speed.value, 0.0, 0.0, prior.attack.value, prior.delivered_loft.value)
    launches = strike_many(face, path, attack, loft, speed, like=like, toe=toe, high=high, tangential_restitution=grip)
    return SimulatedShots(face, path, launches, fly_many(launches, coefficients=Coefficients(rng.uniform(0.0, 1.0, n))))

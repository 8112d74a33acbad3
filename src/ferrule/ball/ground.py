"""Bounce and roll after landing: a rough estimate and labelled so.

A firm fairway sends a flat, slow-spinning ball on by a tenth of its carry and stops a steep, spinning one; turf varies far
more than any formula (common practice, no source). Never used to judge a delivery.
"""

from dataclasses import dataclass
from math import cos, sin
from typing import Final, Literal

from ferrule.ball.flight import Flight
from ferrule.statistics.estimate import Estimate
from ferrule.units import GRAVITY

Ground = Literal["soft", "normal", "firm"]

# Level speed kept at the first bounce of a flat ball, bounce off the turf, rolling resistance.
_TURF: Final[dict[Ground, tuple[float, float, float]]] = {
    "soft": (0.35, 0.20, 0.20),
    "normal": (0.50, 0.30, 0.13),
    "firm": (0.60, 0.40, 0.09),
}
_ROUGH: Final = 0.5


@dataclass(frozen=True, slots=True)
class Run:
    """Metres of bounce and roll beyond the carry, with the half of it as doubt."""

    run: Estimate
    label: str = "rough estimate"


def bounce_and_roll(flight: Flight, ground: Ground = "normal") -> Run:
    """How far the ball goes on after landing."""
    kept, bounce, rolling = _TURF[ground]
    level, fall = flight.end_speed * cos(flight.landing), flight.end_speed * sin(flight.landing)
    # The steeper the fall, the more the turf takes of the level speed.
    level *= max(0.0, kept * (1.0 - 0.9 * sin(flight.landing)))
    run = 0.0
    for _ in range(3):
        fall *= bounce
        run += level * 2.0 * fall / GRAVITY
        level *= 0.8
    run += level**2 / (2.0 * rolling * GRAVITY)
    return Run(Estimate(run, _ROUGH * run))

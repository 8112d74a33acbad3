"""Where on the face the ball was struck: a word or millimetres, always with doubt."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

import numpy as np

from ferrule.ball.coefficients import Coefficients
from ferrule.ball.flight import fly_many
from ferrule.ball.impact import delivery_with, strike_many
from ferrule.club.clubs import Club
from ferrule.errors import InputError
from ferrule.statistics.estimate import Estimate

Word = Literal["centre", "toe", "heel", "thin", "fat", "unknown"]


_ALL_KEPT: Final = Estimate(1.0, 0.0)


@dataclass(frozen=True, slots=True)
class StrikeSpot:
    """Distance of the strike from the face's centre, metres: toe and high positive; speed_kept: share of the speed.

    Seen from the ball a fat hit is a loss of speed before the ball: the turf takes it.
    """

    toe: Estimate
    high: Estimate
    speed_kept: Estimate = _ALL_KEPT


SPOTS: Final[dict[Word, StrikeSpot]] = {
    "centre": StrikeSpot(Estimate(0.0, 0.004), Estimate(0.0, 0.004)),
    "toe": StrikeSpot(Estimate(0.012, 0.005), Estimate(0.0, 0.006)),
    "heel": StrikeSpot(Estimate(-0.012, 0.005), Estimate(0.0, 0.006)),
    "thin": StrikeSpot(Estimate(0.0, 0.006), Estimate(-0.010, 0.004)),
    "fat": StrikeSpot(Estimate(0.0, 0.007), Estimate(0.005, 0.005), Estimate(0.88, 0.08)),
    "unknown": StrikeSpot(Estimate(0.0, 0.009), Estimate(0.0, 0.007)),
}
"""What each word means (common practice). "unknown" is as wide as golfers who come for lessons strike."""


def strike_spot(word: str | None) -> StrikeSpot:
    """The spot for a word; None or empty means unknown. Raises InputError that lists the words."""
    plain = "unknown" if not word else word.strip().lower().replace("center", "centre")
    if plain not in SPOTS:
        raise InputError.of("unknown_strike", "strike", expected=f"one of {', '.join(SPOTS)}", got=repr(word))
    return SPOTS[plain]


def strike_spot_mm(toe_mm: float, high_mm: float = 0.0, sd_mm: float = 2.0) -> StrikeSpot:
    """The spot read off a mark on the face, millimetres."""
    return StrikeSpot(Estimate(toe_mm * 1e-3, sd_mm * 1e-3), Estimate(high_mm * 1e-3, sd_mm * 1e-3))


@dataclass(frozen=True, slots=True)
class ToeEffect:
    """What a metre towards the toe does to the ball of a right-handed golfer, radians a metre: to start and to curve."""

    start: float
    curve: float


def toe_effect(club: Club, club_speed: float, delivered_loft: float, attack: float) -> ToeEffect:
    """The slope of start and curve with the strike, near the centre (both coefficient sets averaged)."""
    # Rounded, so that the golfers of a lesson share a handful of answers.
    return _toe_effect(club, float(round(club_speed)), round(delivered_loft, 2), round(attack, 2))


@lru_cache(maxsize=512)
def _toe_effect(club: Club, club_speed: float, loft: float, attack: float) -> ToeEffect:
    toe = 0.008
    one = np.ones(2)
    like = delivery_with(club, club_speed, 0.0, 0.0, attack, loft)
    launches = strike_many(0 * one, 0 * one, attack * one, loft * one, club_speed * one, like=like, toe=toe * one)
    curve = float(np.mean(fly_many(launches, coefficients=Coefficients(np.array([0.0, 1.0])), max_step=0.2).curve))
    return ToeEffect(float(launches.azimuth[0]) / toe, curve / toe)

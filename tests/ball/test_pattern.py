"""Several balls: typical, scatter, one-way or two-way."""

import numpy as np
import pytest

from ferrule.ball.observed import infer_deliveries
from ferrule.ball.pattern import ball_pattern, misses_of, spread_of
from ferrule.ball.simulated import simulate_shots
from ferrule.ball.strike_spot import strike_spot_mm
from ferrule.club.clubs import BAG
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG


def faces(*values: float) -> list[Estimate]:
    return [Estimate(v * DEG, 1.0 * DEG) for v in values]


@pytest.mark.parametrize(
    ("values", "miss"),
    [
        ((5, 4, 6, 3, 1), "one_way_right"),
        ((-5, -4, -6, -3, 1), "one_way_left"),
        ((5, -4, 6, -3, 0), "two_way"),
        ((0.5, -1, 0, 1, 0.2), "straight"),
        ((5, 5, 5), "too_few"),
    ],
)
def test_misses(values: tuple[float, ...], miss: str) -> None:
    assert misses_of(faces(*values)) == miss


def test_scatter_is_told_apart_from_doubt() -> None:
    rng = np.random.default_rng(3)
    true = rng.normal(2.0, 3.0, 400)
    spread = spread_of(faces(*(true + rng.normal(0.0, 1.0, 400))))
    assert spread.typical.value / DEG == pytest.approx(2.0, abs=0.4)
    assert spread.scatter / DEG == pytest.approx(3.0, abs=0.3)
    steady = spread_of(faces(*rng.normal(2.0, 1.0, 400)))
    assert steady.scatter / DEG < 0.6


def test_pattern_of_a_golfer() -> None:
    rng = np.random.default_rng(8)
    shots = simulate_shots(BAG["7-iron"], 12, rng)
    pattern = ball_pattern(infer_deliveries(shots.observed(rng, DEG, 2 * DEG, strike_spot_mm(0, 0)), BAG["7-iron"]))
    assert pattern.balls == 12
    assert abs(pattern.face.typical.value - shots.face.mean()) < 3.0 * pattern.face.typical.sd
    assert pattern.misses in {"two_way", "one_way_left", "one_way_right"}


def test_one_ball_and_none() -> None:
    assert spread_of(faces(3.0)).scatter == 0.0
    with pytest.raises(ValueError, match="at least one"):
        ball_pattern([])

"""Speed of the ball room: 10,000 flights, one way back, one look-up; with the ratio to a plain SciPy loop."""

import sys
import time
from collections.abc import Callable

import numpy as np
import pytest

from ferrule.ball.coefficients import LYU, NARUO, Coefficients
from ferrule.ball.flight import fly_many
from ferrule.ball.flight_reference import fly_reference
from ferrule.ball.impact import delivery_with, strike_many
from ferrule.ball.launch import Launches
from ferrule.ball.observed import Observed, infer_delivery
from ferrule.ball.response import ball_response
from ferrule.club.clubs import BAG
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG, RPM


def random_launches(n: int) -> Launches:
    """Chips to 90 m/s, tilted."""
    rng = np.random.default_rng(2026)
    return Launches(
        rng.uniform(8.0, 90.0, n),
        rng.uniform(4.0, 55.0, n) * DEG,
        rng.normal(0.0, 4.0, n) * DEG,
        rng.uniform(1000.0, 10_000.0, n) * RPM,
        rng.normal(0.0, 12.0, n) * DEG,
        np.zeros(n),
    )


def best_of(times: int, work: Callable[[], object]) -> float:
    """Shortest wall time of a few runs, seconds: the least disturbed by whatever else the machine does."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


@pytest.mark.parametrize("coefficients", [NARUO, LYU], ids=["naruo2004", "lyu2018"])
def test_ten_thousand_flights_in_four_tenths_of_a_second(
    coefficients: Coefficients, capsys: pytest.CaptureFixture[str]
) -> None:
    launches = random_launches(10_000)
    fly_many(launches, coefficients=coefficients)
    fast = best_of(5, lambda: fly_many(launches, coefficients=coefficients))
    few = [launches[i] for i in range(0, 10_000, 500)]
    plain = best_of(1, lambda: [fly_reference(x, coefficients=coefficients, rtol=1e-8) for x in few])
    ratio = (plain / len(few)) / (fast / 10_000)
    with capsys.disabled():
        sys.stdout.write(f"\n10,000 flights: {fast:.3f} s; a plain SciPy loop takes {ratio:.0f} times as long each\n")
    assert fast < 0.4
    assert ratio > 100.0


def test_one_way_back_in_twenty_milliseconds(benchmark) -> None:  # type: ignore[no-untyped-def]
    seen = Observed(Estimate(0.03, DEG), Estimate(0.05, 2 * DEG))
    infer_delivery(seen, BAG["7-iron"])
    benchmark(infer_delivery, seen, BAG["7-iron"])
    assert benchmark.stats.stats.median < 0.020


def test_one_response_in_a_millisecond(benchmark) -> None:  # type: ignore[no-untyped-def]
    ball_response(BAG["7-iron"], 34.0, 0.5)
    benchmark(ball_response, BAG["7-iron"], 34.0, 0.5)
    assert benchmark.stats.stats.median < 0.001


def test_ten_thousand_strikes(benchmark) -> None:  # type: ignore[no-untyped-def]
    rng = np.random.default_rng(1)
    n = 10_000
    like = delivery_with(BAG["driver"], 42.0, 0.0, 0.0, 0.0, 0.2)
    face, path, attack = (rng.normal(0.0, 0.05, n) for _ in range(3))
    loft, speed = rng.normal(0.2, 0.03, n), rng.normal(42.0, 1.0, n)
    benchmark(strike_many, face, path, attack, loft, speed, like=like, toe=rng.normal(0.0, 0.01, n))
    assert benchmark.stats.stats.median < 0.2

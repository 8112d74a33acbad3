"""The drawn path: belongs to the figures, and keeps the law of energy at every point."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.ball.air import SEA_LEVEL, Air
from ferrule.ball.coefficients import LYU, NARUO, Coefficients
from ferrule.ball.flight import fly
from ferrule.ball.launch import Launch
from ferrule.ball.trajectory import trajectory
from ferrule.units import DEG, GRAVITY, RPM

launches = st.builds(
    Launch,
    ball_speed=st.floats(5.0, 90.0),
    launch=st.floats(2.0 * DEG, 60.0 * DEG),
    azimuth=st.floats(-20.0 * DEG, 20.0 * DEG),
    spin_rate=st.floats(0.0, 11000.0 * RPM),
    axis_tilt=st.floats(-40.0 * DEG, 40.0 * DEG),
)


@given(launches, st.sampled_from([NARUO, LYU, Coefficients(0.0, "smits_smith")]))
@settings(max_examples=30, deadline=None, derandomize=True)
def test_energy_falls_along_the_whole_path_in_still_air(launch: Launch, coefficients: Coefficients) -> None:
    path = trajectory(launch, SEA_LEVEL, coefficients)
    energy = 0.5 * np.sum(path.velocity**2, axis=1) + GRAVITY * path.position[:, 1]
    assert np.all(np.diff(energy) <= 1e-9 * energy[0])


@given(launches, st.sampled_from([None, 0.03]))
@settings(max_examples=30, deadline=None, derandomize=True)
def test_path_ends_where_the_figures_say(launch: Launch, roughness: float | None) -> None:
    air = Air(1.2, 1.5e-5, (3.0, 0.0, -2.0), roughness)
    path, figures = trajectory(launch, air), fly(launch, air)
    assert path.position[-1, 1] == pytest.approx(0.0, abs=0.02)
    assert np.hypot(path.position[-1, 0], path.position[-1, 2]) == pytest.approx(figures.carry, abs=0.05)
    assert path.position[:, 1].max() == pytest.approx(figures.apex, abs=0.05)


def test_a_ball_that_does_not_fly_is_a_point() -> None:
    path = trajectory(Launch(20.0, -5 * DEG))
    assert path.position.tolist() == [[0.0, 0.0, 0.0]]

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from ferrule.frames.rotations import UP
from ferrule.sensing.inclination import accelerometer_bias, levelled, mean_up
from ferrule.sensing.recording import SensorTrace
from ferrule.units import GRAVITY


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.integers(0, 10_000))
def test_level_means_the_reading_points_up(seed: int) -> None:
    up = np.random.default_rng(seed).normal(size=3)
    turned = levelled(up)
    np.testing.assert_allclose(turned.apply(up / np.linalg.norm(up)), UP, atol=1e-12)


def test_level_of_straight_up_and_straight_down() -> None:
    assert levelled(np.array([0.0, 9.8, 0.0])).magnitude() == pytest.approx(0.0)
    np.testing.assert_allclose(levelled(np.array([0.0, -9.8, 0.0])).apply([0.0, -1.0, 0.0]), UP, atol=1e-12)


def test_sway_does_not_tilt_the_mean() -> None:
    t = np.arange(0.0, 1.0, 0.002)
    sway = np.radians(1.0) * np.sin(2.0 * np.pi * 0.6 * t)
    turned = Rotation.from_rotvec(np.stack((sway, 0.0 * t, 0.3 * sway), axis=1))
    gyr = np.stack((np.gradient(sway, t), 0.0 * t, 0.3 * np.gradient(sway, t)), axis=1)
    trace = SensorTrace(turned.inv().apply(GRAVITY * UP), gyr + 0.01)
    found = mean_up(t, trace, np.full(3, 0.01), np.zeros(3), len(t) - 1)
    wanted = turned[-1].inv().apply(GRAVITY * UP)
    assert np.degrees(np.arccos(found @ wanted / np.linalg.norm(found) / GRAVITY)) < 0.05
    plain = trace.acc.mean(axis=0)
    assert np.degrees(np.arccos(plain @ wanted / np.linalg.norm(plain) / GRAVITY)) > 0.3


def test_still_poses_in_three_directions_give_the_bias_of_an_accelerometer() -> None:
    bias = np.array([0.15, -0.1, 0.2])
    poses = [GRAVITY * np.array(u) + bias for u in ([1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, -1.0])]
    found, covariance = accelerometer_bias(poses)
    np.testing.assert_allclose(found, bias, atol=0.01)
    assert np.sqrt(covariance.diagonal()).max() < 0.05


def test_what_the_poses_leave_open_stays_open() -> None:
    one_direction = [GRAVITY * np.array([0.0, 1.0, 0.0]) + np.array([0.15, -0.1, 0.2])] * 3
    found, covariance = accelerometer_bias(one_direction)
    assert found[1] == pytest.approx(-0.1, abs=0.01)
    assert abs(found[0]) < 0.02
    assert np.sqrt(covariance[0, 0]) == pytest.approx(0.02 * GRAVITY, rel=0.05)
    nothing, prior = accelerometer_bias([])
    np.testing.assert_allclose(nothing, 0.0)
    np.testing.assert_allclose(prior, np.eye(3) * (0.02 * GRAVITY) ** 2)


def test_what_another_recording_knew_is_where_the_search_starts() -> None:
    bias = np.array([0.15, -0.1, 0.2])
    one_direction = [GRAVITY * np.array([0.0, 1.0, 0.0]) + bias] * 2
    known = bias + np.array([0.01, 0.05, -0.01]), np.eye(3) * 0.02**2
    found, covariance = accelerometer_bias(one_direction, known=known)
    # the pose corrects what it sees, the rest stays as it was known
    assert found[1] == pytest.approx(-0.1, abs=0.035)
    np.testing.assert_allclose(found[[0, 2]], known[0][[0, 2]], atol=0.002)
    assert np.sqrt(covariance[0, 0]) == pytest.approx(0.02, rel=0.05)
    same, spread = accelerometer_bias([], known=known)
    np.testing.assert_allclose(same, known[0])
    np.testing.assert_allclose(spread, known[1])

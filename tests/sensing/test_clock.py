import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from ferrule.sensing.clock import blurring, clock_offset, lever_matrix, turning_offset
from ferrule.sensing.recording import SensorTrace
from ferrule.signals.derivative import rate_of_change
from ferrule.units import GRAVITY

FOREARM = np.array([0.03, -0.06, 0.0])
HAND = np.array([0.02, 0.05, 0.0])


def two_sensors(late_s: float, off: float = 0.0) -> tuple[np.ndarray, SensorTrace, SensorTrace]:
    """Two turning sensors whose lever arms lead to one accelerating point; the hand's clock runs late."""
    t = np.arange(0.0, 1.2, 0.002)
    rng = np.random.default_rng(1)

    def sensor(clock: np.ndarray, lever: np.ndarray, speeds: tuple[float, float, float]) -> SensorTrace:
        def pose(x: np.ndarray) -> Rotation:
            return Rotation.from_euler(
                "XYZ", np.stack([s * np.sin((2.0 + i) * x) for i, s in enumerate(speeds)], axis=1)
            )

        h = 1e-4
        gyr = (pose(clock - h).inv() * pose(clock + h)).as_rotvec() / (2.0 * h)
        later, before = ((pose(clock + s).inv() * pose(clock + s + 2 * h)).as_rotvec() / (2 * h) for s in (h, -3 * h))
        alpha = (later - before) / (4.0 * h)
        burst = 60.0 * np.exp(-(((clock - 0.7) / 0.12) ** 2))
        wrist = np.stack((burst, GRAVITY + 0.4 * burst, 20.0 * np.sin(5.0 * clock)), axis=1)
        force = pose(clock).inv().apply(wrist) - np.einsum("nij,j->ni", lever_matrix(gyr, alpha), lever)
        return SensorTrace(force + rng.normal(0.0, 0.02, force.shape), gyr + rng.normal(0.0, 0.002, gyr.shape))

    return t, sensor(t, FOREARM + off, (2.0, 1.0, 1.5)), sensor(t - late_s, HAND - off, (2.5, 1.5, 3.0))


@pytest.mark.parametrize("late_ms", [-15.0, -4.0, 0.0, 7.0, 15.0])
def test_offset_from_the_acceleration_of_the_wrist(late_ms: float) -> None:
    t, forearm, hand = two_sensors(late_ms / 1000.0, 0.006)
    found = clock_offset(t, forearm, hand, (t > 0.2) & (t < 1.0), FOREARM, HAND)
    assert found is not None
    assert found.offset * 1000.0 == pytest.approx(late_ms, abs=1.0)


def test_too_little_to_compare() -> None:
    t, forearm, hand = two_sensors(0.0)
    assert clock_offset(t, forearm, hand, np.zeros(len(t), dtype=np.bool_), FOREARM, HAND) is None


@pytest.mark.parametrize("late_ms", [-15.0, 0.0, 3.0, 15.0])
def test_offset_from_turning_the_forearm(late_ms: float) -> None:
    rng = np.random.default_rng(2)
    t = np.arange(0.0, 8.0, 0.002)

    def rate(x: np.ndarray) -> np.ndarray:
        return 3.5 * np.sin(2.0 * np.pi * 0.65 * x)

    forearm = 0.9 * rate(t)[:, None] * np.array([0.1, 0.99, 0.0]) + rng.normal(0.0, 0.01, (len(t), 3))
    hand = -rate(t - late_ms / 1000.0)[:, None] * np.array([0.0, -0.99, 0.1]) + rng.normal(0.0, 0.01, (len(t), 3))
    found = turning_offset(t, forearm, hand)
    assert found is not None
    assert found * 1000.0 == pytest.approx(late_ms, abs=0.3)
    assert turning_offset(t[:20], forearm[:20], hand[:20]) is None
    assert turning_offset(t, rng.normal(size=(len(t), 3)), hand) is None


def test_lever_matrix_is_the_rigid_body_formula() -> None:
    rng = np.random.default_rng(3)
    w, a, r = rng.normal(size=(5, 3)), rng.normal(size=(5, 3)), rng.normal(size=3)
    plain = np.cross(a, r) + np.cross(w, np.cross(w, r))
    np.testing.assert_allclose(np.einsum("nij,j->ni", lever_matrix(w, a), r), plain, atol=1e-12)
    assert rate_of_change(np.arange(5.0), w).shape == w.shape


def test_blurring_on_an_even_clock_is_the_plain_sum_of_weights() -> None:
    t = np.arange(80) * 0.004
    values = np.random.default_rng(3).normal(0.0, 1.0, (2, 80))
    weights = np.exp(-0.5 * ((t[:, None] - t) / 0.015) ** 2)
    plain = values @ (weights / weights.sum(axis=1, keepdims=True)).T
    np.testing.assert_allclose(blurring(t, 0.015)(values), plain, atol=1e-13)
    # one sample a little late: no even clock any more
    t[40] += 0.0001
    np.testing.assert_allclose(blurring(t, 0.015)(values), plain, atol=0.01)

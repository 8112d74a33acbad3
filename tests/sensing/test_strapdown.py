import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from ferrule.sensing.strapdown import rotation_steps, strapdown, strapdown_loop, turned_since_start


def tumbling(rate_hz: float, seconds: float = 1.3) -> tuple[np.ndarray, np.ndarray, Rotation]:
    """A known motion with swing-like rates (to about 2000 deg/s): intrinsic angles as smooth functions of time."""
    t = np.arange(0.0, seconds, 1.0 / rate_hz)

    def orientation(x: np.ndarray) -> Rotation:
        yaw, pitch, roll = 2.2 * np.sin(4.0 * x), 1.1 * np.sin(9.0 * x + 0.4), 1.3 * np.sin(13.0 * x + 1.0)
        return Rotation.from_euler("YZX", np.stack((yaw, pitch, roll), axis=1))

    h = 1e-5
    gyr = (orientation(t - h).inv() * orientation(t + h)).as_rotvec() / (2.0 * h)
    return t, gyr, orientation(t)


@pytest.mark.parametrize(("rate_hz", "limit_deg"), [(200.0, 0.15), (500.0, 0.025), (1000.0, 0.007)])
def test_strapdown_follows_a_known_swing_like_motion(rate_hz: float, limit_deg: float) -> None:
    t, gyr, truth = tumbling(rate_hz)
    assert np.degrees(np.linalg.norm(gyr, axis=1).max()) > 1000.0
    error = (truth.inv() * strapdown(t, gyr, truth[0])).magnitude()
    assert np.degrees(error.max()) < limit_deg


def test_first_order_integration_would_not_pass() -> None:
    t, gyr, truth = tumbling(200.0)
    out = truth[0]
    for k in range(len(t) - 1):
        out = out * Rotation.from_rotvec(gyr[k] * (t[k + 1] - t[k]))
    assert np.degrees((truth[-1].inv() * out).magnitude()) > 1.0


@settings(derandomize=True, max_examples=20, deadline=None)
@given(st.integers(0, 10_000), st.integers(2, 90), st.floats(0.0, 1.0))
def test_scan_equals_the_plain_loop(seed: int, n: int, where: float) -> None:
    rng = np.random.default_rng(seed)
    t = np.cumsum(rng.uniform(0.001, 0.01, n))
    gyr = rng.normal(0.0, 20.0, (n, 3))
    anchor = Rotation.random(random_state=seed)
    at = int(where * (n - 1))
    fast, plain = strapdown(t, gyr, anchor, at), strapdown_loop(t, gyr, anchor, at)
    assert (fast.inv() * plain).magnitude().max() < 1e-12 * n
    assert (fast[at].inv() * anchor).magnitude() < 1e-12


def test_two_sensors_at_once_are_each_as_alone() -> None:
    t, gyr, _ = tumbling(500.0)
    both = turned_since_start(t, [gyr, gyr[::-1]])
    for run, alone in zip(both, (gyr, gyr[::-1]), strict=True):
        assert (run.inv() * strapdown(t, alone, Rotation.identity())).magnitude().max() < 1e-12


def test_steady_turn_is_exact() -> None:
    t = np.linspace(0.0, 2.0, 41)
    gyr = np.tile([0.0, 3.0, 0.0], (41, 1))
    out = strapdown(t, gyr, Rotation.identity())
    np.testing.assert_allclose(out[-1].as_matrix(), Rotation.from_rotvec([0.0, 6.0, 0.0]).as_matrix(), atol=1e-12)
    np.testing.assert_allclose(rotation_steps(t, gyr.T).sum(axis=1), [0.0, 6.0, 0.0], atol=1e-12)

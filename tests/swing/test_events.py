import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from ferrule.swing.events import find_finish, find_takeaway, find_top, level_crossing, return_to_address, swing_shape
from ferrule.swing.track import ArmTrack

RATE = 500.0


def pendulum() -> ArmTrack:
    """An arm about Z: still, up by 120 degrees over 1 s, down again and through over 0.5 s, still; top at 1.5 s."""
    t = np.arange(0.0, 3.0, 1.0 / RATE)

    def angle(x: np.ndarray) -> np.ndarray:
        def step(u: np.ndarray) -> np.ndarray:
            c = np.clip(u, 0.0, 1.0)
            return c**3 * (10.0 - 15.0 * c + 6.0 * c**2)

        return np.radians(-120.0 * step((x - 0.5) / 1.0) + 240.0 * step((x - 1.5) / 0.6))

    a = angle(t)
    rate = (angle(t + 1e-5) - angle(t - 1e-5)) / 2e-5
    turned = Rotation.from_rotvec(np.stack((0.0 * a, 0.0 * a, a), axis=1))
    rates = np.stack((0.0 * a, 0.0 * a, rate), axis=1)
    return ArmTrack(t, turned, turned, rates, rates)


def test_top_is_the_turn_round() -> None:
    track = pendulum()
    shape = swing_shape(track.time_s, track.hand_rate, int(np.argmax(np.abs(track.hand_rate[:, 2]))))
    top = find_top(track.time_s, shape, 100)
    assert top is not None
    assert top.time_s == pytest.approx(1.5, abs=0.012)
    np.testing.assert_allclose(shape.direction, [0.0, 0.0, 1.0], atol=1e-9)


def test_takeaway_and_finish_are_where_the_hand_passes_a_small_rate() -> None:
    track = pendulum()
    speed = np.abs(track.hand_rate[:, 2])
    takeaway = find_takeaway(track.time_s, speed, 100, 750)
    finish = find_finish(track.time_s, speed, int(np.argmax(speed)))
    assert takeaway is not None and finish is not None
    rate = np.degrees(speed)
    assert rate[int(takeaway.time_s * RATE)] == pytest.approx(10.0, abs=2.0)
    assert finish.time_s == pytest.approx(2.1, abs=0.05)


def test_level_is_crossed_between_samples() -> None:
    track = pendulum()
    rise = np.cos(np.arctan2(0.0, 1.0) + np.linspace(0.0, np.pi, len(track)))
    level = level_crossing(track.time_s, rise, 0, len(track), np.radians(2.0))
    assert level is not None
    assert level.time_s == pytest.approx(0.5 * track.time_s[-1], abs=1e-6)
    # 2 degrees at pi / 3 s
    assert level.sd == pytest.approx(np.radians(2.0) / (np.pi / track.time_s[-1]), rel=0.01)


def test_an_air_swing_returns_to_its_address_pose_and_says_so() -> None:
    track = pendulum()
    back = return_to_address(track, 0, 750, 1040)
    assert back is not None
    assert back.how == "address_pose"
    assert back.time_s == pytest.approx(1.8, abs=0.01)


def test_no_turn_round_no_top() -> None:
    track = pendulum()
    shape = swing_shape(track.time_s, track.hand_rate, int(np.argmax(np.abs(track.hand_rate[:, 2]))))
    assert find_top(track.time_s, shape, shape.peak - 3) is None

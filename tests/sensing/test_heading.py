import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from ferrule.frames.rotations import UP, rotation_about
from ferrule.frames.wrist import wrist_angles, wrist_rotation
from ferrule.sensing.heading import heading_from_acceleration, heading_without_twist


@settings(derandomize=True, max_examples=60, deadline=None)
@given(
    st.floats(-3.1, 3.1),
    st.floats(-3.1, 3.1),
    st.floats(-0.6, 0.6),
    st.floats(-0.5, 0.5),
    st.tuples(st.floats(-0.7, 0.7), st.floats(-0.7, 0.7)),
    st.floats(-0.15, 0.15),
)
def test_a_wrist_that_does_not_twist_tells_the_heading(
    heading: float, facing: float, flexion: float, deviation: float, lean: tuple[float, float], axial: float
) -> None:
    forearm = rotation_about(UP, facing) * Rotation.from_rotvec([lean[0], 0.0, lean[1]])
    twisted = forearm * rotation_about([0.0, 1.0, 0.0], axial)
    hand = twisted * wrist_rotation(flexion, deviation, 0.0, side="left")
    own_world = rotation_about(UP, -heading) * forearm
    turn, conditioning = heading_without_twist(own_world, hand, axial)
    assert float(np.cos(turn - heading)) == pytest.approx(1.0, abs=1e-9)
    assert 0.2 < conditioning <= 1.0 + 1e-9


def test_many_at_once_equal_one_by_one() -> None:
    rng = np.random.default_rng(0)
    forearm = Rotation.from_rotvec(rng.normal(0.0, 0.3, (20, 3)))
    hand = forearm * Rotation.from_rotvec(rng.normal(0.0, 0.2, (20, 3)))
    turns, conditioning = heading_without_twist(forearm, hand)
    for i in range(20):
        turn, one = heading_without_twist(forearm[i], hand[i])
        assert turns[i] == pytest.approx(float(turn), abs=1e-12)
        assert conditioning[i] == pytest.approx(float(one), abs=1e-12)
        turned = rotation_about(UP, float(turn)) * forearm[i]
        assert float(wrist_angles(turned, hand[i], side="left").axial) == pytest.approx(0.0, abs=1e-9)


def test_a_level_forearm_is_badly_conditioned() -> None:
    level = Rotation.from_euler("Z", 85.0, degrees=True)
    _, conditioning = heading_without_twist(level, level)
    assert conditioning < 0.1


def test_the_wrists_acceleration_tells_the_same_turn() -> None:
    rng = np.random.default_rng(4)
    t = np.linspace(0.0, 0.5, 250)
    wrist = np.stack((40.0 * np.sin(6.0 * t), 9.8 + 0.0 * t, 30.0 * np.cos(4.0 * t)), axis=1)
    forearm = rotation_about(UP, -0.7).apply(wrist) + rng.normal(0.0, 1.0, wrist.shape)
    forearm[100:120] += 60.0  # a stretch that only one sensor felt
    turn, explained = heading_from_acceleration(forearm, wrist)
    assert turn == pytest.approx(0.7, abs=0.02)
    assert explained > 0.9
    _, nothing = heading_from_acceleration(rng.normal(size=(250, 3)), wrist)
    assert nothing < 0.3

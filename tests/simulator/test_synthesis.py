import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from ferrule.simulator import CalibrationPlan, Faults, SwingPlan, simulate_lesson
from ferrule.simulator.faults import FOREARM_LEVER, draw_sensor
from ferrule.simulator.kinematics import motion_from_samples
from ferrule.simulator.synthesis import signals_from_motion
from ferrule.units import GRAVITY


def test_constant_turn_on_a_circle_reads_centripetal_force() -> None:
    """A body on a turntable: constant rate about its own Y, and towards the axis w^2 r."""
    rate, radius = 3.0, 0.5
    t = np.arange(0.0, 2.0, 0.01)
    rotation = Rotation.from_euler("Y", rate * t[:, None])
    position = rotation.apply([radius, 0.0, 0.0])
    rng = np.random.default_rng(0)
    sensor = draw_sensor(Faults.none(), np.array([0.1, 0.0, 0.0]), 0.0, rng)
    trace = signals_from_motion(t, rotation, position, sensor=sensor, faults=Faults.none(), rng=rng)
    inside = slice(20, -20)
    assert np.allclose(trace.gyr[inside], [0.0, rate, 0.0], atol=1e-9)
    assert np.allclose(trace.acc[inside], [-(rate**2) * (radius + 0.1), GRAVITY, 0.0], atol=1e-5)


def test_given_motion_gives_back_the_simulators_own_signals() -> None:
    lesson = simulate_lesson(
        seed=4, faults=Faults.none(), swings=[SwingPlan()], calibration=CalibrationPlan.none(), rate_hz=1000.0
    )
    t = lesson.truth.time_s
    rng = np.random.default_rng(0)
    sensor = draw_sensor(Faults.none(), FOREARM_LEVER, 0.0, rng)
    trace = signals_from_motion(
        t, lesson.truth.forearm, np.zeros((t.size, 3)), sensor=sensor, faults=Faults.none(), rng=rng
    )
    assert np.abs(trace.gyr - lesson.recording.forearm.gyr)[5:-5].max() < 5e-3


def test_rates_of_a_sampled_motion_are_in_the_world() -> None:
    """Angular acceleration of the spline against differences of its rate, in the world."""
    rng = np.random.default_rng(3)
    t = np.linspace(0.0, 1.0, 12)
    rotation = Rotation.from_rotvec(rng.normal(size=(12, 3)) * 0.4)
    motion = motion_from_samples(t, rotation, rng.normal(size=(12, 3)))
    h = 1e-5
    at = np.array([0.23, 0.51, 0.77])
    before, now, after = motion(at - h), motion(at), motion(at + h)
    assert np.allclose((after.rate - before.rate) / (2 * h), now.turning, rtol=1e-4, atol=1e-4)
    assert np.allclose((after.rotation * before.rotation.inv()).as_rotvec() / (2 * h), now.rate, rtol=1e-5, atol=1e-5)
    assert np.allclose((after.velocity - before.velocity) / (2 * h), now.acceleration, rtol=1e-4, atol=1e-3)


@pytest.mark.parametrize("when", [-1.0, 5.0])
def test_outside_its_samples_a_motion_rests(when: float) -> None:
    t = np.linspace(0.0, 1.0, 12)
    motion = motion_from_samples(t, Rotation.from_euler("X", t[:, None]), np.outer(t, [1.0, 2.0, 3.0]))
    held = motion(np.array([when]))
    assert (held.rate == 0.0).all()
    assert (held.acceleration == 0.0).all()

"""Independent second opinions on orientation: another package's filter, and the simulator's exact truth."""

import dfjimu
import numpy as np
import vqf

from ferrule.frames.rotations import rotation_from_scalar_first
from ferrule.sensing.clock import FOREARM_LEVER, HAND_LEVER
from ferrule.sensing.orientation import level_run, sensor_runs
from ferrule.sensing.recording import SensorTrace
from ferrule.simulator.faults import Faults
from ferrule.simulator.lesson import simulate_lesson
from ferrule.simulator.plans import CalibrationPlan


def test_vqf_sees_the_same_turn_of_the_hand_from_address_to_impact() -> None:
    """vqf (Laidig and Seel 2023, doi:10.1016/j.inffus.2022.10.014) integrates one sample as constant: it is given means
    of neighbours. Its heading is free, so the turn between two instants is compared, in the frame of the first."""
    told = simulate_lesson(seed=2, faults=Faults.nominal().but(gyro_bias=0.0, acc_bias=0.0))
    t, hand = told.recording.time_s, told.recording.hand
    events = told.truth.swings[0].events
    low, at, impact = (
        int(np.searchsorted(t, x)) for x in (events["address"] - 1.0, events["address"], events["impact"])
    )
    part = slice(low, impact - 1)
    gyr = hand.gyr[part].copy()
    gyr[1:] = 0.5 * (gyr[1:] + gyr[:-1])
    other = vqf.offlineVQF(
        np.ascontiguousarray(gyr), np.ascontiguousarray(hand.acc[part]), None, float(np.median(np.diff(t)))
    )
    theirs = rotation_from_scalar_first(other["quat6D"])
    run = sensor_runs(t, (hand, np.zeros(3)))[0]
    mine = level_run(run, hand.acc[low:at].mean(axis=0), at, low, impact - 1).turned
    k = at - low
    apart = (mine[k].inv() * mine[-1]).inv() * (theirs[k].inv() * theirs[-1])
    # its correction towards the accelerometer goes on during the swing, which costs it a degree or two
    assert np.degrees(apart.magnitude()) < 2.5
    assert np.degrees((mine[k].inv() * mine[-1]).magnitude()) > 10.0


def test_dfjimu_sees_the_same_wrist_at_impact() -> None:
    """dfjimu's MAP estimate (Weygers and Kok 2020, doi:10.1109/JSEN.2020.2982459) knows only that both sensors share the
    wrist centre: nothing of levels, of an untwisted wrist or of coning. One starting orientation serves both sensors, so
    each one's signals are turned into the world by its own at address."""
    faults = Faults.nominal().but(gyro_bias=0.0, acc_bias=0.0, clock_offset=0.0, skin_follow=1.0)
    told = simulate_lesson(seed=2, faults=faults)
    t, truth = told.recording.time_s, told.truth
    events = truth.swings[0].events
    low, end = (int(np.searchsorted(t, x)) for x in (events["address"] - 0.3, events["impact"] - 0.004))
    signals, mine = [], []
    for sensor, segment, drawn in (
        (told.recording.forearm, truth.forearm, truth.faults.forearm),
        (told.recording.hand, truth.hand, truth.faults.hand),
    ):
        start = segment[low] * drawn.mounting
        signals.append(
            (start.apply(sensor.gyr[low:end]), start.apply(sensor.acc[low:end]), segment[low].apply(drawn.lever))
        )
        run = sensor_runs(t[low:end], (sensor_part(sensor, low, end), np.zeros(3)))[0]
        mine.append(start * run.turned[0].inv() * run.turned[-1] * start.inv())
    (gyr_f, acc_f, lever_f), (gyr_h, acc_h, lever_h) = signals
    forearm, hand = dfjimu.map_acc(
        *(np.ascontiguousarray(x) for x in (gyr_f, gyr_h, acc_f, acc_h, lever_f, lever_h)),
        Fs=1.0 / float(np.median(np.diff(t))),
        q_init=np.array([1.0, 0.0, 0.0, 0.0]),
        cov_w=2e-3**2 * np.eye(6),
        cov_i=1e-6 * np.eye(3),
        cov_lnk=100.0 * np.eye(3),
    )[:2]
    theirs = rotation_from_scalar_first(forearm[-1]).inv() * rotation_from_scalar_first(hand[-1])
    ours = mine[0].inv() * mine[1]
    true = (truth.forearm[end - 1] * truth.forearm[low].inv()).inv() * (truth.hand[end - 1] * truth.hand[low].inv())
    assert np.degrees(true.magnitude()) > 10.0
    assert np.degrees((true.inv() * ours).magnitude()) < 4.0
    assert np.degrees((theirs.inv() * ours).magnitude()) < 3.0


def sensor_part(sensor: SensorTrace, low: int, high: int) -> SensorTrace:
    return SensorTrace(sensor.acc[low:high], sensor.gyr[low:high])


def test_level_world_is_the_truth_up_to_its_heading() -> None:
    told = simulate_lesson(seed=2, faults=Faults.none(), calibration=CalibrationPlan.none())
    t, hand = told.recording.time_s, told.recording.hand
    events = told.truth.swings[0].events
    low, at, end = (int(np.searchsorted(t, x)) for x in (events["address"] - 0.2, events["address"], events["finish"]))
    mine = level_run(sensor_runs(t, (hand, np.zeros(3)))[0], hand.acc[at], at, low, end).turned
    true = told.truth.hand[low:end] * told.truth.faults.hand.mounting
    heading = mine * true.inv()
    up = heading.apply([0.0, 1.0, 0.0])
    assert np.degrees(np.arccos(np.clip(up[:, 1], -1.0, 1.0))).max() < 0.1
    assert np.degrees((heading[0].inv() * heading).magnitude()).max() < 0.1


def test_late_clock_is_read_between_samples() -> None:
    told = simulate_lesson(seed=2, faults=Faults.none(), calibration=CalibrationPlan.none())
    late = simulate_lesson(seed=2, faults=Faults.none().but(clock_offset=0.0073), calibration=CalibrationPlan.none())
    t = told.recording.time_s
    events = told.truth.swings[0].events
    low, at, end = (int(np.searchsorted(t, x)) for x in (events["address"] - 0.2, events["address"], events["impact"]))
    up = told.recording.hand.acc[at]
    on_time = level_run(sensor_runs(t, (told.recording.hand, np.zeros(3)))[0], up, at, low, end)
    moved = level_run(sensor_runs(t, (late.recording.hand, np.zeros(3)))[0], up, at, low, end, 0.0073)
    assert np.degrees((on_time.turned.inv() * moved.turned).magnitude()).max() < 0.05
    assert np.abs(on_time.turned.apply(on_time.rate) - moved.turned.apply(moved.rate)).max() < 0.05


def test_generic_levers_point_from_the_sensors_to_the_wrist() -> None:
    # worn on the back (volar is +X), the forearm's above the wrist (proximal is +Y), the hand's below it
    assert FOREARM_LEVER[0] > 0.0 > FOREARM_LEVER[1]
    assert HAND_LEVER[0] > 0.0 and HAND_LEVER[1] > 0.0
    assert max(np.linalg.norm(FOREARM_LEVER), np.linalg.norm(HAND_LEVER)) < 0.1

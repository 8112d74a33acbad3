"""Each fault does what its name says, and nothing else."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from ferrule.sensing.recording import Recording
from ferrule.simulator import CalibrationPlan, Faults, Gap, SimulatedLesson, Slip, SwingPlan, simulate_lesson
from ferrule.units import DEG, GRAVITY


def lesson(faults: Faults, *, rate_hz: float = 500.0, plan: SwingPlan | None = None) -> SimulatedLesson:
    swings = [plan or SwingPlan()]
    return simulate_lesson(seed=21, faults=faults, swings=swings, calibration=CalibrationPlan.none(), rate_hz=rate_hz)


CLEAN = lesson(Faults.none())
R = CLEAN.recording
IMPACT = CLEAN.truth.swings[0].events["impact"]
STILL = R.time_s < 1.0


def test_noise_has_the_stated_density() -> None:
    noisy = lesson(Faults(gyro_noise=0.01, acc_noise=0.02)).recording
    assert np.std(noisy.hand.gyr - R.hand.gyr) == pytest.approx(0.01 * np.sqrt(250.0), rel=0.03)
    assert np.std(noisy.forearm.acc - R.forearm.acc) == pytest.approx(0.02 * np.sqrt(250.0), rel=0.03)


def test_bias_is_constant() -> None:
    biased = lesson(Faults(gyro_bias=0.02, acc_bias=0.2))
    error = biased.recording.hand.gyr - R.hand.gyr
    assert np.allclose(error, biased.truth.faults.hand.gyro_bias, atol=1e-12)
    assert 0.0 < np.abs(error).max() < 0.1
    assert np.allclose(biased.recording.hand.acc - R.hand.acc, biased.truth.faults.hand.acc_bias, atol=1e-12)


def test_scale_and_cross_axis_multiply_the_rate() -> None:
    scaled = lesson(Faults(gyro_scale=0.01, gyro_cross=0.005))
    matrix = scaled.truth.faults.hand.gyro_matrix
    assert np.allclose(scaled.recording.hand.gyr, R.hand.gyr @ matrix.T, atol=1e-12)
    assert 0.001 < np.abs(matrix - np.eye(3)).max() < 0.05


def test_ranges_clip() -> None:
    clipped = lesson(Faults(gyro_range=500.0 * DEG, acc_range=4.0 * GRAVITY)).recording
    assert np.abs(clipped.hand.gyr).max() == pytest.approx(500.0 * DEG)
    assert np.abs(clipped.hand.acc).max() == pytest.approx(4.0 * GRAVITY)
    assert clipped.gyr_range == pytest.approx(500.0 * DEG)
    assert R.gyr_range is None


def test_mounting_turns_both_vectors_alike() -> None:
    turned = lesson(Faults(mounting=(6.0 * DEG, 20.0 * DEG)))
    for name in ("forearm", "hand"):
        mounting = getattr(turned.truth.faults, name).mounting
        assert 6.0 * DEG <= mounting.magnitude() <= 20.0 * DEG
        assert np.allclose(mounting.apply(getattr(turned.recording, name).gyr), getattr(R, name).gyr, atol=1e-9)
        assert np.allclose(mounting.apply(getattr(turned.recording, name).acc), getattr(R, name).acc, atol=1e-9)


def test_lever_changes_the_accelerometer_alone_and_only_in_motion() -> None:
    moved = lesson(Faults(lever=0.008)).recording
    assert np.array_equal(moved.hand.gyr, R.hand.gyr)
    assert np.allclose(moved.hand.acc[STILL], R.hand.acc[STILL], atol=1e-9)
    assert np.abs(moved.hand.acc - R.hand.acc).max() > 0.5


def test_wobble_is_fast_and_small() -> None:
    soft = lesson(Faults(wobble_hand=2.0 * DEG)).recording
    error = soft.hand.gyr - R.hand.gyr
    assert np.array_equal(soft.forearm.gyr, R.forearm.gyr)
    assert np.allclose(error[STILL], 0.0, atol=1e-12)
    assert 30.0 * DEG < np.abs(error).max() < 500.0 * DEG
    turned = np.cumsum(error, axis=0) / 500.0
    assert np.abs(turned).max() < 6.0 * DEG


def test_skin_lags_behind_pronation_of_the_forearm_alone() -> None:
    lagging = lesson(Faults(skin_follow=0.8)).recording
    assert np.array_equal(lagging.hand.gyr, R.hand.gyr)
    bone = np.trapezoid(R.forearm.gyr[:, 1], R.time_s)
    top = R.time_s < CLEAN.truth.swings[0].events["top"]
    shown = np.trapezoid(lagging.forearm.gyr[top, 1], R.time_s[top])
    bone = np.trapezoid(R.forearm.gyr[top, 1], R.time_s[top])
    # Not all of the roll is pronation: tilting the arm at the top rolls it too, and there the skin follows.
    assert 0.8 <= shown / bone < 0.92


def test_ringing_starts_with_the_blow_and_dies_away() -> None:
    rung = lesson(Faults(ringing=(50 * GRAVITY, 50 * GRAVITY), gyro_ringing=250.0 * DEG), rate_hz=4000.0)
    clean = lesson(Faults.none(), rate_hz=4000.0).recording
    error = np.linalg.norm(rung.recording.hand.acc - clean.hand.acc, axis=1)
    t = clean.time_s
    assert (error[t < IMPACT] == 0.0).all()
    assert 15 * GRAVITY < error[(t > IMPACT) & (t < IMPACT + 0.02)].max() < 100 * GRAVITY
    assert error[t > IMPACT + 0.1].max() < 0.1 * error.max()
    assert np.abs(rung.recording.hand.gyr - clean.hand.gyr).max() < 500.0 * DEG


@pytest.mark.parametrize("plan", [SwingPlan(ball=False), SwingPlan(kind="practice")])
def test_no_ball_no_ringing(plan: SwingPlan) -> None:
    rung = lesson(Faults(ringing=(50 * GRAVITY, 50 * GRAVITY)), plan=plan).recording
    assert np.array_equal(rung.hand.acc, lesson(Faults.none(), plan=plan).recording.hand.acc)


def test_weak_strike_rings_less() -> None:
    def ringing(strike: float) -> float:
        rung = lesson(Faults(ringing=(50 * GRAVITY, 50 * GRAVITY)), plan=SwingPlan(strike=strike)).recording
        return float(np.abs(rung.hand.acc - R.hand.acc).max())

    assert ringing(0.2) == pytest.approx(0.2 * ringing(1.0), rel=1e-9)


def _later(trace: NDArray[np.float64], clean: NDArray[np.float64], samples: int) -> bool:
    return bool(np.allclose(trace[samples:], clean[:-samples], atol=1e-9))


def test_clock_offset_and_filter_delay_shift_the_signals() -> None:
    shifted = lesson(Faults(clock_offset=0.010)).recording
    assert _later(shifted.hand.gyr, R.hand.gyr, 5)
    assert np.array_equal(shifted.forearm.gyr, R.forearm.gyr)
    delayed = lesson(Faults(filter_delay_forearm=0.004)).recording
    assert _later(delayed.forearm.acc, R.forearm.acc, 2)
    assert np.array_equal(delayed.hand.acc, R.hand.acc)


def test_clock_offset_is_drawn_when_asked() -> None:
    offsets = [
        simulate_lesson(seed=s, swings=[], calibration=CalibrationPlan.none()).truth.faults.clock_offset
        for s in range(40)
    ]
    assert np.std(offsets) == pytest.approx(0.001, rel=0.35)


def test_sway_moves_the_still_golfer_a_little() -> None:
    swaying = lesson(Faults(sway=0.35 * DEG))
    inside = (R.time_s > 0.3) & (R.time_s < 1.6)
    away = (swaying.truth.hand[inside] * CLEAN.truth.hand[inside].inv()).magnitude()
    assert 0.02 * DEG < away.max() < 0.9 * DEG
    assert swaying.truth.swings[0].at["impact"].face == pytest.approx(CLEAN.truth.swings[0].at["impact"].face, abs=1e-9)


def test_slip_turns_one_sensor_for_good() -> None:
    turn = (0.1, 0.0, 0.0)
    slipped = lesson(Faults(slips=(Slip(0.5, "hand", turn),))).recording
    after = (R.time_s > 0.8) & STILL
    assert np.array_equal(slipped.forearm.acc, R.forearm.acc)
    assert np.allclose(slipped.hand.acc[R.time_s < 0.5], R.hand.acc[R.time_s < 0.5])
    cosine = np.sum(slipped.hand.acc[after] * R.hand.acc[after], axis=1) / GRAVITY**2
    assert np.degrees(np.arccos(cosine)).max() > 1.0


def test_gap_loses_rows() -> None:
    gappy = lesson(Faults(gaps=(Gap(1.0, 0.2),)))
    missing = (R.time_s >= 1.0) & (R.time_s < 1.2)
    assert gappy.recording.time_s.size == R.time_s.size - missing.sum()
    assert np.diff(gappy.recording.time_s).max() == pytest.approx(0.202, abs=0.003)
    assert np.array_equal(gappy.recording.hand.gyr, R.hand.gyr[~missing])
    assert len(gappy.truth.hand) == gappy.recording.time_s.size


@pytest.mark.parametrize(
    "plan, sd",
    [(CalibrationPlan.best, 1.0), (CalibrationPlan.usual, 2.0), (CalibrationPlan.sloppy, 4.0)],
)
def test_pose_errors_have_the_stated_size(plan: Callable[[], CalibrationPlan], sd: float) -> None:
    chosen = plan()
    errors = np.array(
        [
            simulate_lesson(seed=s, swings=[], calibration=chosen, rate_hz=50.0).truth.calibration.pose_first
            for s in range(25)
        ]
    )
    assert np.degrees(np.std(errors)) == pytest.approx(sd, rel=0.25)


def test_nominal_recording_holds_finite_numbers_within_range() -> None:
    recording: Recording = simulate_lesson(seed=1).recording
    for trace in (recording.forearm, recording.hand):
        assert np.isfinite(trace.acc).all()
        assert np.isfinite(trace.gyr).all()
        assert np.abs(trace.gyr).max() <= 2000.0 * DEG

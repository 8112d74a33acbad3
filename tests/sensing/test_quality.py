"""Quality: physics on simulated swings whose faults are known."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.sensing.clipping import CLIP_REPAIR, find_clipping, reconstruct_clipping
from ferrule.sensing.gaps import check_clock, find_gaps, resample_uniform
from ferrule.sensing.quality import Clip, Quality, Span, prepare, quality_between
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.sensing.signal_check import READINGS, check_units, gravity_agreement, rest_magnitude
from ferrule.sensing.stillness import runs
from ferrule.simulator import CalibrationPlan, Faults, Gap, SimulatedLesson, SwingPlan, simulate_lesson
from ferrule.units import DEG


def swing(faults: Faults, peak: float = 2200.0) -> SimulatedLesson:
    return simulate_lesson(
        seed=7,
        faults=faults,
        swings=[SwingPlan(peak_hand_rate=peak * DEG)],
        calibration=CalibrationPlan.none(),
    )


CLEAN = swing(Faults.none())


def test_clipping_is_found_with_and_without_the_range() -> None:
    clipped = swing(Faults(gyro_range=1200.0 * DEG)).recording
    true = np.abs(CLEAN.recording.hand.gyr) >= 1200.0 * DEG
    assert true.sum() > 10
    assert (find_clipping(clipped.hand.gyr, clipped.gyr_range) == true).mean() > 0.9995
    assert (find_clipping(clipped.hand.gyr) == true).mean() > 0.9995
    assert not find_clipping(CLEAN.recording.hand.gyr).any()


def test_reconstruction_halves_the_error_of_short_clips() -> None:
    clipped = swing(Faults(gyro_range=1200.0 * DEG)).recording
    true = CLEAN.recording.hand.gyr
    mask = find_clipping(clipped.hand.gyr, clipped.gyr_range)
    longest = max(clipped.time_s[b - 1] - clipped.time_s[a] for k in range(3) for a, b in runs(mask[:, k]))
    assert longest < CLIP_REPAIR
    mended = reconstruct_clipping(clipped.time_s, clipped.hand.gyr, mask)
    before = np.abs(clipped.hand.gyr - true)[mask].mean()
    after = np.abs(mended - true)[mask].mean()
    assert after < 0.35 * before
    assert np.array_equal(mended[~mask], clipped.hand.gyr[~mask])
    assert (np.abs(mended[mask]) >= 1200.0 * DEG - 1e-9).all()


def test_long_clips_stay_as_they_are() -> None:
    t = np.arange(200) / 500.0
    values = np.zeros((200, 3))
    values[:, 0] = np.minimum(10.0, 0.002 * (100 - np.abs(np.arange(200) - 100)) ** 2)
    mask = find_clipping(values, 10.0)
    assert np.array_equal(reconstruct_clipping(t, values, mask), values)


@settings(derandomize=True, max_examples=40, deadline=None)
@given(st.integers(0, 10**6), st.floats(0.3, 0.9))
def test_reconstruction_never_falls_below_the_rail(seed: int, level: float) -> None:
    rng = np.random.default_rng(seed)
    t = np.arange(150) / 500.0
    values = np.column_stack([np.sin(rng.uniform(10, 60) * t + rng.uniform(0, 6)) for _ in range(3)])
    rail = level * np.abs(values).max()
    clipped = np.clip(values, -rail, rail)
    mended = reconstruct_clipping(t, clipped, find_clipping(clipped, rail))
    assert (np.abs(mended) >= np.abs(clipped) - 1e-12).all()
    assert (np.sign(mended) == np.sign(clipped)).all()


def test_gaps_are_found_and_short_ones_filled() -> None:
    gappy = swing(Faults(gaps=(Gap(1.0, 0.008), Gap(2.5, 0.2))), peak=1600.0)
    assert [round(g.length_s, 3) for g in find_gaps(gappy.recording.time_s)] == [0.010, 0.202]
    ready, quality = prepare(gappy.recording)
    assert len(quality.filled) == 1
    assert len(quality.gaps) == 1
    assert quality.gaps[0].start_s == pytest.approx(2.498)
    whole = swing(Faults.none(), peak=1600.0).recording
    same = np.isin(np.round(whole.time_s, 6), np.round(ready.time_s, 6))
    assert same.sum() == ready.time_s.size == whole.time_s.size - 100
    assert np.abs(ready.hand.gyr - whole.hand.gyr[same]).max() < 1e-3


def test_resampling_keeps_what_was_even_and_follows_what_was_not() -> None:
    recording = swing(Faults.none(), peak=1600.0).recording
    again = resample_uniform(recording)
    assert np.abs(again.hand.gyr - recording.hand.gyr).max() < 1e-9
    half = resample_uniform(recording, 1000.0)
    assert np.array_equal(np.round(half.time_s[::2], 6), np.round(recording.time_s, 6))
    fine = simulate_lesson(
        seed=7, faults=Faults.none(), swings=[SwingPlan(peak_hand_rate=1600.0 * DEG)],
        calibration=CalibrationPlan.none(), rate_hz=1000.0,
    ).recording  # fmt: skip
    n = min(fine.time_s.size, half.time_s.size)
    assert np.abs(half.hand.gyr[:n] - fine.hand.gyr[:n]).max() < 0.02


def test_units_of_simulated_sensors_are_right() -> None:
    lesson = simulate_lesson(seed=5).recording
    for trace in (lesson.forearm, lesson.hand):
        agreement = gravity_agreement(lesson.time_s, trace)
        assert agreement is not None
        assert agreement[1.0] < 6.0 * DEG
        assert min(agreement[r] for r in READINGS[1:]) > 15.0 * DEG
        assert rest_magnitude(trace) == pytest.approx(9.81, abs=0.4)
    assert check_units(lesson) == []


def test_axes_that_do_not_belong_together_are_remarked() -> None:
    lesson = simulate_lesson(seed=5).recording
    crossed = SensorTrace(lesson.hand.acc, lesson.hand.gyr[:, [1, 2, 0]])
    issues = check_units(Recording(lesson.time_s, lesson.forearm, crossed))
    assert [i.code for i in issues] == ["rate_axes"]


def test_clock_words() -> None:
    assert check_clock(np.arange(100) / 500.0) == []
    assert "microseconds" in check_clock(np.arange(100) / 50_000.0)[0].message
    assert "the same time in most rows" in check_clock(np.repeat([0.0, 1.0], 50))[0].message


def clip(start: float, length: float, repaired: bool) -> Clip:
    return Clip("hand", "gyr", Span(start, start + length), repaired)


@pytest.mark.parametrize(
    ("clips", "until", "word"),
    [
        ((clip(1.0, 0.008, True),), np.inf, "8 ms"),
        ((clip(1.0, 0.030, True),), np.inf, "reconstructed"),
        ((clip(1.0, 0.080, False),), 1.0, "refused"),
        ((clip(1.0, 0.040, True), clip(1.1, 0.040, True)), 1.0, "80 ms"),
        ((clip(5.0, 0.080, False),), np.inf, ""),
    ],
)
def test_rules_of_clipping(clips: tuple[Clip, ...], until: float, word: str) -> None:
    found = quality_between(Quality(500.0, (), (), clips), 0.5, 2.0)
    assert found.angles_until_s == until
    assert word in " ".join(found.words)
    assert (found.widen > 0.0) == ("reconstructed" in word)


def test_rules_of_gaps_and_rates() -> None:
    gap = quality_between(Quality(500.0, (), (Span(1.0, 1.2),), ()), 0.5, 2.0)
    assert gap.angles_until_s == 1.0
    assert gap.words == ("200 ms of signal are missing: angles after the gap are refused",)
    assert "too slow for a full swing" in quality_between(Quality(100.0, (), (), ()), 0.0, 1.0).words[0]
    assert "impact" in quality_between(Quality(250.0, (), (), ()), 0.0, 1.0).words[0]
    assert quality_between(Quality(500.0, (), (), ()), 0.0, 1.0).words == ()

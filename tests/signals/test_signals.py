import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import uniform_filter1d
from scipy.spatial.transform import Rotation

from ferrule.signals.derivative import (
    cross,
    crossings,
    lengths,
    middle,
    place_of,
    rate_of_change,
    running_integral,
    smoothed,
    unwrapped,
    usual_step,
    without_spikes,
)
from ferrule.signals.onset import find_onset
from ferrule.signals.prefix import (
    quaternion_product,
    quaternions_from_rotation_vectors,
    rotation_product,
    row_product,
    running_product,
    running_product_loop,
)


@settings(derandomize=True, max_examples=25, deadline=None)
@given(st.integers(1, 70), st.integers(0, 1000))
def test_running_product_equals_the_loop(n: int, seed: int) -> None:
    steps = quaternions_from_rotation_vectors(np.random.default_rng(seed).normal(0.0, 0.5, (3, n)))
    np.testing.assert_allclose(running_product(steps), running_product_loop(steps), atol=1e-12)


@pytest.mark.parametrize("n", [64, 127, 128, 129, 1000, 4097])
def test_running_product_of_long_series_equals_the_loop(n: int) -> None:
    steps = quaternions_from_rotation_vectors(np.random.default_rng(n).normal(0.0, 0.5, (3, 2, n)))
    np.testing.assert_allclose(running_product(steps), running_product_loop(steps), atol=1e-11)


def test_several_sensors_at_once() -> None:
    steps = quaternions_from_rotation_vectors(np.random.default_rng(0).normal(0.0, 0.5, (3, 2, 40)))
    both = running_product(steps)
    for i in range(2):
        np.testing.assert_allclose(both[:, i], running_product(steps[:, i]), atol=1e-14)


@pytest.mark.parametrize("rate", [0.01, 2.0])
def test_unwrapping_is_numpys(rate: float) -> None:
    angles = (rate * np.arange(100) + np.pi) % (2.0 * np.pi) - np.pi
    np.testing.assert_array_equal(unwrapped(angles), np.unwrap(angles))
    np.testing.assert_array_equal(unwrapped(angles[:1]), angles[:1])


def test_quaternion_product_is_hamiltons() -> None:
    i, j, k = np.eye(4)[:3]
    np.testing.assert_allclose(quaternion_product(i, j), k)
    np.testing.assert_allclose(quaternion_product(j, i), -k)


def test_integral_undoes_the_rate() -> None:
    t = np.linspace(0.0, 2.0, 2001)
    wave = np.stack((np.sin(3.0 * t), np.cos(2.0 * t)), axis=1)
    back = running_integral(t, rate_of_change(t, wave)) + wave[0]
    np.testing.assert_allclose(back, wave, atol=1e-5)


def test_smoothing_is_the_centred_mean_inside() -> None:
    x = np.random.default_rng(1).normal(size=200)
    np.testing.assert_allclose(smoothed(x, 9)[10:-10], uniform_filter1d(x, 9)[10:-10], atol=1e-12)
    np.testing.assert_allclose(smoothed(np.ones(7), 5), np.ones(7))


def test_a_spike_is_gone_and_a_slow_wave_stays() -> None:
    wave = np.sin(np.linspace(0.0, 6.0, 600))
    spiked = wave.copy()
    spiked[300:320] += 50.0
    calm = without_spikes(spiked, 51)
    assert np.abs(calm - wave).max() < 0.3
    np.testing.assert_allclose(without_spikes(wave, 1), wave)


def test_crossings_fall_between_samples() -> None:
    t = np.linspace(0.5, 10.5, 101)
    np.testing.assert_allclose(crossings(t, np.sin(t), rising=True), [2.0 * np.pi], atol=5e-3)
    np.testing.assert_allclose(crossings(t, np.sin(t), rising=False), [np.pi, 3.0 * np.pi], atol=5e-3)
    assert crossings(t, np.ones(101)).size == 0


@pytest.mark.parametrize("size", [10.0, 400.0])
@pytest.mark.parametrize("late", [0.2, 0.9])
def test_onset_is_found_even_when_the_largest_jump_comes_later(size: float, late: float) -> None:
    rng = np.random.default_rng(3)
    t = np.arange(0.0, 0.6, 0.002)
    blow = 0.4 + late * 0.002
    after = np.clip(t - blow, 0.0, None)
    # rings up over several cycles, as a hand on a shaft does
    ring = size * (1.0 - np.exp(-after / 0.004)) * np.exp(-after / 0.015) * np.sin(2.0 * np.pi * 230.0 * after)
    smooth = 60.0 * np.sin(9.0 * t)
    signal = np.stack((smooth + ring, 0.5 * smooth, ring), axis=1) + rng.normal(0.0, 0.02, (len(t), 3))
    onset = find_onset(t, signal, 150, 260)
    assert onset is not None
    assert onset.time_s == pytest.approx(blow, abs=0.0021 if size > 100.0 else 0.005)
    assert onset.ratio > 8.0


def test_smooth_motion_has_no_onset_to_speak_of() -> None:
    rng = np.random.default_rng(3)
    t = np.arange(0.0, 0.6, 0.002)
    signal = np.stack([60.0 * np.sin(9.0 * t + i) for i in range(3)], axis=1) + rng.normal(0.0, 0.02, (len(t), 3))
    onset = find_onset(t, signal, 150, 260)
    assert onset is not None
    assert onset.ratio < 8.0


def test_too_short_a_window_has_no_onset() -> None:
    t = np.arange(0.0, 0.1, 0.002)
    assert find_onset(t, np.zeros((50, 3)), 10, 13) is None


@pytest.mark.parametrize(("n", "m"), [(0, 0), (0, 7), (7, 0), (7, 7)])
def test_fast_product_of_rotations_is_scipys(n: int, m: int) -> None:
    a = Rotation.random(n or None, random_state=1)
    b = Rotation.random(m or None, random_state=2)
    assert np.max((rotation_product(a, b).inv() * (a * b)).magnitude()) < 1e-12
    assert rotation_product(a, b).single == (a * b).single


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.integers(1, 60), st.integers(1, 41), st.integers(0, 1000))
def test_fast_forms_equal_the_plain_ones(n: int, width: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    values, time_s = rng.normal(size=(n, 3)), np.cumsum(rng.uniform(0.001, 0.003, n))
    a, b = rng.normal(size=(2, n, 4))
    np.testing.assert_allclose(row_product(a, b), quaternion_product(a.T, b.T).T, atol=1e-12)
    np.testing.assert_allclose(row_product(a[0], b), quaternion_product(a[:1].T, b.T).T, atol=1e-12)
    np.testing.assert_allclose(row_product(a, b[0]), quaternion_product(a.T, b[:1].T).T, atol=1e-12)
    np.testing.assert_allclose(cross(values[0], values[-1]), np.cross(values[0], values[-1]), atol=1e-12)
    assert middle(values[:, 0]) == np.median(values[:, 0])
    np.testing.assert_allclose(lengths(values), np.linalg.norm(values, axis=1), rtol=1e-14)
    if n > 1:
        for when in (time_s[0] - 1.0, time_s[0], 0.3 * time_s[0] + 0.7 * time_s[-1], time_s[-1], time_s[-1] + 1.0):
            k, share = place_of(time_s, when)
            read = values[k, 0] + share * (values[k + 1, 0] - values[k, 0])
            np.testing.assert_allclose(read, np.interp(when, time_s, values[:, 0]), atol=1e-12)
        assert usual_step(time_s) == np.median(np.diff(time_s))
        np.testing.assert_allclose(rate_of_change(time_s, values), np.gradient(values, time_s, axis=0), atol=1e-8)
    half = (width | 1) // 2
    plain = [values[max(k - half, 0) : k + half + 1].mean(axis=0) for k in range(n)]
    np.testing.assert_allclose(smoothed(values, width), plain, atol=1e-12)
    np.testing.assert_allclose(smoothed(values[:, 1], width), np.array(plain)[:, 1], atol=1e-12)


def test_middle_of_nothing_and_of_what_is_not_a_number() -> None:
    assert np.isnan(middle(np.array([])))
    assert np.isnan(middle(np.array([1.0, np.nan, 2.0])))


@pytest.mark.parametrize("size", [0.0, 1e-12, 1e-8, 1e-5, 1.0, 6.0])
def test_exponential_of_a_rotation_vector_is_scipys(size: float) -> None:
    vectors = size * np.random.default_rng(4).normal(size=(20, 3))
    mine = quaternions_from_rotation_vectors(vectors.T)
    theirs = Rotation.from_rotvec(vectors).as_quat().T
    np.testing.assert_allclose(mine * np.sign(mine[3]), theirs * np.sign(theirs[3]), atol=1e-14)

"""A coach's eye: its bias is found, no eye without bias is accused, and the doubt is honest."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.coaching.case import Reading
from ferrule.coaching.eye import EyePair, kind_of, learn_eye, sd_for_many, without_bias
from ferrule.coaching.observation import summary_of_readings
from ferrule.coaching.quantities import QUANTITIES

TOP = "wrist.top.flexion_deg"
KEYS = ("wrist.top.flexion_deg", "wrist.shaft_level_down.flexion_deg", "wrist.impact.flexion_deg")


def pairs_of(rng, count, bias, mountings=5, how="sensor"):
    """An eye with its usual noise (5 of 7 degrees) against sensors of sd 3, 0.7 of it alike within a mounting."""
    offset = rng.normal(0, 2.1, mountings)
    out = []
    for i in range(count):
        truth, m = rng.normal(-5, 12), i % mountings
        read = truth + offset[m] + rng.normal(0, 2.14)
        out.append(
            EyePair(
                KEYS[i % 3], Reading(truth + bias + rng.normal(0, 5), None, "by_eye"), Reading(read, 3.0, how), str(m)
            )
        )
    return out


def test_an_eye_biased_by_five_degrees_is_found_within_twenty_pairs():
    found, near, inside = [], [], []
    for seed in range(300):
        got = learn_eye(pairs_of(np.random.default_rng(seed), 20, 5.0))["wrist.flexion_deg"]
        found.append(got.found and got.bias.value > 0)
        near.append(abs(got.bias.value - 5.0) < 2.0)
        low, high = got.bias.interval()
        inside.append(low <= 5.0 <= high)
    assert np.mean(found) > 0.85
    assert np.mean(near) > 0.78
    assert np.mean(inside) > 0.8


def test_an_eye_without_bias_is_not_accused():
    false, inside = [], []
    for seed in range(300):
        rng = np.random.default_rng(1000 + seed)
        bias = rng.normal(0, 4.9)
        false.append(learn_eye(pairs_of(rng, 20, 0.0))["wrist.flexion_deg"].found)
        got = learn_eye(pairs_of(rng, 20, bias))["wrist.flexion_deg"].bias
        low, high = got.interval()
        inside.append(low <= bias <= high)
    assert np.mean(false) < 0.06
    assert 0.85 <= np.mean(inside) <= 0.95


def test_one_mounting_read_twenty_times_teaches_less_than_five_mountings():
    rng = np.random.default_rng(2)
    many = learn_eye(pairs_of(rng, 20, 5.0, mountings=5))["wrist.flexion_deg"].bias.sd
    one = learn_eye(pairs_of(rng, 20, 5.0, mountings=1))["wrist.flexion_deg"].bias.sd
    assert one > 1.3 * many
    assert one > 1.9  # never better than the one mounting itself


def test_closed_form_equals_the_joint_normal():
    """Bias, offsets of the mountings and noise written out as one normal."""
    pairs = pairs_of(np.random.default_rng(7), 11, 3.0, mountings=3)
    got = learn_eye(pairs)["wrist.flexion_deg"]
    noise = got.noise**2 + 9.0 * (1 - 0.49)
    precision, right = np.diag([1 / 4.9**2] + [1 / 2.1**2] * 3), np.zeros(4)
    for p in pairs:
        row = np.zeros(4)
        row[0], row[1 + int(p.against)] = 1.0, -1.0
        precision += np.outer(row, row) / noise
        right += row * p.difference / noise
    cov = np.linalg.inv(precision)
    assert got.bias.value == pytest.approx((cov @ right)[0], abs=1e-9)
    assert got.bias.sd == pytest.approx(np.sqrt(cov[0, 0]), abs=1e-9)


def test_no_pairs_say_nothing_and_few_stay_near_the_prior():
    assert learn_eye([]) == {}
    one = learn_eye(pairs_of(np.random.default_rng(0), 1, 5.0))["wrist.flexion_deg"]
    assert not one.found and one.bias.sd > 3.0
    assert without_bias(Reading(3.0, None, "by_eye"), TOP, {"wrist.flexion_deg": one}, 1) is None


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.integers(0, 1000), st.integers(1, 40))
def test_mirror_and_order(seed, count):
    rng = np.random.default_rng(seed)
    pairs = pairs_of(rng, count, 4.0)
    got = learn_eye(pairs)["wrist.flexion_deg"]
    turned = learn_eye([EyePair(p.key, p.eye.negated(), p.instrument.negated(), p.against) for p in pairs])
    assert turned["wrist.flexion_deg"].bias.value == pytest.approx(-got.bias.value)
    mixed = learn_eye([pairs[i] for i in rng.permutation(count)])["wrist.flexion_deg"]
    assert mixed.bias.value == pytest.approx(got.bias.value)
    assert mixed.bias.sd == pytest.approx(got.bias.sd)


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.floats(1.0, 8.0), st.floats(0.2, 5.0), st.integers(1, 60))
def test_the_mean_of_many_keeps_the_shared_doubt(own, shared, count):
    sd = sd_for_many(own, shared, count, 0.7)
    readings = [Reading(1.0, sd, "by_eye")] * count
    got = summary_of_readings(readings, QUANTITIES[TOP], 3.0, count)
    assert np.rad2deg(got.sd) == pytest.approx(np.sqrt(shared**2 + own**2 / count), rel=1e-6)


def test_kinds_and_instruments():
    assert kind_of("wrist.impact.flexion_deg") == kind_of(TOP)
    assert kind_of("trail_wrist.top.flexion_deg") != kind_of(TOP)
    assert kind_of("posture.forward_bend_impact_deg") == "posture.forward_bend_deg"
    known = learn_eye(pairs_of(np.random.default_rng(4), 20, 5.0))
    assert without_bias(Reading(3.0, 2.0, "sensor"), TOP, known, 1) is None
    better = without_bias(Reading(3.0, None, "by_eye"), TOP, known, 1)
    assert better.value == pytest.approx(3.0 - known["wrist.flexion_deg"].bias.value)
    assert better.sd < 7.0

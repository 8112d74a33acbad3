"""Checks E20-E28 (science.md E.2): Parker, Vannest & Davis 2011, Tarlow 2017; SciPy as the reference."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import kendalltau, mannwhitneyu

from ferrule.statistics.nonoverlap import baseline_trend, pairs, pairs_reference, tau_u, trend_score

PARKER = (np.array([20.0, 20, 26, 25, 22, 23]), np.array([28.0, 25, 24, 27, 30, 30, 29]))


def test_e20_pairs() -> None:
    found = pairs(*PARKER)
    assert (found.higher, found.lower, found.tied) == (38, 3, 1)


def test_e21_nap_and_tau() -> None:
    found = pairs(*PARKER)
    assert found.nap == pytest.approx(0.916667, abs=1e-6)
    assert found.tau == pytest.approx(0.833333, abs=1e-6)


def test_e22_is_mann_whitney() -> None:
    found = pairs(*PARKER)
    u = found.nap * found.total
    assert u == pytest.approx(38.5)
    assert u == mannwhitneyu(PARKER[1], PARKER[0]).statistic
    # The untied variance: 6·7·14/12 = 49, so z = 17.5/7.
    assert (u - 21.0) / np.sqrt(6 * 7 * 14 / 12) == pytest.approx(2.5)


@pytest.mark.parametrize(("continuity", "p"), [(True, 0.01474), (False, 0.01206)])
def test_e23_asymptotic_p(continuity: bool, p: float) -> None:
    found = mannwhitneyu(PARKER[1], PARKER[0], method="asymptotic", use_continuity=continuity)
    assert found.pvalue == pytest.approx(p, abs=1e-4)


def test_e24_tau_u() -> None:
    assert (trend_score(PARKER[0]), trend_score(PARKER[1])) == (4, 8)
    assert tau_u(*PARKER) == pytest.approx((35 - 4) / 42)
    assert tau_u(*PARKER) == pytest.approx(0.738095, abs=1e-6)


def test_e25_share_beyond_the_baseline() -> None:
    before, after = PARKER
    assert float(np.mean(after > before.max())) == pytest.approx(5 / 7)
    assert float(np.mean(after > np.median(before))) == 1.0


def test_e26_tau_u_leaves_its_range() -> None:
    before, after = np.array([1.0, 2, 3, 4, 5]), np.array([2.0, 1, 0, 0, 0])
    found = pairs(before, after)
    assert (found.nap, found.tau) == pytest.approx((0.08, -0.84), abs=1e-6)
    assert tau_u(before, after) == pytest.approx(-1.24, abs=1e-6)


def test_e27_small_overlap() -> None:
    found = pairs(np.array([9.0, 6, 11, 5]), np.array([4.0, 7, 8, 7, 3, 7, 1]))
    assert (found.nap, found.tau) == pytest.approx((0.285714, -0.428571), abs=1e-6)


def test_e28_baseline_already_moving() -> None:
    before = np.array([33.0, 25, 17, 25, 14, 13, 14])
    after = np.array([14.0, 15, 15, 4, 6, 9, 5, 4, 2, 2, 8, 11, 7])
    assert pairs(before, after).tau == pytest.approx(-0.824176, abs=1e-5)
    trend = baseline_trend(before)
    assert (trend.tau, trend.p) == pytest.approx((-0.750939, 0.0211), abs=1e-4)
    assert trend.tau == pytest.approx(float(kendalltau(np.arange(7), before).statistic), abs=1e-12)


@settings(derandomize=True, max_examples=60)
@given(st.lists(st.integers(-5, 5), min_size=1, max_size=12), st.lists(st.integers(-5, 5), min_size=1, max_size=12))
def test_fast_count_equals_every_pair(before: list[int], after: list[int]) -> None:
    a, b = np.array(before, dtype=float), np.array(after, dtype=float)
    assert pairs(a, b) == pairs_reference(a, b)
    assert pairs(a, b).tau == pytest.approx(-pairs(b, a).tau)


def test_a_flat_or_short_baseline_has_no_trend() -> None:
    assert baseline_trend(np.array([2.0, 2.0, 2.0, 2.0])).p == 1.0
    assert baseline_trend(np.array([1.0, 2.0])).tau == 0.0


def test_an_empty_phase_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one value"):
        pairs(np.array([]), np.array([1.0]))

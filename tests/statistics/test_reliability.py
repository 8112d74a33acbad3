"""Checks E01-E15 (science.md E.2): Shrout & Fleiss 1979's table, Weir 2005, and worked figures as cited there."""

from math import sqrt

import numpy as np
import pytest
from scipy.stats import f as f_distribution

from ferrule.statistics import reliability as r

TABLE = np.array([[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]], dtype=float)
MS = r.mean_squares(TABLE)


@pytest.mark.parametrize(
    ("form", "value", "published"), [("1", 0.1657, 0.17), ("2", 0.2898, 0.29), ("3", 0.7148, 0.71)]
)
def test_e01_single_judge(form: r.Form, value: float, published: float) -> None:
    assert r.icc_single(MS, form) == pytest.approx(value, abs=1e-4)
    assert round(r.icc_single(MS, form), 2) == published


@pytest.mark.parametrize(
    ("form", "value", "published"), [("1", 0.4428, 0.44), ("2", 0.6201, 0.62), ("3", 0.9093, 0.91)]
)
def test_e02_mean_of_judges(form: r.Form, value: float, published: float) -> None:
    assert r.icc_average(MS, form) == pytest.approx(value, abs=1e-4)
    assert round(r.icc_average(MS, form), 2) == published


def test_e03_mean_squares() -> None:
    assert (MS.between, MS.of_judges, MS.error, MS.within) == pytest.approx(
        (11.2417, 32.4861, 1.0194, 6.2639), abs=1e-4
    )


def test_e04_sums_of_squares() -> None:
    total = MS.ss_between + MS.ss_within
    found = (MS.ss_between, MS.ss_judges, MS.ss_error, MS.ss_within, total)
    assert found == pytest.approx((56.2083, 97.4583, 15.2917, 112.75, 168.9583), abs=1e-4)
    assert total == pytest.approx(float(np.var(TABLE)) * TABLE.size)


def test_e05_ratios() -> None:
    assert MS.between / MS.within == pytest.approx(1.7947, abs=1e-3)
    assert MS.between / MS.error == pytest.approx(11.0272, abs=1e-3)
    assert f_distribution.sf(MS.between / MS.error, 5, 15) < 0.001


@pytest.mark.parametrize(("form", "low", "high"), [("3", 0.34, 0.95), ("2", 0.02, 0.76), ("1", -0.13, 0.72)])
def test_e06_intervals(form: r.Form, low: float, high: float) -> None:
    assert r.icc_interval(MS, form) == pytest.approx((low, high), abs=0.01)


def test_e07_e08_standard_error_and_detectable_change() -> None:
    assert r.sem_consistency(MS) == pytest.approx(1.00968, abs=1e-4)
    assert r.sem_agreement(MS) == pytest.approx(2.50278, abs=1e-4)
    assert r.detectable_change(r.sem_consistency(MS)) == pytest.approx(2.79868, abs=1e-4)
    assert r.detectable_change(r.sem_agreement(MS)) == pytest.approx(6.93734, abs=1e-4)


def test_e09_factor() -> None:
    assert r.detectable_change(1.0) == pytest.approx(2.771859, abs=1e-6)
    assert r.detectable_change(1.0, r.Z_90) == pytest.approx(2.3262, abs=2e-4)


@pytest.mark.parametrize(("sem", "mdc"), [(1, 2.772), (2, 5.544), (3, 8.316), (4, 11.087), (5, 13.859)])
def test_e10_detectable_changes(sem: float, mdc: float) -> None:
    assert r.detectable_change(sem) == pytest.approx(mdc, abs=1e-3)


def test_e11_from_a_published_icc() -> None:
    sem = r.sem_from_icc(10.0, 0.9)
    assert sem == pytest.approx(3.1623, abs=1e-3)
    assert r.detectable_change(sem) == pytest.approx(8.7654, abs=1e-3)


def test_e12_clinical_table() -> None:
    assert r.detectable_change(sqrt(1.64)) == pytest.approx(3.55, abs=0.005)


def test_e13_variance_of_persons() -> None:
    # The same table: mean square between persons 19.67, error 1.64, two measures each.
    ms = r.MeanSquares(10, 2, 19.67 * 9, 1.64, 1.64 * 9)
    assert (ms.between - ms.error) / 2 == pytest.approx(9.015, abs=1e-3)
    assert r.icc_single(ms, "3") == pytest.approx(9.015 / (9.015 + 1.64), abs=1e-9)
    assert r.icc_single(ms, "3") == pytest.approx(0.846, abs=1e-3)


def test_e14_typical_error_of_several_subjects() -> None:
    assert r.sem_from_repeats(np.array([5.7, 4.2, 5.7, 2.8, 2.1])) == pytest.approx(4.356, abs=1e-3)


def test_e15_two_session_means() -> None:
    assert r.detectable_change_of_means(4.0, 10, 10) == pytest.approx(3.506, abs=1e-3)
    assert r.detectable_change_of_means(4.0, 5, 5) == pytest.approx(4.958, abs=1e-3)


@pytest.mark.parametrize(("day_sd", "rate"), [(1.5, 0.29), (3.0, 0.55)])
def test_e15_claims_too_much_when_days_differ(day_sd: float, rate: float) -> None:
    rng = np.random.default_rng(15)
    days = rng.normal(0, day_sd, (4000, 2))
    means = days + rng.normal(0, 3.0 / sqrt(10), (4000, 2))
    false = np.abs(means[:, 1] - means[:, 0]) > r.detectable_change_of_means(3.0, 10, 10)
    assert float(false.mean()) == pytest.approx(rate, abs=0.05)


def test_small_tables_are_refused() -> None:
    with pytest.raises(ValueError, match="two targets by two judges"):
        r.mean_squares(np.array([[1.0, 2.0]]))

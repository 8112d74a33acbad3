"""The hierarchy over days against plain integration, SciPy, known limits, and its own promises over many golfers."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import multivariate_normal, norm

from ferrule.statistics.hierarchy import (
    Blocks,
    Mixture,
    Spread,
    blocks_of,
    day_grid,
    day_levels,
    fit_levels,
    swing_variance,
)

SPREAD = Spread(3.0, 8.0, 1.5, 0.4)


def two_and_two(seed: int = 3) -> tuple[Blocks, np.ndarray]:
    rng = np.random.default_rng(seed)
    values = [rng.normal(level, 3.0, 10) for level in (0.5, -0.5, 4.0, 6.0)]
    design = np.array([[1.0, 0.0], [1.0, 0.0], [1.0, 1.0], [1.0, 1.0]])
    return blocks_of(values, [0, 1, 2, 3]), design


def test_equals_plain_integration() -> None:
    """Reference: the joint density of the four means, integrated over level, change and τ by quadrature."""
    blocks, design = two_and_two()
    fit = fit_levels(blocks, design, np.array([0.0, 1 / 25.0]), SPREAD)
    noise = swing_variance(blocks, SPREAD) / 10.0

    def joint(change: float, tau: float) -> float:
        # A flat level integrates out: the density of contrasts orthogonal to it.
        centred = blocks.mean - design[:, 1] * change
        var = tau**2 + noise
        return float(
            np.exp(-0.5 * np.sum((centred - centred.mean()) ** 2) / var) * var ** (-1.5) * norm.pdf(change, 0, 5.0)
        )

    z = np.linspace(-4, 4, 161)
    taus = 1.5 * np.exp(0.4 * z)
    weights = norm.pdf(z)
    mass = sum(w * quad(joint, -20, 30, args=(t,))[0] for w, t in zip(weights, taus, strict=True))
    first = sum(w * quad(lambda c, s=t: c * joint(c, s), -20, 30)[0] for w, t in zip(weights, taus, strict=True)) / mass
    positive = sum(w * quad(joint, 3.0, 30, args=(t,))[0] for w, t in zip(weights, taus, strict=True)) / mass
    found = fit.contrast(np.array([0.0, 1.0]))
    assert found.value == pytest.approx(first, abs=1e-3)
    assert found.above(3.0) == pytest.approx(positive, abs=1e-3)


def test_given_the_day_sd_it_is_generalised_least_squares() -> None:
    """Two blocks a day share their day: against the dense normal density of SciPy at the best coefficients."""
    rng = np.random.default_rng(8)
    blocks = blocks_of([rng.normal(0, 3, n) for n in (10, 6, 10, 8)], [0, 0, 1, 1])
    design = np.column_stack([np.ones(4), [0.0, 1.0, 0.0, 1.0]])
    fit = fit_levels(blocks, design, np.zeros(2), SPREAD)
    k = 10
    dense = fit.day_sds[k] ** 2 * (blocks.day[:, None] == blocks.day) + np.diag(fit.swing_variance / blocks.swings)
    best = multivariate_normal(design @ fit.coefficient[k], dense).logpdf(blocks.mean)
    for step in ([0.1, 0], [0, 0.1], [-0.1, 0], [0, -0.1]):
        assert multivariate_normal(design @ (fit.coefficient[k] + step), dense).logpdf(blocks.mean) < best
    inverse = np.linalg.inv(design.T @ np.linalg.inv(dense) @ design)
    assert np.allclose(fit.covariance[k], inverse)


def test_a_difference_within_a_day_knows_no_day() -> None:
    rng = np.random.default_rng(8)
    blocks = blocks_of([rng.normal(0, 3, 10) for _ in range(4)], [0, 0, 1, 1])
    design = np.column_stack([np.ones(4), [0.0, 1.0, 0.0, 1.0]])
    fit = fit_levels(blocks, design, np.zeros(2), SPREAD)
    within = np.sqrt(fit.swing_variance * (2 / 10) / 2)
    assert fit.contrast(np.array([0.0, 1.0])).sd == pytest.approx(float(within), rel=1e-6)


def test_weights_are_a_distribution_and_agreeing_days_pull_the_day_sd_down() -> None:
    same = Blocks(np.zeros(8), np.full(8, 10.0), np.arange(8), 72 * 9.0, 72.0)
    apart = Blocks(np.array([-6.0, 6, -6, 6, -6, 6, -6, 6]), np.full(8, 10.0), np.arange(8), 72 * 9.0, 72.0)
    one = np.ones((8, 1))
    low, high = (fit_levels(b, one, np.zeros(1), SPREAD) for b in (same, apart))
    assert low.weights.sum() == pytest.approx(1.0)
    assert low.day_sd < SPREAD.day_sd < high.day_sd


def test_grid_integrates_the_prior() -> None:
    taus, log_prior = day_grid(SPREAD)
    weights = np.exp(log_prior) / np.exp(log_prior).sum()
    assert float(weights @ taus) == pytest.approx(1.5 * np.exp(0.08), rel=1e-3)


def test_mixture_of_one_is_the_normal() -> None:
    one = Mixture(np.array([2.0]), np.array([3.0]), np.array([1.0]))
    assert one.quantile(0.975) == pytest.approx(float(norm.ppf(0.975, 2, 3)), abs=1e-9)
    assert one.interval(0.9) == pytest.approx(norm.interval(0.9, 2, 3), abs=1e-9)
    assert one.above(0.0) == pytest.approx(float(norm.sf(0, 2, 3)))


def test_day_levels_shrink_small_blocks_most() -> None:
    blocks = Blocks(
        np.array([6.0, 6.0, 0.0, 0.0, 0.0, 0.0]), np.array([2.0, 40, 10, 10, 10, 10]), np.arange(6), 70 * 9.0, 70.0
    )
    fit = fit_levels(blocks, np.ones((6, 1)), np.zeros(1), SPREAD)
    level, sd = day_levels(blocks, fit, np.ones((6, 1)))
    assert level[0] < level[1] < 6.0
    assert sd[0] > sd[1]


def test_intervals_cover_over_many_golfers() -> None:
    rng = np.random.default_rng(90)
    design = np.array([[1.0, 0.0], [1.0, 0.0], [1.0, 1.0], [1.0, 1.0]])
    inside = 0
    for _ in range(400):
        tau = 1.5 * np.exp(0.4 * rng.normal())
        values = [rng.normal(rng.normal(0, tau) + step, 3.0, 10) for step in (0.0, 0.0, 4.0, 4.0)]
        low, high = (
            fit_levels(blocks_of(values, range(4)), design, np.zeros(2), SPREAD)
            .contrast(np.array([0.0, 1.0]))
            .interval(0.9)
        )
        inside += low < 4.0 < high
    assert 0.86 <= inside / 400 <= 0.94


def test_what_cannot_be_told_apart_is_refused() -> None:
    blocks, _ = two_and_two()
    with pytest.raises(ValueError, match="cannot tell"):
        fit_levels(blocks, np.ones((4, 2)), np.zeros(2), SPREAD)

"""The fast posterior against plain dense sampling of the same model, and the split against its plain form."""

import numpy as np
import pytest

from cases import random_case
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.delivery_state import CAUSES, DeliveryModel
from ferrule.coaching.evidence import observations_of, swings_of_case
from ferrule.coaching.posterior import Posterior, posterior_of
from ferrule.coaching.posterior_reference import posterior_by_dense_sampling
from ferrule.coaching.references import reference_of
from ferrule.coaching.shares import shares_of_face, shares_of_face_plainly
from ferrule.units import DEG


def model_and_observations(seed: int):
    case = random_case(np.random.default_rng(seed))
    reference = reference_of(case.club)
    model = DeliveryModel(reference)
    response = response_of(case, swings_of_case(case))
    return model, observations_of(case, model, response)


def compared(seed: int, draws: int) -> tuple[float, float, float]:
    """Largest difference of means in degrees, largest ratio of sds less one, effective draws of the reference."""
    model, observations = model_and_observations(seed)
    fast = posterior_of(model, observations)
    dense = posterior_by_dense_sampling(model, observations, draws=draws, seed=seed)
    effective = 1.0 / float(np.sum(dense.weight**2))
    # Thin the weighted draws evenly, so that the split is worked out on some of them only.
    places = (0.5 + np.arange(20_000)) / 20_000
    some = dense.x[np.minimum(np.searchsorted(np.cumsum(dense.weight), places), len(dense.x) - 1)]
    thin = Posterior(some, np.full(len(some), 1.0 / len(some)))
    a, b = shares_of_face(model, fast.x), shares_of_face(model, thin.x)
    gaps, ratios = [np.abs(fast.mean(a) - thin.mean(b))], [_ratio(fast.sd(a), thin.sd(b))]
    for of in (model.face, model.path):
        gaps.append(np.abs(fast.mean(of(fast.x)) - dense.mean(of(dense.x))))
        ratios.append(_ratio(fast.sd(of(fast.x)), dense.sd(of(dense.x))))
    return float(np.max(np.hstack(gaps))) / DEG, float(np.max(np.hstack(ratios))), effective


def _ratio(a, b):
    return np.where(b > 0.3 * DEG, np.abs(a / b - 1.0), 0.0)


@pytest.mark.parametrize("tenth", range(5))
def test_fast_posterior_agrees_with_dense_sampling_on_50_random_cases(tenth):
    """Means within 0.15 degrees and sds within 15 %; cases whose reference kept too few effective draws are drawn denser."""
    for seed in range(10 * tenth, 10 * tenth + 10):
        for draws in (120_000, 900_000, 3_000_000):
            gap, ratio, effective = compared(seed, draws)
            if gap < 0.15 and effective > 1_500:
                break
        assert effective > 1_500, f"case {seed}: the reference itself is too coarse ({effective:.0f} effective draws)"
        assert gap < 0.15, f"case {seed}: means differ by {gap:.3f} degrees"
        assert ratio < 0.15, f"case {seed}: sds differ by {ratio:.1%}"


@pytest.mark.parametrize("seed", range(5))
def test_split_equals_its_plain_form(seed):
    model, observations = model_and_observations(seed)
    posterior = posterior_of(model, observations)
    fast, plain = shares_of_face(model, posterior.x), shares_of_face_plainly(model, posterior.x)
    assert fast == pytest.approx(plain, abs=1e-12)
    assert fast.shape[1] == len(CAUSES)
    assert fast.sum(axis=1) == pytest.approx(model.face(posterior.x), abs=1e-12)


def test_no_reading_gives_the_prior_back():
    model = DeliveryModel(model_and_observations(0)[0].reference)
    posterior = posterior_of(model, [])
    mean, sd = posterior.mean(posterior.x), posterior.sd(posterior.x)
    columns = [0, 1, 2, 3, 5, 6, 7, 8, 9]
    assert mean[columns] == pytest.approx(model.prior_mean()[columns], abs=0.15 * DEG)
    assert sd[columns] == pytest.approx(model.prior_sd()[columns], rel=0.06)


def test_it_is_deterministic():
    model, observations = model_and_observations(3)
    one, two = posterior_of(model, observations), posterior_of(model, observations)
    assert np.array_equal(one.x, two.x)
    assert np.array_equal(one.weight, two.weight)

"""The plain form of the posterior: many draws from the priors as they are written, weighted by the likelihood.

Draws from wide priors alone would nearly all be wasted, so an unknown that a reading pins down is drawn around that reading
and the weight corrected by the exact densities. No mode, no curvature, no fixed points; draws go on until their own noise
is small enough, and that noise is said.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ferrule.club.delivery import closing_for_face
from ferrule.coaching.delivery_state import CAUSES, SIZE, A, B, DeliveryModel, F, G, K, L, P, R, States, U, X
from ferrule.coaching.observation import Observation
from ferrule.coaching.posterior import Posterior
from ferrule.coaching.references import LEAN_TIE
from ferrule.coaching.shares import shares_of_face

Floats = NDArray[np.float64]

_STEP = 1e-5
_WIDER = 1.2
_AT_ONCE = 100_000
_NEGLIGIBLE = 25.0


@dataclass(frozen=True, eq=False, slots=True)
class DenseShares:
    """What dense draws say of the shares of the causes: means, sds and noise (the means' own standard error), radians,
    (8,); probability of each to be the largest; how many draws it took.
    """

    mean: Floats
    sd: Floats
    noise: Floats
    probability_largest: Floats
    draws: int


def dense_shares(
    model: DeliveryModel, observations: Sequence[Observation], *, noise: float, most: int, seed: int
) -> DenseShares:
    """Draws until the means of all shares are known to `noise`, radians, or `most` draws are made."""
    rng = np.random.default_rng(seed)
    highest, made = -np.inf, 0
    sums = np.zeros((5, len(CAUSES)))
    weights = np.zeros(2)
    while True:
        x, log_weight = _draws(model, observations, _AT_ONCE, rng)
        made += len(x)
        kept = log_weight > max(log_weight.max(), highest) - _NEGLIGIBLE
        shares, log_weight = shares_of_face(model, x[kept]), log_weight[kept]
        # Sums are kept in units of the greatest weight so far.
        scale = np.exp(highest - max(highest, log_weight.max()))
        highest = max(highest, float(log_weight.max()))
        w = np.exp(log_weight - highest)
        sums *= np.array([scale, scale, scale**2, scale**2, scale])[:, None]
        weights *= np.array([scale, scale**2])
        largest = np.bincount(np.argmax(np.abs(shares), axis=1), w, len(CAUSES))
        sums += np.array([w @ shares, w @ shares**2, w**2 @ shares, w**2 @ shares**2, largest])
        weights += np.array([w.sum(), w @ w])
        mean = sums[0] / weights[0]
        error = np.sqrt(np.maximum(sums[3] - 2.0 * mean * sums[2] + mean**2 * weights[1], 0.0)) / weights[0]
        if error.max() < noise or made >= most:
            sd = np.sqrt(np.maximum(sums[1] / weights[0] - mean**2, 0.0))
            return DenseShares(mean, sd, error, sums[4] / weights[0], made)


def posterior_by_dense_sampling(
    model: DeliveryModel, observations: Sequence[Observation], *, draws: int, seed: int
) -> Posterior:
    """Weighted draws of the posterior of `ferrule.coaching.posterior.posterior_of`."""
    x, log_weight = _draws(model, observations, draws, np.random.default_rng(seed))
    weight = np.exp(log_weight - log_weight.max())
    return Posterior(States(model, x), weight / weight.sum())


def _draws(
    model: DeliveryModel, observations: Sequence[Observation], draws: int, rng: np.random.Generator
) -> tuple[Floats, Floats]:
    """States, (n, 10), and log weights."""
    left = {o.name: o for o in observations}
    x, log_weight = np.zeros((draws, SIZE)), np.zeros(draws)
    # 1. Every unknown from its prior, times the readings that read it alone.
    mean, variance = model.prior_mean().copy(), model.prior_sd() ** 2
    for column in (G, F, U, R, B, A, K, P, X):
        for name, observation in list(left.items()):
            base, slope = _reads_alone(model, observation, column)
            if slope:
                gain = variance[column] * slope / (slope**2 * variance[column] + observation.sd**2)
                mean[column] += gain * (observation.value - base - slope * mean[column])
                variance[column] *= 1.0 - gain * slope
                del left[name]
    for column in (F, U, R, A, X):
        x[:, column] = rng.normal(mean[column], np.sqrt(variance[column]), draws)
    handle = left.pop("handle", None)
    offset = x[:, U] + model.reference.handle_raise
    raised, raised_variance, log_density = _given_sum(handle, offset, mean[B], variance[B])
    x[:, B] = rng.normal(raised, np.sqrt(raised_variance))
    log_weight += log_density
    # 2. Lean from the tie at a slope of its own, and around its reading.
    tied = rng.normal(*LEAN_TIE, draws) * model.lean_lever(x)
    log_weight += _lean(model, x, left.pop("shaft_lean", None), tied, rng)
    # 3. Where the face was seen, grip and body together are whatever makes that face; then the path around the curve.
    path, path_variance, log_density = _given_sum(left.pop("path", None), x[:, A], mean[P], variance[P])
    log_weight += log_density
    x[:, P] = path
    both, both_variance = mean[G] + mean[K], variance[G] + variance[K]
    x[:, G] = both
    log_weight += _closing_from_face(model, x, left, both_variance, path_variance, rng)
    closing = x[:, G].copy()
    x[:, G] = rng.normal(
        mean[G] + variance[G] / both_variance * (closing - both), np.sqrt(variance[G] * variance[K] / both_variance)
    )
    x[:, K] = closing - x[:, G]
    log_weight += _path_from_ball(model, x, left, path_variance, rng)
    # 4. Everything else is weighting.
    states = States(model, x)
    for observation in left.values():
        log_weight += observation.log_likelihood(states)
    return x, log_weight


def _normal(x: Floats, mean: Floats | float, sd: Floats | float) -> Floats:
    return np.asarray(-0.5 * ((x - mean) / sd) ** 2 - np.log(sd))


def _given_sum(
    seen: Observation | None, other: Floats, mean: float, variance: float
) -> tuple[Floats, float, Floats | float]:
    """Mean and variance of one term of a sum of which the other is drawn and the sum was seen; log weight of the others."""
    if seen is None:
        return np.full(len(other), mean), variance, 0.0
    total = variance + seen.sd**2
    gap = seen.value - other - mean
    return mean + variance / total * gap, variance * seen.sd**2 / total, -0.5 * gap**2 / total


def _lean(model: DeliveryModel, x: Floats, seen: Observation | None, tied: Floats, rng: np.random.Generator) -> Floats:
    """Draw the lean around its tie and its reading together; returns the log weight, the reading's own included."""
    sd = float(model.prior_sd()[L])
    if seen is None:
        x[:, L] = rng.normal(tied, sd)
        return np.zeros(len(x))
    probe = np.zeros((2, SIZE))
    probe[1, L] = _STEP
    base, stepped = seen.predict(States(model, probe))
    slope = (stepped - base) / _STEP
    variance = 1.0 / (1.0 / sd**2 + (slope / seen.sd) ** 2)
    centre = variance * (tied / sd**2 + slope * (seen.value - base) / seen.sd**2)
    spread = _WIDER * np.sqrt(variance)
    x[:, L] = rng.normal(centre, spread)
    return _normal(x[:, L], tied, sd) - _normal(x[:, L], centre, spread) + seen.log_likelihood(States(model, x))


def _closing_from_face(
    model: DeliveryModel,
    x: Floats,
    left: dict[str, Observation],
    variance: float,
    path_variance: float,
    rng: np.random.Generator,
) -> Floats:
    """Redraw what grip and body close together, which stands in the column of the grip with its mean, through the sharpest
    sight of the face; exact by the change of variable. Returns the log weight, without the sight's own.
    """
    mean, sd = x[:, G].copy(), np.sqrt(variance)
    sights = [left[name] for name in ("face", "face_since_address", "ball_start") if name in left]
    if not sights:
        x[:, G] = rng.normal(mean, sd)
        return np.zeros(len(x))
    seen = min(sights, key=lambda o: o.sd)
    # Where the sight stands and how it moves with the face, at each draw, by two values of what they close.
    more = x.copy()
    more[:, G] += 0.1
    low, high = States(model, x), States(model, more)
    low_seen, turned = seen.predict(low), high.face - low.face
    slope = (seen.predict(high) - low_seen) / turned
    # A start line is of face and path: what the path may add to it.
    doubt = (seen.sd**2 + (1.0 - slope) ** 2 * path_variance * (seen.name == "ball_start")) / slope**2
    prior = (turned / 0.1) ** 2 * variance
    total = 1.0 / (1.0 / doubt + 1.0 / prior)
    centre = low.face + total * (seen.value - low_seen) / slope / doubt
    spread = _WIDER * np.sqrt(total)
    face = rng.normal(centre, spread)
    rho, per_face = closing_for_face(model.reference.face, face, x[:, L], x[:, B] + x[:, U], x[:, A])
    x[:, G] = 0.0
    x[:, G] = rho - model.closing(x)
    with np.errstate(divide="ignore"):
        volume = np.log(np.abs(per_face))
    return np.asarray(_normal(x[:, G], mean, sd) - _normal(face, centre, spread) + volume)


def _path_from_ball(
    model: DeliveryModel, x: Floats, left: dict[str, Observation], variance: float, rng: np.random.Generator
) -> Floats:
    """Redraw the path, which stands at its mean, around what the ball says of it; returns the log weight."""
    mean, sd = x[:, P].copy(), np.sqrt(variance)
    more = x.copy()
    more[:, P] += 0.02
    here, there = States(model, x), States(model, more)
    precision, pull = np.full(len(x), 1.0 / variance), np.zeros(len(x))
    for name in ("ball_curve", "ball_start", "ball_landing"):
        if name in left:
            predicted = left[name].predict(here)
            slope = (left[name].predict(there) - predicted) / 0.02
            weight = slope / left[name].spread(predicted) ** 2
            precision += slope * weight
            pull += weight * (left[name].value - predicted)
    spread = _WIDER / np.sqrt(precision)
    centre = mean + pull / precision
    x[:, P] = rng.normal(centre, spread)
    return _normal(x[:, P], mean, sd) - _normal(x[:, P], centre, spread)


def _reads_alone(model: DeliveryModel, observation: Observation, column: int) -> tuple[float, float]:
    """Base and slope when the observation is straight in this column and blind to all others, else slope 0."""
    probe = np.zeros((4, SIZE))
    probe[1, column], probe[2, column] = 0.1, 0.2
    probe[3] = 0.13
    probe[3, column] = 0.0
    y = observation.predict(States(model, probe))
    straight = abs(y[2] - 2 * y[1] + y[0]) < 1e-9 and abs(y[3] - y[0]) < 1e-9 and abs(y[1] - y[0]) > 1e-6
    return (float(y[0]), float((y[1] - y[0]) / 0.1)) if straight else (0.0, 0.0)

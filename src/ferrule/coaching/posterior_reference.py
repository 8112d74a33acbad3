"""The plain form of the posterior: many draws from the prior as it is written, weighted by the likelihood.

Draws from a wide prior alone would nearly all be wasted, so an unknown that one observation pins down is drawn around
that observation and the weight corrected by the exact densities. No mode, no curvature, no fixed points.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ferrule.club.delivery import closing_for_face
from ferrule.coaching.delivery_state import SIZE, A, B, DeliveryModel, K, L, P, States, U
from ferrule.coaching.observation import Observation
from ferrule.coaching.posterior import Posterior
from ferrule.coaching.references import LEAN_TIE

Floats = NDArray[np.float64]

_STEP = 1e-5
_WIDER = 1.2


def posterior_by_dense_sampling(
    model: DeliveryModel, observations: Sequence[Observation], *, draws: int, seed: int
) -> Posterior:
    """Weighted draws of the posterior of `ferrule.coaching.posterior.posterior_of`."""
    rng = np.random.default_rng(seed)
    left = {o.name: o for o in observations}
    x = np.zeros((draws, SIZE))
    weight = np.zeros(draws)
    # 1. Every unknown from its prior, times the readings that read it alone.
    for column in range(SIZE):
        if column == L:
            continue
        mean, variance = float(model.prior_mean()[column]), float(model.prior_sd()[column]) ** 2
        for name, observation in list(left.items()):
            base, slope = _reads_alone(model, observation, column)
            if slope:
                gain = variance * slope / (slope**2 * variance + observation.sd**2)
                mean += gain * (observation.value - base - slope * mean)
                variance *= 1.0 - gain * slope
                del left[name]
        if column == P and "path" in left:
            weight += _draw_in_a_sum(x, P, x[:, A], left.pop("path"), mean, variance, rng)
        elif column == B and "handle" in left:
            # B comes after U in the state.
            offset = x[:, U] + model.reference.handle_raise
            weight += _draw_in_a_sum(x, B, offset, left.pop("handle"), mean, variance, rng)
        else:
            x[:, column] = rng.normal(mean, np.sqrt(variance), draws)
    # 2. Lean from the tie, or around its reading.
    tie_mean, tie_sd = rng.normal(*LEAN_TIE, draws) * model.lean_lever(x), float(model.prior_sd()[L])
    if "shaft_lean" not in left:
        x[:, L] = rng.normal(tie_mean, tie_sd)
    else:
        probe = np.zeros((2, SIZE))
        probe[1, L] = _STEP
        base, stepped = left["shaft_lean"].predict(States(model, probe))
        slope = (stepped - base) / _STEP
        centre, spread = (left["shaft_lean"].value - base) / slope, _WIDER * left["shaft_lean"].sd / abs(slope)
        x[:, L] = rng.normal(centre, spread, draws)
        weight += 0.5 * ((x[:, L] - centre) / spread) ** 2 - 0.5 * ((x[:, L] - tie_mean) / tie_sd) ** 2
    # 3. Where the face was seen, what arm and body add is whatever makes that face.
    weight += _body_from_face(model, x, left, rng)
    # 4. Everything else is weighting.
    states = States(model, x)
    for observation in left.values():
        weight += observation.log_likelihood(states)
    weight = np.exp(weight - weight.max())
    return Posterior(x, weight / weight.sum())


def _draw_in_a_sum(
    x: Floats, column: int, other: Floats, seen: Observation, mean: float, variance: float, rng: np.random.Generator
) -> Floats:
    """Draw one term of a sum of which the other is drawn and the sum was seen; returns the log weight of the others."""
    total = variance + seen.sd**2
    gap = seen.value - other - mean
    x[:, column] = rng.normal(mean + variance / total * gap, np.sqrt(variance * seen.sd**2 / total))
    return np.asarray(-0.5 * gap**2 / total)


def _body_from_face(model: DeliveryModel, x: Floats, left: dict[str, Observation], rng: np.random.Generator) -> Floats:
    """Redraw κ through the sharpest sight of the face; exact by the change of variable. Returns the log weight."""
    sights = [left[name] for name in ("face", "face_since_address", "ball_start") if name in left]
    if not sights:
        return np.zeros(len(x))
    seen = min(sights, key=lambda o: o.sd)
    # Where the sight stands and how it moves with the face, at each draw, by two values of κ.
    low, high = x.copy(), x.copy()
    low[:, K], high[:, K] = 0.0, 0.1
    face_low, face_high = model.face(low), model.face(high)
    slope = (seen.predict(States(model, high)) - seen.predict(States(model, low))) / (face_high - face_low)
    centre = face_low + (seen.value - seen.predict(States(model, low))) / slope
    spread = _WIDER * seen.sd / np.abs(slope)
    face = rng.normal(centre, spread)
    rho, per_face = closing_for_face(model.reference.face, face, x[:, L], x[:, B] + x[:, U], x[:, A])
    x[:, K] = 0.0
    x[:, K] = rho - model.closing(x)
    prior = -0.5 * (x[:, K] / model.prior_sd()[K]) ** 2
    with np.errstate(divide="ignore"):
        volume = np.log(np.abs(per_face))
    return np.asarray(prior + volume + 0.5 * ((face - centre) / spread) ** 2 + np.log(spread))


def _reads_alone(model: DeliveryModel, observation: Observation, column: int) -> tuple[float, float]:
    """Base and slope when the observation is straight in this column and blind to all others, else slope 0."""
    probe = np.zeros((4, SIZE))
    probe[1, column], probe[2, column] = 0.1, 0.2
    probe[3] = 0.13
    probe[3, column] = 0.0
    y = observation.predict(States(model, probe))
    straight = abs(y[2] - 2 * y[1] + y[0]) < 1e-9 and abs(y[3] - y[0]) < 1e-9 and abs(y[1] - y[0]) > 1e-6
    return (float(y[0]), float((y[1] - y[0]) / 0.1)) if straight else (0.0, 0.0)

"""Measured figures of the reasoning: the fast posterior against dense sampling, simulated golfers, the next look."""

from pathlib import Path

import numpy as np

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.delivery_state import CAUSES, DeliveryModel
from ferrule.coaching.evidence import observations_of, swings_of_case
from ferrule.coaching.posterior import Posterior, posterior_of
from ferrule.coaching.posterior_reference import posterior_by_dense_sampling
from ferrule.coaching.references import reference_of
from ferrule.coaching.shares import shares_of_face
from ferrule.simulator.golfers import SimulatedGolfer, simulate_golfers
from ferrule.units import DEG

TITLE: str = "Case: causes, shares, doubt"

GOLFERS = 1000
AGREEMENT = 60
Z90 = 1.645


def report(data: Path | None) -> str:  # noqa: ARG001 - no outside data: the check is the model's own plain form
    """Agreement, coverage, naming."""
    return "\n\n".join([_agreement(), _coverage()])


def _agreement() -> str:
    gaps, ratios = [], []
    for i, golfer in enumerate(simulate_golfers(AGREEMENT, seed=41)):
        reference = reference_of(golfer.case.club)
        model = DeliveryModel(reference)
        observations = observations_of(golfer.case, model, response_of(golfer.case, swings_of_case(golfer.case)))
        fast = posterior_of(model, observations)
        dense = posterior_by_dense_sampling(model, observations, draws=300_000, seed=i)
        if dense.effective < 4_000:
            continue
        places = (0.5 + np.arange(20_000)) / 20_000
        some = dense.x[np.minimum(np.searchsorted(np.cumsum(dense.weight), places), len(dense.x) - 1)]
        thin = Posterior(some, np.full(len(some), 1.0 / len(some)))
        a, b = shares_of_face(model, fast.x), shares_of_face(model, thin.x)
        gaps.append(np.max(np.abs(fast.mean(a) - thin.mean(b))) / DEG)
        wide = thin.sd(b) > 0.3 * DEG
        ratios.append(np.max(np.abs(fast.sd(a) / thin.sd(b) - 1.0)[wide], initial=0.0))
    return (
        f"**Fast posterior against plain dense sampling** ({len(gaps)} of {AGREEMENT} simulated golfers, those whose 300 000"
        " draws kept at least 4 000 effective ones): largest difference of a share's mean"
        f" median {np.median(gaps):.3f}°, worst {max(gaps):.3f}° (asked 0.15°); of an sd median {np.median(ratios):.1%},"
        f" worst {max(ratios):.1%} (asked 15 %). The reference's own noise is part of these figures."
    )


def _coverage() -> str:
    rows = [
        "| golfers | face | path | shares (all causes) | cause named largest is largest | as claimed |",
        "|---|---|---|---|---|---|",
    ]
    for shifted in (False, True):
        golfers = simulate_golfers(GOLFERS, seed=43, shifted=shifted)
        answers = [explain_case(g.case) for g in golfers]
        face = np.mean([abs(g.face - e.face.value) < Z90 * e.face.sd for g, e in zip(golfers, answers, strict=True)])
        path = np.mean([abs(g.path - e.path.value) < Z90 * e.path.sd for g, e in zip(golfers, answers, strict=True)])
        shares = np.mean([inside for g, e in zip(golfers, answers, strict=True) for inside in _shares_inside(g, e)])
        tops = [max(e.causes, key=lambda c: c.probability_largest) for e in answers]
        right = np.mean([t.cause == g.largest for t, g in zip(tops, golfers, strict=True)])
        claimed = np.mean([t.probability_largest for t in tops])
        name = "references and priors shifted by their spreads" if shifted else "matched priors"
        rows.append(f"| {name} | {face:.1%} | {path:.1%} | {shares:.1%} | {right:.1%} | {claimed:.1%} |")
    return (
        f"**{GOLFERS} simulated golfers** (exact chain, impact and flight; noisy readings, random gaps; one swing each):"
        " how often the 90 % interval holds the truth.\n\n"
        + "\n".join(rows)
        + "\n\nWith shifted references a share's truth"
        " is against the golfer's own square delivery, which the model does not know: that part of the doubt is left out on"
        " purpose (the ± of a reference is for sensitivity)."
    )


def _shares_inside(golfer: SimulatedGolfer, answer: Explanation) -> list[bool]:
    return [abs(golfer.shares[CAUSES.index(c.cause)] - c.share.value) < Z90 * c.share.sd for c in answer.causes]

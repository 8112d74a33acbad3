"""Measured figures of the reasoning: the fast posterior against dense sampling, simulated golfers, naming."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.delivery_state import CAUSES, DeliveryModel
from ferrule.coaching.evidence import observations_of, swings_of_case
from ferrule.coaching.posterior import POINTS, posterior_of
from ferrule.coaching.posterior_reference import dense_shares
from ferrule.coaching.references import reference_of
from ferrule.coaching.shares import shares_of_face
from ferrule.simulator.golfers import SimulatedGolfer, simulate_golfers
from ferrule.units import DEG

Floats = NDArray[np.float64]

TITLE: str = "Case: causes, shares, doubt"

GOLFERS = 2000
AGREEMENT = 300
NOISE_DEG = 0.03
MOST_DRAWS = 40_000_000
Z90 = 1.645


def report(data: Path | None) -> str:  # noqa: ARG001 - no outside data: the check is the model's own plain form
    """Agreement, naming against the sampling observer, coverage."""
    return "\n\n".join([_agreement(), _coverage()])


def _agreement() -> str:
    """Means, sds and naming, fast and dense, on the same golfers."""
    gaps, ratios, noises, draws, followed = [], [], [], [], 0
    right: list[tuple[bool, bool]] = []
    for i, golfer in enumerate(simulate_golfers(AGREEMENT, seed=41)):
        model = DeliveryModel(reference_of(golfer.case.club))
        observations = observations_of(golfer.case, model, response_of(golfer.case, swings_of_case(golfer.case)))
        fast = posterior_of(model, observations)
        followed += len(fast.weight) != POINTS
        shares = shares_of_face(model, fast.x)
        dense = dense_shares(model, observations, noise=NOISE_DEG * DEG, most=MOST_DRAWS, seed=i)
        gaps.append(np.max(np.abs(fast.mean(shares) - dense.mean)) / DEG)
        wide = dense.sd > 0.3 * DEG
        ratios.append(np.max(np.abs(fast.sd(shares) / dense.sd - 1.0)[wide], initial=0.0))
        noises.append(np.max(dense.noise) / DEG)
        draws.append(dense.draws)
        likeliest = np.bincount(np.argmax(np.abs(shares), axis=1), fast.weight, len(CAUSES))
        called = [CAUSES[int(np.argmax(p))] for p in (likeliest, dense.probability_largest)]
        right.append((called[0] == golfer.largest, called[1] == golfer.largest))
    a, b = np.array(right).mean(axis=0)
    gap, ratio, noise = np.array(gaps), np.array(ratios), np.array(noises)
    return (
        f"**Fast posterior against plain dense sampling** ({len(gaps)} random simulated golfers with random subsets of"
        f" evidence, none left out; draws until every share's mean is known to {NOISE_DEG}°, {np.median(draws):.0f} of them in the"
        f" middle and {max(draws)} at most; the reference's own standard error, part of what follows: median"
        f" {np.median(noise):.3f}°, worst {noise.max():.3f}°): largest difference of a share's mean median"
        f" {np.median(gap):.3f}°, nine in ten below {np.quantile(gap, 0.9):.3f}°, worst {gap.max():.3f}° (asked 0.15°; within"
        f" it {np.mean(gap < 0.15):.1%}); of an sd median {np.median(ratio):.1%}, worst {ratio.max():.1%} (asked 15 %; within"
        f" it {np.mean(ratio < 0.15):.1%}). {followed} of them were followed with many points. The largest cause is called"
        f" so by the product in {a:.1%} of these golfers, by the sampling observer in {b:.1%} (asked: within 0.04)."
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


if __name__ == "__main__":
    print(report(None))

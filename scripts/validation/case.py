"""Measured figures of the reasoning: the fast posterior against dense sampling, simulated golfers, the next look."""

from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import numpy as np

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.case import Case, Reading
from ferrule.coaching.delivery_state import CAUSES, DeliveryModel
from ferrule.coaching.evidence import observations_of, swings_of_case
from ferrule.coaching.posterior import Posterior, posterior_of
from ferrule.coaching.posterior_reference import posterior_by_dense_sampling
from ferrule.coaching.references import reference_of
from ferrule.coaching.shares import shares_of_face
from ferrule.simulator.golfers import SimulatedGolfer, simulate_golfers
from ferrule.units import DEG

TITLE: str = "Case: causes, shares, doubt"

GOLFERS = 600
AGREEMENT = 40
PAIRED = 200
Z90 = 1.645


def report(data: Path | None) -> str:  # noqa: ARG001 - no outside data: the check is the model's own plain form
    """Agreement, coverage, naming, next looks."""
    return "\n\n".join([_agreement(), _coverage(), _looks()])


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


# look: the keys that it brings back
_BRINGS = {
    "ball_start": ("ball.start_deg",),
    "ball_curve": ("ball.curve_deg",),
    "grip": ("grip_turn_deg",),
    "forward_bend": ("posture.forward_bend_address_deg", "posture.forward_bend_impact_deg"),
    "handle": ("handle_raise_deg",),
    "shaft_lean": ("shaft_lean_impact_deg",),
    "lead_wrist": ("wrist.impact.flexion_deg",),
    "forearm_roll": ("wrist.impact.forearm_roll_deg",),
    "aim": ("aim_deg",),
    "path": ("delivery.path_deg",),
    "wrist_at_address": ("wrist.address.flexion_deg",),
}


def _looks() -> str:
    rows = ["| start | named before | after two of its looks | after two random looks |", "|---|---|---|---|"]
    for name, kinds in (("ball only", ["ball"]), ("ball and wrist", ["ball", "wrist"])):
        golfers = simulate_golfers(PAIRED, seed=47, kinds=kinds)
        rng = np.random.default_rng(3)
        before = np.mean([_right(explain_case(g.case), g) for g in golfers])
        own = np.mean([_right(explain_case(_two_looks(g, None)), g) for g in golfers])
        random = np.mean([_right(explain_case(_two_looks(g, rng)), g) for g in golfers])
        rows.append(f"| {name} | {before:.1%} | {own:.1%} | {random:.1%} |")
    return (
        f"**Next look** ({PAIRED} paired simulated golfers a start): how often the cause called largest is the largest."
        " Asked: 10 points more after two looks than after two random ones.\n\n" + "\n".join(rows)
    )


def _two_looks(golfer: SimulatedGolfer, rng: np.random.Generator | None) -> Case:
    """The case after two looks: the product's own best ones, or two at random among those not taken yet."""
    case = golfer.case
    done: set[str] = set()
    for _ in range(2):
        if rng is None:
            best = [r.look.name for r in explain_case(case).looks if r.look.name in _BRINGS and r.look.name not in done]
            if not best:
                break
            name = best[0]
        else:
            have = set(case.swings[0].readings) | ({"grip_turn_deg"} if case.grip_turn else set())
            open_looks = [n for n, keys in _BRINGS.items() if n not in done and not set(keys) <= have]
            name = str(rng.choice(open_looks))
        done.add(name)
        case = _with(case, {key: golfer.readings[key] for key in _BRINGS[name]})
    return case


def _with(case: Case, readings: dict[str, Reading]) -> Case:
    grip = readings.pop("grip_turn_deg", case.grip_turn)
    swing = replace(case.swings[0], readings=MappingProxyType({**case.swings[0].readings, **readings}))
    return replace(case, swings=(swing,), grip_turn=grip)


def _right(answer: Explanation, golfer: SimulatedGolfer) -> bool:
    return max(answer.causes, key=lambda c: c.probability_largest).cause == golfer.largest

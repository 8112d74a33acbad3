"""Case to causes: the whole answer to "why", from evidence to sentences. Pure; the same case gives the same bytes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import cos
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.analysis.odd_swings import without_odd
from ferrule.analysis.self_calibration import calibrated
from ferrule.club.clubs import typical_club_speed
from ferrule.coaching import wording
from ferrule.coaching.ball_evidence import predicted_curve, predicted_start, response_of
from ferrule.coaching.case import Case, Swings, as_right_handed
from ferrule.coaching.contradictions import contradictions
from ferrule.coaching.delivery_state import CAUSES, SIZE, STATE, A, B, DeliveryModel, G, L, U
from ferrule.coaching.evidence import bend_lost, observations_of, swings_of_case
from ferrule.coaching.faults import faults_of
from ferrule.coaching.looks import RankedLook, next_looks
from ferrule.coaching.observation import Observation
from ferrule.coaching.path_causes import PathCause, path_causes
from ferrule.coaching.posterior import Posterior, posterior_from
from ferrule.coaching.references import reference_of
from ferrule.coaching.shaft_level import SHAFT_LEVEL_CAUSES, ShaftLevel, shaft_level_of
from ferrule.coaching.shares import shares_of_face
from ferrule.coaching.spread import SpreadCause, face_scatter, spread_causes, two_way
from ferrule.coaching.story import Story, Told, ToldCause, tell
from ferrule.coaching.triage import Check, triage
from ferrule.coaching.unexplained import fits_of_both_sides
from ferrule.errors import Issue
from ferrule.frames.handedness import world_sign
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

Floats = NDArray[np.float64]

SCHEMA: Final = 1
METHOD: Final = "case-2"
"""Version of the method: results kept by it can be told from later ones."""

# observation: the cause that it reads directly
_READS: Final = {
    "grip_turn": "grip",
    "grip_address": "grip",
    "impact_flexion": "lead_wrist_flexion",
    "unset": "lead_wrist_unset",
    "impact_roll": "forearm_roll",
    "shaft_lean": "shaft_lean",
    "handle": "posture",
    "bend_lost": "posture",
    "aim": "aim",
}


@dataclass(frozen=True, slots=True)
class CauseShare:
    """One cause: share of the face in radians (world sign, + right), probability to be the largest, how it was got
    ("assumed" when nothing read it), and its sentence.
    """

    cause: str
    share: Estimate
    probability_largest: float
    how: str
    sentence: str

    @property
    def named(self) -> bool:
        """Named when it is at least as likely as not the largest and turns the face by 1.5 degrees or more."""
        return self.probability_largest >= 0.5 and abs(self.share.value) >= 1.5 * DEG


@dataclass(frozen=True, eq=False, slots=True)
class Explanation:
    """The answer for one case. Angles in radians, world quantities + right of the target for either hand.

    set_right: the case that everything is worked out from, without what mountings and eye add and without odd swings;
    mean_state: posterior means of the state by name, and of `closing`, in the right-handed mirror; club_speed: as read or
    usual, m/s; handle_probability: that forward bend and unsetting of the wrist, which lift the handle one for one, are the
    largest cause when taken together.
    """

    case: Case
    set_right: Case
    face: Estimate
    path: Estimate
    face_less_path: Estimate
    probability_open: float
    causes: tuple[CauseShare, ...]
    unexplained: Estimate | None
    shaft_level: ShaftLevel
    spread: tuple[SpreadCause, ...]
    face_scatter: float | None
    handle_probability: float
    two_way: bool
    path_causes: tuple[PathCause, ...]
    triage: tuple[Check, ...]
    looks: tuple[RankedLook, ...]
    issues: tuple[Issue, ...]
    story: Story
    mean_state: Mapping[str, float]
    club_speed: float

    def to_json(self) -> dict[str, object]:
        """The `explain` answer of the machine interface, degrees."""
        return {
            "schema": SCHEMA,
            "face_deg": _deg(self.face),
            "path_deg": _deg(self.path),
            "face_less_path_deg": _deg(self.face_less_path),
            "causes": [
                {
                    "cause": c.cause,
                    "share_deg": _deg(c.share),
                    "probability_largest": c.probability_largest,
                    "how": c.how,
                    "sentence": c.sentence,
                }
                for c in self.causes
            ],
            "unexplained_deg": None if self.unexplained is None else _deg(self.unexplained),
            "shaft_level": self._shaft_level_json(),
            "spread": [{"cause": s.cause, "sd_deg": s.sd / DEG} for s in self.spread],
            "path_causes": [{"cause": p.cause, "sentence": p.sentence} for p in self.path_causes],
            "triage": [{"check": c.check, "state": c.state, "sentence": c.sentence} for c in self.triage],
            "next_looks": [
                {
                    "look": r.look.name,
                    "gain": r.gain,
                    "cost_s": r.look.cost_s,
                    "needs": [r.look.needs],
                    "sentence": f"{r.look.question} {r.look.how_to}",
                }
                for r in self.looks
            ],
            "headline": self.story.headline,
            "lead": self.story.lead,
            "sure": self.story.sure,
            "notes": list(self.story.notes),
            "issues": [i.to_json() for i in self.issues],
        }

    def _shaft_level_json(self) -> dict[str, object]:
        level = self.shaft_level
        return {
            "open_to_address_spine_deg": _deg(level.open_to_address_spine),
            "open_to_present_spine_deg": _deg(level.open_to_present_spine),
            "closing_owed_deg": _deg(level.closing_owed),
            "causes": [
                {
                    "cause": cause,
                    "share_deg": _deg(share),
                    "probability_largest": probability,
                    "sentence": wording.shaft_level_cause(cause, share.value / DEG, share.sd / DEG),
                }
                for cause, share, probability in zip(
                    SHAFT_LEVEL_CAUSES, level.shares, level.probability_largest, strict=True
                )
            ],
            "sentence": self.story.shaft_level,
        }


def explain_case(case: Case) -> Explanation:
    """Why the face arrives as it does, from any subset of the evidence.

    What mountings and eye are known to add is taken out first (`analysis.self_calibration`), then odd swings.
    """
    world = world_sign(case.golfer.handedness)
    set_right, learned = calibrated(case)
    work = as_right_handed(set_right)
    swings = swings_of_case(work)
    set_right, odd = without_odd(set_right, swings)
    if odd:
        work = as_right_handed(set_right)
        swings = swings_of_case(work)
    reference = reference_of(work.club, work.reference)
    model = DeliveryModel(reference)
    response = response_of(work, swings)
    observations = observations_of(work, model, response, swings)
    fits = fits_of_both_sides(model, observations)
    posterior = posterior_from(model, observations, fits.fits)
    states, shares = posterior.states, shares_of_face(model, posterior.x)
    face, path = shares.sum(axis=1), states.path
    known = posterior.estimates(
        [*posterior.x.T, *shares.T, face, path, face - path, states.closing, *(o.predict(states) for o in observations)]
    )
    state, of_face, rest = known[:SIZE], known[SIZE : SIZE + len(CAUSES)], known[SIZE + len(CAUSES) :]
    face_estimate, path_estimate, less_path, closing, *predicted = rest
    x_mean = [e.value for e in state]
    faults = faults_of(of_face, x_mean, observations, reference)
    causes = _cause_shares(posterior, shares, of_face, observations, faults, world, work, swings)
    shaft = shaft_level_of(
        swings,
        work.club,
        reference,
        state[G],
        x_mean[L] + reference.lean,
        x_mean[B] + x_mean[U] + reference.handle_raise,
    )
    checks = triage(work, swings, path_estimate.value / DEG, path_estimate.sd / DEG, world)
    reasons = path_causes(swings, path_estimate.value / DEG, x_mean[A] / DEG, cos(reference.face.lie), world)
    looks = next_looks(
        posterior,
        states,
        shares,
        work.setting.at_hand,
        {o.name: o.sd for o in observations},
        {
            "ball_start": partial(predicted_start, response),
            "ball_curve": partial(predicted_curve, response),
        },
    )
    unexplained = fits.unexplained(model)
    issues = learned + odd + contradictions(work, swings, observations, predicted, world)
    probability_open = float(posterior.weight[face > 0].sum())
    both_ways = two_way(swings) or {case.golfer.big_miss, case.golfer.other_miss} == {"left", "right"}
    raised = _handle_probability(posterior, shares)
    bend = bend_lost(swings)
    spread, scatter = spread_causes(swings, reference), face_scatter(swings)
    ball = response.at(reference.face.delivered_loft)
    story = tell(
        Told(
            work,
            swings,
            [
                ToldCause(
                    c.cause,
                    world * c.share.value / DEG,
                    c.share.sd / DEG,
                    c.probability_largest,
                    c.how,
                    faults[c.cause],
                )
                for c in causes
            ],
            face_estimate,
            path_estimate,
            probability_open,
            raised,
            None if bend is None else bend.value,
            shaft,
            looks,
            spread,
            scatter,
            both_ways,
            (ball.start(0.0, path_estimate.value), ball.curve(-path_estimate.value)),
            issues,
            world,
        )
    )
    return Explanation(
        case,
        set_right,
        _signed(face_estimate, world),
        _signed(path_estimate, world),
        _signed(less_path, world),
        probability_open,
        tuple(causes),
        None if unexplained is None else _signed(unexplained, world),
        shaft,
        tuple(spread),
        scatter,
        raised,
        both_ways,
        tuple(reasons),
        tuple(checks),
        tuple(looks),
        tuple(issues),
        story,
        MappingProxyType(dict(zip(STATE, x_mean, strict=True)) | {"closing": closing.value}),
        typical_club_speed(work.club, work.golfer.age_group),
    )


def _cause_shares(
    posterior: Posterior,
    shares: Floats,
    of_face: Sequence[Estimate],
    observations: Sequence[Observation],
    faults: Mapping[str, bool],
    world: float,
    case: Case,
    swings: Swings,
) -> list[CauseShare]:
    """The eight causes, largest share first, in world sign. shares, of_face: at each point, and what is known of each."""
    largest = np.argmax(np.abs(shares), axis=1)
    probability = np.bincount(largest, posterior.weight, len(CAUSES)).tolist()
    how = {_READS[o.name]: o.how for o in reversed(observations) if o.name in _READS}
    out = []
    for i in sorted(range(len(CAUSES)), key=lambda j: (-abs(of_face[j].value), j)):
        cause, share = CAUSES[i], of_face[i]
        sentence = wording.cause_sentence(
            cause,
            share.value / DEG,
            share.sd / DEG,
            read=cause in how,
            seen=wording.seen_words(cause, swings, case.grip_turn, world),
            fault=faults[cause],
        )
        out.append(CauseShare(cause, _signed(share, world), probability[i], how.get(cause, "assumed"), sentence))
    return out


def _handle_probability(posterior: Posterior, shares: Floats) -> float:
    """Probability that what lifts the handle is the largest cause, forward bend and unsetting taken as one."""
    grouped = shares.copy()
    body, wrist = CAUSES.index("posture"), CAUSES.index("lead_wrist_unset")
    grouped[:, body] += grouped[:, wrist]
    grouped[:, wrist] = 0.0
    return float(posterior.weight[np.argmax(np.abs(grouped), axis=1) == body].sum())


def _signed(estimate: Estimate, world: float) -> Estimate:
    return Estimate(world * estimate.value, estimate.sd)


def _deg(estimate: Estimate) -> dict[str, float]:
    return {"value": estimate.value / DEG, "sd": estimate.sd / DEG}


__all__ = ["METHOD", "CauseShare", "Explanation", "explain_case"]

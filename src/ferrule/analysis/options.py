"""Case to ways: every sound change worked out for this golfer as a counterfactual at arrival, and ranked."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import hypot, sin, sqrt
from typing import Final

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.ball.response import BallResponse
from ferrule.coaching import wording_ways
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.case import Case, as_right_handed
from ferrule.coaching.counterfactual import Change, Delivered, Outcome, outcome_of
from ferrule.coaching.evidence import bend_lost, swings_of_case
from ferrule.coaching.observation import summary_of
from ferrule.coaching.references import SCATTER, Reference, reference_of
from ferrule.coaching.shaft_level import SHAFT_LEVEL_CAUSES
from ferrule.coaching.story import HIDDEN_DEG, PATTERN_OPEN_DEG, hidden_by_standing_up
from ferrule.coaching.triage import PATH_LIMIT_DEG
from ferrule.coaching.ways import (
    SCATTER_HALVED,
    SET_AT_TOP_DEG,
    Body,
    Trouble,
    Way,
    ways_for,
)
from ferrule.coaching.wording import FACE_UNSEEN_SD_DEG
from ferrule.coaching.worth import Tilt, trouble_of, utility
from ferrule.errors import Issue
from ferrule.frames.handedness import world_sign
from ferrule.units import DEG

SCHEMA: Final = 1
METHOD: Final = "ways-2"
TIMING_SD: Final = 0.0012
"""Swing-to-swing spread of when the release meets the ball, seconds (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Option:
    """One way with its outcome. start, curve: radians, + right in the world; side_spread in metres; utility: higher is
    better; what_to_change and must: sentences for the coach.
    """

    way: Way
    rank: int
    outcome: Outcome
    start: float
    curve: float
    side_spread: float
    utility: float
    sentence: str
    ball_sentence: str


@dataclass(frozen=True, eq=False, slots=True)
class OptionsAnswer:
    """Ways in order of rank, with the present delivery and the explanation that they stand on."""

    explanation: Explanation
    now: Delivered
    options: tuple[Option, ...]
    issues: tuple[Issue, ...]

    def to_json(self) -> dict[str, object]:
        """The `options` answer of the machine interface; degrees, world directions + right of the target."""
        world = world_sign(self.explanation.case.golfer.handedness)
        return {
            "schema": SCHEMA,
            "options": [_option_json(o, world) for o in self.options],
            "issues": [i.to_json() for i in self.issues],
        }


def work_out_options(case: Case, tilt: Tilt = "balanced", explanation: Explanation | None = None) -> OptionsAnswer:
    """Every way that applies to this case, ranked; two or three are worth showing first."""
    known = explanation or explain_case(case)
    world = world_sign(case.golfer.handedness)
    work = as_right_handed(known.set_right)
    swings = swings_of_case(work)
    reference = reference_of(work.club, work.reference)
    response = response_of(work, swings)
    now = delivered_now(work, known, reference)
    shares = {c.cause: world * c.share.value for c in known.causes}
    spread_by = {s.cause: s.sd for s in known.spread}
    roots = _roots(known)
    body = replace(_body_of(work), hidden=hidden_by_standing_up(known.shaft_level))
    before = outcome_of(now, Change())
    roll = summary_of(swings, "wrist.impact.forearm_roll_deg", "roll")
    rolled = None if roll is None else roll.value - reference.roll
    ways = ways_for(now, work.golfer, body, Trouble(before.face, before.path, shares, rolled, spread_by))
    scatter = known.face_scatter or SCATTER["face"] * DEG
    rest = max(scatter**2 - (before.rate * sin(work.club.lie) * TIMING_SD) ** 2, (0.8 * DEG) ** 2) ** 0.5
    seen_scatter = 0.0 if known.face_scatter is None else known.face_scatter / DEG
    trouble = trouble_of(before.face / DEG, before.path / DEG, before.shaft_open / DEG, seen_scatter)
    carried = response.at(before.loft).carry.value
    drafts = []
    for way in ways:
        outcome = outcome_of(now, way.change)
        ball = response.at(outcome.loft)
        aimed = _aimed_away(outcome, ball) if way.name == "keep_shape" else 0.0
        start = ball.start(outcome.face, outcome.path) + aimed
        curve = ball.curve(outcome.face - outcome.path)
        face_sd = hypot(_less_scatter(rest, way, spread_by), outcome.rate * sin(work.club.lie) * TIMING_SD)
        spread = side_spread(ball, face_sd, SCATTER["path"] * DEG)
        miss = start + curve if way.name == "keep_shape" else outcome.face
        # Told at the present carry: a way that lets the ball fly further is no wider for that.
        width = spread * carried / ball.carry.value
        worth = utility(
            way, miss / DEG, curve / DEG, width, outcome.shaft_open / DEG, roots, trouble, work.golfer, tilt
        )
        drafts.append((worth, way, outcome, start, curve, spread, aimed))
    drafts.sort(key=lambda d: (-d[0], d[1].order))
    options = tuple(
        Option(
            way,
            rank,
            outcome,
            world * start,
            world * curve,
            spread,
            worth,
            wording_ways.way_sentence(way, now, outcome, aimed, world),
            wording_ways.ball_sentence(world * start / DEG, world * curve / DEG, outcome.loft - before.loft),
        )
        for rank, (worth, way, outcome, start, curve, spread, aimed) in enumerate(drafts, 1)
    )
    return OptionsAnswer(known, now, options, (*known.issues, *_face_unseen(known), *_path_first(known)))


def _face_unseen(known: Explanation) -> list[Issue]:
    """A word that no way can be chosen while nobody knows where the face points."""
    sd = known.face.sd / DEG
    if sd <= FACE_UNSEEN_SD_DEG:
        return []
    return [Issue("face_unseen", "warning", "face_deg", wording_ways.face_unseen(sd))]


def _path_first(known: Explanation) -> list[Issue]:
    """A word that no way here turns the path, where the path is what bends the ball."""
    path, face = known.path.value / DEG, known.face.value / DEG
    if abs(path) < PATH_LIMIT_DEG or abs(path) <= abs(face) or known.path.sd > 2.6 * DEG:
        return []
    return [Issue("path_first", "note", "path_deg", wording_ways.path_first(path))]


def _less_scatter(rest: float, way: Way, spread_by: Mapping[str, float]) -> float:
    """Scatter of the face, radians, when what varies most is worked on by the way that settles it."""
    settled = sum(spread_by.get(r, 0.0) ** 2 for r in way.roots) * (1.0 - SCATTER_HALVED**2)
    return sqrt(max(rest**2 - settled, (0.8 * DEG) ** 2))


def _roots(known: Explanation) -> dict[str, float]:
    """Probability of each cause to be the one at the root: of the instant, of the pattern, of the scatter."""
    roots = {c.cause: c.probability_largest for c in known.causes}
    # What lifts the handle is taken away by one way, whichever of the two it is.
    roots["posture"], roots["lead_wrist_unset"] = known.handle_probability, 0.0
    level = known.shaft_level
    opened, hidden = level.open_to_address_spine.value, hidden_by_standing_up(level)
    if hidden > HIDDEN_DEG * DEG and opened > HIDDEN_DEG * DEG:
        roots["posture"] = max(roots["posture"], 0.8 * min(hidden / opened, 1.0))
    total = sum(s.sd**2 for s in known.spread)
    if known.two_way and total > (1.5 * DEG) ** 2:
        for varies in known.spread:
            roots[varies.cause] = max(roots.get(varies.cause, 0.0), varies.sd**2 / total)
    if abs(level.open_to_address_spine.value) > PATTERN_OPEN_DEG * DEG:
        for cause, probability in zip(SHAFT_LEVEL_CAUSES, level.probability_largest, strict=True):
            roots[cause] = max(roots[cause], probability)
    return roots


def delivered_now(case: Case, known: Explanation, reference: Reference) -> Delivered:
    """The golfer's mean delivery in the right-handed mirror, from the posterior of the explanation."""
    world = world_sign(known.case.golfer.handedness)
    swings = swings_of_case(case)
    level = known.shaft_level
    mean = known.mean_state
    speed = summary_of(swings, "delivery.club_speed_mps", "grip")
    top = summary_of(swings, "wrist.top.flexion_deg", "flexion")
    set_top = summary_of(swings, "wrist.top.ulnar_deviation_deg", "unset")
    impact = mean["flexion"] + reference.flexion
    return Delivered(
        case.club,
        reference.face,
        mean["closing"],
        mean["lean"],
        mean["raised"] + mean["unset"],
        reference.handle_raise,
        mean["aim"],
        world * known.path.value,
        mean["chi"],
        level.flexion.value if top is None else top.value,
        level.flexion.value,
        impact,
        SET_AT_TOP_DEG * DEG if set_top is None else set_top.value,
        level.open_to_address_spine.value,
        level.edge_tilt.value,
        reference.chi_shaft_level,
        known.club_speed if speed is None else speed.value,
    )


def side_spread(ball: BallResponse, face_sd: float, path_sd: float) -> float:
    """Sd of the landing to the side, metres, from the scatter of face and path (first order)."""
    share, slope = ball.face_share.value, ball.curve_per_degree.value
    return ball.carry.value * hypot((share + slope) * face_sd, (1.0 - share - slope) * path_sd)


def _aimed_away(outcome: Outcome, ball: BallResponse) -> float:
    """How far to aim off so that the usual ball finishes at the target."""
    return -(ball.start(outcome.face, outcome.path) + ball.curve(outcome.face - outcome.path))


def _body_of(case: Case) -> Body:
    swings = swings_of_case(case)
    chest = summary_of(swings, "body.chest_open_impact_deg", "bend")
    pelvis = summary_of(swings, "body.pelvis_open_impact_deg", "bend")
    bend = bend_lost(swings)
    return Body(
        None if chest is None else chest.value / DEG,
        None if pelvis is None else pelvis.value / DEG,
        None if bend is None else bend.value / DEG,
        bend is not None or summary_of(swings, "handle_raise_deg", "handle") is not None,
    )


def _option_json(option: Option, world: float) -> dict[str, object]:
    return {
        "option": option.way.name,
        "rank": option.rank,
        **option.outcome.to_json(world),
        "with": list(option.way.joined),
        "range_used": option.way.range_used,
        "start_deg": option.start / DEG,
        "curve_deg": option.curve / DEG,
        "side_spread_m": option.side_spread,
        "needs": list(option.way.needs),
        "cautions": list(option.way.cautions),
        "sentence": option.sentence,
        "ball_sentence": option.ball_sentence,
    }

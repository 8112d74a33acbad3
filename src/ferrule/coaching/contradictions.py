"""Readings that do not fit each other: found by what each would have to be off by, and named with a likely culprit."""

from math import sqrt

from ferrule.coaching.case import Case, CaseSwing
from ferrule.coaching.delivery_state import States
from ferrule.coaching.observation import Observation
from ferrule.coaching.posterior import Posterior
from ferrule.errors import Issue

LIMIT = 2.6
"""Standard deviations by which a reading must miss what all others say, to be called a contradiction."""

_WORDS = {
    "grip_turn": ("the grip", "how the hand was set, or the eye"),
    "grip_address": ("the wrist at address", "the face at address"),
    "impact_flexion": ("the lead wrist at impact", "the sensor's zero or sign, or the face at address"),
    "unset": ("the unsetting of the wrist", "the sensor's zero"),
    "impact_roll": ("the forearm roll", "the moment of impact in the recording"),
    "impact_chi": ("the angle between forearm and shaft", "a camera that was not square to the plane"),
    "shaft_lean": ("the shaft lean", "a camera that was not square to the ball"),
    "handle": ("the handle", "a camera that was not at hand height"),
    "bend_lost": ("the forward bend", "the eye"),
    "aim": ("the aim", "where the golfer meant to aim"),
    "face": ("the face", "the instrument's alignment to the target"),
    "face_since_address": ("the face from the sensors", "the face at address, or a grip that slipped"),
    "path": ("the path", "the instrument's alignment to the target"),
    "delivered_loft": ("the delivered loft", "the club's loft"),
    "ball_start": ("the start of the ball", "the face at address, the aim or an off-centre strike"),
    "ball_curve": ("the bend of the ball", "wind or an off-centre strike"),
    "ball_landing": ("where the ball landed", "wind or an off-centre strike"),
}


def contradictions(
    case: Case,
    swings: list[CaseSwing],
    observations: list[Observation],
    posterior: Posterior,
    states: States,
) -> list[Issue]:
    """Issues about the evidence: none at all, all by eye, only tries, several mountings, readings that oppose each other."""
    out = _thin(case, swings, observations)
    worst: tuple[float, Observation] | None = None
    for observation in observations:
        predicted = observation.predict(states)
        miss = observation.value - float(posterior.mean(predicted))
        # Left out, a straight reading would miss by more and be better known: both follow from its leverage.
        leverage = min((float(posterior.sd(predicted)) / observation.sd) ** 2, 0.99)
        size = abs(miss) / (observation.sd * sqrt(1.0 - leverage))
        if size > LIMIT and (worst is None or size > worst[0]):
            worst = (size, observation)
    if worst is not None:
        what, culprit = _WORDS[worst[1].name]
        out.append(
            Issue(
                "contradiction",
                "warning",
                worst[1].name,
                f"The readings do not fit each other: {what} is {worst[0]:.1f} times its doubt away from what all the others"
                f" say. The likeliest culprit: {culprit}. Check that before anything is changed.",
            )
        )
    return out


def _thin(case: Case, swings: list[CaseSwing], observations: list[Observation]) -> list[Issue]:
    out = []
    if not observations:
        out.append(
            Issue(
                "no_readings",
                "warning",
                "swings",
                "Nothing has been read yet: what stands here is what is usual, not this golfer.",
            )
        )
    elif len(observations) == 1:
        out.append(
            Issue("thin_evidence", "note", "swings", "One reading alone: the doubt is wide; take the next look.")
        )
    elif all(o.how in ("by_eye", "assumed") for o in observations):
        out.append(Issue("all_by_eye", "note", "swings", "Everything was judged by eye: the doubt is wide."))
    if case.swings and not case.untouched:
        out.append(
            Issue(
                "only_tries",
                "note",
                "swings",
                "Every swing was a try: this is the delivery with the feel, not the golfer's own.",
            )
        )
    mounts = {s.mount for s in swings if s.mount is not None}
    if len(mounts) > 1:
        out.append(
            Issue(
                "several_mounts",
                "note",
                "swings",
                f"The sensors were put on {len(mounts)} times: absolute wrist angles are compared across mountings only with"
                " their doubt; changes within a swing hold.",
            )
        )
    return out

"""Readings that do not fit each other: found by what each would have to be off by, and named with a likely culprit."""

from collections.abc import Callable, Sequence
from math import hypot, sqrt

from ferrule.coaching.case import Case, Swings
from ferrule.coaching.observation import Observation
from ferrule.coaching.thin_evidence import thin_evidence
from ferrule.coaching.wording import degrees, direction_words, face_words, grip_words, upper_first, wrist_words
from ferrule.errors import Issue
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

LIMIT = 2.6
"""Standard deviations by which a reading must miss what all others say, to be called a contradiction."""
CLEAR = 3.5
"""From here on the contradiction comes before any cause: below it one honest reading in some ten lessons misses so."""

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


def _face(value: float, _: float) -> str:
    return face_words(value)


def _direction(value: float, world: float) -> str:
    return direction_words(world * value)


_SAID: dict[str, Callable[[float, float], str]] = {
    "grip_turn": lambda v, _: grip_words(v),
    "grip_address": lambda v, _: f"a grip that is {grip_words(v)}",
    "impact_flexion": lambda v, _: wrist_words(v),
    "impact_chi": lambda v, _: degrees(v),
    "shaft_lean": lambda v, _: f"hands {degrees(v)} {'ahead' if v > 0 else 'behind'}",
    "aim": _direction,
    "face": _face,
    "face_since_address": _face,
    "path": _direction,
    "delivered_loft": lambda v, _: degrees(v),
    "ball_start": _direction,
    "ball_curve": _direction,
    "ball_landing": _direction,
}
"""What a reading says in words, from degrees in the right-handed mirror and the world's sign."""


def culprit_of(contradiction: Issue) -> str:
    """The likeliest culprit of a contradiction, in words."""
    return _WORDS[contradiction.where][1]


def contradictions(
    case: Case,
    swings: Swings,
    observations: Sequence[Observation],
    predicted: Sequence[Estimate],
    world: float,
) -> list[Issue]:
    """Issues about the evidence: what it lacks (`coaching.thin_evidence`), and readings that oppose each other.

    predicted: what the posterior says that each observation should read; world: -1 for a left-handed golfer, so that
    sentences speak of the real right and left.
    """
    out = thin_evidence(case, swings, observations, world)
    worst: tuple[float, Observation, float] | None = None
    for observation, expected in zip(observations, predicted, strict=True):
        middle = expected.value
        miss, doubt = observation.value - middle, hypot(observation.sd, observation.relative * middle)
        # Left out, a straight reading would miss by more and be better known: both follow from its leverage.
        leverage = min((expected.sd / doubt) ** 2, 0.99)
        size = abs(miss) / (doubt * sqrt(1.0 - leverage))
        if size > LIMIT and (worst is None or size > worst[0]):
            worst = (size, observation, observation.value - miss / (1.0 - leverage))
    if worst is not None:
        size, observation, others = worst
        what, culprit = _WORDS[observation.name]
        say = _SAID.get(observation.name)
        said = ""
        if say is not None:
            said = (
                f": it says {say(observation.value / DEG, world)}, all the others together {say(others / DEG, world)}"
            )
        out.append(
            Issue(
                "contradiction",
                "warning" if size > CLEAR else "note",
                observation.name,
                f"The readings do not fit each other. {upper_first(what)} is {size:.1f} times its doubt away from what all"
                f" the others say{said}. The likeliest culprit: {culprit}. Check that before anything is changed.",
            )
        )
    return out

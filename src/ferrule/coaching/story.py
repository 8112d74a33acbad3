"""What the case page says first: one cause, its rival, what cancels, how sure. Sentences come from `wording`."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ferrule.coaching import wording
from ferrule.coaching.ball_evidence import flights_of
from ferrule.coaching.case import Case, Swings
from ferrule.coaching.contradictions import culprit_of
from ferrule.coaching.looks import RankedLook
from ferrule.coaching.shaft_level import SHAFT_LEVEL_CAUSES, ShaftLevel
from ferrule.coaching.spread import SpreadCause
from ferrule.coaching.triage import PATH_LIMIT_DEG, strike_suspect
from ferrule.errors import Issue
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

PATTERN_OPEN_DEG = 12.0
"""Open at shaft level by this much is a pattern worth naming even when impact looks fine (common practice, no source)."""
CANCEL_DEG = 3.0
RIVAL_PROBABILITY: Final = 0.08
SCATTER_DEG: Final = 3.5
"""Face scatter beyond this is a trouble of its own (common practice, no source)."""
STANDING_UP_DEG: Final = 10.0
"""Forward bend lost, address to impact, that is more than trading it for side bend (common practice, no source)."""
HIDDEN_DEG: Final = 6.0


@dataclass(frozen=True, slots=True)
class ToldCause:
    """A cause as the story needs it, degrees, + opens. fault: see `faults`; how: "assumed" when nothing read it."""

    cause: str
    share: float
    sd: float
    probability: float
    how: str
    fault: bool

    @property
    def read(self) -> bool:
        """Whether anybody looked."""
        return self.how != "assumed"

    @property
    def suspect(self) -> bool:
        """Seen to be off, or not looked at: what may be named."""
        return self.fault or not self.read


@dataclass(frozen=True, slots=True)
class Told:
    """What the story is made from, in the right-handed mirror; radians.

    causes: largest share first; handle_probability: that forward bend and unsetting together are the largest cause;
    next_ball: start and curve of a ball with the face square and the path as it is; world: -1 for a left-handed golfer.
    """

    case: Case
    swings: Swings
    causes: Sequence[ToldCause]
    face: Estimate
    path: Estimate
    probability_open: float
    handle_probability: float
    bend_lost: float | None
    shaft: ShaftLevel
    looks: Sequence[RankedLook]
    spread: Sequence[SpreadCause]
    face_scatter: float | None
    both_ways: bool
    next_ball: tuple[float, float]
    issues: Sequence[Issue]
    world: float


@dataclass(frozen=True, slots=True)
class Story:
    """The first view in sentences. look: the question of the best next look, or empty."""

    headline: str
    lead: str
    sure: str
    shaft_level: str
    notes: tuple[str, ...]
    look: str


@dataclass(frozen=True, slots=True)
class _Why:
    """Second half of the headline; the cause it is about and how probable; whether the rival stands in it already."""

    text: str
    about: str | None = None
    probability: float = 0.0
    rival_said: bool = False


def tell(told: Told) -> Story:
    """The story of a case."""
    open_deg = told.face.value / DEG
    shaft = told.shaft
    flight = _flight(told)
    if told.both_ways and flight in (None, "flies straight"):
        flight = "misses both ways"
    why = _why(told)
    off = abs(open_deg) >= 1.0
    rival = _rival(told, why.about) if why.about is not None and off and not why.rival_said else None
    against = next((c for c in told.causes if c.share * open_deg < 0 and c.fault and c.read), None)
    helper = None if against is None or not off else wording.pulls_back(against.cause, against.share)
    coming_down = wording.shaft_level_sentence(
        shaft.open_to_address_spine.value / DEG,
        shaft.open_to_address_spine.sd / DEG,
        shaft.closing_owed.value / DEG,
        shaft.flexion.value / DEG if "flexion" in shaft.read else None,
        bool({"flexion", "roll", "edge"} & set(shaft.read)),
    )
    return Story(
        wording.headline(told.case.club.name, flight, open_deg, why.text, told.face.sd / DEG),
        wording.lead_sentence(open_deg, told.face.sd / DEG, rival, helper),
        wording.sure_sentence(
            open_deg,
            told.probability_open,
            why.about if why.probability > 0.0 else None,
            why.probability,
            len(told.swings),
        ),
        coming_down,
        tuple(_notes(told)),
        told.looks[0].look.question if told.looks else "",
    )


def _rival_cause(told: Told, about: str) -> ToldCause | None:
    """The next likeliest cause that turns the face the same way as it arrives; None when there is none worth naming."""
    handle = ("posture", "lead_wrist_unset")
    same = handle if about in handle else (about,)
    for c in sorted(told.causes, key=lambda c: -c.probability):
        likely = abs(c.share) >= 0.5 and c.probability >= RIVAL_PROBABILITY
        if c.cause not in same and c.share * told.face.value > 0 and likely and c.suspect:
            return c
    return None


def _rival(told: Told, about: str) -> str | None:
    rival = _rival_cause(told, about)
    return None if rival is None else wording.likely_phrase(rival.cause, rival.share, rival.read)


def _why(told: Told) -> _Why:
    """The second half of the headline: the first of these that holds."""
    open_deg, path_deg = told.face.value / DEG, told.path.value / DEG
    strike = strike_suspect(told.swings)
    if strike is not None and told.case.club.kind in ("driver", "wood", "hybrid"):
        return _Why(f"the strike is on the {strike}, and that alone bends the ball. Settle the strike first")
    contradiction = next((i for i in told.issues if i.code == "contradiction" and i.severity == "warning"), None)
    if contradiction is not None:
        return _Why(f"the readings do not fit each other. Check first: {culprit_of(contradiction)}")
    pattern = _pattern(told.shaft, told.face.sd < wording.FACE_UNSEEN_SD_DEG * DEG)
    if pattern and (told.both_ways or abs(open_deg) < 2.0):
        return pattern
    if abs(open_deg - path_deg) >= 4.0 and abs(path_deg) > 1.5 * abs(open_deg) and told.path.sd < 2.6 * DEG:
        return _Why("the face is not the trouble, the path is")
    if abs(open_deg) < 1.0:
        # A square face needs no cause, whatever cancels on the way to it.
        return _nothing_or_scatter(told) or _perhaps(told)
    return _cause_of_the_mean(told, pattern) or _nothing_or_scatter(told) or _perhaps(told)


def _cause_of_the_mean(told: Told, pattern: _Why | None) -> _Why | None:
    """A cause that is named: at least as likely as not the largest, and worth 1.5 degrees."""
    first = max(told.causes, key=lambda c: c.probability)
    raised = [c for c in told.causes if c.cause in ("posture", "lead_wrist_unset")]
    share = sum(c.share for c in raised)
    handle_read = any(c.read for c in raised if c.cause == "posture")
    if handle_read and told.handle_probability >= 0.5 and share >= 1.5 and first.probability < 0.5:
        return _Why(f"most likely {_raised(told)}", "posture", told.handle_probability)
    if first.probability < 0.5 or abs(first.share) < 1.5 or not first.suspect:
        return None
    if first.cause == "lead_wrist_flexion" and first.share > 0 and first.read and pattern:
        text = "most likely the wrist is still cupped coming down"
    else:
        text = f"most likely {wording.likely_phrase(first.cause, first.share, first.read)}"
    return _Why(text, first.cause, first.probability)


def _raised(told: Told) -> str:
    """The handle comes up: by the body when the bend was seen to go, else by one of two."""
    lost = told.bend_lost is not None and told.bend_lost > STANDING_UP_DEG * DEG
    if lost or hidden_by_standing_up(told.shaft) > HIDDEN_DEG * DEG:
        return "the forward bend is lost, and standing up lifts the handle"
    return "the handle comes up, by standing up or by unsetting the wrist early: not yet told apart"


def _nothing_or_scatter(told: Told) -> _Why | None:
    open_deg, path_deg = told.face.value / DEG, told.path.value / DEG
    level = told.face.sd < 2.0 * DEG and abs(open_deg - path_deg) < 3.0 and abs(path_deg) < PATH_LIMIT_DEG
    wide = told.face_scatter is not None and told.face_scatter > SCATTER_DEG * DEG
    if (told.both_ways or wide) and abs(open_deg) < 2.0 and level:
        worst = told.spread[0] if told.spread and told.spread[0].sd >= 1.0 * DEG else None
        return _Why(
            wording.scatter_words(None if worst is None else worst.cause, 0.0 if worst is None else worst.sd / DEG)
        )
    if abs(open_deg) < 1.0 and level:
        return _Why("there is nothing here that needs a change")
    return None


def _perhaps(told: Told) -> _Why:
    open_deg = told.face.value
    likely = [c for c in told.causes if c.share * open_deg > 0 and abs(c.share) >= 1.0 and c.suspect]
    if likely:
        first = max(likely, key=lambda c: c.probability)
        rival = _rival_cause(told, first.cause)
        one = wording.likely_phrase(first.cause, first.share, first.read)
        if rival is not None and first.probability + rival.probability >= 0.5:
            if not first.read and not rival.read and "arm_and_body" not in (first.cause, rival.cause):
                pair = f"perhaps {wording.cause_phrase(first.cause, first.share)}, perhaps"
                text = f"{pair} {wording.cause_phrase(rival.cause, rival.share)}: nobody has looked at either yet"
            else:
                text = f"perhaps {one}; perhaps {wording.likely_phrase(rival.cause, rival.share, rival.read)}"
            return _Why(text, first.cause, first.probability, rival_said=True)
        if first.probability >= 0.25:
            return _Why(f"perhaps {one}", first.cause, first.probability)
    return _Why("why is not clear yet")


def _pattern(shaft: ShaftLevel, face_seen: bool) -> _Why | None:
    """The pattern coming down when it is worth naming: far open or closed, known from readings at shaft level.

    face_seen: only then can anybody say that it is rescued.
    """
    rescued = " and is rescued late" if face_seen else ""
    open_deg = shaft.open_to_address_spine.value / DEG
    if abs(open_deg) < max(PATTERN_OPEN_DEG, 1.5 * shaft.open_to_address_spine.sd / DEG) or not shaft.read:
        return None
    flexion = shaft.flexion.value / DEG
    if open_deg > 0 and "flexion" in shaft.read and flexion < -8.0:
        text = f"the wrist is still {wording.wrist_words(flexion)} coming down{rescued}"
        return _Why(text, "lead_wrist_flexion")
    if hidden_by_standing_up(shaft) > HIDDEN_DEG * DEG and open_deg > 0:
        late = ", and it is rescued late" if face_seen else ""
        return _Why(f"standing up on the way down leaves the face open{late}", "posture")
    about = SHAFT_LEVEL_CAUSES[max(range(len(SHAFT_LEVEL_CAUSES)), key=lambda i: shaft.probability_largest[i])]
    if open_deg > 0:
        return _Why(f"the face is still open coming down{rescued}", about)
    return _Why(f"the face is shut coming down{' and is held off late' if face_seen else ''}", about)


def hidden_by_standing_up(shaft: ShaftLevel) -> float:
    """How much standing up hides at shaft level, radians; 0 when the bend was not read."""
    if "spine" not in shaft.read:
        return 0.0
    return shaft.open_to_address_spine.value - shaft.open_to_present_spine.value


def _flight(told: Told) -> str | None:
    seen = flights_of(told.swings, told.case.club)
    if seen.start is None and seen.curve is None:
        return None
    start, curve = (None if f is None else float(f.seen.value.mean()) * told.world for f in (seen.start, seen.curve))
    return wording.flight_words(start, curve)


def _notes(told: Told) -> list[str]:
    """What cancels, said before the net; standing up seen at shaft level; what closing the face will not mend."""
    out = []
    by_name = {c.cause: c for c in told.causes}
    grip, wrist = by_name["grip"], by_name["lead_wrist_flexion"]
    if grip.share * wrist.share < 0 and min(abs(grip.share), abs(wrist.share)) >= CANCEL_DEG and grip.read:
        out.append(
            wording.cancel_sentence(
                wording.cause_phrase("grip", grip.share),
                wording.likely_phrase("lead_wrist_flexion", wrist.share, wrist.read),
                min(abs(grip.share), abs(wrist.share)),
            )
        )
    elif abs(told.face.value) < 1.5 * DEG:
        large = max((c for c in told.causes if c.fault and c.read), key=lambda c: abs(c.share), default=None)
        if large is not None and abs(large.share) >= CANCEL_DEG:
            out.append(wording.taken_back(wording.cause_phrase(large.cause, large.share), abs(large.share)))
    shaft = told.shaft
    if hidden_by_standing_up(shaft) > HIDDEN_DEG * DEG and shaft.open_to_address_spine.value > HIDDEN_DEG * DEG:
        out.append(
            wording.standing_up_hides(shaft.open_to_address_spine.value / DEG, shaft.open_to_present_spine.value / DEG)
        )
    start, curve = (told.world * v / DEG for v in told.next_ball)
    if abs(told.path.value) >= PATH_LIMIT_DEG * DEG and told.path.sd < 2.6 * DEG and abs(curve) >= 2.0:
        out.append(wording.next_balls(start, curve))
    return out

"""What the case page says first: one cause, its rival, what cancels, how sure. Sentences come from `wording`."""

from collections.abc import Sequence
from dataclasses import dataclass

from ferrule.coaching import wording
from ferrule.coaching.ball_evidence import seen_flight
from ferrule.coaching.case import Case, CaseSwing
from ferrule.coaching.looks import RankedLook
from ferrule.coaching.shaft_level import ShaftLevel
from ferrule.coaching.triage import strike_suspect
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

PATTERN_OPEN_DEG = 12.0
"""Open at shaft level by this much is a pattern worth naming even when impact looks fine (common practice, no source)."""
CANCEL_DEG = 3.0

Share = tuple[str, float, float, float, str]
"""Cause, share in degrees + opens, its sd, probability to be the largest, how it was got."""


@dataclass(frozen=True, slots=True)
class Story:
    """The first view in sentences. look: the question of the best next look, or empty."""

    headline: str
    lead: str
    sure: str
    shaft_level: str
    notes: tuple[str, ...]
    look: str


def tell(
    case: Case,
    swings: list[CaseSwing],
    causes: Sequence[Share],
    face: Estimate,
    path: Estimate,
    probability_open: float,
    shaft: ShaftLevel,
    looks: Sequence[RankedLook],
    both_ways: bool,
    world: float,
) -> Story:
    """The story of a case in the right-handed mirror; causes largest first; world: -1 for a left-handed golfer."""
    open_deg = face.value / DEG
    ranked = sorted(causes, key=lambda c: -c[3])
    first, second = ranked[0], ranked[1]
    flight = _flight(swings, world)
    if both_ways and flight in (None, "flies straight"):
        flight = "misses both ways"
    why, about = _why(case, swings, first, second, face, path, shaft, both_ways)
    rival = _rival(ranked, about, open_deg)
    against = next((c for c in causes if c[1] * open_deg < 0 and abs(c[1]) >= 1.0 and c[4] != "assumed"), None)
    helper = None if against is None else wording.pulls_back(against[0], against[1])
    headline = wording.headline(case.club.name, flight, open_deg, why)
    lead = wording.lead_sentence(open_deg, face.sd / DEG, rival, helper)
    sure = wording.sure_sentence(
        open_deg, probability_open, about if about == first[0] else None, first[3], len(swings)
    )
    coming_down = wording.shaft_level_sentence(
        shaft.open_to_address_spine.value / DEG,
        shaft.open_to_address_spine.sd / DEG,
        shaft.closing_owed.value / DEG,
        shaft.flexion.value / DEG if "flexion" in shaft.read else None,
    )
    return Story(
        headline, lead, sure, coming_down, tuple(_notes(causes, shaft)), looks[0].look.question if looks else ""
    )


def _rival(ranked: Sequence[Share], about: str | None, open_deg: float) -> str | None:
    """The next likeliest cause that turns the face the same way as it arrives; None when there is none worth naming."""
    for cause, share, _, probability, _ in ranked:
        if cause != about and share * open_deg > 0 and abs(share) >= 0.5 and probability >= 0.08:
            return wording.cause_phrase(cause, share) if about is not None else None
    return None


def _why(
    case: Case,
    swings: list[CaseSwing],
    first: Share,
    second: Share,
    face: Estimate,
    path: Estimate,
    shaft: ShaftLevel,
    both_ways: bool,
) -> tuple[str, str | None]:
    """The second half of the headline, and the cause it is about."""
    strike = strike_suspect(swings)
    open_deg, path_deg = face.value / DEG, path.value / DEG
    if strike is not None and case.club.kind in ("driver", "wood", "hybrid"):
        return f"the strike is on the {strike}, and that alone bends the ball. Settle the strike first", None
    pattern = _pattern(shaft)
    if pattern and (both_ways or abs(open_deg) < 2.0):
        return pattern, "lead_wrist_flexion"
    if abs(open_deg - path_deg) >= 4.0 and abs(path_deg) > 1.5 * abs(open_deg) and path.sd < 2.6 * DEG:
        return "the face is not the trouble, the path is", None
    named = first[3] >= 0.5 and abs(first[1]) >= 1.5
    if named and first[4] == "assumed":
        # Never look certain about what nobody has looked at.
        return f"most likely {wording.cause_phrase(first[0], first[1])}, which nobody has looked at yet", first[0]
    if named:
        if first[0] == "lead_wrist_flexion" and first[1] > 0 and pattern:
            return "most likely the wrist is still cupped coming down", first[0]
        return f"most likely {wording.cause_phrase(first[0], first[1])}", first[0]
    if abs(open_deg) < 1.0 and face.sd < 2.0 * DEG and abs(open_deg - path_deg) < 3.0:
        return "there is nothing here that needs a change", None
    if first[3] + second[3] >= 0.5 and abs(first[1]) >= 1.0 and abs(second[1]) >= 0.5:
        one, other = (wording.cause_phrase(c[0], c[1]) for c in (first, second))
        return f"perhaps {one}, perhaps {other}", first[0]
    return "why is not clear yet", None


def _pattern(shaft: ShaftLevel) -> str | None:
    """The pattern coming down when it is worth naming: far open, known from readings at shaft level or the top."""
    open_deg = shaft.open_to_address_spine.value / DEG
    if open_deg < PATTERN_OPEN_DEG or open_deg < 1.5 * shaft.open_to_address_spine.sd / DEG or not shaft.read:
        return None
    flexion = shaft.flexion.value / DEG
    if "flexion" in shaft.read and flexion < -8.0:
        return f"the wrist is still {wording.wrist_words(flexion)} coming down and is rescued late"
    return "the face is still open coming down and is rescued late"


def _flight(swings: list[CaseSwing], world: float) -> str | None:
    starts, curves = [], []
    for swing in swings:
        seen = seen_flight(swing)
        if seen.start is not None:
            starts.append(seen.start.value)
        if seen.curve is not None:
            curves.append(seen.curve.value)
    if not starts and not curves:
        return None
    mean = [sum(v) / len(v) * world if v else None for v in (starts, curves)]
    return wording.flight_words(mean[0], mean[1])


def _notes(causes: Sequence[Share], shaft: ShaftLevel) -> list[str]:
    """What cancels, said before the net; and standing up seen at shaft level."""
    out = []
    share = {c[0]: c[1] for c in causes}
    grip, wrist = share["grip"], share["lead_wrist_flexion"]
    if grip * wrist < 0 and min(abs(grip), abs(wrist)) >= CANCEL_DEG:
        out.append(
            wording.cancel_sentence(
                wording.cause_phrase("grip", grip),
                wording.cause_phrase("lead_wrist_flexion", wrist),
                min(abs(grip), abs(wrist)),
            )
        )
    hidden = shaft.open_to_address_spine.value - shaft.open_to_present_spine.value
    if "spine" in shaft.read and hidden > 6.0 * DEG and shaft.open_to_address_spine.value > 6.0 * DEG:
        out.append(
            wording.standing_up_hides(shaft.open_to_address_spine.value / DEG, shaft.open_to_present_spine.value / DEG)
        )
    return out

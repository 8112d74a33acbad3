"""The simple things first: strike, aim and face at address, the club itself, the path. Only then the wrist.

Thresholds: common practice, no source.
"""

from collections import Counter
from dataclasses import dataclass
from typing import Final, Literal

from ferrule.club.clubs import Club
from ferrule.coaching.case import Case, Swings
from ferrule.coaching.observation import summary_of
from ferrule.coaching.wording import degrees, direction_words, side_words
from ferrule.units import DEG

State = Literal["ruled_out", "suspect", "not_checked"]

AIM_LIMIT_DEG: Final = 2.5
PATH_LIMIT_DEG: Final = 3.0


@dataclass(frozen=True, slots=True)
class Check:
    """One simple thing, how it stands, and a sentence."""

    check: str
    state: State
    sentence: str


def triage(case: Case, swings: Swings, path_deg: float, path_sd_deg: float, world: float) -> list[Check]:
    """Strike, aim and face at address, club, path, in the order in which a coach rules them out.

    case and swings: in the right-handed mirror; path_deg: of the posterior there; world: -1 for a left-handed golfer, so
    that sentences speak of the real right and left.
    """
    return [
        _strike(case.club, swings, world),
        _aim(swings, world),
        _club(case.club),
        _path(swings, path_deg, path_sd_deg, world),
    ]


def strike_suspect(swings: Swings) -> str | None:
    """The off-centre strike that at least half of the seen strikes share, or None."""
    seen = [s.strike for s in swings if s.strike is not None]
    off = Counter(s for s in seen if s in ("toe", "heel"))
    if off:
        word, count = off.most_common(1)[0]
        if 2 * count >= len(seen):
            return word
    return None


def _strike(club: Club, swings: Swings, world: float) -> Check:
    seen = [s.strike for s in swings if s.strike is not None]
    if not seen:
        return Check("strike", "not_checked", "Strike not checked: a heel or toe hit bends the ball by itself.")
    off = strike_suspect(swings)
    if off is None:
        return Check("strike", "ruled_out", f"Strike: centred often enough ({len(seen)} seen).")
    wood = club.kind in ("driver", "wood", "hybrid")
    bend = side_words(-world if off == "toe" else world)
    why = f"that alone bends the ball to the {bend}" if wood else "that alone costs distance and twists the face"
    return Check(
        "strike", "suspect", f"Strike: on the {off} in {seen.count(off)} of {len(seen)}; {why}. Settle it first."
    )


def _aim(swings: Swings, world: float) -> Check:
    aim = summary_of(swings, "aim_deg", "aim")
    face = summary_of(swings, "face_address_deg", "face_address")
    if aim is None and face is None:
        return Check("aim_and_face_at_address", "not_checked", "Aim and face at address not checked.")
    parts, state = [], "ruled_out"
    for name, seen in (("Aim", aim), ("face at address", face)):
        if seen is None:
            parts.append(f"{name} not checked")
        elif abs(seen.value) / DEG >= AIM_LIMIT_DEG:
            state = "suspect"
            parts.append(f"{name} {direction_words(world * seen.value / DEG)}")
        else:
            parts.append(f"{name} square")
    if state == "ruled_out" and (aim is None or face is None):
        state = "ruled_out" if aim is not None else "not_checked"
    return Check("aim_and_face_at_address", state, f"{'; '.join(parts)}.")  # type: ignore[arg-type]


def _club(club: Club) -> Check:
    how = "as given" if club.how == "typed" else "taken from the table"
    return Check(
        "club",
        "not_checked",
        f"Club not checked: {club.name}, loft {degrees(club.loft / DEG)}, lie {degrees(club.lie / DEG)}, {how}."
        " Look at the sole mark and the grip's size and wear.",
    )


def _path(swings: Swings, path_deg: float, path_sd_deg: float, world: float) -> Check:
    read = any(s.get("delivery.path_deg") or s.get("ball.curve_deg") or s.shape for s in swings)
    if not read:
        return Check("path", "not_checked", "Path not checked: look at where the divots point.")
    where = direction_words(world * path_deg)
    if abs(path_deg) < PATH_LIMIT_DEG:
        return Check("path", "ruled_out", f"Path {where}, give or take {degrees(path_sd_deg)}: not enough by itself.")
    return Check("path", "suspect", f"Path {where}, give or take {degrees(path_sd_deg)}.")

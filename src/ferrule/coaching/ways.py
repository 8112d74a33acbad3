"""The ways: sound changes for this golfer, each with its amount, what must go with it, and its cautions.

Amounts, efforts, usual body turns and the utility: common practice, no source; one table each. Order of advice: grip,
top, release, path.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sin
from typing import Final, Literal

from ferrule.coaching.case import AgeGroup, Golfer, WristRange
from ferrule.coaching.counterfactual import Change, Delivered, amount_that_squares
from ferrule.coaching.wrist_range import most_flexion, range_used
from ferrule.units import DEG

WayName = Literal[
    "flexed_early",
    "flexed_in_transition",
    "rolled_late",
    "grip",
    "trail_hand_grip",
    "forearm_roll",
    "posture",
    "shaft_lean",
    "ball_position",
    "aim",
    "keep_shape",
    "leave_as_is",
]
Tilt = Literal["balanced", "smallest_change", "straightest_ball", "easiest_to_keep"]
ALWAYS: Final[tuple[WayName, ...]] = ("flexed_early", "flexed_in_transition", "grip", "posture", "leave_as_is")
WRIST_WAYS: Final[tuple[WayName, ...]] = ("flexed_early", "flexed_in_transition", "rolled_late", "forearm_roll")

# way: (effort, place in the order of advice, causes that it takes away at the root)
_TABLE: Final[dict[WayName, tuple[float, int, tuple[str, ...]]]] = {
    "grip": (1.6, 0, ("grip",)),
    "trail_hand_grip": (1.4, 1, ()),
    "flexed_early": (3.6, 2, ("lead_wrist_flexion",)),
    "flexed_in_transition": (3.0, 3, ("lead_wrist_flexion",)),
    "posture": (2.6, 4, ("posture", "lead_wrist_unset")),
    "shaft_lean": (2.8, 5, ("shaft_lean",)),
    "rolled_late": (3.2, 6, ()),
    "forearm_roll": (2.8, 7, ("forearm_roll",)),
    "ball_position": (0.8, 8, ()),
    "aim": (0.6, 9, ("aim",)),
    "keep_shape": (0.4, 10, ()),
    "leave_as_is": (0.0, 11, ()),
}
EARLY_TOP_DEG: Final = 12.0
"""A wrist that is flexed early stands about this bowed at the top, where the range allows it."""
TRANSITION_LEAVES: Final = 0.2
"""Share of the opening at shaft level that a bow made in transition leaves, since it comes later."""
GRIP_LIMIT_DEG: Final = 14.0
ROLL_LIMIT_DEG: Final = 15.0
LEAN_LIMIT_DEG: Final = 8.0
BALL_LIMIT_M: Final = 0.05
CHEST_NEEDED_DEG: Final = {"flexed_early": 35.0, "flexed_in_transition": 28.0, "shaft_lean": 30.0}
PELVIS_NEEDED_DEG: Final = 35.0
SET_AT_TOP_DEG: Final = -12.0
"""Radial deviation at the top where it was not read."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way worked out: what changes, how hard it is, how much of the wrist it takes, what must go with it."""

    name: WayName
    change: Change
    effort: float
    order: int
    roots: tuple[str, ...]
    range_used: float
    needs: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Body:
    """Chest and pelvis open at impact in degrees, None when not seen; bend lost in degrees."""

    chest: float | None
    pelvis: float | None
    bend_lost: float | None


def ways_for(
    now: Delivered, golfer: Golfer, body: Body, face: float, shares: dict[str, float], roll_departure: float | None
) -> list[Way]:
    """Every way that applies, worked out; radians. shares: of the face by cause, + opens."""
    limits = _shown_range(golfer.wrist_range, now)
    ways = [
        _flexed_early(now, limits),
        _flexed_in_transition(now, limits),
        _grip(now),
        _posture(now),
        (Change(), "leave_as_is", ()),
    ]
    if abs(face) >= 1.0 * DEG or now.shaft_open > 8.0 * DEG:
        ways.append(_rolled_late(now))
        ways.append((Change(), "keep_shape", ("aim so that the usual ball finishes at the target",)))
    if abs(face) >= 2.0 * DEG:
        amount = amount_that_squares(now, Change(), "trail", -GRIP_LIMIT_DEG * DEG, GRIP_LIMIT_DEG * DEG)
        ways.append((Change(trail=amount), "trail_hand_grip", ()))
    if roll_departure is not None and abs(roll_departure) >= 3.0 * DEG:
        ways.append((Change(roll=-roll_departure, level_roll=-0.5 * roll_departure), "forearm_roll", ()))
    if abs(shares["shaft_lean"]) >= 1.0 * DEG:
        amount = amount_that_squares(now, Change(), "lean", -LEAN_LIMIT_DEG * DEG, LEAN_LIMIT_DEG * DEG)
        ways.append((Change(lean=amount), "shaft_lean", ()))
    if 0.7 * DEG <= abs(face) <= 4.0 * DEG:
        amount = amount_that_squares(now, Change(), "ball_forward", -BALL_LIMIT_M, BALL_LIMIT_M)
        ways.append((Change(ball_forward=amount), "ball_position", ()))
    if abs(shares["aim"]) >= 1.0 * DEG:
        ways.append((Change(aim=-now.aim), "aim", ()))
    return [_finished(name, change, needs, now, golfer, body, limits) for change, name, needs in ways]


_Draft = tuple[Change, WayName, tuple[str, ...]]


def _flexed_early(now: Delivered, limits: WristRange) -> _Draft:
    """Bowed by the top, the face down with the spine at shaft level, released through the ball."""
    room_top = most_flexion(now.set_top / DEG, limits) * DEG
    top = min(max(EARLY_TOP_DEG * DEG, now.flexion_top), room_top) - now.flexion_top
    level = _level_change(now, limits, 1.0)
    impact = _impact_change(now, limits, Change(level_flexion=level))
    return Change(flexion=impact, level_flexion=level, top=max(top, min(level, 0.0))), "flexed_early", ()


def _flexed_in_transition(now: Delivered, limits: WristRange) -> _Draft:
    """The top stays; the bow comes between top and shaft level."""
    level = _level_change(now, limits, 1.0 - TRANSITION_LEAVES)
    impact = _impact_change(now, limits, Change(level_flexion=level))
    return Change(flexion=impact, level_flexion=level), "flexed_in_transition", ()


def _level_change(now: Delivered, limits: WristRange, share: float) -> float:
    wanted = share * now.shaft_open / sin(now.chi_level)
    room = most_flexion(0.6 * now.set_top / DEG, limits) * DEG - now.flexion_level
    return min(wanted, max(room, 0.0))


def _impact_change(now: Delivered, limits: WristRange, with_change: Change) -> float:
    room = most_flexion(5.0, limits) * DEG - now.flexion_impact
    return amount_that_squares(now, with_change, "flexion", -25.0 * DEG, max(room, 0.0))


def _grip(now: Delivered) -> _Draft:
    amount = amount_that_squares(now, Change(), "grip", -GRIP_LIMIT_DEG * DEG, GRIP_LIMIT_DEG * DEG)
    return Change(grip=amount), "grip", ()


def _posture(now: Delivered) -> _Draft:
    """Give back what the handle has been raised beyond the square delivery; never more than that."""
    return Change(raised=-now.raised), "posture", ()


def _rolled_late(now: Delivered) -> _Draft:
    amount = amount_that_squares(now, Change(), "roll", -ROLL_LIMIT_DEG * DEG, ROLL_LIMIT_DEG * DEG)
    return Change(roll=amount), "rolled_late", ("a steady rhythm: the forearm does its work late, in little time",)


def _shown_range(limits: WristRange, now: Delivered) -> WristRange:
    """The golfer's range, widened where a swing has shown more than the screen did."""
    shown = max(-now.set_top / DEG + 5.0, limits.radial)
    return WristRange(limits.flexion, limits.extension, shown, limits.ulnar, limits.measured)


def _finished(
    name: WayName,
    change: Change,
    needs: tuple[str, ...],
    now: Delivered,
    golfer: Golfer,
    body: Body,
    limits: WristRange,
) -> Way:
    effort, order, roots = _TABLE[name]
    effort *= 1.0 + _size(change) / (12.0 * DEG)
    used = max(
        range_used((now.flexion_top + change.top) / DEG, now.set_top / DEG, limits),
        range_used((now.flexion_impact + change.flexion) / DEG, 5.0, limits),
        range_used((now.flexion_level + change.level_flexion) / DEG, 0.6 * now.set_top / DEG, limits),
    )
    return Way(name, change, effort, order, roots, used, needs + _body_needs(name, body), _cautions(name, golfer, used))


def _size(change: Change) -> float:
    """How much moves, radians: the largest part."""
    angles = (change.flexion, change.roll, change.grip, change.lean, change.raised, change.aim)
    return max(*(abs(a) for a in angles), abs(change.level_flexion), abs(change.top), abs(change.trail))


def _body_needs(name: WayName, body: Body) -> tuple[str, ...]:
    out = []
    chest = CHEST_NEEDED_DEG.get(name)
    if chest is not None and (body.chest is None or body.chest < chest):
        seen = "" if body.chest is None else f" (now about {body.chest:.0f}°)"
        out.append(f"turn the chest further through: about {chest:.0f}° open at impact{seen}")
    if name == "flexed_early" and body.pelvis is not None and body.pelvis < PELVIS_NEEDED_DEG:
        out.append(
            f"turn the pelvis further: about {PELVIS_NEEDED_DEG:.0f}° open at impact (now about {body.pelvis:.0f}°)"
        )
    if name != "posture" and body.bend_lost is not None and body.bend_lost > 8.0:
        out.append("keep the forward bend")
    return tuple(out)


_GROWING: Final[tuple[AgeGroup, ...]] = ("junior",)


def _cautions(name: WayName, golfer: Golfer, used: float) -> tuple[str, ...]:
    out = []
    if name in WRIST_WAYS:
        if wrist_hurts(golfer):
            out.append(
                "The wrist hurts: do not work on it now. A clinician looks first; stop at pain, numbness or clicking."
            )
        else:
            out.append("Build up slowly: slow swings first, few balls, off a tee. Stop at pain, numbness or clicking.")
        if golfer.age_group in _GROWING:
            out.append("Still growing: little of it, no forced end of range.")
        if used > 0.8:
            out.append("This uses most of what the wrist can do.")
    if name in ("posture", "flexed_early", "shaft_lean") and back_hurts(golfer):
        out.append("The back hurts: more bend or turn loads it near impact. Clearance from a clinician first.")
    return tuple(out)


def wrist_hurts(golfer: Golfer) -> bool:
    """Pain at the wrist, hand or forearm, in the golfer's words."""
    return _hurts(golfer.pain, ("wrist", "hand", "thumb", "forearm", "elbow"))


def back_hurts(golfer: Golfer) -> bool:
    """Pain at the back or hip, in the golfer's words."""
    return _hurts(golfer.pain, ("back", "spine", "hip", "lumbar"))


def trouble_of(face_deg: float, shaft_open_deg: float) -> float:
    """How much there is to mend, 0 to 1: of the face beyond a degree, or of the pattern at shaft level beyond eight."""
    return min(max((abs(face_deg) - 1.0) / 2.0, (abs(shaft_open_deg) - 8.0) / 8.0, 0.0), 1.0)


def _hurts(places: Sequence[str], words: tuple[str, ...]) -> bool:
    return any(w in place.lower() for place in places for w in words)


# utility weights per tilt: degree of face, metre of spread, effort, range beyond 0.7, degree open at shaft level
_UTILITY: Final[dict[Tilt, tuple[float, float, float, float, float]]] = {
    "balanced": (1.0, 0.25, 0.35, 6.0, 0.15),
    "smallest_change": (0.8, 0.15, 0.9, 6.0, 0.05),
    "straightest_ball": (1.4, 0.5, 0.2, 6.0, 0.2),
    "easiest_to_keep": (1.0, 0.35, 0.5, 8.0, 0.15),
}
ROOT_BONUS: Final = 4.0
"""What it is worth to take away the cause itself, times the probability that it is the largest."""
OPEN_FREE_DEG: Final = 4.0
LEAVE_BONUS: Final = 2.5
"""What it is worth to change nothing where there is nothing to mend."""


def utility(
    way: Way,
    face_deg: float,
    curve_deg: float,
    spread_m: float,
    shaft_open_deg: float,
    roots: dict[str, float],
    trouble: float,
    hurts: bool,
    tilt: Tilt,
) -> float:
    """How good a way is, higher is better.

    roots: probability of each cause to be the largest; trouble: 0 when the delivery is in order as it is, 1 when not.
    """
    per_degree, per_metre, per_effort, per_range, per_open = _UTILITY[tilt]
    value = -per_degree * (abs(face_deg) + 0.3 * abs(curve_deg)) - per_metre * spread_m - per_effort * way.effort
    value -= per_range * max(way.range_used - 0.7, 0.0)
    value -= per_open * max(abs(shaft_open_deg) - OPEN_FREE_DEG, 0.0)
    value += ROOT_BONUS * trouble * sum(roots.get(r, 0.0) for r in way.roots)
    if way.name == "leave_as_is":
        value += LEAVE_BONUS * (1.0 - trouble)
    value -= 0.02 * way.order + 0.15 * len(way.needs)
    if hurts and way.name in WRIST_WAYS:
        value -= 100.0
    return value

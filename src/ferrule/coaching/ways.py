"""The ways: sound changes for this golfer, each with its amount, what must go with it, and its cautions.

Amounts, efforts and usual body turns: common practice, no source; one table each. Order of advice: grip, top, release,
path. What a way is worth is in `worth`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import sin
from typing import Final, Literal

import numpy as np

from ferrule.coaching.case import AgeGroup, Golfer, WristRange
from ferrule.coaching.counterfactual import Change, Delivered, amount_that_squares, outcome_of
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
ALWAYS: Final[tuple[WayName, ...]] = ("flexed_early", "flexed_in_transition", "grip", "posture", "leave_as_is")
KEEPING: Final[tuple[WayName, ...]] = ("ball_position", "aim", "keep_shape", "leave_as_is")
"""Ways in which no movement is learned anew."""
EVENT_DAYS: Final = 21
"""No new pattern within three weeks of an event (common practice, no source)."""
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
MOST_BOWED_AT_IMPACT_DEG: Final = 15.0
"""No way asks for more bow than this at impact (common practice, no source)."""
LEAST_BOWED_AT_IMPACT_DEG: Final = 0.0
"""Nor for a cupped wrist at impact where it is not cupped already (common practice, no source)."""
LEFT_OVER_DEG: Final = 1.5
"""A way that leaves the face off by more than this takes its partner along."""
_PARTNER: Final[dict[WayName, tuple[WayName, str, float]]] = {
    "flexed_early": ("grip", "grip", GRIP_LIMIT_DEG * DEG),
    "flexed_in_transition": ("grip", "grip", GRIP_LIMIT_DEG * DEG),
    "shaft_lean": ("ball_position", "ball_forward", BALL_LIMIT_M),
}
"""way: the way that goes with it, the part of the change that it moves, and how far at most (common practice, no source)."""
IDLE_DEG: Final = 0.75
CLOSED_DEG: Final = 1.0
"""A face closed by this much at impact, or by eight times this at shaft level, gets no more bow."""
CURVE_PATH_DEG: Final = 3.0
"""Face and path this far apart make a shape that can be kept and aimed for."""
SCATTER_HALVED: Final = 0.5
"""What is left of a cause's own scatter when it is worked on (common practice, no source)."""
CHEST_NEEDED_DEG: Final = {"flexed_early": 35.0, "flexed_in_transition": 28.0, "shaft_lean": 30.0}
PELVIS_NEEDED_DEG: Final = 35.0
SET_AT_TOP_DEG: Final = -12.0
"""Radial deviation at the top where it was not read."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way worked out: what changes, how hard it is, how much of the wrist it takes, what must go with it.

    joined: ways that are part of it, since alone it leaves the face off; steadies: it mends the scatter, not the mean.
    """

    name: WayName
    change: Change
    effort: float
    order: int
    roots: tuple[str, ...]
    range_used: float
    needs: tuple[str, ...]
    cautions: tuple[str, ...]
    joined: tuple[WayName, ...] = ()
    steadies: bool = False

    @property
    def idle(self) -> bool:
        """Nothing moves by half a degree or five millimetres: this way does not apply as things are."""
        still = _size(self.change) < IDLE_DEG * DEG and not self.steadies
        return self.name not in ("leave_as_is", "keep_shape") and still

    @property
    def moved(self) -> float:
        """How much of its root a way can take away: none when it hardly moves anything, all from three degrees on."""
        return 1.0 if self.steadies else min(_size(self.change) / (3.0 * DEG), 1.0)


@dataclass(frozen=True, slots=True)
class Body:
    """Chest and pelvis open at impact in degrees, None when not seen; bend lost in degrees; bend_seen: bend or handle;
    hidden: how far open standing up leaves the face at shaft level, radians.
    """

    chest: float | None
    pelvis: float | None
    bend_lost: float | None
    bend_seen: bool = True
    hidden: float = 0.0


@dataclass(frozen=True, slots=True)
class Trouble:
    """What there is to mend, in the right-handed mirror: face and path in radians, share of the face by cause (+ opens),
    roll beyond reference where it was read, and sd of the face that each quantity's own scatter makes.
    """

    face: float
    path: float
    shares: Mapping[str, float]
    roll_departure: float | None
    scatter: Mapping[str, float]


def ways_for(now: Delivered, golfer: Golfer, body: Body, trouble: Trouble) -> list[Way]:
    """Every way that applies, worked out; radians."""
    face, shares, roll = trouble.face, trouble.shares, trouble.roll_departure
    limits = _shown_range(golfer.wrist_range, now)
    ways = [
        _flexed_early(now, limits, face),
        _flexed_in_transition(now, limits, face),
        _grip(now),
        _posture(now, body),
        (Change(), "leave_as_is", ()),
    ]
    if abs(face) >= 1.0 * DEG or now.shaft_open > 8.0 * DEG:
        ways.append(_rolled_late(now))
    if abs(face) >= 1.0 * DEG or abs(face - trouble.path) >= CURVE_PATH_DEG * DEG:
        ways.append((Change(), "keep_shape", ("aim so that the usual ball finishes at the target",)))
    if abs(face) >= 2.0 * DEG:
        amount = amount_that_squares(now, Change(), "trail", -GRIP_LIMIT_DEG * DEG, GRIP_LIMIT_DEG * DEG)
        ways.append((Change(trail=amount), "trail_hand_grip", ()))
    if roll is not None and abs(roll) >= 3.0 * DEG and roll * face < 0.0:
        ways.append((Change(roll=-roll, level_roll=-0.5 * roll), "forearm_roll", ()))
    elif trouble.scatter.get("forearm_roll", 0.0) >= 1.5 * DEG:
        ways.append((Change(), "forearm_roll", ()))
    if shares["shaft_lean"] * face > 0.0 and abs(shares["shaft_lean"]) >= 1.0 * DEG:
        ways.append((Change(lean=_back_to_usual(now)), "shaft_lean", ()))
    if 0.7 * DEG <= abs(face) <= 6.5 * DEG:
        amount = amount_that_squares(now, Change(), "ball_forward", -BALL_LIMIT_M, BALL_LIMIT_M)
        ways.append((Change(ball_forward=amount), "ball_position", ()))
    if abs(now.aim) >= 1.5 * DEG:
        ways.append((Change(aim=-now.aim), "aim", ()))
    return [_finished(name, change, needs, now, golfer, body, limits) for change, name, needs in ways]


_Draft = tuple[Change, WayName, tuple[str, ...]]


def _back_to_usual(now: Delivered) -> float:
    """Lean that squares the face, never past what is usual: a lean on the other side would be a new fault."""
    low, high = sorted((0.0, float(np.clip(-now.lean, -LEAN_LIMIT_DEG * DEG, LEAN_LIMIT_DEG * DEG))))
    return amount_that_squares(now, Change(), "lean", low, high)


def already_closed(now: Delivered, face: float) -> bool:
    """Whether more bow would close a face that is closed already, at impact or coming down."""
    return face < -CLOSED_DEG * DEG or (now.shaft_open < -8.0 * CLOSED_DEG * DEG and face < 3.0 * CLOSED_DEG * DEG)


def _flexed_early(now: Delivered, limits: WristRange, face: float) -> _Draft:
    """Bowed by the top, the face down with the spine at shaft level, released through the ball."""
    if already_closed(now, face):
        return Change(), "flexed_early", ()
    room_top = most_flexion(now.set_top / DEG, limits) * DEG
    top = min(max(EARLY_TOP_DEG * DEG, now.flexion_top), room_top) - now.flexion_top
    level = _level_change(now, limits, 1.0)
    impact = _impact_change(now, limits, Change(level_flexion=level))
    return Change(flexion=impact, level_flexion=level, top=max(top, min(level, 0.0))), "flexed_early", ()


def _flexed_in_transition(now: Delivered, limits: WristRange, face: float) -> _Draft:
    """The top stays; the bow comes between top and shaft level."""
    if already_closed(now, face):
        return Change(), "flexed_in_transition", ()
    level = _level_change(now, limits, 1.0 - TRANSITION_LEAVES)
    impact = _impact_change(now, limits, Change(level_flexion=level))
    return Change(flexion=impact, level_flexion=level), "flexed_in_transition", ()


def _level_change(now: Delivered, limits: WristRange, share: float) -> float:
    wanted = share * max(now.shaft_open, 0.0) / sin(now.chi_level)
    room = most_flexion(0.6 * now.set_top / DEG, limits) * DEG - now.flexion_level
    return min(wanted, max(room, 0.0))


def _impact_change(now: Delivered, limits: WristRange, with_change: Change) -> float:
    most = min(most_flexion(5.0, limits), MOST_BOWED_AT_IMPACT_DEG) * DEG
    least = LEAST_BOWED_AT_IMPACT_DEG * DEG
    low, high = min(least - now.flexion_impact, 0.0), max(most - now.flexion_impact, 0.0)
    return amount_that_squares(now, with_change, "flexion", low, high)


def _grip(now: Delivered) -> _Draft:
    amount = amount_that_squares(now, Change(), "grip", -GRIP_LIMIT_DEG * DEG, GRIP_LIMIT_DEG * DEG)
    return Change(grip=amount), "grip", ()


def _posture(now: Delivered, body: Body) -> _Draft:
    """Give back what the handle has been raised beyond the square delivery, and the bend lost coming down; never more."""
    kept = min(max(body.hidden, 0.0), max(now.shaft_open, 0.0)) if body.hidden > 3.0 * DEG else 0.0
    return Change(raised=-now.raised, level_bend=kept), "posture", ()


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
    change, joined = _with_partner(name, change, now)
    for partner in joined:
        effort += 0.5 * _TABLE[partner][0]
    effort *= 1.0 + _size(change) / (12.0 * DEG)
    used = max(
        range_used((now.flexion_top + change.top) / DEG, now.set_top / DEG, limits),
        range_used((now.flexion_impact + change.flexion) / DEG, 5.0, limits),
        range_used((now.flexion_level + change.level_flexion) / DEG, 0.6 * now.set_top / DEG, limits),
    )
    steadies = name == "forearm_roll" and change == Change()
    way = Way(name, change, effort, order, roots, used, needs, (), joined, steadies)
    if way.idle:
        return way
    return replace(way, needs=needs + _body_needs(name, change, body), cautions=_cautions(name, golfer, used))


def _with_partner(name: WayName, change: Change, now: Delivered) -> tuple[Change, tuple[WayName, ...]]:
    """The change with as much of its partner as squares the face, where it leaves the face off alone."""
    if name not in _PARTNER or change == Change():
        return change, ()
    if abs(outcome_of(now, change).face) <= LEFT_OVER_DEG * DEG:
        return change, ()
    partner, part, most = _PARTNER[name]
    amount = amount_that_squares(now, change, part, -most, most)
    return replace(change, **{part: amount}), (partner,)


def _size(change: Change) -> float:
    """How much moves, radians: the largest part; a centimetre of ball position counts as a degree."""
    angles = (change.flexion, change.roll, change.grip, change.lean, change.raised, change.aim)
    ball = abs(change.ball_forward) / 0.01 * DEG
    coming_down = (abs(change.level_flexion), abs(change.level_bend), abs(change.top))
    return max(*(abs(a) for a in angles), *coming_down, abs(change.trail), ball)


def _body_needs(name: WayName, change: Change, body: Body) -> tuple[str, ...]:
    out = []
    chest = None if change.lean < 0.0 else CHEST_NEEDED_DEG.get(name)
    if name == "posture" and not body.bend_seen:
        out.append("see the forward bend first: nobody has looked at it yet")
    if chest is not None and (body.chest is None or body.chest < chest):
        seen = "" if body.chest is None else f" (now about {body.chest:.0f}°)"
        out.append(f"turn the chest further through: about {chest:.0f}° open at impact{seen}")
    if name == "flexed_early" and body.pelvis is not None and body.pelvis < PELVIS_NEEDED_DEG:
        out.append(
            f"turn the pelvis further: about {PELVIS_NEEDED_DEG:.0f}° open at impact (now about {body.pelvis:.0f}°)"
        )
    if name not in ("posture", "leave_as_is") and body.bend_lost is not None and body.bend_lost > 8.0:
        out.append("keep the forward bend")
    return tuple(out)


GROWING: Final[tuple[AgeGroup, ...]] = ("junior",)


def _cautions(name: WayName, golfer: Golfer, used: float) -> tuple[str, ...]:
    out = []
    if name in WRIST_WAYS:
        if wrist_hurts(golfer):
            out.append(
                "The wrist hurts: do not work on it now. A clinician looks first; stop at pain, numbness or clicking."
            )
        else:
            out.append("Build up slowly: slow swings first, few balls, off a tee. Stop at pain, numbness or clicking.")
        if golfer.age_group in GROWING:
            out.append("Still growing: little of it, no forced end of range.")
        if used > 0.8:
            out.append("This uses most of what the wrist can do.")
    if near_event(golfer) and name not in KEEPING:
        out.append(f"The event is near: {_days(golfer)}. Nothing new in the three weeks before it.")
    if name in ("posture", "flexed_early", "shaft_lean") and back_hurts(golfer):
        out.append("The back hurts: more bend or turn loads it near impact. Clearance from a clinician first.")
    return tuple(out)


def near_event(golfer: Golfer) -> bool:
    """Whether the next event is within three weeks: nothing new is built then (common practice, no source)."""
    return golfer.event_in_days is not None and 0 <= golfer.event_in_days < EVENT_DAYS


def _days(golfer: Golfer) -> str:
    days = golfer.event_in_days
    return {0: "it is today", 1: "one day left"}.get(days or 0, f"{days} days left")


def wrist_hurts(golfer: Golfer) -> bool:
    """Pain or numbness at the wrist, hand or forearm, in the golfer's words; numbness counts wherever it is."""
    return _hurts(golfer.pain, ("wrist", "hand", "thumb", "finger", "forearm", "elbow", "numb", "tingl"))


def back_hurts(golfer: Golfer) -> bool:
    """Pain at the back or hip, in the golfer's words."""
    return _hurts(golfer.pain, ("back", "spine", "hip", "lumbar"))


def _hurts(places: Sequence[str], words: tuple[str, ...]) -> bool:
    return any(w in place.lower() for place in places for w in words)

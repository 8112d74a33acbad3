"""The case: all readings of one golfer with one club. Plain data; what follows from it is worked out elsewhere."""

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, Literal, TypeVar, TypeVarTuple

from ferrule.club.clubs import Club
from ferrule.coaching.quantities import GRIP_TURN, QUANTITIES, Quantity
from ferrule.frames.handedness import Handedness

if TYPE_CHECKING:
    from ferrule.coaching.eye import EyeBias

How = Literal["sensor", "video", "ball", "typed", "by_eye", "assumed"]
HOWS: Final[tuple[How, ...]] = ("sensor", "video", "ball", "typed", "by_eye", "assumed")
AgeGroup = Literal["junior", "adult", "senior"]
Miss = Literal["right", "left", "straight", "both"]
Gear = Literal["eye", "video", "sensor", "ball"]
Found = TypeVar("Found")
Given = TypeVarTuple("Given")


@dataclass(frozen=True, slots=True)
class Reading:
    """A number with doubt and how it was got. value and sd in the unit of its key; sd None: the default applies."""

    value: float
    sd: float | None = None
    how: How = "typed"

    def doubt(self, quantity: Quantity) -> float:
        """Standard deviation in the unit of the key: as given, else the default for how it was got."""
        if self.sd is not None:
            return self.sd
        if self.how == "by_eye" and quantity.sd_by_eye is not None:
            return quantity.sd_by_eye
        return quantity.sd

    def negated(self) -> "Reading":
        """The reading seen in the mirror."""
        return replace(self, value=-self.value)


@dataclass(frozen=True, slots=True)
class WristRange:
    """How far this golfer's lead wrist goes, degrees, all positive. Defaults: AAOS means (science.md B01-B04)."""

    flexion: float = 80.0
    extension: float = 70.0
    radial: float = 20.0
    ulnar: float = 30.0
    measured: bool = False


@dataclass(frozen=True, slots=True)
class Golfer:
    """Who it is about. misses in world words (right, left); pain: places, in the golfer's words; event_in_days: days to
    the next event that matters, None when there is none.
    """

    handedness: Handedness
    big_miss: Miss | None = None
    other_miss: Miss | None = None
    pain: tuple[str, ...] = ()
    age_group: AgeGroup = "adult"
    wrist_range: WristRange = WristRange()
    event_in_days: int | None = None


@dataclass(frozen=True, slots=True)
class Setting:
    """Where it happens. at_hand: what the coach can look with today; flight_seen_m: how far a ball can be watched."""

    surface: str | None = None
    flight_seen_m: float | None = None
    ball: str | None = None
    at_hand: tuple[Gear, ...] = ("eye", "ball")


@dataclass(frozen=True, slots=True)
class Tried:
    """A feel the golfer tried in this swing, in words, and how much of it (1 = as told, 2 = twice)."""

    feel: str
    amount: float = 1.0


@dataclass(frozen=True, slots=True)
class CaseSwing:
    """One swing's readings by glossary key. shape: one of the start-and-bend words; mount: name of a sensor mounting;
    zeroed: what that mounting adds to the face was learned and has been taken out of its reading; number: by which the
    coach knows it, None for its place in the case.
    """

    readings: Mapping[str, Reading] = field(default_factory=lambda: MappingProxyType({}))
    mount: str | None = None
    strike: str | None = None
    shape: str | None = None
    tried: Tried | None = None
    zeroed: bool = False
    number: int | None = None

    def get(self, key: str) -> Reading | None:
        """The reading of this key, or None."""
        return self.readings.get(key)


class Swings(tuple[CaseSwing, ...]):
    """The swings that one question is about, with what was found out from all of them: each thing once, however many ask."""

    @cached_property
    def _found(self) -> dict[Hashable, Any]:
        return {}

    def once(self, work_out: Callable[["Swings", *Given], Found], *given: *Given) -> Found:
        """What this function of the swings, and of what else is given, says of them."""
        key = (work_out, given)
        if key not in self._found:
            self._found[key] = work_out(self, *given)
        found: Found = self._found[key]
        return found


@dataclass(frozen=True, slots=True)
class Case:
    """All readings of one golfer with one club, untouched swings and tries alike.

    reference: overrides of the reference delivery by key (flexion_deg, lean_deg, forearm_roll_deg, chi_deg,
    handle_raise_deg), degrees. same_lesson: this golfer's cases with other clubs, worn with the same mountings; eye: what
    is known of the coach's eye, by kind of reading. Neither is evidence itself: they set right what is
    (`analysis.self_calibration`).
    """

    golfer: Golfer
    club: Club
    swings: Sequence[CaseSwing] = ()
    grip_turn: Reading | None = None
    reference: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    setting: Setting = Setting()
    same_lesson: Sequence["Case"] = ()
    eye: Mapping[str, "EyeBias"] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def untouched(self) -> list[CaseSwing]:
        """Swings in which no feel was tried: the golfer's own delivery."""
        return [s for s in self.swings if s.tried is None]


def mirrored(case: Case) -> Case:
    """The same golfer in the mirror: world quantities, shapes and misses swap sides, body quantities stay.

    A left-handed case becomes the right-handed one that has the same degrees open or closed, and the reverse.
    """
    hand: Handedness = "left" if case.golfer.handedness == "right" else "right"
    golfer = replace(
        case.golfer,
        handedness=hand,
        big_miss=_other_side(case.golfer.big_miss),
        other_miss=_other_side(case.golfer.other_miss),
    )
    return replace(
        case,
        golfer=golfer,
        swings=tuple(_mirrored_swing(s) for s in case.swings),
        same_lesson=tuple(mirrored(c) for c in case.same_lesson),
        eye=MappingProxyType({kind: e.negated() if _is_world(kind) else e for kind, e in case.eye.items()}),
    )


def as_right_handed(case: Case) -> Case:
    """Mirror a left-handed golfer's case; leave a right-handed one alone."""
    return mirrored(case) if case.golfer.handedness == "left" else case


def quantity_of(key: str) -> Quantity:
    """Glossary entry of a swing key or of `grip_turn_deg`."""
    return GRIP_TURN if key == GRIP_TURN.key else QUANTITIES[key]


def _is_world(kind: str) -> bool:
    return kind in QUANTITIES and QUANTITIES[kind].frame == "world"


def _mirrored_swing(swing: CaseSwing) -> CaseSwing:
    readings = {k: r.negated() if _is_world(k) else r for k, r in swing.readings.items()}
    # Shape words (push, fade...) belong to the hand and stay as they are; toe and heel belong to the club.
    return replace(swing, readings=MappingProxyType(readings))


def _other_side(miss: Miss | None) -> Miss | None:
    if miss == "right":
        return "left"
    if miss == "left":
        return "right"
    return miss

"""CASE.json in: schema 1 of the machine interface. Everything is checked first, and all faults are told together."""

import difflib
import json
from collections.abc import Iterable, Mapping
from math import isfinite
from types import MappingProxyType
from typing import Any, Final, cast, get_args

from ferrule.club.clubs import Club, club_with
from ferrule.coaching.case import (
    HOWS,
    AgeGroup,
    Case,
    CaseSwing,
    Gear,
    Golfer,
    How,
    Miss,
    Reading,
    Setting,
    Tried,
    WristRange,
)
from ferrule.coaching.quantities import EVENTS, GRIP_TURN, QUANTITIES, SHAPES, STRIKES, Quantity
from ferrule.errors import InputError, Issue, fault
from ferrule.frames.handedness import Handedness
from ferrule.units import DEG

SCHEMA: Final = 1
LARGEST_BYTES: Final = 5_000_000
REFERENCE: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "flexion_deg": (-40.0, 50.0),
        "lean_deg": (-15.0, 30.0),
        "forearm_roll_deg": (-60.0, 60.0),
        "chi_deg": (1.0, 80.0),
        "handle_raise_deg": (-10.0, 20.0),
    }
)
_TOP: Final = ("schema", "golfer", "setting", "club", "reference", "grip_turn_deg", "swings")
_GOLFER: Final = ("handedness", "misses", "pain", "age_group", "wrist_range_deg", "event_in_days")
_SETTING: Final = ("surface", "flight_seen_m", "ball", "at_hand")
_CLUB: Final = ("name", "loft_deg", "lie_deg", "length_m", "head_mass_kg")
_SWING_PLAIN: Final = ("mount", "strike", "tried")
_CARRY_MARGIN_M: Final = 10.0
_MISSES: Final = get_args(Miss)


def read_case(text: str | bytes) -> tuple[Case, list[Issue]]:
    """A case from the text of CASE.json, with remarks on accepted but unusual values.

    Raises InputError with every fault found, unknown keys first.
    """
    if len(text) > LARGEST_BYTES:
        raise InputError.of(
            "too_large",
            "case",
            expected=f"a case of at most {LARGEST_BYTES // 1_000_000} MB of JSON",
            got=f"{len(text) / 1e6:.0f} MB",
            cause="a recording or another file was given in place of a case",
            do="Recordings go through `ferrule analyse`.",
        )
    try:
        data = json.loads(text, parse_constant=lambda name: name, object_pairs_hook=_no_duplicates)
    except (ValueError, RecursionError) as error:
        raise InputError.of(
            "not_json",
            "case",
            expected="JSON text",
            got="nothing" if not text.strip() else f"text that cannot be read as JSON ({error})",
            cause="the file is cut short or is of another kind",
            do="Check the file.",
        ) from None
    return case_from_data(data)


def case_from_data(data: object) -> tuple[Case, list[Issue]]:
    """A case from parsed JSON; see `read_case`."""
    reader = _Reader()
    case = reader.case(data)
    faults = reader.unknown + reader.faults
    if faults or case is None:
        raise InputError(faults)
    return case, reader.remarks


def _no_duplicates(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    if len(out) != len(pairs):
        names = [k for k, _ in pairs]
        twice = sorted({k for k in names if names.count(k) > 1})
        raise ValueError(f"the key {twice[0]!r} stands twice in one object")
    return out


class _Reader:
    """Walks the parsed JSON once and gathers every fault."""

    def __init__(self) -> None:
        self.unknown: list[Issue] = []
        self.faults: list[Issue] = []
        self.remarks: list[Issue] = []

    def case(self, data: object) -> Case | None:
        top = self.object(data, "case", _TOP)
        if top is None:
            if not self.faults:
                self.fail("type", "case", "an object", "null")
            return None
        if top.get("schema", SCHEMA) != SCHEMA or isinstance(top.get("schema"), bool):
            self.fail("schema", "schema", f"schema {SCHEMA}", repr(top.get("schema")), "a newer Ferrule wrote it")
        golfer = self.golfer(top.get("golfer"))
        club = self.club(top.get("club"))
        reference = self.reference(top.get("reference"))
        grip = self.reading(top.get("grip_turn_deg"), "grip_turn_deg", GRIP_TURN)
        setting = self.setting(top.get("setting"))
        swings = self.swings(top.get("swings"))
        if golfer is None or club is None or self.faults or self.unknown:
            return None
        return Case(golfer, club, tuple(swings), grip, reference, setting)

    # -- parts ---------------------------------------------------------------------------------------------------

    def golfer(self, data: object) -> Golfer | None:
        if data is None:
            self.fail("missing", "golfer", 'an object with at least "handedness"', "nothing")
            return None
        values = self.object(data, "golfer", _GOLFER)
        if values is None:
            return None
        hand = self.choice(values.get("handedness"), "golfer.handedness", ("right", "left"), required=True)
        misses = self.object(values.get("misses"), "golfer.misses", ("big", "other")) or {}
        big = self.choice(misses.get("big"), "golfer.misses.big", _MISSES)
        other = self.choice(misses.get("other"), "golfer.misses.other", _MISSES)
        pain = self.texts(values.get("pain"), "golfer.pain")
        age = self.choice(values.get("age_group"), "golfer.age_group", get_args(AgeGroup)) or "adult"
        wrist = self.wrist_range(values.get("wrist_range_deg"))
        event = values.get("event_in_days")
        days = None if event is None else self.number(event, "golfer.event_in_days", 0.0, 2000.0)
        if hand is None:
            return None
        return Golfer(
            cast("Handedness", hand),
            cast("Miss | None", big),
            cast("Miss | None", other),
            pain,
            cast("AgeGroup", age),
            wrist,
            None if days is None else int(days),
        )

    def wrist_range(self, data: object) -> WristRange:
        values = self.object(data, "golfer.wrist_range_deg", ("flexion", "extension", "radial", "ulnar")) or {}
        known = WristRange()
        got: dict[str, float] = {}
        for name in values:
            number = self.number(values[name], f"golfer.wrist_range_deg.{name}", 0.0, 120.0)
            if number is not None:
                got[name] = number
        return WristRange(
            got.get("flexion", known.flexion),
            got.get("extension", known.extension),
            got.get("radial", known.radial),
            got.get("ulnar", known.ulnar),
            measured=bool(got),
        )

    def club(self, data: object) -> Club | None:
        if data is None:
            self.fail("missing", "club", 'an object with at least "name"', "nothing")
            return None
        values = self.object(data, "club", _CLUB)
        if values is None:
            return None
        name = values.get("name")
        if not isinstance(name, str) or not name.strip():
            self.fail("missing", "club.name", 'the name of the club, for example "7-iron"', _shown(name))
            return None
        loft = self.number(values.get("loft_deg"), "club.loft_deg", 0.0, 75.0)
        lie = self.number(values.get("lie_deg"), "club.lie_deg", 45.0, 80.0)
        length = self.number(values.get("length_m"), "club.length_m", 0.4, 1.3)
        mass = self.number(values.get("head_mass_kg"), "club.head_mass_kg", 0.1, 0.5)
        try:
            return club_with(
                name,
                loft=None if loft is None else loft * DEG,
                lie=None if lie is None else lie * DEG,
                length=length,
                head_mass=mass,
            )
        except InputError as error:
            self.faults.extend(error.faults)
            return None

    def reference(self, data: object) -> Mapping[str, float]:
        values = self.object(data, "reference", tuple(REFERENCE)) or {}
        out = {}
        for name, raw in values.items():
            low, high = REFERENCE[name]
            plain = raw.get("value") if isinstance(raw, dict) else raw
            number = self.number(plain, f"reference.{name}", low, high)
            if number is not None:
                out[name] = number
        return MappingProxyType(out)

    def setting(self, data: object) -> Setting:
        values = self.object(data, "setting", _SETTING) or {}
        gear = self.texts(values.get("at_hand"), "setting.at_hand", get_args(Gear))
        return Setting(
            self.text(values.get("surface"), "setting.surface"),
            self.number(values.get("flight_seen_m"), "setting.flight_seen_m", 0.0, 400.0),
            self.text(values.get("ball"), "setting.ball"),
            cast("tuple[Gear, ...]", gear) if "at_hand" in values else Setting().at_hand,
        )

    def swings(self, data: object) -> list[CaseSwing]:
        if data is None:
            return []
        if not isinstance(data, list):
            self.fail("type", "swings", "a list of swings", _shown(data))
            return []
        return [self.swing(item, f"swings[{i}]") for i, item in enumerate(data)]

    def swing(self, data: object, where: str) -> CaseSwing:
        groups = _groups()
        values = self.object(data, where, (*_SWING_PLAIN, *groups)) or {}
        readings: dict[str, Reading] = {}
        shape = None
        for name, raw in values.items():
            if name in _SWING_PLAIN:
                continue
            if name == "ball" and isinstance(raw, dict) and "shape" in raw:
                shape = self.choice(raw["shape"], f"{where}.ball.shape", SHAPES)
                raw = {k: v for k, v in raw.items() if k != "shape"}  # noqa: PLW2901
            self.leaf(raw, name, f"{where}.{name}", readings)
        side, carry = readings.get("ball.side_m"), readings.get("ball.carry_m")
        if side is not None and carry is not None and abs(side.value) > carry.value + _CARRY_MARGIN_M:
            self.fail(
                "beyond_carry",
                f"{where}.ball.side_m",
                f"no further to a side than the ball carries ({carry.value:g} m from here to where it lands)",
                f"{side.value:g}",
                "the two were mixed up, or another unit",
                "Check both.",
            )
        return CaseSwing(
            MappingProxyType(readings),
            self.text(values.get("mount"), f"{where}.mount"),
            self.choice(values.get("strike"), f"{where}.strike", STRIKES),
            shape,
            self.tried(values.get("tried"), f"{where}.tried"),
        )

    def leaf(self, raw: object, key: str, where: str, readings: dict[str, Reading]) -> None:
        """Take a number where the glossary has one, else walk one level down."""
        if key in QUANTITIES:
            reading = self.reading(raw, where, QUANTITIES[key])
            if reading is not None:
                readings[key] = reading
            return
        below = _below(key)
        values = self.object(raw, where, (*below, "shape") if key == "ball" else below) or {}
        for name, inner in values.items():
            self.leaf(inner, f"{key}.{name}", f"{where}.{name}", readings)

    def tried(self, data: object, where: str) -> Tried | None:
        if data is None:
            return None
        values = self.object(data, where, ("feel", "amount"))
        if values is None:
            return None
        feel = self.text(values.get("feel"), f"{where}.feel")
        amount = self.number(values.get("amount", 1.0), f"{where}.amount", -10.0, 10.0)
        if feel is None:
            self.fail("missing", f"{where}.feel", "the feel in words", "nothing")
            return None
        return Tried(feel, 1.0 if amount is None else amount)

    # -- leaves --------------------------------------------------------------------------------------------------

    def reading(self, raw: object, where: str, quantity: Quantity) -> Reading | None:
        if raw is None:
            return None
        how: How = "typed"
        sd = None
        if isinstance(raw, dict):
            values = self.object(raw, where, ("value", "sd", "how"))
            if values is None:
                return None
            if "value" not in values:
                self.fail("missing", f"{where}.value", "a number", "nothing")
                return None
            how = cast("How", self.choice(values.get("how"), f"{where}.how", HOWS) or "typed")
            sd = self.number(values.get("sd"), f"{where}.sd", 0.0, 180.0)
            raw = values["value"]
        number = self.number(raw, where, quantity.low, quantity.high, quantity)
        if number is None:
            return None
        low, high = quantity.usual_low, quantity.usual_high
        if (low is not None and number < low) or (high is not None and number > high):
            self.remarks.append(
                Issue(
                    "unusual_angle",
                    "warning",
                    where,
                    f"{where}: {number:g} is beyond the usual {low:g} to {high:g} degrees of a healthy wrist"
                    " (AAOS means). Check the sign and the zero of the device.",
                )
            )
        return Reading(number, sd, how)

    def number(
        self, raw: object, where: str, low: float, high: float, quantity: Quantity | None = None
    ) -> float | None:
        if raw is None:
            return None
        if isinstance(raw, bool) or not isinstance(raw, int | float):
            self.fail("type", where, "a number", _shown(raw), "a word or a list where a number belongs")
            return None
        number = float(raw)
        if not isfinite(number):
            self.fail("not_finite", where, "a finite number", _shown(raw))
            return None
        if low <= number <= high:
            return number
        anatomy = quantity is not None and quantity.usual_low is not None
        cause = "the sign or the zero of the device, or radians and degrees mixed" if anatomy else ""
        span = f"a number between {low:g} and {high:g}"
        if anatomy and quantity is not None:
            span += f" ({quantity.words}; beyond that no wrist goes)"
        self.fail("beyond_anatomy" if anatomy else "out_of_range", where, span, f"{number:g}", cause, "Check it.")
        return None

    def choice(self, raw: object, where: str, allowed: Iterable[str], *, required: bool = False) -> str | None:
        words = tuple(allowed)
        if raw is None and not required:
            return None
        if isinstance(raw, str) and raw in words:
            return raw
        self.fail("choice", where, f"one of {', '.join(words)}", "nothing" if raw is None else _shown(raw))
        return None

    def text(self, raw: object, where: str) -> str | None:
        if raw is None:
            return None
        if isinstance(raw, str) and len(raw) <= 500:
            return raw
        self.fail("type", where, "a short text", _shown(raw))
        return None

    def texts(self, raw: object, where: str, allowed: Iterable[str] | None = None) -> tuple[str, ...]:
        if raw is None:
            return ()
        if not isinstance(raw, list):
            self.fail("type", where, "a list of words", _shown(raw))
            return ()
        found = []
        for i, item in enumerate(raw):
            place = f"{where}[{i}]"
            word = self.text(item, place) if allowed is None else self.choice(item, place, allowed, required=True)
            if word is not None:
                found.append(word)
        return tuple(found)

    def object(self, raw: object, where: str, known: Iterable[str]) -> dict[str, Any] | None:
        if raw is None:
            return None
        if not isinstance(raw, dict):
            self.fail("type", where, "an object", _shown(raw))
            return None
        names = tuple(known)
        for key in raw:
            if key not in names:
                self.unknown.append(_unknown_key(where, key, names))
        return {k: v for k, v in raw.items() if k in names}

    def fail(self, code: str, where: str, expected: str, got: str, cause: str = "", do: str = "") -> None:
        self.faults.append(fault(code, where, expected=expected, got=got, cause=cause, do=do))


def _unknown_key(where: str, key: str, names: tuple[str, ...]) -> Issue:
    near = difflib.get_close_matches(key, names, 1)
    return fault(
        "unknown_key",
        where,
        expected=f"only the keys {', '.join(names)}",
        got=f"the unknown key {key!r}",
        cause=f"{near[0]!r} is meant" if near else "",
        do="Nothing is guessed from a key that is not known: correct or remove it.",
    )


def _shown(raw: object) -> str:
    text = repr(raw)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _groups() -> tuple[str, ...]:
    return tuple(dict.fromkeys(key.split(".")[0] for key in QUANTITIES))


def _below(key: str) -> tuple[str, ...]:
    if key in ("wrist", "trail_wrist"):
        return EVENTS
    depth = key.count(".") + 1
    return tuple(dict.fromkeys(k.split(".")[depth] for k in QUANTITIES if k.startswith(f"{key}.")))

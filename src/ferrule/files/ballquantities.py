"""The quantities of LAUNCH.json and DELIVERY.json: keys, what is possible at all, and what a wrong value usually means.

A number may be bare or `{"value": ..., "sd": ..., "how": ...}`. All faults are gathered: unknown keys by name first.
"""

import difflib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from types import MappingProxyType
from typing import Any, Final

from ferrule.errors import InputError, Issue, fault

SCHEMA: Final = 1
LARGEST_BYTES: Final = 1_000_000
HOWS: Final = ("sensor", "video", "ball", "typed", "by_eye", "assumed")
Answer = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Limits:
    """Smallest and largest value that is possible at all, in the unit of the key, with what lies behind others."""

    low: float
    high: float
    unit: str
    cause: str = ""
    do: str = ""


_SPEED_DO: Final = "Speeds are in metres a second: miles an hour times 0.447, km/h divided by 3.6."
_ANGLE: Final = "another unit, or the number of another column"
LIMITS: Final[Mapping[str, Limits]] = MappingProxyType(
    {
        "ball_speed_mps": Limits(0.5, 110.0, "m/s", "miles or kilometres an hour typed as m/s, or a sign", _SPEED_DO),
        "launch_deg": Limits(-20.0, 89.0, "degrees", _ANGLE),
        "azimuth_deg": Limits(-90.0, 90.0, "degrees", _ANGLE),
        "spin_rpm": Limits(0.0, 20_000.0, "revolutions a minute", "another unit, or a sign (the tilt holds the side)"),
        "axis_tilt_deg": Limits(-90.0, 90.0, "degrees", _ANGLE),
        "axis_heading_deg": Limits(-90.0, 90.0, "degrees", _ANGLE),
        "altitude_m": Limits(-450.0, 6000.0, "metres", "feet typed as metres", "One foot is 0.3048 m."),
        "temperature_c": Limits(-40.0, 60.0, "degrees Celsius", "Fahrenheit typed as Celsius", "C = (F - 32) / 1.8."),
        "pressure_hpa": Limits(400.0, 1100.0, "hPa, as measured there", "pascals or mmHg typed as hPa"),
        "humidity_percent": Limits(0.0, 100.0, "per cent"),
        "density_kgpm3": Limits(0.0, 2.0, "kg/m3"),
        "wind_roughness_m": Limits(1e-4, 2.0, "metres"),
        "face_deg": Limits(-60.0, 60.0, "degrees, + right of the target", _ANGLE),
        "path_deg": Limits(-45.0, 45.0, "degrees, + right of the target", _ANGLE),
        "attack_deg": Limits(-30.0, 30.0, "degrees, + upwards", _ANGLE),
        "delivered_loft_deg": Limits(-5.0, 85.0, "degrees", _ANGLE),
        "club_speed_mps": Limits(0.5, 75.0, "m/s", "miles or kilometres an hour typed as m/s, or a sign", _SPEED_DO),
        "head_mass_kg": Limits(0.1, 0.6, "kg", "grams typed as kilograms", "200 g is 0.2 kg."),
        "loft_deg": Limits(1.0, 75.0, "degrees", _ANGLE),
        "lie_deg": Limits(45.0, 80.0, "degrees", _ANGLE),
        "length_m": Limits(0.45, 1.25, "metres", "inches or centimetres typed as metres", "One inch is 0.0254 m."),
        "restitution": Limits(0.0, 1.0, "(a ratio)"),
        "tangential_restitution": Limits(0.0, 1.0, "(a ratio)"),
        "friction": Limits(0.0, 2.0, "(a ratio)"),
        "toe_mm": Limits(-60.0, 60.0, "millimetres, + towards the toe", "metres or inches"),
        "high_mm": Limits(-40.0, 40.0, "millimetres, + towards the crown", "metres or inches"),
    }
)


@dataclass(frozen=True, slots=True)
class Number:
    """A number as it came: value and sd (0 when none was given) in the unit of its key."""

    value: float
    sd: float = 0.0


def object_from_text(source: str | bytes | Mapping[str, Any], what: str) -> Any:
    """Parsed JSON of a launch or delivery; a mapping is taken as it is. Raises InputError when it is no JSON."""
    if isinstance(source, Mapping):
        return source
    if len(source) > LARGEST_BYTES:
        raise InputError.of(
            "too_large",
            what,
            expected=f"a {what} of a few lines of JSON",
            got=f"{len(source) / 1e6:.0f} MB",
            cause="another file was given",
        )
    try:
        return json.loads(source, parse_constant=lambda name: name, object_pairs_hook=_no_duplicates)
    except (ValueError, RecursionError) as error:
        raise InputError.of(
            "not_json",
            what,
            expected="JSON text",
            got="nothing" if not source.strip() else f"text that cannot be read as JSON ({error})",
            cause="the file is cut short or is of another kind",
            do="Check the file.",
        ) from None


def _no_duplicates(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    if len(out) != len(pairs):
        names = [k for k, _ in pairs]
        twice = next(k for k in names if names.count(k) > 1)
        raise ValueError(f"the key {twice!r} stands twice in one object")
    return out


class Reader:
    """Walks one object and gathers what is wrong with it; `finish` raises it all at once."""

    def __init__(self) -> None:
        self.unknown: list[Issue] = []
        self.faults: list[Issue] = []
        self.remarks: list[Issue] = []

    def finish(self) -> None:
        """Raise InputError if anything was wrong, unknown keys first."""
        if self.unknown or self.faults:
            raise InputError(self.unknown + self.faults)

    def object(self, data: Any, where: str, keys: tuple[str, ...]) -> dict[str, Any]:
        """The object's known keys; empty when it is none."""
        if data is None:
            return {}
        if not isinstance(data, Mapping):
            self.fail("type", where, "an object with named values", shown(data))
            return {}
        for key in data:
            if key not in keys:
                path = f"{where}.{key}" if where else str(key)
                near = difflib.get_close_matches(str(key), keys, 1, 0.5)
                do = f"Did you mean {near[0]!r}?" if near else ""
                self.unknown.append(
                    fault("unknown_key", path[:200], expected=f"one of {', '.join(keys)}", got=shown(key), do=do)
                )
        return {key: data[key] for key in keys if key in data}

    def number(self, values: Mapping[str, Any], key: str, where: str = "", required: bool = False) -> Number | None:
        """One quantity by its key, checked against LIMITS; None when missing or wrong."""
        path = f"{where}.{key}" if where else key
        raw = values.get(key)
        if raw is None:
            if required:
                limits = LIMITS[key]
                self.fail("missing", path, f"a number in {limits.unit}", "nothing")
            return None
        sd = 0.0
        if isinstance(raw, Mapping):
            parts = self.object(raw, path, ("value", "sd", "how"))
            how = parts.get("how")
            if how is not None and how not in HOWS:
                self.fail("choice", f"{path}.how", f"one of {', '.join(HOWS)}", shown(how))
            given = self.plain(parts["sd"], f"{path}.sd") if parts.get("sd") is not None else 0.0
            if given is not None and given < 0.0:
                self.fail("out_of_range", f"{path}.sd", "a spread of 0 or more", shown(given))
            sd = given or 0.0
            raw = parts.get("value")
            path = f"{path}.value"
        value = self.plain(raw, path)
        if value is None:
            return None
        limits = LIMITS[key]
        if not limits.low <= value <= limits.high:
            self.fail(
                "out_of_range",
                path,
                f"{limits.low:g} to {limits.high:g} {limits.unit}",
                shown(value),
                limits.cause,
                limits.do,
            )
            return None
        return Number(value, sd)

    def plain(self, raw: Any, where: str) -> float | None:
        """A finite number, or None with the fault noted. Words, booleans, NaN and infinity are refused."""
        if isinstance(raw, bool) or not isinstance(raw, int | float):
            cause = ""
            if raw in ("NaN", "Infinity", "-Infinity"):
                cause = "the program that wrote it had no value there: leave the key out"
            elif isinstance(raw, str):
                cause = "a number in quotes"
            self.fail("type", where, "a number", "nothing" if raw is None else shown(raw), cause)
            return None
        try:
            value = float(raw)
        except OverflowError:
            value = float("inf")
        if not isfinite(value):
            self.fail("not_finite", where, "a finite number", shown(raw))
            return None
        return value

    def choice(self, values: Mapping[str, Any], key: str, where: str, words: tuple[str, ...]) -> str | None:
        """One of a few words, or None."""
        raw = values.get(key)
        if raw is None:
            return None
        if not isinstance(raw, str) or raw not in words:
            self.fail("choice", f"{where}.{key}" if where else key, f"one of {', '.join(words)}", shown(raw))
            return None
        return raw

    def schema(self, values: Mapping[str, Any]) -> None:
        """`schema` is 1 or left out."""
        given = values.get("schema", SCHEMA)
        if given != SCHEMA or isinstance(given, bool):
            self.fail("schema", "schema", f"schema {SCHEMA}", shown(given), "another version wrote it")

    def fail(self, code: str, where: str, expected: str, got: str, cause: str = "", do: str = "") -> None:
        """Note one fault."""
        self.faults.append(fault(code, where, expected=expected, got=got, cause=cause, do=do))

    def remark(self, code: str, where: str, message: str, warning: bool = False) -> None:
        """Note something accepted but worth knowing."""
        self.remarks.append(Issue(code, "warning" if warning else "note", where, message))


def shown(value: Any) -> str:
    """A value in a message, cut short."""
    text = f"{value:g}" if isinstance(value, float) else repr(value) if not isinstance(value, int) else str(value)[:60]
    return text if len(text) <= 60 else text[:57] + "..."


def rounded(value: float, digits: int = 4) -> float | None:
    """A figure of an answer: rounded, never -0.0, None when there is none."""
    return round(value, digits) + 0.0 if isfinite(value) else None

"""A saved column mapping: how another layout's columns become ours. Units and signs are stated, never guessed.

    {"schema": 1, "name": "my device", "delimiter": ";", "decimal": ",", "header_lines": 2, "rate_hz": 500,
     "gyr_range_degps": 2000, "acc_range_g": 16,
     "columns": {"time_s": {"from": "Time", "unit": "ms"},
                 "forearm_acc_x_mps2": {"from": "AccX", "unit": "g", "sign": -1},
                 "hand_acc_x_mps2": {"from": "AccX", "unit": "g", "file": "hand"}, ...}}

`header_lines`: lines before the first row of numbers, the last of which holds the names (several are joined by a dot where
the first leaves cells empty: "IMU Gyroscope.X"). `rate_hz`: for files without a time column. `file`: "hand" for columns of
the second file where forearm and hand come in two.
"""

import difflib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite
from types import MappingProxyType
from typing import Any, Final, Literal

from ferrule.errors import InputError, Issue, fault
from ferrule.files.native import KNOWN, REQUIRED
from ferrule.units import DEG, GRAVITY

SCHEMA: Final = 1
UNITS: Final[Mapping[str, Mapping[str, float]]] = MappingProxyType(
    {
        "acc": {"m/s2": 1.0, "m/s^2": 1.0, "g": GRAVITY, "mg": GRAVITY / 1000.0},
        "gyr": {"rad/s": 1.0, "deg/s": DEG, "mdeg/s": DEG / 1000.0},
        "time": {"s": 1.0, "ms": 1e-3, "us": 1e-6, "ns": 1e-9},
    }
)
_TOP: Final = (
    "schema", "name", "delimiter", "decimal", "header_lines", "rate_hz", "gyr_range_degps", "acc_range_g", "columns",
)  # fmt: skip
_COLUMN: Final = ("from", "unit", "sign", "file")
File = Literal["forearm", "hand"]


@dataclass(frozen=True, slots=True)
class Column:
    """One of our columns: its name in the file, the factor to SI (with sign), and which of two files it is in."""

    source: str
    factor: float = 1.0
    file: File = "forearm"


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """A checked mapping. delimiter and decimal None: found out. header_lines None: the first line without a #.

    rate_hz: rows a second where there is no time column. gyr_range rad/s, acc_range m/s^2.
    """

    columns: dict[str, Column]
    name: str = ""
    delimiter: str | None = None
    decimal: str = "."
    header_lines: int | None = None
    rate_hz: float | None = None
    gyr_range: float | None = None
    acc_range: float | None = None
    notes: tuple[Issue, ...] = field(default=())


def kind_of(column: str) -> str:
    """The kind of quantity of one of our columns: time, acc, gyr or phase."""
    if column == "time_s":
        return "time"
    return "phase" if column == "phase" else "acc" if "_acc_" in column else "gyr"


def native_mapping() -> ColumnMapping:
    """The mapping of our own layout: every column is itself."""
    return ColumnMapping({name: Column(name) for name in KNOWN}, name="native")


def read_mapping(text: str | bytes) -> ColumnMapping:
    """A mapping from its JSON. Raises InputError with every fault, unknown keys first."""
    try:
        given = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError.of(
            "mapping_not_json", "mapping", expected="a JSON object", got=f"text that is no JSON ({error})"[:200]
        ) from None
    if not isinstance(given, dict):
        raise InputError.of("mapping_not_json", "mapping", expected="a JSON object", got=type(given).__name__)
    return mapping_from(given)


def mapping_from(given: Mapping[str, Any]) -> ColumnMapping:
    """A mapping from its parsed JSON. Raises InputError with every fault, unknown keys first."""
    unknown: list[Issue] = [_unknown_key(key, _TOP, "mapping") for key in given if key not in _TOP]
    faults: list[Issue] = []
    if given.get("schema", SCHEMA) != SCHEMA:
        faults.append(fault("mapping_schema", "schema", expected=str(SCHEMA), got=repr(given.get("schema"))[:60]))
    columns_given = given.get("columns")
    columns: dict[str, Column] = {}
    if not isinstance(columns_given, Mapping):
        faults.append(
            fault("mapping_columns", "columns", expected="an object from our names to yours", got=_named(columns_given))
        )
        columns_given = {}
    for name, entry in columns_given.items():
        if name not in KNOWN:
            unknown.append(_unknown_key(str(name), KNOWN, "columns"))
            continue
        if isinstance(entry, str):
            entry = {"from": entry}  # noqa: PLW2901
        if not isinstance(entry, Mapping):
            faults.append(fault("mapping_column", name, expected='{"from": name, "unit": unit}', got=_named(entry)))
            continue
        unknown += [_unknown_key(str(key), _COLUMN, name) for key in entry if key not in _COLUMN]
        column, wrong = _column(name, entry)
        faults += wrong
        if column is not None:
            columns[name] = column
    absent = [name for name in REQUIRED if name not in columns_given and name != "time_s"]
    if absent and columns_given:
        faults.append(
            fault(
                "mapping_incomplete",
                "columns",
                expected="all axes of forearm and hand",
                got=f"no {', '.join(absent[:4])}" + (f" and {len(absent) - 4} more" if len(absent) > 4 else ""),
                do="Add them to the mapping",
            )
        )
    rate = _positive(given, "rate_hz", faults)
    if "time_s" not in columns_given and rate is None and columns_given:
        faults.append(fault("mapping_time", "time_s", expected="a time column, or rate_hz", got="neither"))
    lines = given.get("header_lines")
    if lines is not None and not (isinstance(lines, int) and not isinstance(lines, bool) and 0 < lines <= 50):
        faults.append(
            fault("mapping_value", "header_lines", expected="a whole number from 1 to 50", got=repr(lines)[:60])
        )
        lines = None
    delimiter = _one_of(given, "delimiter", (",", ";", "\t", "|", " "), None, faults)
    decimal = _one_of(given, "decimal", (".", ","), ".", faults) or "."
    gyr, acc = _positive(given, "gyr_range_degps", faults), _positive(given, "acc_range_g", faults)
    if unknown or faults:
        raise InputError([*unknown, *faults])
    return ColumnMapping(
        columns,
        str(given.get("name", "")),
        delimiter,
        decimal,
        lines,
        rate,
        None if gyr is None else gyr * DEG,
        None if acc is None else acc * GRAVITY,
    )


def _column(name: str, entry: Mapping[str, Any]) -> tuple[Column | None, list[Issue]]:
    kind = kind_of(name)
    source = entry.get("from")
    wrong: list[Issue] = []
    if not isinstance(source, str) or not source:
        wrong.append(fault("mapping_column", name, expected='the file\'s column name under "from"', got=_named(source)))
    factor = 1.0
    if kind != "phase":
        unit = entry.get("unit", next(iter(UNITS[kind])))
        if not isinstance(unit, str) or unit not in UNITS[kind]:
            wrong.append(fault("mapping_unit", name, expected=" or ".join(UNITS[kind]), got=repr(unit)[:60]))
        else:
            factor = UNITS[kind][unit]
    sign = entry.get("sign", 1)
    if isinstance(sign, bool) or sign not in (1, -1) or (kind in ("time", "phase") and sign != 1):
        wrong.append(
            fault("mapping_sign", name, expected="1 or -1" if kind in UNITS else "no sign", got=repr(sign)[:60])
        )
        sign = 1
    file = entry.get("file", "forearm")
    if file not in ("forearm", "hand"):
        wrong.append(fault("mapping_file", name, expected="forearm or hand", got=repr(file)[:60]))
        file = "forearm"
    return (None if wrong else Column(str(source), factor * sign, file)), wrong


def _unknown_key(key: str, known: tuple[str, ...], where: str) -> Issue:
    near = difflib.get_close_matches(key, known, 1)
    return fault(
        "unknown_key",
        where,
        expected="known keys",
        got=f'"{key[:60]}"',
        do=f'Did you mean "{near[0]}"?' if near else "",
    )


def _positive(given: Mapping[str, Any], key: str, faults: list[Issue]) -> float | None:
    value = given.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 < value < 1e9 or not isfinite(value):
        faults.append(fault("mapping_value", key, expected="a number above zero", got=repr(value)[:60]))
        return None
    return float(value)


def _one_of(
    given: Mapping[str, Any], key: str, choices: tuple[str, ...], default: str | None, faults: list[Issue]
) -> str | None:
    value = given.get(key, default)
    if value is not None and (not isinstance(value, str) or value not in choices):
        faults.append(fault("mapping_value", key, expected=" or ".join(map(repr, choices)), got=repr(value)[:60]))
        return default
    return value


def _named(value: object) -> str:
    return "nothing" if value is None else f"{type(value).__name__} {value!r}"[:60]

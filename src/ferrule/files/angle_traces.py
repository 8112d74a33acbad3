"""Ready-made wrist angles over time, CSV or Parquet. Sign, unit and zero are declared, or guessed, shown and confirmed.

    {"schema": 1, "kind": "angles", "name": "our device", "delimiter": ";", "decimal": ",", "header_lines": 1, "rate_hz": 200,
     "columns": {"time_s": {"from": "Time", "unit": "ms"},
                 "flexion": {"from": "FE", "unit": "deg", "rises_when": "cups", "zero_deg": 0},
                 "ulnar_deviation": {"from": "RUD", "unit": "deg", "rises_when": "sets", "zero_deg": 5},
                 "forearm_roll": {"from": "PS", "unit": "deg", "rises_when": "pronates"}, "event": "Label"},
     "events": [{"address": 0.4, "top": 1.2, "impact": 1.5}], "confirm": false}

`rises_when`: what the wrist does while the number rises. `zero_deg`: what the device shows at a straight wrist, in degrees.
What is left out is guessed from the data, and refused with the guess and its reason unless `confirm` is true.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, cast

import numpy as np
from numpy.typing import NDArray

from ferrule.analysis.angles import ANGLES, RISES, Angle, AngleTrace, swings_of_labels
from ferrule.errors import InputError, Issue, fault
from ferrule.files.ballquantities import Reader, object_from_text, shown
from ferrule.files.mapping import UNITS, Column, ColumnMapping
from ferrule.files.tables import Table, read_table
from ferrule.sensing.gaps import check_clock
from ferrule.signals.derivative import smoothed
from ferrule.swing.events import EVENTS, EventName
from ferrule.units import DEG

Floats = NDArray[np.float64]

FEWEST_ROWS: Final = 20
MOST_MISSING: Final = 0.2
_TOP: Final = (
    "schema", "kind", "name", "delimiter", "decimal", "header_lines", "rate_hz", "columns", "events", "confirm",
)  # fmt: skip
_ANGLE_UNITS: Final = {"deg": DEG, "rad": 1.0}
_TURN: Final = 3.5
"""A wrist stays within +-2 rad: numbers beyond this are degrees."""


@dataclass(frozen=True, slots=True)
class AngleColumn:
    """One angle: its column in the file; unit, sign and zero (degrees) as declared, None where not."""

    source: str
    unit: str | None
    sign: int | None
    zero_deg: float | None


@dataclass(frozen=True, slots=True)
class AngleMapping:
    """A checked mapping. table: how the file is read; angles: by name; events: as given; confirm: guesses are accepted."""

    table: ColumnMapping
    angles: dict[Angle, AngleColumn]
    events: tuple[dict[EventName, float], ...]
    confirm: bool
    name: str = ""


def read_angle_mapping(source: str | bytes | Mapping[str, Any]) -> AngleMapping:
    """A mapping from JSON text or its parsed object. Raises InputError with every fault, unknown keys first."""
    reader = Reader()
    data = object_from_text(source, "mapping")
    if not isinstance(data, Mapping):
        reader.fail("type", "mapping", "an object with named values", shown(data))
        reader.finish()
    values = reader.object(data, "", _TOP)
    reader.schema(values)
    if values.get("kind", "angles") != "angles":
        reader.fail("choice", "kind", '"angles"', shown(values.get("kind")))
    given = reader.object(values.get("columns"), "columns", ("time_s", *ANGLES, "event"))
    columns: dict[str, Column] = {}
    angles: dict[Angle, AngleColumn] = {}
    for key, raw in given.items():
        entry = {"from": raw} if isinstance(raw, str) else raw
        where = f"columns.{key}"
        known = ("from", "unit") if key == "time_s" else ("from",) if key == "event" else _KEYS
        entry = reader.object(entry, where, known)
        name = entry.get("from")
        if not isinstance(name, str) or not name:
            reader.fail("type", f"{where}.from", "the file's column name", shown(name))
            continue
        if key == "time_s":
            unit = reader.choice(entry, "unit", where, tuple(UNITS["time"])) or "s"
            columns[key] = Column(name, UNITS["time"][unit])
        elif key == "event":
            columns["phase"] = Column(name)  # read as text
        else:
            columns[key] = Column(name)
            angles[cast("Angle", key)] = _angle(entry, name, cast("Angle", key), where, reader)
    if "flexion" not in angles and not reader.faults and not reader.unknown:
        reader.fail("missing", "columns.flexion", "the column that shows the wrist bowed or cupped", "nothing")
    rate = _number(values, "rate_hz", 1.0, 1e5, reader)
    if "time_s" not in columns and rate is None:
        reader.fail("missing", "columns.time_s", "a time column, or rate_hz", "neither")
    delimiter, decimal = values.get("delimiter"), values.get("decimal", ".")
    if delimiter is not None and delimiter not in (",", ";", "\t", "|", " "):
        reader.fail("choice", "delimiter", "comma, semicolon, tab, bar or space", shown(delimiter))
    if decimal not in (".", ","):
        reader.fail("choice", "decimal", '"." or ","', shown(decimal))
    lines = values.get("header_lines")
    if lines is not None and not (isinstance(lines, int) and not isinstance(lines, bool) and 0 < lines <= 50):
        reader.fail("type", "header_lines", "a whole number from 1 to 50", shown(lines))
    confirm = values.get("confirm", False)
    if not isinstance(confirm, bool):
        reader.fail("type", "confirm", "true or false", shown(confirm))
    events = _events(values.get("events"), reader)
    reader.finish()
    name = str(values.get("name", ""))[:80]
    table = ColumnMapping(columns, name, delimiter, decimal, lines, rate)
    return AngleMapping(table, angles, events, confirm is True, name)


_KEYS: Final = ("from", "unit", "rises_when", "zero_deg")


def _angle(entry: Mapping[str, Any], source: str, angle: Angle, where: str, reader: Reader) -> AngleColumn:
    unit = reader.choice(entry, "unit", where, tuple(_ANGLE_UNITS))
    rises = reader.choice(entry, "rises_when", where, tuple(RISES[angle]))
    zero = _number(entry, "zero_deg", -360.0, 360.0, reader, where)
    return AngleColumn(source, unit, None if rises is None else RISES[angle][rises], zero)


def _number(
    values: Mapping[str, Any], key: str, low: float, high: float, reader: Reader, where: str = ""
) -> float | None:
    raw = values.get(key)
    if raw is None:
        return None
    if isinstance(raw, bool) or not isinstance(raw, int | float) or not low <= raw <= high:
        reader.fail("type", f"{where}.{key}" if where else key, f"a number from {low:g} to {high:g}", shown(raw))
        return None
    return float(raw)


def _events(raw: Any, reader: Reader) -> tuple[dict[EventName, float], ...]:
    if raw is None:
        return ()
    out: list[dict[EventName, float]] = []
    given = raw if isinstance(raw, list) else [raw]
    for i, one in enumerate(given[:500]):
        where = f"events[{i}]"
        swing: dict[EventName, float] = {}
        for name in reader.object(one, where, EVENTS):
            when = _number(one, name, -1e9, 1e9, reader, where)
            if when is not None:
                swing[cast("EventName", name)] = when
        if swing:
            out.append(swing)
    return tuple(out)


def read_angle_trace(
    source: str | Path | bytes, mapping: AngleMapping | Mapping[str, Any], name: str = ""
) -> tuple[AngleTrace, list[Issue]]:
    """Angles in radians with our signs, and what was guessed of them.

    Raises InputError with every fault found; also with every guess when something is not declared and not confirmed.
    """
    known = mapping if isinstance(mapping, AngleMapping) else read_angle_mapping(mapping)
    shown_name = name or (Path(source).name if isinstance(source, (str, Path)) else "angles")
    table = read_table(source, known.table, shown_name)
    lacking = [c.source for c in known.table.columns.values() if c.source not in table.header]
    if lacking:
        raise InputError(
            [
                fault(
                    "missing_column",
                    "columns",
                    expected=f'"{s[:60]}"',
                    got="no such column",
                    cause="the mapping belongs to another layout",
                )
                for s in lacking
            ]
        )
    time, raw, labels = _cleaned(table, known)
    issues: list[Issue] = []
    guesses: list[Issue] = []
    angles: dict[Angle, Floats] = {}
    zeros: set[Angle] = set()
    for angle, column in known.angles.items():
        series, told, zero_guessed = _converted(angle, column, raw[angle])
        angles[angle] = series
        guesses += told
        if zero_guessed:
            zeros.add(angle)
    if guesses and not known.confirm:
        raise InputError(
            [
                Issue(
                    g.code,
                    "fault",
                    g.where,
                    f"{g.message} Declare it in the mapping, or set confirm to true to accept it.",
                )
                for g in guesses
            ]
        )
    issues += guesses
    events = known.events or swings_of_labels(_labelled(time, labels))
    return AngleTrace(time, angles, events, frozenset(zeros)), issues


def _cleaned(table: Table, mapping: AngleMapping) -> tuple[Floats, dict[Angle, Floats], NDArray[np.str_] | None]:
    """Rows with a time and a rising clock, angles with NaN where missing. Faults are raised together."""
    raw = {angle: table.number(column.source) for angle, column in mapping.angles.items()}
    rows = len(next(iter(raw.values())))
    columns = mapping.table.columns
    if "time_s" in columns:
        time = table.number(columns["time_s"].source) * columns["time_s"].factor
    else:
        assert mapping.table.rate_hz is not None
        time = np.arange(rows) / mapping.table.rate_hz
    labels = table.text(columns["phase"].source) if "phase" in columns else None
    keep = np.abs(np.nan_to_num(time, nan=np.inf)) < 1e12
    time, raw = time[keep], {a: np.where(np.abs(v[keep]) < 1e4, v[keep], np.nan) for a, v in raw.items()}
    if labels is not None:
        labels = labels[keep]
    faults: list[Issue] = []
    if time.size < FEWEST_ROWS:
        faults.append(
            fault("too_few_rows", "rows", expected=f"at least {FEWEST_ROWS} rows of numbers", got=str(time.size))
        )
        raise InputError(faults)
    new = np.concatenate(([True], np.diff(time) != 0.0))
    if 0 < (~new).sum() < 0.1 * time.size:
        time, raw = time[new], {a: v[new] for a, v in raw.items()}
        labels = None if labels is None else labels[new]
    faults += [issue for issue in check_clock(time) if issue.severity == "fault"]
    for angle, values in raw.items():
        lost = int((~np.isfinite(values)).sum())
        if lost > MOST_MISSING * time.size:
            faults.append(
                fault(
                    "missing_numbers",
                    angle,
                    expected="numbers in at least 80 % of the rows",
                    got=f"rows without one: {lost} of {time.size}",
                )
            )
    if faults:
        raise InputError(faults)
    return time, raw, labels


def _converted(angle: Angle, column: AngleColumn, raw: Floats) -> tuple[Floats, list[Issue], bool]:
    """Radians with our sign and zero, and a warning for each thing guessed."""
    guesses: list[Issue] = []

    def guessed(what: str, words: str) -> None:
        guesses.append(Issue(f"{what}_guessed", "warning", angle, f"{angle.replace('_', ' ')}: {words}"))

    unit = column.unit
    largest = float(np.nanmax(np.abs(raw)))
    if unit is None:
        unit = "deg" if largest > _TURN else "rad"
        guessed("unit", f"the unit is not declared. Guessed {unit}, because the largest number is {largest:.3g}.")
    zero_guessed = column.zero_deg is None and angle != "forearm_roll"  # roll counts from address
    if zero_guessed:
        guessed("zero", "the zero is not declared. Guessed 0 at a straight wrist, as most devices show it.")
    series = raw * _ANGLE_UNITS[unit] - (column.zero_deg or 0.0) * DEG
    sign = column.sign
    if sign is None:
        sign, words = _guessed_sign(angle, series)
        guessed("sign", words)
    return sign * series, guesses, zero_guessed


def _guessed_sign(angle: Angle, series: Floats) -> tuple[int, str]:
    """A sign from what most golfers do, with the reason in words."""
    good = series[np.isfinite(series)]
    start = float(np.median(good[: max(3, len(good) // 10)]))
    if angle == "flexion":
        sign = -1 if start > 0 else 1
        word = "cups" if sign < 0 else "bows"
        return sign, (
            f"the sign is not declared. Guessed that it rises when the wrist {word}, because it begins at"
            f" {start / DEG:.0f} degrees and most golfers stand with a slightly cupped wrist."
        )
    if angle == "ulnar_deviation":
        far = float(good[int(np.argmax(np.abs(good - start)))] - start)
        sign = -1 if far > 0 else 1
        word = "sets" if sign < 0 else "unsets"
        return sign, (
            f"the sign is not declared. Guessed that it rises when the wrist {word}, because it moves furthest by"
            f" {far / DEG:.0f} degrees and most golfers set the wrist going back further than they unset it."
        )
    steps = np.diff(smoothed(good, 5))
    fastest = float(steps[int(np.argmax(np.abs(steps)))])
    sign = 1 if fastest > 0 else -1
    word, way = ("supinates", "rises") if sign > 0 else ("pronates", "falls")
    return sign, (
        f"the sign is not declared. Guessed that it rises when the forearm {word}, because it {way} where it is fastest and"
        " the lead forearm turns fastest into supination, through impact."
    )


def _labelled(time: Floats, labels: NDArray[np.str_] | None) -> list[tuple[EventName, float]]:
    """Events by an event column: the first row of each run of a known name."""
    out: list[tuple[EventName, float]] = []
    if labels is None:
        return out
    before = ""
    for when, label in zip(time.tolist(), labels.tolist(), strict=True):
        word = label.strip().lower().replace(" ", "_").replace("-", "_")
        if word != before and word in EVENTS:
            out.append((cast("EventName", word), when))
        before = word
    return out

"""Reading a recording: look first, parse, convert to SI, and say everything that is wrong at once, in words."""

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import InputError, Issue, fault
from ferrule.files.clocks import on_clock
from ferrule.files.mapping import ColumnMapping, File, mapping_from, native_mapping
from ferrule.files.native import REQUIRED, SENSORS, sensor_columns
from ferrule.files.tables import Table, read_table
from ferrule.sensing.profiles import PROFILES
from ferrule.sensing.quality import check_clock, check_silence, check_units, describe, prepare
from ferrule.sensing.recording import PHASES, Recording, SensorTrace

Floats = NDArray[np.float64]

FEWEST_ROWS: Final = 50
SHORTEST_S: Final = 0.5
MOST_MISSING: Final = 0.2
"""Share of rows with missing numbers above which a recording is beyond repair."""
Source = str | Path | bytes


def read_recording(
    source: Source,
    *,
    second: Source | None = None,
    mapping: ColumnMapping | Mapping[str, Any] | None = None,
    profile: str | None = None,
    name: str = "",
) -> tuple[Recording, list[Issue]]:
    """A recording in SI units from a file or its bytes, with remarks on its quality.

    source: path or content, CSV or Parquet. second: the hand's file where forearm and hand come in two. mapping: of the
    columns, checked or as parsed JSON; None for the native layout. profile: a kind of device of
    `ferrule.sensing.profiles`, for its ranges. name: what to call the file in messages.

    Numbers stay as recorded, but for rows without numbers (up to a fifth), which are left out, and repeated times.
    Raises InputError with every fault found, unknown columns first.
    """
    columns = mapping if isinstance(mapping, ColumnMapping) else mapping_from(mapping) if mapping else native_mapping()
    device = None
    if profile is not None:
        if profile not in PROFILES:
            raise InputError.of("unknown_profile", "profile", expected=" or ".join(PROFILES), got=profile[:60])
        device = PROFILES[profile]
    shown = name or (Path(source).name if isinstance(source, (str, Path)) else "recording")
    tables: dict[File, Table] = {"forearm": read_table(source, columns, shown)}
    if second is not None:
        other = Path(second).name if isinstance(second, (str, Path)) else f"{shown} (hand)"
        tables["hand"] = read_table(second, columns, other)
    gathered, remarks = _gather(tables, columns, native=mapping is None)
    gyr_range = columns.gyr_range or (device.gyr_range if device else None)
    acc_range = columns.acc_range or (device.acc_range if device else None)
    recording, more = recording_from_columns(gathered.numbers, gathered.phase, shown, gyr_range, acc_range)
    return recording, remarks + more


def recording_from_columns(
    columns: dict[str, Floats],
    phase: NDArray[np.str_] | None,
    source: str,
    gyr_range: float | None,
    acc_range: float | None,
) -> tuple[Recording, list[Issue]]:
    """A recording from our columns in SI units, cleaned and checked, with remarks on its quality.

    columns: `time_s` and six for each sensor, one length. Raises InputError with every fault found.
    """
    remarks: list[Issue] = []
    numbers, phase = _clean(_Gathered(columns, phase), remarks)
    recording = replace(_recording(numbers, phase, source), gyr_range=gyr_range, acc_range=acc_range)
    found = [*check_silence(recording), *check_units(recording)]
    faults = [issue for issue in found if issue.severity == "fault"]
    if faults:
        raise InputError(faults)
    remarks += [issue for issue in found if issue.severity != "fault"]
    remarks += describe(prepare(recording)[1])
    return recording, remarks


@dataclass(frozen=True, eq=False, slots=True)
class _Gathered:
    """Columns by our names in SI units, all of one length, and phase labels."""

    numbers: dict[str, Floats]
    phase: NDArray[np.str_] | None


def _gather(tables: dict[File, Table], mapping: ColumnMapping, *, native: bool) -> tuple[_Gathered, list[Issue]]:
    """Take what the mapping names from one or two tables. Missing columns are a fault, with the unknown ones beside."""
    remarks: list[Issue] = []
    columns = mapping.columns
    wanted_files = {c.file for c in columns.values()} if not native else {"forearm"}
    if "hand" in wanted_files and "hand" not in tables:
        raise InputError.of(
            "second_file_missing", "hand", expected="a second file with the hand's columns", got="one file",
            do="Give both files",
        )  # fmt: skip
    needed = [n for n in REQUIRED if n != "time_s" or mapping.rate_hz is None]
    lacking = [n for n in needed if n not in columns or columns[n].source not in tables[columns[n].file].header]
    used = {(c.file, c.source) for c in columns.values()}
    strange = [(file, h) for file, table in tables.items() for h in table.header if (file, h) not in used and h.strip()]
    if lacking:
        raise InputError([*_strange_columns(strange, lacking), *_missing_columns(lacking, columns, native=native)])
    if native and strange:
        names = ", ".join(h[:40] for _, h in strange[:6]) + (" ..." if len(strange) > 6 else "")
        remarks.append(
            Issue("unknown_column", "note", "columns", f"Columns that are not known were left out: {names}.")
        )
    numbers: dict[str, Floats] = {}
    phase: NDArray[np.str_] | None = None
    shortest = min(t.rows for t in tables.values())
    for name, column in columns.items():
        table = tables[column.file]
        if column.source not in table.header:
            continue
        if name == "phase":
            phase = table.text(column.source)
        else:
            numbers[name] = table.number(column.source) * column.factor
    for sensor in SENSORS[2:]:
        present = [n for n in sensor_columns(sensor) if n in numbers]
        if present and len(present) < 6:
            missing = [n for n in sensor_columns(sensor) if n not in numbers]
            raise InputError(_missing_columns(missing, columns, native=native))
    if "time_s" not in numbers:
        assert mapping.rate_hz is not None
        numbers["time_s"] = np.arange(tables["forearm"].rows) / mapping.rate_hz
    if len(tables) == 2:
        numbers = _joined(numbers, mapping, tables, shortest, remarks)
    return _Gathered(numbers, phase), remarks


def _joined(
    numbers: dict[str, Floats], mapping: ColumnMapping, tables: dict[File, Table], shortest: int, remarks: list[Issue]
) -> dict[str, Floats]:
    """Bring the hand's file onto the forearm's clock: by its own time column where it has one, else row by row."""
    hand = [n for n, c in mapping.columns.items() if c.file == "hand" and n in numbers]
    own = [n for n in numbers if n not in hand]
    time = mapping.columns.get("time_s")
    if time is not None and time.source in tables["hand"].header:
        late = tables["hand"].number(time.source) * time.factor
        found = on_clock(numbers["time_s"], late, {n: numbers[n] for n in hand}, "time_s", FEWEST_ROWS)
        if found is not None:
            inside, other = found
            if not inside.all():
                remarks.append(
                    Issue("files_trimmed", "note", "time_s", "The two files were cut to the time they share.")
                )
            return {n: numbers[n][inside] for n in own} | other
    if tables["hand"].rows != tables["forearm"].rows:
        remarks.append(
            Issue(
                "files_trimmed",
                "warning",
                "rows",
                "The two files have no common clock and differ in length: they were"
                " taken row by row from the start. Check that they belong together.",
            )
        )
    return {n: v[:shortest] for n, v in numbers.items()}


def _strange_columns(strange: list[tuple[File, str]], lacking: list[str]) -> list[Issue]:
    out = []
    for _, header in strange[:8]:
        near = difflib.get_close_matches(header.strip().lower(), lacking, 1, 0.75)
        out.append(
            fault(
                "unknown_column",
                "columns",
                expected="known column names",
                got=f'"{header[:60]}"',
                do=f'Did you mean "{near[0]}"?' if near else "",
            )
        )
    if len(strange) > 8:
        out.append(fault("unknown_column", "columns", expected="known column names", got=f"{len(strange) - 8} more"))
    return out


def _missing_columns(lacking: list[str], columns: Mapping[str, Any], *, native: bool) -> list[Issue]:
    cause = "another device's layout" if native else "the mapping belongs to another layout, or the file was cut"
    do = "Choose or make a column mapping for this device" if native else "Check the names in the mapping"
    out = [
        fault(
            "missing_column",
            "columns",
            expected=name if native or name not in columns else f"{columns[name].source} (for {name})",
            got="no such column",
            cause=cause if i == 0 else "",
            do=do if i == 0 else "",
        )
        for i, name in enumerate(lacking[:8])
    ]
    if len(lacking) > 8:
        out.append(fault("missing_column", "columns", expected=f"{len(lacking) - 8} more columns", got="none of them"))
    return out


def _clean(gathered: _Gathered, remarks: list[Issue]) -> tuple[dict[str, Floats], NDArray[np.str_] | None]:
    """Leave out rows without numbers and repeated times; faults of rows and clock are raised together."""
    phase = gathered.phase
    numbers = {
        n: np.where(np.abs(v) < (1e12 if n == "time_s" else 1e8), v, np.nan) for n, v in gathered.numbers.items()
    }
    table = np.column_stack(list(numbers.values()))
    rows = len(table)
    if phase is not None and len(phase) != rows:
        phase = phase[:rows] if len(phase) > rows else None
    whole = np.isfinite(table).all(axis=1)
    faults: list[Issue] = []
    lost = rows - int(whole.sum())
    empty = [name for name, values in numbers.items() if rows and not np.isfinite(values).any()]
    faults += [
        fault("no_numbers", name, expected="numbers", got="none in any row", cause="the sensor was not exported")
        for name in empty
    ]
    if rows and not empty and lost > MOST_MISSING * rows:
        worst = max(numbers, key=lambda n: int((~np.isfinite(numbers[n])).sum()))
        faults.append(
            fault(
                "missing_numbers",
                worst,
                expected=f"numbers in at least {100 - int(100 * MOST_MISSING)} % of the rows",
                got=f"rows without numbers (NaN, text or nothing): {lost} of {rows}",
                cause="a link that broke often, or cells that are not numbers",
                do="Record again closer to the receiver, or export anew",
            )
        )
    if not faults:
        numbers = {name: values[whole] for name, values in numbers.items()}
        phase = None if phase is None else phase[whole]
        if lost:
            words = f"{lost} of {rows} rows held no number somewhere and were left out."
            remarks.append(Issue("missing_numbers", "warning" if lost > 0.01 * rows else "note", "rows", words))
    t = numbers["time_s"]
    if t.size < FEWEST_ROWS:
        faults.append(
            fault(
                "too_few_rows",
                "rows",
                expected=f"at least {FEWEST_ROWS} rows of numbers",
                got=str(t.size),
                cause="an empty or broken-off export",
                do="Export the recording again",
            )
        )
    elif not faults:
        steps = np.diff(t)
        repeated = np.concatenate(([False], steps == 0.0))
        if 0 < repeated.sum() < 0.1 * t.size:
            numbers = {name: values[~repeated] for name, values in numbers.items()}
            phase = None if phase is None else phase[~repeated]
            remarks.append(
                Issue(
                    "time_repeated", "note", "time_s", f"{int(repeated.sum())} rows repeat a time; the first was kept."
                )
            )
        faults += check_clock(numbers["time_s"])
        length = float(numbers["time_s"][-1] - numbers["time_s"][0])
        if not faults and length < SHORTEST_S:
            faults.append(
                fault(
                    "too_short",
                    "time_s",
                    expected=f"at least {SHORTEST_S} s",
                    got=f"{length:.3g} s",
                    cause="a wrong unit of time, or a broken-off export",
                    do="Check the unit of the time column",
                )
            )
    if phase is not None and not faults:
        phase = _labels(phase, remarks)
    if faults:
        raise InputError(faults)
    return numbers, phase


def _labels(phase: NDArray[np.str_], remarks: list[Issue]) -> NDArray[np.str_]:
    """Known phase labels; others become unlabelled, with a remark."""
    strange = sorted(set(np.unique(phase).tolist()) - {"", *PHASES})
    if strange:
        names = ", ".join(s[:30] for s in strange[:5])
        remarks.append(
            Issue("unknown_phase", "warning", "phase", f"Phase labels that are not known were ignored: {names}.")
        )
        phase = np.where(np.isin(phase, PHASES), phase, "")
    return phase


def _recording(numbers: dict[str, Floats], phase: NDArray[np.str_] | None, source: str) -> Recording:
    def trace(sensor: str) -> SensorTrace | None:
        names = sensor_columns(sensor)
        if names[0] not in numbers:
            return None
        block = np.column_stack([numbers[n] for n in names])
        return SensorTrace(np.ascontiguousarray(block[:, :3]), np.ascontiguousarray(block[:, 3:]))

    forearm, hand = trace("forearm"), trace("hand")
    assert forearm is not None and hand is not None
    return Recording(
        numbers["time_s"], forearm, hand, trace("trail_forearm"), trace("trail_hand"), phase, source=source
    )

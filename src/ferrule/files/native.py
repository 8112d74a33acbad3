"""Ferrule's own layout of a recording: column names with units, and writing it as CSV or Parquet.

Columns: time_s; for each sensor of forearm, hand and optionally trail_forearm, trail_hand: acc in m/s^2 and gyr in rad/s,
x, y, z; optionally phase.
"""

import os
import tempfile
from collections.abc import Callable
from itertools import product
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import MissingExtraError
from ferrule.sensing.recording import Recording, SensorTrace

Floats = NDArray[np.float64]

SENSORS: Final = ("forearm", "hand", "trail_forearm", "trail_hand")
SIGNAL_UNITS: Final = (("acc", "mps2"), ("gyr", "radps"))
AXES: Final = ("x", "y", "z")


def sensor_columns(sensor: str) -> tuple[str, ...]:
    """The six column names of one sensor, acceleration first."""
    return tuple(f"{sensor}_{signal}_{axis}_{unit}" for (signal, unit), axis in product(SIGNAL_UNITS, AXES))


REQUIRED: Final = ("time_s", *sensor_columns("forearm"), *sensor_columns("hand"))
OPTIONAL: Final = (*sensor_columns("trail_forearm"), *sensor_columns("trail_hand"))
NUMBERS: Final = (*REQUIRED, *OPTIONAL)
KNOWN: Final = (*NUMBERS, "phase")


def columns_of(recording: Recording) -> tuple[dict[str, Floats], NDArray[np.str_] | None]:
    """A recording as columns by name, and its phase labels."""
    columns: dict[str, Floats] = {"time_s": recording.time_s}
    for sensor in SENSORS:
        trace: SensorTrace | None = getattr(recording, sensor)
        if trace is not None:
            both = np.hstack([trace.acc, trace.gyr])
            columns |= dict(zip(sensor_columns(sensor), both.T, strict=True))
    return columns, recording.phase


def write_recording_csv(recording: Recording, path: str | Path) -> None:
    """Write the native layout as CSV, whole or not at all. Numbers keep ten significant digits."""
    columns, phase = columns_of(recording)

    def write(place: Path) -> None:
        table = np.column_stack(list(columns.values()))
        with place.open("w", encoding="utf-8", newline="") as out:
            out.write(",".join([*columns, *(["phase"] if phase is not None else [])]) + "\n")
            row = ",".join(["%.9f", *["%.10g"] * (table.shape[1] - 1)])
            if phase is None:
                out.writelines(row % tuple(values) + "\n" for values in table.tolist())
            else:
                lines = zip(table.tolist(), phase.tolist(), strict=True)
                out.writelines(f"{row % tuple(values)},{label}\n" for values, label in lines)

    _whole(Path(path), write)


def write_recording_parquet(recording: Recording, path: str | Path) -> None:
    """Write the native layout as Parquet, whole or not at all. Needs the extra `parquet`."""
    pyarrow, parquet = parquet_library()
    columns, phase = columns_of(recording)
    table: dict[str, object] = dict(columns)
    if phase is not None:
        table["phase"] = phase.tolist()
    _whole(Path(path), lambda place: parquet.write_table(pyarrow.table(table), place))


def parquet_library() -> tuple[Any, Any]:
    """Pyarrow and its Parquet module, or a plain word that the extra is missing."""
    try:
        import pyarrow
        import pyarrow.parquet
    except ImportError as error:
        words = "Reading and writing Parquet needs the extra: python -m pip install 'ferrule[parquet]'."
        raise MissingExtraError(words) from error
    return pyarrow, pyarrow.parquet


def _whole(path: Path, write: Callable[[Path], None]) -> None:
    """Write beside the target and move into place, so that nothing half-written stays."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    os.close(handle)
    place = Path(name)
    try:
        write(place)
        place.replace(path)
    finally:
        place.unlink(missing_ok=True)

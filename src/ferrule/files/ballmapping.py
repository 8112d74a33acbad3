"""A saved mapping of another program's ball data: which column is what, in which unit, with which sign.

    {"schema": 1, "name": "range bay 3", "delimiter": ";", "decimal": ",", "handedness": "left", "signs": "world",
     "columns": {"carry_m": {"from": "Carry", "unit": "yd"}, "side_m": {"from": "Offline", "unit": "yd", "sign": -1},
                 "start_deg": {"from": "Direction", "unit": "deg"}, "club": {"from": "Club"}}}

`signs`: "world" when + means right of the target for either hand, "golfer" when the file mirrors left-handed golfers so that
+ means what it means for a right-handed one. Units and signs are stated once, never guessed.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final, Literal, cast

from ferrule.errors import InputError
from ferrule.files.ballquantities import Reader, object_from_text, shown
from ferrule.units import DEG, INCH, MPH, RPM, YARD

UNITS: Final[Mapping[str, Mapping[str, float]]] = MappingProxyType(
    {
        "length": {"m": 1.0, "yd": YARD, "ft": 12.0 * INCH},
        "speed": {"m/s": 1.0, "mph": MPH, "km/h": 1.0 / 3.6},
        "angle": {"deg": DEG, "rad": 1.0},
        "spin": {"rpm": RPM, "rad/s": 1.0},
        "spot": {"mm": 1e-3, "cm": 1e-2, "in": INCH, "m": 1.0},
    }
)
COLUMNS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "start_deg": "angle", "curve_deg": "angle", "side_m": "length", "carry_m": "length",
        "ball_speed_mps": "speed", "launch_deg": "angle", "spin_rpm": "spin", "axis_tilt_deg": "angle",
        "club_speed_mps": "speed", "face_deg": "angle", "path_deg": "angle", "attack_deg": "angle",
        "delivered_loft_deg": "angle", "toe_mm": "spot", "high_mm": "spot",
        "club": "word", "shape": "word", "strike": "word", "handedness": "word",
    }
)  # fmt: skip
"""Our columns and the kind of each."""
SIGNED: Final = ("start_deg", "curve_deg", "side_m", "axis_tilt_deg", "face_deg", "path_deg")
_TOP: Final = ("schema", "name", "delimiter", "decimal", "handedness", "signs", "columns")
_COLUMN: Final = ("from", "unit", "sign")


@dataclass(frozen=True, slots=True)
class BallColumn:
    """Where one of our columns comes from: its header, its unit, and the sign that makes + right of the target."""

    source: str
    unit: str
    sign: int = 1


@dataclass(frozen=True, slots=True)
class BallMapping:
    """A checked mapping. delimiter None: found out. handedness, signs None: not stated."""

    columns: dict[str, BallColumn]
    name: str = ""
    delimiter: str | None = None
    decimal: str = "."
    handedness: Literal["right", "left"] | None = None
    signs: Literal["world", "golfer"] | None = None

    def to_json(self) -> str:
        """The mapping as it is saved."""
        out: dict[str, Any] = {"schema": 1, "name": self.name, "decimal": self.decimal}
        for key in ("delimiter", "handedness", "signs"):
            if getattr(self, key) is not None:
                out[key] = getattr(self, key)
        out["columns"] = {
            key: {"from": c.source, **({"unit": c.unit} if c.unit else {}), **({"sign": -1} if c.sign < 0 else {})}
            for key, c in self.columns.items()
        }
        return json.dumps(out, ensure_ascii=False)


def read_ball_mapping(source: str | bytes | Mapping[str, Any]) -> BallMapping:
    """A mapping from JSON text or its parsed object. Raises InputError with every fault, unknown keys first."""
    reader = Reader()
    data = object_from_text(source, "mapping")
    if not isinstance(data, Mapping):
        reader.fail("type", "mapping", "an object with named values", shown(data))
        reader.finish()
    values = reader.object(data, "", _TOP)
    reader.schema(values)
    columns = {}
    for key, raw in reader.object(values.get("columns"), "columns", tuple(COLUMNS)).items():
        column = _column(key, raw, reader)
        if column is not None:
            columns[key] = column
    if not columns and not reader.faults and not reader.unknown:
        reader.fail("missing", "columns", f"at least one of {', '.join(COLUMNS)}", "none")
    delimiter, decimal, name = values.get("delimiter"), values.get("decimal", "."), values.get("name", "")
    if delimiter is not None and (not isinstance(delimiter, str) or len(delimiter) != 1):
        reader.fail("type", "delimiter", "one character", shown(delimiter))
    if decimal not in (".", ","):
        reader.fail("choice", "decimal", '"." or ","', shown(decimal))
    if not isinstance(name, str):
        reader.fail("type", "name", "a short text", shown(name))
    handedness = reader.choice(values, "handedness", "", ("right", "left"))
    signs = reader.choice(values, "signs", "", ("world", "golfer"))
    reader.finish()
    return BallMapping(
        columns,
        str(name),
        delimiter,
        str(decimal),
        cast("Literal['right', 'left'] | None", handedness),
        cast("Literal['world', 'golfer'] | None", signs),
    )


def _column(key: str, raw: Any, reader: Reader) -> BallColumn | None:
    where, kind = f"columns.{key}", COLUMNS[key]
    if isinstance(raw, str):
        raw = {"from": raw}
    values = reader.object(raw, where, _COLUMN)
    source, unit, sign = values.get("from"), values.get("unit"), values.get("sign", 1)
    if not isinstance(source, str) or not source.strip():
        reader.fail("missing", f"{where}.from", "the name of a column in the file", shown(source))
        return None
    if kind == "word":
        return BallColumn(source.strip(), "")
    if not isinstance(unit, str) or unit not in UNITS[kind]:
        reader.fail(
            "unit",
            f"{where}.unit",
            f"one of {', '.join(UNITS[kind])}",
            "nothing" if unit is None else shown(unit),
            "yards and metres look alike: the unit must be stated" if kind == "length" else "",
        )
        return None
    if sign not in (1, -1) or isinstance(sign, bool):
        reader.fail("choice", f"{where}.sign", "1 or -1", shown(sign))
        return None
    return BallColumn(source.strip(), unit, int(sign))


def mapping_or_fault(mapping: BallMapping, header: list[str]) -> dict[str, int]:
    """Where each mapped column stands in a header. Raises InputError naming all that are missing."""
    places = {name.strip().lower(): i for i, name in reversed(list(enumerate(header)))}
    missing = [c.source for c in mapping.columns.values() if c.source.lower() not in places]
    if missing:
        raise InputError.of(
            "missing_column",
            ", ".join(missing),
            expected="this column in the file, as the mapping says",
            got=f"the columns {', '.join(header)[:300]}",
            cause="the file is of another layout, or its header line is missing",
            do="Map the columns once more.",
        )
    return {key: places[c.source.lower()] for key, c in mapping.columns.items()}

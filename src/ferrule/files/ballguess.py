"""A first mapping of an unknown table of ball data, guessed from its header: to be shown and confirmed, never used unsaid."""

import csv
import io
import re
from dataclasses import dataclass
from typing import Final

from ferrule.errors import InputError, Issue
from ferrule.files.ballmapping import COLUMNS, SIGNED, UNITS, BallColumn, BallMapping

# Words of a header, all of which must be there, by our column; the first that fits wins. Trade terms only.
_WORDS: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("axis_tilt_deg", ("axis",)),
    ("spin_rpm", ("spin",)),
    ("club_speed_mps", ("club", "speed")),
    ("club_speed_mps", ("head", "speed")),
    ("ball_speed_mps", ("speed",)),
    ("delivered_loft_deg", ("loft",)),
    ("attack_deg", ("attack",)),
    ("toe_mm", ("toe",)),
    ("high_mm", ("high",)),
    ("path_deg", ("path",)),
    ("face_deg", ("face",)),
    ("start_deg", ("direction",)),
    ("start_deg", ("azimuth",)),
    ("start_deg", ("start",)),
    ("curve_deg", ("curve",)),
    ("side_m", ("side",)),
    ("side_m", ("offline",)),
    ("side_m", ("lateral",)),
    ("launch_deg", ("launch",)),
    ("launch_deg", ("elevation",)),
    ("carry_m", ("carry",)),
    ("club", ("club",)),
    ("shape", ("shape",)),
    ("strike", ("strike",)),
    ("handedness", ("hand",)),
)
# Not what their words say at first sight: face against path, a total that runs on, heights.
_NOT: Final = ("total", "run", "apex", "height", "peak", "time", "date", "smash", "to path", "side spin", "back spin")
_UNIT: Final = {
    "m": "m", "metres": "m", "meters": "m", "yd": "yd", "yds": "yd", "yards": "yd", "ft": "ft", "feet": "ft",
    "m/s": "m/s", "mps": "m/s", "mph": "mph", "km/h": "km/h", "kmh": "km/h", "kph": "km/h", "deg": "deg", "degrees": "deg",
    "°": "deg", "rad": "rad", "rpm": "rpm", "rad/s": "rad/s", "mm": "mm", "cm": "cm", "in": "in",
}  # fmt: skip
_USUAL: Final = {"length": "m", "speed": "m/s", "angle": "deg", "spin": "rpm", "spot": "mm"}
# A column whose typical number lies above this, in the first unit, is in the second (common practice: no golfer swings
# or hits that fast in m/s).
_FASTEST: Final = {"ball_speed_mps": 95.0, "club_speed_mps": 65.0}


@dataclass(frozen=True, slots=True)
class BallGuess:
    """A proposed mapping; left_out: columns of the file that were not recognised; doubts: what must be confirmed."""

    mapping: BallMapping
    left_out: tuple[str, ...]
    doubts: tuple[Issue, ...]


def guess_ball_mapping(text: str | bytes) -> BallGuess:
    """Columns by the words of the header, units from the header or the size of the numbers.

    Raises InputError when nothing of a ball's flight is recognised.
    """
    plain = text.decode("utf-8-sig", errors="replace") if isinstance(text, bytes) else text.lstrip("\ufeff")
    lines = [line for line in plain.splitlines() if line.strip()][:200]
    first = lines[0] if lines else ""
    delimiter = max(";\t,", key=first.count)
    rows = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=delimiter))
    header = [c.strip() for c in rows[0]] if rows else []
    decimal = "," if delimiter != "," and any(re.search(r"\d,\d", cell) for row in rows[1:] for cell in row) else "."
    columns: dict[str, BallColumn] = {}
    doubts: list[Issue] = []
    left_out = []
    for place, name in enumerate(header):
        key = _key(name)
        if key is None or key in columns:
            left_out.append(name)
            continue
        cells = [row[place] for row in rows[1:] if place < len(row)]
        columns[key] = BallColumn(name, _unit(key, name, cells, decimal, doubts))
    if not set(columns) & {"start_deg", "curve_deg", "side_m", "carry_m", "shape", "axis_tilt_deg"}:
        raise InputError.of(
            "no_ball_data", "header", expected="columns of a ball's flight: start direction, curve, side, carry or shape",
            got=", ".join(header)[:200] or "nothing", cause="another kind of table, or headers in another language",
            do="Name the columns in the header, for example Start, Side, Carry, or give a mapping of them.",
        )  # fmt: skip
    signed = [columns[k].source for k in SIGNED if k in columns]
    if signed:
        doubts.append(
            Issue(
                "sign_assumed",
                "warning",
                "signs",
                f"{', '.join(signed)}: taken as + to the right of the target. Check with one ball that went left.",
            )
        )
    return BallGuess(BallMapping(columns, "", delimiter, decimal), tuple(left_out), tuple(doubts))


def _key(name: str) -> str | None:
    if name in COLUMNS:
        return name
    plain = re.sub(r"[_\-]+", " ", re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name)).lower()
    if any(word in plain for word in _NOT):
        return None
    words = set(re.findall(r"[a-z]+", plain))
    return next((key for key, needed in _WORDS if words.issuperset(needed)), None)


def _unit(key: str, name: str, cells: list[str], decimal: str, doubts: list[Issue]) -> str:
    kind = COLUMNS[key]
    if kind == "word":
        return ""
    if name == key:
        return {"m": "m", "deg": "deg", "mps": "m/s", "rpm": "rpm", "mm": "mm"}[key.rsplit("_", 1)[1]]
    for part in re.findall(r"[a-z°][a-z/]*", name.lower())[::-1]:
        if _UNIT.get(part) in UNITS[kind]:
            return _UNIT[part]
    beside = {_UNIT[w] for c in cells for w in re.findall(r"[a-z°][a-z/]*", c.lower()) if _UNIT.get(w) in UNITS[kind]}
    if len(beside) == 1:
        return beside.pop()
    unit, why = _USUAL[kind], "nothing says which"
    numbers = sorted(abs(float(n)) for n in (_number(c, decimal) for c in cells) if n is not None)
    if key in _FASTEST and numbers and numbers[len(numbers) // 2] > _FASTEST[key]:
        unit, why = "mph", "too fast for m/s"
    if kind != "angle":
        doubts.append(Issue("unit_guessed", "warning", key, f"{name}: taken as {unit} ({why}). Confirm the unit."))
    return unit


def _number(cell: str, decimal: str) -> float | None:
    found = re.search(r"[-+]?\d+(?:[.,]\d+)?", cell)
    return float(found.group().replace(decimal, ".").replace(",", ".")) if found else None

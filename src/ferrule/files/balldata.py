"""Ball data of another program in: a CSV table read through a saved mapping into shots in SI, with flagged guesses.

Doubtful things are told and never silently settled: lengths in mixed units, a side without its sign, a left-handed
golfer in a file that does not say whose right it means.
"""

import csv
import io
import re
from collections import Counter
from dataclasses import dataclass, field
from math import isfinite
from typing import Final, Literal

from ferrule.ball.observed import Observed
from ferrule.ball.shapes import shape_from_name
from ferrule.ball.strike_spot import strike_spot, strike_spot_mm
from ferrule.errors import InputError, Issue, fault
from ferrule.files.ballmapping import COLUMNS, SIGNED, UNITS, BallMapping, mapping_or_fault
from ferrule.files.ballquantities import LIMITS
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG, RPM

LARGEST_BYTES: Final = 20_000_000
MOST_ROWS: Final = 100_000
_SIDE_WORDS: Final = {"r": 1, "right": 1, "l": -1, "left": -1}
_UNIT_WORDS: Final = {
    "m": "m", "meter": "m", "meters": "m", "metre": "m", "metres": "m", "yd": "yd", "yds": "yd", "y": "yd",
    "yard": "yd", "yards": "yd", "ft": "ft", "feet": "ft", "mph": "mph", "m/s": "m/s", "mps": "m/s", "km/h": "km/h",
    "kmh": "km/h", "kph": "km/h", "deg": "deg", "°": "deg", "rpm": "rpm", "rad": "rad", "rad/s": "rad/s", "mm": "mm",
    "cm": "cm", "in": "in",
}  # fmt: skip
_CELL: Final = re.compile(
    r"^(?P<before>[a-z]+)?\s*(?P<number>[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)\s*(?P<after>[a-z°/]*)\s*(?P<side>[a-z]*)$"
)
_UNSIGNED_ROWS: Final = 5
# Default doubt of a measured number, in SI: start and curve 1 degree, side and carry 2 and 3 m (common practice).
_DOUBT: Final = {"start_deg": DEG, "curve_deg": 1.5 * DEG, "side_m": 2.0, "carry_m": 3.0}
_LENGTHS: Final = {"carry_m": (0.0, 420.0), "side_m": (-200.0, 200.0)}
_SI: Final = {"angle": DEG, "spin": RPM, "length": 1.0, "speed": 1.0, "spot": 1e-3}


@dataclass(frozen=True, slots=True)
class BallShot:
    """One row: SI values by our column names (angles in radians), words as they came; absent where unknown."""

    row: int
    values: dict[str, float]
    words: dict[str, str]
    handed: int

    def observed(self) -> Observed:
        """What the row says of the flight, for the way back to face and path."""

        def estimate(key: str) -> Estimate | None:
            return Estimate(self.values[key], _DOUBT[key]) if key in self.values else None

        shape = self.words.get("shape")
        spot = strike_spot(self.words.get("strike"))
        if "toe_mm" in self.values or "high_mm" in self.values:
            spot = strike_spot_mm(self.values.get("toe_mm", 0.0) * 1e3, self.values.get("high_mm", 0.0) * 1e3)
        return Observed(
            estimate("start_deg"),
            estimate("curve_deg"),
            estimate("side_m"),
            estimate("carry_m"),
            shape_from_name(shape, self.handed) if shape else None,
            spot,
            handed=self.handed,
        )


@dataclass(frozen=True, slots=True)
class BallData:
    """The shots of a file in its order, and everything doubtful about them."""

    shots: tuple[BallShot, ...]
    issues: tuple[Issue, ...] = field(default=())


def read_ball_data(
    text: str | bytes, mapping: BallMapping, handedness: Literal["right", "left"] | None = None
) -> BallData:
    """Shots from a CSV. handedness: the golfer's, where known; else the mapping's or the file's own column.

    Raises InputError when it is no such table; rows that cannot be read are left out and named.
    """
    header, rows = _table(text, mapping)
    places = mapping_or_fault(mapping, header)
    issues: list[Issue] = []
    _check_header(mapping, issues)
    hand = handedness or mapping.handedness
    units: Counter[str] = Counter()
    shots = []
    for number, row in rows:
        shot = _shot(number, row, places, mapping, hand, units, issues)
        if shot is not None:
            shots.append(shot)
    shots = _checked_sides(shots, mapping, rows, places, issues)
    _check_hand(mapping, hand, shots, issues)
    if len(units) > 1:
        counted = ", ".join(f"{n} in {u}" for u, n in sorted(units.items()))
        issues.append(
            Issue(
                "mixed_units",
                "warning",
                "carry_m",
                f"Lengths come in mixed units ({counted}): each was converted by the unit beside it.",
            )
        )
    if not shots:
        raise InputError([*[i for i in issues if i.severity == "fault"], _no_shots(len(rows))])
    return BallData(tuple(shots), tuple(issues))


def _no_shots(rows: int) -> Issue:
    return fault(
        "no_shots", "ball data", expected="at least one row with a flight", got=f"{rows} rows, none of them readable"
    )


def _table(text: str | bytes, mapping: BallMapping) -> tuple[list[str], list[tuple[int, list[str]]]]:
    if len(text) > LARGEST_BYTES:
        raise InputError.of(
            "too_large", "ball data", expected="a table of at most 20 MB", got=f"{len(text) / 1e6:.0f} MB"
        )
    plain = _decoded(text) if isinstance(text, bytes) else text
    if "\x00" in plain[:4096]:
        raise InputError.of(
            "not_text", "ball data", expected="a CSV table", got="binary data", cause="a workbook or another program's file",
            do="Export it as CSV.",
        )  # fmt: skip
    plain = plain.lstrip("\ufeff")
    first = next((line for line in plain.splitlines() if line.strip()), "")
    delimiter = mapping.delimiter or max(";\t,", key=first.count)
    try:
        lines = [
            (i, row)
            for i, row in enumerate(csv.reader(io.StringIO(plain, newline=""), delimiter=delimiter), start=1)
            if any(cell.strip() for cell in row)
        ]
    except csv.Error as error:
        raise InputError.of(
            "not_csv", "ball data", expected="a CSV table", got=f"text that is none ({error})"
        ) from None
    if len(lines) < 2:
        raise InputError.of(
            "empty", "ball data", expected="a header line and at least one row", got=f"{len(lines)} lines"
        )
    if len(lines) > MOST_ROWS:
        raise InputError.of("too_large", "ball data", expected=f"at most {MOST_ROWS} rows", got=str(len(lines)))
    return [c.strip() for c in lines[0][1]], lines[1:]


def _decoded(raw: bytes) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")


def _check_header(mapping: BallMapping, issues: list[Issue]) -> None:
    """A unit in a header, such as "Carry (yd)", must not contradict the mapping."""
    faults = []
    for key, column in mapping.columns.items():
        kind = COLUMNS[key]
        if kind == "word":
            continue
        found = re.search(r"[(\[]\s*([a-z°/]+)\s*[)\]]", column.source.lower())
        unit = _UNIT_WORDS.get(found.group(1)) if found else None
        if unit is not None and unit in UNITS[kind] and unit != column.unit:
            faults.append(
                fault(
                    "unit_contradicts_header",
                    key,
                    expected=f"the unit of the header {column.source!r}",
                    got=f"{column.unit} in the mapping",
                    cause="yards and metres exchanged" if kind == "length" else "",
                    do="Correct the mapping.",
                )
            )
    if faults:
        raise InputError(faults)
    lengths = {c.unit for k, c in mapping.columns.items() if COLUMNS[k] == "length"}
    if len(lengths) > 1:
        issues.append(
            Issue(
                "mixed_units",
                "note",
                "columns",
                f"Lengths come in {' and '.join(sorted(lengths))}, each column in its own: as the mapping says.",
            )
        )


def _shot(
    number: int,
    row: list[str],
    places: dict[str, int],
    mapping: BallMapping,
    hand: str | None,
    units: Counter[str],
    issues: list[Issue],
) -> BallShot | None:
    values: dict[str, float] = {}
    words: dict[str, str] = {}
    for key, place in places.items():
        cell = row[place].strip() if place < len(row) else ""
        if not cell or cell in {"-", "--", "n/a", "NA"}:
            continue
        if COLUMNS[key] == "word":
            words[key] = cell
            continue
        value = _value(cell, key, mapping, units)
        if value is None or not _possible(key, value):
            got = f"{cell!r}" if value is None else f"{cell!r}, which cannot be"
            issues.append(
                Issue("cell_left_out", "warning", f"row {number}", f"Row {number}: {key} is {got}: left out.")
            )
            continue
        values[key] = value
    own = words.get("handedness", hand or "right").strip().lower()
    handed = -1 if own.startswith("l") else 1
    if mapping.signs == "golfer" and handed < 0:
        values = {k: -v if k in SIGNED else v for k, v in values.items()}
    words = _known_words(number, words, handed, issues)
    if not values and not words:
        issues.append(Issue("row_left_out", "warning", f"row {number}", f"Row {number} says nothing: left out."))
        return None
    return BallShot(number, values, words, handed)


def _known_words(number: int, words: dict[str, str], handed: int, issues: list[Issue]) -> dict[str, str]:
    out = {}
    for key, word in words.items():
        try:
            if key == "shape":
                shape_from_name(word, handed)
            elif key == "strike":
                strike_spot(word)
        except InputError as error:
            issues.append(Issue("cell_left_out", "warning", f"row {number}", f"Row {number}: {error} Left out."))
            continue
        out[key] = word
    return out


def _value(cell: str, key: str, mapping: BallMapping, units: Counter[str]) -> float | None:
    """One cell in SI with + to the right, or None. Understands "152 yd", "12.5 R", "L 4"."""
    plain = cell.lower().replace("\u2212", "-").replace("\u00a0", " ")
    plain = plain.replace(".", "").replace(",", ".") if mapping.decimal == "," else plain.replace(",", "")
    found = _CELL.match(plain.strip())
    if found is None:
        return None
    kind, column = COLUMNS[key], mapping.columns[key]
    unit, side = column.unit, 0
    for part in (found["before"], found["after"], found["side"]):
        if not part:
            continue
        if part in _SIDE_WORDS and key in SIGNED:
            side = _SIDE_WORDS[part]
        elif _UNIT_WORDS.get(part) in UNITS[kind]:
            unit = _UNIT_WORDS[part]
        else:
            return None
    value = float(found["number"]) * UNITS[kind][unit]
    if kind == "length" and key == "carry_m":
        units[unit] += 1
    if not isfinite(value):
        return None
    # A mark says right or left by itself: the mapping's sign is for bare numbers.
    return abs(value) * side if side else value * column.sign


def _possible(key: str, value: float) -> bool:
    if key in _LENGTHS:
        low, high = _LENGTHS[key]
        return low <= value <= high
    limits = LIMITS.get({"start_deg": "azimuth_deg", "curve_deg": "azimuth_deg"}.get(key, key))
    scale = _SI[COLUMNS[key]]
    return limits is None or limits.low * scale - 1e-9 <= value <= limits.high * scale + 1e-9


def _checked_sides(
    shots: list[BallShot],
    mapping: BallMapping,
    rows: list[tuple[int, list[str]]],
    places: dict[str, int],
    issues: list[Issue],
) -> list[BallShot]:
    """Columns that are never negative and bear no left or right have lost their sign: told, and left out."""
    lost = []
    for key in ("side_m", "start_deg", "curve_deg"):
        if key not in mapping.columns:
            continue
        mine = [abs(s.values[key]) for s in shots if s.values.get(key)]
        signed = any(
            re.search(r"[-\u2212]|[rl]", row[places[key]].lower()) for _, row in rows if places[key] < len(row)
        )
        if len(mine) >= _UNSIGNED_ROWS and not signed:
            lost.append(key)
            issues.append(
                Issue(
                    "side_sign_missing",
                    "warning",
                    key,
                    f"{mapping.columns[key].source}: {len(mine)} balls and never one to the other side. Likely cause: the"
                    " export dropped the sign. Left out; if all of them did go one way, type them in.",
                )
            )
    if not lost:
        return shots
    return [BallShot(s.row, {k: v for k, v in s.values.items() if k not in lost}, s.words, s.handed) for s in shots]


def _check_hand(mapping: BallMapping, hand: str | None, shots: list[BallShot], issues: list[Issue]) -> None:
    signed = any(key in mapping.columns for key in SIGNED)
    if not signed:
        return
    if hand is None and "handedness" not in mapping.columns:
        issues.append(
            Issue(
                "handedness_assumed",
                "warning",
                "handedness",
                "Neither the mapping nor the file says which hand: taken as right-handed, + as right of the target.",
            )
        )
    elif mapping.signs is None and any(s.handed < 0 for s in shots):
        issues.append(
            Issue(
                "left_handed_signs_assumed",
                "warning",
                "signs",
                "A left-handed golfer, and the mapping does not say whether the file mirrors him: + is taken as right of the"
                " target. Check with one ball that started left.",
            )
        )

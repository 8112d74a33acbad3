"""The bag: loft, lie, length and head mass of each club, and how fast golfers swing it.

No standard fixes these numbers (S56 in docs/validation.md: "no industry-wide standards"): they are common practice, held
in one table and overridden by whatever a coach knows of the golfer's own club. A 7-iron of 34 degrees is a traditional
loft; stronger ones are typed in.
"""

import re
from dataclasses import dataclass, replace
from math import atan2, cos, sin
from types import MappingProxyType
from typing import Final, Literal

import numpy as np

from ferrule.errors import InputError
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

How = Literal["assumed", "typed"]
Kind = Literal["driver", "wood", "hybrid", "iron", "wedge"]
AgeGroup = Literal["adult", "senior", "junior", "child"]
SoleMark = Literal["toe", "centre", "heel"]


@dataclass(frozen=True, slots=True)
class Club:
    """One club. loft and lie in radians, length in metres, head_mass in kilograms.

    how: "assumed" when every number is from the table, "typed" when at least one was given.
    """

    name: str
    loft: float
    lie: float
    length: float
    head_mass: float
    how: How = "assumed"

    @property
    def kind(self) -> Kind:
        """Driver, wood, hybrid, iron or wedge: by name where the table knows it, else by length and loft."""
        if self.name in _KINDS:
            return _KINDS[self.name]
        if self.length > 1.12 and self.loft < 14.0 * DEG:
            return "driver"
        if self.length > 1.035:
            return "wood"
        return "wedge" if self.loft > 43.0 * DEG else "iron"


# name: loft deg, lie deg, length m, head kg, share of the driver's speed, kind. Common practice, no source.
_TABLE: Final[dict[str, tuple[float, float, float, float, float, Kind]]] = {
    "driver": (10.5, 58.0, 1.150, 0.200, 1.000, "driver"),
    "3-wood": (15.0, 57.0, 1.090, 0.210, 0.950, "wood"),
    "5-wood": (18.0, 57.5, 1.067, 0.215, 0.925, "wood"),
    "7-wood": (21.0, 58.0, 1.054, 0.220, 0.910, "wood"),
    "3-hybrid": (19.0, 58.5, 1.022, 0.232, 0.895, "hybrid"),
    "4-hybrid": (22.0, 59.0, 1.010, 0.236, 0.885, "hybrid"),
    "5-hybrid": (25.0, 59.5, 0.997, 0.240, 0.870, "hybrid"),
    "3-iron": (20.5, 59.5, 0.990, 0.243, 0.880, "iron"),
    "4-iron": (23.5, 60.2, 0.978, 0.249, 0.865, "iron"),
    "5-iron": (27.0, 61.0, 0.965, 0.256, 0.845, "iron"),
    "6-iron": (30.5, 61.8, 0.953, 0.263, 0.830, "iron"),
    "7-iron": (34.0, 62.5, 0.940, 0.270, 0.810, "iron"),
    "8-iron": (38.0, 63.0, 0.928, 0.277, 0.790, "iron"),
    "9-iron": (42.0, 63.5, 0.917, 0.284, 0.770, "iron"),
    "pitching wedge": (46.0, 64.0, 0.908, 0.290, 0.750, "wedge"),
    "gap wedge": (51.0, 64.0, 0.902, 0.295, 0.735, "wedge"),
    "sand wedge": (56.0, 64.0, 0.895, 0.300, 0.720, "wedge"),
    "lob wedge": (60.0, 64.0, 0.890, 0.303, 0.705, "wedge"),
}

BAG: Final = MappingProxyType(
    {name: Club(name, loft * DEG, lie * DEG, length, mass) for name, (loft, lie, length, mass, _, _) in _TABLE.items()}
)
"""Every club the table knows, from driver to lob wedge, in the order of a bag."""

_KINDS: Final[dict[str, Kind]] = {name: row[5] for name, row in _TABLE.items()}
_DRIVER_SPEED: Final[dict[AgeGroup, float]] = {"adult": 42.0, "senior": 36.0, "junior": 37.0, "child": 26.0}

_WORDS: Final = {
    "d": "driver", "dr": "driver", "1-wood": "driver",
    "pw": "pitching wedge", "pitching-wedge": "pitching wedge", "pitching": "pitching wedge", "10-iron": "pitching wedge",
    "gw": "gap wedge", "aw": "gap wedge", "uw": "gap wedge", "gap-wedge": "gap wedge", "gap": "gap wedge",
    "approach-wedge": "gap wedge", "attack-wedge": "gap wedge",
    "sw": "sand wedge", "sand-wedge": "sand wedge", "sand": "sand wedge",
    "lw": "lob wedge", "lob-wedge": "lob wedge", "lob": "lob wedge",
}  # fmt: skip
_KIND_LETTERS: Final = {
    "i": "iron", "iron": "iron", "irons": "iron", "w": "wood", "wood": "wood", "fw": "wood", "fairway": "wood",
    "h": "hybrid", "hy": "hybrid", "hyb": "hybrid", "hybrid": "hybrid", "rescue": "hybrid",
}  # fmt: skip
_NUMBERS: Final = {"three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9"}


def known_name(name: str) -> str | None:
    """The table's name for what was typed ("7 iron", "7i", "PW", "Driver"), or None."""
    plain = re.sub(r"[\s_\-./]+", "-", name.strip().lower()).strip("-")
    for word, digit in _NUMBERS.items():
        plain = re.sub(rf"^{word}(?=-|$)", digit, plain)
    spaced = plain.replace("-", " ")
    for candidate in (plain, spaced):
        if candidate in BAG:
            return candidate
    if plain in _WORDS:
        return _WORDS[plain]
    found = re.fullmatch(r"(\d{1,2})-?([a-z]+)(?:-wood)?", plain) or re.fullmatch(r"([a-z]+)-?(\d{1,2})", plain)
    if found:
        number, kind = found.groups() if found.group(1).isdigit() else found.groups()[::-1]
        full = f"{int(number)}-{_KIND_LETTERS.get(kind, kind)}"
        return full if full in BAG else _WORDS.get(full)
    return None


def club_by_name(name: str) -> Club:
    """The table's club for a name as people write it.

    Raises InputError that lists the names when there is no such club.
    """
    known = known_name(name)
    if known is None:
        raise InputError.of(
            "unknown_club",
            "club.name",
            expected=f"one of {', '.join(BAG)}",
            got=repr(name),
            do="Use one of these names, or give loft and length with a name of your own",
        )
    return BAG[known]


def club_with(
    name: str,
    loft: float | None = None,
    lie: float | None = None,
    length: float | None = None,
    head_mass: float | None = None,
) -> Club:
    """The club of that name with whatever is known of it in place of the table (radians, metres, kilograms).

    A name the table does not know is accepted with loft and length; lie and head mass then follow from the length, as
    in the table. Raises InputError otherwise.
    """
    given = {"loft": loft, "lie": lie, "length": length, "head_mass": head_mass}
    known = {key: value for key, value in given.items() if value is not None}
    if known_name(name) is None and loft is not None and length is not None:
        base = Club(name.strip(), loft, _by_length("lie", length), length, _by_length("head_mass", length), "typed")
    else:
        base = club_by_name(name)
    return replace(base, **known, how="typed") if known else base  # type: ignore[arg-type]


def typical_club_speed(club: Club, age_group: AgeGroup = "adult") -> float:
    """Typical head speed at impact in m/s for golfers who come for lessons (common practice, spread about 10 %)."""
    if age_group not in _DRIVER_SPEED:
        raise InputError.of(
            "unknown_age_group",
            "golfer.age_group",
            expected=f"one of {', '.join(_DRIVER_SPEED)}",
            got=repr(age_group),
        )
    if club.name in _TABLE:
        share = _TABLE[club.name][4]
    else:
        rows = sorted((row[2], row[4]) for row in _TABLE.values() if row[5] != "hybrid")
        share = float(np.interp(club.length, [r[0] for r in rows], [r[1] for r in rows]))
    return _DRIVER_SPEED[age_group] * share


def face_from_lie(club: Club, lie_error: float) -> float:
    """Where a face squared by its leading edge looks when the club sits lie_error too flat (toe down, radians; + right).

    Too upright (negative) looks left for a right-handed golfer. The face normal is turned about the target line. A mark
    on the sole towards the toe says toe down, towards the heel toe up; how far is by eye, no better than about 2 degrees
    (common practice).
    """
    return atan2(sin(club.loft) * sin(lie_error), cos(club.loft))


def face_from_sole_mark(club: Club, mark: SoleMark, handed: int = 1) -> Estimate:
    """What the mark on the sole says of where this club looks when its leading edge is square, radians, + right.

    A mark towards the toe: about 2 degrees too flat, give or take 1; towards the heel: too upright (common practice).
    handed: +1 right, -1 left. Worth a look before the swing is blamed: it could be the club.
    """
    lie_error = {"toe": 2.0, "centre": 0.0, "heel": -2.0}[mark] * DEG
    return Estimate(handed * face_from_lie(club, lie_error), abs(face_from_lie(club, 1.0 * DEG)))


def _by_length(what: Literal["lie", "head_mass"], length: float) -> float:
    irons = sorted((c.length, getattr(c, what)) for c in BAG.values() if c.kind != "hybrid")
    return float(np.interp(length, [row[0] for row in irons], [row[1] for row in irons]))

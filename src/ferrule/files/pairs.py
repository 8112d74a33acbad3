"""Forearm and hand in two files: told from two recordings, and joined into one table on the forearm's clock.

Each half holds one sensor. Columns keep their names with the part of the body before them, unless they say it already, so
that the joined table is read, asked about and recognised like any other.
"""

import re
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import InputError
from ferrule.files.clocks import on_clock
from ferrule.files.guessing import guess_sensors, place_sensors
from ferrule.files.layouts import FEWEST_ROWS, Layout, layout_of
from ferrule.files.mapping import UNITS

Floats = NDArray[np.float64]

_HAND: Final = re.compile(r"hand|palm|glove|metacarp", re.IGNORECASE)
_FOREARM: Final = re.compile(r"arm|wrist", re.IGNORECASE)
_AXES_OF_A_SENSOR: Final = 6
SAME_LENGTH: Final = 0.02
"""Files without a clock may differ in length by this share; more, and they are not of one recording."""


@dataclass(frozen=True, eq=False, slots=True)
class Half:
    """One file with one sensor. worn: where, by its columns or its name; None: neither says. clock: its column of time,
    None without one, and the unit of it.
    """

    name: str
    layout: Layout
    worn: str | None
    clock: str | None
    unit: str

    @property
    def time_s(self) -> Floats:
        """The column of time, s."""
        return self.layout.numbers[self.clock or ""] * UNITS["time"][self.unit]


def half_of(content: bytes, name: str) -> Half | None:
    """The file as one of two, or None when it is whole by itself or no recording of a sensor."""
    try:
        layout = layout_of(content, name)
    except InputError:
        return None
    placed, _ = place_sensors(layout.numbers)
    if len(placed) != _AXES_OF_A_SENSOR or len({column.split("_")[0] for column in placed}) != 1:
        return None
    names = " ".join(placed.values())
    time = guess_sensors(layout).mapping["columns"].get("time_s")
    clock, unit = (None, "s") if time is None else (str(time["from"]), str(time["unit"]))
    return Half(name, layout, _worn(names) or _worn(name), clock, unit)


def which_is_hand(one: Half, other: Half) -> bool | None:
    """Whether `one` is the hand's; None when that must be asked."""
    if one.worn == other.worn:
        return None
    return one.worn == "hand" or other.worn == "forearm"


def join_halves(forearm: Half, hand: Half) -> bytes:
    """One table, CSV with commas: the hand's numbers on the forearm's clock, else row by row.

    Raises InputError when the two cannot be of one recording.
    """
    arm = {_named(h, "forearm", forearm.clock): v for h, v in forearm.layout.numbers.items()}
    other = {_named(h, "hand", None): v for h, v in hand.layout.numbers.items() if h != hand.clock}
    rows = [len(next(iter(columns.values()))) for columns in (arm, other)]
    kept = np.arange(rows[0]) < min(rows)
    clocked = forearm.clock is not None and hand.clock is not None
    found = on_clock(forearm.time_s, hand.time_s, other, "file", FEWEST_ROWS) if clocked else None
    if found is not None:
        kept, other = found
    else:
        if abs(rows[0] - rows[1]) > SAME_LENGTH * max(rows):
            raise InputError.of(
                "files_differ", "file", expected="two files of one recording",
                got=f"{rows[0]} and {rows[1]} rows and no clock in both", do="Choose the two files of one recording",
            )  # fmt: skip
        other = {h: v[: min(rows)] for h, v in other.items()}
    columns = {h: v[kept] for h, v in arm.items()} | other
    words = {h: [w for w, keep in zip(v, kept, strict=True) if keep] for h, v in forearm.layout.words.items()}
    table = np.column_stack(list(columns.values())).tolist()
    lines = [",".join(_quoted(h) for h in (*columns, *words))]
    for i, row in enumerate(table):
        cells = ["" if np.isnan(v) else f"{v:.10g}" for v in row]
        lines.append(",".join([*cells, *(_quoted(v[i]) for v in words.values())]))
    return ("\n".join(lines) + "\n").encode()


def _quoted(word: str) -> str:
    plain = " ".join(word.replace('"', "'").split())
    return f'"{plain}"' if "," in plain else plain


def _worn(said: str) -> str | None:
    places = [place for place, words in (("hand", _HAND), ("forearm", _FOREARM)) if words.search(said)]
    return places[0] if len(places) == 1 else None


def _named(header: str, place: str, clock: str | None) -> str:
    return header if header == clock or _worn(header) == place else f"{place} {header}"


__all__ = ["Half", "half_of", "join_halves", "which_is_hand"]

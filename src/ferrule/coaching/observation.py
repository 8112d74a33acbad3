"""One observation for the model, and how readings of several swings become one."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.case import How, Reading, Swings
from ferrule.coaching.delivery_state import States
from ferrule.coaching.quantities import FACE, QUANTITIES, Quantity
from ferrule.coaching.references import SCATTER
from ferrule.units import DEG

Floats = NDArray[np.float64]

SHARED: Final[dict[How, float]] = {
    "by_eye": 0.7,
    "sensor": 0.7,
    "video": 0.5,
    "ball": 0.0,
    "typed": 0.0,
    "assumed": 1.0,
}
"""Part of a reading's doubt that all swings of one eye, mounting or camera share (common practice, no source)."""
_NOT_SHARED: Final = ("delivery.", "ball.")


@dataclass(frozen=True, slots=True)
class Observation:
    """A normal likelihood: value = predict(state) + N(0, sd). name says where it came from; how is its best source.

    predict: n states to shape (n,), in the unit of value (radians). relative: further doubt as a share of what is
    predicted, for a link that is itself only known to some per cent.
    """

    name: str
    value: float
    sd: float
    predict: Callable[[States], Floats]
    how: How = "typed"
    relative: float = 0.0

    def spread(self, predicted: Floats) -> Floats | float:
        """Sd of the reading where this is predicted."""
        return np.sqrt(self.sd**2 + (self.relative * predicted) ** 2) if self.relative else self.sd

    def log_likelihood(self, states: States) -> Floats:
        """Log density up to a constant, shape (n,)."""
        predicted = self.predict(states)
        spread = self.spread(predicted)
        log_density = -0.5 * ((self.value - predicted) / spread) ** 2
        # An sd that is the same everywhere is part of the constant.
        return np.asarray(log_density - np.log(spread) if self.relative else log_density)


@dataclass(frozen=True, slots=True)
class Summary:
    """Mean of one quantity over the swings of a case: value and sd in radians (or the quantity's own unit when it is
    not an angle); count of readings; spread: sd between swings with the reading noise taken out, None below 3.
    """

    value: float
    sd: float
    count: int
    how: How
    spread: float | None


@dataclass(frozen=True, eq=False, slots=True)
class Column:
    """Readings of one quantity over several swings, in the unit of its key, one after the other.

    hows, place: how each was got, and of which swing; doubt: none below 0.001; shared: part of each doubt in which readings
    of one source err alike, and source: the number of that source, both None where all are read anew; all of shape (n,).
    """

    quantity: Quantity
    hows: Sequence[How]
    place: Sequence[int]
    value: Floats
    doubt: Floats
    shared: Floats | None = None
    source: NDArray[np.intp] | None = None

    def some(self, keep: Sequence[bool]) -> "Column | None":
        """Those to keep, None when it is none of them."""
        at = [i for i, kept in enumerate(keep) if kept]
        if not at:
            return None
        shared = None if self.shared is None else self.shared[at]
        source = None if self.source is None else self.source[at]
        hows, place = [self.hows[i] for i in at], [self.place[i] for i in at]
        return Column(self.quantity, hows, place, self.value[at], self.doubt[at], shared, source)


def column_of(swings: Swings, key: str) -> Column | None:
    """All readings of one key of the glossary, or None when no swing has it."""
    return swings.once(_column, key)


def column_of_readings(
    quantity: Quantity, readings: Sequence[Reading], places: Sequence[int], swings: Swings | None = None
) -> Column:
    """The column of these readings. places: of their swings; without swings, all are of one mounting."""
    hows = [r.how for r in readings]
    value = np.array([r.value for r in readings])
    used = dict.fromkeys(hows)
    usual = {how: Reading(0.0, None, how).doubt(quantity) for how in used}
    doubt = np.maximum(np.array([usual[r.how] if r.sd is None else r.sd for r in readings]), 1e-3)
    part = {how: 0.0 if _independent(quantity, how) else SHARED[how] for how in used}
    if not any(part.values()):
        return Column(quantity, hows, places, value, doubt)
    return Column(
        quantity, hows, places, value, doubt, np.array([part[h] for h in hows]), _sources(hows, places, swings)
    )


def mean_of(swings: Swings, key: str) -> float | None:
    """Plain mean of what was read under one key, in its unit, or None."""
    column = column_of(swings, key)
    return None if column is None else float(column.value.mean())


def summary_of(swings: Swings, key: str, scatter: str, *, more_sd: float = 0.0) -> Summary | None:
    """One quantity over swings, or None when no swing has it.

    key: of the glossary; scatter: row of `SCATTER` that says how this golfer varies; more_sd: extra doubt that does not
    average out, in the key's unit.
    """
    return swings.once(_summary, key, scatter, more_sd)


def summary_of_readings(readings: Sequence[Reading], quantity: Quantity, scatter_deg: float, swings: int) -> Summary:
    """The same of readings that are of one source, out of `swings` swings."""
    return summary_of_column(column_of_readings(quantity, readings, range(len(readings))), scatter_deg, swings)


def summary_of_column(column: Column, scatter_deg: float, swings: int, more_sd: float = 0.0) -> Summary:
    """Precision-weighted mean of readings of one quantity out of `swings` swings; see `summary_of`."""
    unit = DEG if column.quantity.key.endswith("_deg") else 1.0
    values, doubts, count = column.value, column.doubt, len(column.value)
    own_variance = doubts**2
    if column.shared is not None:
        own_variance *= 1.0 - column.shared**2
    own_variance += 1e-9
    scatter = scatter_deg if unit == DEG else 0.0
    # Weights know the scatter too, so that one sharp reading does not stand for all swings.
    partial = count < swings
    weights = 1.0 / (own_variance + scatter**2 if partial else own_variance)
    weights /= weights.sum()
    variance = float(weights**2 @ own_variance) + more_sd**2
    if column.shared is not None and column.source is not None:
        variance += float(np.sum(np.bincount(column.source, weights * doubts * column.shared) ** 2))
    if partial:
        variance += scatter**2 * max(float(weights @ weights) - 1.0 / swings, 0.0)
    spread = None
    if count >= 3:
        apart = values - values.sum() / count
        between = float(apart @ apart) / (count - 1) - float(own_variance.sum()) / count
        spread = sqrt(max(between, 0.0)) * unit
    best = column.hows[int(doubts.argmin())]
    return Summary(float(weights @ values) * unit, sqrt(variance) * unit, count, best, spread)


def _summary(swings: Swings, key: str, scatter: str, more_sd: float) -> Summary | None:
    column = column_of(swings, key)
    return None if column is None else summary_of_column(column, SCATTER[scatter], len(swings), more_sd)


def _read(swings: Swings) -> dict[str, list[tuple[Reading, int]]]:
    """Every reading and the place of its swing, by key."""
    found: defaultdict[str, list[tuple[Reading, int]]] = defaultdict(list)
    for place, swing in enumerate(swings):
        for key, reading in swing.readings.items():
            found[key].append((reading, place))
    return dict(found)


def _column(swings: Swings, key: str) -> Column | None:
    read = swings.once(_read).get(key)
    if read is None:
        return None
    readings, places = zip(*read, strict=True)
    column = column_of_readings(QUANTITIES[key], readings, list(places), swings)
    if key == FACE and column.shared is not None:
        # What its mounting adds was taken out of the reading, and the doubt of that is in its own.
        column.shared[[swings[i].zeroed for i in column.place]] = 0.0
    return column


def _independent(quantity: Quantity, how: How) -> bool:
    """Delivery and ball are read anew with every swing, but for what sensors say of the face: that holds the mounting."""
    return how != "sensor" and quantity.key.startswith(_NOT_SHARED)


def _sources(hows: Sequence[How], places: Sequence[int], swings: Swings | None) -> NDArray[np.intp]:
    """Of each reading, the number of what errs alike in several of them: sensors within a mounting; eye and camera, and
    what has no mounting, in all their readings.
    """
    if swings is None or "sensor" not in hows:
        return np.zeros(len(hows), np.intp)
    names = [swings[i].mount if how == "sensor" else None for how, i in zip(hows, places, strict=True)]
    known = {name: i for i, name in enumerate(dict.fromkeys(names))}
    return np.array([known[n] for n in names], np.intp)

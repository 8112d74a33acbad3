"""One observation for the model, and how readings of several swings become one."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.case import CaseSwing, How, Reading
from ferrule.coaching.delivery_state import States
from ferrule.coaching.quantities import QUANTITIES, Quantity
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
        return np.asarray(-0.5 * ((self.value - predicted) / spread) ** 2 - np.log(spread))


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


def summary_of(swings: Sequence[CaseSwing], key: str, scatter: str, *, more_sd: float = 0.0) -> Summary | None:
    """One quantity over swings, or None when no swing has it.

    key: of the glossary; scatter: row of `SCATTER` that says how this golfer varies; more_sd: extra doubt that does not
    average out, in the key's unit.
    """
    quantity = QUANTITIES[key]
    read = [s for s in swings if key in s.readings]
    if not read:
        return None
    return summary_of_readings(
        [s.readings[key] for s in read],
        quantity,
        SCATTER[scatter],
        len(swings),
        more_sd=more_sd,
        mounts=[s.mount for s in read],
        zeroed=[s.zeroed for s in read] if key == "delivery.face_deg" else (),
    )


def summary_of_readings(
    readings: Sequence[Reading],
    quantity: Quantity,
    scatter_deg: float,
    swings: int,
    *,
    more_sd: float = 0.0,
    mounts: Sequence[str | None] = (),
    zeroed: Sequence[bool] = (),
) -> Summary:
    """Precision-weighted mean of readings of one quantity out of `swings` swings; see `summary_of`.

    mounts: of each reading; without, all are of one; zeroed: whether what its mounting adds was taken out of it, so that
    the doubt of that is in its own.
    """
    unit = DEG if quantity.key.endswith("_deg") else 1.0
    values = np.array([r.value for r in readings])
    doubts = np.array([max(r.doubt(quantity), 1e-3) for r in readings])
    shared_part = {how: 0.0 if _independent(quantity, how) else SHARED[how] for how in {r.how for r in readings}}
    share = np.array([shared_part[r.how] for r in readings])
    if any(zeroed):
        share[list(zeroed)] = 0.0
    own_variance = doubts**2 * (1.0 - share**2) + 1e-9
    scatter = scatter_deg if unit == DEG else 0.0
    # Weights know the scatter too, so that one sharp reading does not stand for all swings.
    partial = len(readings) < swings
    weights = 1.0 / (own_variance + (scatter**2 if partial else 0.0))
    weights /= weights.sum()
    mean = float(weights @ values)
    alike = weights * doubts * share
    shared = float(np.sum(np.bincount(_sources(readings, mounts), alike) ** 2)) if share.any() else 0.0
    variance = float(weights**2 @ own_variance) + shared + more_sd**2
    if partial:
        variance += scatter**2 * max(float(weights @ weights) - 1.0 / swings, 0.0)
    spread = None
    if len(readings) >= 3:
        apart = values - values.sum() / len(values)
        between = float(apart @ apart) / (len(values) - 1) - float(own_variance.sum()) / len(values)
        spread = sqrt(max(between, 0.0)) * unit
    best = readings[int(np.argmin(doubts))].how
    return Summary(mean * unit, sqrt(variance) * unit, len(readings), best, spread)


def _independent(quantity: Quantity, how: How) -> bool:
    """Delivery and ball are read anew with every swing, but for what sensors say of the face: that holds the mounting."""
    return how != "sensor" and quantity.key.startswith(_NOT_SHARED)


def _sources(readings: Sequence[Reading], mounts: Sequence[str | None]) -> NDArray[np.intp]:
    """Of each reading, the number of what errs alike in several of them: sensors within a mounting; eye and camera, and
    what has no mounting, in all their readings.
    """
    names = [m if r.how == "sensor" else None for r, m in zip(readings, mounts, strict=True)] if mounts else []
    known = {name: i for i, name in enumerate(dict.fromkeys(names))}
    return np.array([known[n] for n in names], np.intp) if len(known) > 1 else np.zeros(len(readings), np.intp)

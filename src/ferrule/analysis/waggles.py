"""Waggles before an address, and what moves fast without being a swing."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.sensing.orientation import SensorRun
from ferrule.sensing.stillness import Still, runs
from ferrule.signals.derivative import lengths, smoothed, usual_step
from ferrule.signals.prefix import angle_from
from ferrule.units import DEG

Floats = NDArray[np.float64]

WAGGLE_ANGLE: Final = 30.0 * DEG
"""A waggle stays within this angle of the address pose (common practice)."""
WAGGLE_RATE: Final = 0.4
"""Each half of a waggle reaches this hand rate, rad/s (common practice)."""
LOOK_BACK: Final = 6.0
"""How long before the still address waggles are looked for, s."""
AWAY: Final = 40.0 * DEG
"""A swing takes the hand at least this far from its address pose..."""
BACK: Final = 40.0 * DEG
"""...and comes back to it within this, near its fastest moment; teeing a ball does not (common practice)."""


@dataclass(frozen=True, slots=True)
class Waggle:
    """start_s, end_s: file clock; halves: how many times the hand moved."""

    start_s: float
    end_s: float
    halves: int


def find_waggle(run: SensorRun, address: Still) -> Waggle | None:
    """Waggles just before a still address: the hand near its address pose, moving to and fro at least twice."""
    t = run.time_s
    low = int(np.searchsorted(t, t[address.low] - LOOK_BACK))
    if address.low - low < 10:
        return None
    rows = run.turned.as_quat()[low : address.low + 1]
    angle = angle_from(rows[:-1], rows[-1])
    far = np.flatnonzero(angle > WAGGLE_ANGLE)
    start = low + (int(far[-1]) + 1 if far.size else 0)
    step = usual_step(t)
    rate = smoothed(lengths(run.rate[start : address.low]), round(0.06 / step))
    moving = rate > WAGGLE_RATE
    edges = np.flatnonzero(moving[1:] != moving[:-1])
    halves = len(runs(moving))
    if halves < 3:
        # the walk up to the ball ends in one movement
        return None
    first = start + (int(edges[0]) if edges.size else 0)
    return Waggle(float(t[first]), float(t[address.low]), halves)


def swings_like_golf(run: SensorRun, address: Still, peak: int) -> bool:
    """Whether the hand went away from its address pose and came back near it around its fastest moment."""
    t = run.time_s
    near_low, near_high = np.searchsorted(t, [t[peak] - 0.3, t[peak] + 0.3])
    first = address.high - 1
    rows = run.turned.as_quat()[first : max(peak + 1, int(near_high))]
    away = angle_from(rows[1 : peak + 1 - first : 4], rows[0])
    near = angle_from(rows[max(int(near_low) - first, 0) : int(near_high) - first : 2], rows[0])
    return bool(away.size and away.max() > AWAY and near.min() < BACK)

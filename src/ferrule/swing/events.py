"""Events of one swing, each with its time and the doubt of that time.

address: end of the still stand; takeaway: the hand leaves it; top: the turn-round, where the hand's turning about the
axis of the downswing changes its sign; lead_arm_level_down, shaft_level_down: forearm and shaft through the horizontal
on the way down; impact: onset of the blow, or, without one, the return to the address pose (and said so); finish: the
turning has died down.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.signals.derivative import crossings, smoothed, usual_step
from ferrule.signals.prefix import rotation_product
from ferrule.swing.track import ArmTrack
from ferrule.units import DEG

Floats = NDArray[np.float64]
EventName = Literal["address", "takeaway", "top", "lead_arm_level_down", "shaft_level_down", "impact", "finish"]
EVENTS: Final[tuple[EventName, ...]] = (
    "address",
    "takeaway",
    "top",
    "lead_arm_level_down",
    "shaft_level_down",
    "impact",
    "finish",
)
How = Literal["seen", "blow", "address_pose", "peak_rate"]

TAKEAWAY_RATE: Final = 10.0 * DEG
"""Rate of the hand that marks the takeaway, rad/s; sway stays below (common practice)."""
FINISH_RATE: Final = 30.0 * DEG
"""Rate of the hand below which the swing is finished, rad/s (common practice)."""
FINISH_SD: Final = 0.00024
"""Doubt of the instant at which the rate passes `FINISH_RATE`, s (simulation)."""
ADDRESS_BEFORE: Final = 0.4
"""The address instant lies this long before the takeaway, about 0.3 s before the first motion, s (common practice)."""
FOREIGN_RATE: Final = 0.034
"""Turning about the downswing's axis that does not belong to it, rad/s: what calibration and soft tissue leave at the
top after smoothing (simulation)."""


ADDRESS_POSE_SD: Final = 0.020
"""Return to the address pose against the instant a ball would have been hit, s (simulation: 4 ms in full swings, 13 in half
swings, 30 in chips; a captured swing: 40)."""


@dataclass(frozen=True, slots=True)
class Event:
    """time_s on the file's clock, sd of it in seconds, and how it was found."""

    time_s: float
    sd: float
    how: How = "seen"


@dataclass(frozen=True, eq=False, slots=True)
class SwingShape:
    """What the top is read from. peak: index of the largest hand rate; direction: axis of the downswing's turning in the
    world, unit, shape (3,); turning: rate about it, rad/s, shape (n,).
    """

    peak: int
    direction: Floats
    turning: Floats


def swing_shape(time_s: Floats, rate: Floats, peak: int, *, span_s: float = 0.06) -> SwingShape:
    """Axis of the downswing from the rates around its peak, and the turning about it. rate: rad/s, shape (n, 3)."""
    low, high = np.searchsorted(time_s, [time_s[peak] - span_s, time_s[peak] + 0.2 * span_s])
    mean = rate[low : max(int(high), int(low) + 1)].mean(axis=0)
    direction = mean / np.linalg.norm(mean)
    return SwingShape(peak, direction, rate @ direction)


def find_top(time_s: Floats, shape: SwingShape, start: int) -> Event | None:
    """Last time before the peak, and after sample `start`, at which the turning changes to the downswing's way."""
    width = max(1, round(0.012 / usual_step(time_s)))
    turning = smoothed(shape.turning[start : shape.peak + 1], width)
    up = crossings(time_s[start : shape.peak + 1], turning, rising=True)
    if up.size == 0:
        return None
    when = float(up[-1])
    k = int(np.searchsorted(time_s, when)) - start
    low, high = max(k - width, 0), min(k + width, len(turning) - 1)
    slope = abs(float((turning[high] - turning[low]) / (time_s[start + high] - time_s[start + low])))
    return Event(when, float(np.clip(FOREIGN_RATE / max(slope, 1e-6), 0.002, 0.04)))


def find_takeaway(time_s: Floats, rate: Floats, start: int, top: int) -> Event | None:
    """Where the hand leaves the stand: its rate last passes `TAKEAWAY_RATE` before the backswing's fastest moment."""
    if top - start < 3:
        return None
    slow = smoothed(rate, max(1, round(0.03 / usual_step(time_s))))
    fastest = start + int(np.argmax(slow[start:top]))
    up = crossings(time_s[start : fastest + 1], slow[start : fastest + 1] - TAKEAWAY_RATE, rising=True)
    return Event(float(up[-1]) if up.size else float(time_s[start]), 0.0032)


def find_finish(time_s: Floats, rate: Floats, after: int) -> Event | None:
    """First time after sample `after` at which the hand is nearly at rest or turns back. rate: its length, shape (n,)."""
    if len(time_s) - after < 2:
        return None
    step = usual_step(time_s)
    # found where a moment's standstill does not count, read where smoothing does not make it late
    coarse, fine = (
        crossings(time_s[after:], smoothed(rate, round(width / step))[after:] - FINISH_RATE, rising=False)
        for width in (0.03, 0.006)
    )
    if coarse.size == 0:
        return None
    near = float(fine[np.argmin(np.abs(fine - coarse[0]))]) if fine.size else float(coarse[0])
    return Event(near if abs(near - coarse[0]) < 0.02 else float(coarse[0]), FINISH_SD)


def level_crossing(time_s: Floats, rise: Floats, low: int, high: int, sd_angle: float) -> Event | None:
    """Last time between samples at which a unit direction comes down through the horizontal.

    rise: its vertical component, + before the crossing, shape (n,). sd_angle: doubt of the direction, radians; the doubt
    of the time is that over the rate of the crossing.
    """
    down = crossings(time_s[low:high], rise[low:high], rising=False)
    if down.size == 0:
        return None
    when = float(down[-1])
    k = min(max(int(np.searchsorted(time_s, when)), 1), len(time_s) - 1)
    speed = abs(float((rise[k] - rise[k - 1]) / (time_s[k] - time_s[k - 1])))
    return Event(when, float(min(sd_angle / max(speed, 1e-3), 0.1)))


def return_to_address(track: ArmTrack, at: int, top: int, high: int) -> Event | None:
    """Where hand and forearm come nearest to their pose at sample `at` on the way down: for swings without a blow.

    Least of the squared turn of the hand plus three times the squared angle of the forearm's direction: the hand alone is off
    by the lean of the shaft and by what body and shoulder have turned on. It is not an impact time, and is labelled so.
    """
    if high - top < 5:
        return None
    down = slice(top, high)
    hand = np.atleast_1d(rotation_product(track.hand[at].inv(), track.hand[down]).magnitude())
    axis = track.forearm_axis
    forearm = np.arccos(np.clip(axis[down] @ axis[at], -1.0, 1.0))
    k = int(np.argmin(hand**2 + 3.0 * forearm**2))
    if k in {0, high - top - 1}:
        return None
    return Event(float(track.time_s[top + k]), ADDRESS_POSE_SD, "address_pose")

"""The clock of a recording: rising, fast enough, without gaps; an even clock where it is not."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from ferrule.errors import Issue, fault
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.signals.derivative import middle, usual_step

Floats = NDArray[np.float64]

LONGEST_FILLED: Final = 0.010
"""A gap up to this long is filled, s."""
LOWEST_RATE_HZ: Final = 25.0
"""Below this no movement of the hand can be followed."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time, seconds on the file's clock."""

    start_s: float
    end_s: float

    @property
    def length_s(self) -> float:
        """Its length."""
        return self.end_s - self.start_s

    def overlaps(self, start_s: float, end_s: float) -> bool:
        """Whether it shares an instant with start to end."""
        return self.start_s < end_s and self.end_s > start_s


def find_gaps(time_s: Floats) -> list[Span]:
    """Steps of the clock longer than one and a half samples, from the last sample before to the first after."""
    steps = np.diff(time_s)
    if steps.size == 0 or steps.max() <= 1.5 * steps.min():
        return []
    wide = np.flatnonzero(steps > 1.5 * middle(steps))
    return [Span(float(time_s[i]), float(time_s[i + 1])) for i in wide]


def resample_uniform(
    recording: Recording, rate_hz: float | None = None, *, longest_filled_s: float = LONGEST_FILLED
) -> Recording:
    """The recording on an even clock: cubic between samples, gaps up to `longest_filled_s` filled, longer ones open.

    rate_hz: default the median rate. Samples that would fall inside a longer gap are left out, so that the clock shows
    it. Phase labels go with the nearest sample before. Cubic interpolation keeps to the samples' range at clipped ones.
    """
    t = recording.time_s
    step = 1.0 / (rate_hz or recording.rate_hz)
    even = t[0] + step * np.arange(int(np.floor((t[-1] - t[0]) / step + 1e-6)) + 1)
    usual = usual_step(t)
    for gap in find_gaps(t):
        if gap.length_s - usual > longest_filled_s:
            even = even[(even <= gap.start_s + 0.25 * usual) | (even >= gap.end_s - 0.25 * usual)]

    def moved(trace: SensorTrace | None) -> SensorTrace | None:
        if trace is None:
            return None
        both = []
        for values in (trace.acc, trace.gyr):
            curve = CubicSpline(t, values)(even)
            low, high = values.min(axis=0), values.max(axis=0)
            both.append(np.clip(curve, low, high))
        return SensorTrace(both[0], both[1])

    forearm, hand = moved(recording.forearm), moved(recording.hand)
    assert forearm is not None and hand is not None
    phase = recording.phase
    if phase is not None:
        phase = phase[np.clip(np.searchsorted(t, even + 1e-9, side="right") - 1, 0, t.size - 1)]
    return replace(
        recording,
        time_s=even,
        forearm=forearm,
        hand=hand,
        trail_forearm=moved(recording.trail_forearm),
        trail_hand=moved(recording.trail_hand),
        phase=phase,
    )


def check_clock(time_s: Floats) -> list[Issue]:
    """Rate too low or unlikely, clock not rising, recording too short."""
    found: list[Issue] = []
    steps = np.diff(time_s)
    if (steps < 0.0).any():
        at = int(np.flatnonzero(steps < 0.0)[0])
        found.append(
            fault(
                "time_not_rising",
                "time_s",
                expected="times that rise from row to row",
                got=f"{time_s[at + 1]:.6g} after {time_s[at]:.6g} in row {at + 2}",
                cause="two recordings were joined or rows were sorted by another column",
                do="Export each recording by itself, in its own order",
            )
        )
        return found
    usual = usual_step(time_s)
    if usual <= 0.0:
        found.append(
            fault(
                "time_not_rising",
                "time_s",
                expected="times that rise from row to row",
                got="the same time in most rows",
                cause="the time was rounded, for example to whole seconds",
                do="Export the time with at least four decimals",
            )
        )
        return found
    rate = 1.0 / usual
    if rate < LOWEST_RATE_HZ:
        guess = "the time is in milliseconds, labelled seconds" if 20.0 < rate * 1000.0 < 5000.0 else "a slow export"
        found.append(
            fault(
                "rate_too_low",
                "time_s",
                expected=f"at least {LOWEST_RATE_HZ:.0f} rows a second",
                got=f"{rate:.3g}",
                cause=guess,
                do="Check the unit of the time column, or record at 500 Hz",
            )
        )
    elif rate > 20_000.0:
        found.append(
            fault(
                "rate_too_high",
                "time_s",
                expected="at most 20000 rows a second",
                got=f"{rate:.3g}",
                cause="the time is in seconds, labelled milliseconds or microseconds",
                do="Check the unit of the time column",
            )
        )
    return found

"""Where both sensors are still: table rests, held poses, addresses."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.sensing.recording import SensorTrace
from ferrule.signals.derivative import dots, smoothed, usual_step
from ferrule.units import DEG

Floats = NDArray[np.float64]

STILL_RATE: Final = 6.0 * DEG
"""Rate below which a sensor counts as still, rad/s: sway at address stays under 3 deg/s (common practice)."""
STILL_TIME: Final = 0.25
"""Shortest still window, s: 0.3 s of stillness, less what smoothing takes, is enough for inclination."""


@dataclass(frozen=True, slots=True)
class Still:
    """A still window: samples low to high (exclusive)."""

    low: int
    high: int

    def last(self, time_s: Floats, seconds: float) -> "Still":
        """Its last part of at most this length."""
        low = int(np.searchsorted(time_s, time_s[self.high - 1] - seconds))
        return Still(max(self.low, low), self.high)


def still_windows(
    time_s: Floats,
    sensors: tuple[tuple[SensorTrace, Floats], ...],
    *,
    limit: float = STILL_RATE,
    shortest_s: float = STILL_TIME,
) -> list[Still]:
    """Windows in which every sensor is still. sensors: traces with their gyro biases (rad/s, shape (3,))."""
    step = usual_step(time_s)
    calm = np.ones(len(time_s), dtype=np.bool_)
    for sensor, bias in sensors:
        rate = smoothed(sensor.gyr - bias, round(0.04 / step))
        calm &= dots(rate, rate) < limit**2
    return [Still(low, high) for low, high in runs(calm) if time_s[high - 1] - time_s[low] >= shortest_s]


def runs(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Runs of True as (low, high), high exclusive."""
    edge = np.diff(np.concatenate(([0], mask.astype(np.int8), [0])))
    return list(zip(np.flatnonzero(edge == 1).tolist(), np.flatnonzero(edge == -1).tolist(), strict=True))


def gyro_bias(time_s: Floats, sensor: SensorTrace, rest: Still | None) -> tuple[Floats, float]:
    """Gyro bias, rad/s, and its sd per axis.

    rest: a table rest, which gives it cleanly; without one the stillest half second counts, and a swaying golfer leaves
    about 0.3 deg/s of doubt in it.
    """
    if rest is not None:
        part = sensor.gyr[rest.low : rest.high]
        # white noise of consumer parts over a second or more leaves a few thousandths of a degree a second
        return part.mean(axis=0), max(float(part.std()) / np.sqrt(len(part)), 0.01 * DEG)
    step = usual_step(time_s)
    width = max(3, min(round(0.5 / step), len(time_s)))
    mean = smoothed(sensor.gyr, width)
    apart = sensor.gyr - mean
    spread = smoothed(dots(apart, apart), width)
    half = width // 2
    inner = spread[half : len(spread) - half]
    best = half + int(np.argmin(inner)) if inner.size else len(spread) // 2
    return np.asarray(mean[best], dtype=np.float64), 0.3 * DEG

"""Both sensors through one swing: from a still address, level, on one clock, in one world."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.sensing.inclination import level_quaternion
from ferrule.sensing.recording import SensorTrace
from ferrule.sensing.strapdown import turned_since_start
from ferrule.signals.prefix import INVERSE, quaternions_from_rotation_vectors, row_product

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True)
class SensorRun:
    """One sensor through a whole recording. turned: orientation in a world of its own, n rotations; rate: rad/s, bias
    removed, in sensor axes, shape (n, 3).
    """

    time_s: Floats
    turned: Rotation
    rate: Floats


def sensor_runs(time_s: Floats, *sensors: tuple[SensorTrace, Floats]) -> list[SensorRun]:
    """Integrate sensors through the whole recording; each address then levels its own stretch of it.

    sensors: each with its gyro's bias, rad/s.
    """
    rates = [sensor.gyr - bias for sensor, bias in sensors]
    turned = turned_since_start(time_s, rates)
    return [SensorRun(time_s, *told) for told in zip(turned, rates, strict=True)]


@dataclass(frozen=True, eq=False, slots=True)
class LevelRun:
    """A stretch of a sensor's run, levelled at its address: orientation sensor to world (Y up, heading free), n rotations,
    and rate, rad/s, in the sensor's axes, shape (n, 3), on the file's clock.
    """

    time_s: Floats
    turned: Rotation
    rate: Floats


def level_run(run: SensorRun, up: Floats, at: int, low: int, high: int, late_s: float = 0.0) -> LevelRun:
    """The stretch low to high (exclusive) of a run, level where its sample `at` reads `up` (sensor axes).

    late_s: by how much this sensor's clock runs late; its reading for the file's time t stands at t + late_s and is
    taken from there, between samples by the rate.
    """
    rows, clock = run.turned.as_quat(), run.time_s[low:high]
    level = row_product(level_quaternion(up), rows[at] * INVERSE)
    if late_s == 0.0:
        return LevelRun(clock, Rotation.from_quat(row_product(level, rows[low:high])), run.rate[low:high])
    k, gone, rate = _between(run, low, high, late_s)
    # by the mean of the rate there and at the sample before
    steps = quaternions_from_rotation_vectors((0.5 * gone[:, None] * (run.rate[k] + rate)).T)
    return LevelRun(clock, Rotation.from_quat(row_product(row_product(level, rows[k]), steps.T)), rate)


def rate_between(run: SensorRun, low: int, high: int, late_s: float) -> Floats:
    """The rate alone of the same stretch, rad/s, shape (n, 3)."""
    return run.rate[low:high] if late_s == 0.0 else _between(run, low, high, late_s)[2]


def _between(run: SensorRun, low: int, high: int, late_s: float) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Samples before the file's times as a late clock shows them, time gone since, s, and the rate there."""
    clock = run.time_s
    wanted = np.minimum(np.maximum(clock[low:high] + late_s, clock[0]), clock[-1])
    k = np.minimum(np.searchsorted(clock, wanted, side="right") - 1, len(clock) - 2)
    gone = wanted - clock[k]
    share = (gone / (clock[k + 1] - clock[k]))[:, None]
    before = run.rate[k]
    return k, gone, before + share * (run.rate[k + 1] - before)

"""What physics says about a sensor's signals: units, signs, silence."""

from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.errors import Issue, fault
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.sensing.stillness import runs
from ferrule.sensing.strapdown import strapdown
from ferrule.signals.derivative import smoothed
from ferrule.units import DEG, GRAVITY

Floats = NDArray[np.float64]
SensorKey = Literal["forearm", "hand", "trail_forearm", "trail_hand"]

IMPOSSIBLE_RATE: Final = 5000.0 * DEG
"""No wrist turns faster, rad/s: the fastest rates reported for clubs are about 3600 deg/s (common practice)."""
READINGS: Final = (1.0, DEG, 1.0 / DEG, -1.0)
"""Factors by which a gyro may have been misread: none, degrees, converted twice, wrong sign."""
_GRAVITY_BAND: Final = (8.8, 10.8)
"""Accepted specific force at rest, m/s^2."""


def traces(recording: Recording) -> list[tuple[SensorKey, SensorTrace]]:
    """All sensors of a recording with their names."""
    found: list[tuple[SensorKey, SensorTrace]] = [("forearm", recording.forearm), ("hand", recording.hand)]
    if recording.trail_forearm is not None:
        found.append(("trail_forearm", recording.trail_forearm))
    if recording.trail_hand is not None:
        found.append(("trail_hand", recording.trail_hand))
    return found


def _spoken(sensor: SensorKey) -> str:
    return sensor.replace("_", " ")


def spoken(sensor: SensorKey) -> str:
    """The name of a sensor in words."""
    return sensor.replace("_", " ")


def rest_magnitude(trace: SensorTrace) -> float:
    """Specific force while the sensor turns least: median over the calmest tenth of the samples."""
    size = np.linalg.norm(trace.gyr - np.median(trace.gyr, axis=0), axis=1)
    calm = size <= np.quantile(size, 0.1)
    return float(np.median(np.linalg.norm(trace.acc[calm], axis=1)))


def gravity_agreement(time_s: Floats, trace: SensorTrace) -> dict[float, float] | None:
    """How well gravity stays put in the world when the gyro is taken times each of `READINGS`: median angle, radians.

    Gravity's direction is read where the sensor feels little else; between two such instants, 0.2 to 1.5 s apart, the
    sensor turns as the gyro says. Only pairs between which gravity turned by more than 15 deg in the sensor count. None
    when there are fewer than eight. A right gyro leaves 1-6 deg, one in another unit or with another sign 20 and more.
    """
    n = int(np.searchsorted(time_s, time_s[0] + 180.0))  # three minutes tell
    every = max(1, round(0.01 / float(np.median(np.diff(time_s[:n])))))  # and a hundred samples a second are enough
    t = time_s[:n:every]
    acc, gyr = smoothed(trace.acc[:n], every)[::every], smoothed(trace.gyr[:n], every)[::every]
    if t.size < 3:
        return None
    step = float(np.median(np.diff(t)))
    width = max(1, round(0.06 / step)) | 1
    if t.size < 8 * width:
        return None
    force = smoothed(acc, width)
    size = np.linalg.norm(force, axis=1)
    level = rest_magnitude(trace)
    if not level > 0.0:
        return None
    rough = smoothed(np.linalg.norm(acc - force, axis=1), width)
    quiet = (np.abs(size - level) < 0.04 * level) & (rough < 0.05 * level)
    direction = force / np.maximum(size, 1e-12)[:, None]
    some = np.flatnonzero(quiet)[:: max(1, round(0.05 / step))]
    first: list[int] = []
    second: list[int] = []
    for lag in (0.2, 0.4, 0.7, 1.0, 1.5):
        later = np.searchsorted(t, t[some] + lag)
        there = later < t.size
        pair = quiet[np.minimum(later, t.size - 1)] & there
        first += some[pair].tolist()
        second += later[pair].tolist()
    a, b = np.array(first, dtype=np.int64), np.array(second, dtype=np.int64)
    if a.size:
        turned = np.arccos(np.clip(np.sum(direction[a] * direction[b], axis=1), -1.0, 1.0)) > 15.0 * DEG
        a, b = a[turned], b[turned]
    if a.size < 8:
        return None
    turning = np.linalg.norm(gyr, axis=1)
    bias = np.median(gyr[turning <= np.quantile(turning, 0.1)], axis=0)
    out = {}
    for reading in READINGS:
        world = strapdown(t, (gyr - bias) * reading, Rotation.identity()).apply(direction)
        out[reading] = float(np.median(np.arccos(np.clip(np.sum(world[a] * world[b], axis=1), -1.0, 1.0))))
    return out


def check_units(recording: Recording) -> list[Issue]:
    """Units that physics rules out, as faults; units that look odd, as warnings."""
    found: list[Issue] = []
    for name, trace in traces(recording):
        if _is_silent(trace.acc) or _is_silent(trace.gyr):
            continue
        found += _check_acceleration(name, trace) + _check_rate(name, recording.time_s, trace)
    return found


def _check_acceleration(name: SensorKey, trace: SensorTrace) -> list[Issue]:
    rest = rest_magnitude(trace)
    where = f"{name} accelerometer"
    known = (("g", GRAVITY), ("milli-g", GRAVITY / 1000.0), ("mm/s^2", 0.001), ("cm/s^2", 0.01), ("ft/s^2", 0.3048))
    if _GRAVITY_BAND[0] <= rest <= _GRAVITY_BAND[1]:
        return []
    for unit, factor in known:
        if abs(rest * factor - GRAVITY) < 0.08 * GRAVITY:
            return [
                fault(
                    "acceleration_unit",
                    where,
                    expected="about 9.81 m/s^2 at rest",
                    got=f"{rest:.3g}",
                    cause=f"the values are in {unit}, labelled m/s^2",
                    do=f"Name {unit} as the unit of these columns in the mapping",
                )
            ]
    severity: Literal["fault", "warning"] = "warning" if 5.0 < rest < 16.0 else "fault"
    words = f"{where}: expected about 9.81 m/s^2 at rest, got {rest:.3g}."
    words += " Likely cause: a wrong unit or scale, or the sensor never rests. Check the unit of these columns."
    return [Issue("acceleration_scale", severity, where, words)]


def _check_rate(name: SensorKey, time_s: Floats, trace: SensorTrace) -> list[Issue]:
    where = f"{name} gyro"
    # A single spike is no unit: the largest rate that lasts for one sample in a thousand, at least three samples.
    size = np.sort(np.abs(trace.gyr).max(axis=1))
    lasting = float(size[-min(size.size, max(3, size.size // 1000))])
    if lasting > IMPOSSIBLE_RATE:
        return [
            fault(
                "rate_unit",
                where,
                expected=f"at most {IMPOSSIBLE_RATE:.0f} rad/s ({IMPOSSIBLE_RATE / DEG:.0f} deg/s)",
                got=f"{lasting:.3g}",
                cause="the values are in deg/s, labelled rad/s",
                do="Name deg/s as the unit of these columns in the mapping",
            )
        ]
    agreement = gravity_agreement(time_s, trace)
    if agreement is None:
        return []
    best = min(agreement, key=lambda r: agreement[r])
    if agreement[best] > 0.4 * agreement[1.0]:
        if agreement[1.0] < 30.0 * DEG:
            return []
        words = f"{where}: gravity does not turn in this sensor as its gyro says ({agreement[1.0] / DEG:.0f} deg off)."
        words += " Likely cause: axes of gyro and accelerometer are not the same. Check the mapping."
        return [Issue("rate_axes", "warning", where, words)]
    if best == -1.0:
        words = f"{where}: gravity turns the other way in this sensor than its gyro says. Likely cause: a wrong sign."
        return [Issue("rate_sign", "warning", where, words + " Check the signs of its axes in the mapping.")]
    unit, cause = (
        ("deg/s", "the values are in deg/s, labelled rad/s")
        if best < 1.0
        else ("rad/s", "values in rad/s were converted from deg/s a second time")
    )
    return [
        fault(
            "rate_unit",
            where,
            expected="rates that match how gravity turns in the sensor",
            got="rates 57 times too " + ("large" if best < 1.0 else "small"),
            cause=cause,
            do=f"Name {unit} as the unit of these columns in the mapping",
        )
    ]


def _is_silent(values: Floats) -> bool:
    # most are told by their last row
    return bool(values.size and (values[-1] == values[0]).all() and (values == values[0]).all())


def check_silence(recording: Recording) -> list[Issue]:
    """Sensors that say nothing, say the same as another, or fall silent for half a second while others move."""
    found: list[Issue] = []
    seen: dict[SensorKey, Floats] = {}
    for name, trace in traces(recording):
        for signal, values in (("accelerometer", trace.acc), ("gyro", trace.gyr)):
            if _is_silent(values):
                zero = not values.any()
                found.append(
                    fault(
                        "silent_sensor",
                        f"{name} {signal}",
                        expected="values that change",
                        got="zero throughout" if zero else "one and the same value throughout",
                        cause="the sensor was off, out of reach or not exported",
                        do="Switch it on and record again",
                    )
                )
                continue
            found += _fell_silent(name, signal, recording.time_s, values)
        twin = next((other for other, gyr in seen.items() if np.array_equal(gyr, trace.gyr)), None)
        if twin is None:
            seen[name] = trace.gyr
        elif not _is_silent(trace.gyr):
            found.append(
                fault(
                    "same_sensor_twice",
                    name,
                    expected=f"other values than those of the {spoken(twin)}",
                    got="the very same",
                    cause="one sensor's columns were taken twice",
                    do="Check the mapping",
                )
            )
    return found


def _fell_silent(name: SensorKey, signal: str, time_s: Floats, values: Floats) -> list[Issue]:
    if not (values[1:, 0] == values[:-1, 0]).any():
        return []
    x, y, z = (values[1:] == values[:-1]).T
    same = np.concatenate(([False], x & y & z))
    out = []
    for a, b in runs(same):
        length = float(time_s[b - 1] - time_s[a - 1])
        if length >= 0.5:
            words = f"{name} {signal}: no new value for {length:.1f} s from {time_s[a - 1]:.2f} s on."
            words += " Likely cause: the sensor lost its link. Swings in this stretch cannot be used."
            out.append(Issue("sensor_fell_silent", "warning", f"{name} {signal}", words))
    return out

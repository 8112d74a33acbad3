"""What physics says about a sensor's signals: units, signs, silence."""

from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import Issue, fault
from ferrule.sensing.clipping import runs
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.units import DEG, GRAVITY

Floats = NDArray[np.float64]
SensorKey = Literal["forearm", "hand", "trail_forearm", "trail_hand"]

IMPOSSIBLE_RATE: Final = 5000.0 * DEG
"""No wrist turns faster, rad/s: the fastest rates reported for clubs are about 3600 deg/s (common practice)."""
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


def gyro_scale_from_gravity(time_s: Floats, trace: SensorTrace) -> float | None:
    """How fast the direction of gravity turns in the sensor, as a share of what the gyro says: near 1 when units agree.

    Least squares over samples in which the sensor turns slowly and feels little but gravity. None when it hardly turned
    then. 1/57.3 means that the gyro is in degrees; 57.3 that it was converted twice; negative that its sign is wrong.
    """
    step = float(np.median(np.diff(time_s)))
    width = max(3, round(0.08 / step) | 1)
    if time_s.size < 4 * width:
        return None
    kernel = np.ones(width) / width
    force = np.column_stack([np.convolve(trace.acc[:, k], kernel, mode="same") for k in range(3)])
    rate = np.column_stack([np.convolve(trace.gyr[:, k], kernel, mode="same") for k in range(3)])
    size = np.linalg.norm(force, axis=1)
    level = np.median(size)
    if not level > 0.0:
        return None
    direction = force / np.maximum(size, 1e-12)[:, None]
    turning = np.gradient(direction, time_s, axis=0)
    expected = -np.cross(rate, direction)
    use = np.abs(size - level) < 0.08 * level
    use[:width] = use[-width:] = False
    speed = np.linalg.norm(turning, axis=1)
    # From 0.3 to 4 rad/s by the accelerometer's own account: above noise and below a swing, whatever the gyro's unit.
    use &= (speed > 0.3) & (speed < 4.0)
    if int(use.sum()) < max(20, round(0.3 / step)):
        return None
    power = float(np.sum(expected[use] ** 2))
    if power <= 0.0:
        return None
    return float(np.sum(turning[use] * expected[use]) / power)


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
    lasting = float(size[-max(3, size.size // 1000)]) if size.size >= 3 else float(size[-1])
    share = gyro_scale_from_gravity(time_s, trace)
    in_degrees = share is not None and 0.5 < share / DEG < 2.0
    if lasting > IMPOSSIBLE_RATE or (in_degrees and lasting > 4.0):
        return [
            fault(
                "rate_unit",
                where,
                expected=f"at most {IMPOSSIBLE_RATE:.0f} rad/s ({IMPOSSIBLE_RATE / DEG:.0f} deg/s)",
                got=f"{lasting:.3g}"
                + (f", {1.0 / share:.0f} times what gravity shows" if share and in_degrees else ""),
                cause="the values are in deg/s, labelled rad/s",
                do="Name deg/s as the unit of these columns in the mapping",
            )
        ]
    if share is None:
        return []
    if share * DEG > 0.5:
        return [
            fault(
                "rate_unit",
                where,
                expected="rates that match how gravity turns in the sensor",
                got=f"rates {share:.0f} times too small",
                cause="values in rad/s were converted from deg/s a second time",
                do="Name rad/s as the unit of these columns in the mapping",
            )
        ]
    if share < -0.4:
        words = f"{where}: gravity turns the other way in this sensor than its gyro says. Likely cause: a wrong sign."
        return [Issue("rate_sign", "warning", where, words + " Check the signs of its axes in the mapping.")]
    if not 0.6 < share < 1.7:
        words = f"{where}: gravity turns {share:.2f} times as fast in this sensor as its gyro says."
        words += " Likely cause: axes of gyro and accelerometer are not the same, or a wrong scale. Check the mapping."
        return [Issue("rate_scale", "warning", where, words)]
    return []


def _is_silent(values: Floats) -> bool:
    return bool(values.size and (values == values[0]).all())


def check_silence(recording: Recording) -> list[Issue]:
    """Sensors that say nothing, say the same as another, or fall silent for half a second while others move."""
    found: list[Issue] = []
    seen: dict[bytes, SensorKey] = {}
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
        key = trace.gyr.tobytes()
        if key in seen and not _is_silent(trace.gyr):
            found.append(
                fault(
                    "same_sensor_twice",
                    name,
                    expected=f"other values than those of the {spoken(seen[key])}",
                    got="the very same",
                    cause="one sensor's columns were taken twice",
                    do="Check the mapping",
                )
            )
        seen.setdefault(key, name)
    return found


def _fell_silent(name: SensorKey, signal: str, time_s: Floats, values: Floats) -> list[Issue]:
    same = np.concatenate(([False], (np.diff(values, axis=0) == 0.0).all(axis=1)))
    out = []
    for a, b in runs(same):
        length = float(time_s[b - 1] - time_s[a - 1])
        if length >= 0.5:
            words = f"{name} {signal}: no new value for {length:.1f} s from {time_s[a - 1]:.2f} s on."
            words += " Likely cause: the sensor lost its link. Swings in this stretch cannot be used."
            out.append(Issue("sensor_fell_silent", "warning", f"{name} {signal}", words))
    return out

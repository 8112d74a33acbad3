"""The calibration protocol inside a recording: where each part lies, and what it says about the sensors.

Parts come from phase labels. The parts are: table rest, aim, flat hand, turning the forearm, bending the wrist, flat
hand again.
"""

from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.sensing.calibration import Calibration, SegmentAxes, main_axis
from ferrule.sensing.inclination import accelerometer_bias, mean_up
from ferrule.sensing.recording import Phase, Recording, SensorTrace
from ferrule.sensing.stillness import Still, gyro_bias, runs, still_windows
from ferrule.units import GRAVITY

Floats = NDArray[np.float64]

POSES: Final[tuple[Phase, ...]] = ("table_rest", "aim", "flat_hand", "flat_hand_end")


ACC_DRIFT_SD: Final = 0.002 * GRAVITY
"""How far an accelerometer's bias moves from one recording of a lesson to the next, m/s^2 (assumed)."""


@dataclass(frozen=True, slots=True)
class Protocol:
    """Windows of samples of each part that is there."""

    parts: dict[Phase, Still] = field(default_factory=dict)

    def get(self, phase: Phase) -> Still | None:
        """The window of a part, or None."""
        return self.parts.get(phase)

    def covered(self, count: int) -> NDArray[np.bool_]:
        """Samples from the first part to the last: sensors are strapped on and arms move between the parts, too."""
        out = np.zeros(count, dtype=np.bool_)
        if self.parts:
            out[min(p.low for p in self.parts.values()) : max(p.high for p in self.parts.values())] = True
        return out


def labelled_protocol(recording: Recording) -> Protocol:
    """From phase labels: the longest run of each label; poses less a fifth at each end, where the golfer still moves."""
    parts: dict[Phase, Still] = {}
    if recording.phase is None:
        return Protocol()
    names: tuple[Phase, ...] = (*POSES, "forearm_rotation", "flexion_extension")
    for name in names:
        found = runs(recording.phase == name)
        if not found:
            continue
        low, high = max(found, key=lambda run: run[1] - run[0])
        trim = (high - low) // 5 if name in POSES else 0
        if high - low - 2 * trim >= 5:
            parts[name] = Still(low + trim, high - trim)
    return Protocol(parts)


@dataclass(frozen=True, eq=False, slots=True)
class SensorState:
    """What is known of one sensor: gyro bias (rad/s) with its sd per axis; accelerometer bias (m/s^2) with covariance."""

    gyr_bias: Floats
    gyr_bias_sd: float
    acc_bias: Floats
    acc_covariance: Floats


def tilt_sd(state: SensorState) -> float:
    """Doubt of gravity's direction in a sensor by its accelerometer's bias, radians."""
    return float(np.sqrt(np.trace(state.acc_covariance) / 3.0)) / GRAVITY


def sensor_state(
    time_s: Floats,
    sensor: SensorTrace,
    protocol: Protocol,
    rests: list[Still],
    other: "SensorState | None" = None,
    gyro: tuple[Floats, float] | None = None,
) -> SensorState:
    """Biases of a sensor from the table rest and from every still pose. rests: still windows beside the protocol.

    other: what another recording of the same mount said; its gyro bias is used where this one has no table rest, its
    accelerometer bias is where this one starts from. gyro: its bias and sd, where they are known already.
    """
    table = protocol.get("table_rest")
    bias, sd = gyro_bias(time_s, sensor, table) if gyro is None else gyro
    if table is None and other is not None and other.gyr_bias_sd < sd:
        bias, sd = other.gyr_bias, other.gyr_bias_sd
    poses = []
    for window in [w for name in POSES if (w := protocol.get(name)) is not None] + rests:
        part = slice(window.low, window.high)
        poses.append(mean_up(time_s[part], SensorTrace(sensor.acc[part], sensor.gyr[part]), bias, np.zeros(3), 0))
    known = None if other is None else (other.acc_bias, other.acc_covariance + ACC_DRIFT_SD**2 * np.eye(3))
    acc_bias, covariance = accelerometer_bias(poses, known=known)
    return SensorState(bias, sd, acc_bias, covariance)


def calibration_from(
    recording: Recording, protocol: Protocol, forearm: SensorState, hand: SensorState
) -> Calibration | None:
    """Segment axes from the protocol's parts; None without even a flat hand."""
    time_s = recording.time_s
    if protocol.get("flat_hand") is None:
        return None

    def volar(sensor: SensorTrace, state: SensorState, window: Still | None) -> Floats | None:
        if window is None:
            return None
        part = slice(window.low, window.high)
        trace = SensorTrace(sensor.acc[part], sensor.gyr[part])
        up = mean_up(time_s[part], trace, state.gyr_bias, state.acc_bias, 0)
        return np.asarray(-up / np.linalg.norm(up))

    def axis(sensor: SensorTrace, state: SensorState, window: Still | None) -> Floats | None:
        if window is None:
            return None
        return main_axis(sensor.gyr[window.low : window.high] - state.gyr_bias)[0]

    def axes(sensor: SensorTrace, state: SensorState, movement: Phase) -> SegmentAxes:
        first = volar(sensor, state, protocol.get("flat_hand"))
        assert first is not None
        last = volar(sensor, state, protocol.get("flat_hand_end"))
        turning = axis(sensor, state, protocol.get("forearm_rotation")) if movement == "flexion_extension" else None
        return SegmentAxes(first, axis(sensor, state, protocol.get(movement)), last, turning)

    arm = axes(recording.forearm, forearm, "forearm_rotation")
    palm = axes(recording.hand, hand, "flexion_extension")
    guided = arm.functional is not None and palm.functional is not None
    turning = protocol.get("forearm_rotation")
    if turning is None:
        return Calibration(arm, palm, "guided" if guided else "pose_only")
    # the wrist does not twist: hand and forearm turn together, and what the forearm's sensor lacks, its skin lacks
    part = slice(turning.low, turning.high)
    seen = _turning_rate(recording.forearm.gyr[part] - forearm.gyr_bias)
    true = _turning_rate(recording.hand.gyr[part] - hand.gyr_bias)
    follow = float(np.clip(seen / max(true, 1e-9), 0.6, 1.02))
    return Calibration(arm, palm, "guided" if guided else "pose_only", follow)


def _turning_rate(gyr: Floats) -> float:
    """Root mean square of the rate about the main axis."""
    axis, _ = main_axis(gyr)
    return float(np.sqrt(np.mean((gyr @ axis) ** 2)))


def address_like_rests(
    recording: Recording, protocol: Protocol, forearm_bias: Floats, hand_bias: Floats
) -> list[Still]:
    """Still windows outside the protocol's parts."""
    windows = still_windows(recording.time_s, ((recording.forearm, forearm_bias), (recording.hand, hand_bias)))
    taken = protocol.covered(len(recording.time_s))
    return [w for w in windows if not taken[w.low : w.high].any()]

"""What is wrong with real sensors on real skin, each fault to be switched off by itself, and what one lesson drew."""

from dataclasses import dataclass, replace
from math import inf
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.units import DEG, GRAVITY

Floats = NDArray[np.float64]
SensorName = Literal["forearm", "hand"]


@dataclass(frozen=True, slots=True)
class Slip:
    """A mount that moves during the lesson: `sensor` turns by `turn` (rotation vector, radians) at `time_s`."""

    time_s: float
    sensor: SensorName
    turn: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Gap:
    """Rows lost from `start` for `length` seconds (radio packets)."""

    start: float
    length: float


@dataclass(frozen=True, slots=True)
class Faults:
    """Sizes of all faults, in SI units; standard deviations per axis unless said otherwise.

    gyro_noise, acc_noise: densities in rad/s/sqrt(Hz) and m/s^2/sqrt(Hz). gyro_bias, acc_bias: constant offsets.
    gyro_scale, gyro_cross: relative errors on and off the diagonal. gyro_range, acc_range: full scale.
    mounting: smallest and largest turn between segment and sensor. lever: scatter of the sensor's place. wobble_*:
    peak turn of the sensor by soft tissue, 8-20 Hz. skin_follow: share of the forearm's pronation that the skin under
    its sensor follows. ringing: smallest and largest peak of the hand's acceleration after a full strike, at 150-400
    Hz (the forearm sees half); gyro_ringing: the same for its rate. clock_offset: how much later the hand's clock
    shows the same instant; None draws it with clock_offset_sd. sway: peak of the slow sway at address, a true motion.
    filter_delay_*: delay of each device's low-pass filter. wrist_twist: peak of true axial motion of the loaded
    wrist, at the top. slips: mounts that move. gaps: rows lost.
    """

    gyro_noise: float = 0.0
    gyro_bias: float = 0.0
    gyro_scale: float = 0.0
    gyro_cross: float = 0.0
    gyro_range: float = inf
    acc_noise: float = 0.0
    acc_bias: float = 0.0
    acc_range: float = inf
    mounting: tuple[float, float] = (0.0, 0.0)
    lever: float = 0.0
    wobble_forearm: float = 0.0
    wobble_hand: float = 0.0
    skin_follow: float = 1.0
    ringing: tuple[float, float] = (0.0, 0.0)
    gyro_ringing: float = 0.0
    clock_offset: float | None = 0.0
    clock_offset_sd: float = 0.0
    sway: float = 0.0
    filter_delay_forearm: float = 0.0
    filter_delay_hand: float = 0.0
    wrist_twist: float = 0.0
    slips: tuple[Slip, ...] = ()
    gaps: tuple[Gap, ...] = ()

    @classmethod
    def none(cls) -> "Faults":
        """Perfect sensors, aligned with the segments."""
        return cls()

    @classmethod
    def nominal(cls) -> "Faults":
        """The mix that the accuracy figures in the documentation refer to.

        Gyro 0.007 deg/s/sqrt(Hz), bias 1 deg/s, scale 0.5 %, cross-axis 0.3 %, range 2000 deg/s; accelerometer
        150 ug/sqrt(Hz), bias 20 mg, range 16 g; placement 6-20 deg off and 8 mm; wobble 2.5 and 2 deg; skin follows
        90 %; ringing 30-70 g; clocks within 1 ms (sd); sway 0.35 deg. Typical of consumer parts worn with straps.
        """
        return cls(
            gyro_noise=0.007 * DEG,
            gyro_bias=1.0 * DEG,
            gyro_scale=0.005,
            gyro_cross=0.003,
            gyro_range=2000.0 * DEG,
            acc_noise=150e-6 * GRAVITY,
            acc_bias=0.020 * GRAVITY,
            acc_range=16.0 * GRAVITY,
            mounting=(6.0 * DEG, 20.0 * DEG),
            lever=0.008,
            wobble_forearm=2.5 * DEG,
            wobble_hand=2.0 * DEG,
            skin_follow=0.9,
            ringing=(30.0 * GRAVITY, 70.0 * GRAVITY),
            gyro_ringing=250.0 * DEG,
            clock_offset=None,
            clock_offset_sd=0.001,
            sway=0.35 * DEG,
        )

    def but(self, **changes: object) -> "Faults":
        """These faults with some sizes changed."""
        return replace(self, **changes)  # type: ignore[arg-type]


@dataclass(frozen=True, eq=False, slots=True)
class SensorFaults:
    """What one sensor drew, in its own axes unless said otherwise.

    mounting: sensor to segment; lever: place of the sensor in segment axes from the wrist centre, m; gyro_bias rad/s;
    gyro_matrix: measured = gyro_matrix @ true + bias; acc_bias m/s^2; delay: by how much later the file shows what
    happened, s (filter and clock together). No delay by the clock for the forearm, whose clock is the file's.
    """

    mounting: Rotation
    lever: Floats
    gyro_bias: Floats
    gyro_matrix: Floats
    acc_bias: Floats
    delay: float


@dataclass(frozen=True, eq=False, slots=True)
class DrawnFaults:
    """What one lesson drew for its two sensors. clock_offset: the hand's clock shows an instant this much later, s."""

    forearm: SensorFaults
    hand: SensorFaults
    clock_offset: float


FOREARM_LEVER = np.array([-0.030, 0.065, 0.0])
"""Usual place of the forearm sensor: on the back of the wrist end, metres from the wrist centre (assumed)."""
HAND_LEVER = np.array([-0.020, -0.045, 0.0])
"""Usual place of the hand sensor: on the back of the hand, metres from the wrist centre (assumed)."""
FOREARM_LEVER.flags.writeable = False
HAND_LEVER.flags.writeable = False


def draw_sensor(faults: Faults, lever: Floats, delay: float, rng: np.random.Generator) -> SensorFaults:
    """Draw the faults of one sensor around its usual place. Every size draws, so that switching one off keeps others."""
    turn_axis = _unit(rng)
    turn = rng.uniform(*faults.mounting)
    place = lever + faults.lever * rng.standard_normal(3)
    bias = faults.gyro_bias * rng.standard_normal(3)
    matrix = np.eye(3) + np.diag(faults.gyro_scale * rng.standard_normal(3))
    cross = faults.gyro_cross * rng.standard_normal((3, 3))
    matrix += cross - np.diag(np.diag(cross))
    acc_bias = faults.acc_bias * rng.standard_normal(3)
    return SensorFaults(Rotation.from_rotvec(turn * turn_axis), place, bias, matrix, acc_bias, delay)


def draw_faults(faults: Faults, rng: np.random.Generator) -> DrawnFaults:
    """Draw a lesson's faults; the same generator state gives the same draws whatever is switched off."""
    drawn_offset = faults.clock_offset_sd * rng.standard_normal()
    offset = float(drawn_offset if faults.clock_offset is None else faults.clock_offset)
    forearm = draw_sensor(faults, FOREARM_LEVER, faults.filter_delay_forearm, rng)
    hand = draw_sensor(faults, HAND_LEVER, faults.filter_delay_hand + offset, rng)
    return DrawnFaults(forearm, hand, offset)


def _unit(rng: np.random.Generator) -> Floats:
    v = rng.standard_normal(3)
    return np.asarray(v / np.linalg.norm(v))

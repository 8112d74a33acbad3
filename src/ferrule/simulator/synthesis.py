"""What a sensor on a moving segment reads: from kinematics, or from given orientations and positions."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial.transform import Rotation

from ferrule.frames.rotations import UP
from ferrule.sensing.recording import SensorTrace
from ferrule.simulator.curves import Curve, Step, Wave
from ferrule.simulator.faults import Faults, SensorFaults
from ferrule.simulator.kinematics import Kinematics, Motion, Turn, chain, motion_from_samples
from ferrule.units import GRAVITY

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Strike:
    """The blow of a ball: when it starts (s) and the peak of the ringing it leaves in this sensor."""

    time_s: float
    acceleration: float
    rate: float


@dataclass(frozen=True, eq=False, slots=True)
class SkinMotion:
    """How the sensor turns against the bone, all in radians.

    twist: about the segment's long axis; wobble: about X, Y and Z after it; slips: (axis, curve), after those.
    """

    twist: Curve = field(default_factory=lambda: Curve(0.0))
    wobble: tuple[Curve, Curve, Curve] = field(default_factory=lambda: (Curve(0.0), Curve(0.0), Curve(0.0)))
    slips: tuple[tuple[Floats, Curve], ...] = ()

    def steps(self, time_s: Floats) -> list[Rotation | Turn]:
        """The turns from bone to skin."""
        turns: list[Rotation | Turn] = []
        if self.twist.constant or self.twist.pieces:
            turns.append(Turn(np.array([0.0, 1.0, 0.0]), self.twist.at(time_s)))
        for axis, curve in zip(np.eye(3), self.wobble, strict=True):
            if curve.pieces:
                turns.append(Turn(axis, curve.at(time_s)))
        turns += [Turn(axis, curve.at(time_s)) for axis, curve in self.slips]
        return turns


@dataclass(frozen=True, eq=False, slots=True)
class OffBody:
    """A sensor that lies on a table, is then lifted, turned about and strapped on, all before `worn_from` (s).

    table: sensor to world while it lies. lifted: when it is picked up (s).
    """

    table: Rotation
    lifted: float
    worn_from: float
    handling: tuple[Curve, Curve, Curve]


def draw_wobble(
    peak: float, windows: Sequence[tuple[float, float]], rng: np.random.Generator
) -> tuple[Curve, Curve, Curve]:
    """Soft-tissue wobble at 8-20 Hz with a joint peak of about `peak` radians over all axes, in each time window (s).

    What repeats from swing to swing is drawn once (7 parts), what does not is drawn anew in each window (3 parts).
    """
    own = [[_wobble_sines(rng) for _ in range(3)] for _ in range(len(windows) + 1)]
    curves = []
    for axis in range(3):
        pieces: list[Wave] = []
        for window, sines in zip(windows, own[1:], strict=True):
            for share, drawn in ((0.7, own[0][axis]), (0.3, sines[axis])):
                pieces += [
                    Wave(share * peak * a, f, phase, window[0], window[1], 0.45 * (window[1] - window[0]))
                    for a, f, phase in drawn
                ]
        curves.append(Curve(0.0, tuple(pieces) if peak else ()))
    return curves[0], curves[1], curves[2]


def _wobble_sines(rng: np.random.Generator) -> list[tuple[float, float, float]]:
    # Three sines an axis; 0.37 brings the largest joint turn of nine sines to 1.0 on average (measured, sd 0.14)
    return [
        (0.37 * float(rng.uniform(0.6, 1.4)), float(rng.uniform(8.0, 20.0)), float(rng.uniform(0.0, 2.0 * np.pi)))
        for _ in range(3)
    ]


def observe(
    motion: Motion,
    time_s: Floats,
    sensor: SensorFaults,
    faults: Faults,
    rng: np.random.Generator,
    *,
    skin: SkinMotion | None = None,
    strikes: Sequence[Strike] = (),
    off_body: OffBody | None = None,
) -> SensorTrace:
    """The trace of one sensor on a segment that moves with its origin at the wrist centre.

    time_s: the file's clock, rising, shape (n,). Order of the faults: delay, skin, lever arm, mounting, ringing, scale
    and cross-axis, bias, noise, range.
    """
    happened = time_s - sensor.delay
    skin = skin or SkinMotion()
    bone = motion(happened)
    worn = bone.turned(skin.steps(happened))
    specific_force = bone.at_point(sensor.lever).acceleration + GRAVITY * UP
    held = Kinematics(
        worn.rotation * sensor.mounting, worn.rate, worn.turning, bone.position, bone.velocity, specific_force
    )
    if off_body is not None:
        held = _strapped_on(held, motion, happened, sensor, skin, off_body)
    return _read_sensor(held, happened, time_s, sensor, faults, rng, strikes)


def _strapped_on(
    held: Kinematics, motion: Motion, happened: Floats, sensor: SensorFaults, skin: SkinMotion, off: OffBody
) -> Kinematics:
    """Replace what came before the sensor was worn: one turn from the table to its place on the still arm."""
    count = int(np.searchsorted(happened, off.worn_from))
    if not count:
        return held
    early = happened[:count]
    instant = np.array([off.worn_from])
    place = motion(instant).turned(skin.steps(instant)).rotation[0] * sensor.mounting
    turn = (off.table.inv() * place).as_rotvec()
    angle = float(np.linalg.norm(turn))
    axis = turn / angle if angle else np.array([1.0, 0.0, 0.0])
    steps: list[Rotation | Turn] = [
        off.table,
        Turn(axis, Curve(0.0, (Step(angle, off.lifted, off.worn_from),)).at(early)),
        *(Turn(unit, curve.at(early)) for unit, curve in zip(np.eye(3), off.handling, strict=True)),
    ]
    before = chain(count, steps)
    force, rate = held.acceleration.copy(), held.rate.copy()
    force[:count], rate[:count] = GRAVITY * UP, before.rate
    rotation = Rotation.concatenate([before.rotation, held.rotation[count:]])
    return Kinematics(rotation, rate, held.turning, held.position, held.velocity, force)


def _read_sensor(
    held: Kinematics,
    happened: Floats,
    time_s: Floats,
    sensor: SensorFaults,
    faults: Faults,
    rng: np.random.Generator,
    strikes: Sequence[Strike],
) -> SensorTrace:
    """Readings in the sensor's own axes. held: the sensor itself, with the specific force in place of acceleration."""
    to_sensor = held.rotation.inv()
    gyr = to_sensor.apply(held.rate)
    acc = to_sensor.apply(held.acceleration)
    for strike in strikes:
        first, last = np.searchsorted(happened, [strike.time_s, strike.time_s + 0.15])
        after = happened[first:last] - strike.time_s
        acc[first:last] += strike.acceleration * _ringing(after, rng)
        gyr[first:last] += strike.rate * _ringing(after, rng)
    rate_hz = 1.0 / float(np.median(np.diff(time_s)))
    band = np.sqrt(0.5 * rate_hz)
    gyr = gyr @ sensor.gyro_matrix.T + sensor.gyro_bias + faults.gyro_noise * band * rng.standard_normal(gyr.shape)
    acc = acc + sensor.acc_bias + faults.acc_noise * band * rng.standard_normal(acc.shape)
    return SensorTrace(
        np.clip(acc, -faults.acc_range, faults.acc_range), np.clip(gyr, -faults.gyro_range, faults.gyro_range)
    )


def _ringing(after: Floats, rng: np.random.Generator) -> Floats:
    """A blow's decaying ringing of peak about one in a random direction, shape (n, 3); after: seconds since, >= 0."""
    direction = rng.standard_normal(3)
    direction /= np.linalg.norm(direction)
    total = np.zeros((after.size, 3))
    for share in (0.6, 0.4):
        frequency = rng.uniform(150.0, 400.0)
        side = direction + 0.4 * rng.standard_normal(3)
        decay = np.exp(-after / rng.uniform(0.006, 0.015))
        total += share * (decay * np.sin(2.0 * np.pi * frequency * after))[:, None] * side
    return total


def signals_from_motion(
    time_s: ArrayLike,
    rotation: Rotation,
    position: ArrayLike,
    *,
    sensor: SensorFaults,
    faults: Faults,
    rng: np.random.Generator,
    at: ArrayLike | None = None,
    skin: SkinMotion | None = None,
    strikes: Sequence[Strike] = (),
) -> SensorTrace:
    """Sensor readings for a given motion, for example of a motion capture.

    time_s: rising, shape (n,), n >= 6; rotation: segment to a world with Y up, n; position: of the wrist centre in
    metres, shape (n, 3); at: the sample times wanted, default `time_s`. sensor: mounting, lever and errors, as drawn by
    `ferrule.simulator.faults.draw_sensor`.
    """
    wanted = np.asarray(time_s if at is None else at, dtype=np.float64)
    motion = motion_from_samples(time_s, rotation, position)
    return observe(motion, wanted, sensor, faults, rng, skin=skin, strikes=strikes)

"""What a recording (and its calibration) says about the sensors as a whole: biases, axes, clock, aim, swings."""

from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.analysis.swings import Candidate, find_swings
from ferrule.frames.handedness import Handedness, mirror_angular_velocity, mirror_vector
from ferrule.frames.rotations import UP, rotation_about
from ferrule.sensing.calibration import Calibration, MountAxes, SegmentAxes, mount_axes
from ferrule.sensing.clock import (
    FOREARM_LEVER,
    HAND_LEVER,
    MOTION_SD,
    TURNING_SD,
    ClockOffset,
    clock_offset,
    turning_offset,
)
from ferrule.sensing.discovery import found_protocol
from ferrule.sensing.inclination import levelled, mean_up
from ferrule.sensing.orientation import SensorRun, sensor_runs
from ferrule.sensing.protocol import (
    Protocol,
    SensorState,
    address_like_rests,
    calibration_from,
    labelled_protocol,
    sensor_state,
)
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.sensing.stillness import Still, gyro_bias
from ferrule.signals.derivative import middle, usual_step
from ferrule.units import GRAVITY

Floats = NDArray[np.float64]

ADDRESS_SPAN: Final = 1.0
"""Length of the still address that is averaged, s."""


CLOCK_SD: Final = 0.010
"""How far apart two sensors' clocks are before anything is known, s (common practice)."""


@dataclass(frozen=True, eq=False, slots=True)
class Clock:
    """Lateness of the hand's clock, s, its sd, and the separate estimates that went into it."""

    late_s: float
    sd: float
    from_motion: tuple[float, ...] = ()
    from_blows: tuple[float, ...] = ()


AddressMounts = tuple[MountAxes, Floats, Floats]
"""Mounts as an address signs them, and the gravity readings of forearm and hand there."""
GAP_STEPS: Final = 5.0
"""A step of the clock this many times the usual one is a hole that was left open."""
NO_CLOCK: Final = Clock(0.0, CLOCK_SD)


@dataclass(frozen=True, eq=False, slots=True)
class Session:
    """A right-handed golfer's recording with all that holds for all its swings."""

    recording: Recording
    forearm: SensorState
    hand: SensorState
    calibration: Calibration | None
    protocol: Protocol
    rests: list[Still]
    forearm_run: SensorRun
    hand_run: SensorRun
    candidates: list[Candidate]
    clock: Clock
    aim: Still | None
    addresses: dict[Still, "AddressMounts"] = field(default_factory=dict)

    def mounts_at(self, address: Still) -> "AddressMounts":
        """Mounts and gravity at an address, each worked out once."""
        if address not in self.addresses:
            self.addresses[address] = address_mounts(self, address)
        return self.addresses[address]


def mirrored(recording: Recording) -> Recording:
    """A left-handed golfer's recording as a right-handed golfer's: seen in a mirror, sensors and all."""

    def trace(sensor: SensorTrace | None) -> SensorTrace | None:
        return sensor and SensorTrace(mirror_vector(sensor.acc), mirror_angular_velocity(sensor.gyr))

    lead_forearm, lead_hand = trace(recording.forearm), trace(recording.hand)
    assert lead_forearm is not None and lead_hand is not None
    return Recording(
        recording.time_s,
        lead_forearm,
        lead_hand,
        trace(recording.trail_forearm),
        trace(recording.trail_hand),
        recording.phase,
        recording.gyr_range,
        recording.acc_range,
        recording.source,
    )


def right_handed(recording: Recording, handedness: Handedness) -> Recording:
    """The recording as a right-handed golfer's."""
    return recording if handedness == "right" else mirrored(recording)


def protocol_of(recording: Recording) -> Protocol:
    """The calibration protocol in a recording: by its labels, else as the motion shows it."""
    labelled = labelled_protocol(recording)
    return labelled if labelled.parts else found_protocol(recording)


@dataclass(frozen=True, eq=False, slots=True)
class SensorKnowledge:
    """Biases of both sensors and the axes of the segments in them, from one calibration."""

    forearm: SensorState
    hand: SensorState
    calibration: Calibration | None


def know_sensors(recording: Recording, protocol: Protocol) -> SensorKnowledge:
    """Biases and axes from a protocol inside a recording (right-handed)."""
    t = recording.time_s
    forearm = sensor_state(t, recording.forearm, protocol, [])
    hand = sensor_state(t, recording.hand, protocol, [])
    return SensorKnowledge(forearm, hand, calibration_from(recording, protocol, forearm, hand))


def open_session(recording: Recording, known: SensorKnowledge | None) -> Session:
    """Everything that holds for the whole recording. recording: right-handed; known: from a calibration of its own."""
    t = recording.time_s
    protocol = protocol_of(recording)
    biases, gyros = [], []
    for sensor, told in (
        (recording.forearm, known.forearm if known else None),
        (recording.hand, known.hand if known else None),
    ):
        rest = protocol.get("table_rest")
        gyros.append(gyro_bias(t, sensor, rest))
        biases.append(told.gyr_bias if told is not None and rest is None else gyros[-1][0])
    rests = address_like_rests(recording, protocol, biases[0], biases[1])
    rests_for_gravity = [w.last(t, ADDRESS_SPAN) for w in rests[:12]]
    # every still pose says something about the accelerometers
    forearm = sensor_state(
        t, recording.forearm, protocol, rests_for_gravity, known.forearm if known else None, gyros[0]
    )
    hand = sensor_state(t, recording.hand, protocol, rests_for_gravity, known.hand if known else None, gyros[1])
    own = calibration_from(recording, protocol, forearm, hand)
    calibration = own if own is not None or known is None else _read_again(known, forearm, hand)
    candidates = find_swings(recording, recording.hand.gyr - hand.gyr_bias, rests, protocol.covered(len(t)))
    forearm_run, hand_run = sensor_runs(t, (recording.forearm, forearm.gyr_bias), (recording.hand, hand.gyr_bias))
    session = Session(
        recording,
        forearm,
        hand,
        calibration,
        protocol,
        rests,
        forearm_run,
        hand_run,
        candidates,
        NO_CLOCK,
        protocol.get("aim"),
    )
    return replace(session, clock=session_clock(session))


def _read_again(known: SensorKnowledge, forearm: SensorState, hand: SensorState) -> Calibration | None:
    """A calibration recorded apart, its flat hands read with the biases that are known now.

    Flat hands say nothing of an accelerometer's bias along the arm, which tilts them by a degree; the arm that hangs at
    address does.
    """
    told = known.calibration
    if told is None:
        return None
    return replace(
        told,
        forearm=_without_bias(told.forearm, forearm.acc_bias - known.forearm.acc_bias),
        hand=_without_bias(told.hand, hand.acc_bias - known.hand.acc_bias),
    )


def _without_bias(axes: SegmentAxes, more: Floats) -> SegmentAxes:
    """The axes as they are where the bias is this much more than was taken out of the poses, m/s^2, shape (3,)."""

    def mended(volar: Floats) -> Floats:
        down = GRAVITY * volar + more
        return np.asarray(down / np.linalg.norm(down))

    return replace(axes, volar=mended(axes.volar), volar_end=None if axes.volar_end is None else mended(axes.volar_end))


def session_clock(session: Session) -> Clock:
    """Lateness of the hand's clock from all that tells of it, each by its own doubt.

    The wrist centre's acceleration in every swing; the blows, which reach both sensors at once; the turning of the
    forearm, when it is in the same recording. With nothing to go by: none, within `CLOCK_SD`.
    """
    step = usual_step(session.recording.time_s)
    motion = [found.offset for found in motion_clock(session)]
    blows = [
        c.hand_blow.time_s - c.forearm_blow.time_s
        for c in session.candidates
        if c.hand_blow is not None and c.forearm_blow is not None
    ]
    told: list[tuple[float, float]] = [(0.0, 1.0 / CLOCK_SD**2)]
    if motion:
        # soft tissue repeats from swing to swing: many swings are worth little more than one
        told.append((middle(np.array(motion)), 1.0 / (MOTION_SD**2 * (0.5 + 0.5 / len(motion)))))
    if blows:
        told.append((sum(blows) / len(blows), len(blows) / (step**2 / 6.0 + 0.0002**2)))
    turning = session.protocol.get("forearm_rotation")
    if turning is not None:
        part = slice(turning.low, turning.high)
        offset = turning_offset(
            session.recording.time_s[part], session.forearm_run.rate[part], session.hand_run.rate[part]
        )
        if offset is not None:
            told.append((offset, 1.0 / TURNING_SD**2))
    weight = sum(w for _, w in told)
    late = sum(x * w for x, w in told) / weight
    return Clock(late, float(weight**-0.5), tuple(motion), tuple(blows))


def address_mounts(session: Session, address: Still) -> AddressMounts:
    """Mounts signed by an address, and the gravity readings (m/s^2, sensor axes) at its last sample."""
    window = address.last(session.recording.time_s, ADDRESS_SPAN)
    part = slice(window.low, window.high)
    t = session.recording.time_s[part]
    ups = []
    for sensor, state in (
        (session.recording.forearm, session.forearm),
        (session.recording.hand, session.hand),
    ):
        trace = SensorTrace(sensor.acc[part], sensor.gyr[part])
        ups.append(mean_up(t, trace, state.gyr_bias, state.acc_bias, len(t) - 1))
    mounts = mount_axes(session.calibration, ups[0] / np.linalg.norm(ups[0]), ups[1] / np.linalg.norm(ups[1]))
    return mounts, ups[0], ups[1]


def motion_clock(session: Session) -> list[ClockOffset]:
    """Clock offset from the wrist-centre acceleration of every swing."""
    t = session.recording.time_s
    out = []
    for candidate in session.candidates:
        if candidate.address is None:
            continue
        mounts, _, _ = session.mounts_at(candidate.address)
        end = t[candidate.peak] + 0.02
        for blow in (candidate.hand_blow, candidate.forearm_blow):
            if blow is not None:
                end = min(end, t[blow.last_clean] - 0.006)
        use = (t > end - 0.9) & (t < end)
        found = clock_offset(
            t,
            SensorTrace(session.recording.forearm.acc, session.forearm_run.rate),
            SensorTrace(session.recording.hand.acc, session.hand_run.rate),
            use,
            mounts.forearm.apply(FOREARM_LEVER),
            mounts.hand.apply(HAND_LEVER),
        )
        if found is not None:
            out.append(found)
    return out


def _interrupted(time_s: Floats) -> bool:
    """Whether rows are missing: a direction cannot be carried across what was not recorded."""
    steps = np.diff(time_s)
    return bool(steps.size and steps.max() > GAP_STEPS * middle(steps))


@dataclass(frozen=True, slots=True)
class AimHeading:
    """Heading of the target, radians, as the hand's and the forearm's sensors tell it, each in its own world that is
    level at an address; None where the arm did not point level enough.
    """

    hand: float | None
    forearm: float | None


def aim_heading(session: Session, mounts: MountAxes, ups: tuple[Floats, Floats], at: int) -> AimHeading | None:
    """Heading of the target from the aim pose, where hand and forearm point at it; None without one.

    ups: readings of gravity of forearm and hand at sample `at`. The sensors' runs carry the direction from the aim pose
    to the address.
    """
    if session.aim is None or _interrupted(session.recording.time_s[session.aim.low : at]):
        return None
    part = slice(session.aim.low, session.aim.high)
    t = session.recording.time_s[part]
    middle = len(t) // 2
    k = session.aim.low + middle
    found: list[float | None] = []
    for sensor, state, run, mount, up_address in (
        (session.recording.forearm, session.forearm, session.forearm_run, mounts.forearm, ups[0]),
        (session.recording.hand, session.hand, session.hand_run, mounts.hand, ups[1]),
    ):
        up = mean_up(t, SensorTrace(sensor.acc[part], sensor.gyr[part]), state.gyr_bias, state.acc_bias, middle)
        # from the world that is level at the aim pose to the one that is level at the address: a turn about the vertical
        there = levelled(up) * run.turned[k].inv()
        here = levelled(up_address) * run.turned[at].inv()
        turn = rotation_about(UP, float((here * there.inv()).as_rotvec() @ UP))
        pointing = (turn * there * run.turned[k] * mount).apply(np.array([0.0, -1.0, 0.0]))
        level = np.hypot(pointing[0], pointing[2]) > 0.5
        found.append(float(np.arctan2(-pointing[2], pointing[0])) if level else None)
    return AimHeading(found[1], found[0])

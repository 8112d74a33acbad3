"""How well the readings of a swing are known: the same chain, drawn again with everything that may be wrong.

Every draw moves the calibration (pose, axes), the accelerometers (and with them the levels at address), the gyro biases
and gains, the clock, the target's heading, the soft tissue under the sensors and the times of the events, and works out
the angles at the events anew. Integration need not be repeated: what a bias or a gain does to an orientation is the
integral of its axis in the world, worked out once. Deterministic.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.recording_swing import WorkedSwing
from ferrule.club.face import face_from_turn
from ferrule.frames.rotations import UP, rotation_about
from ferrule.frames.wrist import wrist_angles
from ferrule.sensing.calibration import LINK, SKIN_FOLLOW, STRAIGHT_SD, forearm_mount, hand_mount
from ferrule.sensing.heading import heading_without_twist
from ferrule.sensing.protocol import SensorState
from ferrule.signals.derivative import running_integral
from ferrule.signals.prefix import rotation_product
from ferrule.swing.events import EventName
from ferrule.units import DEG, GRAVITY

Floats = NDArray[np.float64]

GYRO_GAIN_SD: Final = 0.005
"""Gain error of a consumer gyroscope, per axis; its cross-axis terms are 0.6 of it (assumed, as in the simulator)."""
WOBBLE_SD: Final = (0.8 * DEG, 0.65 * DEG)
"""Soft tissue under the forearm's and the hand's sensor in the downswing, per axis (simulation: 2.5 and 2 deg peak)."""
SKIN_SD: Final = 1.0 * DEG
"""What is left in the forearm roll after the skin's lag is read off the axial residue."""
FACE_ADDRESS_SD: Final = 1.2 * DEG
"""How square a golfer sets the face down (common practice; simulated golfers: 0.8)."""
POSE_UNTOLD: Final = 1.08
"""What the flat hand and the straight wrist add beyond their own doubt (simulation: absolute angles at address and impact
scatter by a twentieth to a tenth more than drawn without it)."""
TWIST_SD: Final = 0.5 * DEG
"""Axial turn that a wrist at address may have all the same."""
READ: Final[tuple[EventName, ...]] = (
    "address",
    "takeaway",
    "top",
    "lead_arm_level_down",
    "shaft_level_down",
    "impact",
)
"""Events at which angles are read: to impact, and not after, where the blow rings on."""
MOVING: Final[dict[EventName, float]] = {
    "address": 0.0,
    "takeaway": 0.1,
    "top": 0.35,
    "lead_arm_level_down": 0.9,
    "shaft_level_down": 0.9,
    "impact": 1.0,
}
"""How much of the soft tissue's wobble is in a reading at each event (simulation): little at the top; where the event is a
direction that comes through level, it moves with the error and takes a part of it back."""
QUANTITIES: Final = ("flexion", "ulnar_deviation", "axial", "forearm_roll", "face", "edge_tilt", "delivered_loft")


@dataclass(frozen=True, eq=False, slots=True)
class Drawn:
    """Draws of all readings: events, in order; values[quantity]: radians, shape (draws, events); times: s, same shape."""

    events: tuple[EventName, ...]
    values: dict[str, Floats]
    times: Floats


@dataclass(frozen=True, eq=False, slots=True)
class _AtEvents:
    """One sensor at the events: orientation in its level world, rate there, and the integrals since address."""

    turned: Rotation
    rate: Floats
    axes: Floats  # integral of the sensor's axes in the world, (events, 3, 3)
    gains: Floats  # integral of axis i times rate j, (events, 3, 3, 3)
    own: Floats  # integral of the rate in the sensor's axes, (events, 3)


def _at_events(
    times: Floats, clock: Floats, turned: Rotation, world_rate: Floats, own_rate: Floats, at: int
) -> _AtEvents:
    k = np.clip(np.searchsorted(clock, times + 1e-9, side="right") - 1, 0, len(clock) - 1)
    gone = (times - clock[k])[:, None]
    matrix = turned.as_matrix()
    n = len(clock)
    axes = running_integral(clock, matrix.reshape(n, 9)).reshape(n, 3, 3)
    gains = running_integral(clock, (matrix[:, :, :, None] * own_rate[:, None, None, :]).reshape(n, 27))
    own = running_integral(clock, own_rate)
    return _AtEvents(
        Rotation.from_rotvec(world_rate[k] * gone) * turned[k],
        world_rate[k],
        (axes - axes[at])[k],
        (gains - gains[at]).reshape(n, 3, 3, 3)[k],
        (own - own[at])[k],
    )


def draw_swing(
    worked: WorkedSwing,
    forearm: SensorState,
    hand: SensorState,
    clock_sd: float,
    draws: int,
    seed: int = 20,
) -> Drawn:
    """Readings at the events, `draws` times over. Row order of the random numbers is fixed by the seed."""
    rng = np.random.default_rng(seed)
    given, clean, at = worked.given, worked.clean, worked.at
    events = tuple(name for name in READ if name in worked.events)
    times = np.array([worked.events[name].time_s for name in events])
    count = len(events)

    def normal(*shape: int) -> Floats:
        # antithetic pairs: means come out exact to first order
        half = rng.standard_normal(((draws + 1) // 2, *shape))
        return np.concatenate((half, -half))[:draws]

    sides = []
    for segment, rate, mount in (
        (clean.forearm, clean.forearm_rate, given.mounts.forearm),
        (clean.hand, clean.hand_rate, given.mounts.hand),
    ):
        turned = rotation_product(segment, mount.inv())
        sides.append(_at_events(times, clean.time_s, turned, rate, turned.inv().apply(rate), at))
    moving = np.array([MOVING[name] for name in events])
    time_sd = np.array([worked.events[name].sd for name in events])
    late = clock_sd * normal()
    when = time_sd * normal(count)
    bodies = []
    mounts = _drawn_mounts(worked, forearm, hand, normal)
    for which, (side, state, up, wobble) in enumerate(
        zip(sides, (forearm, hand), (given.forearm_up, given.hand_up), WOBBLE_SD, strict=True)
    ):
        bias = state.gyr_bias_sd * normal(3)
        gain = GYRO_GAIN_SD * normal(3, 3) * np.where(np.eye(3) > 0.0, 1.0, 0.6)
        turn = np.einsum("eij,dj->dei", side.axes, bias) + np.einsum("eijk,djk->dei", side.gains, gain)
        turn += wobble * moving[:, None] * normal(count, 3)
        turn += side.rate * when[:, :, None]
        if which == 1:
            turn += side.rate * late[:, None, None]
        up_world = side.turned[0].apply(up - mounts.acc[which])
        level = _levels(up_world)
        flat = Rotation.from_rotvec(turn.reshape(-1, 3))
        spread = np.repeat(np.arange(draws), count)
        event = np.tile(np.arange(count), draws)
        worn = rotation_product(side.turned[event], mounts.turned[which][spread])
        bodies.append(rotation_product(rotation_product(flat, level[spread]), worn))
    fore, palm = bodies
    first = np.arange(draws) * count
    lag = given.mounts.skin_lag + np.hypot(given.mounts.skin_lag_sd, TWIST_SD) * normal()
    twist, _ = heading_without_twist(fore[first], palm[first], lag)
    crossed = worked.crossed
    # the worlds stand as both ways together say; each way is drawn around what it said itself
    other = (1.0 - crossed.weight) * crossed.apart + crossed.sd * normal()
    twist = (1.0 - crossed.weight) * twist + crossed.weight * other
    fore = rotation_product(rotation_about(UP, np.repeat(twist, count)), fore)
    angles = wrist_angles(fore, palm, side="left")
    shape = (draws, count)
    axial = np.unwrap(angles.axial.reshape(shape), axis=1)
    roll = sides[0].own @ mounts.forearm_long.T
    roll = roll.T + (_rate_along(worked, times) * when) - (axial - axial[:, :1])
    roll = roll + SKIN_SD * moving * normal(count)
    heading = worked.heading + (worked.heading_sd or 0.0) * normal()
    to_world = rotation_about(UP, np.repeat(heading, count))
    turned = rotation_product(palm, palm[np.repeat(first, count)].inv())
    carried = rotation_product(rotation_product(to_world.inv(), turned), to_world)
    face = face_from_turn(carried, worked.club)
    # the edge's tilt is absolute: it starts from how the face was set down; face and loft are told against that
    opened = FACE_ADDRESS_SD / np.sin(given.club.lie) * normal()
    set_down = rotation_product(carried, rotation_about(worked.club.shaft, np.repeat(opened, count)))
    values = {
        "flexion": angles.flexion.reshape(shape),
        "ulnar_deviation": angles.ulnar_deviation.reshape(shape),
        "axial": axial,
        "forearm_roll": roll,
        "face": face.face.reshape(shape),
        "edge_tilt": face_from_turn(set_down, worked.club).edge_tilt.reshape(shape),
        "delivered_loft": face.delivered_loft.reshape(shape),
    }
    return Drawn(events, values, times + when)


def _rate_along(worked: WorkedSwing, times: Floats) -> Floats:
    """Rate of the forearm about its long axis at the events, rad/s."""
    along = np.sum(worked.clean.forearm_rate * worked.clean.forearm_axis, axis=1)
    return np.asarray(np.interp(times, worked.clean.time_s, along))


@dataclass(frozen=True, eq=False, slots=True)
class _Mounts:
    turned: tuple[Rotation, Rotation]
    acc: tuple[Floats, Floats]
    forearm_long: Floats


def _drawn_mounts(
    worked: WorkedSwing, forearm: SensorState, hand: SensorState, normal: Callable[..., Floats]
) -> _Mounts:
    mounts = worked.given.mounts
    acc = tuple(normal(3) @ np.linalg.cholesky(state.acc_covariance).T for state in (forearm, hand))

    if mounts.source == "none":
        # nothing was measured: each sensor as a whole is turned against its segment
        whole = tuple(
            rotation_product(Rotation.from_rotvec(mounts.axis_sd * normal(3)), mount)
            for mount in (mounts.forearm, mounts.hand)
        )
        return _Mounts((whole[0], whole[1]), (acc[0], acc[1]), np.asarray(whole[0].as_matrix()[:, :, 1]))

    def posed(volar: Floats, which: int) -> Floats:
        # the pose was read by the same accelerometer: its bias is in it, too (about 9.81 m/s^2 of reading)
        read = _tilted(volar, POSE_UNTOLD * mounts.pose_sd * normal(3)) * GRAVITY + acc[which]
        return np.asarray(read / np.linalg.norm(read, axis=1, keepdims=True))

    # each movement's axis is off, and the wrist not quite straight; where the axes were fitted together, both share it
    # skin that stays behind makes a line that is off look further off
    lagging = mounts.axis_sd / SKIN_FOLLOW
    turning, off_z = lagging * normal(), lagging * normal()
    bending, off_y = mounts.axis_sd * normal(), mounts.axis_sd * normal()
    forearm_x, hand_x = turning, bending
    if mounts.linked:
        straight = POSE_UNTOLD * STRAIGHT_SD * normal()
        apart = bending - turning - straight
        forearm_x, hand_x = turning + LINK[0] * apart, turning + straight + LINK[1] * apart
    x_forearm, _, z_forearm = mounts.forearm.as_matrix().T
    long_axis = _tilted(mounts.forearm_long, forearm_x[:, None] * x_forearm + off_z[:, None] * z_forearm)
    x_hand, y_hand, _ = mounts.hand.as_matrix().T
    flexion_axis = _tilted(mounts.hand_flexion, hand_x[:, None] * x_hand + off_y[:, None] * y_hand)
    turned = (
        forearm_mount(posed(mounts.forearm_volar, 0), long_axis, mounts.share),
        hand_mount(posed(mounts.hand_volar, 1), flexion_axis, mounts.share),
    )
    return _Mounts(turned, (acc[0], acc[1]), np.asarray(turned[0].as_matrix()[:, :, 1]))


def _tilted(axis: Floats, turn: Floats) -> Floats:
    """A unit vector after small turns, shape (n, 3)."""
    moved = axis + np.cross(turn, axis)
    return np.asarray(moved / np.linalg.norm(moved, axis=1, keepdims=True))


def _levels(up_world: Floats) -> Rotation:
    """Shortest turns that bring nearly vertical vectors, shape (n, 3), to the vertical."""
    u = up_world / np.linalg.norm(up_world, axis=1, keepdims=True)
    axis = np.cross(u, UP)
    sine = np.linalg.norm(axis, axis=1, keepdims=True)
    angle = np.arctan2(sine, (u @ UP)[:, None])
    return Rotation.from_rotvec(axis / np.maximum(sine, 1e-15) * angle)

"""How well the readings of a swing are known: the same chain, drawn again with everything that may be wrong.

Every draw moves the calibration, the turn between both sensors' worlds, the gyros' gains and the clock within what the
swing's fit left open, and with them the accelerometers (the level at address), the gyro biases, the target's heading, the
soft tissue under the sensors and the times of the events, and works out the angles at the events anew. Integration need
not be repeated: what a bias or a gain does to an orientation is the integral of its axis in the world, worked out once.
Deterministic.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.recording_swing import WorkedSwing
from ferrule.analysis.swing_fit import COUNT, GAIN_F, GAIN_H, LATE, MOUNT_F, MOUNT_H, TURN
from ferrule.club.face import face_from_turn
from ferrule.frames.rotations import UP, rotation_about
from ferrule.frames.wrist import wrist_angles
from ferrule.sensing.protocol import SensorState
from ferrule.signals.derivative import running_integral
from ferrule.signals.prefix import rotation_product
from ferrule.swing.events import EventName
from ferrule.units import DEG

Floats = NDArray[np.float64]

WOBBLE_SD: Final = (0.86 * DEG, 0.69 * DEG)
"""Soft tissue under the forearm's and the hand's sensor in the downswing, per axis (simulation: 2.5 and 2 deg peak)."""
SKIN_SD: Final = 0.5 * DEG
"""What is left in the forearm roll after the skin's lag is read off the axial residue."""
FACE_ADDRESS_SD: Final = 1.0 * DEG
"""How square a golfer sets the face down (common practice; simulated golfers: 0.8)."""
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
    "top": 0.1,
    "lead_arm_level_down": 0.5,
    "shaft_level_down": 0.9,
    "impact": 1.0,
}
"""How much of the soft tissue's wobble is in a reading at each event (simulation): little at the top."""
UNTOLD_HEADING_SD: Final = 15.0 * DEG
"""Doubt of the target's heading where neither an aim pose nor a calibrated hand tells it: the face at impact hangs on it a
little."""
LEVEL: Final[tuple[EventName, ...]] = ("lead_arm_level_down", "shaft_level_down")
"""Events that are a direction's coming through level: each draw is read where it comes through itself."""
SLOW: Final = 0.5
"""Rate of rising, rad/s, below which the instant of coming through level means nothing."""
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


class _Normals:
    """Standard normal numbers in antithetic pairs, handed out column by column: means come out exact to first order.

    Where there are more pairs than columns the columns are made square to each other and of unit spread, so that to first
    order every sd comes out exact, too, and does not hang on which numbers were drawn.
    """

    def __init__(self, draws: int, seed: int) -> None:
        self.rows, self.taken = _normal_rows(draws, seed), 0

    def __call__(self, *shape: int) -> Floats:
        first = self.taken
        self.taken += int(np.prod(shape, dtype=np.int64))
        return self.rows[:, first : self.taken].reshape(-1, *shape)


COLUMNS: Final = 104
"""Random numbers that one draw takes at most."""


@lru_cache(maxsize=4)
def _normal_rows(draws: int, seed: int) -> Floats:
    half = np.random.default_rng(seed).standard_normal(((draws + 1) // 2, COLUMNS))
    if len(half) > COLUMNS:
        half = np.linalg.qr(half)[0] * np.sqrt(len(half))
    return np.concatenate((half, -half))[:draws]


def draw_swing(
    worked: WorkedSwing,
    forearm: SensorState,
    hand: SensorState,
    draws: int,
    seed: int = 20,
) -> Drawn:
    """Readings at the events, `draws` times over. Row order of the random numbers is fixed by the seed."""
    normal = _Normals(draws, seed)
    clean, at = worked.clean, worked.at
    events = tuple(name for name in READ if name in worked.events)
    times = np.array([worked.events[name].time_s for name in events])
    count = len(events)
    constants = normal(COUNT) @ np.linalg.cholesky(worked.fit.covariance).T
    when = np.array([worked.events[name].sd for name in events]) * normal(count)
    level = {name: events.index(name) for name in LEVEL if name in events}
    when[:, list(level.values())] = 0.0
    moving = np.array([MOVING[name] for name in events])
    spread, event = np.repeat(np.arange(draws), count), np.tile(np.arange(count), draws)
    up = worked.given.hand_up
    upright = _levels(up - normal(3) @ np.linalg.cholesky(hand.acc_covariance).T, worked)
    sides, bodies = [], []
    for segment, rate, mount, state, wobble, gain_at, mount_at, late in (
        (clean.forearm, clean.forearm_rate, worked.forearm_mount, forearm, WOBBLE_SD[0], GAIN_F, MOUNT_F, 0.0),
        (clean.hand, clean.hand_rate, worked.hand_mount, hand, WOBBLE_SD[1], GAIN_H, MOUNT_H, 1.0),
    ):
        turned = rotation_product(segment, mount.inv())
        side = _at_events(times, clean.time_s, turned, rate, turned.inv().apply(rate), at)
        gain = constants[:, gain_at].reshape(-1, 3, 3)
        turn = np.einsum("eij,dj->dei", side.axes, state.gyr_bias_sd * normal(3))
        turn += np.einsum("eijk,djk->dei", side.gains, gain)
        turn += wobble * moving[:, None] * normal(count, 3)
        turn += side.rate * (when + late * constants[:, LATE, None])[:, :, None]
        if late == 0.0:
            turn += constants[:, None, TURN]
        moved = rotation_product(Rotation.from_rotvec(turn.reshape(-1, 3)), upright[spread])
        worn = rotation_product((side.turned * mount)[event], Rotation.from_rotvec(constants[spread, mount_at]))
        sides.append(side)
        bodies.append(rotation_product(moved, worn))
    fore, palm = bodies
    first = np.arange(draws) * count
    heading_sd = UNTOLD_HEADING_SD if worked.heading_sd is None else worked.heading_sd
    heading = worked.heading + heading_sd * normal()
    to_world = rotation_about(UP, np.repeat(heading, count))
    stand = palm[np.repeat(first, count)].inv()
    for name, k in level.items():
        rows = slice(k, None, count)
        if name == "shaft_level_down":
            turned = rotation_product(palm[rows], stand[rows])
            pointing, rate = turned.apply(to_world[rows].apply(worked.club.shaft)), sides[1].rate[k]
        else:
            pointing, rate = -fore[rows].as_matrix()[:, :, 1], sides[0].rate[k]
        when[:, k] = _crossing(pointing, rate)
        for body, side in ((fore, sides[0]), (palm, sides[1])):
            body[rows] = rotation_product(Rotation.from_rotvec(when[:, k, None] * side.rate[k]), body[rows])
    angles = wrist_angles(fore, palm, side="left")
    shape = (draws, count)
    axial = np.unwrap(angles.axial.reshape(shape), axis=1)
    own = sides[0].own
    own = own + np.einsum("dij,ej->dei", constants[:, GAIN_F].reshape(-1, 3, 3), own)
    long_axis = worked.forearm_mount.as_matrix() @ Rotation.from_rotvec(constants[:, MOUNT_F]).as_matrix()[:, :, 1].T
    roll = np.einsum("dei,id->de", own, long_axis)
    roll = roll + (_rate_along(worked, times) * when) - (axial - axial[:, :1])
    roll = roll + SKIN_SD * moving * normal(count)
    turned = rotation_product(palm, stand)
    carried = rotation_product(rotation_product(to_world.inv(), turned), to_world)
    # the edge's tilt starts from how the face was set down; face and loft are told since then, and yet a face that was set
    # down open comes through level shaft otherwise than a square one
    opened = FACE_ADDRESS_SD / np.sin(worked.given.club.lie) * normal()
    face = face_from_turn(
        rotation_product(carried, rotation_about(worked.club.shaft, np.repeat(opened, count))), worked.club
    )
    since = [x.reshape(shape) - x[first, None] for x in (face.face, face.delivered_loft)]
    values = {
        "flexion": angles.flexion.reshape(shape),
        "ulnar_deviation": angles.ulnar_deviation.reshape(shape),
        "axial": axial,
        "forearm_roll": roll,
        "face": since[0],
        "edge_tilt": face.edge_tilt.reshape(shape),
        "delivered_loft": since[1],
    }
    return Drawn(events, values, times + when)


def _crossing(pointing: Floats, rate: Floats) -> Floats:
    """By how much later each draw comes through level than their mean, s. pointing: directions, shape (n, 3); rate: rad/s."""
    rising = pointing[:, 0] * rate[2] - pointing[:, 2] * rate[0]
    rise = pointing[:, 1] - pointing[:, 1].mean()
    return np.asarray(np.where(rising < -SLOW, -rise / np.minimum(rising, -SLOW), 0.0))


def _rate_along(worked: WorkedSwing, times: Floats) -> Floats:
    """Rate of the forearm about its long axis at the events, rad/s."""
    along = np.sum(worked.clean.forearm_rate * worked.clean.forearm_axis, axis=1)
    return np.asarray(np.interp(times, worked.clean.time_s, along))


def _levels(up: Floats, worked: WorkedSwing) -> Rotation:
    """Shortest turns that bring to the vertical what the hand's sensor, level at address, reads as up, shape (n, 3)."""
    turned = rotation_product(worked.track.hand[worked.at], worked.hand_mount.inv())
    u = turned.apply(up / np.linalg.norm(up, axis=1, keepdims=True))
    axis = np.cross(u, UP)
    sine = np.linalg.norm(axis, axis=1, keepdims=True)
    angle = np.arctan2(sine, (u @ UP)[:, None])
    return Rotation.from_rotvec(axis / np.maximum(sine, 1e-15) * angle)

"""What a swing says about its own constants: all that stays the same from the address to the blow, fitted at once.

Two sensors see one wrist centre, so both must find the same acceleration there, gravity included; and a wrist hardly
twists, so what turns between them about the forearm is known. Both hold at every instant, and together they tell of the
turn between the sensors' worlds, the gyros' gains, the sensors' places, the rest of the clocks' offset, and a part of
what the calibration got wrong. One linear least-squares fit, each constant held at what is known of it beforehand; what
it leaves open is its covariance.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d
from scipy.spatial.transform import Rotation

from ferrule.frames.rotations import about_up
from ferrule.sensing.clock import LEVER_SD, lever_matrix
from ferrule.sensing.heading import heading_from_acceleration
from ferrule.sensing.orientation import LevelRun
from ferrule.signals.derivative import dots, lengths, middle, rate_of_change, running_integral, unwrapped, usual_step
from ferrule.signals.prefix import quaternions_from_rotation_vectors, row_product

Floats = NDArray[np.float64]

GYRO_GAIN_SD: Final = 0.005
"""Gain error of a consumer gyroscope, per axis; its cross-axis terms are 0.6 of it (assumed, as in the simulator)."""
GYRO_GAINS_SD: Final = GYRO_GAIN_SD * np.where(np.eye(3) > 0.0, 1.0, 0.6)
TWIST_SD: Final = np.radians(0.5)
"""Axial turn that a wrist at address may have."""
LOADED_TWIST_SD: Final = np.radians(2.0)
"""...and one that swings a club (assumed)."""
TWISTS: Final = 6.0
"""How many times over, in a swing, a loaded wrist's twist may be another (assumed)."""
PRONATION: Final = (0.55, 0.2)
"""Share of the forearm's roll that is its own bones', under which skin stays behind, and its sd: the rest comes from the
shoulder (a captured swing: 0.4, simulated ones: 0.7)."""
BLOCK_S: Final = 0.010
"""Length of the pieces that are averaged, s."""
WIDTH: Final = 2.0
"""Width (sd) of the smoothing of wrist accelerations, in blocks: soft tissue turns at 8 to 20 Hz."""
ALIKE: Final = 1.5
"""Blocks that share one error, as soft tissue leaves it after smoothing (simulation)."""
BEFORE_BLOW: Final = 0.03
"""How long before a blow the last acceleration is read, s."""
EXPLAINED: Final = 0.8
"""Share of the wrist's acceleration that one heading must explain for it to be used."""

TURN, GAIN_F, GAIN_H = slice(0, 3), slice(3, 12), slice(12, 21)
LEVER_F, LEVER_H, LATE = slice(21, 24), slice(24, 27), 27
MOUNT_F, MOUNT_H, COUNT = slice(28, 31), slice(31, 34), 34
"""Where each constant stands: turn of the forearm's world against the hand's, radians; gains (true rate = rate + gains .
rate); sensor to wrist, m; lateness, s; turn of each segment in its sensor, segment axes, radians."""


@dataclass(frozen=True, eq=False, slots=True)
class SwingFit:
    """found: what is to be added to each constant, shape (34,); covariance: what is left open. turn: about the vertical,
    from the forearm's world to the hand's, before it; apart: how far the turn by the wrist's acceleration lies from
    the one by the untwisted wrist, radians.
    """

    found: Floats
    covariance: Floats
    turn: float
    apart: float


@dataclass(frozen=True, eq=False, slots=True)
class Side:
    """One sensor for the fit. run: from a still address, where it is level, to before the blow; force: without bias, m/s^2,
    same samples, sensor axes; lever: to the wrist, sensor axes; mount: segment to sensor.
    """

    run: LevelRun
    force: Floats
    lever: Floats
    mount: Rotation


def fit_swing(
    forearm: Side,
    hand: Side,
    *,
    untwisted: float,
    tilt_sd: float,
    clock_sd: float,
    mounts_covariance: Floats,
    skin: tuple[float, float, float],
) -> SwingFit:
    """Fit the constants over the samples of both sides.

    untwisted: turn about the vertical from the forearm's world to the hand's by the untwisted wrist; tilt_sd: of the
    level of one world against the other, radians; mounts_covariance: of both mounts, shape (6, 6); skin: its lag at address
    and sd of that, radians, and the share of turning that it follows.
    """
    size = max(1, round(BLOCK_S / usual_step(forearm.run.time_s)))
    clock = _blocks(forearm.run.time_s, size)
    count = len(clock)
    seen = _seen(forearm, hand, size)
    found, explained = heading_from_acceleration(*(s.wrist[-round(0.5 / BLOCK_S) :] for s in seen))
    turn = untwisted if explained < EXPLAINED else found
    fore, palm = _turned(seen[0], about_up(turn)), seen[1]

    rows = np.zeros((count, 3, COUNT))
    rows[:, :, TURN] = _tilting(fore.wrist)
    rows[:, :, GAIN_F] = rows[:, :, TURN] @ fore.gains
    rows[:, :, GAIN_H] = -_tilting(palm.wrist) @ palm.gains
    rows[:, :, LEVER_F], rows[:, :, LEVER_H] = fore.levers, -palm.levers
    rows[:, :, LATE] = -rate_of_change(clock, palm.wrist)
    miss = fore.wrist - palm.wrist
    twist, leans, twist_weight = _twist(fore, palm, forearm.mount, hand.mount, skin)

    prior = np.zeros((COUNT, COUNT))
    sds = np.concatenate(
        ([tilt_sd, 1.0, tilt_sd], GYRO_GAINS_SD.ravel(), GYRO_GAINS_SD.ravel(), np.full(6, LEVER_SD), [clock_sd])
    )
    np.fill_diagonal(prior[:28, :28], sds**-2.0)
    prior[28:, 28:] = np.linalg.inv(mounts_covariance)
    known = prior + (leans * twist_weight[:, None]).T @ leans
    pull = leans.T @ (twist_weight * twist)
    odd = 0.2 + 0.004 * palm.square
    flat, information = rows.reshape(-1, COUNT), known
    state = -np.linalg.solve(known, pull)
    for _ in range(3 if explained >= EXPLAINED else 0):
        left = lengths(miss + (flat @ state).reshape(-1, 3)) / odd
        usual = max(middle(left), 0.3)
        weight = 1.0 / (ALIKE * (odd * usual) ** 2 * (1.0 + (left / (3.0 * usual)) ** 2))
        weighted = flat * np.repeat(weight, 3)[:, None]
        information = known + weighted.T @ flat
        state = -np.linalg.solve(information, pull + weighted.T @ miss.ravel())
    apart = float((turn - untwisted + np.pi) % (2.0 * np.pi) - np.pi)
    return SwingFit(np.asarray(state), np.asarray(np.linalg.inv(information)), turn, apart)


@dataclass(frozen=True, eq=False, slots=True)
class _Seen:
    """What a side sees, in blocks, in its world: wrist's acceleration (gravity in it), what a lever adds to it, what
    gains add to the orientation (n, 3, 9); sensor to world (n, 3, 3); square of the rate; roll about each axis of the
    sensor since address (n, 3).
    """

    wrist: Floats
    levers: Floats
    gains: Floats
    turned: Floats
    square: Floats
    rolled: Floats


def _seen(forearm: Side, hand: Side, size: int) -> list[_Seen]:
    """Both sides at once, beside each other along the second axis."""
    n = len(forearm.force) // size * size
    sides, clock = (forearm, hand), forearm.run.time_s[:n]
    rate = np.concatenate([s.run.rate[:n] for s in sides], axis=1)
    turned = np.stack([s.run.turned.as_matrix()[:n] for s in sides], axis=1)
    told = np.empty((n, 2, 3, 4))
    lever = lever_matrix(rate.reshape(-1, 3), rate_of_change(clock, rate).reshape(-1, 3)).reshape(n, 2, 3, 3)
    told[..., 1:] = lever
    for i, side in enumerate(sides):
        told[:, i, :, 0] = side.force[:n] + lever[:, i] @ side.lever
    # both are smoothed in the world: a force that is smoothed in turning axes is another
    told = gaussian_filter1d(_blocks((turned @ told).reshape(n, 24), size), WIDTH, axis=0).reshape(-1, 2, 3, 4)
    few, slow = _blocks(clock, size), _blocks(rate, size)
    rolled, slow, middles = running_integral(few, slow), slow.reshape(-1, 2, 3), turned[size // 2 :: size]
    gains = running_integral(few, (middles[..., None] * slow[:, :, None, None, :]).reshape(-1, 54))
    gains = gains.reshape(-1, 2, 3, 9)
    return [
        _Seen(
            told[:, i, :, 0],
            told[:, i, :, 1:],
            gains[:, i],
            middles[:, i],
            dots(slow[:, i], slow[:, i]),
            rolled[:, 3 * i : 3 * i + 3],
        )
        for i in range(2)
    ]


def _turned(seen: _Seen, matrix: Floats) -> _Seen:
    return _Seen(
        seen.wrist @ matrix.T, matrix @ seen.levers, matrix @ seen.gains, matrix @ seen.turned, seen.square, seen.rolled
    )


def _blocks(values: Floats, size: int) -> Floats:
    """Means of blocks of this many samples along the first axis."""
    count = len(values) // size
    return np.asarray(values[: count * size].reshape(count, size, *values.shape[1:]).mean(axis=1))


def _tilting(vectors: Floats) -> Floats:
    """Matrices M, shape (n, 3, 3), with M t = t x v: what a small turn t does to each vector."""
    out = np.zeros((len(vectors), 3, 3))
    x, y, z = vectors.T
    out[:, 0, 1], out[:, 0, 2] = z, -y
    out[:, 1, 0], out[:, 1, 2] = -z, x
    out[:, 2, 0], out[:, 2, 1] = y, -x
    return out


def _twist(
    fore: _Seen, palm: _Seen, forearm_mount: Rotation, hand_mount: Rotation, skin: tuple[float, float, float]
) -> tuple[Floats, Floats, Floats]:
    """Axial turn beyond what the skin explains, shape (n,); how it leans on each constant, (n, 34); weights, (n,)."""
    to_forearm, to_hand = forearm_mount.as_matrix(), hand_mount.as_matrix()
    of_forearm, of_hand = fore.turned @ to_forearm, palm.turned @ to_hand
    relative = np.swapaxes(of_forearm, 1, 2) @ of_hand
    # axial, flexion, deviation about y, z, x in turn, as `Rotation.as_euler("YZX")`, without its checks
    axial = unwrapped(np.arctan2(-relative[:, 2, 0], relative[:, 0, 0]))
    flexion = np.arcsin(np.clip(relative[:, 1, 0], -1.0, 1.0))
    deviation = np.arctan2(-relative[:, 1, 2], relative[:, 1, 1])
    # what a small turn of the hand, in its own axes, does to the axial angle
    along = np.stack((np.zeros_like(axial), np.cos(deviation), -np.sin(deviation)), axis=1) / np.cos(flexion)[:, None]
    in_world = np.einsum("nij,nj->ni", of_hand, along)
    leans = np.zeros((len(axial), COUNT))
    leans[:, TURN] = -in_world
    leans[:, GAIN_F] = -np.einsum("ni,nij->nj", in_world, fore.gains)
    leans[:, GAIN_H] = np.einsum("ni,nij->nj", in_world, palm.gains)
    leans[:, MOUNT_F] = -np.einsum("nij,nj->ni", relative, along)
    leans[:, MOUNT_H] = along
    (lag, lag_sd, follow), (share, share_sd) = skin, PRONATION
    lagging = (1.0 - follow) / follow * (fore.rolled @ to_forearm[:, 1])
    sd = np.hypot(LOADED_TWIST_SD, share_sd * lagging)
    weight = TWISTS / (len(axial) * sd**2)
    weight[0] = 1.0 / (TWIST_SD**2 + lag_sd**2)
    twist = (axial - lag - share * lagging + np.pi) % (2.0 * np.pi) - np.pi
    return twist, leans, weight


@dataclass(frozen=True, eq=False, slots=True)
class Mended:
    """A segment in the swing's world: orientation, n rotations, and rate there, rad/s, shape (n, 3)."""

    turned: Rotation
    rate: Floats


def mended(run: LevelRun, mount: Rotation, heading: float, at: int, turn: Floats, gains: Floats) -> Mended:
    """The segment that a sensor is on. heading: about the vertical, from the run's world to the swing's; turn: small,
    radians, there at sample `at`; gains: of the gyro, more than it has, shape (3, 3).
    """
    own = run.rate
    owed = own @ gains.T
    more = run.turned.apply(owed) @ about_up(heading).T
    drift = running_integral(run.time_s, more)
    drift += turn - drift[at]
    world = np.array([0.0, np.sin(0.5 * heading), 0.0, np.cos(0.5 * heading)])
    by = row_product(quaternions_from_rotation_vectors(drift.T).T, world)
    turned = Rotation.from_quat(row_product(row_product(by, run.turned.as_quat()), mount.as_quat()))
    rate = turned.apply(own @ mount.as_matrix())
    rate += more
    # half of drift x more, written out: a small turn that grows about a turning axis
    (x, y, z), (u, v, w) = drift.T, more.T
    rate[:, 0] += 0.5 * (y * w - z * v)
    rate[:, 1] += 0.5 * (z * u - x * w)
    rate[:, 2] += 0.5 * (x * v - y * u)
    return Mended(turned, rate)

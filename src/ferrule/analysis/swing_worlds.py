"""From one swing's stretch of both sensors to one world: level at address, on one clock, with the swing's constants fitted."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.recording_session import AimHeading
from ferrule.analysis.swing_fit import (
    BEFORE_BLOW,
    GAIN_F,
    GAIN_H,
    LATE,
    MOUNT_F,
    MOUNT_H,
    TURN,
    Side,
    SwingFit,
    corrected,
    fit_swing,
)
from ferrule.analysis.swings import Candidate
from ferrule.club.clubs import Club
from ferrule.frames.rotations import UP, rotation_about
from ferrule.sensing.calibration import MountAxes
from ferrule.sensing.clock import FOREARM_LEVER, HAND_LEVER
from ferrule.sensing.heading import heading_without_twist
from ferrule.sensing.orientation import LevelRun, SensorRun, level_run
from ferrule.signals.prefix import rotation_product

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True)
class SwingInput:
    """What a swing is worked out from. low, at, high: first sample, last still sample at address, end (exclusive);
    forearm_up, hand_up: reading of gravity at `at`, sensor axes, m/s^2; forearm_acc, hand_acc: of the whole recording as
    measured, and the bias in it; tilt_sds: doubt of gravity in each; late_s, clock_sd: lateness of the hand's clock; aim:
    heading of the target in the hand's world at address, if an aim pose gave it.
    """

    candidate: Candidate
    low: int
    at: int
    high: int
    forearm_run: SensorRun
    hand_run: SensorRun
    forearm_up: Floats
    hand_up: Floats
    mounts: MountAxes
    forearm_acc: tuple[Floats, Floats]
    hand_acc: tuple[Floats, Floats]
    tilt_sds: tuple[float, float]
    late_s: float
    clock_sd: float
    aim: AimHeading | None
    club: Club


@dataclass(frozen=True, eq=False, slots=True)
class Worlds:
    """Both sensors in the hand's level world and all that the swing said of its constants. turn: about the vertical, from
    the forearm's own world to the hand's.
    """

    forearm: LevelRun
    hand: LevelRun
    forearm_mount: Rotation
    hand_mount: Rotation
    fit: SwingFit
    late_s: float
    turn: float
    twist_free: float


def address_worlds(given: SwingInput) -> Worlds:
    """Both sensors level at address, the forearm turned into the hand's world, with their constants fitted."""
    forearm = level_run(given.forearm_run, given.forearm_up, given.at, given.low, given.high)
    k, mounts = given.at - given.low, given.mounts
    blow = given.candidate.hand_blow
    until = given.hand_run.time_s[given.candidate.peak] if blow is None else blow.time_s - given.late_s - BEFORE_BLOW
    end = max(int(np.searchsorted(forearm.time_s, until)), k + 1)
    hand = level_run(given.hand_run, given.hand_up, given.at, given.low, given.low + end, given.late_s)
    untwisted, conditioning = heading_without_twist(
        forearm.turned[k] * mounts.forearm, hand.turned[k] * mounts.hand, mounts.skin_lag
    )
    fit = fit_swing(
        Side(forearm, _force(given, given.forearm_acc, 0.0), mounts.forearm.apply(FOREARM_LEVER), mounts.forearm),
        Side(hand, _force(given, given.hand_acc, given.late_s), mounts.hand.apply(HAND_LEVER), mounts.hand),
        k,
        end,
        untwisted=float(untwisted),
        tilt_sd=float(np.hypot(*given.tilt_sds)),
        clock_sd=given.clock_sd,
        mounts_covariance=mounts.covariance(given.tilt_sds),
        skin=(mounts.skin_lag, mounts.skin_lag_sd, mounts.skin_follow),
    )
    late = given.late_s + float(fit.found[LATE])
    about_up = rotation_about(UP, fit.turn)
    turned = replace(
        forearm, turned=rotation_product(about_up, forearm.turned), rate=forearm.rate @ about_up.as_matrix().T
    )
    hand = level_run(given.hand_run, given.hand_up, given.at, given.low, given.high, late)
    return Worlds(
        corrected(turned, k, fit.found[TURN], fit.found[GAIN_F].reshape(3, 3)),
        corrected(hand, k, np.zeros(3), fit.found[GAIN_H].reshape(3, 3)),
        mounts.forearm * Rotation.from_rotvec(fit.found[MOUNT_F]),
        mounts.hand * Rotation.from_rotvec(fit.found[MOUNT_H]),
        fit,
        late,
        fit.turn + float(fit.found[TURN][1]),
        float(conditioning),
    )


def _force(given: SwingInput, measured: tuple[Floats, Floats], late_s: float) -> Floats:
    """Specific force of a sensor without its bias on the file's clock, over the swing's samples, m/s^2, shape (n, 3)."""
    acc, bias = measured
    if late_s == 0.0:
        return np.asarray(acc[given.low : given.high] - bias)
    clock = given.hand_run.time_s
    wanted = clock[given.low : given.high] + late_s
    return np.stack([np.interp(wanted, clock, acc[:, i]) for i in range(3)], axis=1) - bias

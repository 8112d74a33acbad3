"""From one swing's stretch of both sensors to one world: level at address, on one clock, with the swing's constants fitted."""

from dataclasses import dataclass
from typing import Final

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
    fit_swing,
    mended,
)
from ferrule.analysis.swings import Candidate
from ferrule.club.clubs import Club
from ferrule.sensing.calibration import MountAxes
from ferrule.sensing.clock import FOREARM_LEVER, HAND_LEVER
from ferrule.sensing.heading import heading_without_twist
from ferrule.sensing.orientation import LevelRun, SensorRun, level_run, rate_between
from ferrule.signals.derivative import lengths
from ferrule.signals.prefix import rotation_product
from ferrule.swing.track import ArmTrack

Floats = NDArray[np.float64]

AFTER_BLOW: Final = 0.03
"""How long after a blow, as the session's clock has it, both sensors are followed, s: the swing's own clock differs by less."""


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
    """Both segments in the hand's level world, to just after the blow, and all that the swing said of its constants.

    hand_speed: length of the hand's rate to the end of the swing, rad/s. turn: about the vertical, from the forearm's own
    world to the hand's.
    """

    track: ArmTrack
    hand_speed: Floats
    forearm_mount: Rotation
    hand_mount: Rotation
    fit: SwingFit
    late_s: float
    turn: float
    twist_free: float


def address_worlds(given: SwingInput) -> Worlds:
    """Both sensors level at address, the forearm turned into the hand's world, with their constants fitted."""
    low, at, high, mounts = given.low, given.at, given.high, given.mounts
    t, blow = given.forearm_run.time_s, given.candidate.hand_blow
    if blow is None:
        until = float(t[given.candidate.peak])
    else:
        heard = blow.time_s - given.late_s
        until, high = heard - BEFORE_BLOW, min(high, int(np.searchsorted(t, heard + AFTER_BLOW)))
    end = max(int(np.searchsorted(t, until)), at + 1)
    forearm = level_run(given.forearm_run, given.forearm_up, at, low, high)
    moving = LevelRun(t[at:end], forearm.turned[at - low : end - low], forearm.rate[at - low : end - low])
    hand = level_run(given.hand_run, given.hand_up, at, at, end, given.late_s)
    untwisted, conditioning = heading_without_twist(
        rotation_product(moving.turned[0], mounts.forearm),
        rotation_product(hand.turned[0], mounts.hand),
        mounts.skin_lag,
    )
    fit = fit_swing(
        Side(moving, _force(given.forearm_acc, t, at, end, 0.0), mounts.forearm.apply(FOREARM_LEVER), mounts.forearm),
        Side(hand, _force(given.hand_acc, t, at, end, given.late_s), mounts.hand.apply(HAND_LEVER), mounts.hand),
        untwisted=float(untwisted),
        tilt_sd=float(np.hypot(*given.tilt_sds)),
        clock_sd=given.clock_sd,
        mounts_covariance=mounts.covariance(given.tilt_sds),
        skin=(mounts.skin_lag, mounts.skin_lag_sd, mounts.skin_follow),
    )
    late = given.late_s + float(fit.found[LATE])
    gains_f, gains_h = fit.found[GAIN_F].reshape(3, 3), fit.found[GAIN_H].reshape(3, 3)
    forearm_mount = rotation_product(mounts.forearm, Rotation.from_rotvec(fit.found[MOUNT_F]))
    hand_mount = rotation_product(mounts.hand, Rotation.from_rotvec(fit.found[MOUNT_H]))
    fore = mended(forearm, forearm_mount, fit.turn, at - low, fit.found[TURN], gains_f)
    hand = level_run(given.hand_run, given.hand_up, at, low, high, late)
    palm = mended(hand, hand_mount, 0.0, at - low, np.zeros(3), gains_h)
    # after the blow nothing but how fast the hand still turns is asked for
    after = rate_between(given.hand_run, high, given.high, late)
    return Worlds(
        ArmTrack(t[low:high], fore.turned, palm.turned, fore.rate, palm.rate),
        np.concatenate((lengths(palm.rate), lengths(after + after @ gains_h.T))),
        forearm_mount,
        hand_mount,
        fit,
        late,
        fit.turn + float(fit.found[TURN][1]),
        float(conditioning),
    )


def _force(measured: tuple[Floats, Floats], clock: Floats, low: int, high: int, late_s: float) -> Floats:
    """Specific force of a sensor without its bias on the file's clock, samples low to high, m/s^2, shape (n, 3)."""
    acc, bias = measured
    if late_s == 0.0:
        return np.asarray(acc[low:high] - bias)
    wanted = clock[low:high] + late_s
    return np.stack([np.interp(wanted, clock, acc[:, i]) for i in range(3)], axis=1) - bias

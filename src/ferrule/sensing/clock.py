"""Clock offset between the two sensors from the one point that both know: the wrist centre.

Each sensor gives the acceleration of the wrist centre (its own, carried along the lever arm by the gyroscope). The
length of that vector needs no orientation; the shift that makes both lengths agree is the offset. Matching angular
rates instead would be wrong by about 10 ms, because the wrist moves. Lever arms are only known to a centimetre, and a
wrong one looks like an offset: they are estimated with it, held near the generic ones.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from ferrule.sensing.calibration import main_axis
from ferrule.sensing.recording import SensorTrace
from ferrule.signals.derivative import dots, lengths, middle, rate_of_change, usual_step

Floats = NDArray[np.float64]

FOREARM_LEVER: Final = np.array([0.030, -0.060, 0.0])
"""Forearm sensor to wrist centre in forearm axes, metres: worn on the back of the forearm (common practice)."""
HAND_LEVER: Final = np.array([0.020, 0.050, 0.0])
"""Hand sensor to wrist centre in hand axes, metres: worn on the back of the hand (common practice)."""
SMOOTHING: Final = 0.015
"""Width (sd) of the smoothing of signals and of their disagreement, s."""
MOTION_SD: Final = 0.0009
"""What one swing's estimate is good for, s: soft tissue limits it, not noise (simulation, 200 swings: 0.82 ms)."""
ENOUGH: Final = 1e-4
"""Change of the offset from one round to the next that ends the search, s."""
TURNING_SD: Final = 0.0010
"""What the turning of the forearm is good for, s: skin may lag (assumed)."""
LEVER_SD: Final = 0.010
"""How well the generic lever arms hold, metres per axis."""


@dataclass(frozen=True, eq=False, slots=True)
class ClockOffset:
    """offset: seconds that the hand's clock runs late (its samples belong to time - offset); sd of the same.

    forearm_lever, hand_lever: sensor to wrist centre in sensor axes, metres, shape (3,). residual: RMS m/s^2 left.
    """

    offset: float
    sd: float
    forearm_lever: Floats
    hand_lever: Floats
    residual: float


def lever_matrix(gyr: Floats, angular_acceleration: Floats) -> Floats:
    """K with a_wrist = f + K r: alpha x r + w x (w x r). gyr, angular_acceleration: (n, 3). Returns (n, 3, 3)."""
    out = np.einsum("ni,nj->nij", gyr, gyr)
    square = dots(gyr, gyr)
    for i in range(3):
        out[:, i, i] -= square
    ax, ay, az = angular_acceleration.T
    out[:, 0, 1] -= az
    out[:, 0, 2] += ay
    out[:, 1, 0] += az
    out[:, 1, 2] -= ax
    out[:, 2, 0] -= ay
    out[:, 2, 1] += ax
    return np.asarray(out)


def blurring(time_s: Floats, sd: float) -> Floats:
    """Matrix that blurs a series on a clock, shape (n,), with a normal curve of this sd (s); rows sum to one, (n, n).

    On an even clock the weights depend on the distance in samples alone: n exponentials instead of n squared.
    """
    count = len(time_s)
    steps = np.diff(time_s)
    if np.ptp(steps) < 0.01 * steps[0]:
        side = np.exp(-0.5 * (np.arange(count) * ((time_s[-1] - time_s[0]) / (count - 1) / sd)) ** 2)
        out = np.lib.stride_tricks.sliding_window_view(np.concatenate((side[:0:-1], side)), count)[::-1].copy()
    else:
        apart = (time_s[:, None] - time_s[None, :]) / sd
        out = np.exp(-0.5 * apart * apart)
    out /= out.sum(axis=1, keepdims=True)
    return np.asarray(out)


def clock_offset(
    time_s: Floats,
    forearm: SensorTrace,
    hand: SensorTrace,
    use: NDArray[np.bool_],
    forearm_lever: Floats,
    hand_lever: Floats,
    *,
    lever_sd: float = LEVER_SD,
) -> ClockOffset | None:
    """Offset of the hand's clock against the forearm's.

    use: shape (n,), the samples to compare (a moving swing before impact). forearm_lever, hand_lever: first guess in
    sensor axes, metres. Iterated least squares with the lever arms held at `lever_sd` around the guess; samples that
    disagree most are weighted down. None when there is too little motion to tell.
    """
    index = np.flatnonzero(use)
    if index.size < 20:
        return None
    low, high = max(int(index[0]) - 30, 0), min(int(index[-1]) + 31, len(time_s))
    part = slice(low, high)
    clock = time_s[part]
    index = index - low
    gyr_f, gyr_h, acc_f, acc_h = forearm.gyr[part], hand.gyr[part], forearm.acc[part], hand.acc[part]
    # soft tissue turns the sensors at 8-20 Hz and does not move them: smoothing keeps that out of the lever terms
    width = SMOOTHING / usual_step(clock)
    gyr_f, gyr_h, acc_f, acc_h = (gaussian_filter1d(x, width, axis=0) for x in (gyr_f, gyr_h, acc_f, acc_h))
    k_f = lever_matrix(gyr_f, rate_of_change(clock, gyr_f))
    k_h = lever_matrix(gyr_h, rate_of_change(clock, gyr_h))
    guess = np.concatenate((forearm_lever, hand_lever, [0.0]))
    prior = np.concatenate((np.full(6, 1.0 / lever_sd**2), [1.0 / 0.03**2]))
    state, information, residual = guess.copy(), np.eye(7), np.inf
    index = index[:: max(1, round(0.3 * width))]
    sigma = 0.2 + 0.004 * dots(gyr_h[index], gyr_h[index])
    blur = blurring(clock[index], SMOOTHING)
    # the forearm's clock is the file's: only the hand is read between samples
    acc_f, k_f = acc_f[index], k_f[index]
    flat_f, flat_h = k_f.reshape(-1, 3), k_h.reshape(-1, 3)
    for _ in range(8):
        wrist_f = acc_f + (flat_f @ state[0:3]).reshape(-1, 3)
        wrist_h = acc_h + (flat_h @ state[3:6]).reshape(-1, 3)
        length_f, length_h = lengths(wrist_f), lengths(wrist_h)
        at = clock[index] + state[6]
        seen_h = np.interp(at, clock, length_h)
        slope_h = np.interp(at, clock, rate_of_change(clock, length_h))
        u_f = wrist_f / np.maximum(length_f, 1e-9)[:, None]
        u_h = wrist_h / np.maximum(length_h, 1e-9)[:, None]
        turn_h = np.einsum("ni,nij->nj", u_h, k_h)
        jacobian = np.empty((index.size, 7))
        jacobian[:, 0:3] = np.einsum("ni,nij->nj", u_f, k_f)
        for i in range(3):
            jacobian[:, 3 + i] = -np.interp(at, clock, turn_h[:, i])
        jacobian[:, 6] = -slope_h
        miss, jacobian = blur @ (length_f - seen_h), blur @ jacobian
        odd = miss / sigma
        scale = max(1.4826 * middle(np.abs(odd)), 0.3)
        weight = 1.0 / (sigma**2 * scale**2 * (1.0 + (odd / (2.5 * scale)) ** 2))
        information = jacobian.T @ (jacobian * weight[:, None]) + np.diag(prior)
        pull = jacobian.T @ (weight * miss) + prior * (state - guess)
        step = np.linalg.solve(information, pull)
        step[6] = np.clip(step[6], -0.01, 0.01)
        state = state - step
        state[6] = np.clip(state[6], -0.03, 0.03)
        residual = float(np.sqrt(np.mean(miss**2)))
        if abs(step[6]) < ENOUGH:
            break
    covariance = np.linalg.inv(information)
    return ClockOffset(float(state[6]), float(np.sqrt(covariance[6, 6])), state[0:3], state[3:6], residual)


def turning_offset(time_s: Floats, forearm_gyr: Floats, hand_gyr: Floats) -> float | None:
    """Offset of the hand's clock from the forearm-turning movement, where both segments turn as one, s.

    forearm_gyr, hand_gyr: rad/s, bias removed, shape (n, 3), of the movement. The rate of each about its own main axis
    is the same up to a factor and the offset; both follow from least squares, repeated about the last offset.
    """
    if len(time_s) < 50:
        return None
    rates = []
    for gyr in (forearm_gyr, hand_gyr):
        axis, share = main_axis(gyr)
        if share < 0.9:
            return None
        rates.append(gyr @ axis)
    seen, true = rates
    if seen @ true < 0.0:
        true = -true
    offset = 0.0
    inner = (time_s > time_s[0] + 0.1) & (time_s < time_s[-1] - 0.1)
    slope = rate_of_change(time_s, true)
    for _ in range(6):
        at = time_s[inner] + offset
        columns = np.stack((np.interp(at, time_s, true), np.interp(at, time_s, slope)), axis=1)
        gain, shift = np.linalg.lstsq(columns, seen[inner], rcond=None)[0]
        if abs(gain) < 0.3:
            return None
        offset = float(np.clip(offset + shift / gain, -0.05, 0.05))
    return offset

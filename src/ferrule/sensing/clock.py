"""Clock offset between the two sensors from the one point that both know: the wrist centre.

Each sensor gives the acceleration of the wrist centre (its own, carried along the lever arm by the gyroscope). The
length of that vector needs no orientation; the shift that makes both lengths agree is the offset. Matching angular
rates instead would be wrong by about 10 ms, because the wrist moves. Lever arms are only known to a centimetre, and a
wrong one looks like an offset: they are estimated with it, held near the generic ones.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import correlate1d, gaussian_filter1d

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
    out = gyr[:, :, None] * gyr[:, None, :]
    out.reshape(-1, 9)[:, ::4] -= dots(gyr, gyr)[:, None]
    ax, ay, az = angular_acceleration.T
    out[:, 0, 1] -= az
    out[:, 0, 2] += ay
    out[:, 1, 0] += az
    out[:, 1, 2] -= ax
    out[:, 2, 0] -= ay
    out[:, 2, 1] += ax
    return np.asarray(out)


def blurring(time_s: Floats, sd: float) -> Callable[[Floats], Floats]:
    """What blurs series on a clock, shape (k, n), along it with a normal curve of this sd (s); weights add up to one."""
    count = len(time_s)
    steps = np.diff(time_s)
    if np.ptp(steps) < 0.01 * steps[0]:
        # the weights depend on the distance in samples alone, and beyond eight and a half sds they are nothing
        step = (time_s[-1] - time_s[0]) / (count - 1) / sd
        weights = np.exp(-0.5 * (np.arange(-int(8.5 / step), int(8.5 / step) + 1) * step) ** 2)
        whole = correlate1d(np.ones(count), weights, mode="constant")
        return lambda values: np.asarray(correlate1d(values, weights, mode="constant") / whole)
    apart = (time_s[:, None] - time_s[None, :]) / sd
    matrix = np.exp(-0.5 * apart * apart)
    matrix /= matrix.sum(axis=1, keepdims=True)
    return lambda values: np.asarray(values @ matrix.T)


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
    # soft tissue turns the sensors at 8-20 Hz and does not move them: smoothing keeps that out of the lever terms
    width = SMOOTHING / usual_step(clock)
    signals = np.concatenate((forearm.gyr[part], hand.gyr[part], forearm.acc[part], hand.acc[part]), axis=1)
    signals = gaussian_filter1d(signals, width, axis=0)
    speeding = rate_of_change(clock, signals[:, :6])
    index = index[:: max(1, round(0.3 * width))]
    # the forearm's clock is the file's: only the hand is read between samples
    acc_f, acc_h, gyr_h = signals[index, 6:9], signals[:, 9:], signals[:, 3:6]
    k_f, k_h = lever_matrix(signals[index, :3], speeding[index, :3]), lever_matrix(gyr_h, speeding[:, 3:])
    flat_f, flat_h = k_f.reshape(-1, 3), k_h.reshape(-1, 3)
    guess = np.concatenate((forearm_lever, hand_lever, [0.0]))
    prior = np.diag(np.concatenate((np.full(6, 1.0 / lever_sd**2), [1.0 / 0.03**2])))
    sigma = 0.2 + 0.004 * dots(gyr_h[index], gyr_h[index])
    blur = blurring(clock[index], SMOOTHING)
    state = guess.copy()
    leans = np.empty((8, index.size))
    for _ in range(8):
        wrist_f = acc_f + (flat_f @ state[0:3]).reshape(-1, 3)
        wrist_h = acc_h + (flat_h @ state[3:6]).reshape(-1, 3)
        length_f, length_h = lengths(wrist_f), lengths(wrist_h)
        at = clock[index] + state[6]
        wrist_f /= np.maximum(length_f, 1e-9)[:, None]
        wrist_h /= np.maximum(length_h, 1e-9)[:, None]
        leans[0:3] = np.einsum("ni,nij->jn", wrist_f, k_f)
        for i, turned in enumerate(np.einsum("ni,nij->jn", wrist_h, k_h)):
            leans[3 + i] = -np.interp(at, clock, turned)
        leans[6] = -np.interp(at, clock, rate_of_change(clock, length_h))
        leans[7] = length_f - np.interp(at, clock, length_h)
        smooth = blur(leans)
        jacobian, miss = smooth[:7], smooth[7]
        odd = miss / sigma
        scale = max(1.4826 * middle(np.abs(odd)), 0.3)
        weighted = jacobian / (sigma**2 * scale**2 * (1.0 + (odd / (2.5 * scale)) ** 2))
        information = weighted @ jacobian.T + prior
        step = np.linalg.solve(information, weighted @ miss + prior @ (state - guess))
        late = min(max(float(step[6]), -0.01), 0.01)
        step[6] = late
        state -= step
        state[6] = min(max(float(state[6]), -0.03), 0.03)
        if abs(late) < ENOUGH:
            break
    covariance = np.linalg.inv(information)
    residual = float(np.sqrt(miss @ miss / index.size))
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

"""Inclination from gravity while a sensor is still, and what the many still poses of a lesson say about its accelerometer.

World of a sensor: Y up, heading free. At rest the accelerometer reads +g upwards.
"""

from collections.abc import Sequence
from math import hypot, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.sensing.recording import SensorTrace
from ferrule.signals.derivative import lengths, running_integral
from ferrule.units import GRAVITY

Floats = NDArray[np.float64]


def mean_up(time_s: Floats, sensor: SensorTrace, gyr_bias: Floats, acc_bias: Floats, at: int) -> Floats:
    """Specific force of a still window in the sensor's axes at sample `at`, m/s^2, shape (3,).

    Small sway is taken out first: every reading is carried to sample `at` by the gyroscope, to first order in the angle
    turned (a sway of 2 degrees leaves 0.03).
    """
    turned = running_integral(time_s, sensor.gyr - gyr_bias)
    turned -= turned[at].copy()
    acc = sensor.acc - acc_bias
    # the mean of turned x acc, out of the means of all products
    (_, xy, xz), (yx, _, yz), (zx, zy, _) = turned.T @ acc / len(acc)
    return np.asarray(acc.sum(axis=0) / len(acc) + np.array([yz - zy, zx - xz, xy - yx]))


def levelled(up_in_sensor: Floats) -> Rotation:
    """Orientation, sensor to world, of a sensor that reads `up_in_sensor` at rest; the shortest such turn."""
    return Rotation.from_quat(level_quaternion(up_in_sensor))


def level_quaternion(up_in_sensor: Floats) -> Floats:
    """The same as a quaternion x, y, z, w."""
    x, y, z = up_in_sensor.tolist()
    size = hypot(x, y, z)
    if hypot(x, z) < 1e-12 * size:
        return np.array([0.0, 0.0, 0.0, 1.0]) if y > 0.0 else np.array([1.0, 0.0, 0.0, 0.0])
    # half the turn from u to Y, about u x Y = (-z, 0, x)
    half = np.array([-z, 0.0, x, size + y])
    return np.asarray(half / sqrt(half @ half))


def accelerometer_bias(
    still: Sequence[Floats],
    *,
    prior_sd: float = 0.02 * GRAVITY,
    reading_sd: float = 0.003 * GRAVITY,
    known: tuple[Floats, Floats] | None = None,
) -> tuple[Floats, Floats]:
    """Accelerometer bias from still poses: at each the reading, less the bias, has the length of g.

    still: mean reading of each pose, m/s^2, shape (3,). One pose fixes the part of the bias along its own vertical,
    three different ones fix all of it; what they leave open stays at the prior (0, `prior_sd`). reading_sd covers
    scale, local gravity and sway. known: bias and covariance from elsewhere (a calibration recorded apart), in place of
    that prior. Returns the bias, shape (3,), and its covariance, shape (3, 3).
    """
    start, spread = (np.zeros(3), prior_sd**2 * np.eye(3)) if known is None else known
    if not still:
        return start, spread
    precision = np.asarray(np.linalg.inv(spread))
    bias: Floats = start
    poses = np.array(still)
    for _ in range(3):
        direction = poses - bias
        length = lengths(direction)
        direction /= length[:, None]
        # |f - b| = g, linear in the change of b around the present one
        gain = direction.T @ direction / reading_sd**2
        wanted = direction.T @ (length - GRAVITY + direction @ bias) / reading_sd**2 + precision @ start
        bias = np.asarray(np.linalg.solve(precision + gain, wanted), dtype=np.float64)
    return np.asarray(bias, dtype=np.float64), np.asarray(np.linalg.inv(precision + gain), dtype=np.float64)

"""Inclination from gravity while a sensor is still, and what the many still poses of a lesson say about its accelerometer.

World of a sensor: Y up, heading free. At rest the accelerometer reads +g upwards.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.frames.rotations import UP
from ferrule.sensing.recording import SensorTrace
from ferrule.signals.derivative import running_integral
from ferrule.units import GRAVITY

Floats = NDArray[np.float64]


def mean_up(time_s: Floats, sensor: SensorTrace, gyr_bias: Floats, acc_bias: Floats, at: int) -> Floats:
    """Specific force of a still window in the sensor's axes at sample `at`, m/s^2, shape (3,).

    Small sway is taken out first: every reading is carried to sample `at` by the gyroscope, to first order in the angle
    turned (a sway of 2 degrees leaves 0.03).
    """
    turned = running_integral(time_s, sensor.gyr - gyr_bias)
    turned = turned - turned[at]
    acc = sensor.acc - acc_bias
    x, y, z = turned.T
    ax, ay, az = acc.T
    swayed = np.array([np.mean(y * az - z * ay), np.mean(z * ax - x * az), np.mean(x * ay - y * ax)])
    return np.asarray(acc.mean(axis=0) + swayed)


def levelled(up_in_sensor: Floats) -> Rotation:
    """Orientation, sensor to world, of a sensor that reads `up_in_sensor` at rest; the shortest such turn."""
    u = up_in_sensor / np.linalg.norm(up_in_sensor)
    axis = np.cross(u, UP)
    sine, cosine = float(np.linalg.norm(axis)), float(u @ UP)
    if sine < 1e-12:
        return Rotation.identity() if cosine > 0.0 else Rotation.from_rotvec([np.pi, 0.0, 0.0])
    return Rotation.from_rotvec(axis / sine * np.arctan2(sine, cosine))


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
    poses = np.stack(list(still))
    for _ in range(3):
        length = np.linalg.norm(poses - bias, axis=1)
        direction = (poses - bias) / length[:, None]
        # |f - b| = g, linear in the change of b around the present one
        gain = direction.T @ direction / reading_sd**2
        wanted = direction.T @ (length - GRAVITY + direction @ bias) / reading_sd**2 + precision @ start
        bias = np.asarray(np.linalg.solve(precision + gain, wanted), dtype=np.float64)
    return np.asarray(bias, dtype=np.float64), np.asarray(np.linalg.inv(precision + gain), dtype=np.float64)

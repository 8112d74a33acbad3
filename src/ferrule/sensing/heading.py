"""Heading of the forearm's world against the hand's: six-axis sensors leave one angle open between the two.

The wrist does not twist: at address the axial angle (axial first) is zero. With z the forearm's and x the hand's axis
in their own worlds this reads z . R_Y(-d) x = 0, one sine and one cosine, solved exactly. Well conditioned while
the forearm hangs steeply, worse towards level; the caller refuses it there.
"""

from cmath import phase, rect

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.signals.derivative import middle

Floats = NDArray[np.float64]


def heading_without_twist(forearm: Rotation, hand: Rotation, axial: float | Floats = 0.0) -> tuple[Floats, Floats]:
    """Turn about +Y that brings the forearm's world into the hand's, radians, and its conditioning.

    forearm, hand: segment to own world, one or n. axial: the axial angle (raw, about the forearm's +Y) that the wrist is
    known to have, normally 0, or n of them. Returns (turn, conditioning), each shape () or (n,): R_Y(turn) * forearm is in the hand's
    world; conditioning is 1 for a hanging and 0 for a level forearm: the error of the turn is the error of the axes
    divided by it.
    """
    f, h = forearm.as_matrix(), hand.as_matrix()
    # as if the wrist had no axial angle: forearm * R_Y(axial)
    turn_x, turn_z = np.cos(axial), np.sin(axial)
    f_x = (turn_x * f[..., 0].T - turn_z * f[..., 2].T).T
    f_y, z = f[..., 1], (turn_z * f[..., 0].T + turn_x * f[..., 2].T).T
    x, y = h[..., 0], h[..., 1]
    # z . R_Y(-d) x = c + a cos d + b sin d
    c = z[..., 1] * x[..., 1]
    a = z[..., 0] * x[..., 0] + z[..., 2] * x[..., 2]
    b = z[..., 2] * x[..., 0] - z[..., 0] * x[..., 2]
    middle = np.arctan2(b, a)
    spread = np.arccos(np.clip(-c / np.maximum(np.hypot(a, b), 1e-12), -1.0, 1.0))
    # of the two roots the one that leaves the segments' volar and long axes closest together
    roots = np.stack((middle + spread, middle - spread))
    likeness = np.zeros_like(roots)
    for of_forearm, of_hand in ((f_x, x), (f_y, y)):
        level = of_forearm[..., 0] * of_hand[..., 0] + of_forearm[..., 2] * of_hand[..., 2]
        across = of_forearm[..., 2] * of_hand[..., 0] - of_forearm[..., 0] * of_hand[..., 2]
        likeness = likeness + level * np.cos(roots) + across * np.sin(roots)
    turn = np.where(likeness[0] >= likeness[1], roots[0], roots[1])
    turn = np.asarray((turn + np.pi) % (2.0 * np.pi) - np.pi)
    slope = np.abs(-a * np.sin(turn) + b * np.cos(turn))
    return turn, np.asarray(slope)


def heading_from_acceleration(forearm_wrist: Floats, hand_wrist: Floats) -> tuple[float, float]:
    """The same turn from the one point that both sensors know: the wrist's acceleration, seen in either world.

    forearm_wrist, hand_wrist: acceleration of the wrist centre in each sensor's own level world, gravity left out or in,
    m/s^2, shape (n, 3). Only the horizontal parts count; samples that disagree in length are weighted down, twice over.
    Returns the turn about +Y from the forearm's world to the hand's and the share of the motion that it explains (1:
    all). A cross-check: an error of the clocks pulls it.
    """
    # as complex numbers z + ix, which a turn of d about +Y multiplies by exp(id)
    f, h = (wrist[:, 2] + 1j * wrist[:, 0] for wrist in (forearm_wrist, hand_wrist))
    both, size = h * f.conj(), np.abs(h) ** 2
    weight = np.ones(len(f))
    turn = 0.0
    explained = 0.0
    for _ in range(3):
        turn = phase(complex(weight @ both))
        miss = np.abs(f * rect(1.0, turn) - h)
        explained = 1.0 - float(weight @ miss**2) / max(float(weight @ size), 1e-12)
        usual = max(1.4826 * middle(miss), 1e-3)
        weight = 1.0 / (1.0 + (miss / (2.0 * usual)) ** 2)
    return turn, explained

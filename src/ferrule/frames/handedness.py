"""Mirroring in Z: how a left-handed golfer becomes a right-handed one at intake, and back at the edge.

A left-handed golfer seen in a mirror across the target line is a right-handed golfer. With S = diag(1, 1, -1) a
position or acceleration v becomes S v, a rotation R becomes S R S, an angular velocity (a pseudo-vector) becomes -S w.
"""

from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial.transform import Rotation

Floats = NDArray[np.float64]
Handedness = Literal["right", "left"]

MIRROR: Final = np.diag([1.0, 1.0, -1.0])
MIRROR.flags.writeable = False


def mirror_vector(v: ArrayLike) -> Floats:
    """S v for positions, velocities, accelerations and forces, shape (..., 3)."""
    return np.asarray(np.asarray(v, dtype=np.float64) * [1.0, 1.0, -1.0], dtype=np.float64)


def mirror_angular_velocity(w: ArrayLike) -> Floats:
    """-S w for angular velocities, moments and rotation vectors (pseudo-vectors), shape (..., 3)."""
    return np.asarray(np.asarray(w, dtype=np.float64) * [-1.0, -1.0, 1.0], dtype=np.float64)


def mirror_rotation(rotation: Rotation) -> Rotation:
    """S R S. In x, y, z, w components this flips the signs of x and y."""
    return Rotation.from_quat(rotation.as_quat() * np.array([-1.0, -1.0, 1.0, 1.0]))


def world_sign(handedness: Handedness) -> float:
    """+1 for a right-handed golfer, -1 for a left-handed one: factor between mirrored and world azimuths."""
    return 1.0 if handedness == "right" else -1.0

"""Rotations across function boundaries are `scipy.spatial.transform.Rotation`; this is the one place that names axes
and converts to and from scalar-first quaternions (SciPy is scalar last, vqf and most recordings are scalar first).
"""

from math import cos, sin
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial.transform import Rotation

Floats = NDArray[np.float64]

TARGET: Final = np.array([1.0, 0.0, 0.0])
"""X of the target frame, towards the target."""
UP: Final = np.array([0.0, 1.0, 0.0])
"""Y of the target frame."""
RIGHT: Final = np.array([0.0, 0.0, 1.0])
"""Z of the target frame, to the right of someone who looks at the target."""


def rotation_about(axis: ArrayLike, angle: ArrayLike) -> Rotation:
    """R_u(a): right-handed rotation about a unit axis.

    axis: shape (3,), or (n, 3); angle: radians, scalar or shape (n,). Returns one rotation or n of them.
    """
    u = np.asarray(axis, dtype=np.float64)
    a = np.asarray(angle, dtype=np.float64)
    return Rotation.from_rotvec(u * a[..., None] if a.ndim else u * float(a))


def about_up(angle: float) -> Floats:
    """Matrix of a turn about the vertical, radians, shape (3, 3)."""
    c, s = cos(angle), sin(angle)
    return np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])


def rotation_from_scalar_first(quaternion: ArrayLike) -> Rotation:
    """From quaternions w, x, y, z, shape (..., 4)."""
    q = np.asarray(quaternion, dtype=np.float64)
    return Rotation.from_quat(q[..., [1, 2, 3, 0]])


def scalar_first_from_rotation(rotation: Rotation) -> Floats:
    """To quaternions w, x, y, z, shape (..., 4)."""
    return np.asarray(rotation.as_quat()[..., [3, 0, 1, 2]], dtype=np.float64)

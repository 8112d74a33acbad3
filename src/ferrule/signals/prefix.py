"""Running product of rotations: the fast form (a scan in log2 n passes) and the plain loop it is tested against."""

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

Floats = NDArray[np.float64]


def quaternion_product(a: Floats, b: Floats) -> Floats:
    """Hamilton product a b of quaternions x, y, z, w held as rows, shape (4, ...): components first, for speed."""
    ax, ay, az, aw = a
    bx, by, bz, bw = b
    return np.stack(
        (
            aw * bx + ax * bw + ay * bz - az * by,
            aw * by - ax * bz + ay * bw + az * bx,
            aw * bz + ax * by - ay * bx + az * bw,
            aw * bw - ax * bx - ay * by - az * bz,
        )
    )


def rotation_product(a: Rotation, b: Rotation) -> Rotation:
    """The product a * b of one or n rotations each: the same as SciPy's, about ten times as fast on thousands."""
    qa, qb = np.ascontiguousarray(a.as_quat().T), np.ascontiguousarray(b.as_quat().T)
    if qa.ndim == qb.ndim == 1:
        return a * b
    return Rotation.from_quat(quaternion_product(qa.reshape(4, -1), qb.reshape(4, -1)).T)


def quaternions_from_rotation_vectors(vectors: Floats) -> Floats:
    """Exponentials of rotation vectors, shape (3, ...) to x, y, z, w in shape (4, ...); exact near zero."""
    angle = np.sqrt(np.sum(vectors * vectors, axis=0))
    half = 0.5 * angle
    scale = 0.5 * np.sinc(half / np.pi)
    return np.concatenate((vectors * scale, np.cos(half)[None]))


def running_product(steps: Floats) -> Floats:
    """All partial products q_0 q_1 ... q_k along the last axis, shape (4, ..., n) to (4, ..., n).

    A scan: log2 n passes, each multiplying every partial product with the one `reach` steps before it. Rounding grows
    with log2 n only; the result is normalised once.
    """
    out = steps.copy()
    n = out.shape[-1]
    reach = 1
    while reach < n:
        out[..., reach:] = quaternion_product(out[..., :-reach], out[..., reach:])
        reach *= 2
    out /= np.sqrt(np.sum(out * out, axis=0))
    return np.asarray(out)


def running_product_loop(steps: Floats) -> Floats:
    """The same as `running_product`, one step after the other: the readable reference."""
    out = steps.copy()
    for k in range(1, out.shape[-1]):
        out[..., k] = quaternion_product(out[..., k - 1], out[..., k])
    out /= np.sqrt(np.sum(out * out, axis=0))
    return out

"""Signals beyond the range of their sensor: found, and short stretches reconstructed in the raw sensor axes."""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from ferrule.sensing.stillness import runs

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

CLIP_FLAG: Final = 0.010
"""Clipping up to this long in a stretch is only flagged, s."""
CLIP_REPAIR: Final = 0.060
"""Clipping up to this long is reconstructed, s; beyond it, angles after the clip are refused."""


def find_clipping(values: Floats, full_scale: float | None = None) -> Bools:
    """Where a signal stands at full scale. values: shape (n, 3); returns a mask of the same shape.

    full_scale: of the device, where known. Else a rail is an extreme value that an axis holds for three samples on end.
    """
    if full_scale is not None:
        return np.asarray(np.abs(values) >= full_scale * (1.0 - 1e-3))
    mask = np.zeros(values.shape, dtype=np.bool_)
    same = values[1:] == values[:-1]
    if not (same[1:] & same[:-1]).any():
        return mask
    for axis in range(values.shape[1]):
        column = values[:, axis]
        for rail in (column.max(), column.min()):
            if rail == 0.0:
                continue
            at = column == rail
            held = [(a, b) for a, b in runs(at) if b - a >= 3]
            if held:
                mask[at, axis] = True
    return mask


def reconstruct_clipping(time_s: Floats, values: Floats, mask: Bools, longest_s: float = CLIP_REPAIR) -> Floats:
    """Fill clipped stretches of each raw axis by a cubic through four good samples either side.

    Stretches longer than `longest_s` or without neighbours stay as they are. The result never falls below the rail,
    because the true value was beyond it.
    """
    out = values.copy()
    for axis in range(values.shape[1]):
        good = ~mask[:, axis]
        for a, b in runs(mask[:, axis]):
            if time_s[b - 1] - time_s[a] > longest_s:
                continue
            near = np.flatnonzero(good[max(0, a - 40) : b + 40]) + max(0, a - 40)
            before, after = near[near < a][-4:], near[near >= b][:4]
            if before.size < 2 or after.size < 2:
                continue
            knots = np.concatenate([before, after])
            curve = CubicSpline(time_s[knots], values[knots, axis])(time_s[a:b])
            rail = values[a:b, axis]
            out[a:b, axis] = np.where(rail > 0.0, np.maximum(curve, rail), np.minimum(curve, rail))
    return out

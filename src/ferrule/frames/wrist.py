"""Wrist angles from two segment orientations, in two conventions that are never mixed.

Signs (ISB, right hand): flexion +, ulnar deviation +, axial (pronation of the hand against the forearm) +. A left
wrist is mirrored first (S R S), which keeps flexion and flips deviation and axial rotation.

* `axial_first`: intrinsic Y-Z'-X'' (axial on the forearm side, then flexion, then deviation). Shown and used: the part
  of pronation that the skin under the forearm sensor does not follow drops out of flexion and deviation.
* `isb`: intrinsic Z-X'-Y'' (flexion, deviation, axial on the hand side), Wu et al. 2005. Exported beside it.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial.transform import Rotation

from ferrule.frames.handedness import mirror_rotation
from ferrule.signals.prefix import rotation_product

Floats = NDArray[np.float64]
Convention = Literal["axial_first", "isb"]
Side = Literal["right", "left"]

_ORDER: Final[dict[Convention, tuple[Literal["YZX", "ZXY"], tuple[int, int, int]]]] = {
    # Euler sequence, and where flexion, deviation and axial stand in it
    "axial_first": ("YZX", (1, 2, 0)),
    "isb": ("ZXY", (0, 1, 2)),
}

GIMBAL: Final = 1e-7
"""Cosine of the middle angle at which the other two are one."""


@dataclass(frozen=True, eq=False, slots=True)
class WristAngles:
    """Wrist angles in radians, each of shape () or (n,): flexion +, ulnar deviation +, axial (pronation) +."""

    flexion: Floats
    ulnar_deviation: Floats
    axial: Floats
    convention: Convention


def wrist_angles(
    forearm: Rotation, hand: Rotation, *, side: Side, convention: Convention = "axial_first"
) -> WristAngles:
    """Angles of the hand against the forearm.

    forearm, hand: orientation of each segment, segment to world, one or n rotations. side: of the body, not the
    golfer's handedness (a right-handed golfer's lead wrist is the left one). Radians out. At 90 degrees of the
    middle angle SciPy warns and sets the third angle to zero; no healthy wrist gets there.
    """
    return angles_between(rotation_product(forearm.inv(), hand), side=side, convention=convention)


def angles_between(relative: Rotation, *, side: Side, convention: Convention = "axial_first") -> WristAngles:
    """The same from R_forearm^-1 R_hand, one or n: for both conventions of one swing it is worked out once."""
    matrix = relative.as_matrix()
    m = np.ascontiguousarray(np.moveaxis(matrix.reshape(*matrix.shape[:-2], 9), -1, 0))
    if convention == "axial_first":
        square = np.hypot(m[0], m[6])
        flexion, deviation, axial = np.arctan2(m[3], square), np.arctan2(-m[5], m[4]), np.arctan2(-m[6], m[0])
    else:
        square = np.hypot(m[1], m[4])
        flexion, deviation, axial = np.arctan2(-m[1], m[4]), np.arctan2(m[7], square), np.arctan2(-m[6], m[8])
    if square.min() < GIMBAL:
        sequence, places = _ORDER[convention]
        flexion, deviation, axial = np.moveaxis(relative.as_euler(sequence)[..., places], -1, 0)
    # turns about X and Y go the other way in a mirror
    sign = -1.0 if side == "left" else 1.0
    return WristAngles(np.asarray(flexion), np.asarray(sign * deviation), np.asarray(sign * axial), convention)


def wrist_rotation(
    flexion: ArrayLike,
    ulnar_deviation: ArrayLike,
    axial: ArrayLike,
    *,
    side: Side,
    convention: Convention = "axial_first",
) -> Rotation:
    """Rotation from forearm to hand (R_forearm^-1 R_hand) with these angles in radians; the inverse of `wrist_angles`."""
    parts = np.broadcast_arrays(*(np.asarray(x, dtype=np.float64) for x in (flexion, ulnar_deviation, axial)))
    sequence, places = _ORDER[convention]
    stacked = np.empty((*parts[0].shape, 3))
    for part, place in zip(parts, places, strict=True):
        stacked[..., place] = part
    relative = Rotation.from_euler(sequence, stacked)
    return mirror_rotation(relative) if side == "left" else relative

"""The clubface carried by the hand: face, leading-edge tilt and delivered loft from the hand's rotation since address.

As long as the grip does not slip the face turns with the hand: in the target frame
R_face(t) = H^T [R_hand(t) R_hand(0)^T] H R_face(0), H = R_Y(heading) from the target frame to the world of the sensors,
heading positive about +Y (to the left). Limits: slip in the fingers, bend of the shaft, the time of impact.
Signs: face + = right of the target (open for a right-hander); edge tilt forward from vertical, about the shaft, 0 when
the toe points up (H04, H05); shaft direction from grip to head.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.club.clubs import Club
from ferrule.frames.rotations import UP, rotation_about

Floats = NDArray[np.float64]

_LEVEL_FLOOR: Final = 1e-9


@dataclass(frozen=True, eq=False, slots=True)
class ClubAtAddress:
    """Directions of the club at address in the target frame, unit vectors of shape (3,).

    shaft: grip to head; normal: out of the face; edge: along the leading edge, heel to toe.
    """

    shaft: Floats
    normal: Floats
    edge: Floats


@dataclass(frozen=True, eq=False, slots=True)
class Face:
    """What the face does, radians, shape () or (n,).

    face: azimuth of the normal, + right of the target; delivered_loft: rise of the normal; edge_tilt: lean of the
    leading edge about the shaft, forward from vertical (toward the ball), meaningful while the shaft is near level.
    """

    face: Floats
    delivered_loft: Floats
    edge_tilt: Floats


def club_at_address(club: Club, face_address: float = 0.0) -> ClubAtAddress:
    """The club soled at its lie, no lean, its face `face_address` radians right of the target."""
    cos, sin = np.cos(face_address), np.sin(face_address)
    shaft = np.array([0.0, -np.sin(club.lie), np.cos(club.lie)])
    normal = np.array([np.cos(club.loft) * cos, np.sin(club.loft), np.cos(club.loft) * sin])
    return ClubAtAddress(shaft, normal, np.array([-sin, 0.0, cos]))


def club_turn(hand: Rotation, hand_address: Rotation, heading: float) -> Rotation:
    """Rotation of the club since address, in the target frame: H^T [R_hand(t) R_hand(0)^T] H.

    hand: hand to world, one or n; hand_address: the same at address; heading: of the target in that world, radians.
    """
    to_world = rotation_about(UP, heading)
    return to_world.inv() * (hand * hand_address.inv()) * to_world


def face_from_turn(turn: Rotation, at_address: ClubAtAddress) -> Face:
    """Face, delivered loft and edge tilt after the club has turned by `turn` (target frame, one or n) since address."""
    return face_from_directions(
        turn.apply(at_address.shaft), turn.apply(at_address.normal), turn.apply(at_address.edge)
    )


def face_from_directions(shaft: Floats, normal: Floats, edge: Floats) -> Face:
    """Face, delivered loft and edge tilt from directions in the target frame, each of shape (..., 3)."""
    face = np.arctan2(normal[..., 2], normal[..., 0])
    loft = np.arcsin(np.clip(normal[..., 1], -1.0, 1.0))
    # frame about the shaft: `up` is the steepest direction square to it, `forward` completes it; a shaft that points
    # straight away from the target (down at shaft level) has forward = +Z, the side of the ball
    x, y, z = shaft[..., 0], shaft[..., 1], shaft[..., 2]
    level = np.maximum(np.hypot(x, z), _LEVEL_FLOOR)
    forward_x, forward_z = z / level, -x / level
    # up = shaft x forward, written out
    along_up = edge[..., 0] * (y * forward_z) + edge[..., 1] * (z * forward_x - x * forward_z)
    along_up -= edge[..., 2] * (y * forward_x)
    tilt = np.arctan2(edge[..., 0] * forward_x + edge[..., 2] * forward_z, along_up)
    return Face(np.asarray(face), np.asarray(loft), np.asarray(tilt))


def heading_from_shaft(shaft_world: Floats) -> float:
    """Heading of the target in the world from the shaft's horizontal direction at address (golfer to ball is +Z)."""
    return float(np.arctan2(shaft_world[0], shaft_world[2]))


def closing_about_shaft(angular_velocity: Floats, shaft: Floats) -> Floats:
    """Rate of closing about the shaft, rad/s, + closes: -w . s. Both shape (..., 3), in one frame."""
    return np.asarray(-np.sum(angular_velocity * shaft, axis=-1))


def closing_over_ground(angular_velocity: Floats, normal: Floats) -> Floats:
    """Rate at which the face normal turns over the ground, rad/s, + closes. Both shape (..., 3), target frame.

    The azimuth of the normal is atan2(n_z, n_x); closing is its fall. It adds the arc to what the hands do.
    """
    (u, v, w), (x, y, z) = (np.moveaxis(vectors, -1, 0) for vectors in (angular_velocity, normal))
    level = x**2 + z**2
    # the normal's speed is w x n
    return np.asarray((z * (v * z - w * y) - x * (u * y - v * x)) / np.maximum(level, 1e-12))


def closing_owed(edge_tilt: float, lie: float) -> float:
    """Closing still owed about the shaft at shaft level for motion in one plane at the lie angle: lie less edge tilt."""
    return lie - edge_tilt

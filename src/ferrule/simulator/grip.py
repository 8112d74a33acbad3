"""Where arm, hand and club are at address and at impact, so that the head is at the ball and the face where it should be.

The club's orientation is the identity when it lies on the ground at its lie angle, square, at its static loft: then the
shaft runs along s0 = (0, -sin lie, cos lie) from grip to head and the face looks along (cos loft, sin loft, 0). The ball
is the origin of the target frame.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from ferrule.frames.rotations import TARGET, rotation_about
from ferrule.frames.wrist import wrist_rotation
from ferrule.units import DEG

Floats = NDArray[np.float64]

ARM_LENGTH: Final = 0.60
"""Shoulder to wrist centre of a straight arm, m (assumed)."""
GRIP_IN_HAND: Final = np.array([0.02, -0.08, 0.0])
"""Middle of the grip in hand axes, from the wrist centre, m (assumed)."""
GRIP_IN_HAND.flags.writeable = False
GRIP_FROM_BUTT: Final = 0.10
"""Middle of the lead hand from the butt of the club, m (assumed)."""
_SHOULDER_TO_HANDS: Final = -0.10
"""Target component of the forearm's direction at address: the hands hang a little behind the lead shoulder."""


@dataclass(frozen=True, slots=True)
class SimulatedClub:
    """A rigid club. loft, lie in radians; length in m."""

    loft: float = 34.0 * DEG
    lie: float = 62.5 * DEG
    length: float = 0.94

    @property
    def shaft(self) -> Floats:
        """Direction of the shaft, grip to head, when the club lies square, shape (3,)."""
        return np.array([0.0, -np.sin(self.lie), np.cos(self.lie)])

    @property
    def normal(self) -> Floats:
        """Direction of the face when the club lies square, shape (3,)."""
        return np.array([np.cos(self.loft), np.sin(self.loft), 0.0])

    @property
    def reach(self) -> float:
        """From the middle of the grip to the head, m."""
        return self.length - GRIP_FROM_BUTT


@dataclass(frozen=True, eq=False, slots=True)
class ArmPose:
    """Orientation of forearm and hand and the place of the shoulder (m), for one instant."""

    forearm: Rotation
    hand: Rotation
    shoulder: Floats

    @property
    def arm_angles(self) -> tuple[float, float, float]:
        """Tilt, swing and roll of the forearm as the simulator's curves use them, radians; swing within 90 deg."""
        tilt, swing, roll = self.forearm.as_euler("XZY")
        return float(tilt), float(swing), float(roll % (2.0 * np.pi) - np.pi)


def face_azimuth(club_turn: Rotation, club: SimulatedClub) -> Floats:
    """Horizontal direction of the face, radians, + right of the target."""
    n = club_turn.apply(club.normal)
    return np.asarray(np.arctan2(n[..., 2], n[..., 0]))


def set_face(before: Rotation, club: SimulatedClub, face: float) -> Rotation:
    """Turn the club about its shaft, after `before`, until the face looks along azimuth `face`."""

    def miss(closing: float) -> float:
        return float(face_azimuth(before * rotation_about(club.shaft, -closing), club)) - face

    closing = brentq(miss, -70.0 * DEG, 70.0 * DEG, xtol=1e-14)
    return before * rotation_about(club.shaft, -closing)


def lead_wrist(flexion: float, deviation: float) -> Rotation:
    """Forearm to hand of the lead (left) wrist without axial rotation."""
    return wrist_rotation(flexion, deviation, 0.0, side="left")


def address_pose(
    club: SimulatedClub, *, flexion: float, deviation: float, shaft_angle: float, face: float
) -> tuple[ArmPose, Rotation]:
    """Arm at address and the grip (rotation from club to hand axes: R_club = R_hand grip).

    shaft_angle: between forearm and shaft in the cocking plane, flexion removed. All radians.
    """
    club_turn = set_face(Rotation.identity(), club, face)
    across = shaft_angle + deviation
    shaft_in_hand = np.array([0.0, -np.cos(across), -np.sin(across)])
    align, _ = Rotation.align_vectors(
        np.array([club.shaft, TARGET]), np.array([shaft_in_hand, [-1.0, 0.0, 0.0]]), weights=[np.inf, 1.0]
    )
    forearm_in_hand = lead_wrist(flexion, deviation).inv().apply([0.0, -1.0, 0.0])
    # The hand may still turn about the shaft: take the turn that hangs the forearm below the shoulder.
    along = align.apply(forearm_in_hand)
    s = club.shaft
    constant = float(s @ along) * s[0]
    cosine, sine = float(along[0] - constant), float(np.cross(s, along)[0])
    size, lead = np.hypot(cosine, sine), np.arctan2(sine, cosine)
    offset = np.arccos(np.clip((_SHOULDER_TO_HANDS - constant) / size, -1.0, 1.0))
    turn = min((lead + offset, lead - offset), key=lambda a: abs((a + np.pi) % (2.0 * np.pi) - np.pi))
    hand = rotation_about(s, turn) * align
    return _arm(hand, flexion, deviation, club_turn, club), hand.inv() * club_turn


def impact_pose(
    club: SimulatedClub,
    grip: Rotation,
    *,
    flexion: float,
    deviation: float,
    face: float,
    lean: float,
    handle_raise: float,
) -> ArmPose:
    """Arm at impact: head at the ball, shaft leaned in the plane and raised, face along azimuth `face`. Radians."""
    cocking = np.cross(club.shaft, TARGET)
    before = rotation_about(TARGET, handle_raise) * rotation_about(cocking, -lean)
    club_turn = set_face(before, club, face)
    return _arm(club_turn * grip.inv(), flexion, deviation, club_turn, club)


def _arm(hand: Rotation, flexion: float, deviation: float, club_turn: Rotation, club: SimulatedClub) -> ArmPose:
    forearm = hand * lead_wrist(flexion, deviation).inv()
    wrist = -club_turn.apply(club.shaft) * club.reach - hand.apply(np.array(GRIP_IN_HAND))
    return ArmPose(forearm, hand, wrist + ARM_LENGTH * forearm.apply([0.0, 1.0, 0.0]))

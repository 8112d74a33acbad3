"""Arrival: a change of the wrist is judged when the head is at the ball, not at the old instant of impact.

With the forearm frozen, more flexion leans the shaft and leaves the head short of the ball. The club then needs a few
milliseconds more; meanwhile it turns on in the plane and gives most of the lean back. Two levers in the inclined plane:
the hands go on at their speed, the head at its own, the shaft turns at their difference over the club's length.

Where no rates were recorded: hand speed 0.12 ± 0.04 of head speed, closing about the shaft 1600 ± 450 deg/s, radius of
the head's arc 1.46 m (common practice, no source).
"""

from dataclasses import dataclass
from math import atan2, cos, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.club.clubs import Club
from ferrule.club.delivery import plane_normal, shaft_direction
from ferrule.frames.rotations import TARGET, rotation_about
from ferrule.units import DEG

Floats = NDArray[np.float64]

HAND_SPEED_SHARE: Final = (0.12, 0.04)
"""Hand speed over head speed at impact, mean and sd (common practice, no source)."""
CLOSING_RATE: Final = (1600.0 * DEG, 450.0 * DEG)
"""Closing about the shaft at impact, rad/s, mean and sd (common practice, no source; the outside figure, over the ground,
is 1800-3600 deg/s, science.md B55)."""
ARC_RADIUS: Final = 1.46
"""Radius of the head's arc near impact, metres (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Levers:
    """Rates at impact. head_speed in m/s, hand_share = hand speed / head speed, closing_rate about the shaft, rad/s."""

    head_speed: float
    hand_share: float = HAND_SPEED_SHARE[0]
    closing_rate: float = CLOSING_RATE[0]
    arc_radius: float = ARC_RADIUS

    def shaft_rate(self, club: Club) -> float:
        """How fast the shaft turns in the plane, rad/s."""
        return self.head_speed * (1.0 - self.hand_share) / club.length


@dataclass(frozen=True, slots=True)
class Turned:
    """A club turned from where it was. turn: the rotation in the target frame; lean: gained in the plane, radians;
    delay: seconds by which the head arrives later.
    """

    turn: Rotation
    lean: float
    delay: float

    def face_and_loft(self, normal: Floats) -> tuple[float, float]:
        """Face azimuth and loft, radians, of a face that had this normal before the turn."""
        n = self.turn.apply(normal)
        return atan2(n[2], n[0]), float(np.arcsin(np.clip(n[1], -1.0, 1.0)))


def flexion_axis(lie: float, chi: float) -> Floats:
    """Axis about which flexion turns the club at impact: -(sin χ s0 + cos χ q), unit vector.

    It is square to the forearm and lies in the cocking plane, which at impact holds shaft and plane normal.
    """
    return -(sin(chi) * shaft_direction(lie) + cos(chi) * plane_normal(lie))


def lean_in_plane(shaft: Floats, lie: float) -> float:
    """Lean of a shaft direction (grip to head) in the inclined plane, radians, + hands ahead."""
    return atan2(-float(shaft @ TARGET), float(shaft @ shaft_direction(lie)))


def frozen_forearm(club: Club, flexion: float, chi: float) -> Turned:
    """More flexion with the forearm frozen: one exact rotation about the flexion axis."""
    turn = rotation_about(flexion_axis(club.lie, chi), flexion)
    return Turned(turn, lean_in_plane(turn.apply(shaft_direction(club.lie)), club.lie), 0.0)


def at_arrival(club: Club, flexion: float, chi: float, levers: Levers, *, roll_goes_on: bool = False) -> Turned:
    """More flexion, judged with the head at the ball.

    The share hand_share of the frozen lean is kept; the rest is given back about the plane normal. roll_goes_on adds
    the closing about the shaft that happens during the delay, for a golfer who does not re-time the release.
    """
    frozen = frozen_forearm(club, flexion, chi)
    back = frozen.lean * (1.0 - levers.hand_share)
    delay = back / levers.shaft_rate(club)
    turn = rotation_about(plane_normal(club.lie), back) * frozen.turn
    if roll_goes_on:
        shaft = turn.apply(shaft_direction(club.lie))
        turn = rotation_about(shaft, -levers.closing_rate * delay) * turn
    return Turned(turn, frozen.lean - back, delay)


@dataclass(frozen=True, slots=True)
class BallMoved:
    """What a ball further forward meets: face and path in radians (+ right), attack (+ up), delay in seconds."""

    face: float
    path: float
    attack: float
    loft: float
    delay: float


def ball_further_forward(club: Club, normal: Floats, forward: float, levers: Levers) -> BallMoved:
    """Changes of face, path, attack and loft for a ball `forward` metres nearer the target.

    normal: face normal at the old place. The shaft turns on in the plane, the face goes on closing about it, and the
    head has come further round its arc.
    """
    delay = forward / levers.head_speed
    turned = rotation_about(plane_normal(club.lie), levers.shaft_rate(club) * delay)
    shaft = turned.apply(shaft_direction(club.lie))
    after = (rotation_about(shaft, -levers.closing_rate * delay) * turned).apply(normal)
    arc = forward / levers.arc_radius
    direction = rotation_about(plane_normal(club.lie), arc).apply(TARGET)
    return BallMoved(
        atan2(after[2], after[0]) - atan2(normal[2], normal[0]),
        atan2(direction[2], direction[0]),
        float(np.arcsin(direction[1])),
        float(np.arcsin(after[1]) - np.arcsin(normal[1])),
        delay,
    )


def arrival_rate_over_ground(club: Club, normal: Floats, levers: Levers) -> float:
    """How fast the face turns over the ground at impact, rad/s, + closing: shaft turning in the plane and closing about it."""
    step = 1e-5
    turned = rotation_about(plane_normal(club.lie), levers.shaft_rate(club) * step)
    shaft = turned.apply(shaft_direction(club.lie))
    after = (rotation_about(shaft, -levers.closing_rate * step) * turned).apply(normal)
    return (atan2(normal[2], normal[0]) - atan2(after[2], after[0])) / step

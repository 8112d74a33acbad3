"""One change on this golfer's delivery, judged at arrival: what face, loft, lean, path and shaft level become.

A change of flexion or roll turns the club about its own axis with the forearm frozen; the head is then short of (or past)
the ball and the plane rotation until it is there gives back all of the lean but the share that hands and head speed
decide. Changes of grip, lean, handle and aim act at fixed lean. No change gives the delivery back exactly.
"""

from dataclasses import dataclass, replace
from math import atan2, cos, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from ferrule.club.arrival import Levers, arrival_rate_over_ground, at_arrival, ball_further_forward, lean_in_plane
from ferrule.club.clubs import Club
from ferrule.club.delivery import ReferenceFace, closing_that_squares, face_normal, plane_normal, shaft_direction
from ferrule.coaching.shaft_level import TIME_LEFT_S
from ferrule.frames.rotations import rotation_about
from ferrule.units import DEG

Floats = NDArray[np.float64]

PEAK_OVER_MEAN: Final = 2.0
"""Closing rate at impact over its mean since shaft level: 1600 deg/s for 32 degrees in 0.04 s (common practice)."""
RATE_LIMITS: Final = (400.0 * DEG, 4500.0 * DEG)
TOLERANCE: Final = 2.0 * DEG
"""Half-width of the face for which both tolerances are given."""


@dataclass(frozen=True, slots=True)
class Delivered:
    """One golfer's mean delivery, radians: the model's variables, path, and what stands at shaft level.

    shaft_open: against the address spine; flexion_top, flexion_level, flexion_impact: wrist as read or as likely.
    """

    club: Club
    face_reference: ReferenceFace
    rho: float
    lean: float
    raised: float
    handle_reference: float
    aim: float
    path: float
    chi: float
    flexion_top: float
    flexion_level: float
    flexion_impact: float
    set_top: float
    shaft_open: float
    edge_tilt: float
    chi_level: float
    head_speed: float


@dataclass(frozen=True, slots=True)
class Change:
    """What is done differently, radians (ball_forward in metres). flexion, roll: at impact; level_*: at shaft level; top:
    flexion at the top; level_bend: forward bend kept at shaft level that was lost, which takes the leading edge with it. trail: turn of the trail hand on the handle, strong +.
    """

    flexion: float = 0.0
    roll: float = 0.0
    grip: float = 0.0
    lean: float = 0.0
    raised: float = 0.0
    aim: float = 0.0
    ball_forward: float = 0.0
    level_flexion: float = 0.0
    level_roll: float = 0.0
    level_bend: float = 0.0
    top: float = 0.0
    trail: float = 0.0


TRAIL_HAND: Final = 0.3
"""Closing about the shaft per degree that the trail hand is set stronger (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the change gives, radians. face, path: + right; shaft_open: + open against the address spine; owed: closing
    about the shaft; rate: of closing about the shaft at impact, rad/s; tolerances in seconds; arrival_m: ball position
    that spoils the face by as much.
    """

    face: float
    path: float
    loft: float
    lean_seen: float
    shaft_open: float
    owed: float
    rate: float
    release_tolerance: float
    arrival_tolerance: float
    arrival_m: float
    flexion_impact: float
    flexion_level: float
    flexion_top: float

    def to_json(self, world: float) -> dict[str, float]:
        """Degrees, milliseconds and metres, face in the world. world: sign of the golfer's hand."""
        return {
            "face_deg": world * self.face / DEG,
            "open_to_address_spine_deg": self.shaft_open / DEG,
            "closing_owed_deg": self.owed / DEG,
            "closing_rate_degps": self.rate / DEG,
            "release_tolerance_ms": self.release_tolerance * 1e3,
            "arrival_tolerance_ms": self.arrival_tolerance * 1e3,
            "arrival_tolerance_m": self.arrival_m,
            "delivered_loft_deg": self.loft / DEG,
            "shaft_lean_deg": self.lean_seen / DEG,
        }


def outcome_of(now: Delivered, change: Change) -> Outcome:
    """The delivery with the change, at arrival."""
    club = now.club
    owed, shaft_open = _owed(now, change, 0.0)
    levers = Levers(now.head_speed, closing_rate=_rate(owed))
    normal = face_normal(
        now.face_reference,
        now.rho + change.grip + TRAIL_HAND * change.trail,
        now.lean + change.lean,
        now.raised + change.raised,
        now.aim + change.aim,
    )
    lean_total = now.lean + change.lean + now.face_reference.lean
    for turned in (_flexed(now, change.flexion, levers), _rolled(now, change.roll, levers)):
        normal = turned[0].apply(normal)
        lean_total += turned[1]
    path = now.path + change.aim
    if change.ball_forward:
        moved = ball_further_forward(club, normal, change.ball_forward, levers)
        turn_face, turn_loft = moved.face, moved.loft
        path += moved.path
        lean_total -= levers.shaft_rate(club) * moved.delay
    else:
        turn_face = turn_loft = 0.0
    over_ground = arrival_rate_over_ground(club, normal, levers)
    arrival = TOLERANCE / max(over_ground, 1e-6)
    owed, shaft_open = _owed(now, change, lean_total)
    return Outcome(
        atan2(normal[2], normal[0]) + turn_face,
        path,
        float(np.arcsin(normal[1])) + turn_loft,
        atan2(np.tan(lean_total), sin(club.lie)),
        shaft_open,
        owed,
        levers.closing_rate,
        TOLERANCE / (levers.closing_rate * sin(club.lie)),
        arrival,
        arrival * now.head_speed,
        now.flexion_impact + change.flexion,
        now.flexion_level + change.level_flexion,
        now.flexion_top + change.top,
    )


def amount_that_squares(now: Delivered, change: Change, part: str, low: float, high: float, face: float = 0.0) -> float:
    """How much of one part of a change (added to `change`) makes the face `face`, within low and high (radians, metres).

    The nearest end when the face cannot be reached.
    """

    def miss(amount: float) -> float:
        return outcome_of(now, replace(change, **{part: getattr(change, part) + amount})).face - face

    at_low, at_high = miss(low), miss(high)
    if at_low * at_high > 0.0:
        return low if abs(at_low) < abs(at_high) else high
    return float(brentq(miss, low, high, xtol=1e-5))


def _owed(now: Delivered, change: Change, lean_total: float) -> tuple[float, float]:
    """Closing owed at shaft level, and how far open the face is there, with the change."""
    closing = (
        change.grip
        + TRAIL_HAND * change.trail
        + change.level_flexion * sin(now.chi_level)
        + change.level_bend
        + change.level_roll * cos(now.flexion_level) * cos(now.chi_level)
    )
    shaft_open = now.shaft_open - closing
    tilt = now.edge_tilt + closing
    raised = now.raised + change.raised + now.handle_reference
    static = ReferenceFace(now.club.loft, now.club.lie, 0.0)
    lean = lean_total or now.lean + change.lean + now.face_reference.lean
    return now.club.lie - tilt + closing_that_squares(static, lean, raised), shaft_open


def _rate(owed: float) -> float:
    return float(np.clip(PEAK_OVER_MEAN * owed / TIME_LEFT_S, *RATE_LIMITS))


def _flexed(now: Delivered, flexion: float, levers: Levers) -> tuple[Rotation, float]:
    turned = at_arrival(now.club, flexion, now.chi, levers)
    return turned.turn, turned.lean


def _rolled(now: Delivered, roll: float, levers: Levers) -> tuple[Rotation, float]:
    """Roll about the forearm's own long axis, judged at arrival as flexion is; supination + closes and leans back."""
    lie = now.club.lie
    # Supination is +rotation about the proximal axis, which is -(cos χ s0 - sin χ q).
    axis = -(cos(now.chi) * shaft_direction(lie) - sin(now.chi) * plane_normal(lie))
    frozen = rotation_about(axis, roll)
    lean = lean_in_plane(frozen.apply(shaft_direction(lie)), lie)
    back = lean * (1.0 - levers.hand_share)
    return rotation_about(plane_normal(lie), back) * frozen, lean - back

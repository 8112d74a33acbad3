"""The delivery model: how grip, wrist, forearm, lean, handle and aim turn into face and loft at impact.

Target frame, radians. Club with loft L and lie λ; the reference delivery is square by definition, with the shaft leaned
`lean_ref` in the inclined swing plane, so that its loft is L0 = L - sin λ · lean_ref. With s0 = (0, -sin λ, cos λ) from
grip to head, n0 = (cos L0, sin L0, 0) and q = s0 × X = (0, cos λ, sin λ),

    n = R_Y(-aim) · R_X(ε) · R_q(-ℓ) · R_s0(-ρ) · n0,      face = atan2(n_z, n_x),  delivered loft = asin(n_y)

ρ closes about the shaft (+ closes), ℓ leans the shaft forward in the plane (opens), ε raises the handle (opens). The
model is this project's own first-principles geometry; small-angle rows in science.md B.4 follow from it.
"""

from dataclasses import dataclass
from math import acos, atan2, cos, hypot, sin

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial.transform import Rotation

from ferrule.club.clubs import Club
from ferrule.frames.rotations import TARGET, UP, rotation_about

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ReferenceFace:
    """The square delivery of one club: static loft, lie, and the lean in the plane that is part of being square."""

    loft: float
    lie: float
    lean: float

    @property
    def delivered_loft(self) -> float:
        """L0: loft of the reference delivery."""
        return self.loft - sin(self.lie) * self.lean


def reference_face(club: Club, lean: float) -> ReferenceFace:
    """Reference for a club; lean: in the plane, radians, + hands ahead."""
    return ReferenceFace(club.loft, club.lie, lean)


def shaft_direction(lie: float) -> Floats:
    """s0: from grip to head at the lie angle, unit vector in the target frame."""
    return np.array([0.0, -sin(lie), cos(lie)])


def plane_normal(lie: float) -> Floats:
    """Q = s0 × X: normal of the inclined swing plane, pointing up and away from the golfer."""
    return np.array([0.0, cos(lie), sin(lie)])


def face_normal(
    reference: ReferenceFace, rho: ArrayLike, lean: ArrayLike, raised: ArrayLike, aim: ArrayLike = 0.0
) -> Floats:
    """Face normal of a delivery.

    rho: closing about the shaft; lean: beyond reference, in the plane; raised: handle beyond reference; aim: + right.
    Radians, broadcast together to some shape S. Returns shape (*S, 3) in the target frame.
    """
    x, z, y = _normal_before_aim(reference, rho, lean, raised)
    aimed = np.asarray(aim, dtype=np.float64)
    x4, z4 = x * np.cos(aimed) - z * np.sin(aimed), x * np.sin(aimed) + z * np.cos(aimed)
    return np.stack(np.broadcast_arrays(x4, y, z4), axis=-1)


def face_normal_by_rotations(
    reference: ReferenceFace, rho: float, lean: float, raised: float, aim: float = 0.0
) -> Floats:
    """The same normal, written as the rotations stand on paper: the plain form that `face_normal` is held to."""
    n0 = np.array([cos(reference.delivered_loft), sin(reference.delivered_loft), 0.0])
    s0, q = shaft_direction(reference.lie), plane_normal(reference.lie)
    turn: Rotation = (
        rotation_about(UP, -aim) * rotation_about(TARGET, raised) * rotation_about(q, -lean) * rotation_about(s0, -rho)
    )
    return np.asarray(turn.apply(n0), dtype=np.float64)


def face_angle(normal: Floats) -> Floats:
    """φ: azimuth of the face, + right, radians. normal: shape (..., 3)."""
    return np.asarray(np.arctan2(normal[..., 2], normal[..., 0]))


def delivered_loft(normal: Floats) -> Floats:
    """Loft of the face at impact against the horizon, radians."""
    return np.asarray(np.arcsin(np.clip(normal[..., 1], -1.0, 1.0)))


def face_of(
    reference: ReferenceFace, rho: ArrayLike, lean: ArrayLike, raised: ArrayLike, aim: ArrayLike = 0.0
) -> Floats:
    """φ of a delivery, radians: `face_angle(face_normal(...))` without building the normal."""
    x, z, _ = _normal_before_aim(reference, rho, lean, raised)
    return np.asarray(np.arctan2(z, x) + np.asarray(aim, dtype=np.float64))


def loft_of(reference: ReferenceFace, rho: ArrayLike, lean: ArrayLike, raised: ArrayLike) -> Floats:
    """Delivered loft of a delivery, radians: `delivered_loft(face_normal(...))` without building the normal."""
    return face_and_loft_of(reference, rho, lean, raised)[1]


def face_and_loft_of(
    reference: ReferenceFace, rho: ArrayLike, lean: ArrayLike, raised: ArrayLike, aim: ArrayLike = 0.0
) -> tuple[Floats, Floats]:
    """`face_of` and `loft_of` of one delivery."""
    x, z, y = _normal_before_aim(reference, rho, lean, raised)
    face = np.arctan2(z, x) + np.asarray(aim, dtype=np.float64)
    return np.asarray(face), np.asarray(np.arcsin(_within_one(y)))


def _normal_before_aim(
    reference: ReferenceFace, rho: ArrayLike, lean: ArrayLike, raised: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """Parts of the face normal towards the target, to the right and up, before the aim turns it."""
    turned, leaned = np.asarray(rho, dtype=np.float64), np.asarray(lean, dtype=np.float64)
    # Raising the handle turns q and s0 further about the target line: as a flatter or steeper lie.
    lie = reference.lie + np.asarray(raised, dtype=np.float64)
    x0, q0, s0 = square_normal(reference)
    cos_rho, sin_rho, cos_lean, sin_lean = np.cos(turned), np.sin(turned), np.cos(leaned), np.sin(leaned)
    cos_lie, sin_lie = np.cos(lie), np.sin(lie)
    x1, q1 = x0 * cos_rho + q0 * sin_rho, q0 * cos_rho - x0 * sin_rho
    s2 = s0 * cos_lean + x1 * sin_lean
    return x1 * cos_lean - s0 * sin_lean, q1 * sin_lie + s2 * cos_lie, q1 * cos_lie - s2 * sin_lie


def _within_one(part: Floats) -> Floats:
    """A sine or cosine that rounding, or a face out of reach, may have taken beyond 1."""
    return np.minimum(np.maximum(part, -1.0), 1.0)


def square_normal(reference: ReferenceFace) -> tuple[float, float, float]:
    """Parts of the square face normal along X, q and s0, a right-handed basis."""
    loft = reference.delivered_loft
    return cos(loft), sin(loft) * cos(reference.lie), -sin(loft) * sin(reference.lie)


def closing_for_face(
    reference: ReferenceFace, face: ArrayLike, lean: ArrayLike, raised: ArrayLike, aim: ArrayLike = 0.0
) -> tuple[Floats, Floats]:
    """The inverse of `face_of` in ρ, closed form: ρ that gives this face, and dρ/dφ there. Radians, broadcast together.

    Faces that no closing reaches (far beyond any swing) get the nearest ρ, and a dρ/dφ of 0.
    """
    return closing_and_loft_for_face(reference, face, lean, raised, aim)[:2]


def closing_and_loft_for_face(
    reference: ReferenceFace, face: ArrayLike, lean: ArrayLike, raised: ArrayLike, aim: ArrayLike = 0.0
) -> tuple[Floats, Floats, Floats]:
    """`closing_for_face`, and the delivered loft with that ρ."""
    psi = np.asarray(face, dtype=np.float64) - np.asarray(aim, dtype=np.float64)
    leaned, lie = np.asarray(lean, dtype=np.float64), reference.lie + np.asarray(raised, dtype=np.float64)
    x0, q0, s0 = square_normal(reference)
    cos_lie, sin_lie = np.cos(lie), np.sin(lie)
    cos_psi, sin_psi, cos_lean, sin_lean = np.cos(psi), np.sin(psi), np.cos(leaned), np.sin(leaned)
    # The face stands at psi when n is square to the level (-sin psi, 0, cos psi), which before lean and handle is (a, b, k)
    # along q, X and s0: q1 a + x1 b + s0 k = 0, with a² + b² + k² = 1.
    a, across = sin_lie * cos_psi, cos_lie * cos_psi
    b = sin_lean * across - cos_lean * sin_psi
    k = cos_lean * across + sin_lean * sin_psi
    size, long = np.sqrt(1.0 - k * k), hypot(q0, x0)
    # (q1, x1), of this length, stands beyond (a, b) by an angle of this cosine; before closing it was (q0, x0).
    cosine = _within_one((-s0 / long) * k / size)
    sine, scale = np.sqrt(1.0 - cosine * cosine), long / size
    rho = np.arctan2(b, a) + np.arccos(cosine) - atan2(x0, q0)
    q1, x1 = (a * cosine - b * sine) * scale, (b * cosine + a * sine) * scale
    up = _within_one(q1 * cos_lie - (s0 * cos_lean + x1 * sin_lean) * sin_lie)
    # What n has beside its height is level, and towards psi.
    level, turned = np.sqrt(1.0 - up * up), size * sine
    per_face = np.divide(level, turned, out=np.zeros(np.shape(level)), where=turned > 0.0) / -long
    return np.asarray(rho), np.asarray(per_face), np.asarray(np.arcsin(up))


def closing_about_shaft(
    grip: ArrayLike, flexion: ArrayLike, roll: ArrayLike, body: ArrayLike, chi: ArrayLike, reference_flexion: ArrayLike
) -> Floats:
    """ρ = g + Δf sin χ + Δσ cos f cos χ + κ, radians.

    grip: strong +; flexion: Δf beyond reference; roll: Δσ, supination beyond reference; body: κ; chi: angle between
    forearm and shaft in the cocking plane, flexion removed; reference_flexion: f without Δf.
    """
    g, df, ds, kappa, angle, f_ref = (
        np.asarray(a, dtype=np.float64) for a in (grip, flexion, roll, body, chi, reference_flexion)
    )
    return np.asarray(g + closing_by_wrist(df, ds, np.sin(angle), np.cos(angle), f_ref) + kappa)


def closing_by_wrist(
    flexion: Floats, roll: Floats, sin_chi: Floats, cos_chi: Floats, reference_flexion: Floats | float
) -> Floats:
    """The part of ρ from flexion and roll, see `closing_about_shaft`."""
    return np.asarray(flexion * sin_chi + roll * np.cos(reference_flexion + flexion) * cos_chi)


def closing_that_squares(reference: ReferenceFace, lean: float, raised: float) -> float:
    """ρ that makes the face square with this lean and handle, radians: `closing_for_face` where the face is 0."""
    x0, q0, s0 = square_normal(reference)
    lie = reference.lie + raised
    a, b, k = sin(lie), sin(lean) * cos(lie), s0 * cos(lean) * cos(lie)
    cosine = -k / (hypot(x0, q0) * hypot(a, b))
    return atan2(b, a) + acos(min(max(cosine, -1.0), 1.0)) - atan2(x0, q0)


def closing_owed(club: Club, edge_tilt: float, lean: float = 0.0, raised: float = 0.0) -> float:
    """Closing about the shaft still owed at shaft level, radians.

    λ - τ for motion within one plane at the lie, τ (edge_tilt) the forward tilt of the leading edge from vertical; plus
    the closing that squares the lean (total, in the plane) and the raised handle at impact.
    """
    return club.lie - edge_tilt + closing_that_squares(ReferenceFace(club.loft, club.lie, 0.0), lean, raised)

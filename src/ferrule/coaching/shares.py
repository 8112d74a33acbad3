"""How the face splits among the causes: exact Shapley values over eight players, at every point of the posterior.

The value of a coalition is φ with the departures of its members alone; baseline the square reference. Aim turns
everything and is a dummy to the others, so its share is itself; the seven others are played out in 128 coalitions.
"""

from functools import lru_cache
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.delivery_state import CAUSES, SIZE, A, B, DeliveryModel, F, G, K, L, R, U, X, departures_present
from ferrule.statistics.shapley import coalitions, shapley_values, shapley_weights

Floats = NDArray[np.float64]

_TURNERS = (G, F, R, K)
"""Players that turn the club about its shaft; then lean; then what raises the handle."""


def shares_of_face(model: DeliveryModel, x: Floats) -> Floats:
    """Share of each cause in φ, radians, shape (n, 8) in the order of `CAUSES`; rows sum to φ. x: states, (n, 10)."""
    turn, lean_in, raised_in = _membership()
    reference = model.reference
    chi = x[:, X]
    flexed = x[:, F] * np.sin(chi)
    cos_flexion = np.array([np.full(len(x), cos(reference.flexion)), np.cos(reference.flexion + x[:, F])])
    roll = x[:, R] * np.cos(chi)
    # ρ of the 16 coalitions of turners; roll depends on whether flexion is in.
    sets = coalitions(4)
    rho = np.empty((16, len(x)))
    for i, (g_in, f_in, r_in, k_in) in enumerate(sets):
        rho[i] = g_in * x[:, G] + f_in * flexed + r_in * roll * cos_flexion[int(f_in)] + k_in * x[:, K]
    raised = np.array([np.zeros(len(x)), x[:, B], x[:, U], x[:, B] + x[:, U]])
    lean = np.array([np.zeros(len(x)), x[:, L]])
    value = _face_table(model, rho, lean, raised)[turn, lean_in, raised_in]
    seven = np.tensordot(value.T, shapley_weights(7), axes=(1, 1))
    out = np.empty((len(x), len(CAUSES)))
    # Players of the seven: grip, flexion, roll, body, lean, raised, unset.
    out[:, [0, 1, 3, 7, 4, 5, 2]] = seven
    out[:, 6] = x[:, A]
    return out


def shares_of_face_plainly(model: DeliveryModel, x: Floats) -> Floats:
    """The same over all 256 coalitions of eight players: the plain form."""
    member = coalitions(len(CAUSES))
    states = departures_present(x, member)
    values = model.face(states.reshape(-1, SIZE)).reshape(len(member), len(x))
    return shapley_values(values.T)


def _face_table(model: DeliveryModel, rho: Floats, lean: Floats, raised: Floats) -> Floats:
    """φ less aim for every combination, shape (16, 2, 4, n); the formula of `club.delivery.face_of`, trig done once."""
    face = model.reference.face
    c, s = cos(face.lie), sin(face.lie)
    loft = face.delivered_loft
    x0, q0, s0 = cos(loft), sin(loft) * c, -sin(loft) * s
    cos_rho, sin_rho = np.cos(rho), np.sin(rho)
    x1 = (x0 * cos_rho + q0 * sin_rho)[:, None]
    q1 = (q0 * cos_rho - x0 * sin_rho)[:, None]
    cos_lean, sin_lean = np.cos(lean), np.sin(lean)
    s2 = s0 * cos_lean + x1 * sin_lean
    x2 = x1 * cos_lean - s0 * sin_lean
    y2, z2 = q1 * c - s2 * s, q1 * s + s2 * c
    z3 = y2[:, :, None] * np.sin(raised) + z2[:, :, None] * np.cos(raised)
    return np.asarray(np.arctan2(z3, x2[:, :, None]))


@lru_cache(maxsize=1)
def _membership() -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
    """For each of the 128 coalitions: index of its turners, of lean, and of what raises the handle."""
    number = np.arange(128)
    return number & 15, (number >> 4) & 1, (number >> 5) & 3

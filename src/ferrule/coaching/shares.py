"""How the face splits among the causes: exact Shapley values over eight players, at every point of the posterior.

The value of a coalition is φ with the departures of its members alone; baseline the square reference. Aim turns
everything and is a dummy to the others, so its share is itself; the seven others are played out in 128 coalitions.
"""

from math import cos

import numpy as np
from numpy.typing import NDArray

from ferrule.club.delivery import ReferenceFace, square_normal
from ferrule.coaching.delivery_state import CAUSES, SIZE, A, B, DeliveryModel, F, G, K, L, R, U, X, departures_present
from ferrule.statistics.shapley import coalitions, shapley_values, shapley_weights

Floats = NDArray[np.float64]
Turns = NDArray[np.complex128]

_BLOCK = 400
"""States worked out together: so many that the table of coalitions stays in the processor's cache."""


def shares_of_face(model: DeliveryModel, x: Floats) -> Floats:
    """Share of each cause in φ, radians, shape (n, 8) in the order of `CAUSES`; rows sum to φ. x: states, (n, 10)."""
    if len(x) <= _BLOCK:
        return _shares(model, x)
    return np.concatenate([_shares(model, x[i : i + _BLOCK]) for i in range(0, len(x), _BLOCK)])


def _shares(model: DeliveryModel, x: Floats) -> Floats:
    reference = model.reference
    grip, flexion, roll, body, chi = (x[:, column] for column in (G, F, R, K, X))
    rolled = roll * np.cos(chi)
    # What roll adds depends on whether flexion is in.
    unflexed_roll, flexed_roll = rolled * cos(reference.flexion), rolled * np.cos(reference.flexion + flexion)
    closing = _turns(np.array([grip, flexion * np.sin(chi), unflexed_roll, flexed_roll, body]))
    value = _face_table(model.reference.face, closing, x[:, L], x[:, B], x[:, U])
    out = np.empty((len(x), len(CAUSES)))
    # Players of the seven: grip, flexion, roll, body, lean, raised, unset.
    out[:, [0, 1, 3, 7, 4, 5, 2]] = (shapley_weights(7) @ value.reshape(128, -1)).T
    out[:, 6] = x[:, A]
    return out


def shares_of_face_plainly(model: DeliveryModel, x: Floats) -> Floats:
    """The same over all 256 coalitions of eight players: the plain form."""
    member = coalitions(len(CAUSES))
    states = departures_present(x, member)
    values = model.face(states.reshape(-1, SIZE)).reshape(len(member), len(x))
    return shapley_values(values.T)


def _face_table(face: ReferenceFace, closing: Turns, lean: Floats, raised: Floats, unset: Floats) -> Floats:
    """φ less aim for every combination, shape (4, 2, 16, n): raised and unset, lean, what turns the club. The formula of
    `club.delivery.face_of` with turns as complex numbers, so that those that add up are multiplied instead.

    closing: turns by grip, flexion, roll without flexion, roll with it, body, (5, n).
    """
    n = len(lean)
    x0, q0, s0 = square_normal(face)
    grip, flexion, unflexed_roll, flexed_roll, body = closing
    # q1 + i x1 of the 16 coalitions of what closes: one bit each for grip, flexion, roll and body, grip lowest.
    turned = np.empty((16, n), dtype=np.complex128)
    turned[0] = q0 + 1j * x0
    turned[1] = turned[0] * grip
    turned[2:4] = turned[:2] * flexion
    turned[4:6], turned[6:8] = turned[:2] * unflexed_roll, turned[2:4] * flexed_roll
    turned[8:] = turned[:8] * body
    q1, x1 = turned.real.copy(), turned.imag.copy()
    cos_lean, sin_lean = np.cos(lean), np.sin(lean)
    x2, s2 = np.empty((2, 16, n)), np.empty((2, 16, n))
    x2[0], s2[0] = x1, s0
    x2[1], s2[1] = x1 * cos_lean - s0 * sin_lean, s0 * cos_lean + x1 * sin_lean
    lie = (face.lie + np.array([np.zeros(n), raised, unset, raised + unset]))[:, None, None]
    z3 = s2 * np.cos(lie)
    z3 += q1 * np.sin(lie)
    return np.asarray(np.arctan2(z3, x2, out=z3))


def _turns(angles: Floats) -> Turns:
    """Turns by these angles as complex numbers."""
    return np.asarray(np.cos(angles) + 1j * np.sin(angles))

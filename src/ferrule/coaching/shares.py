"""How the face splits among the causes: exact Shapley values over eight players, at every point of the posterior.

The value of a coalition is φ with the departures of its members alone; baseline the square reference. Aim turns
everything and is a dummy to the others, so its share is itself; the seven others are played out in 128 coalitions.
"""

from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from ferrule.coaching.delivery_state import CAUSES, SIZE, A, B, DeliveryModel, F, G, K, L, R, U, X, departures_present
from ferrule.statistics.shapley import coalitions, shapley_values, shapley_weights

Floats = NDArray[np.float64]

_BLOCK = 200
"""States worked out together: so many that the table of coalitions stays in the processor's cache."""


def shares_of_face(model: DeliveryModel, x: Floats) -> Floats:
    """Share of each cause in φ, radians, shape (n, 8) in the order of `CAUSES`; rows sum to φ. x: states, (n, 10)."""
    if len(x) <= _BLOCK:
        return _shares(model, x)
    return np.concatenate([_shares(model, x[i : i + _BLOCK]) for i in range(0, len(x), _BLOCK)])


def _shares(model: DeliveryModel, x: Floats) -> Floats:
    reference = model.reference
    grip, flexion, unset, roll, lean, body = (x[:, column] for column in (G, F, U, R, L, B))
    chi, none = x[:, X], np.zeros(len(x))
    flexed, rolled = flexion * np.sin(chi), roll * np.cos(chi)
    unflexed_roll, flexed_roll = rolled * cos(reference.flexion), rolled * np.cos(reference.flexion + flexion)
    # ρ of the 16 coalitions of what turns the club: one bit each for grip, flexion, roll and body, grip lowest. What roll
    # adds depends on whether flexion is in.
    pairs = np.array([none, grip, flexed, grip + flexed])
    rolls = np.array([unflexed_roll, unflexed_roll, flexed_roll, flexed_roll])
    four = np.concatenate([pairs, pairs + rolls])
    rho = np.concatenate([four, four + x[:, K]])
    value = _face_table(model, rho, np.array([none, lean]), np.array([none, body, unset, body + unset]))
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


def _face_table(model: DeliveryModel, rho: Floats, lean: Floats, raised: Floats) -> Floats:
    """φ less aim for every combination, shape (4, 2, 16, n): raised, lean, turn. The formula of `club.delivery.face_of`,
    with each sine taken once.
    """
    face = model.reference.face
    loft = face.delivered_loft
    x0, q0, s0 = cos(loft), sin(loft) * cos(face.lie), -sin(loft) * sin(face.lie)
    cos_rho, sin_rho = np.cos(rho), np.sin(rho)
    x1, q1 = x0 * cos_rho + q0 * sin_rho, q0 * cos_rho - x0 * sin_rho
    cos_lean, sin_lean = np.cos(lean)[:, None], np.sin(lean)[:, None]
    s2, x2 = s0 * cos_lean + x1 * sin_lean, x1 * cos_lean - s0 * sin_lean
    lie = face.lie + raised[:, None, None]
    z3 = q1 * np.sin(lie)
    return np.asarray(np.arctan2(z3 + s2 * np.cos(lie), x2))

"""How the face splits among the causes: exact Shapley values over eight players, at every point of the posterior.

The value of a coalition is φ with the departures of its members alone; baseline the square reference. Aim turns
everything and is a dummy to the others, so its share is itself; the seven others are played out in 128 coalitions, in
single precision: good to 0.0001 degrees, and twice as fast.
"""

from functools import lru_cache
from math import cos

import numpy as np
from numpy.typing import NDArray

from ferrule.club.delivery import ReferenceFace, square_normal
from ferrule.coaching.delivery_state import CAUSES, SIZE, A, B, DeliveryModel, F, G, K, L, R, U, X, departures_present
from ferrule.statistics.shapley import coalitions, shapley_values, shapley_weights

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Turns = NDArray[np.complex64]

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
    closing = _turns(np.array([grip, flexion * np.sin(chi), unflexed_roll, flexed_roll, body], np.float32))
    value = _face_table(model.reference.face, closing, *x[:, [L, B, U]].T.astype(np.float32))
    out = (_weights() @ value.reshape(128, -1)).astype(np.float64)
    out[CAUSES.index("aim")] = x[:, A]
    return out.T


@lru_cache(maxsize=1)
def _weights() -> Singles:
    """The weights of the seven in the order of `CAUSES`, shape (8, 128); aim has none."""
    out = np.zeros((len(CAUSES), 128), np.float32)
    players = (
        "grip",
        "lead_wrist_flexion",
        "forearm_roll",
        "arm_and_body",
        "shaft_lean",
        "posture",
        "lead_wrist_unset",
    )
    out[[CAUSES.index(p) for p in players]] = shapley_weights(len(players))
    return out


def shares_of_face_plainly(model: DeliveryModel, x: Floats) -> Floats:
    """The same over all 256 coalitions of eight players: the plain form."""
    member = coalitions(len(CAUSES))
    states = departures_present(x, member)
    values = model.face(states.reshape(-1, SIZE)).reshape(len(member), len(x))
    return shapley_values(values.T)


def _face_table(face: ReferenceFace, closing: Turns, lean: Singles, raised: Singles, unset: Singles) -> Singles:
    """φ less aim for every combination, shape (4, 2, 16, n): raised and unset, lean, what turns the club. The formula of
    `club.delivery.face_of` with turns as complex numbers, so that those that add up are multiplied instead.

    closing: turns by grip, flexion, roll without flexion, roll with it, body, (5, n).
    """
    n = len(lean)
    x0, q0, s0 = square_normal(face)
    grip, flexion, unflexed_roll, flexed_roll, body = closing
    # q1 + i x1 of the 16 coalitions of what closes: one bit each for grip, flexion, roll and body, grip lowest.
    turned = np.empty((16, n), np.complex64)
    turned[0] = q0 + 1j * x0
    turned[1] = turned[0] * grip
    turned[2:4] = turned[:2] * flexion
    turned[4:6], turned[6:8] = turned[:2] * unflexed_roll, turned[2:4] * flexed_roll
    turned[8:] = turned[:8] * body
    q1, x1 = turned.real.copy(), turned.imag.copy()
    lie = face.lie + np.array([np.zeros(n, np.float32), raised, unset, raised + unset])
    cos_lean, sin_lean, cos_lie, sin_lie = np.cos(lean), np.sin(lean), np.cos(lie), np.sin(lie)
    x2, s2 = np.empty((2, 2, 16, n), np.float32)
    x2[0], s2[0] = x1, s0
    np.subtract(x1 * cos_lean, s0 * sin_lean, out=x2[1])
    np.add(s0 * cos_lean, x1 * sin_lean, out=s2[1])
    z3 = s2 * cos_lie[:, None, None]
    z3 += q1 * sin_lie[:, None, None]
    return np.asarray(np.arctan2(z3, x2, out=z3))


def _turns(angles: Singles) -> Turns:
    """Turns by these angles as complex numbers."""
    return np.asarray(np.cos(angles) + 1j * np.sin(angles))

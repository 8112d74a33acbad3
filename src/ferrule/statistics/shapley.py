"""Exact Shapley values: how a total splits among players, each entering in every order.

Lloyd Shapley 1953; the value is characterised by efficiency, symmetry, dummy and additivity (checks E30-E33).
"""

from collections.abc import Callable
from functools import lru_cache
from math import factorial

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@lru_cache(maxsize=16)
def coalitions(players: int) -> NDArray[np.bool_]:
    """All coalitions as rows of membership, shape (2**players, players); row i holds player j when bit j of i is set."""
    rows = np.arange(2**players)[:, None] >> np.arange(players)[None, :]
    out = (rows & 1).astype(np.bool_)
    out.flags.writeable = False
    return out


@lru_cache(maxsize=16)
def shapley_weights(players: int) -> Floats:
    """Linear map from the values of all coalitions to the shares, shape (players, 2**players)."""
    member = coalitions(players)
    size = member.sum(axis=1)
    count = factorial(players)
    with_player = np.array([factorial(max(s - 1, 0)) * factorial(players - s) / count for s in size])
    without = np.array([factorial(s) * factorial(max(players - s - 1, 0)) / count for s in size])
    weights = np.where(member.T, with_player, -without)
    weights.flags.writeable = False
    return weights


def shapley_values(values: Floats) -> Floats:
    """Shares of every player.

    values: value of each coalition in the order of `coalitions`, shape (..., 2**players). Returns shape (..., players);
    the shares sum to the value of the full coalition less that of the empty one.
    """
    players = int(np.log2(values.shape[-1]))
    if 2**players != values.shape[-1]:
        raise ValueError(f"the number of coalitions must be a power of two, got {values.shape[-1]}")
    return np.asarray(values @ shapley_weights(players).T)


def shapley_values_of_game(players: int, value: Callable[[frozenset[int]], float]) -> Floats:
    """Shares in a game given as a function of a set of players; the plain form, for small games and tests."""
    table = [value(frozenset(np.flatnonzero(row).tolist())) for row in coalitions(players)]
    return shapley_values(np.array(table, dtype=np.float64))

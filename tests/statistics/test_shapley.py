"""Shapley values against published games: science.md E30-E33 (encyclopedia glove game, axioms)."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.statistics.shapley import coalitions, shapley_values, shapley_values_of_game


def test_e30_glove_game():
    # Players 0 and 1 hold right gloves, player 2 a left one; a pair is worth 1.
    shares = shapley_values_of_game(3, lambda s: float(2 in s and bool({0, 1} & s)))
    assert shares == pytest.approx([1 / 6, 1 / 6, 2 / 3], abs=1e-9)


def test_e31_two_players():
    worth = {frozenset(): 0.0, frozenset({0}): 10.0, frozenset({1}): 20.0, frozenset({0, 1}): 40.0}
    assert shapley_values_of_game(2, lambda s: worth[s]) == pytest.approx([15, 25], abs=1e-9)


def test_e32_airport_game():
    cost = [18.0, 20.0, 26.0]
    assert shapley_values_of_game(3, lambda s: max((cost[i] for i in s), default=0.0)) == pytest.approx(
        [6, 7, 13], abs=1e-9
    )


games = st.lists(st.floats(-100, 100), min_size=16, max_size=16).map(np.array)


@given(games, games)
@settings(max_examples=50, derandomize=True)
def test_e33_axioms(v, w):
    total = shapley_values(v)
    assert total.sum() == pytest.approx(v[-1] - v[0], abs=1e-9)
    assert shapley_values(v + w) == pytest.approx(total + shapley_values(w), abs=1e-9)
    member = coalitions(4)
    # Symmetry: swapping two players swaps their shares.
    order = member[:, [1, 0, 2, 3]] @ (1 << np.arange(4))
    assert shapley_values(v[order]) == pytest.approx(total[[1, 0, 2, 3]], abs=1e-9)
    # Null player: a game that ignores player 3 gives him nothing.
    ignoring = v[(member * [1, 1, 1, 0]) @ (1 << np.arange(4))]
    assert shapley_values(ignoring)[3] == pytest.approx(0, abs=1e-9)


def test_number_of_coalitions_must_be_a_power_of_two():
    with pytest.raises(ValueError, match="power of two"):
        shapley_values(np.zeros(6))

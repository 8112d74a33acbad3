"""Three starts by three bends, for both hands."""

import pytest

from ferrule.app.flights import BENDS, flight_of, shape_of, start_in_golfers_words, start_in_world
from ferrule.coaching.quantities import SHAPES, STARTS
from ferrule.frames.handedness import Handedness

MIRROR = {"left": "right", "right": "left", "straight": "straight"}


@pytest.mark.parametrize("hand", ["right", "left"])
def test_every_shape_word_is_start_and_bend_and_back(hand: Handedness) -> None:
    words = {shape_of(s, b, hand, much=m) for s in STARTS for b in BENDS for m in (False, True)}
    assert words == set(SHAPES)
    for shape in SHAPES:
        start, bend, much = flight_of(shape, hand)
        assert shape_of(start, bend, hand, much=much) == shape


@pytest.mark.parametrize("shape", SHAPES)
def test_the_mirror_keeps_the_word_and_swaps_the_side(shape: str) -> None:
    start, bend, much = flight_of(shape, "right")
    assert flight_of(shape, "left") == (start, MIRROR[bend], much)
    assert start_in_world(start, "left") == MIRROR[start_in_world(start, "right")]


@pytest.mark.parametrize(
    ("hand", "start", "bend", "word"),
    [
        ("right", "right", "right", "push-fade"),
        ("right", "left", "right", "pull-fade"),
        ("right", "straight", "left", "draw"),
        ("left", "left", "left", "push-fade"),
        ("left", "right", "right", "pull-draw"),
        ("left", "push", "straight", "push"),
    ],
)
def test_world_words(hand: Handedness, start: str, bend: str, word: str) -> None:
    assert shape_of(start_in_golfers_words(start, hand), bend, hand) == word

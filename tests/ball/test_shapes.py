"""Nine shapes: names, hands, and the rows C16-C23 that they follow from."""

import pytest

from ferrule.ball.flight import fly
from ferrule.ball.impact import Delivery, strike
from ferrule.ball.shapes import NINE, Shape, shape_from_name, shape_name, shape_of, shape_of_delivery
from ferrule.errors import InputError
from ferrule.units import DEG


@pytest.mark.parametrize(
    ("name", "start", "curve"),
    [
        ("push-fade", 1, 1),
        ("pull draw", -1, -1),
        ("Push", 1, 0),
        ("straight", 0, 0),
        ("straight-draw", 0, -1),
        ("fade", 0, 1),
        ("pull-slice", -1, 1),
        ("hook", 0, -1),
        ("push-straight", 1, 0),
    ],
)
def test_names_and_hands(name: str, start: int, curve: int) -> None:
    right, left = shape_from_name(name), shape_from_name(name, handed=-1)
    assert (right.start, right.curve) == (start, curve)
    assert (left.start, left.curve) == (-start, -curve)
    assert right.big == ("slice" in name or "hook" in name)


@pytest.mark.parametrize("shape", NINE, ids=str)
@pytest.mark.parametrize("handed", [1, -1])
def test_round_trip(shape: Shape, handed: int) -> None:
    assert shape_from_name(shape_name(shape, handed), handed) == shape


@pytest.mark.parametrize("name", ["", "shank", "fade-push", "push-push-fade", "-"])
def test_unknown_names_are_explained(name: str) -> None:
    with pytest.raises(InputError, match="push-fade"):
        shape_from_name(name)


@pytest.mark.parametrize("face", [-4, 0, 4])
@pytest.mark.parametrize("path", [-6, 0, 6])
def test_delivery_gives_the_shape_that_the_ball_shows(face: int, path: int) -> None:
    said = shape_of_delivery(face, path)
    launch = strike(Delivery(face * DEG, path * DEG, 0.0, 15 * DEG, 45.0, 0.2))
    flown = shape_of(launch.azimuth, fly(launch).curve)
    assert said.curve == flown.curve
    # The face rules the start: with a straight face only a wide path moves it at all.
    if face:
        assert said.start == flown.start


def test_starts_left_curves_right_means_path_further_left() -> None:
    assert shape_of_delivery(-2, -6) == Shape(-1, 1)


def test_big_curves_say_more() -> None:
    assert shape_from_name("slice").tapped_curve().value > shape_from_name("fade").tapped_curve().value > 0
    assert Shape(0, 0).tapped_start().sd < Shape(1, 0).tapped_start().sd

"""What states carry with them against what the model says of their columns alone."""

from itertools import product

import numpy as np
import pytest

from ferrule.ball.response import response_by_loft
from ferrule.club.clubs import club_by_name
from ferrule.coaching.delivery_state import Coordinates, DeliveryModel, States
from ferrule.coaching.references import LEAN_TIE, reference_of
from ferrule.units import DEG

SEVEN = club_by_name("7-iron")
MODEL = DeliveryModel(reference_of(SEVEN))
NAMES = ("lever", "lean_sd", "closing", "path", "face", "loft")


def drawn(face_first: bool, tied: bool, count: int = 200):
    coordinates = Coordinates(MODEL, face_first, tied)
    spread = np.random.default_rng(7).normal(0.0, 1.0, (count, 10)) * MODEL.prior_sd()
    return coordinates.states(coordinates.of_prior_mean() + spread)


@pytest.mark.parametrize(("face_first", "tied"), [*product((False, True), repeat=2)])
def test_states_carry_what_the_model_says_of_them(face_first, tied):
    states = drawn(face_first, tied)
    plain = {
        "lever": MODEL.lean_lever(states.x),
        "lean_sd": MODEL.lean_sd(MODEL.lean_lever(states.x)),
        "closing": MODEL.closing(states.x),
        "path": MODEL.path(states.x),
        "face": MODEL.face(states.x),
        "loft": MODEL.loft(states.x),
    }
    chosen = np.array([3, 3, 120, 7])
    response = response_by_loft(SEVEN, 36.0)
    states.ball(response)
    some = states.some(chosen)
    for name in NAMES:
        assert getattr(states, name) == pytest.approx(plain[name], abs=1e-12)
        assert getattr(some, name) == pytest.approx(plain[name][chosen], abs=1e-12)
    start = some.ball(response).start(some.face, some.path)
    curve = some.ball(response).curve(some.face - some.path)
    for i, at in enumerate(chosen):
        one = response.at(float(plain["loft"][at]))
        face, path = float(plain["face"][at]), float(plain["path"][at])
        assert start[i] == pytest.approx(one.start(face, path), abs=1e-12)
        assert curve[i] == pytest.approx(one.curve(face - path), abs=0.002 * DEG)


@pytest.mark.parametrize(("face_first", "tied"), [*product((False, True), repeat=2)])
def test_the_prior_is_that_of_its_columns_times_the_change_of_volume(face_first, tied):
    states = drawn(face_first, tied, 6)
    coordinates = Coordinates(MODEL, face_first, tied)
    spread = np.random.default_rng(7).normal(0.0, 1.0, (6, 10)) * MODEL.prior_sd()
    y, step = coordinates.of_prior_mean() + spread, 1e-6
    z = (states.x - MODEL.prior_mean()) / MODEL.prior_sd()
    lever = MODEL.lean_lever(states.x)
    z[:, 4] = (states.x[:, 4] - LEAN_TIE[0] * lever) / MODEL.lean_sd(lever)
    plain = -0.5 * np.sum(z**2, axis=1) - np.log(MODEL.lean_sd(lever))
    assert MODEL.prior_residual(States(MODEL, states.x)) == pytest.approx(z, abs=1e-10)
    # The volume from the derivatives of the states themselves.
    slopes = [
        (coordinates.states(y + step * e).x - coordinates.states(y - step * e).x) / (2 * step) for e in np.eye(10)
    ]
    plain += np.linalg.slogdet(np.stack(slopes, axis=2))[1]
    fast = coordinates.log_prior(states)
    assert fast - fast[0] == pytest.approx(plain - plain[0], abs=1e-6)

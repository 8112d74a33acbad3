"""The way back: what was seen of the ball to face and path. Big statistics are in scripts/validation/ball.py."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.ball.air import Air
from ferrule.ball.flight import fly
from ferrule.ball.impact import delivery_with, strike, typical_attack, with_strike
from ferrule.ball.observed import (
    Observed,
    curve_from_side,
    default_prior,
    infer_deliveries,
    infer_delivery,
)
from ferrule.ball.shapes import NINE, Shape, shape_of
from ferrule.ball.simulated import simulate_shots
from ferrule.ball.strike_spot import SPOTS, strike_spot, strike_spot_mm
from ferrule.club.clubs import BAG
from ferrule.errors import InputError
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

LIMITS = {"driver": (1.2, 1.6), "7-iron": (1.3, 2.5), "pitching wedge": (1.8, 3.8), "sand wedge": (2.6, 5.0)}
MARKED = strike_spot_mm(0.0, 0.0)


def degrees(value: float, sd: float) -> Estimate:
    return Estimate(value * DEG, sd * DEG)


@pytest.mark.parametrize("name", LIMITS)
def test_face_and_path_come_back_within_the_limits(name: str) -> None:
    rng = np.random.default_rng(11)
    shots = simulate_shots(BAG[name], 400, rng)
    answers = infer_deliveries(shots.observed(rng, 1.0 * DEG, 2.0 * DEG, MARKED), BAG[name])
    face = np.array([a.face.value for a in answers]) - shots.face
    path = np.array([a.path.value for a in answers]) - shots.path
    assert np.sqrt(np.mean(face**2)) < LIMITS[name][0] * DEG
    assert np.sqrt(np.mean(path**2)) < LIMITS[name][1] * DEG
    for miss, sd in ((face, [a.face.sd for a in answers]), (path, [a.path.sd for a in answers])):
        assert 0.85 <= np.mean(np.abs(miss) < 1.645 * np.array(sd)) <= 0.95


def test_a_wedge_says_that_path_is_hardly_known() -> None:
    seen = Observed(degrees(2, 1), degrees(0, 2), strike=MARKED)
    wedge, driver = infer_delivery(seen, BAG["sand wedge"]), infer_delivery(seen, BAG["driver"])
    assert wedge.face_less_path.sd > 2.0 * driver.face_less_path.sd
    blind = infer_delivery(Observed(degrees(2, 1), degrees(0, 20), strike=MARKED), BAG["sand wedge"])
    assert blind.face_less_path.sd < 4.0 * DEG  # the prior still holds it
    assert "path_hardly_known" not in [i.code for i in driver.issues]


def test_tapped_shapes_have_the_right_signs() -> None:
    rng = np.random.default_rng(5)
    for name in ("driver", "7-iron"):
        shots = simulate_shots(BAG[name], 600, rng)
        seen = [
            Observed(shape=shape_of(float(a), float(c)), strike=MARKED)
            for a, c in zip(
                shots.launches.azimuth + rng.normal(0, DEG, 600),
                shots.flights.curve + rng.normal(0, 2 * DEG, 600),
                strict=True,
            )
        ]
        answers = infer_deliveries(seen, BAG[name])
        for truth, guess in (
            (shots.face, [a.chance_face_right() for a in answers]),
            (shots.face - shots.path, [a.chance_curves_right() for a in answers]),
        ):
            chance = np.array(guess)
            clear = np.abs(chance - 0.5) > 0.4
            assert clear.mean() > 0.2
            assert np.mean((chance > 0.5)[clear] == (truth > 0.0)[clear]) >= 0.95


def test_nothing_seen_leaves_the_prior() -> None:
    prior = default_prior(BAG["7-iron"])
    answer = infer_delivery(Observed(), BAG["7-iron"])
    assert answer.path.value == pytest.approx(prior.path.value, abs=1e-9)
    assert answer.path.sd == pytest.approx(prior.path.sd, rel=1e-6)
    assert answer.face_word() == "unclear"
    assert infer_deliveries([], BAG["7-iron"]) == []


def test_driver_toe_strike_is_not_called_closed_or_open() -> None:
    club = BAG["driver"]
    hit = with_strike(delivery_with(club, 42.0, 0.0, 0.0, 0.0, 12 * DEG), 0.012, 0.0)
    launch = strike(hit)
    flown = fly(launch)
    assert launch.azimuth > 2 * DEG
    assert flown.curve < -1 * DEG
    seen = Observed(Estimate(launch.azimuth, DEG), Estimate(flown.curve, 2 * DEG), strike=strike_spot("toe"))
    assert infer_delivery(seen, club).face_word() == "square"
    # The same flight from a ball whose strike nobody saw: the doubt is wider and nothing is called.
    unknown = infer_delivery(Observed(seen.start, seen.curve), club)
    assert unknown.face.sd > 1.2 * infer_delivery(seen, club).face.sd
    assert unknown.face_word() == "unclear"
    assert [i.code for i in unknown.issues] == ["strike_unknown"]


@pytest.mark.parametrize("name", ["driver", "7-iron"])
def test_left_handed_mirror(name: str) -> None:
    right = Observed(degrees(2.5, 1), degrees(-3, 2), strike=strike_spot("toe"), handed=1)
    left = Observed(degrees(-2.5, 1), degrees(3, 2), strike=strike_spot("toe"), handed=-1)
    a, b = infer_delivery(right, BAG[name]), infer_delivery(left, BAG[name])
    assert b.face.value == pytest.approx(-a.face.value, abs=1e-9)
    assert b.path.value == pytest.approx(-a.path.value, abs=1e-9)
    assert a.face_word(1) == b.face_word(-1)


def test_wind_is_taken_out_when_known() -> None:
    club = BAG["7-iron"]
    wind = Air(1.225, 1.4607e-5, (0.0, 0.0, 5.0))
    square = delivery_with(club, 34.0, 0.0, 0.0, typical_attack(club), 28.7 * DEG)
    flown = fly(strike(square), wind)
    assert flown.curve > 2 * DEG
    seen = Observed(degrees(0, 1), Estimate(flown.curve, 2 * DEG), strike=MARKED)
    knowing, blind = infer_delivery(seen, club, air=wind), infer_delivery(seen, club)
    assert abs(knowing.face_less_path.value) < 0.5 * DEG
    assert blind.face_less_path.value > 2 * DEG


def test_side_and_carry_serve_as_well_as_the_curve() -> None:
    club = BAG["7-iron"]
    curve = curve_from_side(3 * DEG, 13.3, 119.0)
    assert curve / DEG == pytest.approx(3.42, abs=0.02)
    by_curve = infer_delivery(Observed(degrees(3, 1), Estimate(curve, 2 * DEG), strike=MARKED), club)
    by_side = infer_delivery(
        Observed(degrees(3, 1), side=Estimate(13.3, 4.0), carry=Estimate(119.0, 3.0), strike=MARKED), club
    )
    assert by_side.face.value == pytest.approx(by_curve.face.value, abs=0.7 * DEG)
    assert by_side.path.value == pytest.approx(by_curve.path.value, abs=1.2 * DEG)


def test_a_net_shows_the_start_but_not_the_curve() -> None:
    netted = infer_delivery(Observed(degrees(3, 1), degrees(0, 2), seen=5.0, strike=MARKED), BAG["driver"])
    free = infer_delivery(Observed(degrees(3, 1), degrees(0, 2), strike=MARKED), BAG["driver"])
    assert "curve_not_seen" in [i.code for i in netted.issues]
    assert netted.face_less_path.sd > 1.5 * free.face_less_path.sd
    assert infer_delivery(Observed(degrees(3, 1), strike=MARKED), BAG["driver"]).face == netted.face


def test_a_range_that_ends_early_shows_less_of_the_curve() -> None:
    club = BAG["driver"]
    half = infer_delivery(Observed(degrees(0, 1), degrees(2, 1), seen=100.0, strike=MARKED), club)
    whole = infer_delivery(Observed(degrees(0, 1), degrees(2, 1), strike=MARKED), club)
    assert half.face_less_path.value > 1.3 * whole.face_less_path.value


def test_range_balls_widen_the_doubt() -> None:
    seen = Observed(degrees(4, 1), degrees(6, 1), strike=MARKED)
    own, ranged = infer_delivery(seen, BAG["driver"]), infer_delivery(seen, BAG["driver"], ball="range")
    assert ranged.face_less_path.sd > own.face_less_path.sd


@pytest.mark.parametrize("shape", NINE, ids=str)
def test_every_tapped_shape_gives_its_signs(shape: Shape) -> None:
    answer = infer_delivery(Observed(shape=shape, strike=SPOTS["centre"]), BAG["7-iron"])
    if shape.curve:
        assert np.sign(answer.face_less_path.value) == shape.curve
    if shape.start:
        assert np.sign(answer.face.value) == shape.start


def test_strike_words() -> None:
    assert strike_spot(" Center ") == SPOTS["centre"]
    assert strike_spot(None) == SPOTS["unknown"]
    assert SPOTS["unknown"].toe.sd > SPOTS["centre"].toe.sd
    with pytest.raises(InputError, match="centre, toe, heel, thin, fat"):
        strike_spot("shank")


numbers = st.none() | st.builds(Estimate, st.floats(-0.8, 0.8), st.floats(0.0, 0.3))


@given(
    numbers,
    numbers,
    st.none() | st.builds(Estimate, st.floats(-150.0, 150.0), st.floats(0.0, 30.0)),
    st.none() | st.builds(Estimate, st.floats(0.0, 350.0), st.floats(0.0, 40.0)),
    st.sampled_from(sorted(SPOTS)),
    st.sampled_from(["driver", "7-iron", "lob wedge"]),
    st.none() | st.floats(0.0, 250.0),
)
@settings(max_examples=60, deadline=None, derandomize=True)
def test_whatever_was_seen_the_answer_is_finite(
    start: Estimate | None,
    curve: Estimate | None,
    side: Estimate | None,
    carry: Estimate | None,
    word: str,
    name: str,
    seen: float | None,
) -> None:
    answer = infer_delivery(Observed(start, curve, side, carry, None, strike_spot(word), seen), BAG[name])
    for estimate in (answer.face, answer.path, answer.face_less_path):
        assert np.isfinite([estimate.value, estimate.sd]).all()
        assert estimate.sd > 0.0
        assert abs(estimate.value) < 2.0
    prior = default_prior(BAG[name])
    assert answer.path.sd <= prior.path.sd * (1.0 + 1e-9)


def test_a_flight_that_contradicts_itself_is_told() -> None:
    wrong_sign = Observed(degrees(3, 1), degrees(8, 1), side=Estimate(-20.0, 3.0), strike=MARKED)
    assert "flight_contradicts_itself" in [i.code for i in infer_delivery(wrong_sign, BAG["7-iron"]).issues]
    together = Observed(degrees(3, 1), degrees(3, 1), side=Estimate(15.0, 3.0), strike=MARKED)
    assert infer_delivery(together, BAG["7-iron"]).issues == ()

"""The table of start and curve against impact and flight worked out in full."""

import numpy as np
import pytest

from ferrule.ball.coefficients import LYU, NARUO
from ferrule.ball.flight import fly
from ferrule.ball.impact import delivery_with, strike, typical_attack
from ferrule.ball.response import (
    ball_response,
    ball_responses,
    curve_per_degree,
    expected_carry,
    face_share,
    response_by_loft,
)
from ferrule.club.clubs import BAG, typical_club_speed
from ferrule.units import DEG

CLUBS = ["driver", "5-wood", "7-iron", "pitching wedge", "sand wedge"]
LOFTS = {"driver": 11.0, "5-wood": 16.0, "7-iron": 28.7, "pitching wedge": 39.5, "sand wedge": 49.0}


@pytest.mark.parametrize(
    ("share", "face", "path", "start"),
    [(0.82, 2, 0, 1.64), (0.82, 2, -3, 1.10), (0.82, -1, 4, -0.10), (0.75, 3, -2, 1.75)],
)
def test_c22_start_line(share: float, face: float, path: float, start: float) -> None:
    like = ball_responses(BAG["driver"], np.array([45.0]), np.array([0.2]))
    fixed = type(like)(np.array([share]), *(np.zeros(1) for _ in range(6)))
    assert fixed.start(np.array([face]), np.array([path]))[0] == pytest.approx(start, abs=1e-9)


@pytest.mark.parametrize("name", CLUBS)
@pytest.mark.parametrize("face_less_path", [1.0, 4.0, -8.0])
def test_table_matches_the_full_model(name: str, face_less_path: float) -> None:
    club, loft = BAG[name], LOFTS[name] * DEG
    for speed in (29.0, 37.3, 44.1):
        response = ball_response(club, speed, loft)
        launch = strike(delivery_with(club, speed, face_less_path * DEG, 0.0, typical_attack(club), loft))
        flown = [fly(launch, coefficients=c) for c in (NARUO, LYU)]
        assert response.start(face_less_path * DEG, 0.0) == pytest.approx(launch.azimuth, rel=0.02)
        curve = np.mean([f.curve for f in flown])
        assert response.curve(face_less_path * DEG) == pytest.approx(curve, rel=0.08)
        assert abs(response.curve(face_less_path * DEG) - flown[0].curve) < abs(
            3.0 * response.curve_per_degree.sd * face_less_path * DEG
        )
        if abs(face_less_path) < 5.0:
            assert response.carry.value == pytest.approx(np.mean([f.carry for f in flown]), rel=0.03)


def test_curve_falls_and_path_counts_more_with_loft() -> None:
    speeds = [typical_club_speed(BAG[n]) for n in CLUBS]
    shares = [face_share(BAG[n], v, LOFTS[n] * DEG).value for n, v in zip(CLUBS, speeds, strict=True)]
    curves = [curve_per_degree(BAG[n], v, LOFTS[n] * DEG).value for n, v in zip(CLUBS, speeds, strict=True)]
    assert shares == sorted(shares, reverse=True)
    assert curves == sorted(curves, reverse=True)
    assert 0.61 < shares[-1] < shares[0] < 0.83


def test_a_slice_stays_a_slice_when_the_face_only_closes_halfway() -> None:
    # Trade check: face 3 open, path 6 left. Closed by 3 it still slices, starting about 1 left; by 6, about 3.6 left.
    response = ball_response(BAG["driver"], 42.0, 12 * DEG)
    assert response.start(0.0, -6.0) == pytest.approx(-1.2, abs=0.3)
    assert response.curve(6.0 * DEG) > 5 * DEG
    assert response.start(-3.0, -6.0) == pytest.approx(-3.6, abs=0.3)


def test_carry_and_its_doubt() -> None:
    carry = expected_carry(BAG["7-iron"], 36.0, 30 * DEG)
    assert 120.0 < carry.value < 160.0
    assert 0.03 < carry.sd / carry.value < 0.2


def test_many_at_once_and_beyond_the_grid() -> None:
    club = BAG["7-iron"]
    many = ball_responses(club, np.array([30.0, 36.0, 500.0]), np.array([0.5, 0.5, 3.0]))
    one = ball_response(club, 36.0, 0.5)
    assert many.face_share[1] == one.face_share.value
    assert np.isfinite(many.carry).all()


@pytest.mark.parametrize("name", CLUBS)
def test_one_loft_is_answered_as_many_are(name: str) -> None:
    response = response_by_loft(BAG[name], 36.0)
    lofts = np.concatenate([np.linspace(-10.0, 80.0, 181), [2.0, 5.0, 26.0, 70.0]]) * DEG
    many = response.answers(lofts)
    one = [response.at(float(loft)) for loft in lofts]
    assert [o.face_share.value for o in one] == pytest.approx(many.face_share, abs=1e-12)
    assert [o.curve_per_degree.value for o in one] == pytest.approx(many.curve_per_degree, abs=1e-12)

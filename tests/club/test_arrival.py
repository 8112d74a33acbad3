"""Arrival: the design's section 5.1 figures for both clubs, and identities of the geometry."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.club.arrival import Levers, arrival_rate_over_ground, at_arrival, ball_further_forward, frozen_forearm
from ferrule.club.clubs import club_by_name
from ferrule.club.delivery import ReferenceFace, face_normal, reference_face
from ferrule.units import DEG

IRON, DRIVER = club_by_name("7-iron"), club_by_name("driver")


def static_normal(club):
    return face_normal(ReferenceFace(club.loft, club.lie, 0.0), 0, 0, 0)


def test_frozen_forearm_flexion_hardly_turns_an_irons_face():
    """10 degrees more flexion at chi 25: lean +9.05, loft -10, face +0.4; driver (chi 22) +1.7."""
    turned = frozen_forearm(IRON, 10 * DEG, 25 * DEG)
    face, loft = turned.face_and_loft(static_normal(IRON))
    assert turned.lean / DEG == pytest.approx(9.05, abs=0.01)
    assert face / DEG == pytest.approx(0.4, abs=0.03)
    assert (loft - IRON.loft) / DEG == pytest.approx(-10.0, abs=0.05)
    face, _ = frozen_forearm(DRIVER, 10 * DEG, 22 * DEG).face_and_loft(static_normal(DRIVER))
    assert face / DEG == pytest.approx(1.7, abs=0.04)


@pytest.mark.parametrize(
    ("club", "chi", "speed", "most", "least"),
    [pytest.param(IRON, 25, 36, -3.9, -3.3, id="7-iron"), pytest.param(DRIVER, 22, 45, -3.2, -2.6, id="driver")],
)
def test_at_arrival_flexion_closes(club, chi, speed, most, least):
    """Design 5.1: 3.3-3.9 (7-iron) and 2.6-3.2 (driver) more closed, keeping 12 to 0 % of the lean; about 4 ms later."""
    kept_all_back = at_arrival(club, 10 * DEG, chi * DEG, Levers(speed, 0.0))
    kept_some = at_arrival(club, 10 * DEG, chi * DEG, Levers(speed, 0.12))
    assert kept_all_back.face_and_loft(static_normal(club))[0] / DEG == pytest.approx(most, abs=0.06)
    assert kept_some.face_and_loft(static_normal(club))[0] / DEG == pytest.approx(least, abs=0.07)
    assert kept_some.delay == pytest.approx(0.004, abs=0.0003)
    assert kept_some.lean == pytest.approx(0.12 * frozen_forearm(club, 10 * DEG, chi * DEG).lean, rel=1e-9)


def test_the_head_is_15_cm_short_when_the_forearm_is_frozen():
    lean = frozen_forearm(IRON, 10 * DEG, 25 * DEG).lean
    assert lean * IRON.length == pytest.approx(0.15, abs=0.005)


def test_ball_43_mm_forward():
    """Design 5.1: 2.2-3.4 more closed over the range of the release rate, path 0.8 left, attack 1.5 up, at 36 m/s."""
    normal = face_normal(reference_face(IRON, 6 * DEG), 0, 0, 0)
    slow, fast = (ball_further_forward(IRON, normal, 0.043, Levers(36, closing_rate=r * DEG)) for r in (1150, 2050))
    assert -2.45 < slow.face / DEG < -2.2
    assert -3.4 < fast.face / DEG < -3.15
    assert slow.path / DEG == pytest.approx(-0.8, abs=0.05)
    assert slow.attack / DEG == pytest.approx(1.5, abs=0.05)


@given(st.floats(-20, 20), st.floats(15, 40), st.floats(-10, 10), st.floats(0, 0.2))
@settings(max_examples=40, derandomize=True)
def test_frozen_turn_is_one_rotation_and_arrival_undoes_only_lean(flexion, chi, rho, share):
    frozen = frozen_forearm(IRON, flexion * DEG, chi * DEG)
    assert frozen.turn.magnitude() == pytest.approx(abs(flexion) * DEG, abs=1e-9)
    arrived = at_arrival(IRON, flexion * DEG, chi * DEG, Levers(36, share))
    between = (arrived.turn * frozen.turn.inv()).magnitude()
    assert between == pytest.approx(abs(frozen.lean) * (1 - share), abs=1e-9)
    assert at_arrival(IRON, 0.0, chi * DEG, Levers(36, share)).turn.magnitude() == pytest.approx(0, abs=1e-12)


def test_roll_that_goes_on_closes_more():
    levers = Levers(36)
    n = static_normal(IRON)
    plain = at_arrival(IRON, 10 * DEG, 25 * DEG, levers).face_and_loft(n)[0]
    more = at_arrival(IRON, 10 * DEG, 25 * DEG, levers, roll_goes_on=True).face_and_loft(n)[0]
    assert (plain - more) / DEG == pytest.approx(0.885 * 1600 * levers_delay(levers), rel=0.1)


def levers_delay(levers: Levers) -> float:
    return at_arrival(IRON, 10 * DEG, 25 * DEG, levers).delay


def test_rate_over_ground_agrees_with_a_later_ball():
    normal = face_normal(reference_face(IRON, 6 * DEG), 0, 0, 0)
    levers = Levers(36)
    rate = arrival_rate_over_ground(IRON, normal, levers)
    later = ball_further_forward(IRON, normal, 0.001, levers)
    assert rate == pytest.approx(-later.face / later.delay, rel=2e-3)
    assert 1800 < rate / DEG < 3600, "science.md B55: 1800-3600 deg/s over the ground"
    assert np.isfinite(rate)

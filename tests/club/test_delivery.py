"""The delivery model: science.md B70-B82 (its static-loft rows as such) and the numbers of the design's section 5.1."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.club.clubs import club_by_name
from ferrule.club.delivery import (
    ReferenceFace,
    closing_about_shaft,
    closing_and_loft_for_face,
    closing_for_face,
    closing_owed,
    closing_that_squares,
    delivered_loft,
    face_angle,
    face_normal,
    face_normal_by_rotations,
    face_of,
    loft_of,
    reference_face,
)
from ferrule.units import DEG

IRON = reference_face(club_by_name("7-iron"), 6 * DEG)


def static(loft: float, lie: float) -> ReferenceFace:
    return ReferenceFace(loft * DEG, lie * DEG, 0.0)


def closing(flexion=0.0, roll=0.0, chi=25.0, grip=0.0, body=0.0, f=0.0) -> float:
    return float(closing_about_shaft(grip * DEG, flexion * DEG, roll * DEG, body * DEG, chi * DEG, f * DEG)) / DEG


@pytest.mark.parametrize(
    ("chi", "expected"),
    [
        pytest.param(90, 10.000, id="B70"),
        pytest.param(60, 8.660, id="B71"),
        pytest.param(30, 5.000, id="B72"),
        pytest.param(25, 4.226, id="B73"),
        pytest.param(0, 0.0, id="B74"),
    ],
)
def test_flexion_closes_by_the_sine_of_chi(chi, expected):
    assert closing(flexion=10, chi=chi) == pytest.approx(expected, abs=1e-3)


@pytest.mark.parametrize(("chi", "expected"), [pytest.param(25, 9.063, id="B73"), pytest.param(0, 10.0, id="B74")])
def test_supination_closes_by_the_cosine_of_chi(chi, expected):
    assert closing(roll=10, chi=chi) == pytest.approx(expected, abs=1e-3)


def test_supination_counts_by_the_cosine_of_flexion_too():
    assert closing(roll=10, chi=25, f=30) == pytest.approx(9.063 * np.cos(30 * DEG), abs=1e-3)


@pytest.mark.parametrize("chi", [0, 25, 60, 90])
def test_b75_deviation_is_no_part_of_closing(chi):
    """Deviation turns the club about the normal of the cocking plane, which is square to the shaft at every chi."""
    forearm, flexion_axis = np.array([0.0, -1.0, 0.0]), np.array([1.0, 0.0, 0.0])
    shaft = np.cos(chi * DEG) * forearm + np.sin(chi * DEG) * flexion_axis
    assert np.cross(forearm, flexion_axis) @ shaft == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(
    ("loft", "lie", "rho", "face", "loft_then"),
    [
        pytest.param(10, 58, 5, -4.226, 7.353, id="B76"),
        pytest.param(34, 62, -5, 4.480, 36.345, id="B77"),
        pytest.param(34, 62, -10, 9.109, 38.675, id="B78"),
        pytest.param(0, 60, 10, -8.682, -4.981, id="B79"),
    ],
)
def test_static_loft_rows_closing(loft, lie, rho, face, loft_then):
    n = face_normal(static(loft, lie), rho * DEG, 0, 0)
    assert face_angle(n) / DEG == pytest.approx(face, abs=1e-3)
    assert delivered_loft(n) / DEG == pytest.approx(loft_then, abs=1e-3)


@pytest.mark.parametrize(
    ("loft", "raised", "face"),
    [
        *(
            pytest.param(lo, -3, f, id=f"B80-{lo}")
            for lo, f in ((10, -0.529), (34, -2.022), (46, -3.102), (56, -4.437))
        ),
        *(pytest.param(lo, 5, f, id=f"B81-{lo}") for lo, f in ((10, 0.880), (34, 3.364), (46, 5.157))),
    ],
)
def test_static_loft_rows_handle(loft, raised, face):
    assert float(face_of(static(loft, 62), 0, 0, raised * DEG)) / DEG == pytest.approx(face, abs=1e-3)


def test_b82_signs():
    assert closing(flexion=1) > 0 > closing(flexion=-1)
    assert closing(roll=1) > 0 > closing(roll=-1)
    assert float(face_of(IRON, 0.01, 0, 0)) < 0 < float(face_of(IRON, 0, 0, 0.01))
    assert float(face_of(IRON, 0, 0.01, 0)) > 0


def test_reference_is_square_with_its_delivered_loft():
    n = face_normal(IRON, 0, 0, 0)
    assert face_angle(n) == pytest.approx(0, abs=1e-15)
    assert delivered_loft(n) / DEG == pytest.approx(28.7, abs=0.03)


def test_slopes_of_the_seven_iron():
    """Design 5.1: one degree of rho closes 0.885, of lean opens 0.46, of handle opens tan L0 = 0.55."""
    assert float(face_of(IRON, DEG, 0, 0)) / DEG == pytest.approx(-0.885, abs=5e-4)
    assert float(face_of(IRON, 0, DEG, 0)) / DEG == pytest.approx(0.46, abs=5e-4)
    assert float(face_of(IRON, 0, 0, DEG)) / DEG == pytest.approx(np.tan(IRON.delivered_loft), abs=1e-3)


def test_combined_rotation():
    """Design 5.1: rho 10, lean 5, handle 4, aim 2 with the static loft of 34 give 2.2 closed and 25.4 of loft."""
    n = face_normal(static(34, 62.5), 10 * DEG, 5 * DEG, 4 * DEG, 2 * DEG)
    assert face_angle(n) / DEG == pytest.approx(-2.2, abs=0.05)
    assert delivered_loft(n) / DEG == pytest.approx(25.4, abs=0.05)


def test_closing_owed_at_shaft_level():
    """Design 4: 27.5 owed with the edge on a 35 degree spine, 62.5 toe up; 0.54 a degree of lean, 0.6 of handle on top."""
    iron = club_by_name("7-iron")
    assert closing_owed(iron, 35 * DEG) / DEG == pytest.approx(27.5, abs=1e-9)
    assert closing_owed(iron, 0.0) / DEG == pytest.approx(62.5, abs=1e-9)
    assert closing_that_squares(static(34, 62.5), 6 * DEG, 0) / DEG / 6 == pytest.approx(0.54, abs=0.005)
    leaned = closing_that_squares(static(34, 62.5), 6 * DEG, 2 * DEG) - closing_that_squares(
        static(34, 62.5), 6 * DEG, 0
    )
    assert leaned / DEG / 2 == pytest.approx(0.6, abs=0.02)


angle = st.floats(-25, 25)


@given(angle, angle, angle, angle, st.sampled_from(["driver", "7-iron", "sand wedge"]))
@settings(max_examples=60, derandomize=True)
def test_fast_normal_equals_the_rotations_on_paper(rho, lean, raised, aim, name):
    reference = reference_face(club_by_name(name), 4 * DEG)
    parts = [a * DEG for a in (rho, lean, raised, aim)]
    plain = face_normal_by_rotations(reference, *parts)
    assert face_normal(reference, *parts) == pytest.approx(plain, abs=1e-12)
    assert float(face_of(reference, *parts)) == pytest.approx(np.arctan2(plain[2], plain[0]), abs=1e-12)
    assert float(loft_of(reference, *parts[:3])) == pytest.approx(np.arcsin(plain[1]), abs=1e-12)


@given(angle, angle, angle, angle)
@settings(max_examples=60, derandomize=True)
def test_closing_for_face_inverts_face_of(rho, lean, raised, aim):
    parts = [a * DEG for a in (rho, lean, raised, aim)]
    face = face_of(IRON, *parts)
    back, per_face, loft = closing_and_loft_for_face(IRON, face, *parts[1:])
    assert float(back) == pytest.approx(parts[0], abs=1e-9)
    assert float(loft) == pytest.approx(float(loft_of(IRON, *parts[:3])), abs=1e-9)
    step = 1e-6
    squared = closing_that_squares(IRON, *parts[1:3])
    assert float(face_of(IRON, squared, *parts[1:3])) == pytest.approx(0.0, abs=1e-9)
    slope = (float(face_of(IRON, parts[0] + step, *parts[1:])) - float(face_of(IRON, parts[0] - step, *parts[1:]))) / (
        2 * step
    )
    assert 1 / float(per_face) == pytest.approx(slope, rel=1e-6)


@given(angle, angle, angle, angle)
@settings(max_examples=30, derandomize=True)
def test_aim_turns_everything(rho, lean, raised, aim):
    parts = [a * DEG for a in (rho, lean, raised)]
    assert float(face_of(IRON, *parts, aim * DEG)) == pytest.approx(float(face_of(IRON, *parts)) + aim * DEG, abs=1e-12)


def test_a_face_that_no_closing_reaches_is_told_by_a_slope_of_nothing():
    rho, per_face = closing_for_face(IRON, np.radians([10.0, 100.0, 178.0]), 0.0, np.radians([0.0, 0.0, 60.0]))
    assert np.all(np.isfinite(rho))
    assert np.all(np.isfinite(per_face))
    assert per_face[0] < 0

"""Wrist angles against science.md A01-A11 (ISB convention; computed from the definition, SciPy as reference)."""

import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from ferrule.frames.handedness import MIRROR, mirror_angular_velocity, mirror_rotation, mirror_vector
from ferrule.frames.rotations import rotation_about, rotation_from_scalar_first, scalar_first_from_rotation
from ferrule.frames.wrist import wrist_angles, wrist_rotation
from ferrule.units import DEG

STILL = Rotation.identity()


def hand(flexion: float, deviation: float, axial: float) -> Rotation:
    return wrist_rotation(flexion * DEG, deviation * DEG, axial * DEG, side="right", convention="isb")


@pytest.mark.parametrize(
    ("angles", "axis", "expected"),
    [
        pytest.param((30, 0, 0), (0, -1, 0), (0.5, -0.8660, 0), id="A01"),
        pytest.param((-30, 0, 0), (0, -1, 0), (-0.5, -0.8660, 0), id="A02"),
        pytest.param((0, 20, 0), (0, -1, 0), (0, -0.9397, -0.3420), id="A03"),
        pytest.param((0, -20, 0), (0, -1, 0), (0, -0.9397, 0.3420), id="A04"),
        pytest.param((0, 0, 25), (0, 0, 1), (0.4226, 0, 0.9063), id="A05"),
    ],
)
def test_single_turns_point_where_anatomy_says(angles, axis, expected):
    assert hand(*angles).apply(np.array(axis, float)) == pytest.approx(expected, abs=1e-4)


A06 = [
    [0.748630, 0.620885, 0.232498],
    [-0.657622, 0.739942, 0.141490],
    [-0.084186, -0.258819, 0.962250],
]


def test_a06_combined_matrix():
    assert hand(-40, -15, 5).as_matrix() == pytest.approx(np.array(A06), abs=1e-6)


def test_a07_decomposes_back():
    angles = wrist_angles(STILL, Rotation.from_matrix(A06), side="right", convention="isb")
    assert np.array([angles.flexion, angles.ulnar_deviation, angles.axial]) / DEG == pytest.approx(
        [-40, -15, 5], abs=1e-4
    )


def test_a08_another_order_gives_other_angles():
    # X first, then Z, then Y: the order matters, by tens of degrees
    wrong = hand(-40, -15, 5).as_euler("XZY") / DEG
    assert wrong == pytest.approx([-19.279, -38.381, 17.253], abs=1e-3)


def test_a09_left_side_is_the_mirror():
    mirrored = mirror_rotation(hand(-40, -15, 5))
    assert mirrored.as_matrix() == pytest.approx(MIRROR @ hand(-40, -15, 5).as_matrix() @ MIRROR)
    plain = wrist_angles(STILL, mirrored, side="right", convention="isb")
    assert np.array([plain.flexion, plain.ulnar_deviation, plain.axial]) / DEG == pytest.approx([-40, 15, -5])
    left = wrist_angles(STILL, mirrored, side="left", convention="isb")
    assert np.array([left.flexion, left.ulnar_deviation, left.axial]) / DEG == pytest.approx([-40, -15, 5])


@given(
    st.floats(-170, 170),
    st.floats(-88, 88),
    st.floats(-170, 170),
    st.sampled_from(["axial_first", "isb"]),
    st.sampled_from(["left", "right"]),
)
@settings(max_examples=80, derandomize=True, deadline=None)
def test_a10_round_trip(a, middle, c, convention, side):
    # The middle angle is flexion in the axial-first convention and deviation in the ISB one.
    flexion, deviation = (middle, a) if convention == "axial_first" else (a, middle)
    turned = wrist_rotation(flexion * DEG, deviation * DEG, c * DEG, side=side, convention=convention)
    forearm = Rotation.from_rotvec([0.3, -1.2, 0.7])
    back = wrist_angles(forearm, forearm * turned, side=side, convention=convention)
    assert np.array([back.flexion, back.ulnar_deviation, back.axial]) / DEG == pytest.approx(
        [flexion, deviation, c], abs=1e-6
    )


@pytest.mark.parametrize(
    ("convention", "sequence", "places"), [("axial_first", "YZX", (1, 2, 0)), ("isb", "ZXY", (0, 1, 2))]
)
def test_angles_are_scipys(convention, sequence, places):
    turned = Rotation.random(500, random_state=3)
    told = wrist_angles(Rotation.identity(500), turned, side="right", convention=convention)
    theirs = turned.as_euler(sequence)[:, places]
    np.testing.assert_allclose(np.stack((told.flexion, told.ulnar_deviation, told.axial), axis=1), theirs, atol=1e-12)


def test_a11_gimbal_warns_and_never_gives_nan():
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        angles = wrist_angles(STILL, hand(20, 90, 10), side="right", convention="isb")
    assert any("Gimbal" in str(w.message) for w in caught)
    assert np.array([angles.flexion, angles.ulnar_deviation, angles.axial]) / DEG == pytest.approx(
        [30, 90, 0], abs=1e-6
    )


def test_skin_twist_drops_out_of_the_axial_first_angles():
    flexion, deviation = -30 * DEG, -25 * DEG
    twisted = Rotation.from_euler("Y", 8 * DEG) * wrist_rotation(flexion, deviation, 0.0, side="right")
    first = wrist_angles(STILL, twisted, side="right")
    last = wrist_angles(STILL, twisted, side="right", convention="isb")
    assert (first.flexion, first.ulnar_deviation) == pytest.approx((flexion, deviation))
    assert (
        abs(
            last.flexion
            - wrist_angles(
                STILL, wrist_rotation(flexion, deviation, 0, side="right"), side="right", convention="isb"
            ).flexion
        )
        > 2 * DEG
    )


def test_scalar_first_quaternions_round_trip():
    turn = rotation_about([0, 1, 0], 0.5)
    assert scalar_first_from_rotation(turn)[0] == pytest.approx(np.cos(0.25))
    assert (rotation_from_scalar_first(scalar_first_from_rotation(turn)) * turn.inv()).magnitude() == pytest.approx(
        0, abs=1e-12
    )


@given(st.lists(st.floats(-2, 2), min_size=6, max_size=6))
@settings(max_examples=40, derandomize=True)
def test_mirror_of_a_turned_vector_is_the_turned_mirror(values):
    w, v = np.array(values[:3]), np.array(values[3:])
    turned = Rotation.from_rotvec(w).apply(v)
    assert Rotation.from_rotvec(mirror_angular_velocity(w)).apply(mirror_vector(v)) == pytest.approx(
        mirror_vector(turned), abs=1e-12
    )
    assert mirror_rotation(Rotation.from_rotvec(w)).as_rotvec() == pytest.approx(
        Rotation.from_rotvec(mirror_angular_velocity(w)).as_rotvec(), abs=1e-9
    )

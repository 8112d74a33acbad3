import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from ferrule.club.clubs import Club
from ferrule.club.face import (
    closing_about_shaft,
    closing_over_ground,
    closing_owed,
    club_at_address,
    club_turn,
    face_from_turn,
    heading_from_shaft,
)
from ferrule.frames.rotations import RIGHT, TARGET, UP, rotation_about
from ferrule.units import DEG

SEVEN = Club("7-iron", 34.0 * DEG, 62.5 * DEG, 0.94, 0.27)


def club(loft_deg: float, lie_deg: float) -> Club:
    return Club("club", loft_deg * DEG, lie_deg * DEG, 0.94, 0.27)


@pytest.mark.parametrize(
    ("closing_deg", "loft_deg", "lie_deg", "face_deg", "delivered_deg"),
    [
        pytest.param(5.0, 10.0, 58.0, -4.226, 7.353, id="B76"),
        pytest.param(-5.0, 34.0, 62.0, 4.480, 36.345, id="B77"),
        pytest.param(-10.0, 34.0, 62.0, 9.109, 38.675, id="B78"),
        pytest.param(10.0, 0.0, 60.0, -8.682, -4.981, id="B79"),
    ],
)
def test_closing_about_the_shaft(
    closing_deg: float, loft_deg: float, lie_deg: float, face_deg: float, delivered_deg: float
) -> None:
    at = club_at_address(club(loft_deg, lie_deg))
    face = face_from_turn(rotation_about(at.shaft, -closing_deg * DEG), at)
    assert face.face / DEG == pytest.approx(face_deg, abs=1e-3)
    assert face.delivered_loft / DEG == pytest.approx(delivered_deg, abs=1e-3)


@pytest.mark.parametrize(
    ("toe_down_deg", "loft_deg", "face_deg"),
    [
        pytest.param(-3.0, 10.0, -0.529, id="B80-10"),
        pytest.param(-3.0, 34.0, -2.022, id="B80-34"),
        pytest.param(-3.0, 56.0, -4.437, id="B80-56"),
        pytest.param(5.0, 10.0, 0.880, id="B81-10"),
        pytest.param(5.0, 34.0, 3.364, id="B81-34"),
        pytest.param(5.0, 46.0, 5.157, id="B81-46"),
    ],
)
def test_handle_up_opens(toe_down_deg: float, loft_deg: float, face_deg: float) -> None:
    at = club_at_address(club(loft_deg, 62.5))
    face = face_from_turn(rotation_about(TARGET, toe_down_deg * DEG), at)
    assert face.face / DEG == pytest.approx(face_deg, abs=1e-3)


def shaft_level(at_shaft: np.ndarray, tilt_deg: float) -> Rotation:
    """The turn that lays the shaft level along -X with the toe forward from vertical by the tilt."""
    square = np.cross(at_shaft, TARGET)  # up the plane, square to the shaft at address
    to_back = Rotation.align_vectors([[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]], [at_shaft, square])[0]
    return rotation_about(TARGET, tilt_deg * DEG) * to_back


@pytest.mark.parametrize(
    ("tilt_deg", "face_to_spine_deg"),
    [pytest.param(35.0, 0.0, id="H05-square"), pytest.param(0.0, 35.0, id="H04-toe-up"), (50.0, -15.0)],
)
def test_edge_tilt_at_shaft_level(tilt_deg: float, face_to_spine_deg: float) -> None:
    at = club_at_address(SEVEN)
    face = face_from_turn(shaft_level(at.shaft, tilt_deg), at)
    assert face.edge_tilt / DEG == pytest.approx(tilt_deg, abs=1e-9)
    assert 35.0 - face.edge_tilt / DEG == pytest.approx(face_to_spine_deg, abs=1e-9)


@pytest.mark.parametrize(("tilt_deg", "owed_deg"), [(35.0, 27.5), (0.0, 62.5), (62.5, 0.0)])
def test_closing_owed_brings_the_face_square(tilt_deg: float, owed_deg: float) -> None:
    assert closing_owed(tilt_deg * DEG, SEVEN.lie) / DEG == pytest.approx(owed_deg)
    at = club_at_address(SEVEN)
    turn = shaft_level(at.shaft, tilt_deg)
    # close what is owed about the shaft, then swing it down within the plane
    closed = rotation_about(turn.apply(at.shaft), -owed_deg * DEG) * turn
    normal = np.cross(at.shaft, TARGET)
    down = Rotation.align_vectors([at.shaft, normal], [closed.apply(at.shaft), normal])[0]
    face = face_from_turn(down * closed, at)
    assert abs(face.face) / DEG < 1e-6
    assert face.delivered_loft == pytest.approx(SEVEN.loft, abs=1e-9)


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.floats(-3.0, 3.0))
def test_the_heading_of_the_world_does_not_matter_when_it_is_known(seed: int, heading: float) -> None:
    at = club_at_address(SEVEN)
    turn = Rotation.random(random_state=seed)
    hand_address = Rotation.random(random_state=seed + 1)
    to_world = rotation_about(UP, heading)
    hand = to_world * turn * to_world.inv() * hand_address
    assert (club_turn(hand, hand_address, heading).inv() * turn).magnitude() < 1e-9
    assert heading_from_shaft(to_world.apply(at.shaft)) == pytest.approx(heading, abs=1e-9)


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.integers(0, 10_000))
def test_closing_rates_are_the_rates_of_the_angles(seed: int) -> None:
    at = club_at_address(SEVEN)
    rng = np.random.default_rng(seed)
    turn = Rotation.from_rotvec(rng.normal(0.0, 0.4, 3))
    rate = rng.normal(0.0, 10.0, 3)
    h = 1e-6
    before, after = (face_from_turn(Rotation.from_rotvec(rate * s) * turn, at).face for s in (-h, h))
    over_ground = closing_over_ground(rate, turn.apply(at.normal))
    assert over_ground == pytest.approx(-(after - before) / (2.0 * h), rel=1e-5, abs=1e-4)
    shaft = turn.apply(at.shaft)
    assert closing_about_shaft(-3.0 * shaft, shaft) == pytest.approx(3.0)


def test_face_at_address_is_what_it_was_set_to() -> None:
    at = club_at_address(SEVEN, 3.0 * DEG)
    face = face_from_turn(Rotation.identity(), at)
    assert face.face / DEG == pytest.approx(3.0)
    assert face.delivered_loft / DEG == pytest.approx(34.0)
    np.testing.assert_allclose(club_at_address(SEVEN).edge, RIGHT, atol=1e-12)

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from ferrule.sensing.calibration import (
    AXIS_SD,
    POSE_HABIT,
    POSE_SD,
    SKIN_FOLLOW,
    STRAIGHT_SD,
    Calibration,
    MountAxes,
    SegmentAxes,
    forearm_mount,
    hand_mount,
    main_axis,
    mount_axes,
    squared,
)
from ferrule.signals.prefix import rotation_from_columns
from ferrule.units import DEG


def unit(v: np.ndarray) -> np.ndarray:
    return v / np.linalg.norm(v)


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.floats(-0.15, 0.15))
def test_squaring_is_the_middle_of_both_orders(seed: int, off: float) -> None:
    rng = np.random.default_rng(seed)
    frame = Rotation.random(random_state=seed).as_matrix()
    x, y = frame[:, 0], unit(np.cos(np.pi / 2 + off) * frame[:, 0] + np.sin(np.pi / 2 + off) * frame[:, 1])
    del rng
    first, second = squared(x, y)
    assert first @ second == pytest.approx(0.0, abs=1e-12)
    keep_x = np.stack((x, unit(y - (x @ y) * x)), axis=1)
    keep_y = np.stack((unit(x - (x @ y) * y), y), axis=1)
    np.testing.assert_allclose(np.stack(squared(x, y, 0.0), axis=1), keep_x, atol=1e-12)
    np.testing.assert_allclose(np.stack(squared(x, y, 1.0), axis=1), keep_y, atol=1e-12)
    for i, got in enumerate((first, second)):
        np.testing.assert_allclose(got, unit(keep_x[:, i] + keep_y[:, i]), atol=1e-9)


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.integers(0, 10_000))
def test_signs_come_from_the_hanging_arm(seed: int) -> None:
    rng = np.random.default_rng(seed)
    forearm, hand = Rotation.random(2, random_state=seed)  # segment to sensor
    signs = rng.choice([-1.0, 1.0], 3)
    calibration = Calibration(
        SegmentAxes(forearm.as_matrix()[:, 0], signs[0] * forearm.as_matrix()[:, 1]),
        SegmentAxes(
            hand.as_matrix()[:, 0],
            signs[1] * hand.as_matrix()[:, 2],
            turning=signs[2] * hand.as_matrix()[:, 1],
        ),
        "guided",
    )
    # both segments hang within 50 degrees of the vertical
    ups = [
        r.apply(Rotation.from_rotvec(unit(rng.normal(size=3)) * 0.8).apply([0.0, 1.0, 0.0])) for r in (forearm, hand)
    ]
    mounts = mount_axes(calibration, ups[0], ups[1])
    assert (mounts.forearm.inv() * forearm).magnitude() < 1e-9
    assert (mounts.hand.inv() * hand).magnitude() < 1e-9
    assert mounts.linked


def test_a_pose_that_repeats_makes_it_surer_and_a_slip_shows() -> None:
    eye = np.eye(3)
    slipped = Rotation.from_euler("Y", 10.0, degrees=True).apply(eye[0])
    near = Rotation.from_euler("Y", 1.0, degrees=True).apply(eye[0])
    once, again, moved = (
        Calibration(
            SegmentAxes(eye[0], eye[1], end), SegmentAxes(eye[0], eye[2], None if end is None else eye[0]), "guided"
        )
        for end in (None, near, slipped)
    )
    sds = [mount_axes(c, eye[1], eye[1]).pose_sd for c in (once, again, moved)]
    assert sds[1] < sds[0] < sds[2]
    assert once.forearm.pose_difference is None
    assert moved.forearm.pose_difference == pytest.approx(10.0 * DEG)
    assert moved.hand.pose_difference == pytest.approx(0.0)


@pytest.mark.parametrize("care", [0.5, 1.0, 2.0])
def test_a_calibration_tells_how_carefully_it_was_done(care: float) -> None:
    """Poses and lines that scatter `care` times as usual are told with about that doubt."""
    rng = np.random.default_rng(3)
    told = []
    for _ in range(200):

        def off(axis: int, sd: float) -> np.ndarray:
            return Rotation.from_rotvec(care * sd * rng.standard_normal(3)).apply(np.eye(3)[axis])

        change = np.sqrt(1.0 - POSE_HABIT) * POSE_SD
        forearm = SegmentAxes(off(0, change), off(1, AXIS_SD), off(0, change))
        hand = SegmentAxes(off(0, change), off(2, AXIS_SD), off(0, change), off(1, AXIS_SD))
        up = np.array([0.0, 1.0, 0.0])
        told.append(mount_axes(Calibration(forearm, hand, "guided"), up, up).axis_sd / AXIS_SD)
    assert np.sqrt(np.mean(np.square(told))) == pytest.approx(care, rel=0.25)


def test_doubt_of_both_mounts_is_that_of_drawn_calibrations() -> None:
    """`covariance` against mounts built from drawn axes: a wrist that is not straight is shared by forearm and hand."""
    rng = np.random.default_rng(8)
    up = np.array([0.0, 1.0, 0.0])
    found, doubt = [], np.zeros((6, 6))
    for _ in range(400):
        line, bend, straight = AXIS_SD * rng.standard_normal(2), AXIS_SD * rng.standard_normal(2), rng.standard_normal()
        poses = POSE_SD * rng.standard_normal((2, 3))
        volar = [Rotation.from_rotvec(p).apply([1.0, 0.0, 0.0]) for p in poses]
        axis = Rotation.from_rotvec([line[0] / SKIN_FOLLOW, 0.0, line[1] / SKIN_FOLLOW]).apply([0.0, 1.0, 0.0])
        turned = Rotation.from_rotvec([line[0] + STRAIGHT_SD * straight, 0.0, 0.0]).apply([0.0, 1.0, 0.0])
        flexing = Rotation.from_rotvec([bend[0], bend[1], 0.0]).apply([0.0, 0.0, 1.0])
        told = mount_axes(
            Calibration(SegmentAxes(volar[0], axis), SegmentAxes(volar[1], flexing, turning=turned), "guided"), up, up
        )
        found.append(np.concatenate([told.forearm.as_rotvec(), told.hand.as_rotvec()]))
        usual = MountAxes(
            told.forearm_volar,
            told.forearm_long,
            told.hand_volar,
            told.hand_flexion,
            POSE_SD,
            AXIS_SD,
            "guided",
            linked=True,
        )
        doubt += usual.covariance((0.0, 0.0)) / 400
    np.testing.assert_allclose(np.cov(np.array(found).T), doubt, atol=0.16 * float(doubt.max()))


def test_without_calibration_the_usual_way_to_wear_it_is_taken_with_its_doubt() -> None:
    up = np.array([0.0, 1.0, 0.0])
    mounts = mount_axes(None, up, up)
    assert mounts.source == "none"
    assert mounts.forearm.magnitude() == pytest.approx(0.0)
    assert mounts.pose_sd > 7.0 * DEG
    # worn upside down the usual way is ruled out by gravity
    upside_down = mount_axes(None, -up, up)
    np.testing.assert_allclose(upside_down.forearm.apply([0.0, 1.0, 0.0]), -up, atol=1e-9)


def test_main_axis_of_a_turning_movement() -> None:
    rng = np.random.default_rng(5)
    axis = unit(np.array([0.2, 1.0, -0.1]))
    swing = np.sin(np.linspace(0.0, 30.0, 2000))
    found, share = main_axis(3.0 * swing[:, None] * axis + rng.normal(0.0, 0.05, (2000, 3)))
    assert abs(found @ axis) == pytest.approx(1.0, abs=1e-4)
    assert share > 0.99


def test_rotation_from_columns_is_scipys() -> None:
    for matrix in Rotation.random(40, random_state=2).as_matrix():
        np.testing.assert_allclose(rotation_from_columns(*matrix.T).as_matrix(), matrix, atol=1e-12)


def test_mounts_are_proper_rotations() -> None:
    x, y = np.array([1.0, 0.05, 0.0]), np.array([0.0, 1.0, 0.1])
    for mount in (forearm_mount(unit(x), unit(y)), hand_mount(unit(x), unit(y))):
        assert np.linalg.det(mount.as_matrix()) == pytest.approx(1.0)

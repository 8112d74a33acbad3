"""Segment frames from markers: exact on exact markers, gaps filled or named, two markers on the no-twist rule."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from ferrule.frames.wrist import wrist_angles, wrist_rotation
from ferrule.sensing.markers import (
    SegmentFrames,
    angular_rate,
    fill_gaps,
    forearm_along,
    hand_along,
    long_axis,
    segment_frames,
)
from ferrule.units import DEG

QUICK = settings(derandomize=True, max_examples=40, deadline=None)
ANGLE = st.floats(-60.0, 60.0)


def three(rotation, side, place=(0.3, 1.0, -0.2), length=0.25, width=0.06):
    """Markers of a segment: proximal, radial, ulnar. Z is radial for a right limb, ulnar for a left one."""
    z = 1.0 if side == "right" else -1.0
    distal = np.asarray(place)
    return (
        distal + rotation.apply([0.0, length, 0.0]),
        distal + rotation.apply([0.0, 0.0, z * width / 2]),
        distal + rotation.apply([0.0, 0.0, -z * width / 2]),
    )


@QUICK
@given(st.integers(0, 10_000), st.sampled_from(["right", "left"]))
def test_three_markers_give_back_the_rotation(seed, side):
    truth = Rotation.random(5, rng=np.random.default_rng(seed))
    frames = segment_frames(*three(truth, side), side=side)
    assert frames.seen.all()
    assert (frames.rotation.inv() * truth).magnitude().max() < 1e-7


@QUICK
@given(ANGLE, ANGLE, st.sampled_from(["right", "left"]), st.integers(0, 100))
def test_wrist_angles_come_back_through_markers(flexion, deviation, side, seed):
    forearm = Rotation.random(1, rng=np.random.default_rng(seed))
    hand = forearm * wrist_rotation(flexion * DEG, deviation * DEG, 0.1, side=side)
    frames = [segment_frames(*three(r, side), side=side).rotation for r in (forearm, hand)]
    read = wrist_angles(*frames, side=side)
    assert read.flexion[0] / DEG == pytest.approx(flexion, abs=1e-6)
    assert read.ulnar_deviation[0] / DEG == pytest.approx(deviation, abs=1e-6)
    assert read.axial[0] == pytest.approx(0.1, abs=1e-7)


@QUICK
@given(ANGLE, ANGLE, st.sampled_from(["right", "left"]), st.sampled_from(["hand", "forearm"]))
def test_two_markers_suffice_for_flexion_and_deviation_of_a_wrist_that_does_not_twist(flexion, deviation, side, short):
    forearm = Rotation.random(1, rng=np.random.default_rng(1))
    hand = forearm * wrist_rotation(flexion * DEG, deviation * DEG, 0.0, side=side)
    seen = np.ones(1, dtype=bool)
    if short == "hand":
        axis = hand.apply([0.0, 1.0, 0.0])
        hand = hand_along(SegmentFrames(forearm, seen), axis).rotation
    else:
        axis = forearm.apply([0.0, 1.0, 0.0])
        forearm = forearm_along(SegmentFrames(hand, seen), axis).rotation
    read = wrist_angles(forearm, hand, side=side)
    assert read.flexion[0] / DEG == pytest.approx(flexion, abs=1e-6)
    assert read.ulnar_deviation[0] / DEG == pytest.approx(deviation, abs=1e-6)


def test_two_markers_cannot_give_the_twist():
    forearm = Rotation.identity(1)
    hand = forearm * wrist_rotation(0.0, 0.0, 20 * DEG, side="left")
    read = wrist_angles(
        forearm,
        hand_along(SegmentFrames(forearm, np.ones(1, dtype=bool)), hand.apply([0.0, 1.0, 0.0])).rotation,
        side="left",
    )
    assert read.axial[0] == pytest.approx(0.0, abs=1e-9)


def test_markers_in_line_are_not_a_frame():
    track = np.tile([[0.0, 0.25, 0.0]], (4, 1))
    radial, ulnar = np.zeros((4, 3)), np.tile([[0.0, 0.02, 0.0]], (4, 1))
    with pytest.raises(ValueError, match="no sample"):
        segment_frames(track, radial, ulnar, side="left")


def test_short_gaps_are_filled_and_long_ones_stay_open_and_both_are_named():
    t = np.arange(400) / 400.0
    track = 0.5 * np.column_stack([np.sin(12 * t), np.cos(12 * t), t])
    holed = track.copy()
    holed[100:115] = np.nan
    holed[200:260] = np.nan
    holed[390:] = np.nan
    filled, gaps = fill_gaps(t, {"WR": holed})
    assert [(g.filled, g.marker) for g in gaps] == [(True, "WR"), (False, "WR"), (False, "WR")]
    assert np.abs(filled["WR"][100:115] - track[100:115]).max() < 1e-3
    assert np.isnan(filled["WR"][200:260]).all()
    assert gaps[1].start_s == pytest.approx(t[199])
    assert gaps[1].end_s == pytest.approx(t[260])


def test_a_marker_that_was_never_there():
    t = np.arange(10) / 100.0
    filled, gaps = fill_gaps(t, {"A": np.full((10, 3), np.nan)})
    assert not gaps[0].filled
    assert np.isnan(filled["A"]).all()


def test_frames_are_carried_over_a_hole_and_marked():
    truth = Rotation.from_euler("Y", np.linspace(0.0, 1.0, 20)[:, None])
    markers = [np.array(m) for m in three(truth, "left")]
    markers[1][5:10] = np.nan
    frames = segment_frames(*markers, side="left")
    assert frames.seen.sum() == 15
    assert not frames.seen[5:10].any()
    assert (frames.rotation[7].inv() * truth[7]).magnitude() < 0.2


def test_rate_of_a_steady_turn():
    t = np.arange(200) / 400.0
    rate = np.array([3.0, -2.0, 5.0])
    rotation = Rotation.from_rotvec(rate * t[:, None]) * Rotation.from_euler("X", 0.3)
    assert angular_rate(t, rotation) == pytest.approx(np.tile(rate, (200, 1)), abs=1e-9)


def test_long_axis_points_to_the_proximal_end():
    assert long_axis(np.array([[0.0, 2.0, 0.0]]), np.zeros((1, 3))) == pytest.approx(np.array([[0.0, 1.0, 0.0]]))

"""Ways on a recorded swing: nothing changed is the swing itself, the geometry's identities, tolerances, monotone."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.analysis.recorded_ways import changed_traces, ways_on
from ferrule.analysis.recording import analyse_recording
from ferrule.analysis.recording_result import RecordingAnalysis
from ferrule.club.arrival import frozen_forearm, lean_in_plane
from ferrule.club.clubs import club_by_name
from ferrule.coaching.counterfactual import TOLERANCE, Change
from ferrule.errors import InputError
from ferrule.frames.rotations import RIGHT, rotation_about
from ferrule.simulator.lesson import simulate_lesson
from ferrule.units import DEG

SEVEN = club_by_name("7-iron")
PATTERNS = ("neutral", "flexed_early", "cupped_and_flipped")


@pytest.fixture(scope="module")
def recordings() -> list[RecordingAnalysis]:
    return [
        analyse_recording(simulate_lesson(seed=20 + i, pattern=p).recording, club=SEVEN, draws=20)
        for i, p in enumerate(PATTERNS)
    ]


def first(analysis):
    return next(s for s in analysis.swings if s.number == 1)


def way(analysis, change, **more):
    return ways_on(first(analysis), SEVEN, {"x": change}, **more)["x"]


def azimuth(normal):
    return np.arctan2(normal[..., 2], normal[..., 0])


def slope_at_end(time_s, value):
    """One-sided second-order difference over some 6 and 14 ms before the end."""
    k, m = (int(np.searchsorted(time_s, time_s[-1] - span)) for span in (0.006, 0.014))
    near, far = ((value[-1] - value[i]) / (time_s[-1] - time_s[i]) for i in (k, m))
    half, whole = time_s[-1] - time_s[k], time_s[-1] - time_s[m]
    return near + (near - far) * half / (whole - half)


def test_no_change_gives_the_recorded_swing_back_exactly(recordings):
    for analysis in recordings:
        swing, same = first(analysis), way(analysis, Change())
        assert same.delay == 0.0
        assert same.swing.readings == swing.readings
        assert same.swing.change == swing.change
        assert same.swing.events == swing.events
        assert same.swing.closing_rates == swing.closing_rates
        assert [s.parts for s in same.swing.closing] == [s.parts for s in swing.closing]
        for name in ("time_s", "flexion", "forearm_roll", "flexion_isb", "axial_isb", "shaft", "face_normal"):
            assert np.array_equal(getattr(same.swing.traces, name), getattr(swing.traces, name))
        assert np.array_equal(same.swing.traces.hand.as_quat(), swing.traces.hand.as_quat())
        assert same.outcome.face == swing.readings["impact"].face.value
        assert same.outcome.loft == swing.readings["impact"].delivered_loft.value
        assert same.swing.to_json("left") == swing.to_json("left")


@pytest.mark.parametrize("amount", [-8.0, 5.0, 12.0])
def test_frozen_forearm_is_one_rotation_about_the_recorded_flexion_axis(recordings, amount):
    for analysis in recordings:
        swing = first(analysis)
        traces = swing.traces
        new = changed_traces(swing, traces, Change(flexion=amount * DEG))
        # a left wrist flexes about -Z of the forearm once the skin's axial residue has turned it
        axial = rotation_about([0.0, 1.0, 0.0], -traces.axial[-1])
        axis = (traces.forearm[-1] * axial).apply(RIGHT)
        turn = rotation_about(axis, amount * DEG)
        np.testing.assert_allclose(new.face_normal[-1], turn.apply(traces.face_normal[-1]), atol=1e-9)
        np.testing.assert_allclose(new.shaft[-1], turn.apply(traces.shaft[-1]), atol=1e-9)
        assert np.linalg.norm(new.shaft, axis=1) == pytest.approx(1.0)


def test_frozen_forearm_agrees_with_the_delivery_model(recordings):
    """10 degrees of flexion lean the shaft about as far as the model's own rotation at this forearm-shaft angle."""
    for analysis in recordings:
        swing = first(analysis)
        new = changed_traces(swing, swing.traces, Change(flexion=10 * DEG))
        chi = np.arccos(-swing.traces.forearm[-1].apply([0.0, 1.0, 0.0]) @ swing.traces.shaft[-1])
        gained = lean_in_plane(new.shaft[-1], SEVEN.lie) - lean_in_plane(swing.traces.shaft[-1], SEVEN.lie)
        assert gained == pytest.approx(frozen_forearm(SEVEN, 10 * DEG, chi).lean, abs=1.5 * DEG)


def test_samples_before_takeaway_and_unmoved_joints_stay(recordings):
    for analysis in recordings:
        swing = first(analysis)
        new = changed_traces(swing, swing.traces, Change(flexion=10 * DEG, level_flexion=5 * DEG))
        before_top = swing.traces.time_s <= swing.events["top"].time_s
        assert np.array_equal(new.face_normal[before_top], swing.traces.face_normal[before_top])
        assert np.array_equal(new.forearm_roll, swing.traces.forearm_roll)
        assert np.array_equal(new.forearm.as_quat(), swing.traces.forearm.as_quat())
        level = np.interp(swing.events["shaft_level_down"].time_s, new.time_s, new.flexion - swing.traces.flexion)
        assert level == pytest.approx(5 * DEG, abs=0.5 * DEG)


def test_tolerances_agree_with_finite_differences_of_the_recorded_swing(recordings):
    for analysis in recordings:
        swing, outcome = first(analysis), way(analysis, Change()).outcome
        traces = swing.traces
        # arrival: how fast the recorded face turns over the ground, from its azimuth alone
        rate = -slope_at_end(traces.time_s, azimuth(traces.face_normal))
        assert outcome.arrival_tolerance == pytest.approx(TOLERANCE / rate, rel=0.05)
        # release: what the face loses when the recorded turning about the shaft comes a little later
        steps = (traces.hand[1:] * traces.hand[:-1].inv()).as_rotvec()
        along = -np.sum(steps * 0.5 * (traces.shaft[1:] + traces.shaft[:-1]), axis=1)
        missing = 0.001 * slope_at_end(traces.time_s, np.concatenate([[0.0], np.cumsum(along)]))
        back = rotation_about(traces.shaft[-1], missing).apply(traces.face_normal[-1])
        lost = azimuth(back) - azimuth(traces.face_normal[-1])
        assert outcome.release_tolerance == pytest.approx(TOLERANCE * 0.001 / lost, rel=0.05)


@settings(derandomize=True, max_examples=6, deadline=None)
@given(st.integers(0, 2), st.floats(1.0, 6.0), st.floats(1.0, 4.0))
def test_monotone_where_physics_says_so(recordings, which, small, more):
    signs = {"flexion": -1, "roll": -1, "grip": -1, "trail": -1, "lean": 1, "raised": 1, "aim": 1, "ball_forward": -1}
    changes = {"now": Change(), "level": Change(level_flexion=small * DEG)}
    for part in signs:
        unit = 0.004 if part == "ball_forward" else DEG
        changes |= {f"{part} {n}": Change(**{part: a * unit}) for n, a in ((1, small), (2, small + more))}
    out = {name: w.outcome for name, w in ways_on(first(recordings[which]), SEVEN, changes).items()}
    now = out["now"]
    for part, sign in signs.items():
        one, two = out[f"{part} 1"].face, out[f"{part} 2"].face
        assert sign * (one - now.face) > 0 and sign * (two - one) > 0, part
    assert out["flexion 2"].loft < out["flexion 1"].loft < now.loft
    assert out["flexion 2"].lean_seen > out["flexion 1"].lean_seen > now.lean_seen
    assert out["level"].shaft_open < now.shaft_open and out["level"].owed < now.owed


def test_grip_aim_and_handle_act_as_in_the_model(recordings):
    for analysis in recordings:
        now = way(analysis, Change()).outcome
        assert (way(analysis, Change(grip=4 * DEG)).outcome.face - now.face) / (4 * DEG) == pytest.approx(
            -0.885, abs=0.1
        )
        turned = way(analysis, Change(aim=3 * DEG)).outcome
        assert turned.face - now.face == pytest.approx(3 * DEG)
        assert turned.path - now.path == pytest.approx(3 * DEG)
        assert turned.lean_seen == pytest.approx(now.lean_seen)
        raised = way(analysis, Change(raised=4 * DEG)).outcome
        assert (raised.face - now.face) / (4 * DEG) == pytest.approx(np.tan(now.loft), abs=0.08)


def test_most_of_the_lean_is_given_back_at_arrival(recordings):
    for analysis in recordings:
        swing, after = first(analysis), way(analysis, Change(flexion=10 * DEG))
        frozen = changed_traces(swing, swing.traces, Change(flexion=10 * DEG))
        gained = lean_in_plane(frozen.shaft[-1], SEVEN.lie) - lean_in_plane(swing.traces.shaft[-1], SEVEN.lie)
        kept = after.outcome.lean_seen - way(analysis, Change()).outcome.lean_seen
        assert kept * np.sin(SEVEN.lie) == pytest.approx(0.12 * gained, abs=0.3 * DEG)
        assert after.delay > 0
        assert after.swing.events["impact"].time_s == swing.events["impact"].time_s + after.delay


def test_the_account_moves_with_the_joint_that_was_changed(recordings):
    for analysis in recordings:
        swing = first(analysis)
        new = way(analysis, Change(flexion=8 * DEG, level_flexion=8 * DEG, top=8 * DEG)).swing
        for old, span in zip(swing.closing, new.closing, strict=True):
            if (span.start, span.end) == ("address", "impact"):
                assert abs(span.parts["flexion"] - old.parts["flexion"]) > 1 * DEG
            assert abs(span.parts["residual"] - old.parts["residual"]) < 0.4 * DEG


def test_the_mirror_is_at_the_edge(recordings):
    """Everything inside is a right-hander's: for a left-handed golfer the same way opens to the other side of the world."""
    swing = way(recordings[0], Change(grip=3 * DEG)).swing
    right, left = (swing.to_json(h)["face"]["impact"]["face_deg"]["value"] for h in ("right", "left"))
    assert right == -left != 0.0


def test_swings_without_face_or_blow_are_refused_in_words(recordings):
    with pytest.raises(InputError, match="aim pose"):
        ways_on(replace(first(recordings[0]), traces=None), SEVEN, {"x": Change()})

"""A kept swing stands in for the analysis it was kept from."""

import numpy as np
import pytest

from ferrule.analysis.angles import AngleTrace, analyse_angles
from ferrule.analysis.kept_swing import face_told, kept_swing
from ferrule.analysis.recorded_ways import ways_on
from ferrule.analysis.recording import analyse_recording
from ferrule.app.analysis import trace_arrays
from ferrule.club.clubs import club_by_name
from ferrule.coaching.counterfactual import Change
from ferrule.errors import InputError
from ferrule.simulator.lesson import simulate_lesson
from ferrule.store.codec import pack_arrays, unpack_arrays
from ferrule.units import DEG

SEVEN = club_by_name("7-iron")
CHANGES = {
    "none": Change(),
    "flexed": Change(flexion=8 * DEG, level_flexion=8 * DEG, top=6 * DEG),
    "rolled": Change(roll=5 * DEG, level_roll=2 * DEG),
    "grip": Change(grip=6 * DEG, trail=4 * DEG),
    "ball": Change(ball_forward=0.03, aim=2 * DEG, raised=2 * DEG, lean=-3 * DEG),
}


@pytest.fixture(scope="module")
def swing():
    return analyse_recording(simulate_lesson(seed=20).recording, club=SEVEN, draws=0).swings[0]


def kept(swing, hand):
    arrays = unpack_arrays(pack_arrays(trace_arrays(swing.traces)))
    return kept_swing(swing.to_json(hand), swing.number, hand, arrays)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_answer_comes_back(swing, hand):
    told = swing.to_json(hand)
    again = kept(swing, hand).to_json(hand)
    for part in ("kind", "events", "time_up_s", "time_down_s", "quality"):
        assert again[part] == told[part]
    for part in ("wrist", "face"):
        for event, entries in told[part].items():
            for name, entry in entries.items():
                assert again[part][event][name] == pytest.approx(entry, abs=1e-9)
    for old, new in zip(told["closing_account"], again["closing_account"], strict=True):
        assert new == old | {"closing_deg": pytest.approx(old["closing_deg"], abs=1e-9)}
    for name, rates in told["closing_rates"].items():
        assert again["closing_rates"][name] == pytest.approx(rates)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_ways_on_the_kept_swing_are_those_on_the_analysis(swing, hand):
    """Traces are kept as 4-byte floats: a thousandth of a degree, and a thousandth of the tolerances."""
    more = {"path": 1.5 * DEG, "head_speed": 36.0}
    fresh, again = (ways_on(s, SEVEN, CHANGES, **more) for s in (swing, kept(swing, hand)))
    for name in CHANGES:
        a, b = fresh[name].outcome, again[name].outcome
        for part in ("face", "path", "loft", "lean_seen", "shaft_open", "owed", "flexion_impact", "flexion_level"):
            assert getattr(b, part) == pytest.approx(getattr(a, part), abs=1e-3 * DEG), (name, part)
        for part in ("rate", "release_tolerance", "arrival_tolerance", "arrival_m"):
            assert getattr(b, part) == pytest.approx(getattr(a, part), rel=2e-3), (name, part)
    assert again["none"].outcome.face == pytest.approx(swing.readings["impact"].face.value, abs=1e-12)


@pytest.mark.parametrize("without", ["face", "closing_rates"])
def test_a_swing_whose_face_was_not_told_is_refused(swing, without):
    told = swing.to_json("right") | {without: {}}
    assert face_told(swing.to_json("right"))
    assert not face_told(told)
    with pytest.raises(InputError, match="swing 3: expected a swing with a blow"):
        kept_swing(told, 3, "right", trace_arrays(swing.traces))


def test_ready_made_angles_have_no_face():
    time_s = np.arange(0.0, 2.0, 0.01)
    angles = {"flexion": 0.1 * np.sin(time_s), "ulnar_deviation": -0.2 * np.sin(time_s)}
    trace = AngleTrace(time_s, angles, ({"top": 0.8, "impact": 1.1},))
    told = analyse_angles(trace).swings[0].to_json()
    with pytest.raises(InputError, match="aim pose"):
        kept_swing(told, 1, "right", {"time_s": time_s} | angles)

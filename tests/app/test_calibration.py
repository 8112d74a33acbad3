"""What a dropped recording says about each step of the guided calibration."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from ferrule.app import jobs, recordings
from ferrule.app.calibration import SOURCES, STEPS, report_from, report_of
from ferrule.files.native import write_recording_csv
from ferrule.simulator import CalibrationPlan, SwingPlan, simulate_lesson
from ferrule.units import DEG


def made(plan, **more):
    return simulate_lesson(seed=5, swings=[SwingPlan()], rate_hz=200.0, calibration=plan, **more).recording


def states(recording):
    return {s.phase: s.state for s in report_of(recording).steps}


@pytest.fixture(scope="module")
def guided():
    return made(CalibrationPlan())


@pytest.mark.parametrize("labelled", [True, False])
def test_every_step_is_found_by_label_or_by_motion(guided, labelled):
    recording = guided if labelled else replace(guided, phase=None)
    report = report_of(recording)
    assert [s.phase for s in report.steps] == [s.phase for s in STEPS]
    assert {s.state for s in report.steps} == {"found"}
    assert report.source == "guided"
    assert "differs from the first by" in report.steps[-1].said
    assert report_from(report.to_json()) == report


def test_a_step_left_out_is_told_with_what_it_costs():
    report = report_of(made(CalibrationPlan(aiming=False, repeat=False)))
    assert {s.phase for s in report.steps if s.state == "missing"} == {"aim", "flat_hand_end"}
    assert "the face before impact" in next(s.said for s in report.steps if s.phase == "aim")


def test_the_flat_hand_alone_and_none_at_all():
    pose = report_of(made(CalibrationPlan(movements=False, repeat=False)))
    assert pose.source == "pose_only"
    none = report_of(made(CalibrationPlan.none()))
    assert (none.source, {s.state for s in none.steps}) == ("none", {"missing"})
    assert set(SOURCES) == {"guided", "pose_only", "none"}


def test_a_sensor_that_slips_between_the_poses_is_named(guided):
    after = np.flatnonzero(guided.phase == "flexion_extension")[-1]
    turned = Rotation.from_rotvec([0.0, 20.0 * DEG, 0.0])
    acc, gyr = guided.forearm.acc.copy(), guided.forearm.gyr.copy()
    acc[after:], gyr[after:] = turned.apply(acc[after:]), turned.apply(gyr[after:])
    slipped = replace(guided, forearm=replace(guided.forearm, acc=acc, gyr=gyr))
    told = report_of(slipped).steps[-1]
    assert told.state == "slipped"
    assert "the sensor on the forearm has slipped" in told.said


def test_a_movement_that_wobbles_or_breaks_off_is_told(guided):
    rng = np.random.default_rng(2)
    moving = guided.phase == "forearm_rotation"
    gyr = guided.forearm.gyr.copy()
    gyr[moving] += rng.normal(0.0, 2.0, (moving.sum(), 3))
    wobbly = replace(guided, forearm=replace(guided.forearm, gyr=gyr))
    told = report_of(wobbly).steps[3]
    assert (told.state, "wobbled" in told.said) == ("poor", True)
    phase = guided.phase.copy()
    phase[np.flatnonzero(phase == "flexion_extension")[400:]] = ""
    assert "Go on for 8 seconds" in report_of(replace(guided, phase=phase)).steps[4].said


@pytest.mark.parametrize("labelled", [True, False])
def test_the_report_stays_with_the_recording_and_serves_later_swings(ws, lesson, tmp_path, labelled):
    whole = made(CalibrationPlan(labelled=labelled))
    write_recording_csv(whole, tmp_path / "both.csv")
    dropped = recordings.import_recording(ws, lesson.id, (tmp_path / "both.csv").read_bytes(), "both.csv")
    assert (dropped.kind, dropped.calibration.source) == ("both", "guided")
    jobs.run_all(ws)
    done = recordings.recording(ws, dropped.id)
    assert (done.state, done.swings, done.calibration.source) == ("analysed", 1, "guided")
    write_recording_csv(made(CalibrationPlan.none()), tmp_path / "swing.csv")
    swing = recordings.import_recording(ws, lesson.id, (tmp_path / "swing.csv").read_bytes(), "swing.csv")
    assert (swing.kind, swing.calibration) == ("swings", None)

"""From a recording to the places that are drawn: against the simulator's exact truth."""

import base64
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from ferrule.app.analysis import Task, work_out_recording
from ferrule.app.swing_frames import ARM, EDGE, SwingFrames, frames_of, leading_edge
from ferrule.club.clubs import BAG
from ferrule.files.native import write_recording_csv
from ferrule.simulator.faults import Faults
from ferrule.simulator.lesson import SimulatedLesson, simulate_lesson
from ferrule.simulator.plans import CalibrationPlan, SwingPlan
from ferrule.store.codec import unpack_arrays

SHOULDER, WRIST, GRIP, HEEL, TOE = range(5)


@pytest.fixture(scope="module")
def lesson() -> SimulatedLesson:
    return simulate_lesson(seed=11, swings=[SwingPlan()], rate_hz=500)


def worked_out(lesson: SimulatedLesson, folder: Path) -> tuple[dict[str, Any], dict[str, Any]]:
    path = folder / "swing.csv"
    write_recording_csv(lesson.recording, path)
    outcome = work_out_recording(Task(path.read_bytes(), path.name, "right", BAG["7-iron"]))
    assert outcome.fault is None
    (swing,) = outcome.swings
    return unpack_arrays(swing.traces), swing.result


@pytest.fixture(scope="module")
def worked(lesson: SimulatedLesson, tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], dict[str, Any]]:
    return worked_out(lesson, tmp_path_factory.mktemp("frames"))


@pytest.fixture(scope="module")
def frames(worked: tuple[dict[str, Any], dict[str, Any]]) -> SwingFrames:
    made = frames_of(*worked, BAG["7-iron"].length)
    assert made is not None
    return made


def angle_deg(a: Any, b: Any) -> float:
    a, b = np.asarray(a), np.asarray(b)
    return float(np.degrees(np.arccos(np.clip(a @ b / np.linalg.norm(a) / np.linalg.norm(b), -1, 1))))


@pytest.mark.parametrize(("perfect", "shaft_deg", "edge_deg"), [(True, 1.0, 1.5), (False, 6.0, 15.0)])
def test_shaft_and_edge_point_where_they_truly_did(
    perfect: bool, shaft_deg: float, edge_deg: float, lesson: SimulatedLesson, tmp_path: Path
) -> None:
    """With perfect sensors nearly exactly; with usual ones as far off as the heading of the target lets them be."""
    if perfect:
        lesson = simulate_lesson(
            seed=11, swings=[SwingPlan()], faults=Faults.none(), calibration=CalibrationPlan.perfect()
        )
    arrays, result = worked_out(lesson, tmp_path)
    made = frames_of(arrays, result, BAG["7-iron"].length)
    assert made is not None
    truth = lesson.truth.swings[0]
    for event in ("top", "lead_arm_level_down", "shaft_level_down"):
        drawn = made.at(truth.events[event] - result["events"]["impact"]["time_s"]["value"])
        true = truth.at[event]
        assert angle_deg(drawn[HEEL] - drawn[GRIP], true.shaft) < shaft_deg, event
        assert angle_deg(drawn[TOE] - drawn[HEEL], true.toe) < edge_deg, event


def test_the_head_is_at_the_ball_at_address_and_at_impact(frames: SwingFrames) -> None:
    for k in (0, -1):
        middle = (frames.points[k, HEEL] + frames.points[k, TOE]) / 2
        assert np.linalg.norm(middle) < 1e-9
    assert frames.struck
    assert frames.aimed
    assert frames.time_s[-1] == pytest.approx(0.0, abs=1e-3)
    # ...and up in the air at the top, behind the ball.
    assert frames.at(frames.events["top"])[HEEL, 1] > 1.5


def test_limbs_keep_their_lengths_in_every_frame(frames: SwingFrames) -> None:
    def lengths(a: int, b: int) -> Any:
        return np.linalg.norm(frames.points[:, a] - frames.points[:, b], axis=1)

    np.testing.assert_allclose(lengths(SHOULDER, WRIST), ARM, atol=1e-9)
    np.testing.assert_allclose(lengths(GRIP, HEEL), BAG["7-iron"].length - 0.10, atol=1e-6)
    np.testing.assert_allclose(lengths(HEEL, TOE), EDGE, atol=1e-9)


def test_the_table_holds_every_frame_to_the_millimetre(frames: SwingFrames) -> None:
    rows = np.frombuffer(base64.b64decode(frames.table()), "<i2").reshape(len(frames.time_s), 16)
    np.testing.assert_allclose(rows[:, 0] / 1e4, frames.time_s, atol=5.1e-5)
    np.testing.assert_allclose(rows[:, 1:].reshape(-1, 5, 3) / 1e3, frames.points, atol=5.1e-4)
    assert len(frames.table()) < 20_000


def test_a_swing_without_a_blow_keeps_its_shoulder(worked: tuple[dict[str, Any], dict[str, Any]]) -> None:
    arrays, result = worked
    silent = {**result, "events": {k: v for k, v in result["events"].items() if k != "impact"}, "face": {}}
    made = frames_of(arrays, silent, 0.94)
    assert made is not None
    assert not made.struck
    assert not made.aimed
    np.testing.assert_allclose(made.points[:, SHOULDER], made.points[0, SHOULDER] * np.ones((len(made.points), 1)))


def test_too_little_is_not_drawn(worked: tuple[dict[str, Any], dict[str, Any]]) -> None:
    arrays, result = worked
    assert frames_of({}, result, 0.94) is None
    assert frames_of({k: v[:5] for k, v in arrays.items()}, result, 0.94) is None
    assert frames_of({**arrays, "shaft": np.full_like(arrays["shaft"], np.nan)}, result, 0.94) is None


@settings(derandomize=True, max_examples=40)
@given(st.integers(0, 10_000), st.floats(0.15, 1.1), st.floats(0.9, 1.2), st.floats(-0.2, 0.2))
def test_the_edge_is_carried_by_the_club(seed: int, loft: float, lie: float, face: float) -> None:
    """Any rigid turn of the club turns its edge alike: the plain formula beside the one from shaft and normal."""
    turns = Rotation.concatenate([Rotation.identity(), Rotation.random(6, rng=np.random.default_rng(seed))])
    about_up = Rotation.from_rotvec([0.0, -face, 0.0])
    shaft = np.array([0.0, -np.sin(lie), np.cos(lie)])
    normal = about_up.apply([np.cos(loft), np.sin(loft), 0.0])
    edge = about_up.apply([0.0, 0.0, 1.0])
    np.testing.assert_allclose(leading_edge(turns.apply(shaft), turns.apply(normal)), turns.apply(edge), atol=1e-7)

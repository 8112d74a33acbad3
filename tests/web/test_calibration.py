"""The calibration page: a drawing and a sentence for each step, the file's word beside each."""

from typing import Any

import pytest

from ferrule.app import golfers, lessons, recordings
from ferrule.app.calibration import STEPS
from ferrule.files.native import write_recording_csv
from ferrule.simulator import CalibrationPlan, simulate_lesson
from ferrule.web.pages.calibration import calibration_html
from ferrule.web.pictures.calibration import PICTURES, calibration_picture, seen_from


@pytest.mark.parametrize("phase", PICTURES)
def test_each_drawing_says_what_it_shows_and_from_where(phase: str) -> None:
    picture = str(calibration_picture(phase))
    assert seen_from(phase).split(" ", 1)[1] in picture
    assert "<text" not in picture
    assert "scale(-1,1)" in str(calibration_picture(phase, left_handed=True))


def test_a_step_for_each_drawing() -> None:
    assert [s.phase for s in STEPS] == list(PICTURES)


def test_what_the_file_said_stands_beside_each_step(workspace: Any, ask: Any, tmp_path: Any) -> None:
    golfer = golfers.add_golfer(workspace, name="Ida Holm", handedness="left")
    lesson = lessons.start_lesson(workspace, golfer.id)
    before = str(calibration_html(lesson, golfer))
    assert before.count("Skipped: ") == len(STEPS)
    assert "the right arm" in before
    plan = CalibrationPlan(movements=False, repeat=False)
    write_recording_csv(
        simulate_lesson(seed=5, swings=[], rate_hz=100.0, calibration=plan, handedness="left").recording,
        tmp_path / "c.csv",
    )
    recordings.import_recording(workspace, lesson.id, (tmp_path / "c.csv").read_bytes(), "c <i>.csv")
    html = str(calibration_html(lessons.lesson(workspace, lesson.id), golfer))
    assert html.count('data-state="found"') == 3
    assert html.count('data-state="missing"') == 3
    assert "Calibrated by the flat hand alone" in html
    assert "c &lt;i&gt;.csv" in html
    assert ask("GET", f"/lessons/{lesson.id}/calibration").status_code == 200

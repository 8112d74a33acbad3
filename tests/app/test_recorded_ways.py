"""The ways of a case on a swing that was recorded: from the coach's folder to the sentence."""

import pytest
from workers import invented

from ferrule.app import jobs, recordings
from ferrule.app import swings as striking
from ferrule.app.cases import options
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.recorded_ways import usual_recorded, ways_on_swing
from ferrule.app.swings import NewReading, add_swing, set_aside, set_reading
from ferrule.app.views import LessonView
from ferrule.app.workspace import Workspace
from ferrule.errors import NotFoundError


@pytest.fixture
def ball(ws: Workspace, lesson: LessonView, files: dict[str, bytes]) -> int:
    recordings.import_recording(ws, lesson.id, files["both"], "both.csv")
    jobs.run_all(ws)
    found = usual_recorded(ws, lesson.id, "7-iron")
    assert found is not None
    return found


def test_every_way_that_changes_something_is_worked_out_on_the_recording(
    ws: Workspace, lesson: LessonView, ball: int
) -> None:
    found = ways_on_swing(ws, ball)
    assert found is not None
    swing = striking.swing(ws, ball)
    read = swing.reading("delivery.face_deg", "sensor")
    assert read is not None
    assert found.number == swing.number
    assert found.recorded["face_deg"] == pytest.approx(read.value, abs=1e-9)
    told = {o["option"]: o for o in options(ws, lesson.golfer_id).to_json()["options"]}  # type: ignore[attr-defined]
    assert {o.option for o in found.options} <= told.keys() - {"leave_as_is", "keep_shape"}
    assert [o.rank for o in found.options] == sorted(o.rank for o in found.options)
    assert len(found.options) >= 3
    for option in found.options:
        assert option.outcome.keys() == found.recorded.keys() <= told[option.option].keys()
        assert option.sentence.startswith("The face would have arrived ")
        # The same change turns this swing's face about as far as it turns the golfer's usual delivery.
        now, usual = told["leave_as_is"]["face_deg"], told[option.option]["face_deg"]
        turned = option.outcome["face_deg"] - found.recorded["face_deg"]
        assert turned == pytest.approx(usual - now, abs=2.5), option.option


def test_it_follows_what_is_read_afterwards(ws: Workspace, ball: int) -> None:
    before = ways_on_swing(ws, ball)
    set_reading(ws, ball, NewReading("posture.forward_bend_address_deg", 44.0, 1.0, "video"))
    after = ways_on_swing(ws, ball)
    assert before is not None
    assert after is not None
    open_deg = "open_to_address_spine_deg"
    assert after.recorded[open_deg] - before.recorded[open_deg] == pytest.approx(44.0 - 36.0)
    assert after.recorded["face_deg"] == before.recorded["face_deg"]


def test_nothing_for_a_ball_without_a_recording_or_without_a_face(
    ws: Workspace, lesson: LessonView, ball: int, files: dict[str, bytes]
) -> None:
    assert ways_on_swing(ws, add_swing(ws, lesson.id, start="left", bend="straight").id) is None
    recordings.import_recording(ws, lesson.id, files["both"] + b"\n", "again.csv")
    jobs.run_all(ws, invented(1))
    faceless = max(s.id for s in read_lesson(ws, lesson.id).swings if s.method)
    assert faceless != ball
    assert ways_on_swing(ws, faceless) is None
    with pytest.raises(NotFoundError):
        ways_on_swing(ws, 10_000)
    assert usual_recorded(ws, lesson.id, "driver") is None
    faces = {}
    for swing in read_lesson(ws, lesson.id).swings:
        face = swing.reading("delivery.face_deg", "sensor")
        if face is not None:
            faces[swing.id] = face.value
    while faces:
        middle = usual_recorded(ws, lesson.id, "7-iron")
        assert middle is not None
        assert sorted(faces, key=lambda i: (faces[i], i))[len(faces) // 2] == middle
        set_aside(ws, middle, "mishit")
        del faces[middle]
    assert usual_recorded(ws, lesson.id, "7-iron") is None

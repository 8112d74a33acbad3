"""A watched folder: new files come into the open lesson once they stop growing, refusals are told, nothing comes twice."""

import os
import time
from datetime import timedelta
from threading import enumerate as threads

import pytest

from ferrule.app import lessons, undo, watched
from ferrule.app.finding import now
from ferrule.app.golfers import add_golfer
from ferrule.app.recordings import import_recording
from ferrule.app.settings import change_settings
from ferrule.app.watched import Watcher
from ferrule.errors import InputError
from ferrule.files.native import write_recording_csv
from ferrule.simulator import CalibrationPlan, SwingPlan, simulate_lesson


@pytest.fixture(scope="module")
def swing(tmp_path_factory):
    path = tmp_path_factory.mktemp("made") / "swing.csv"
    made = simulate_lesson(seed=5, swings=[SwingPlan()], rate_hz=100.0, calibration=CalibrationPlan.none())
    write_recording_csv(made.recording, path)
    return path.read_bytes()


@pytest.fixture
def inbox(ws, tmp_path):
    folder = tmp_path / "device"
    folder.mkdir()
    change_settings(ws, watched_folder=str(folder))
    return folder


def names(ws, lesson):
    return [r.file_name for r in lessons.lesson(ws, lesson.id).recordings]


def test_a_file_is_taken_once_it_has_stopped_growing(ws, lesson, inbox, swing):
    watcher = Watcher(ws)
    (inbox / "a.csv").write_bytes(swing[: len(swing) // 2])
    assert watcher.look()
    (inbox / "a.csv").write_bytes(swing)
    watcher.look()
    assert names(ws, lesson) == []
    watcher.look()
    assert names(ws, lesson) == ["a.csv"]
    for _ in range(3):
        watcher.look()
    assert names(ws, lesson) == ["a.csv"]
    Watcher(ws).look()
    again = Watcher(ws)
    again.look()
    again.look()
    assert names(ws, lesson) == ["a.csv"]  # a restart takes nothing twice


def test_what_cannot_be_taken_is_told_in_words_and_tried_again_when_it_changes(ws, lesson, inbox, swing):
    heard = []
    end = ws.feed.subscribe(heard.append)
    watcher = Watcher(ws)
    (inbox / "notes.csv").write_bytes(b"item,price\nmilk,2\n")
    (inbox / "holiday.jpg").write_bytes(b"\xff\xd8")
    (inbox / "still empty.csv").write_bytes(b"")
    for _ in range(4):
        watcher.look()
    (note,) = lessons.lesson(ws, lesson.id).watched
    assert note.file_name == "notes.csv"
    assert "expected" in note.words
    assert [c.what for c in heard] == ["watched_folder"]
    (inbox / "notes.csv").write_bytes(swing)
    watcher.look()
    watcher.look()
    assert names(ws, lesson) == ["notes.csv"]
    end()


def test_only_into_a_lesson_that_is_being_held_and_only_what_is_new(ws, golfer, inbox, swing):
    watcher = Watcher(ws)
    assert not watcher.look()
    old = inbox / "last week.csv"
    old.write_bytes(swing)
    os.utime(old, (time.time() - 7 * 86400,) * 2)
    first = lessons.start_lesson(ws, golfer.id, started_at=now() - timedelta(days=1))
    assert not watcher.look()
    other = add_golfer(ws, name="Tom", handedness="right")
    today, his = lessons.start_lesson(ws, golfer.id), lessons.start_lesson(ws, other.id)
    lessons.add_note(ws, today.id, "back with Ida")
    (inbox / "new.csv").write_bytes(swing)
    watcher.look()
    watcher.look()
    assert (names(ws, first), names(ws, today), names(ws, his)) == ([], ["new.csv"], [])
    lessons.end_lesson(ws, today.id)
    lessons.end_lesson(ws, his.id)
    assert not watcher.look()


def test_the_thread_rests_without_a_lesson_and_ends_with_the_server(ws, golfer, inbox, swing, monkeypatch):
    monkeypatch.setattr(watched, "EVERY_S", 0.05)
    looked = []
    watcher = Watcher(ws)
    real = watcher.look
    monkeypatch.setattr(watcher, "look", lambda: (looked.append(1), real())[1])
    watcher.start()
    time.sleep(0.5)
    assert len(looked) <= 2  # no lesson is open: nobody polls
    lesson = lessons.start_lesson(ws, golfer.id)
    (inbox / "a.csv").write_bytes(swing)
    for _ in range(100):
        if names(ws, lesson):
            break
        time.sleep(0.1)
    assert names(ws, lesson) == ["a.csv"]
    watcher.stop()
    assert not any(t.name == "watched folder" for t in threads())


def test_a_folder_that_is_not_there_is_refused_beside_its_field(ws, tmp_path):
    for wrong in (str(tmp_path / "nowhere"), "relative/path", str(ws.folder.path), str(ws.folder.path / "videos")):
        with pytest.raises(InputError) as error:
            change_settings(ws, watched_folder=wrong)
        assert error.value.faults[0].where == "watched_folder"
    assert change_settings(ws, watched_folder=f' "{tmp_path}" ').watched_folder == str(tmp_path)
    assert change_settings(ws, watched_folder="").watched_folder == ""


def test_what_was_taken_back_stays_away_after_a_restart(ws, lesson, inbox, swing):
    (inbox / "a.csv").write_bytes(swing)
    for _ in range(2):
        watcher = Watcher(ws)
        watcher.look()
        watcher.look()
        assert names(ws, lesson) == ["a.csv"]
    undo.undo(ws, lesson_id=lesson.id)
    for _ in range(2):
        watcher = Watcher(ws)
        watcher.look()
        watcher.look()
    assert names(ws, lesson) == []
    assert lessons.lesson(ws, lesson.id).watched == ()
    import_recording(ws, lesson.id, swing, "a.csv")  # dropped in by hand it is wanted after all
    assert names(ws, lesson) == ["a.csv"]


def test_a_folder_that_cannot_be_read_is_told_once(ws, lesson, inbox, swing, caplog):
    watcher = Watcher(ws)
    inbox.rmdir()
    for _ in range(3):
        assert watcher.look()
    (note,) = lessons.lesson(ws, lesson.id).watched
    assert str(inbox) in note.words
    assert "cannot be read" in note.words
    assert len([r for r in caplog.records if "cannot be read" in r.message]) == 1
    inbox.mkdir()  # plugged in again
    (inbox / "a.csv").write_bytes(swing)
    watcher.look()
    watcher.look()
    assert names(ws, lesson) == ["a.csv"]
    (inbox / "a.csv").unlink()
    inbox.rmdir()
    watcher.look()
    assert len(lessons.lesson(ws, lesson.id).watched) == 2

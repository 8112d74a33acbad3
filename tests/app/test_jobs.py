"""Recordings through the same door as a coach's: kept once, worked out in the background, taken up again after a kill."""

import numpy as np
import pytest
from sqlalchemy import func, select
from workers import invented

from ferrule.app import jobs, recordings
from ferrule.app import swings as s
from ferrule.app.analysis import METHOD, Outcome, Task, readings_of, work_out_recording
from ferrule.app.cases import case_of
from ferrule.app.golfers import add_golfer, golfer, put_club, record_consent
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.lessons import start_lesson
from ferrule.app.undo import redo, undo
from ferrule.app.views import LessonView
from ferrule.app.workspace import Workspace
from ferrule.club.clubs import BAG
from ferrule.errors import InputError
from ferrule.store.tables import Original, Recording


def test_a_dropped_recording_becomes_swings_with_results_and_readings(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    calibration = recordings.import_recording(ws, lesson.id, files["calibration"], "cal.csv")
    dropped = recordings.import_recording(ws, lesson.id, files["swing"], "C:\\export\\ball 1.csv")
    assert (calibration.kind, dropped.kind, dropped.file_name) == ("calibration", "swings", "ball 1.csv")
    assert (dropped.state, dropped.job.state, dropped.swings) == ("waiting", "waiting", 0)  # type: ignore[union-attr]
    assert [j.recording_id for j in recordings.jobs(ws)] == [dropped.id]
    assert jobs.run_all(ws) == 1
    done = recordings.recording(ws, dropped.id)
    assert (done.state, done.method, done.swings, done.job.state) == ("analysed", METHOD, 1, "done")  # type: ignore[union-attr]
    (ball,) = read_lesson(ws, lesson.id).swings
    swing = s.swing(ws, ball.id)
    assert swing.result["kind"] == "full_swing"  # type: ignore[index]
    shown = swing.result["wrist"]["impact"]["flexion_deg"]  # type: ignore[index]
    kept = swing.reading("wrist.impact.flexion_deg", "sensor")
    assert (kept.value, kept.sd) == (shown["value"], shown["sd"])  # type: ignore[union-attr]
    assert swing.reading("delivery.face_deg", "sensor") is not None
    traces = s.traces(ws, ball.id)
    assert traces["flexion"].shape == traces["time_s"].shape  # type: ignore[attr-defined]
    assert traces["hand"].shape[1] == 4  # type: ignore[attr-defined]
    case = case_of(ws, lesson.golfer_id)
    assert case.swings[0].mount == "a"
    assert recordings.original_bytes(ws, dropped.id) == ("ball 1.csv", files["swing"])


def test_the_same_bytes_are_kept_once_and_worked_out_once(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    first = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    assert recordings.import_recording(ws, lesson.id, files["swing"], "copy of a.csv", key="k").id == first.id
    jobs.run_all(ws, invented())
    assert recordings.import_recording(ws, lesson.id, files["swing"], "a.csv").swings == 2
    assert jobs.run_all(ws, invented()) == 0
    elsewhere = start_lesson(ws, lesson.golfer_id)
    recordings.import_recording(ws, elsewhere.id, files["swing"], "a.csv")
    with ws.reading() as session:
        assert session.scalar(select(func.count()).select_from(Original)) == 1
        assert session.scalar(select(func.count()).select_from(Recording)) == 2


def test_a_later_calibration_and_a_newer_method_work_the_swings_out_again_in_place(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    dropped = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    jobs.run_all(ws, invented(3))
    before = read_lesson(ws, lesson.id).swings
    s.set_strike(ws, before[0].id, "toe")
    s.set_flight(ws, before[2].id, shape="hook")
    recordings.import_recording(ws, lesson.id, files["calibration"], "cal.csv")
    assert recordings.recording(ws, dropped.id).state == "waiting"
    seen: list[Task] = []

    def work(task: Task) -> Outcome:
        seen.append(task)
        return invented(1)(task)

    jobs.run_all(ws, work)
    assert seen[0].calibration == files["calibration"]
    after = read_lesson(ws, lesson.id).swings
    # Ball 1 keeps its strike; ball 2 had nothing of the coach's and goes; ball 3 is set aside with its flight.
    assert [(b.id, b.strike, b.shape, b.set_aside) for b in after] == [
        (before[0].id, "toe", None, False),
        (before[2].id, None, "hook", True),
    ]
    monkeypatch.setattr(recordings, "METHOD", "next")
    monkeypatch.setattr(jobs, "METHOD", "next")
    recordings.analyse_again(ws, dropped.id)
    jobs.run_all(ws, invented(3))
    again = read_lesson(ws, lesson.id).swings
    assert [b.set_aside for b in again] == [False, False, False]
    assert {b.method for b in again} == {"next"}


def test_a_file_with_both_calibrates_the_files_after_it(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    early = recordings.import_recording(ws, lesson.id, files["swing"], "early.csv")
    both = recordings.import_recording(ws, lesson.id, files["both"], "both.csv")
    late = recordings.import_recording(ws, lesson.id, files["swing"] + b"\n", "late.csv")
    assert [recordings.recording(ws, r.id).kind for r in (early, both, late)] == ["swings", "both", "swings"]
    seen: list[Task] = []

    def work(task: Task) -> Outcome:
        seen.append(task)
        return invented(1)(task)

    jobs.run_all(ws, work)
    with_it = {t.file_name: t.calibration == files["both"] for t in seen if t.calibration}
    assert with_it == {"early.csv": True, "late.csv": True}
    assert len(read_lesson(ws, lesson.id).swings) == 3


def test_a_slow_recording_cannot_tell_an_air_swing(files: dict[str, bytes]) -> None:
    head, *rows = files["both"].splitlines(keepends=True)
    fast = work_out_recording(Task(files["both"], "fast.csv", "right", BAG["7-iron"]))
    slow = work_out_recording(Task(head + b"".join(rows[::2]), "slow.csv", "right", BAG["7-iron"]))
    assert [s.kind for s in fast.swings] == ["full_swing"]
    assert [s.set_aside for s in (*fast.swings, *slow.swings)] == ["", ""]


def test_other_mountings_keep_their_calibration(ws: Workspace, lesson: LessonView, files: dict[str, bytes]) -> None:
    recordings.import_recording(ws, lesson.id, files["calibration"], "cal.csv", mount="a")
    recordings.import_recording(ws, lesson.id, files["swing"], "s.csv", mount="b")
    seen: list[Task] = []

    def work(task: Task) -> Outcome:
        seen.append(task)
        return invented()(task)

    jobs.run_all(ws, work)
    assert [t.calibration for t in seen] == [None]


def test_another_club_or_mounting_works_the_swings_out_again(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    recordings.import_recording(ws, lesson.id, files["calibration"], "cal.csv", mount="b")
    dropped = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    jobs.run_all(ws, invented())
    changed = recordings.update_recording(ws, dropped.id, club="5-iron", mount="b")
    assert (changed.club, changed.mount, changed.state) == ("5-iron", "b", "waiting")
    seen: list[Task] = []

    def work(task: Task) -> Outcome:
        seen.append(task)
        return invented()(task)

    jobs.run_all(ws, work)
    assert (seen[0].club.name, seen[0].calibration) == ("5-iron", files["calibration"])
    assert {(b.club, b.mount) for b in read_lesson(ws, lesson.id).swings} == {("5-iron", "b")}
    recordings.update_recording(ws, dropped.id, club="7-iron", mount="a")  # back: known work, done once more
    jobs.run_all(ws, work)
    assert {(b.club, b.mount) for b in read_lesson(ws, lesson.id).swings} == {("7-iron", "a")}


def test_a_club_changed_while_the_work_goes_on_is_worked_out_with_its_new_loft(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    dropped = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    lofts: list[float] = []

    def work(task: Task) -> Outcome:
        if not lofts:
            put_club(ws, lesson.golfer_id, "7-iron", loft_deg=29)
        lofts.append(round(np.rad2deg(task.club.loft)))
        return invented(len(lofts))(task)

    assert jobs.run_all(ws, work) == 2
    assert lofts == [34, 29]
    done = recordings.recording(ws, dropped.id)
    assert (done.state, done.swings, done.job.state) == ("analysed", 2, "done")  # type: ignore[union-attr]


def test_what_is_not_a_full_swing_is_set_aside(ws: Workspace, lesson: LessonView, files: dict[str, bytes]) -> None:
    recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    jobs.run_all(ws, invented(3, ("full_swing", "air_swing", "half_swing")))
    balls = read_lesson(ws, lesson.id).swings
    assert [b.set_aside_why for b in balls] == ["", "no ball was struck", "a half swing"]
    assert len(case_of(ws, lesson.golfer_id).swings) == 1


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "an empty file"),
        (b"PK\x03\x04 holiday pictures" * 50, "expected"),
        (b"time_s,forearm_acc_x_mps2\n0,1\n", "expected"),
        (b"\xff\xfe\x00" * 1000, "expected"),
    ],
    ids=["empty", "zip", "columns", "noise"],
)
def test_what_is_no_recording_is_told_and_not_kept(
    ws: Workspace, lesson: LessonView, content: bytes, words: str
) -> None:
    with pytest.raises(InputError, match=words):
        recordings.import_recording(ws, lesson.id, content, "x.csv")
    with ws.reading() as session:
        assert session.scalar(select(func.count()).select_from(Original)) == 0
    assert read_lesson(ws, lesson.id).version == lesson.version


def test_fields_of_the_import_are_checked(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(InputError) as caught:
        recordings.import_recording(ws, lesson.id, b"x", " ", mount="", kind="film", profile="magic")
    assert [f.where for f in caught.value.faults] == ["file", "mount", "kind", "profile"]
    with pytest.raises(InputError, match="none saved yet"):
        recordings.import_recording(ws, lesson.id, files["swing"], "a.csv", mapping="mine")
    with pytest.raises(InputError, match="all axes"):
        recordings.save_mapping(ws, "mine", '{"schema": 1, "columns": {"time_s": "t"}}')
    monkeypatch.setattr(recordings, "LARGEST_BYTES", 10)
    with pytest.raises(InputError, match="a video or another kind of file"):
        recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")


def test_a_saved_mapping_reads_another_layout(ws: Workspace, lesson: LessonView, files: dict[str, bytes]) -> None:
    head, _, rest = files["swing"].partition(b"\n")
    names = head.decode().split(",")
    other = ",".join(f"c{i}" for i in range(len(names))).encode() + b"\n" + rest
    columns = ", ".join(f'"{name}": "c{i}"' for i, name in enumerate(names))
    recordings.save_mapping(ws, " my logger ", f'{{"schema": 1, "columns": {{{columns}}}}}')
    assert recordings.mappings(ws) == ["my logger"]
    recordings.import_recording(ws, lesson.id, other, "a.csv", mapping="my logger")
    jobs.run_all(ws)
    assert len(read_lesson(ws, lesson.id).swings) == 1


def test_a_recording_that_cannot_be_used_says_so_and_the_queue_goes_on(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    first = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    second = recordings.import_recording(ws, lesson.id, files["swing"] + b"\n", "b.csv")
    answers = iter([Outcome((), ({"code": "x", "severity": "fault", "where": "", "message": "m"},), "Too short.")])
    jobs.run_all(ws, lambda task: next(answers, None) or invented()(task))
    unusable = recordings.recording(ws, first.id)
    assert (unusable.state, unusable.job.message, unusable.issues[0]["message"]) == ("unusable", "Too short.", "m")  # type: ignore[union-attr]
    assert recordings.recording(ws, second.id).state == "analysed"


def test_taking_back_an_import_and_doing_it_again(ws: Workspace, lesson: LessonView, files: dict[str, bytes]) -> None:
    dropped = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    jobs.run_all(ws, invented())
    undo(ws, lesson_id=lesson.id)
    gone = read_lesson(ws, lesson.id)
    assert (gone.recordings, gone.swings) == ((), ())
    redo(ws, lesson_id=lesson.id)
    assert read_lesson(ws, lesson.id).recordings[0].id == dropped.id
    jobs.run_all(ws, invented())
    assert len(read_lesson(ws, lesson.id).swings) == 2


def test_bytes_of_an_import_taken_back_go_at_the_next_start(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    undo(ws, lesson_id=lesson.id)
    assert count(ws, Original) == 1
    ws.close()
    with Workspace(ws.folder.path) as again:
        assert count(again, Original) == 0
        assert read_lesson(again, lesson.id).can_redo is None
        assert recordings.import_recording(again, lesson.id, files["swing"], "a.csv").state == "waiting"


def count(ws: Workspace, table: type) -> int:
    with ws.reading() as session:
        return session.scalar(select(func.count()).select_from(table)) or 0


def test_a_cancelled_job_waits_to_be_asked_again(ws: Workspace, lesson: LessonView, files: dict[str, bytes]) -> None:
    dropped = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    assert dropped.job is not None
    recordings.cancel_job(ws, dropped.job.id)
    assert jobs.run_all(ws, invented()) == 0
    recordings.analyse_again(ws, dropped.id)
    assert jobs.run_all(ws, invented()) == 1


def test_a_childs_recording_waits_for_consent(ws: Workspace, files: dict[str, bytes]) -> None:
    child = add_golfer(ws, name="Mia", handedness="right", age_group="junior")
    lesson = start_lesson(ws, child.id)
    with pytest.raises(InputError) as caught:
        recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    assert caught.value.faults[0].code == "consent_needed"
    s.add_swing(ws, lesson.id, shape="draw")
    record_consent(ws, child.id, carer_name="Jo", golfer_agreed=True)
    assert golfer(ws, child.id).may_be_recorded
    assert recordings.import_recording(ws, lesson.id, files["swing"], "a.csv").state == "waiting"


def test_left_hander_and_own_club_reach_the_analysis(ws: Workspace, files: dict[str, bytes]) -> None:
    lefty = add_golfer(ws, name="Jon", handedness="left")
    put_club(ws, lefty.id, "5-iron", loft_deg=24)
    lesson = start_lesson(ws, lefty.id)
    recordings.import_recording(ws, lesson.id, files["swing"], "a.csv", club="5-iron")
    seen: list[Task] = []

    def work(task: Task) -> Outcome:
        seen.append(task)
        return invented()(task)

    jobs.run_all(ws, work)
    assert (seen[0].handedness, seen[0].club.name) == ("left", "5-iron")
    assert np.rad2deg(seen[0].club.loft) == pytest.approx(24)


def test_the_face_is_carried_as_a_sensors_face() -> None:
    estimate = {"value": 3.0, "sd": 1.5}
    readings = readings_of(
        {
            "wrist": {"top": {"flexion_deg": estimate}},
            "face": {
                "impact": {"face_deg": estimate, "edge_tilt_deg": estimate},
                "shaft_level_down": {"face_deg": estimate, "edge_tilt_deg": estimate},
            },
        }
    )
    assert readings == dict.fromkeys(
        ("wrist.top.flexion_deg", "delivery.face_deg", "leading_edge_tilt_shaft_level_deg"), (3.0, 1.5)
    )

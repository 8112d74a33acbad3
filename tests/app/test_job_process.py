"""The job processes: low priority, killed and taken up again, several at a time in the order they came."""

import os
import signal
import time
from threading import Event

import pytest
from sqlalchemy import func, select, update
from workers import invented, wait_for

from ferrule.app import jobs, recordings
from ferrule.app.analysis import Outcome, Task, work_out_recording
from ferrule.app.job_process import JobProcessDied
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.undo import undo
from ferrule.app.views import LessonView
from ferrule.app.workspace import Workspace
from ferrule.club.clubs import BAG
from ferrule.store.backup import check
from ferrule.store.tables import Job, SwingResult


def test_the_job_process_is_low_priority_survives_a_kill_and_ends_with_the_server(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    heard = Event()
    ws.feed.subscribe(lambda change: heard.set() if change.what == "job_done" else None)
    runner = jobs.JobRunner(ws)
    runner.start()
    try:
        dropped = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
        wait_for(lambda: runner.process_id is not None)
        pid = runner.process_id
        assert pid is not None
        os.kill(pid, signal.SIGKILL)
        assert heard.wait(60)
        done = recordings.recording(ws, dropped.id)
        assert (done.state, done.swings) == ("analysed", 1)
        again = runner.process_id
        assert again not in (None, pid)
        assert os.getpriority(os.PRIO_PROCESS, again or 0) >= 10
    finally:
        runner.stop()
    wait_for(lambda: runner.process_id is None)
    with pytest.raises(ProcessLookupError):
        os.kill(again or 0, 0)


def test_a_task_that_kills_its_process_every_time_fails_in_words(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    dropped = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")

    def dies(_: Task) -> Outcome:
        raise JobProcessDied("out of memory")

    assert jobs.run_all(ws, dies) == jobs.ATTEMPTS
    failed = recordings.recording(ws, dropped.id).job
    assert failed is not None
    assert (failed.state, "stopped 3 times (out of memory)" in failed.message) == ("failed", True)


def test_a_running_job_is_taken_up_again_at_the_next_start(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    with ws.change("killed in the middle", in_book=False) as change:
        change.session.execute(update(Job).values(state="running"))
    assert jobs.run_all(ws, invented()) == 1
    assert len(read_lesson(ws, lesson.id).swings) == 2


def test_an_outcome_that_comes_too_late_is_dropped(ws: Workspace, lesson: LessonView, files: dict[str, bytes]) -> None:
    recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")

    def meanwhile_undone(task: Task) -> Outcome:
        undo(ws, lesson_id=lesson.id)
        return invented()(task)

    jobs.run_all(ws, meanwhile_undone)
    assert read_lesson(ws, lesson.id).swings == ()
    with ws.reading() as session:
        assert session.scalar(select(func.count()).select_from(SwingResult)) == 0
    assert check(ws.folder.path).clean


def test_the_real_worker_tells_a_fault_as_an_outcome(files: dict[str, bytes]) -> None:
    outcome = work_out_recording(Task(b"nonsense", "x.csv", "right", BAG["7-iron"]))
    assert outcome.swings == ()
    assert outcome.fault


def test_two_at_a_time_are_kept_in_the_order_they_came(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    dropped = [recordings.import_recording(ws, lesson.id, files["swing"] + b"\n" * i, f"{i}.csv") for i in range(5)]
    runner = jobs.JobRunner(ws, workers=2)

    def slow_first(task: Task) -> Outcome:
        time.sleep(0.3 if task.file_name in ("0.csv", "3.csv") else 0.0)
        return work_out_recording(task)

    runner._hands = [jobs._Hand(slow_first), jobs._Hand(slow_first)]
    runner.start()
    try:
        for _ in range(300):
            if not recordings.jobs(ws):
                break
            time.sleep(0.1)
    finally:
        runner.stop()
    order = [each.recording_id for each in sorted(read_lesson(ws, lesson.id).swings, key=lambda each: each.number or 0)]
    assert order == sorted(order, key=lambda each: each or 0)
    assert {r.id for r in dropped} == set(order)


def test_work_under_way_can_be_stopped_and_taken_up_again(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    dropped = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    recordings.import_recording(ws, lesson.id, files["swing"] + b"\n", "b.csv")

    def stopping(task: Task) -> Outcome:
        assert recordings.cancel_jobs(ws, lesson.id) == 2
        return work_out_recording(task)

    jobs.run_all(ws, stopping)
    views = read_lesson(ws, lesson.id).recordings
    assert [(r.job and r.job.state, r.swings) for r in views] == [("cancelled", 0)] * 2
    again = recordings.analyse_again(ws, dropped.id)
    assert again.job
    assert again.job.state == "waiting"
    jobs.run_all(ws)
    assert recordings.recording(ws, dropped.id).swings == 1


def test_the_estimate_comes_from_what_the_last_ones_took(
    ws: Workspace, lesson: LessonView, files: dict[str, bytes]
) -> None:
    first = recordings.import_recording(ws, lesson.id, files["swing"], "a.csv")
    assert first.job
    assert first.job.left_s is None  # nothing to go by yet
    jobs.run_all(ws)
    later = [recordings.import_recording(ws, lesson.id, files["swing"] + b"\n" * i, f"{i}.csv") for i in range(1, 4)]
    views = [recordings.recording(ws, r.id).job for r in later]
    left = [v.left_s or 0.0 for v in views if v]
    assert 0 < left[0] < left[1] < left[2]

"""Background work: jobs are rows, taken one by one in the order of their queueing, and survive a kill.

A job that was running when the server died is waiting again at the next start. Its outcome is committed at once:
either all swings of a recording with the mark "done", or nothing.
"""

import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Condition, Event, Thread
from typing import Final

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from ferrule.app.analysis import METHOD, Outcome, RecordedSwing, Task, work_out_recording
from ferrule.app.calibration import CALIBRATION
from ferrule.app.feed import Change
from ferrule.app.finding import found, now
from ferrule.app.golfers import club_of
from ferrule.app.job_process import JobProcess, JobProcessDied
from ferrule.app.recordings import WORKERS, content_key, mapping_of, queue
from ferrule.app.swing_rows import NewReading, lesson_and_hand, next_number, put_reading
from ferrule.app.workspace import Workspace
from ferrule.errors import FerruleError
from ferrule.store.codec import unpack_bytes
from ferrule.store.tables import BallFlight, Club, Job, Original, Reading, Recording, Swing, SwingResult

log = logging.getLogger(__name__)
ATTEMPTS: Final = 3
NOT_FOUND_AGAIN: Final = "no longer found in the recording"

Worker = Callable[[Task], Outcome]


@dataclass(frozen=True, slots=True)
class _Claimed:
    job_id: int
    recording_id: int
    task: Task


class JobRunner:
    """Does the jobs of a workspace, several side by side, each in a process of its own (or by `worker`, for tests).

    What comes of them is kept in the order in which they were queued, so that balls are numbered as they were dropped in.
    """

    def __init__(self, ws: Workspace, worker: Worker | None = None, workers: int = WORKERS) -> None:
        self._ws = ws
        self._hands = [_Hand(worker) for _ in range(1 if worker is not None else workers)]
        self._order = _Order()
        self._stopping = Event()
        self._end_of_feed: Callable[[], None] = lambda: None

    @property
    def process_id(self) -> int | None:
        """Id of a job process while one runs."""
        return next((hand.process.pid for hand in self._hands if hand.process and hand.process.pid), None)

    def start(self) -> None:
        """Begin; jobs that a dead server left running are taken up again."""
        recover(self._ws)
        self._end_of_feed = self._ws.feed.subscribe(self._heard)
        for number, hand in enumerate(self._hands, 1):
            hand.thread = Thread(target=self._run, args=(hand,), name=f"jobs {number}", daemon=True)
            hand.thread.start()
            hand.wake.set()

    def stop(self) -> None:
        """End at once. A job under way goes back to the queue."""
        self._stopping.set()
        self._end_of_feed()
        for hand in self._hands:
            hand.wake.set()
            if hand.process is not None:
                hand.process.stop()
        self._order.give_up()
        begun = [hand.thread for hand in self._hands if hand.thread is not None]
        for thread in begun:
            thread.join()
        if begun:
            recover(self._ws)

    def _heard(self, change: Change) -> None:
        for hand in self._hands:
            hand.wake.set()
        if change.what == "cancel_job":
            self._stop_cancelled()

    def _stop_cancelled(self) -> None:
        busy = {hand.job_id: hand for hand in self._hands if hand.job_id is not None}
        with self._ws.reading() as session:
            gone = session.scalars(select(Job.id).where(Job.id.in_(busy), Job.state == "cancelled")).all()
        for job_id in gone:
            process = busy[job_id].process
            if process is not None:
                process.stop()

    def _run(self, hand: "_Hand") -> None:
        while not self._stopping.is_set():
            hand.wake.wait()
            hand.wake.clear()
            try:
                while not self._stopping.is_set() and do_next(self._ws, hand.work, self._order, hand):
                    pass
            except Exception:
                if not self._stopping.is_set():
                    log.exception("background work stumbled; it goes on with the next change")


class _Hand:
    """One worker: its process, its thread, the job it has in hand."""

    def __init__(self, worker: Worker | None) -> None:
        self.process = JobProcess() if worker is None else None
        self._worker = worker
        self.thread: Thread | None = None
        self.wake = Event()
        self.job_id: int | None = None

    def work(self, task: Task) -> Outcome:
        """Work a task out."""
        if self._worker is not None:
            return self._worker(task)
        assert self.process is not None
        return self.process.run(work_out_recording, task)


class _Order:
    """Lets outcomes be kept in the order in which their jobs were taken up."""

    def __init__(self) -> None:
        self._turns: list[int] = []
        self._changed = Condition()
        self._over = False

    @contextmanager
    def taking(self) -> Iterator[Callable[[int], None]]:
        """While a job is claimed: nobody else claims, so that turns stand in the order of the jobs."""
        with self._changed:
            yield self._turns.append

    @contextmanager
    def turn(self, job_id: int) -> Iterator[None]:
        """Wait for this job's turn, and let the next one go when it is over."""
        with self._changed:
            self._changed.wait_for(lambda: self._over or self._turns[:1] in ([job_id], []))
        try:
            yield
        finally:
            with self._changed:
                if job_id in self._turns:
                    self._turns.remove(job_id)
                self._changed.notify_all()

    def give_up(self) -> None:
        """Nobody waits any longer."""
        with self._changed:
            self._over = True
            self._changed.notify_all()


def run_all(ws: Workspace, worker: Worker = work_out_recording) -> int:
    """Do every waiting job here and now; for the shell and for tests. Returns how many were done."""
    recover(ws)
    done = 0
    while do_next(ws, worker):
        done += 1
    return done


def recover(ws: Workspace) -> None:
    """Put jobs back into the queue that were running when their server ended."""
    with ws.reading() as session:
        if session.scalar(select(Job.id).where(Job.state == "running").limit(1)) is None:
            return
    with ws.change("recover_jobs", in_book=False) as change:
        change.session.execute(update(Job).where(Job.state == "running").values(state="waiting", started_at=None))


def do_next(ws: Workspace, worker: Worker, order: _Order | None = None, hand: _Hand | None = None) -> bool:
    """Do the next waiting job; False when there is none."""
    turns = order or _Order()
    with turns.taking() as take:
        claimed = _claim(ws)
        if claimed is None:
            return False
        take(claimed.job_id)
    if hand is not None:
        hand.job_id = claimed.job_id
    outcome, died = None, ""
    try:
        outcome = worker(claimed.task)
    except JobProcessDied as error:
        died = str(error)
    finally:
        if hand is not None:
            hand.job_id = None
        with turns.turn(claimed.job_id):
            if outcome is not None:
                _keep(ws, claimed, outcome)
            elif died:
                _give_back(ws, claimed, died)
    return True


def _claim(ws: Workspace) -> _Claimed | None:
    with ws.reading() as session:
        if session.scalar(select(Job.id).where(Job.state == "waiting").limit(1)) is None:
            return None
    with ws.change("job_started", in_book=False) as change:
        session = change.session
        job = session.scalar(select(Job).where(Job.state == "waiting").order_by(Job.id).limit(1))
        if job is None:
            return None
        row = found(session, Recording, job.recording_id)
        change.lesson_id = row.lesson_id
        job.state, job.started_at, job.attempts, job.message = "running", now(), job.attempts + 1, ""
        return _Claimed(job.id, row.id, _task(session, row))


def _task(session: Session, row: Recording) -> Task:
    _, hand = lesson_and_hand(session, row.lesson_id)
    calibration = session.get(Recording, row.calibration_id) if row.calibration_id else None
    return Task(
        content=_bytes(session, row),
        file_name=row.file_name,
        handedness=hand,
        club=club_of(found(session, Club, row.club_id)),
        profile=row.profile,
        mapping=mapping_of(session, row),
        calibration=_bytes(session, calibration) if calibration else None,
        calibration_name=calibration.file_name if calibration else "",
        calibration_mapping=mapping_of(session, calibration) if calibration else None,
    )


def _bytes(session: Session, row: Recording) -> bytes:
    original = session.get_one(Original, row.sha256)
    session.expunge(original)
    return unpack_bytes(original.packing, original.content)


def _give_back(ws: Workspace, claimed: _Claimed, why: str) -> None:
    with ws.change("job_stopped", in_book=False) as change:
        job = change.session.get(Job, claimed.job_id)
        if job is None or job.state != "running":
            return
        change.lesson_id = found(change.session, Recording, job.recording_id).lesson_id
        if job.attempts < ATTEMPTS:
            job.state, job.started_at = "waiting", None
        else:
            job.state, job.ended_at = "failed", now()
            job.message = f"The analysis stopped {ATTEMPTS} times ({why}). The recording is kept; try again later."


def _keep(ws: Workspace, claimed: _Claimed, outcome: Outcome) -> None:
    try:
        with ws.change("job_done", in_book=False) as change:
            session = change.session
            job = session.get(Job, claimed.job_id)
            row = session.get(Recording, claimed.recording_id)
            if job is None or row is None or job.state != "running":
                return  # erased, undone or taken off the queue meanwhile
            change.lesson_id = row.lesson_id
            job.state, job.ended_at = "done", now()
            if job.content_key != content_key(session, row):
                queue(session, row, again=True)  # hand, club or calibration changed meanwhile: this answer is of before
                return
            row.method = METHOD
            kept = {k: v for k, v in (row.issues or {}).items() if k == CALIBRATION}
            row.issues = {"issues": list(outcome.issues), **kept}
            row.state = "unusable" if outcome.fault else "analysed"
            job.message = outcome.fault or ""
            if not outcome.fault:
                _keep_swings(session, row, outcome.swings)
    except FerruleError:
        log.exception("the outcome of job %d could not be kept", claimed.job_id)


def _keep_swings(session: Session, row: Recording, swings: tuple[RecordedSwing, ...]) -> None:
    known = {s.number_in_recording: s for s in session.scalars(select(Swing).where(Swing.recording_id == row.id))}
    for made in swings:
        swing = known.pop(made.number, None)
        if swing is None:
            swing = Swing(
                lesson_id=row.lesson_id, club_id=row.club_id, number=next_number(session, row.lesson_id),
                made_at=row.imported_at, mount=row.mount, recording_id=row.id, number_in_recording=made.number,
            )  # fmt: skip
            if made.set_aside:
                swing.set_aside_at, swing.set_aside_why = now(), made.set_aside
            session.add(swing)
            session.flush()
        elif swing.set_aside_why == NOT_FOUND_AGAIN:
            swing.set_aside_at, swing.set_aside_why = None, ""
        swing.mount, swing.club_id = row.mount, row.club_id
        _keep_result(session, swing, made)
    for gone in known.values():
        _let_go(session, gone)


def _keep_result(session: Session, swing: Swing, made: RecordedSwing) -> None:
    result = session.get(SwingResult, swing.id)
    if result is None:
        result = SwingResult(swing_id=swing.id)
        session.add(result)
    result.method, result.result, result.traces, result.worked_out_at = METHOD, made.result, made.traces, now()
    for key, (value, sd) in made.readings.items():
        put_reading(session, swing, NewReading(key, value, sd, "sensor"), value)
    stale = select(Reading).where(Reading.swing_id == swing.id, Reading.how == "sensor")
    for reading in session.scalars(stale).all():
        if reading.key not in made.readings and reading.device_id is None:
            session.delete(reading)
    session.flush()


def _let_go(session: Session, swing: Swing) -> None:
    """A swing the newer analysis does not find: it goes, unless the coach entered something for it."""
    typed = session.scalar(select(Reading.id).where(Reading.swing_id == swing.id, Reading.how != "sensor").limit(1))
    if typed is None and swing.strike is None and session.get(BallFlight, swing.id) is None:
        session.delete(swing)
    elif swing.set_aside_at is None:
        swing.set_aside_at, swing.set_aside_why = now(), NOT_FOUND_AGAIN

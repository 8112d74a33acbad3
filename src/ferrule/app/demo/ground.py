"""Builds the practice ground into a data folder: once, through the same doors as a coach, and after a break goes on.

Golfers, interviews, notes and typed balls come first and quickly, so that pages can be served. The recordings are then
simulated one after the other in a process of their own, the newest lesson first, and dropped in like a coach's files.
"""

import logging
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from threading import Event, Thread
from typing import Final

from sqlalchemy import select

from ferrule.app import cold_tests, plans, swings, trials
from ferrule.app import lessons as teaching
from ferrule.app.cases import answer_look
from ferrule.app.demo.dates import date_back, date_golfer_back, date_report_back
from ferrule.app.demo.files import Simulation, seen_flight, simulated_file
from ferrule.app.demo.people import FLIGHT_SEEN_M, PEOPLE, PLACE
from ferrule.app.demo.script import Ball, DemoGolfer, DemoLesson
from ferrule.app.devices import add_device, answer_sign, measure_of
from ferrule.app.finding import now
from ferrule.app.golfers import GolferFields, add_golfer, take_club, update_golfer
from ferrule.app.job_process import JobProcess, JobProcessDied
from ferrule.app.recordings import import_recording, recording
from ferrule.app.swing_rows import NewReading
from ferrule.app.workspace import Workspace
from ferrule.errors import FerruleError, NotFoundError
from ferrule.frames.handedness import Handedness
from ferrule.store.tables import Entry, Setting

log = logging.getLogger(__name__)
FLAG: Final = "demo_ground"
Simulate = Callable[[Simulation], bytes]


@dataclass(frozen=True, slots=True)
class DemoProgress:
    """How many recordings of how many are worked out, flights and all."""

    done: int
    of: int

    @property
    def finished(self) -> bool:
        """True when the ground is complete."""
        return self.done >= self.of


class DemoGround:
    """The practice ground in an open folder. `lay_out()`, then `start()` beside a running JobRunner."""

    def __init__(self, ws: Workspace, simulate: Simulate | None = None) -> None:
        self._ws = ws
        self._process = JobProcess() if simulate is None else None
        self._simulate: Simulate = simulate or self._in_process
        self._thread: Thread | None = None
        self._stopping = Event()
        self._changed = Event()
        self._done = 0
        self._files = [(p, i) for p in PEOPLE for i, lesson in enumerate(p.lessons) if lesson.file is not None]
        self._files.sort(key=lambda f: f[0].lessons[f[1]].days_ago)

    @property
    def progress(self) -> DemoProgress:
        """How far the recordings are."""
        of = len(self._files)
        return DemoProgress(of if self._state() == "finished" else self._done, of)

    def lay_out(self) -> None:
        """Everything but the recordings. Does nothing when it was done before; goes on where it was broken off."""
        if self._state() in {"laid out", "finished"}:
            return
        for person in PEOPLE:
            self._golfer(person)
        self._set_state("laid out")

    def start(self) -> None:
        """Begin with the recordings, in a thread."""
        if self._state() == "finished" or self._thread is not None:
            return
        self._thread = Thread(target=self._run, name="demo", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Break off; `start()` of the next time goes on."""
        self._stopping.set()
        self._changed.set()
        if self._process is not None:
            self._process.stop()
        if self._thread is not None:
            self._thread.join()
            self._thread = None

    def wait(self, seconds: float) -> bool:
        """Wait until the recordings are done, at most so long; True when they are."""
        if self._thread is not None:
            self._thread.join(seconds)
        return self._state() == "finished"

    # -- recordings ---------------------------------------------------------------------------------------------------

    def _run(self) -> None:
        end_of_feed = self._ws.feed.subscribe(lambda _change: self._changed.set())
        try:
            waiting: deque[tuple[DemoGolfer, int, int]] = deque()
            for person, index in self._files:
                if self._stopping.is_set():
                    return
                waiting.append((person, index, self._import(person, index)))
                while waiting and self._is_worked_out(waiting[0][2]):
                    self._finish(*waiting.popleft())
            while waiting and self._wait_for(waiting[0][2]):
                self._finish(*waiting.popleft())
            if not waiting:
                self._set_state("finished")
        except (FerruleError, JobProcessDied) as error:
            if not self._stopping.is_set():
                log.warning("the practice ground could not be finished now: %s", error)
        finally:
            end_of_feed()

    def _import(self, person: DemoGolfer, index: int) -> int:
        lesson = person.lessons[index]
        key = f"{_key(person, index)}/file"
        made = self._made(key)
        if made is not None:
            return made
        assert lesson.file is not None
        hand: Handedness = "left" if person.handedness == "left" else "right"
        content = self._simulate(Simulation(lesson.file, hand, lesson.club))
        lesson_id = self._made(_key(person, index))
        if lesson_id is None:
            raise NotFoundError(f"The lesson of {person.name} is not there any more.")
        row = import_recording(self._ws, lesson_id, content, lesson.file.name, club=lesson.club, key=key)
        date_back(self._ws, lesson_id)
        return row.id

    def _is_worked_out(self, recording_id: int) -> bool:
        return recording(self._ws, recording_id).state != "waiting"

    def _wait_for(self, recording_id: int) -> bool:
        """Wait for the analysis; False when the ground was broken off."""
        while not self._stopping.is_set():
            self._changed.clear()
            if self._is_worked_out(recording_id):
                return True
            self._changed.wait(5.0)
        return False

    def _finish(self, person: DemoGolfer, index: int, recording_id: int) -> None:
        """What the coach saw of each ball of a recording."""
        lesson = person.lessons[index]
        assert lesson.file is not None
        lesson_id = recording(self._ws, recording_id).lesson_id
        kept = [s for s in teaching.lesson(self._ws, lesson_id).swings if s.recording_id == recording_id]
        for swing in kept:
            if swing.number_in_recording is None or swing.number_in_recording > len(lesson.file.balls):
                continue
            ball = lesson.file.balls[swing.number_in_recording - 1]
            key = f"{_key(person, index)}/flight/{swing.number_in_recording}"
            swings.set_flight(self._ws, swing.id, shape=seen_flight(ball, lesson.club), key=key)
            swings.set_strike(self._ws, swing.id, ball.strike, key=f"{key}/strike")
            if ball.feel is not None:
                swings.set_tried(self._ws, swing.id, ball.feel, key=f"{key}/feel")
        date_back(self._ws, lesson_id)
        self._done += 1

    def _in_process(self, wanted: Simulation) -> bytes:
        assert self._process is not None
        return self._process.run(simulated_file, wanted)

    # -- what is typed ------------------------------------------------------------------------------------------------

    def _golfer(self, person: DemoGolfer) -> None:
        ws, key = self._ws, f"demo/{person.name}"
        golfer = add_golfer(ws, key=key, name=person.name, handedness=person.handedness, age_group=person.age_group)
        device_id = self._device(person)
        for index, lesson in enumerate(person.lessons):
            self._lesson(person, index, lesson, golfer.id, device_id)
        event_on = None if person.event_in_days is None else now().date() + timedelta(days=person.event_in_days)
        told: GolferFields = {
            **person.ranges,
            "big_miss": person.big_miss,
            "other_miss": person.other_miss,
            "goal": person.goal,
            "told_before": person.told_before,
            "balls_a_week": person.balls_a_week,
            "pain": list(person.pain),
            "next_event": person.event,
            "next_event_on": event_on,
        }
        update_golfer(ws, golfer.id, key=f"{key}/interview", **told)
        date_golfer_back(ws, golfer.id)

    def _device(self, person: DemoGolfer) -> int | None:
        if person.device is None:
            return None
        name, measure, rises_when = person.device
        device = add_device(self._ws, name, key=f"demo/device/{name}")
        if device.sign(measure_of(measure)) is None:
            answer_sign(self._ws, device.id, measure, rises_when)
        return device.id

    def _lesson(
        self, person: DemoGolfer, index: int, lesson: DemoLesson, golfer_id: int, device_id: int | None
    ) -> None:
        ws, key = self._ws, _key(person, index)
        day = now().date() - timedelta(days=lesson.days_ago)
        begun = datetime.combine(day, time(lesson.hour, 5), UTC)
        view = teaching.start_lesson(
            ws, golfer_id, key=key, place=f"{PLACE}, {lesson.mat}", surface=lesson.surface, ball="range",
            flight_seen_m=FLIGHT_SEEN_M, at_hand=lesson.at_hand, started_at=begun,
        )  # fmt: skip
        take_club(ws, golfer_id, lesson.club, key=f"{key}/club")
        if lesson.notes:
            teaching.add_note(ws, view.id, lesson.notes[0], key=f"{key}/note/0")
        for number, ball in enumerate(lesson.balls):
            self._ball(view.id, ball, f"{key}/ball/{number}", device_id, person)
        if lesson.grip_deg is not None:
            swings.read_grip(ws, view.id, lesson.grip_deg, key=f"{key}/grip")
        for name, answer in lesson.looks:
            answer_look(ws, view.id, name, answer, key=f"{key}/look/{name}")
        if lesson.cold:
            cold_tests.mark_first_balls(ws, view.id, club=lesson.club, key=f"{key}/cold")
        self._trial(view.id, lesson, key)
        self._plan(view.id, lesson, key)
        for number, ball in enumerate(lesson.practice):
            self._ball(view.id, ball, f"{key}/practice/{number}", device_id, person)
        if lesson.says is not None:
            trust, words = lesson.says
            said = cold_tests.report(ws, golfer_id, confidence=trust, words=words, key=f"{key}/says")
            date_report_back(ws, said.id, view.id)
        for number, text in enumerate(lesson.notes[1:], 1):
            teaching.add_note(ws, view.id, text, key=f"{key}/note/{number}")
        teaching.end_lesson(ws, view.id, ended_at=view.started_at + timedelta(minutes=47), key=f"{key}/end")
        date_back(ws, view.id)

    def _ball(self, lesson_id: int, ball: Ball, key: str, device_id: int | None, person: DemoGolfer) -> None:
        family = person.device[1] if person.device else ""
        readings = [
            NewReading(k, v, device_id=device_id if measure_of(k) == measure_of(family) else None)
            for k, v in ball.readings.items()
        ] if family else [NewReading(k, v) for k, v in ball.readings.items()]  # fmt: skip
        readings += [NewReading(k, v, how="by_eye") for k, v in ball.seen.items()]
        readings += [NewReading(k, v, how="video") for k, v in ball.filmed.items()]
        made = swings.add_swing(
            self._ws, lesson_id, club=ball.club, readings=readings, shape=ball.shape, strike=ball.strike, feel=ball.feel,
            amount=ball.amount, key=key,
        )  # fmt: skip
        if ball.aside is not None:
            swings.set_aside(self._ws, made.id, ball.aside, key=f"{key}/aside")

    def _trial(self, lesson_id: int, lesson: DemoLesson, key: str) -> None:
        if lesson.trial is None:
            return
        given = lesson.trial
        trial = trials.start_trial(
            self._ws, lesson_id, given.way_a, given.way_b, feel_a=given.feel_a, feel_b=given.feel_b, key=f"{key}/trial"
        )
        for number, shape in enumerate(given.shapes):
            trials.add_trial_ball(self._ws, trial.id, shape=shape, strike="centre", key=f"{key}/trial/{number}")
        trials.end_trial(
            self._ws, trial.id, golfers_word=given.word, golfer_prefers=given.prefers, key=f"{key}/trial/end"
        )

    def _plan(self, lesson_id: int, lesson: DemoLesson, key: str) -> None:
        if lesson.plan is None:
            return
        plan = lesson.plan
        plans.choose_way(
            self._ws, lesson_id, plan.way, thought=plan.thought, drill=plan.drill, test=plan.test, key=f"{key}/way"
        )
        if plan.window is not None:
            quantity, low, high, feel_for = plan.window
            plans.set_window(self._ws, lesson_id, quantity, low, high, exaggerate_to=feel_for, key=f"{key}/window")

    # -- bookkeeping --------------------------------------------------------------------------------------------------

    def _made(self, key: str) -> int | None:
        with self._ws.reading() as session:
            return session.scalar(select(Entry.made_id).where(Entry.request_key == key, Entry.undone_at.is_(None)))

    def _state(self) -> str | None:
        with self._ws.reading() as session:
            row = session.get(Setting, FLAG)
            return str(row.value) if row else None

    def _set_state(self, state: str) -> None:
        with self._ws.change("demo_ground", in_book=False) as change:
            change.session.merge(Setting(name=FLAG, value=state))


def is_demo(ws: Workspace) -> bool:
    """Whether this folder holds the invented practice ground."""
    with ws.reading() as session:
        return session.get(Setting, FLAG) is not None


def recording_to_come(ws: Workspace, lesson_id: int) -> bool:
    """Whether a recording of this lesson of the practice ground is still being made."""
    with ws.reading() as session:
        state = session.get(Setting, FLAG)
        if state is None or state.value == "finished":
            return False
        made = select(Entry.request_key).where(Entry.made_id == lesson_id, Entry.action == "start_lesson")
        key = session.scalar(made) or ""
        here = session.scalar(select(Entry.id).where(Entry.request_key == f"{key}/file"))
    with_file = {_key(p, i) for p in PEOPLE for i, lesson in enumerate(p.lessons) if lesson.file is not None}
    return key in with_file and here is None


def _key(person: DemoGolfer, index: int) -> str:
    return f"demo/{person.name}/{index}"

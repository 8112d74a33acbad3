"""The coach's overview of everybody: whose cold test is due, whose change is not lasting, whose wrist work should pause.

Dates come from a few queries of everybody. A verdict is worked out once for each state of a golfer's lessons and kept; what
cannot be worked out within a moment is done in the background, and the change feed then says that there is more to see.
"""

import logging
import time
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from threading import Lock, Thread
from typing import Final, cast
from weakref import WeakKeyDictionary

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from ferrule.app.blocks import day_of
from ferrule.app.case_rows import golfer_of_case
from ferrule.app.drills import drill_named, every_drill
from ferrule.app.feed import Change
from ferrule.app.finding import now
from ferrule.app.progress import verdicts
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import Verdict
from ferrule.coaching.change_overview import Notice, Watched, overview
from ferrule.coaching.drills import Drill
from ferrule.coaching.plan import RETEST_DAYS, Target, make_plan
from ferrule.coaching.ways import WayName
from ferrule.store.tables import ChosenWay, Club, ColdTest, Golfer, Lesson

log = logging.getLogger(__name__)
MOMENT_S: Final = 0.25
"""So long a page may wait for verdicts before the rest is left to the background."""
TELL_EVERY_S: Final = 2.0
State = tuple[int, str, str, int, int, int]
"""Golfer, club and hand; count, versions and newest of the golfer's lessons: changes with every entry."""


@dataclass(frozen=True, slots=True)
class Overview:
    """What needs the coach, the most serious first. working: verdicts that are still being worked out."""

    notices: tuple[Notice, ...]
    working: int


@dataclass(frozen=True, slots=True)
class _Plan:
    """The newest way of a golfer, and since when. tested: the last cold test with this club."""

    golfer: Golfer
    club: str
    way: str
    thought: str
    drill: str
    began: date
    tested: date | None
    state: State


class _Kept:
    """Verdicts by state. A golfer's newer state replaces the older."""

    def __init__(self) -> None:
        self.lock = Lock()
        self.verdicts: dict[int, tuple[State, Verdict | None]] = {}
        self.thread: Thread | None = None

    def get(self, state: State) -> tuple[State, Verdict | None] | None:
        with self.lock:
            kept = self.verdicts.get(state[0])
        return kept if kept is not None and kept[0] == state else None

    def put(self, state: State, verdict: Verdict | None) -> None:
        with self.lock:
            self.verdicts[state[0]] = (state, verdict)


_KEPT: Final[WeakKeyDictionary[Workspace, _Kept]] = WeakKeyDictionary()


def coach_overview(ws: Workspace, today: date | None = None, *, moment_s: float = MOMENT_S) -> Overview:
    """Everybody with a plan. moment_s: how long to work on verdicts before leaving the rest to the background."""
    on = today or day_of(now())
    with ws.reading() as session:
        plans = _plans(session)
    kept = _KEPT.setdefault(ws, _Kept())
    # Before there was a cold test, no verdict could be one that the overview speaks of.
    open_ = [p.state for p in plans if p.tested is not None and kept.get(p.state) is None]
    end = time.monotonic() + moment_s
    while open_ and time.monotonic() < end:
        _work_out(ws, kept, open_.pop(0))
    if open_:
        _in_background(ws, kept, open_)
    drills = every_drill(ws)
    found = overview([_watched(p, kept, drills, on) for p in plans], on)
    return Overview(tuple(found), len(open_))


def forget(ws: Workspace, golfer_id: int) -> None:
    """Drop what is kept of a golfer (who was erased)."""
    kept = _KEPT.get(ws)
    if kept is not None:
        with kept.lock:
            kept.verdicts.pop(golfer_id, None)


def wait_for_verdicts(ws: Workspace, seconds: float) -> None:
    """Wait for the background to finish, at most so long."""
    kept = _KEPT.get(ws)
    thread = kept.thread if kept is not None else None
    if thread is not None:
        thread.join(seconds)


def _plans(session: Session) -> list[_Plan]:
    ways: dict[int, list[tuple[str, str, str, str, date]]] = {}
    rows = session.execute(
        select(ChosenWay, Club.name, Lesson.started_at)
        .join(Club, Club.id == ChosenWay.club_id)
        .join(Lesson, Lesson.id == ChosenWay.lesson_id)
        .order_by(ChosenWay.id.desc())
    )
    for row, club, started_at in rows:
        ways.setdefault(row.golfer_id, []).append((club, row.way, row.thought, row.drill, day_of(started_at)))
    golfers = {g.id: g for g in session.scalars(select(Golfer).where(Golfer.id.in_(ways)))}
    tested = {
        (golfer_id, club): day_of(at)
        for golfer_id, club, at in session.execute(
            select(Lesson.golfer_id, Club.name, func.max(ColdTest.started_at, type_=ColdTest.started_at.type))
            .join(Lesson, Lesson.id == ColdTest.lesson_id)
            .join(Club, Club.id == ColdTest.club_id)
            .group_by(Lesson.golfer_id, Club.name)
        )
    }
    versions = {
        golfer_id: (count, version, newest)
        for golfer_id, count, version, newest in session.execute(
            select(Lesson.golfer_id, func.count(), func.sum(Lesson.version), func.max(Lesson.id)).group_by(
                Lesson.golfer_id
            )
        )
    }
    return [
        _plan(golfers[golfer_id], found, tested, versions.get(golfer_id, (0, 0, 0)))
        for golfer_id, found in ways.items()
    ]


def _plan(
    golfer: Golfer,
    found: Sequence[tuple[str, str, str, str, date]],
    tested: dict[tuple[int, str], date],
    versions: tuple[int, int, int],
) -> _Plan:
    club, way, thought, drill, began = found[0]
    for other_club, other_way, _, _, day in found[1:]:
        if other_club != club:
            continue
        if other_way != way:
            break
        began = day
    return _Plan(
        golfer, club, way, thought, drill, began, tested.get((golfer.id, club)),
        (golfer.id, club, golfer.handedness, *versions),
    )  # fmt: skip


def _watched(plan: _Plan, kept: _Kept, drills: Sequence[Drill], today: date) -> Watched:
    found = kept.get(plan.state)
    verdict = found[1] if found is not None else None
    golfer = golfer_of_case(plan.golfer)
    last = plan.began if plan.tested is None else max(plan.began, plan.tested)
    made = make_plan(
        golfer, cast("WayName", plan.way), Target("ball.start_deg", plan.club, 0.0, 0.0, ""), drills, today,
        thought=plan.thought or None, drill=drill_named(drills, plan.drill), event=plan.golfer.next_event_on,
        verdict=verdict, next_lesson=last + timedelta(days=RETEST_DAYS),
    )  # fmt: skip
    return Watched(plan.golfer.name, golfer, made, verdict, ident=plan.golfer.id)


def _work_out(ws: Workspace, kept: _Kept, state: State) -> None:
    found = verdicts(ws, state[0], state[1])
    kept.put(state, found[0] if found else None)


def _in_background(ws: Workspace, kept: _Kept, states: Sequence[State]) -> None:
    with kept.lock:
        if kept.thread is not None and kept.thread.is_alive():
            return
        kept.thread = Thread(target=_work_through, args=(ws, kept, list(states)), name="verdicts", daemon=True)
        kept.thread.start()


def _work_through(ws: Workspace, kept: _Kept, states: list[State]) -> None:
    told = time.monotonic()
    for state in states:
        try:
            _work_out(ws, kept, state)
        except Exception:  # the golfer was erased or the folder closed meanwhile
            log.info("a verdict could not be worked out for the overview", exc_info=True)
            kept.put(state, None)
        if time.monotonic() - told > TELL_EVERY_S:
            ws.feed.publish(Change(None, 0, None, "verdicts"))
            told = time.monotonic()
    ws.feed.publish(Change(None, 0, None, "verdicts"))

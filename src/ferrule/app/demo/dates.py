"""The invented lessons lie in the past: what is entered today gets the times it would have had then."""

from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import FromClause, Table, select, update
from sqlalchemy.orm import Session

from ferrule.app.finding import found
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import TEST_SWINGS
from ferrule.store.tables import BallFlight, Base, ColdTest, Entry, Golfer, Lesson, Reading, Report, Swing

FIRST: Final = timedelta(minutes=6)
EACH: Final = timedelta(seconds=75)
A_LESSON: Final = timedelta(minutes=46)
TIMES: Final = {
    "note": ("written_at",),
    "swing": ("made_at",),
    "recording": ("imported_at",),
    "trial": ("started_at", "ended_at"),
    "entry": ("made_at",),
}
DECIDED: Final = {"chosen_way": ("choose_way", "chosen_at"), "window": ("set_window", "set_at")}
"""What is decided between two balls: table, the action that made it, its time."""


def date_back(ws: Workspace, lesson_id: int) -> None:
    """Spread everything of a lesson over the time in which it was held, in the order in which it was entered."""
    with ws.change("demo_dates", lesson_id=lesson_id, in_book=False) as change:
        session = change.session
        lesson = found(session, Lesson, lesson_id)
        for name, columns in TIMES.items():
            table = Base.metadata.tables[name]
            ids = list(session.scalars(select(table.c.id).where(table.c.lesson_id == lesson_id).order_by(table.c.id)))
            for place, row_id in enumerate(ids):
                moment = _moment(lesson.started_at, place)
                values = dict.fromkeys(columns, moment)
                session.execute(update(table).where(table.c.id == row_id, table.c[columns[0]] > moment).values(values))
        _after_the_balls_before(session, lesson)
        cold = update(ColdTest).where(ColdTest.lesson_id == lesson_id, ColdTest.ended_at > lesson.started_at + A_LESSON)
        session.execute(cold.values(ended_at=_moment(lesson.started_at, TEST_SWINGS)))
        _follow_swing(session, BallFlight.__table__, "seen_at", lesson_id)
        _follow_swing(session, Reading.__table__, "read_at", lesson_id)
        grips = update(Reading).where(Reading.lesson_id == lesson_id).values(read_at=_moment(lesson.started_at, 1))
        session.execute(grips)


def date_golfer_back(ws: Workspace, golfer_id: int) -> None:
    """The golfer came a few minutes before the first lesson; pain was asked about at the start of the last."""
    with ws.change("demo_dates", golfer_id=golfer_id, in_book=False) as change:
        session = change.session
        golfer = found(session, Golfer, golfer_id)
        starts = sorted(session.scalars(select(Lesson.started_at).where(Lesson.golfer_id == golfer_id)))
        golfer.added_at = starts[0] - timedelta(minutes=3)
        golfer.pain_asked_at = starts[-1] + timedelta(minutes=2)
        own = update(Entry).where(Entry.golfer_id == golfer_id, Entry.lesson_id.is_(None))
        session.execute(own.values(made_at=golfer.added_at))


def date_report_back(ws: Workspace, report_id: int, lesson_id: int) -> None:
    """What the golfer said was said at the end of the lesson."""
    with ws.change("demo_dates", lesson_id=lesson_id, in_book=False) as change:
        report, lesson = found(change.session, Report, report_id), found(change.session, Lesson, lesson_id)
        report.reported_at = min(report.reported_at, lesson.started_at + A_LESSON)


def _after_the_balls_before(session: Session, lesson: Lesson) -> None:
    """A way is chosen after the balls that led to it, and before those that practise it."""
    balls = list(
        session.scalars(
            select(Entry.id).where(Entry.lesson_id == lesson.id, Entry.action == "add_swing").order_by(Entry.id)
        )
    )
    for name, (action, column) in DECIDED.items():
        table = Base.metadata.tables[name]
        made = session.execute(
            select(Entry.id, Entry.made_id).where(Entry.lesson_id == lesson.id, Entry.action == action)
        )
        for entry_id, row_id in made.all():
            before = sum(ball < entry_id for ball in balls)
            moment = _moment(lesson.started_at, before) - EACH / 2
            session.execute(
                update(table).where(table.c.id == row_id, table.c[column] > moment).values({column: moment})
            )


def _moment(started_at: datetime, place: int) -> datetime:
    return started_at + FIRST + place * EACH


def _follow_swing(session: Session, table: FromClause, column: str, lesson_id: int) -> None:
    assert isinstance(table, Table)
    when = select(Swing.made_at).where(Swing.id == table.c.swing_id).scalar_subquery()
    mine = select(Swing.id).where(Swing.lesson_id == lesson_id)
    session.execute(update(table).where(table.c.swing_id.in_(mine)).values({column: when}))

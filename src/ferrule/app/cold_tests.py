"""Cold tests: ten balls at the start of a lesson, nobody says anything; and what the golfer reports."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from ferrule.app.finding import found, now
from ferrule.app.flights import checked_flight
from ferrule.app.form import Form
from ferrule.app.golfers import club_in_bag
from ferrule.app.swing_rows import club_for, lesson_and_hand, next_number, put_flight, strike_and_feel
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import FEWEST_SWINGS, TEST_SWINGS
from ferrule.errors import InputError
from ferrule.store.tables import Club, ColdBall, ColdTest, Golfer, Lesson, Report, Swing


@dataclass(frozen=True, slots=True)
class ColdTestView:
    """A cold test. elsewhere: another target or the course, empty where it is as ever. balls: ids of swings in order."""

    id: int
    lesson_id: int
    club: str
    elsewhere: str
    started_at: datetime
    ended_at: datetime | None
    balls: tuple[int, ...]

    @property
    def is_running(self) -> bool:
        """Whether balls are still to come."""
        return self.ended_at is None and len(self.balls) < TEST_SWINGS


@dataclass(frozen=True, slots=True)
class ReportView:
    """What the golfer said. confidence: trust in the change, 0 to 10."""

    id: int
    confidence: int | None
    hurts: tuple[str, ...]
    words: str
    reported_at: datetime


def start_cold_test(
    ws: Workspace, lesson_id: int, *, club: str | None = None, elsewhere: str = "", key: str | None = None
) -> ColdTestView:
    """Start a cold test with a club. A test of this lesson that is still running is ended."""
    form = Form()
    place = form.text("elsewhere", elsewhere)
    form.done()
    with ws.change("start_cold_test", key=key, lesson_id=lesson_id) as change:
        session = change.session
        lesson = found(session, Lesson, lesson_id)
        if not change.repeated:
            for running in session.scalars(
                select(ColdTest).where(ColdTest.lesson_id == lesson_id, ColdTest.ended_at.is_(None))
            ):
                running.ended_at = now()
            change.made_id = _new_test(session, lesson_id, club_for(session, lesson.golfer_id, club), place).id
        return _view(session, found(session, ColdTest, change.made_id or 0))


def add_cold_ball(
    ws: Workspace,
    test_id: int,
    *,
    start: str | None = None,
    bend: str | None = None,
    bends_much: bool = False,
    shape: str | None = None,
    strike: str | None = None,
    key: str | None = None,
) -> ColdTestView:
    """The next ball of a cold test. Raises InputError when it is over."""
    with ws.reading() as session:
        lesson_id = found(session, ColdTest, test_id).lesson_id
    with ws.change("add_cold_ball", key=key, lesson_id=lesson_id) as change:
        session = change.session
        test = found(session, ColdTest, test_id)
        if not change.repeated:
            view = _view(session, test)
            if not view.is_running:
                raise InputError.of(
                    "test_over", "test", expected=f"{TEST_SWINGS} balls", got="one more", do="Enter it as a ball of the lesson"
                )  # fmt: skip
            _, hand = lesson_and_hand(session, lesson_id)
            form = Form()
            flight = checked_flight(form, start, bend, shape, hand, much=bends_much)
            hit, _, _ = strike_and_feel(form, strike, None, 1.0)
            form.done()
            swing = Swing(
                lesson_id=lesson_id, club_id=test.club_id, number=next_number(session, lesson_id), made_at=now(), strike=hit
            )  # fmt: skip
            session.add(swing)
            session.flush()
            put_flight(session, swing.id, flight)
            _join(session, test, [swing.id], len(view.balls))
            change.made_id = swing.id
        return _view(session, test)


def end_cold_test(ws: Workspace, test_id: int, *, key: str | None = None) -> ColdTestView:
    """The test is over, with the balls it has."""
    with ws.reading() as session:
        lesson_id = found(session, ColdTest, test_id).lesson_id
    with ws.change("end_cold_test", key=key, lesson_id=lesson_id) as change:
        test = found(change.session, ColdTest, test_id)
        if not change.repeated and test.ended_at is None:
            test.ended_at = now()
        return _view(change.session, test)


def mark_first_balls(
    ws: Workspace, lesson_id: int, *, club: str, elsewhere: str = "", key: str | None = None
) -> ColdTestView:
    """The first balls of a lesson with this club were a cold test: ten at most, recorded ones included.

    Balls in which something was tried end it. Raises InputError when fewer than five are there, or some are marked.
    """
    form = Form()
    place = form.text("elsewhere", elsewhere)
    form.done()
    with ws.change("mark_cold_balls", key=key, lesson_id=lesson_id) as change:
        session = change.session
        lesson = found(session, Lesson, lesson_id)
        if not change.repeated:
            with_club = club_in_bag(session, lesson.golfer_id, club)
            balls = session.scalars(
                select(Swing)
                .where(Swing.lesson_id == lesson_id, Swing.club_id == with_club.id, Swing.number.is_not(None))
                .order_by(Swing.number)
            ).all()
            tried = next((i for i, b in enumerate(balls) if b.tried_feel is not None), len(balls))
            first = [b.id for b in balls[:tried] if b.set_aside_at is None][:TEST_SWINGS]
            if len(first) < FEWEST_SWINGS:
                raise InputError.of(
                    "too_few", "club", expected=f"{FEWEST_SWINGS} balls with the {with_club.name} before anything was tried",
                    got=f"{len(first)}", do="Hit a cold test next time",
                )  # fmt: skip
            if session.scalar(select(ColdBall.id).where(ColdBall.swing_id.in_(first)).limit(1)) is not None:
                raise InputError.of("marked", "club", expected="balls of no test yet", got="balls of a cold test")
            test = _new_test(session, lesson_id, with_club, place)
            test.started_at, test.ended_at = lesson.started_at, now()
            _join(session, test, first, 0)
            change.made_id = test.id
        return _view(session, found(session, ColdTest, change.made_id or 0))


def cold_tests(ws: Workspace, golfer_id: int) -> list[ColdTestView]:
    """Cold tests of a golfer, the newest first."""
    with ws.reading() as session:
        rows = session.scalars(
            select(ColdTest)
            .join(Lesson, Lesson.id == ColdTest.lesson_id)
            .where(Lesson.golfer_id == golfer_id)
            .order_by(Lesson.started_at.desc(), ColdTest.id.desc())
        )
        return [_view(session, row) for row in rows]


def report(
    ws: Workspace,
    golfer_id: int,
    *,
    confidence: float | None = None,
    hurts: Sequence[str] = (),
    words: str = "",
    key: str | None = None,
) -> ReportView:
    """Note what the golfer says. hurts becomes the golfer's pain of today, so that wrist work pauses where it must."""
    form = Form()
    trust = form.number("confidence", confidence, 0, 10, "trust")
    if trust is not None and trust != round(trust):
        form.fail("out_of_range", "confidence", "a whole number from 0 to 10", f"{trust:g}", do="Round it")
    places, said = form.places("hurts", hurts), form.text("words", words)
    form.done()
    with ws.change("report", key=key, golfer_id=golfer_id) as change:
        session = change.session
        golfer = found(session, Golfer, golfer_id)
        if not change.repeated:
            row = Report(
                golfer_id=golfer_id, confidence=None if trust is None else int(trust), hurts=places, words=said,
                reported_at=now(),
            )  # fmt: skip
            session.add(row)
            golfer.pain, golfer.pain_asked_at = places, row.reported_at
            session.flush()
            change.made_id = row.id
        return _report_view(found(session, Report, change.made_id or 0))


def reports(ws: Workspace, golfer_id: int, limit: int = 20) -> list[ReportView]:
    """What the golfer said, the newest first."""
    query = select(Report).where(Report.golfer_id == golfer_id).order_by(Report.id.desc()).limit(limit)
    with ws.reading() as session:
        return [_report_view(row) for row in session.scalars(query)]


def _new_test(session: Session, lesson_id: int, club: Club, elsewhere: str) -> ColdTest:
    row = ColdTest(lesson_id=lesson_id, club_id=club.id, elsewhere=elsewhere, started_at=now())
    session.add(row)
    session.flush()
    return row


def _join(session: Session, test: ColdTest, swing_ids: Sequence[int], already: int) -> None:
    for number, swing_id in enumerate(swing_ids, already + 1):
        session.add(ColdBall(cold_test_id=test.id, swing_id=swing_id, number=number))
    session.flush()
    if already + len(swing_ids) >= TEST_SWINGS and test.ended_at is None:
        test.ended_at = now()
        session.flush()


def _view(session: Session, row: ColdTest) -> ColdTestView:
    balls = session.scalars(
        select(ColdBall.swing_id).where(ColdBall.cold_test_id == row.id).order_by(ColdBall.number)
    ).all()
    club = found(session, Club, row.club_id).name
    return ColdTestView(row.id, row.lesson_id, club, row.elsewhere, row.started_at, row.ended_at, tuple(balls))


def _report_view(row: Report) -> ReportView:
    return ReportView(row.id, row.confidence, tuple(row.hurts), row.words, row.reported_at)

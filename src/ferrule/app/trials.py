"""A trial: two ways on the mat, A-B-B-A, and the golfer's word at the end. The golfer's balls decide."""

from collections.abc import Sequence
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session

from ferrule.app.finding import found, now
from ferrule.app.flights import checked_flight
from ferrule.app.form import Form
from ferrule.app.plans import WAYS
from ferrule.app.swing_rows import (
    club_for,
    lesson_and_hand,
    next_number,
    put_flight,
    strike_and_feel,
    swing_view,
    views_of_swings,
)
from ferrule.app.trial_verdict import TrialVerdict, verdict_on
from ferrule.app.views import SwingView, TrialBallView, TrialView
from ferrule.app.workspace import Workspace
from ferrule.coaching.wording_ways import TITLES
from ferrule.errors import InputError
from ferrule.store.tables import Club, Lesson, Swing, Trial, TrialBall

ORDER: Final = ("a", "b", "b", "a")


def start_trial(
    ws: Workspace,
    lesson_id: int,
    way_a: str,
    way_b: str,
    *,
    feel_a: str = "",
    feel_b: str = "",
    club: str | None = None,
    balls_a_block: int = 3,
    key: str | None = None,
) -> TrialView:
    """Start a trial of two different ways, each with a feel in the golfer's words: four blocks, A-B-B-A."""
    form = Form()
    a, b = form.needed("way_a", way_a, WAYS), form.needed("way_b", way_b, WAYS)
    if a and a == b:
        form.fail("same", "way_b", "another way than the first", a.replace("_", " "), do="Choose two different ones")
    feels = form.text("feel_a", feel_a), form.text("feel_b", feel_b)
    form.number("balls_a_block", balls_a_block, 1, 10, "a number of balls")
    form.done()
    with ws.change("start_trial", key=key, lesson_id=lesson_id) as change:
        session = change.session
        lesson = found(session, Lesson, lesson_id)
        if not change.repeated:
            row = Trial(
                lesson_id=lesson_id, club_id=club_for(session, lesson.golfer_id, club).id, way_a=a, way_b=b,
                feel_a=feels[0], feel_b=feels[1], balls_a_block=balls_a_block, started_at=now(),
            )  # fmt: skip
            session.add(row)
            session.flush()
            change.made_id = row.id
        return _view(session, found(session, Trial, change.made_id or 0))


def add_trial_ball(
    ws: Workspace,
    trial_id: int,
    *,
    start: str | None = None,
    bend: str | None = None,
    bends_much: bool = False,
    shape: str | None = None,
    strike: str | None = None,
    key: str | None = None,
) -> tuple[TrialView, SwingView]:
    """Enter the next ball of a trial; which way it belongs to follows from the order of blocks."""
    with ws.reading() as session:
        lesson_id = found(session, Trial, trial_id).lesson_id
    with ws.change("add_trial_ball", key=key, lesson_id=lesson_id) as change:
        session = change.session
        trial = found(session, Trial, trial_id)
        if not change.repeated:
            view = _view(session, trial)
            if view.next_way is None:
                raise InputError.of(
                    "trial_over", "trial", expected=f"{4 * trial.balls_a_block} balls", got="one more",
                    do="Hear the golfer and end the trial",
                )  # fmt: skip
            _, hand = lesson_and_hand(session, lesson_id)
            form = Form()
            flight = checked_flight(form, start, bend, shape, hand, much=bends_much)
            hit, _, _ = strike_and_feel(form, strike, None, 1.0)
            form.done()
            way, name, feel = (
                ("a", trial.way_a, trial.feel_a) if view.next_way == "a" else ("b", trial.way_b, trial.feel_b)
            )
            swing = Swing(
                lesson_id=lesson_id, club_id=trial.club_id, number=next_number(session, lesson_id), made_at=now(),
                strike=hit, tried_feel=feel or name.replace("_", " "), tried_amount=1.0,
            )  # fmt: skip
            session.add(swing)
            session.flush()
            put_flight(session, swing.id, flight)
            number = max((b.number for b in view.balls), default=0) + 1
            block = view.next_block or 1
            session.add(TrialBall(trial_id=trial_id, swing_id=swing.id, number=number, way=way, block=block))
            session.flush()
            change.made_id = swing.id
        return _view(session, trial), swing_view(session, change.made_id or 0)


def end_trial(
    ws: Workspace, trial_id: int, *, golfers_word: str = "", golfer_prefers: str | None = None, key: str | None = None
) -> TrialView:
    """The golfer's word at the end; golfer_prefers: a, b or None for neither."""
    form = Form()
    word = form.text("golfers_word", golfers_word)
    form.choice("golfer_prefers", golfer_prefers, ("a", "b"))
    form.done()
    with ws.reading() as session:
        lesson_id = found(session, Trial, trial_id).lesson_id
    with ws.change("end_trial", key=key, lesson_id=lesson_id) as change:
        trial = found(change.session, Trial, trial_id)
        if not change.repeated:
            trial.golfers_word, trial.golfer_prefers, trial.ended_at = word, golfer_prefers, now()
        return _view(change.session, trial)


def trial(ws: Workspace, trial_id: int) -> TrialView:
    """One trial. Raises NotFoundError."""
    with ws.reading() as session:
        return _view(session, found(session, Trial, trial_id))


def trials(ws: Workspace, lesson_id: int) -> list[TrialView]:
    """Trials of a lesson, the newest first."""
    with ws.reading() as session:
        rows = session.scalars(select(Trial).where(Trial.lesson_id == lesson_id).order_by(Trial.id.desc()))
        return [_view(session, row) for row in rows]


def _view(session: Session, row: Trial) -> TrialView:
    balls = session.scalars(select(TrialBall).where(TrialBall.trial_id == row.id).order_by(TrialBall.number)).all()
    aside = set(
        session.scalars(
            select(Swing.id).where(Swing.id.in_([b.swing_id for b in balls]), Swing.set_aside_at.is_not(None))
        )
    )
    # A mishit that was set aside is hit again: the first block with a ball to come is next.
    counted = [sum(b.block == block and b.swing_id not in aside for b in balls) for block in range(1, len(ORDER) + 1)]
    block = next((i for i, done in enumerate(counted) if done < row.balls_a_block), None)
    if row.ended_at is not None:
        block = None
    return TrialView(
        row.id, row.lesson_id, found(session, Club, row.club_id).name, row.way_a, row.way_b, row.feel_a, row.feel_b,
        row.balls_a_block,
        tuple(TrialBallView(b.swing_id, b.number, b.block, b.way, b.swing_id in aside) for b in balls),
        None if block is None else ORDER[block],
        None if block is None else counted[block] + 1,
        row.golfers_word, row.golfer_prefers, row.started_at, row.ended_at, _verdict(session, row, balls),
        None if block is None else block + 1,
    )  # fmt: skip


def _verdict(session: Session, row: Trial, balls: Sequence[TrialBall]) -> TrialVerdict | None:
    swings = views_of_swings(session, Swing.id.in_([b.swing_id for b in balls]), Swing.set_aside_at.is_(None))
    shapes = {s.id: s.shape for s in swings}
    flown = [(b.way, shapes[b.swing_id]) for b in balls if b.swing_id in shapes]
    names = [feel or TITLES.get(way, way) for feel, way in ((row.feel_a, row.way_a), (row.feel_b, row.way_b))]
    return verdict_on(flown, names[0], names[1])

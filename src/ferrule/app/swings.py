"""Swings in a lesson: readings, the ball's flight, strike, what was tried, setting a mishit aside."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime

from sqlalchemy import select

from ferrule.app.finding import found, now
from ferrule.app.flights import checked_flight
from ferrule.app.form import Form
from ferrule.app.golfers import club_in_bag, current_club
from ferrule.app.swing_rows import (
    NewReading,
    club_for,
    converted,
    lesson_and_hand,
    next_number,
    put_flight,
    put_reading,
    reading_row,
    strike_and_feel,
    swing_view,
    view_of_reading,
)
from ferrule.app.views import ReadingView, SwingView
from ferrule.app.workspace import Commit, Workspace
from ferrule.coaching.quantities import GRIP_TURN
from ferrule.errors import NotFoundError
from ferrule.store.codec import unpack_arrays
from ferrule.store.tables import Reading, Swing, SwingResult

__all__ = [
    "NewReading",
    "add_swing",
    "read_grip",
    "remove_reading",
    "set_aside",
    "set_club",
    "set_flight",
    "set_reading",
    "set_strike",
    "set_tried",
    "swing",
    "take_in_again",
    "traces",
]


def add_swing(
    ws: Workspace,
    lesson_id: int,
    *,
    club: str | None = None,
    readings: Sequence[NewReading] = (),
    start: str | None = None,
    bend: str | None = None,
    bends_much: bool = False,
    shape: str | None = None,
    strike: str | None = None,
    feel: str | None = None,
    amount: float = 1.0,
    mount: str | None = None,
    made_at: datetime | None = None,
    key: str | None = None,
) -> SwingView:
    """One ball. club: the current one unless named (naming one makes it current).

    start: pull, straight, push (or left, right of the world); bend: left, straight, right of the world; or one shape
    word for both. feel: what the golfer tried, amount: how much of it (1 as told). Everything may be left out.
    Raises InputError with the faults by field (readings under their key).
    """
    with ws.change("add_swing", key=key, lesson_id=lesson_id) as change:
        session = change.session
        if not change.repeated:
            lesson, hand = lesson_and_hand(session, lesson_id)
            form = Form()
            flight = checked_flight(form, start, bend, shape, hand, much=bends_much)
            hit, tried, tried_amount = strike_and_feel(form, strike, feel, amount)
            values = [converted(session, form, r, hand) for r in readings]
            form.done()
            with_club = club_for(session, lesson.golfer_id, club)
            swing = Swing(
                lesson_id=lesson_id, club_id=with_club.id, number=next_number(session, lesson_id),
                made_at=made_at or now(), strike=hit, tried_feel=tried, tried_amount=tried_amount, mount=mount or None,
            )  # fmt: skip
            session.add(swing)
            session.flush()
            for reading, value in zip(readings, values, strict=True):
                put_reading(session, swing, reading, value)
            if flight is not None:
                put_flight(session, swing.id, flight)
            session.flush()
            change.made_id = swing.id
        return swing_view(session, change.made_id or 0)


def set_reading(ws: Workspace, swing_id: int, reading: NewReading, *, key: str | None = None) -> SwingView:
    """Enter or correct one reading of a swing (one for each key and way it was got)."""
    with _on_swing(ws, "set_reading", swing_id, key) as (change, swing):
        if not change.repeated:
            _, hand = lesson_and_hand(change.session, swing.lesson_id)
            form = Form()
            value = converted(change.session, form, reading, hand)
            form.done()
            put_reading(change.session, swing, reading, value)
        return swing_view(change.session, swing_id)


def remove_reading(ws: Workspace, reading_id: int, *, key: str | None = None) -> None:
    """Take a reading away (undo brings it back)."""
    with ws.reading() as session:
        reading = found(session, Reading, reading_id)
        lesson_id = reading.lesson_id or found(session, Swing, reading.swing_id or 0).lesson_id
    with ws.change("remove_reading", key=key, lesson_id=lesson_id) as change:
        if not change.repeated:
            change.session.delete(found(change.session, Reading, reading_id))


def set_flight(
    ws: Workspace,
    swing_id: int,
    *,
    start: str | None = None,
    bend: str | None = None,
    bends_much: bool = False,
    shape: str | None = None,
    key: str | None = None,
) -> SwingView:
    """Enter or correct the ball's flight of a swing; nothing given takes it away."""
    with _on_swing(ws, "set_flight", swing_id, key) as (change, swing):
        if not change.repeated:
            _, hand = lesson_and_hand(change.session, swing.lesson_id)
            form = Form()
            flight = checked_flight(form, start, bend, shape, hand, much=bends_much)
            form.done()
            put_flight(change.session, swing_id, flight)
        return swing_view(change.session, swing_id)


def set_strike(ws: Workspace, swing_id: int, strike: str | None, *, key: str | None = None) -> SwingView:
    """Where on the face: centre, toe, heel, thin, fat, high, low; None: not known."""
    with _on_swing(ws, "set_strike", swing_id, key) as (change, swing):
        if not change.repeated:
            form = Form()
            hit, _, _ = strike_and_feel(form, strike, None, 1.0)
            form.done()
            swing.strike = hit
        return swing_view(change.session, swing_id)


def set_tried(
    ws: Workspace, swing_id: int, feel: str | None, *, amount: float = 1.0, key: str | None = None
) -> SwingView:
    """What the golfer tried in this swing; None: the golfer's own swing."""
    with _on_swing(ws, "set_tried", swing_id, key) as (change, swing):
        if not change.repeated:
            form = Form()
            _, tried, tried_amount = strike_and_feel(form, None, feel, amount)
            form.done()
            swing.tried_feel, swing.tried_amount = tried, tried_amount
        return swing_view(change.session, swing_id)


def set_club(ws: Workspace, swing_id: int, club: str, *, key: str | None = None) -> SwingView:
    """The swing was made with another club than the one entered."""
    with _on_swing(ws, "set_club", swing_id, key) as (change, swing):
        if not change.repeated:
            lesson, _ = lesson_and_hand(change.session, swing.lesson_id)
            swing.club_id = club_in_bag(change.session, lesson.golfer_id, club).id
        return swing_view(change.session, swing_id)


def set_aside(ws: Workspace, swing_id: int, why: str = "mishit", *, key: str | None = None) -> SwingView:
    """Leave this swing out of the case; it stays in the lesson."""
    with _on_swing(ws, "set_aside", swing_id, key) as (change, swing):
        if not change.repeated:
            form = Form()
            reason = form.text("why", why)
            form.done()
            swing.set_aside_at, swing.set_aside_why = now(), reason
        return swing_view(change.session, swing_id)


def take_in_again(ws: Workspace, swing_id: int, *, key: str | None = None) -> SwingView:
    """Count a swing again that was set aside."""
    with _on_swing(ws, "take_in_again", swing_id, key) as (change, swing):
        if not change.repeated:
            swing.set_aside_at, swing.set_aside_why = None, ""
        return swing_view(change.session, swing_id)


def read_grip(
    ws: Workspace, lesson_id: int, value: float, *, sd: float | None = None, how: str = "by_eye",
    club: str | None = None, device_id: int | None = None, key: str | None = None,
) -> ReadingView:  # fmt: skip
    """Enter how the grip is turned on the handle, in degrees, + strong; it holds for the lesson and this club."""
    new = NewReading(GRIP_TURN.key, value, sd, how, device_id)
    with ws.change("read_grip", key=key, lesson_id=lesson_id) as change:
        session = change.session
        if not change.repeated:
            lesson, hand = lesson_and_hand(session, lesson_id)
            form = Form()
            value_here = converted(session, form, new, hand)
            form.done()
            with_club = (
                club_in_bag(session, lesson.golfer_id, club) if club else current_club(session, lesson.golfer_id)
            )
            row = reading_row(new, value_here, lesson_id=lesson_id, club_id=with_club.id)
            session.add(row)
            session.flush()
            change.made_id = row.id
        return view_of_reading(session, found(session, Reading, change.made_id or 0))


def swing(ws: Workspace, swing_id: int) -> SwingView:
    """One swing with the result of its analysis. Raises NotFoundError."""
    with ws.reading() as session:
        return swing_view(session, swing_id, with_result=True)


def traces(ws: Workspace, swing_id: int) -> dict[str, object]:
    """The traces behind a recorded swing as arrays by name; empty when it was not recorded."""
    with ws.reading() as session:
        packed = session.scalar(select(SwingResult.traces).where(SwingResult.swing_id == swing_id))
    return dict(unpack_arrays(packed)) if packed else {}


@contextmanager
def _on_swing(ws: Workspace, action: str, swing_id: int, key: str | None) -> Iterator[tuple[Commit, Swing]]:
    with ws.reading() as session:
        lesson_id = found(session, Swing, swing_id).lesson_id
    with ws.change(action, key=key, lesson_id=lesson_id) as change:
        row = change.session.get(Swing, swing_id)
        if row is None:
            raise NotFoundError("This swing is not there any more. Its entry was undone; reload the lesson.")
        change.made_id = swing_id
        yield change, row

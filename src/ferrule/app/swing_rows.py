"""Rows of swings and readings: how they are written, and how they become views."""

from dataclasses import dataclass, replace

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from ferrule.app.devices import in_our_sign
from ferrule.app.finding import found, now
from ferrule.app.flights import shape_of
from ferrule.app.form import Form
from ferrule.app.golfers import club_in_bag, current_club, make_current
from ferrule.app.views import ReadingView, SwingView
from ferrule.coaching.case import HOWS
from ferrule.coaching.quantities import FEEL_WORDS_MAX, GRIP_TURN, QUANTITIES, STRIKES
from ferrule.frames.handedness import Handedness
from ferrule.store.tables import BallFlight, Club, Device, Golfer, Lesson, Reading, Swing, SwingResult


@dataclass(frozen=True, slots=True)
class NewReading:
    """A number to enter. With a device, value is what the device shows; without, it is in the key's unit and sign.

    sd: doubt in the unit of the key, None for the usual one.
    """

    key: str
    value: float
    sd: float | None = None
    how: str = "typed"
    device_id: int | None = None


def next_number(session: Session, lesson_id: int) -> int:
    """Number of the next ball of a lesson."""
    return (session.scalar(select(func.max(Swing.number)).where(Swing.lesson_id == lesson_id)) or 0) + 1


def club_for(session: Session, golfer_id: int, name: str | None) -> Club:
    """The named club, taken in hand, or the one in hand."""
    if not name:
        return current_club(session, golfer_id)
    club = club_in_bag(session, golfer_id, name)
    make_current(session, club)
    return club


def put_reading(session: Session, swing: Swing, new: NewReading, value: float) -> Reading:
    """Put a reading of a swing in place of the one with the same key and way it was got."""
    row = session.scalar(
        select(Reading).where(Reading.swing_id == swing.id, Reading.key == new.key, Reading.how == new.how)
    )
    fresh = reading_row(new, value, swing_id=swing.id)
    if row is None:
        session.add(fresh)
        session.flush()
        return fresh
    row.value, row.sd, row.device_id = fresh.value, fresh.sd, fresh.device_id
    row.device_value, row.read_at = fresh.device_value, fresh.read_at
    return row


def views_of_swings(session: Session, *which: ColumnElement[bool]) -> list[SwingView]:
    """Swings that meet the conditions, in order of the balls, without the results of analysis."""
    query = select(Swing).where(*which)
    rows = list(session.scalars(query.order_by(Swing.number.is_(None), Swing.number, Swing.id)))
    ids = query.with_only_columns(Swing.id)
    clubs = {c.id: c for c in session.scalars(select(Club).where(Club.id.in_({r.club_id for r in rows})))}
    lessons = {r.lesson_id for r in rows}
    hands: dict[int, Handedness] = {
        lesson_id: "right" if hand == "right" else "left"
        for lesson_id, hand in session.execute(
            select(Lesson.id, Golfer.handedness)
            .join(Golfer, Golfer.id == Lesson.golfer_id)
            .where(Lesson.id.in_(lessons))
        )
    }
    flights = {f.swing_id: f for f in session.scalars(select(BallFlight).where(BallFlight.swing_id.in_(ids)))}
    readings: dict[int, list[ReadingView]] = {}
    for reading, device in session.execute(
        select(Reading, Device.name)
        .outerjoin(Device, Device.id == Reading.device_id)
        .where(Reading.swing_id.in_(ids))
        .order_by(Reading.key, Reading.how)
    ):
        readings.setdefault(reading.swing_id or 0, []).append(_reading_view(reading, device))
    results = select(SwingResult.swing_id, SwingResult.method).where(SwingResult.swing_id.in_(ids))
    methods = {row.swing_id: row.method for row in session.execute(results)}
    views = []
    for r in rows:
        flight = flights.get(r.id)
        views.append(
            SwingView(
                id=r.id,
                lesson_id=r.lesson_id,
                club_id=r.club_id,
                club=clubs[r.club_id].name,
                number=r.number,
                made_at=r.made_at,
                mount=r.mount,
                strike=r.strike,
                start=flight.start if flight else None,
                bend=flight.bend if flight else None,
                bends_much=flight.bends_much if flight else False,
                shape=shape_of(flight.start, flight.bend, hands[r.lesson_id], much=flight.bends_much)
                if flight
                else None,
                tried_feel=r.tried_feel,
                tried_amount=r.tried_amount,
                set_aside=r.set_aside_at is not None,
                set_aside_why=r.set_aside_why,
                readings=tuple(readings.get(r.id, ())),
                recording_id=r.recording_id,
                number_in_recording=r.number_in_recording,
                rep_did=r.rep_did,
                method=methods.get(r.id),
            )
        )
    return views


def view_of_reading(session: Session, row: Reading) -> ReadingView:
    """One reading with its device's name."""
    return _reading_view(row, session.scalar(select(Device.name).where(Device.id == row.device_id)))


def _reading_view(row: Reading, device: str | None) -> ReadingView:
    return ReadingView(
        row.id, row.key, row.value, row.sd, row.how, row.device_id, device, row.device_value, row.read_at
    )


def swing_view(session: Session, swing_id: int, *, with_result: bool = False) -> SwingView:
    """One swing, with the result of its analysis when asked for."""
    found(session, Swing, swing_id)
    view = views_of_swings(session, Swing.id == swing_id)[0]
    if with_result and view.method is not None:
        return replace(view, result=found(session, SwingResult, swing_id).result)
    return view


def reading_row(
    new: NewReading, value: float, *, swing_id: int | None = None, lesson_id: int | None = None,
    club_id: int | None = None,
) -> Reading:  # fmt: skip
    """A reading not yet in the session, of a swing or of a lesson and club."""
    return Reading(
        swing_id=swing_id, lesson_id=lesson_id, club_id=club_id, key=new.key, value=value, sd=new.sd, how=new.how,
        device_id=new.device_id, device_value=None if new.device_id is None else float(new.value), read_at=now(),
    )  # fmt: skip


def converted(session: Session, form: Form, new: NewReading, hand: Handedness) -> float:
    """The value under its glossary key; faults go to the form."""
    value = float(new.value)
    if new.device_id is not None and (new.key in QUANTITIES or new.key == GRIP_TURN.key):
        value = in_our_sign(session, new.device_id, new.key, value, hand)
    form.reading(new.key, value, new.sd)
    form.choice(new.key, new.how, HOWS)
    return value


def strike_and_feel(
    form: Form, strike: str | None, feel: str | None, amount: float
) -> tuple[str | None, str | None, float | None]:
    """Strike, feel and amount as typed, checked; the amount only with a feel."""
    hit = form.choice("strike", strike or None, STRIKES)
    tried = form.text("feel", feel)
    if len(tried) > FEEL_WORDS_MAX:
        form.fail("too_long", "feel", f"at most {FEEL_WORDS_MAX} characters", f"{len(tried)}", do="Shorten it")
    much = form.number("amount", amount, -10, 10, "how much of the feel")
    return hit, tried or None, much if tried else None


def put_flight(session: Session, swing_id: int, flight: tuple[str, str, bool] | None) -> None:
    """Put start, bend and much in place of what was there; None takes it away."""
    row = session.get(BallFlight, swing_id)
    if flight is None:
        if row is not None:
            session.delete(row)
        return
    if row is None:
        row = BallFlight(swing_id=swing_id)
        session.add(row)
    row.start, row.bend, row.bends_much = flight
    row.seen_at = now()


def lesson_and_hand(session: Session, lesson_id: int) -> tuple[Lesson, Handedness]:
    """A lesson and its golfer's handedness."""
    lesson = found(session, Lesson, lesson_id)
    golfer = found(session, Golfer, lesson.golfer_id)
    return lesson, "right" if golfer.handedness == "right" else "left"

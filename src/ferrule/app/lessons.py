"""Lessons: start, end, list, read, note."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Final, get_args

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.recordings import views_of_recordings
from ferrule.app.swing_rows import view_of_reading, views_of_swings
from ferrule.app.undo import newest_entries
from ferrule.app.views import LessonLine, LessonView, NoteView, ReadingView
from ferrule.app.watched import notes_of
from ferrule.app.workspace import Workspace
from ferrule.coaching.case import Gear
from ferrule.store.tables import Club, Golfer, Lesson, Note, Reading, Swing

SURFACES: Final = ("mat", "grass")
BALLS: Final = ("range", "premium")


def start_lesson(
    ws: Workspace,
    golfer_id: int,
    *,
    place: str = "",
    surface: str | None = None,
    ball: str | None = None,
    flight_seen_m: float | None = None,
    at_hand: Sequence[str] = ("eye", "ball"),
    started_at: datetime | None = None,
    key: str | None = None,
) -> LessonView:
    """Start a lesson. at_hand: what the coach can look with today, of eye, video, sensor, ball.

    started_at: when it is written down later; not in the future. Raises InputError with the faults by field.
    """
    form = Form()
    values = _setting(form, place, surface, ball, flight_seen_m, at_hand)
    moment = started_at or now()
    if moment.tzinfo is None or moment > now() + timedelta(minutes=5) or moment.year < 1990:
        form.fail("out_of_range", "started_at", "a moment with its zone, not in the future", str(moment), do="Check it")
    form.done()
    with ws.change("start_lesson", key=key, golfer_id=golfer_id, can_undo=False) as change:
        found(change.session, Golfer, golfer_id)
        if not change.repeated:
            row = Lesson(golfer_id=golfer_id, started_at=moment, version=0, **values)
            change.session.add(row)
            change.session.flush()
            change.lesson_id = change.made_id = row.id
        made = change.made_id or 0
        if change.repeated:
            found(change.session, Lesson, made)
    return lesson(ws, made)


def update_lesson(
    ws: Workspace,
    lesson_id: int,
    *,
    place: str,
    surface: str | None,
    ball: str | None,
    flight_seen_m: float | None,
    at_hand: Sequence[str],
    key: str | None = None,
) -> LessonView:
    """Change where and with what the lesson is held."""
    form = Form()
    values = _setting(form, place, surface, ball, flight_seen_m, at_hand)
    form.done()
    with ws.change("update_lesson", key=key, lesson_id=lesson_id) as change:
        row = found(change.session, Lesson, lesson_id)
        if not change.repeated:
            for name, value in values.items():
                setattr(row, name, value)
    return lesson(ws, lesson_id)


def end_lesson(
    ws: Workspace, lesson_id: int, *, ended_at: datetime | None = None, key: str | None = None
) -> LessonView:
    """The lesson is over; entries may still be made."""
    with ws.change("end_lesson", key=key, lesson_id=lesson_id) as change:
        row = found(change.session, Lesson, lesson_id)
        if not change.repeated and row.ended_at is None:
            row.ended_at = max(ended_at or now(), row.started_at)
    return lesson(ws, lesson_id)


def add_note(ws: Workspace, lesson_id: int, text: str, *, key: str | None = None) -> NoteView:
    """Write a note. Raises InputError when it is empty."""
    form = Form()
    tidy = form.text("text", text)
    if not tidy:
        form.fail("missing", "text", "a note", "nothing", do="Type it in")
    form.done()
    with ws.change("add_note", key=key, lesson_id=lesson_id) as change:
        found(change.session, Lesson, lesson_id)
        if not change.repeated:
            row = Note(lesson_id=lesson_id, text=tidy, written_at=now())
            change.session.add(row)
            change.session.flush()
            change.made_id = row.id
        note = found(change.session, Note, change.made_id or 0)
        return NoteView(note.id, note.text, note.written_at)


def edit_note(ws: Workspace, note_id: int, text: str, *, key: str | None = None) -> None:
    """Change a note; an empty text removes it."""
    form = Form()
    tidy = form.text("text", text)
    form.done()
    with ws.reading() as session:
        lesson_id = found(session, Note, note_id).lesson_id
    with ws.change("edit_note", key=key, lesson_id=lesson_id) as change:
        if not change.repeated:
            row = found(change.session, Note, note_id)
            if tidy:
                row.text = tidy
            else:
                change.session.delete(row)


def lesson(ws: Workspace, lesson_id: int) -> LessonView:
    """A lesson with everything in it. Raises NotFoundError."""
    with ws.reading() as session:
        row = found(session, Lesson, lesson_id)
        golfer = found(session, Golfer, row.golfer_id)
        notes = session.scalars(select(Note).where(Note.lesson_id == lesson_id).order_by(Note.id))
        undo, redo = newest_entries(session, lesson_id=lesson_id)
        return LessonView(
            id=row.id,
            golfer_id=row.golfer_id,
            golfer=golfer.name,
            handedness=golfer.handedness,
            started_at=row.started_at,
            ended_at=row.ended_at,
            place=row.place,
            surface=row.surface,
            ball=row.ball,
            flight_seen_m=row.flight_seen_m,
            at_hand=tuple(row.at_hand),
            version=row.version,
            notes=tuple(NoteView(n.id, n.text, n.written_at) for n in notes),
            swings=tuple(views_of_swings(session, Swing.lesson_id == lesson_id)),
            grips=tuple(_grips(session, lesson_id)),
            recordings=tuple(views_of_recordings(session, lesson_id=lesson_id)),
            can_undo=undo.words if undo else None,
            can_redo=redo.words if redo else None,
            watched=notes_of(ws, lesson_id),
        )


def lessons(ws: Workspace, golfer_id: int | None = None, limit: int = 200) -> list[LessonLine]:
    """Lessons (of one golfer), the newest first."""
    query = select(Lesson).order_by(Lesson.started_at.desc(), Lesson.id.desc()).limit(limit)
    if golfer_id is not None:
        query = query.where(Lesson.golfer_id == golfer_id)
    with ws.reading() as session:
        rows = list(session.scalars(query))
        ids = [r.id for r in rows]
        counts = session.execute(
            select(Swing.lesson_id, Club.name, func.count(Swing.number))
            .join(Club, Club.id == Swing.club_id)
            .where(Swing.lesson_id.in_(ids))
            .group_by(Swing.lesson_id, Club.name)
            .order_by(func.count().desc(), Club.name)
        ).all()
    return [
        LessonLine(
            r.id, r.golfer_id, r.started_at, r.ended_at, r.place,
            sum(n for lesson_id, _, n in counts if lesson_id == r.id),
            tuple(club for lesson_id, club, _ in counts if lesson_id == r.id),
        )
        for r in rows
    ]  # fmt: skip


def _setting(
    form: Form, place: str, surface: str | None, ball: str | None, flight_seen_m: float | None, at_hand: Iterable[str]
) -> dict[str, object]:
    gear = list(dict.fromkeys(at_hand))
    for word in gear:
        form.choice("at_hand", word, get_args(Gear))
    return {
        "place": form.text("place", place),
        "surface": form.choice("surface", surface or None, SURFACES),
        "ball": form.choice("ball", ball or None, BALLS),
        "flight_seen_m": form.number("flight_seen_m", flight_seen_m, 0, 400, "a distance in metres"),
        "at_hand": gear,
    }


def _grips(session: Session, lesson_id: int) -> list[tuple[str, ReadingView]]:
    rows = session.execute(
        select(Club.name, Reading)
        .join(Club, Club.id == Reading.club_id)
        .where(Reading.lesson_id == lesson_id)
        .order_by(Reading.read_at, Reading.id)
    )
    return [(club, view_of_reading(session, reading)) for club, reading in rows]

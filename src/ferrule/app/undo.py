"""Take back the last entry, and do it again."""

from typing import Final

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from ferrule.app.finding import now
from ferrule.app.views import EntryView
from ferrule.app.workspace import Workspace
from ferrule.errors import NotFoundError, StoreError
from ferrule.store.changes import do_again, take_back
from ferrule.store.tables import Entry

WORDS: Final = {
    "add_swing": "ball entered",
    "set_reading": "reading changed",
    "remove_reading": "reading removed",
    "set_flight": "ball flight changed",
    "set_strike": "strike changed",
    "set_tried": "tried feel changed",
    "set_club": "club of a ball changed",
    "set_aside": "ball set aside",
    "take_in_again": "ball counted again",
    "read_grip": "grip read",
    "answer_look": "look answered",
    "add_note": "note written",
    "edit_note": "note changed",
    "update_lesson": "lesson changed",
    "end_lesson": "lesson ended",
    "import_recording": "recording dropped in",
    "import_ball_data": "table of ball flights taken in",
    "start_trial": "trial started",
    "add_trial_ball": "trial ball entered",
    "end_trial": "trial ended",
    "start_cold_test": "cold test started",
    "add_cold_ball": "cold ball entered",
    "end_cold_test": "cold test ended",
    "mark_cold_balls": "balls marked as a cold test",
    "rule_out": "check noted",
    "add_rep": "rep counted",
    "report": "report noted",
    "mark_reps": "recorded swings marked as reps",
    "choose_way": "way chosen",
    "set_window": "window set",
    "update_golfer": "golfer changed",
    "put_club": "club changed",
    "take_club": "club taken in hand",
    "put_away_club": "club put away",
    "record_consent": "consent noted",
    "withdraw_consent": "consent withdrawn",
}


def undo(ws: Workspace, *, lesson_id: int | None = None, golfer_id: int | None = None) -> EntryView:
    """Take back the newest entry of a lesson (or of a golfer's page). Raises NotFoundError when there is none."""
    return _turn(ws, "undo", lesson_id, golfer_id)


def redo(ws: Workspace, *, lesson_id: int | None = None, golfer_id: int | None = None) -> EntryView:
    """Do again what was taken back last. Raises NotFoundError when there is nothing, or something new was entered."""
    return _turn(ws, "redo", lesson_id, golfer_id)


def last_entries(
    ws: Workspace, *, lesson_id: int | None = None, golfer_id: int | None = None
) -> tuple[EntryView | None, EntryView | None]:
    """What undo and what redo would act on, in words for their buttons."""
    with ws.reading() as session:
        return newest_entries(session, lesson_id=lesson_id, golfer_id=golfer_id)


def newest_entries(
    session: Session, *, lesson_id: int | None = None, golfer_id: int | None = None
) -> tuple[EntryView | None, EntryView | None]:
    """See `last_entries`."""
    entries = [_entry(session, what, lesson_id, golfer_id) for what in ("undo", "redo")]
    return _view(entries[0]), _view(entries[1])


def _turn(ws: Workspace, what: str, lesson_id: int | None, golfer_id: int | None) -> EntryView:
    with ws.change(what, lesson_id=lesson_id, golfer_id=golfer_id, in_book=False) as change:
        entry = _entry(change.session, what, lesson_id, golfer_id)
        view = _view(entry)
        if entry is None or view is None:
            raise NotFoundError("There is nothing to take back." if what == "undo" else "There is nothing to do again.")
        try:
            if what == "undo":
                take_back(change.session.connection(), entry.rows)
                entry.undone_at = now()
            else:
                do_again(change.session.connection(), entry.rows)
                entry.undone_at = None
        except IntegrityError as error:
            raise StoreError("This entry cannot be turned any more: what it belonged to has gone.") from error
        change.session.flush()
        change.session.expire_all()
        return view


def _entry(session: Session, what: str, lesson_id: int | None, golfer_id: int | None) -> Entry | None:
    query = select(Entry).where(Entry.can_undo)
    if lesson_id is not None:
        query = query.where(Entry.lesson_id == lesson_id)
    else:
        query = query.where(Entry.lesson_id.is_(None), Entry.golfer_id == golfer_id)
    if what == "undo":
        return session.scalar(query.where(Entry.undone_at.is_(None)).order_by(Entry.id.desc()).limit(1))
    return session.scalar(query.where(Entry.undone_at.is_not(None)).order_by(Entry.id).limit(1))


def _view(entry: Entry | None) -> EntryView | None:
    if entry is None:
        return None
    return EntryView(entry.id, WORDS.get(entry.action, entry.action.replace("_", " ")), entry.made_at)

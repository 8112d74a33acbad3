"""Bytes of recordings that nobody uses any more."""

from sqlalchemy import delete, select, update
from sqlalchemy.orm import Session

from ferrule.store.tables import Entry, Original, Recording


def forget_unused(session: Session) -> bool:
    """Delete originals that no recording uses; imports that were taken back can then not be done again.

    Returns whether there were any.
    """
    unused = Original.sha256.not_in(select(Recording.sha256))
    if session.scalar(select(Original.sha256).where(unused).limit(1)) is None:
        return False
    taken_back = (Entry.action == "import_recording") & Entry.undone_at.is_not(None)
    session.execute(update(Entry).where(taken_back).values(can_undo=False))
    session.execute(delete(Original).where(unused))
    return True

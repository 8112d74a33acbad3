"""Erase means erase: a golfer goes with everything derived, and with the recordings nobody else uses."""

from ferrule.app.finding import found
from ferrule.app.overview import forget
from ferrule.app.workspace import Workspace
from ferrule.store.originals import forget_unused
from ferrule.store.tables import Golfer


def erase_golfer(ws: Workspace, golfer_id: int) -> None:
    """Erase a golfer, their lessons, swings, readings, results, plans and recordings. There is no way back.

    Freed pages are overwritten, the file is written anew without them and the log is emptied. Copies that were made
    before a migration are removed as well; backups elsewhere are the coach's to erase.
    """
    with ws.change("erase_golfer", golfer_id=golfer_id, in_book=False) as change:
        change.session.delete(found(change.session, Golfer, golfer_id))  # all that is theirs follows by foreign key
        change.session.flush()
        forget_unused(change.session)
    ws.answers.forget()
    forget(ws, golfer_id)
    ws.rewrite()
    for copy in ws.folder.backups.glob("*.sqlite"):
        copy.unlink()

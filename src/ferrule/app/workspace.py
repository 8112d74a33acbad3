"""An open data folder: the engine, the lock, the change feed. What a coach does is a function in a module beside this."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import RLock
from types import TracebackType
from typing import Self

from sqlalchemy import Engine, select
from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import Session

from ferrule.app.answers import Answers
from ferrule.app.feed import Change, ChangeFeed
from ferrule.app.finding import now
from ferrule.errors import StoreError
from ferrule.store import schema
from ferrule.store.backup import copy_database
from ferrule.store.changes import ChangeBook
from ferrule.store.engine import open_engine
from ferrule.store.folder import Folder, FolderLock
from ferrule.store.originals import forget_unused
from ferrule.store.tables import Entry, Lesson


@dataclass(eq=False, slots=True)
class Commit:
    """One action under way. session: read and change rows through it.

    made_id: id of the row the action made. repeated: the same request came before; made_id is what it made then, and
    nothing must be done again.
    """

    session: Session
    action: str
    golfer_id: int | None = None
    lesson_id: int | None = None
    made_id: int | None = None
    repeated: bool = False
    can_undo: bool = True
    book: ChangeBook = field(init=False)


class Workspace:
    """An open data folder. Use as a context manager, or call `close()`.

    read_only: nothing can be changed, no lock is taken, and it may be open beside the server.
    Raises StoreError when the folder is held by another process, made by a newer Ferrule, damaged or not ours.
    """

    def __init__(self, path: Path | str, *, read_only: bool = False) -> None:
        self.folder = Folder(Path(path))
        self.read_only = read_only
        self.feed = ChangeFeed()
        self.answers = Answers()
        self._writing = RLock()
        self._lock: FolderLock | None = None
        if read_only:
            if not self.folder.database.is_file():
                raise StoreError(
                    "There is no Ferrule data in this folder. Check its name, or open it for writing once."
                )
        else:
            self.folder.make()
            self._lock = FolderLock(self.folder)
        try:
            self.engine: Engine = open_engine(self.folder.database, read_only=read_only)
            self._bring_up_to_date()
        except DatabaseError as error:
            self.close()
            raise StoreError(
                f"The data in this folder cannot be read ({error.orig}). Run `ferrule check`, or restore a backup."
            ) from error
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Close the engine and free the lock. May be called twice."""
        if hasattr(self, "engine"):
            self.engine.dispose()
        if self._lock is not None:
            self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one consistent state of the data."""
        with Session(self.engine, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def change(
        self,
        action: str,
        *,
        key: str | None = None,
        golfer_id: int | None = None,
        lesson_id: int | None = None,
        can_undo: bool = True,
        in_book: bool = True,
    ) -> Iterator[Commit]:
        """One action of the coach: all of it is committed and published at the end, or nothing.

        key: made by the page, new for every submit; the same key again finds `repeated` set and changes nothing.
        in_book: written into the book of entries (background work is not).
        """
        if self.read_only:
            raise StoreError("This folder is open read-only: nothing can be entered.")
        with self._writing:
            connection = self.engine.connect().execution_options(writes=True)
            with connection, Session(connection, expire_on_commit=False) as session:
                commit = Commit(session, action, golfer_id, lesson_id, can_undo=can_undo)
                before = session.scalar(select(Entry).where(Entry.request_key == key)) if key else None
                if before is not None:
                    commit.repeated, commit.made_id = True, before.made_id
                    commit.golfer_id, commit.lesson_id = before.golfer_id, before.lesson_id
                    yield commit
                    session.rollback()
                    return
                commit.book = ChangeBook(session)
                yield commit
                session.flush()
                lesson = session.get(Lesson, commit.lesson_id) if commit.lesson_id else None
                if lesson is not None:
                    lesson.version += 1
                    commit.golfer_id = lesson.golfer_id
                if in_book:
                    _write_entry(session, commit, key)
                version = lesson.version if lesson is not None else 0
                session.commit()
            # Still inside the writing lock, so that subscribers hear of commits in their order.
            self.feed.publish(Change(commit.lesson_id, version, commit.golfer_id, action))

    def rewrite(self) -> None:
        """Write the file anew without its freed pages, and empty the log."""
        with self._writing:
            raw = self.engine.raw_connection()
            try:
                for statement in ("VACUUM", "PRAGMA wal_checkpoint(TRUNCATE)"):
                    raw.execute(statement).fetchall()
            except sqlite3.OperationalError as error:
                raise StoreError(
                    "The data was erased, but the file could not be written anew because it is being read"
                    f" ({error}). Close other pages and erase again, or restart Ferrule."
                ) from error
            finally:
                raw.close()

    def _bring_up_to_date(self) -> None:
        if self.read_only:
            with self.engine.connect() as connection:
                at = schema.revision_of(connection)
            schema.refuse_newer(at)
            if at != schema.head():
                raise StoreError(
                    "This folder is from an older Ferrule. Open it for writing once to bring it up to date."
                )
            return
        schema.migrate(self.engine, self._keep_copy)
        with self.engine.connect().execution_options(writes=True) as connection, Session(connection) as session:
            forget_unused(session)  # imports taken back in an earlier run
            session.commit()

    def _keep_copy(self, revision: str) -> None:
        self.folder.backups.mkdir(exist_ok=True)
        copy_database(self.folder.database, self.folder.backups / f"schema-{revision}-{now():%Y%m%dT%H%M%S}.sqlite")


def _write_entry(session: Session, commit: Commit, key: str | None) -> None:
    if commit.can_undo:
        # What was undone before cannot be redone after something new was entered.
        undone = select(Entry).where(
            Entry.undone_at.is_not(None),
            Entry.can_undo,
            Entry.lesson_id == commit.lesson_id,
            Entry.golfer_id == commit.golfer_id,
        )
        for entry in session.scalars(undone):
            entry.can_undo = False
    session.add(
        Entry(
            request_key=key,
            golfer_id=commit.golfer_id,
            lesson_id=commit.lesson_id,
            action=commit.action,
            made_id=commit.made_id,
            rows=commit.book.rows if commit.can_undo else [],
            made_at=now(),
            can_undo=commit.can_undo,
        )
    )

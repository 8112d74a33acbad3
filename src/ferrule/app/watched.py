"""The watched folder: what a device writes there appears in the lesson that is being held, once it has stopped growing.

One folder is looked through once a second while a lesson is open, and not at all otherwise. A file that cannot be taken
is named with the reason, and is looked at again only when it has changed. What a coach took back stays away. A folder that
cannot be read is told once.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from stat import S_ISREG
from threading import Event, Lock, Thread
from typing import Final
from weakref import WeakKeyDictionary

from sqlalchemy import exists, func, select

from ferrule.app.feed import Change
from ferrule.app.finding import now
from ferrule.app.recordings import LARGEST_BYTES, import_recording
from ferrule.app.settings import settings
from ferrule.app.views import WatchNote
from ferrule.app.workspace import Workspace
from ferrule.errors import FerruleError
from ferrule.store.codec import sha256_of
from ferrule.store.tables import Entry, Lesson

log = logging.getLogger(__name__)
EVERY_S: Final = 1.0
ENDINGS: Final = (".csv", ".txt", ".tsv", ".parquet", ".c3d", ".xdf")
OPEN_FOR: Final = timedelta(hours=12)
"""A lesson begun longer ago and never ended is not being held any more."""
MOST_NOTES: Final = 5
MOST_FILES: Final = 5000

Seen = tuple[int, int]
"""Size and time of the last change of a file."""

_NOTES: "WeakKeyDictionary[Workspace, list[WatchNote]]" = WeakKeyDictionary()


def notes_of(ws: Workspace, lesson_id: int) -> tuple[WatchNote, ...]:
    """What could not be taken into this lesson from the watched folder, the newest first."""
    return tuple(n for n in reversed(_NOTES.get(ws, [])) if n.lesson_id == lesson_id)[:MOST_NOTES]


def lesson_being_held(ws: Workspace) -> tuple[int, datetime] | None:
    """The open lesson of today and when it began: of several the one in which something was entered last."""
    with ws.reading() as session:
        last = select(func.max(Entry.id)).where(Entry.lesson_id == Lesson.id).scalar_subquery()
        row = session.execute(
            select(Lesson.id, Lesson.started_at)
            .where(Lesson.ended_at.is_(None), Lesson.started_at > now() - OPEN_FOR)
            .order_by(func.coalesce(last, 0).desc(), Lesson.started_at.desc())
            .limit(1)
        ).first()
    return None if row is None else (row.id, row.started_at)


@dataclass(slots=True)
class _File:
    """One file as it was when looked at last; done: taken or refused in this state."""

    seen: Seen
    done: bool = False


class Watcher:
    """Looks through the folder of the setting `watched_folder` in a thread of its own."""

    def __init__(self, ws: Workspace) -> None:
        self._ws = ws
        self._files: dict[Path, _File] = {}
        self._wake = Event()
        self._stopping = Event()
        self._looking = Lock()
        self._thread: Thread | None = None
        self._told: object = None
        self._end_of_feed: Callable[[], None] = lambda: None

    def start(self) -> None:
        """Begin."""
        self._end_of_feed = self._ws.feed.subscribe(lambda _change: self._wake.set())
        self._thread = Thread(target=self._run, name="watched folder", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End; returns when the thread has ended."""
        self._stopping.set()
        self._wake.set()
        self._end_of_feed()
        if self._thread is not None:
            self._thread.join()

    def _run(self) -> None:
        while not self._stopping.is_set():
            self._wake.clear()
            try:
                active = self.look()
            except Exception as error:
                if self._told != (told := repr(error)):
                    log.exception("the watched folder could not be looked through; it is tried again every second")
                self._told, active = told, True
            if active:
                self._stopping.wait(EVERY_S)
            else:
                self._wake.wait()  # a lesson begins or a setting changes: the feed tells

    def look(self) -> bool:
        """Look once; False when there is nothing to be watched. A file is taken the second time it looks the same."""
        with self._looking:
            folder = settings(self._ws).watched_folder
            held = lesson_being_held(self._ws) if folder else None
            if held is None:
                return False
            lesson_id, began = held
            try:
                files = _files_in(Path(folder), began)
            except OSError as error:
                self._unreadable(lesson_id, folder, error)
                return True
            self._told = None
            for path, seen in files:
                if self._stopping.is_set():
                    break
                known = self._files.get(path)
                if known is None or known.seen != seen:
                    self._files[path] = _File(seen)
                elif not known.done and seen[0] > 0:
                    known.done = self._take(path, lesson_id)
            return True

    def _take(self, path: Path, lesson_id: int) -> bool:
        """Import one file; True when there is no use in trying again."""
        try:
            content = b"" if path.stat().st_size > LARGEST_BYTES else path.read_bytes()
        except OSError:
            return False  # still held by the device: next time
        try:
            if not content:
                words = f"expected at most {LARGEST_BYTES // 1_000_000} MB, got more: a video or another kind of file."
                self._note(lesson_id, path.name, words)
            else:
                key = f"watched {lesson_id} {sha256_of(content)}"
                if not self._taken_before(key):
                    import_recording(self._ws, lesson_id, content, path.name, key=key)
        except FerruleError as error:
            self._note(lesson_id, path.name, str(error))
        return True

    def _taken_before(self, key: str) -> bool:
        """Whether this was taken into this lesson already, and may have been taken back since."""
        with self._ws.reading() as session:
            return bool(session.scalar(select(exists().where(Entry.request_key == key))))

    def _unreadable(self, lesson_id: int, folder: str, error: OSError) -> None:
        told = (lesson_id, folder, error.errno)
        if self._told != told:
            self._told = told
            log.warning("the watched folder %s cannot be read (%s); it is tried again every second", folder, error)
            self._note(
                lesson_id,
                "",
                f"The watched folder {folder} cannot be read. See whether it is still there and may be read.",
            )

    def _note(self, lesson_id: int, name: str, words: str) -> None:
        notes = _NOTES.setdefault(self._ws, [])
        notes.append(WatchNote(lesson_id, name, words, now()))
        del notes[:-50]
        # Nothing was committed, but the page has something new to say.
        with self._ws.reading() as session:
            lesson = session.get(Lesson, lesson_id)
        if lesson is not None:
            self._ws.feed.publish(Change(lesson_id, lesson.version, lesson.golfer_id, "watched_folder"))


def _files_in(folder: Path, since: datetime) -> list[tuple[Path, Seen]]:
    """Files of a kind that may be a recording, changed since then, the oldest first. Raises OSError."""
    out = []
    for i, path in enumerate(folder.iterdir()):
        if i >= MOST_FILES:
            break
        if path.suffix.lower() not in ENDINGS or path.name.startswith((".", "~")):
            continue
        try:
            found = path.stat()
        except OSError:
            continue
        if S_ISREG(found.st_mode) and found.st_mtime >= since.timestamp():
            out.append((path, (found.st_size, found.st_mtime_ns)))
    return sorted(out, key=lambda each: (each[1][1], each[0].name))

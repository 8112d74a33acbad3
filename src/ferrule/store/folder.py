"""The data folder: where things lie in it, and the lock that one server process holds."""

import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Final

from ferrule.errors import StoreError

DATABASE: Final = "ferrule.sqlite"
LOCK: Final = "ferrule.lock"
VIDEOS: Final = "videos"
BACKUPS: Final = "backups"

if os.name == "nt":  # pragma: no cover - no Windows here
    import msvcrt

    def _take(handle: IO[str]) -> None:
        handle.seek(1024)
        msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
else:
    import fcntl

    def _take(handle: IO[str]) -> None:
        fcntl.flock(handle.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


@dataclass(frozen=True, slots=True)
class Folder:
    """Paths inside a data folder."""

    path: Path

    @property
    def database(self) -> Path:
        """The SQLite file."""
        return self.path / DATABASE

    @property
    def videos(self) -> Path:
        """Video originals, each named by its hash."""
        return self.path / VIDEOS

    @property
    def backups(self) -> Path:
        """Copies made before a migration."""
        return self.path / BACKUPS

    def make(self) -> None:
        """Create the folder when it is not there. Raises StoreError when that cannot be done."""
        if self.path.exists() and not self.path.is_dir():
            raise StoreError(f"{self.path.name} is a file; expected a folder for Ferrule's data. Choose another name.")
        try:
            self.path.mkdir(parents=True, exist_ok=True)
            # Recordings are private: nobody else on this machine reads them.
            with suppress(OSError):
                self.path.chmod(0o700)
        except OSError as error:
            raise StoreError(
                f"The folder cannot be made ({error.strerror}). Choose a place you may write to."
            ) from error


class FolderLock:
    """Held by the one process that writes to a folder. The system frees it when the process ends, however it ends."""

    def __init__(self, folder: Folder) -> None:
        try:
            self._handle: IO[str] | None = (folder.path / LOCK).open("a+", encoding="utf-8")
        except OSError as error:
            raise StoreError(f"The folder cannot be written to ({error.strerror}).") from error
        try:
            _take(self._handle)
        except OSError:
            self._handle.seek(0)
            holder = self._handle.read(20).strip()
            self._handle.close()
            self._handle = None
            who = f" (process {holder})" if holder.isdigit() else ""
            raise StoreError(
                f"Another Ferrule{who} has this folder open. Use that one, close it first, or open the folder read-only."
            ) from None
        self._handle.seek(0)
        self._handle.truncate()
        self._handle.write(str(os.getpid()))
        self._handle.flush()

    def release(self) -> None:
        """Let another process have the folder."""
        if self._handle is not None:
            self._handle.close()
            self._handle = None

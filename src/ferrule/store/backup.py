"""Backup, restore, check: a copy that is whole, and the proof that it is.

A backup is a folder: the database as `VACUUM INTO` writes it (everything committed, also while the server runs), the
videos, and a manifest of hashes. Copying the live database file by hand loses what is still in the log.
"""

import hashlib
import json
import os
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final
from uuid import uuid4

from ferrule.errors import StoreError
from ferrule.store import schema
from ferrule.store.codec import sha256_of, unpack_bytes
from ferrule.store.folder import DATABASE, VIDEOS, Folder

MANIFEST: Final = "manifest.json"
MANIFEST_SCHEMA: Final = 1
_CHUNK: Final = 1 << 20


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What a check looked at and what it found. problems empty: all is well."""

    problems: tuple[str, ...]
    schema: str
    golfers: int
    lessons: int
    swings: int
    recordings: int
    videos: int

    @property
    def clean(self) -> bool:
        """True when nothing was found."""
        return not self.problems


def copy_database(source: Path, target: Path) -> None:
    """A consistent copy of a live database. target must not exist; nothing half-written stays."""
    partial = target.with_name(f".{target.name}.{uuid4().hex}")
    try:
        with closing(sqlite3.connect(f"{source.resolve().as_uri()}?mode=ro", uri=True)) as connection:
            connection.execute("VACUUM INTO ?", (str(partial),))
        _sync(partial)
        partial.rename(target)
    except sqlite3.Error as error:
        raise StoreError(f"The database could not be copied ({error}).") from error
    finally:
        partial.unlink(missing_ok=True)


def back_up(folder: Path, target: Path) -> Path:
    """Write a backup of the data folder to `target`, a new or empty folder. Works beside the running server.

    Returns the target. Raises StoreError; nothing half-written stays.
    """
    source = Folder(folder)
    if not source.database.is_file():
        raise StoreError(f"There is no Ferrule data in {folder.name}. Check the folder's name.")
    _must_be_empty(target, "backup")
    partial = _beside(target)
    try:
        partial.mkdir(parents=True, mode=0o700)
        copy_database(source.database, partial / DATABASE)
        if source.videos.is_dir():
            shutil.copytree(source.videos, partial / VIDEOS)
        manifest = {
            "schema": MANIFEST_SCHEMA,
            "made_at": datetime.now(UTC).isoformat(timespec="seconds"),
            "sha256": {p.relative_to(partial).as_posix(): _hash_of(p) for p in _files(partial)},
        }
        (partial / MANIFEST).write_text(json.dumps(manifest, indent=1), encoding="utf-8")
        for path in _files(partial):
            _sync(path)
        _put_in_place(partial, target)
    except OSError as error:
        raise StoreError(f"The backup could not be written ({error.strerror}).") from error
    finally:
        shutil.rmtree(partial, ignore_errors=True)
    return target


def restore(backup: Path, folder: Path) -> None:
    """Put a backup into a new or empty folder, after checking every hash. Raises StoreError and changes nothing else."""
    manifest = _manifest_of(backup)
    _must_be_empty(folder, "data")
    for name, digest in manifest.items():
        path = backup / name
        if not path.is_file():
            raise StoreError(f"The backup is not whole: {name} is missing. Use another backup.")
        if _hash_of(path) != digest:
            raise StoreError(f"The backup is damaged: {name} is not what was written. Use another backup.")
    partial = _beside(folder)
    try:
        partial.mkdir(parents=True, mode=0o700)
        for name in manifest:
            copy = partial / name
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(backup / name, copy)
            _sync(copy)
        _put_in_place(partial, folder)
    except OSError as error:
        raise StoreError(f"The backup could not be restored ({error.strerror}).") from error
    finally:
        shutil.rmtree(partial, ignore_errors=True)


def check(folder: Path) -> CheckReport:
    """Look through a data folder: the file's structure, references between rows, every kept recording and video.

    Opens read-only, so that it can run beside the server.
    """
    place = Folder(folder)
    if not place.database.is_file():
        raise StoreError(f"There is no Ferrule data in {folder.name}. Check the folder's name.")
    problems: list[str] = []
    try:
        with closing(sqlite3.connect(f"{place.database.resolve().as_uri()}?mode=ro", uri=True)) as connection:
            rows = connection.execute("PRAGMA integrity_check").fetchall()
            problems += [f"database: {row[0]}" for row in rows if row[0] != "ok"]
            problems += [
                f"row {row[1]} of {row[0]} points to a missing {row[2]}"
                for row in connection.execute("PRAGMA foreign_key_check")
            ]
            revision = str(connection.execute("SELECT version_num FROM alembic_version").fetchone()[0])
            problems += _damaged_recordings(connection)
            counts = {
                table: int(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0])
                for table in ("golfer", "lesson", "swing", "recording")
            }
    except (sqlite3.Error, TypeError) as error:
        return CheckReport((f"database: {error}",), "", 0, 0, 0, 0, 0)
    schema.refuse_newer(revision)
    videos = _files(place.videos) if place.videos.is_dir() else []
    problems += [f"video {p.name}: its content is not what was kept" for p in videos if _hash_of(p) != p.stem]
    return CheckReport(
        tuple(problems),
        revision,
        counts["golfer"],
        counts["lesson"],
        counts["swing"],
        counts["recording"],
        len(videos),
    )


def _damaged_recordings(connection: sqlite3.Connection) -> list[str]:
    problems = []
    for sha256, size, packing, content in connection.execute(
        "SELECT sha256, size_bytes, packing, content FROM original"
    ):
        try:
            original = unpack_bytes(packing, content)
        except StoreError as error:
            problems.append(f"recording {sha256[:12]}: {error}")
            continue
        if len(original) != size or sha256_of(original) != sha256:
            problems.append(f"recording {sha256[:12]}: its bytes are not what was imported")
    return problems


def _manifest_of(backup: Path) -> dict[str, str]:
    try:
        data: Any = json.loads((backup / MANIFEST).read_text(encoding="utf-8"))
        names = {str(k): str(v) for k, v in data["sha256"].items()}
    except (OSError, ValueError, KeyError, AttributeError, TypeError):
        raise StoreError(
            f"{backup.name} is not a backup: expected a folder with a readable {MANIFEST}. Choose the folder that"
            " `ferrule backup` wrote."
        ) from None
    if any(Path(name).is_absolute() or ".." in Path(name).parts for name in names) or DATABASE not in names:
        raise StoreError(f"The manifest of {backup.name} names files outside the backup or no database.")
    return names


def _must_be_empty(target: Path, what: str) -> None:
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise StoreError(f"{target.name} is there already and not empty. Choose a new folder for the {what}.")


def _beside(target: Path) -> Path:
    return target.absolute().parent / f".{target.name}.{uuid4().hex}"


def _put_in_place(partial: Path, target: Path) -> None:
    if target.exists():
        target.rmdir()
    partial.rename(target)
    _sync(target.absolute().parent)


def _files(folder: Path) -> list[Path]:
    return sorted(p for p in folder.rglob("*") if p.is_file() and p.name != MANIFEST)


def _hash_of(path: Path) -> str:
    digest = hashlib.sha256()
    with path.open("rb") as handle:
        while chunk := handle.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


def _sync(path: Path) -> None:
    if os.name == "nt" and path.is_dir():  # pragma: no cover - folders cannot be synced there
        return
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

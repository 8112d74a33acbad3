"""A backup is whole while the server writes; restore refuses what it must; check finds damage."""

import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from ferrule.app import golfers, keeping
from ferrule.app.workspace import Workspace
from ferrule.errors import StoreError
from ferrule.store.codec import sha256_of

SAMPLE = Path(__file__).parent.parent / "samples" / "schema_0001.sql"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "data"
    place.mkdir()
    with closing(sqlite3.connect(place / "ferrule.sqlite")) as connection:
        connection.executescript(SAMPLE.read_text(encoding="utf-8"))
    (place / "videos").mkdir()
    (place / "videos" / f"{sha256_of(b'frames')}.mp4").write_bytes(b"frames")
    return place


def test_backup_restore_check_round_trip_beside_a_writer(folder: Path, tmp_path: Path) -> None:
    with Workspace(folder) as ws:
        for i in range(20):
            golfers.add_golfer(ws, name=f"Golfer {i}", handedness="right")
        backup = keeping.back_up_folder(folder, tmp_path / "copy")
        golfers.add_golfer(ws, name="Too late", handedness="right")
    report = keeping.restore_folder(backup, tmp_path / "again")
    assert report.clean, report.problems
    assert (report.golfers, report.swings, report.recordings, report.videos) == (21, 2, 1, 1)
    with Workspace(tmp_path / "again") as ws:
        assert {g.name for g in golfers.golfers(ws)} == {"Ines Över"} | {f"Golfer {i}" for i in range(20)}
    assert sorted(p.name for p in tmp_path.iterdir()) == ["again", "copy", "data"]


def test_a_backup_gets_a_name_of_its_own(folder: Path) -> None:
    made = keeping.back_up_folder(folder)
    assert made.parent == folder.parent
    assert made.name.startswith("data-backup-2")


def test_nothing_is_overwritten(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "letter.txt").write_text("keep me")
    with pytest.raises(StoreError, match="not empty"):
        keeping.back_up_folder(folder, tmp_path / "full")
    backup = keeping.back_up_folder(folder, tmp_path / "copy")
    with pytest.raises(StoreError, match="not empty"):
        keeping.restore_folder(backup, folder)
    (tmp_path / "empty").mkdir()
    assert keeping.restore_folder(backup, tmp_path / "empty").clean


@pytest.mark.parametrize("damage", ["changed", "missing", "video", "no manifest", "not json", "outside"])
def test_a_damaged_backup_is_refused_and_nothing_is_written(folder: Path, tmp_path: Path, damage: str) -> None:
    backup = keeping.back_up_folder(folder, tmp_path / "copy")
    manifest = backup / "manifest.json"
    if damage == "changed":
        data = bytearray((backup / "ferrule.sqlite").read_bytes())
        data[-1] ^= 255
        (backup / "ferrule.sqlite").write_bytes(data)
    elif damage == "missing":
        (backup / "ferrule.sqlite").unlink()
    elif damage == "video":
        next((backup / "videos").iterdir()).write_bytes(b"other")
    elif damage == "no manifest":
        manifest.unlink()
    elif damage == "not json":
        manifest.write_text("{")
    else:
        names = json.loads(manifest.read_text())
        names["sha256"]["../../letter.txt"] = "0"
        manifest.write_text(json.dumps(names))
    with pytest.raises(StoreError, match=r"not a backup|damaged|not whole|outside the backup"):
        keeping.restore_folder(backup, tmp_path / "again")
    assert not (tmp_path / "again").exists()
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]


def test_a_backup_that_cannot_be_finished_leaves_nothing(folder: Path, tmp_path: Path, monkeypatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shutil, "copytree", full)
    with pytest.raises(StoreError, match="No space left"):
        keeping.back_up_folder(folder, tmp_path / "copy")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["data"]


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE original SET content = X'00'", "its bytes are not what was imported"),
        ("UPDATE original SET packing = 'zlib'", "damaged"),
        ("UPDATE swing SET club_id = 77 WHERE id = 1", "row 1 of swing points to a missing club"),
    ],
)
def test_check_finds_damage(folder: Path, statement: str, words: str) -> None:
    with closing(sqlite3.connect(folder / "ferrule.sqlite")) as connection, connection:
        connection.execute(statement)
    report = keeping.check_folder(folder)
    assert not report.clean
    assert any(words in p for p in report.problems), report.problems


def test_check_finds_a_changed_video_and_a_torn_file(folder: Path) -> None:
    assert keeping.check_folder(folder).clean
    next((folder / "videos").iterdir()).write_bytes(b"cut")
    assert any("video" in p for p in keeping.check_folder(folder).problems)
    data = (folder / "ferrule.sqlite").read_bytes()
    (folder / "ferrule.sqlite").write_bytes(data[: len(data) // 2])
    assert not keeping.check_folder(folder).clean


def test_no_folder_is_told(tmp_path: Path) -> None:
    for action in (keeping.check_folder, keeping.back_up_folder):
        with pytest.raises(StoreError, match="no Ferrule data"):
            action(tmp_path)

"""One writer a folder, and the database kept as it must be."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError, OperationalError

from ferrule.app.workspace import Workspace
from ferrule.errors import StoreError

OPEN_IT = (
    "import sys; from ferrule.app.workspace import Workspace; Workspace(sys.argv[1], read_only=sys.argv[2] == 'ro')"
)


def open_elsewhere(folder: Path, how: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", OPEN_IT, str(folder), how], capture_output=True, text=True, check=False, timeout=60
    )


def test_a_second_process_is_refused_unless_it_only_reads(tmp_path: Path) -> None:
    with Workspace(tmp_path):
        refused = open_elsewhere(tmp_path, "rw")
        assert refused.returncode != 0
        assert f"Another Ferrule (process {os.getpid()}) has this folder open" in refused.stderr
        assert open_elsewhere(tmp_path, "ro").returncode == 0
    assert open_elsewhere(tmp_path, "rw").returncode == 0


def test_the_same_process_is_refused_too(tmp_path: Path) -> None:
    with Workspace(tmp_path), pytest.raises(StoreError, match="has this folder open"):
        Workspace(tmp_path)


def test_read_only_needs_a_folder_and_writes_nothing(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="no Ferrule data"):
        Workspace(tmp_path / "nowhere", read_only=True)
    assert not (tmp_path / "nowhere").exists()
    Workspace(tmp_path).close()
    with Workspace(tmp_path, read_only=True) as ws:
        with pytest.raises(StoreError, match="read-only"), ws.change("anything"):
            pass
        with ws.reading() as session, pytest.raises(OperationalError, match="readonly"):
            session.execute(text("DELETE FROM golfer"))


def test_a_file_in_the_way_is_told(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("x")
    with pytest.raises(StoreError, match="is a file"):
        Workspace(tmp_path / "data")


def test_odd_folder_names_work(tmp_path: Path) -> None:
    folder = tmp_path / "50% der Übung? #1 'a'"
    Workspace(folder).close()
    assert sorted(p.name for p in folder.iterdir())[:2] == ["ferrule.lock", "ferrule.sqlite"]
    assert [p.name for p in tmp_path.iterdir()] == [folder.name]


def test_the_database_is_kept_as_it_must_be(tmp_path: Path) -> None:
    with Workspace(tmp_path) as ws, ws.engine.connect() as connection:
        kept = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "secure_delete", "busy_timeout", "fullfsync")
        }
    assert kept == {
        "journal_mode": "wal",
        "synchronous": 2,  # FULL
        "foreign_keys": 1,
        "secure_delete": 1,
        "busy_timeout": 5000,
        "fullfsync": 1,
    }
    assert tmp_path.stat().st_mode & 0o077 == 0 or os.name == "nt"


@pytest.mark.parametrize(
    "wrong",
    [
        "INSERT INTO club (golfer_id, name, is_current) VALUES (99, '7-iron', 1)",
        "INSERT INTO golfer (name, handedness, age_group, added_at, goal, next_event, told_before, pain, carer_name)"
        " VALUES ('', 'right', 'adult', '2026-01-01 00:00:00', '', '', '', '[]', '')",
        "INSERT INTO golfer (name, handedness, age_group, added_at, goal, next_event, told_before, pain, carer_name)"
        " VALUES ('A', 'both', 'adult', '2026-01-01 00:00:00', '', '', '', '[]', '')",
    ],
    ids=["no such golfer", "no name", "no such hand"],
)
def test_rows_that_make_no_sense_are_refused(tmp_path: Path, wrong: str) -> None:
    with Workspace(tmp_path) as ws, ws.engine.connect() as connection, pytest.raises(IntegrityError):
        connection.execute(text(wrong))

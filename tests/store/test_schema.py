"""Every schema version is migrated from its stored sample; models and migrations agree; newer and foreign are refused."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Connection, Engine, select, text
from sqlalchemy.orm import Session

from ferrule.app.workspace import Workspace
from ferrule.errors import StoreError
from ferrule.store import schema
from ferrule.store.backup import check
from ferrule.store.engine import open_engine
from ferrule.store.folder import DATABASE
from ferrule.store.tables import Base, Club, ColdBall, Golfer, OwnDrill, Reading, Report, Swing

SAMPLES = Path(__file__).parent.parent / "samples"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    engine = open_engine(tmp_path / DATABASE)
    yield engine
    engine.dispose()


def lay(sample: str, folder: Path) -> None:
    with closing(sqlite3.connect(folder / DATABASE)) as connection:
        connection.executescript((SAMPLES / sample).read_text(encoding="utf-8"))


def test_there_is_a_sample_of_every_version() -> None:
    wanted = {f"schema_{n:04d}.sql" for n in range(1, int(schema.head()) + 1)}
    assert {p.name for p in SAMPLES.glob("schema_*.sql")} == wanted


def test_models_and_migrations_agree(engine: Engine, tmp_path: Path) -> None:
    schema.migrate(engine)
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "compare_server_default": True})
        assert compare_metadata(context, Base.metadata) == []
        kept = written(connection)
    # Checks and autoincrement are not compared by the tool: compare the written tables.
    other = open_engine(tmp_path / "by_models.sqlite")
    Base.metadata.create_all(other)
    with other.connect() as connection:
        made = written(connection)
    other.dispose()
    kept.pop("alembic_version")
    assert kept == made


def written(connection: Connection) -> dict[str, list[str]]:
    rows = connection.execute(text("SELECT name, sql FROM sqlite_master WHERE type = 'table'"))
    return {row.name: squeezed(row.sql) for row in rows}


def squeezed(sql: str | None) -> list[str]:
    inside = " ".join((sql or "").split())
    return sorted(part.strip(" ()") for part in inside.split(","))


@pytest.mark.parametrize("sample", sorted(p.name for p in SAMPLES.glob("schema_*.sql")))
def test_a_stored_folder_opens_and_reads(sample: str, tmp_path: Path) -> None:
    lay(sample, tmp_path)
    with Workspace(tmp_path) as ws, ws.reading() as session:
        golfer = session.scalars(select(Golfer)).one()
        assert (golfer.name, golfer.handedness, golfer.pain) == ("Ines Över", "left", ["left wrist"])
        assert golfer.added_at.isoformat() == "2026-03-14T09:30:00+00:00"
        reading = session.get_one(Reading, 1)
        assert (reading.value, reading.device_value) == (-14.0, 14.0)
        kept = sample >= "schema_0002.sql"
        assert [r.confidence for r in session.scalars(select(Report))] == [6] * kept
        assert [b.swing_id for b in session.scalars(select(ColdBall))] == [1] * kept
        drills = [(d.title, d.load, d.doses[0]["reps"], d.at_least) for d in session.scalars(select(OwnDrill))]
        assert drills == [("Broom by the fence", "wrist", 5, -5.0)] * (sample >= "schema_0003.sql")
        newest = sample >= "schema_0004.sql"
        assert [c.put_away_at is not None for c in session.scalars(select(Club))] == [newest]
        assert [s.rep_did for s in session.scalars(select(Swing).order_by(Swing.id))] == [newest or None, None]
    report = check(tmp_path)
    assert report.clean, report.problems
    assert (report.schema, report.swings, report.recordings) == (schema.head(), 2, 1)
    copies = list((tmp_path / "backups").glob("*.sqlite")) if (tmp_path / "backups").exists() else []
    assert len(copies) == (0 if sample == f"schema_{schema.head()}.sql" else 1)


def test_a_rep_that_was_set_aside_has_missed_its_purpose_from_now_on(tmp_path: Path) -> None:
    lay("schema_0003.sql", tmp_path)
    with closing(sqlite3.connect(tmp_path / DATABASE)) as connection, connection:
        connection.execute("UPDATE swing SET set_aside_why = 'missed its purpose' WHERE id = 2")
    with Workspace(tmp_path) as ws, ws.reading() as session:
        assert [s.rep_did for s in session.scalars(select(Swing).order_by(Swing.id))] == [None, False]


def test_an_older_folder_is_copied_before_it_is_migrated(tmp_path: Path) -> None:
    lay("schema_0001.sql", tmp_path)
    with Workspace(tmp_path) as ws:
        copies = list(ws.folder.backups.glob("schema-0001-*.sqlite"))
    assert len(copies) == 1
    with closing(sqlite3.connect(copies[0])) as connection:
        assert connection.execute("SELECT name FROM golfer").fetchall() == [("Ines Över",)]


def test_a_failed_migration_leaves_the_folder_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lay("schema_0001.sql", tmp_path)
    before = (tmp_path / DATABASE).read_bytes()

    def breaks(config: object, revision: str) -> None:
        config.attributes["connection"].execute(text("DROP TABLE note"))  # type: ignore[attr-defined]
        raise RuntimeError("power went")

    monkeypatch.setattr(schema.command, "upgrade", breaks)
    with pytest.raises(RuntimeError):
        Workspace(tmp_path)
    with closing(sqlite3.connect(tmp_path / DATABASE)) as connection:
        assert connection.execute("SELECT count(*) FROM note").fetchone() == (1,)
    assert len(before) == len((tmp_path / DATABASE).read_bytes())


def test_a_newer_folder_is_refused_and_untouched(tmp_path: Path) -> None:
    lay("schema_0001.sql", tmp_path)
    with closing(sqlite3.connect(tmp_path / DATABASE)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '0999'")
    for read_only in (False, True):
        with pytest.raises(StoreError, match=r"newer Ferrule .*0999.*Nothing was changed"):
            Workspace(tmp_path, read_only=read_only)
    with pytest.raises(StoreError, match="newer Ferrule"):
        check(tmp_path)


def test_a_foreign_database_is_refused(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / DATABASE)) as connection, connection:
        connection.execute("CREATE TABLE recipe (name TEXT)")
    with pytest.raises(StoreError, match="not one of Ferrule's"):
        Workspace(tmp_path)


def test_a_file_that_is_no_database_is_told(tmp_path: Path) -> None:
    (tmp_path / DATABASE).write_bytes(b"holiday pictures" * 100)
    with pytest.raises(StoreError, match=r"cannot be read.*restore a backup"):
        Workspace(tmp_path)
    assert not check(tmp_path).clean


def test_times_without_a_zone_are_refused(engine: Engine) -> None:
    from datetime import datetime

    from sqlalchemy.exc import StatementError

    schema.migrate(engine)
    with Session(engine) as session, pytest.raises(StatementError, match="zone"):
        session.add(Golfer(name="A", handedness="right", age_group="adult", added_at=datetime(2026, 1, 1)))  # noqa: DTZ001
        session.flush()

"""The SQLite engine: write-ahead log, every commit on the disk, foreign keys, erased means overwritten."""

import sqlite3
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Engine, QueuePool, create_engine, event

PRAGMAS: Final = ("journal_mode=WAL", "synchronous=FULL", "fullfsync=ON", "checkpoint_fullfsync=ON")
PRAGMAS_ALWAYS: Final = ("foreign_keys=ON", "secure_delete=ON", "busy_timeout=5000")


def open_engine(path: Path, *, read_only: bool = False) -> Engine:
    """An engine on the SQLite file at path.

    A connection with the execution option `writes=True` takes the write lock when its transaction begins, so that it
    can never fail half-way because another writer came first. read_only: nothing can be written through it.
    """
    uri = f"{path.resolve().as_uri()}?mode={'ro' if read_only else 'rwc'}"

    def connect() -> sqlite3.Connection:
        # The plain driver begins transactions late and by itself; with None, BEGIN is ours (see `_begin`).
        return sqlite3.connect(uri, uri=True, isolation_level=None, check_same_thread=False, timeout=5.0)

    engine = create_engine("sqlite://", creator=connect, poolclass=QueuePool, pool_size=5, max_overflow=20)

    @event.listens_for(engine, "connect")
    def _prepare(connection: Any, _record: Any) -> None:
        for pragma in (*PRAGMAS_ALWAYS, *(() if read_only else PRAGMAS)):
            connection.execute(f"PRAGMA {pragma}").close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine

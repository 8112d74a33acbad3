"""The schema's versions: migrations run when a folder is opened, after a backup of what was there.

Revisions are counted "0001", "0002", ...; a folder whose number is higher was made by a newer Ferrule and is refused.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, inspect, text

from ferrule.errors import StoreError

MIGRATIONS: Final = Path(__file__).parent / "migrations"


def head() -> str:
    """The newest revision this program knows, as "0001"."""
    found = ScriptDirectory.from_config(_config()).get_current_head()
    if found is None:  # pragma: no cover - a wheel without its migrations
        raise StoreError("The program lacks its own migrations. Install it again.")
    return found


def revision_of(connection: Connection) -> str | None:
    """The revision a database is at; None when it is empty. Raises StoreError when it is not one of ours."""
    tables = inspect(connection).get_table_names()
    if not tables:
        return None
    if "alembic_version" not in tables or "golfer" not in tables:
        raise StoreError("The file is an SQLite database, but not one of Ferrule's. Choose another folder.")
    return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())


def refuse_newer(revision: str | None) -> None:
    """Raise StoreError when a newer program made this folder."""
    if revision is not None and int(revision) > int(head()):
        raise StoreError(
            f"This folder was last used by a newer Ferrule (its schema is {revision}, this program knows {head()})."
            " Install the newer version, or choose another folder. Nothing was changed."
        )


def migrate(engine: Engine, before: Callable[[str], object] = lambda _revision: None) -> str | None:
    """Bring the database to the newest revision; `before(revision)` runs first when there is something to keep.

    Returns the revision it was at when something was done to an existing database, else None.
    """
    with engine.connect() as connection:
        at = revision_of(connection)
    refuse_newer(at)
    if at == head():
        return None
    if at is not None:
        before(at)
    upgrade(engine, "head")
    return at


def upgrade(engine: Engine, revision: str) -> None:
    """Run the migrations up to this revision, all in one transaction."""
    config = _config()
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        config.attributes["connection"] = connection
        command.upgrade(config, revision)


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return config

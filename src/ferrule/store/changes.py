"""What a commit changed, row by row, so that it can be taken back and done again.

Kept as plain JSON: table, primary key, the columns before (None when the row was made) and after (None when it went).
The bytes of recordings and derived results are not part of it: they are kept once, or worked out again.
"""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import Column, Connection, Table, delete, event, insert, inspect, update
from sqlalchemy.orm import ColumnProperty, Session
from sqlalchemy.types import Date

from ferrule.store.tables import Base, UtcTime

Row = dict[str, Any]
NOT_KEPT: Final = frozenset({"original", "entry", "swing_result"})
COUNTED_BY_COMMITS: Final = frozenset({("lesson", "version")})


class ChangeBook:
    """Listens to one session and writes down the rows it makes, changes and deletes."""

    def __init__(self, session: Session) -> None:
        self.rows: list[Row] = []
        event.listen(session, "after_flush", self._after_flush)

    def _after_flush(self, session: Session, _context: object) -> None:
        for thing in session.new:
            self._note(thing, None, _image(thing))
        for thing in session.dirty:
            before, after = _difference(thing)
            if after:
                self._note(thing, before, after)
        for thing in session.deleted:
            self._note(thing, _image(thing), None)

    def _note(self, thing: object, before: Row | None, after: Row | None) -> None:
        table = _table(thing)
        if table.name in NOT_KEPT:
            return
        keys = {c.name: _plain(getattr(thing, _attribute(thing, c))) for c in table.primary_key}
        self.rows.append({"table": table.name, "key": keys, "before": before, "after": after})


def take_back(connection: Connection, rows: Iterable[Row]) -> None:
    """Undo the changes, newest first."""
    for row in reversed(list(rows)):
        _turn(connection, row, row["after"], row["before"])


def do_again(connection: Connection, rows: Iterable[Row]) -> None:
    """Do the changes again, oldest first."""
    for row in rows:
        _turn(connection, row, row["before"], row["after"])


def _turn(connection: Connection, row: Row, present: Row | None, wanted: Row | None) -> None:
    table = Base.metadata.tables[row["table"]]
    here = [table.c[name] == _typed(table.c[name], value) for name, value in row["key"].items()]
    if wanted is None:
        connection.execute(delete(table).where(*here))
    elif present is None:
        connection.execute(insert(table).values(_values(table, wanted)))
    else:
        connection.execute(update(table).where(*here).values(_values(table, wanted)))


def _values(table: Table, image: Mapping[str, Any]) -> Row:
    return {name: _typed(table.c[name], value) for name, value in image.items()}


def _table(thing: object) -> Table:
    table = inspect(thing).mapper.local_table
    assert isinstance(table, Table)
    return table


def _attribute(thing: object, column: Column[Any]) -> str:
    return str(inspect(thing).mapper.get_property_by_column(column).key)


def _image(thing: object) -> Row:
    return {c.name: _plain(getattr(thing, _attribute(thing, c))) for c in _table(thing).columns}


def _difference(thing: object) -> tuple[Row, Row]:
    before: Row = {}
    after: Row = {}
    state = inspect(thing)
    for prop in state.mapper.column_attrs:
        assert isinstance(prop, ColumnProperty)
        history = state.attrs[prop.key].history
        name = prop.columns[0].name
        if not history.has_changes() or (_table(thing).name, name) in COUNTED_BY_COMMITS:
            continue
        old = history.deleted[0] if history.deleted else None
        new = history.added[0] if history.added else None
        if old != new:
            before[name], after[name] = _plain(old), _plain(new)
    return before, after


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value


def _typed(column: Column[Any], value: Any) -> Any:
    if value is None:
        return None
    if isinstance(column.type, UtcTime):
        return datetime.fromisoformat(value)
    if isinstance(column.type, Date):
        return date.fromisoformat(value)
    return value

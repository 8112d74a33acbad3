"""The common base of all tables: constraint names from day one, and time that is always UTC."""

from datetime import UTC, datetime
from typing import Any, ClassVar, Final

from sqlalchemy import JSON, DateTime, Dialect, MetaData
from sqlalchemy.orm import DeclarativeBase
from sqlalchemy.types import TypeDecorator

NAMES: Final = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class UtcTime(TypeDecorator[datetime]):
    """A moment. A time without a zone is refused on the way in; what comes out is in UTC."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Keep the moment in UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a time without a zone cannot be kept")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """SQLite gives times without a zone: they are UTC."""
        if value is None or value.tzinfo is not None:
            return value
        return value.replace(tzinfo=UTC)


class Base(DeclarativeBase):
    """Base of every table."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        datetime: UtcTime,
        dict[str, Any]: JSON,
        list[str]: JSON,
    }


def one_of(column: str, words: tuple[str, ...]) -> str:
    """The text of a check constraint: the column holds one of these words."""
    return f"{column} IN ({', '.join(repr(w) for w in words)})"

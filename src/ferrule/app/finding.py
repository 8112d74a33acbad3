"""Two small things every action needs: this moment, and a row that must be there."""

from datetime import UTC, datetime
from typing import TypeVar

from sqlalchemy.orm import Session

from ferrule.errors import NotFoundError
from ferrule.store.tables import Base

RowT = TypeVar("RowT", bound=Base)


def now() -> datetime:
    """Tell the time, in UTC."""
    return datetime.now(UTC)


def found(session: Session, kind: type[RowT], row_id: int) -> RowT:
    """The row of this id. Raises NotFoundError in words when it is not there (any more)."""
    row = session.get(kind, row_id)
    if row is None:
        name = kind.__tablename__.replace("_", " ")
        raise NotFoundError(
            f"This {name} is not there any more. It may have been erased or undone; go back and reload."
        )
    return row

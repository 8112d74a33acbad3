"""Settings of the coach, and the book of entries that makes undo, redo and double submits safe."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from ferrule.store.tables.base import Base


class Setting(Base):
    """One setting of the coach."""

    __tablename__ = "setting"

    name: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[Any] = mapped_column(JSON)


class Entry(Base):
    """One thing a coach entered: the rows it changed, before and after. request_key: made by the page, once a submit."""

    __tablename__ = "entry"
    __table_args__ = (
        Index(None, "lesson_id", "id"),
        Index(None, "golfer_id", "id"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    request_key: Mapped[str | None] = mapped_column(unique=True)
    golfer_id: Mapped[int | None] = mapped_column(ForeignKey("golfer.id", ondelete="CASCADE"))
    lesson_id: Mapped[int | None] = mapped_column(ForeignKey("lesson.id", ondelete="CASCADE"))
    action: Mapped[str]
    made_id: Mapped[int | None]
    rows: Mapped[list[dict[str, Any]]] = mapped_column(JSON)
    made_at: Mapped[datetime]
    undone_at: Mapped[datetime | None]
    can_undo: Mapped[bool] = mapped_column(default=True)

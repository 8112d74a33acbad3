"""What proves a change: cold tests with their balls; and what the golfer says of it."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from ferrule.store.tables.base import Base


class ColdTest(Base):
    """Ten balls without feedback. elsewhere: another target or the course; empty where it is as ever."""

    __tablename__ = "cold_test"
    __table_args__ = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lesson.id", ondelete="CASCADE"), index=True)
    club_id: Mapped[int] = mapped_column(ForeignKey("club.id", ondelete="CASCADE"), index=True)
    elsewhere: Mapped[str] = mapped_column(default="")
    started_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


class ColdBall(Base):
    """One ball of a cold test."""

    __tablename__ = "cold_ball"
    __table_args__ = (UniqueConstraint("cold_test_id", "number"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    cold_test_id: Mapped[int] = mapped_column(ForeignKey("cold_test.id", ondelete="CASCADE"))
    swing_id: Mapped[int] = mapped_column(ForeignKey("swing.id", ondelete="CASCADE"), unique=True)
    number: Mapped[int]


class Report(Base):
    """What a golfer says: trust in the change from 0 to 10, where it hurts or is numb, and in words."""

    __tablename__ = "report"
    __table_args__ = (
        CheckConstraint("confidence >= 0 AND confidence <= 10", name="confidence"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    golfer_id: Mapped[int] = mapped_column(ForeignKey("golfer.id", ondelete="CASCADE"), index=True)
    confidence: Mapped[int | None]
    hurts: Mapped[list[str]] = mapped_column(default=list)
    words: Mapped[str] = mapped_column(default="")
    reported_at: Mapped[datetime]

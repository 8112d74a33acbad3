"""Recordings: the original bytes, what they are, the work to be done on them, and what came out of it."""

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Index, LargeBinary, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from ferrule.store.tables.base import Base, one_of


class Original(Base):
    """The bytes of a file as they came, once, compressed. sha256 and size_bytes are those of the uncompressed bytes."""

    __tablename__ = "original"

    sha256: Mapped[str] = mapped_column(primary_key=True)
    size_bytes: Mapped[int]
    packing: Mapped[str]
    content: Mapped[bytes] = mapped_column(LargeBinary)


class ColumnMapping(Base):
    """How another layout's columns become ours, as the coach saved it, by name."""

    __tablename__ = "column_mapping"
    __table_args__ = (UniqueConstraint("name"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    mapping: Mapped[dict[str, Any]]
    saved_at: Mapped[datetime]


class Recording(Base):
    """A file of sensor signals that was dropped into a lesson.

    kind: `swings`, `calibration` or `both`. state: what the analysis made of it. issues: what the coach should know about it.
    """

    __tablename__ = "recording"
    __table_args__ = (
        UniqueConstraint("lesson_id", "sha256"),
        CheckConstraint(one_of("kind", ("swings", "calibration", "both")), name="kind"),
        CheckConstraint(one_of("state", ("waiting", "analysed", "unusable")), name="state"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lesson.id", ondelete="CASCADE"))
    club_id: Mapped[int] = mapped_column(ForeignKey("club.id", ondelete="CASCADE"), index=True)
    sha256: Mapped[str] = mapped_column(ForeignKey("original.sha256"), index=True)
    calibration_id: Mapped[int | None] = mapped_column(ForeignKey("recording.id", ondelete="SET NULL"), index=True)
    file_name: Mapped[str]
    kind: Mapped[str]
    mount: Mapped[str]
    profile: Mapped[str | None]
    column_mapping_id: Mapped[int | None] = mapped_column(ForeignKey("column_mapping.id"), index=True)
    state: Mapped[str] = mapped_column(default="waiting")
    method: Mapped[str | None]
    issues: Mapped[dict[str, Any] | None]
    imported_at: Mapped[datetime]


class SwingResult(Base):
    """What the analysis found in one recorded swing, with the version of the method that found it."""

    __tablename__ = "swing_result"

    swing_id: Mapped[int] = mapped_column(ForeignKey("swing.id", ondelete="CASCADE"), primary_key=True)
    method: Mapped[str]
    result: Mapped[dict[str, Any]]
    traces: Mapped[bytes | None] = mapped_column(LargeBinary, deferred=True)
    worked_out_at: Mapped[datetime]


class Job(Base):
    """Long work waiting, running or over. content_key makes it idempotent: the same work is never queued twice."""

    __tablename__ = "job"
    __table_args__ = (
        UniqueConstraint("content_key"),
        CheckConstraint(one_of("state", ("waiting", "running", "done", "failed", "cancelled")), name="state"),
        Index(None, "state", "id"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    recording_id: Mapped[int] = mapped_column(ForeignKey("recording.id", ondelete="CASCADE"), index=True)
    content_key: Mapped[str]
    state: Mapped[str] = mapped_column(default="waiting")
    attempts: Mapped[int] = mapped_column(default=0)
    message: Mapped[str] = mapped_column(default="")
    queued_at: Mapped[datetime]
    started_at: Mapped[datetime | None]
    ended_at: Mapped[datetime | None]

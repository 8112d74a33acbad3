"""A lesson, the swings in it, and what was read off each."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from ferrule.store.tables.base import Base, one_of


class Lesson(Base):
    """One lesson of one golfer. version rises with every commit that touches it."""

    __tablename__ = "lesson"
    __table_args__ = (Index(None, "golfer_id", "started_at"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    golfer_id: Mapped[int] = mapped_column(ForeignKey("golfer.id", ondelete="CASCADE"))
    started_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    place: Mapped[str] = mapped_column(default="")
    surface: Mapped[str | None]
    ball: Mapped[str | None]
    flight_seen_m: Mapped[float | None]
    at_hand: Mapped[list[str]] = mapped_column(default=list)
    version: Mapped[int] = mapped_column(default=0)


class Note(Base):
    """What the coach wrote down in a lesson."""

    __tablename__ = "note"
    __table_args__ = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lesson.id", ondelete="CASCADE"), index=True)
    text: Mapped[str]
    written_at: Mapped[datetime]


class Swing(Base):
    """One swing, or one look at a swing. number counts within the lesson, from 1; null when it is a look only.

    mount: name of the sensor mounting. number_in_recording: place in the file it came from. rep_did: of a rep of a drill,
    whether it did what the drill is for by the coach's word.
    """

    __tablename__ = "swing"
    __table_args__ = (
        UniqueConstraint("lesson_id", "number"),
        UniqueConstraint("recording_id", "number_in_recording"),
        Index(None, "lesson_id", "club_id"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lesson.id", ondelete="CASCADE"))
    club_id: Mapped[int] = mapped_column(ForeignKey("club.id", ondelete="CASCADE"), index=True)
    number: Mapped[int | None]
    made_at: Mapped[datetime]
    mount: Mapped[str | None]
    strike: Mapped[str | None]
    tried_feel: Mapped[str | None]
    tried_amount: Mapped[float | None]
    set_aside_at: Mapped[datetime | None]
    set_aside_why: Mapped[str] = mapped_column(default="")
    recording_id: Mapped[int | None] = mapped_column(ForeignKey("recording.id", ondelete="CASCADE"))
    number_in_recording: Mapped[int | None]
    rep_did: Mapped[bool | None]


class Reading(Base):
    """A number with its doubt and how it was got, under its glossary key and in that key's unit and sign.

    Belongs to a swing, or (grip) to a lesson and club. device_value: the number as the device showed it.
    """

    __tablename__ = "reading"
    __table_args__ = (
        UniqueConstraint("swing_id", "key", "how"),
        CheckConstraint(one_of("how", ("sensor", "video", "ball", "typed", "by_eye", "assumed")), name="how"),
        CheckConstraint("(swing_id IS NULL) <> (lesson_id IS NULL AND club_id IS NULL)", name="belongs"),
        Index(None, "lesson_id", "key"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    swing_id: Mapped[int | None] = mapped_column(ForeignKey("swing.id", ondelete="CASCADE"))
    lesson_id: Mapped[int | None] = mapped_column(ForeignKey("lesson.id", ondelete="CASCADE"))
    club_id: Mapped[int | None] = mapped_column(ForeignKey("club.id", ondelete="CASCADE"), index=True)
    key: Mapped[str]
    value: Mapped[float]
    sd: Mapped[float | None]
    how: Mapped[str]
    device_id: Mapped[int | None] = mapped_column(ForeignKey("device.id"), index=True)
    device_value: Mapped[float | None]
    read_at: Mapped[datetime]


class BallFlight(Base):
    """The ball's flight as tapped: three starts by three bends. start in the golfer's words, bend in world words."""

    __tablename__ = "ball_flight"
    __table_args__ = (
        CheckConstraint(one_of("start", ("pull", "straight", "push")), name="start"),
        CheckConstraint(one_of("bend", ("left", "straight", "right")), name="bend"),
    )

    swing_id: Mapped[int] = mapped_column(ForeignKey("swing.id", ondelete="CASCADE"), primary_key=True)
    start: Mapped[str]
    bend: Mapped[str]
    bends_much: Mapped[bool] = mapped_column(default=False)
    seen_at: Mapped[datetime]

"""What was decided: trials on the mat, the way that was chosen, the window to hit."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from ferrule.store.tables.base import Base, one_of


class Trial(Base):
    """Two ways on the mat, A-B-B-A."""

    __tablename__ = "trial"
    __table_args__ = (CheckConstraint("way_a <> way_b", name="two_ways"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lesson.id", ondelete="CASCADE"), index=True)
    club_id: Mapped[int] = mapped_column(ForeignKey("club.id", ondelete="CASCADE"), index=True)
    way_a: Mapped[str]
    way_b: Mapped[str]
    feel_a: Mapped[str] = mapped_column(default="")
    feel_b: Mapped[str] = mapped_column(default="")
    balls_a_block: Mapped[int] = mapped_column(default=3)
    golfers_word: Mapped[str] = mapped_column(default="")
    golfer_prefers: Mapped[str | None]
    started_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


class TrialBall(Base):
    """One ball of a trial: which way was tried, in which of the four blocks."""

    __tablename__ = "trial_ball"
    __table_args__ = (
        UniqueConstraint("trial_id", "number"),
        CheckConstraint(one_of("way", ("a", "b")), name="way"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    trial_id: Mapped[int] = mapped_column(ForeignKey("trial.id", ondelete="CASCADE"))
    swing_id: Mapped[int] = mapped_column(ForeignKey("swing.id", ondelete="CASCADE"), unique=True)
    number: Mapped[int]
    block: Mapped[int]
    way: Mapped[str]


class ChosenWay(Base):
    """The way that golfer and coach settled on with one club: one thought, one drill, one test."""

    __tablename__ = "chosen_way"
    __table_args__ = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    golfer_id: Mapped[int] = mapped_column(ForeignKey("golfer.id", ondelete="CASCADE"), index=True)
    club_id: Mapped[int] = mapped_column(ForeignKey("club.id", ondelete="CASCADE"), index=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lesson.id", ondelete="CASCADE"), index=True)
    way: Mapped[str]
    thought: Mapped[str] = mapped_column(default="")
    drill: Mapped[str] = mapped_column(default="")
    test: Mapped[str] = mapped_column(default="")
    chosen_at: Mapped[datetime]


class Window(Base):
    """The target interval for one quantity with one club, in the unit of its key. exaggerate_to: what to feel for."""

    __tablename__ = "window"
    __table_args__ = (CheckConstraint("low < high", name="low_below_high"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    golfer_id: Mapped[int] = mapped_column(ForeignKey("golfer.id", ondelete="CASCADE"), index=True)
    club_id: Mapped[int] = mapped_column(ForeignKey("club.id", ondelete="CASCADE"), index=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lesson.id", ondelete="CASCADE"), index=True)
    key: Mapped[str]
    low: Mapped[float]
    high: Mapped[float]
    exaggerate_to: Mapped[float | None]
    set_at: Mapped[datetime]

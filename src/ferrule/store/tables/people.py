"""Golfers, their clubs, and the devices that numbers are read off."""

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from ferrule.store.tables.base import Base, one_of


class Golfer(Base):
    """One golfer: who it is, what is wanted, how far the joints go. Ranges in degrees, positive, null = not looked at."""

    __tablename__ = "golfer"
    __table_args__ = (
        CheckConstraint("length(name) > 0", name="name"),
        CheckConstraint(one_of("handedness", ("right", "left")), name="handedness"),
        CheckConstraint(one_of("age_group", ("junior", "adult", "senior")), name="age_group"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(index=True)
    handedness: Mapped[str]
    age_group: Mapped[str]
    added_at: Mapped[datetime]
    big_miss: Mapped[str | None]
    other_miss: Mapped[str | None]
    goal: Mapped[str] = mapped_column(default="")
    next_event: Mapped[str] = mapped_column(default="")
    next_event_on: Mapped[date | None]
    balls_a_week: Mapped[int | None]
    told_before: Mapped[str] = mapped_column(default="")
    pain: Mapped[list[str]] = mapped_column(default=list)
    pain_asked_at: Mapped[datetime | None]
    wrist_flexion_range_deg: Mapped[float | None]
    wrist_extension_range_deg: Mapped[float | None]
    wrist_radial_range_deg: Mapped[float | None]
    wrist_ulnar_range_deg: Mapped[float | None]
    forearm_supination_range_deg: Mapped[float | None]
    forearm_pronation_range_deg: Mapped[float | None]
    chest_turn_range_deg: Mapped[float | None]
    hip_turn_range_deg: Mapped[float | None]
    carer_name: Mapped[str] = mapped_column(default="")
    carer_consented_at: Mapped[datetime | None]
    golfer_agreed_at: Mapped[datetime | None]


class Club(Base):
    """One club of a golfer. Numbers are null where the table of usual clubs holds; put_away_at: no longer in the bag."""

    __tablename__ = "club"
    __table_args__ = (UniqueConstraint("golfer_id", "name"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    golfer_id: Mapped[int] = mapped_column(ForeignKey("golfer.id", ondelete="CASCADE"), index=True)
    name: Mapped[str]
    loft_deg: Mapped[float | None]
    lie_deg: Mapped[float | None]
    length_m: Mapped[float | None]
    head_mass_kg: Mapped[float | None]
    is_current: Mapped[bool] = mapped_column(default=False)
    put_away_at: Mapped[datetime | None]


class Device(Base):
    """Something that shows numbers: its name as the coach calls it."""

    __tablename__ = "device"
    __table_args__ = (UniqueConstraint("name"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    added_at: Mapped[datetime]


class DeviceSign(Base):
    """What a device's number means, asked once: when it rises, and what it shows at neutral (in the device's unit)."""

    __tablename__ = "device_sign"
    __table_args__ = (UniqueConstraint("device_id", "measure"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    device_id: Mapped[int] = mapped_column(ForeignKey("device.id", ondelete="CASCADE"), index=True)
    measure: Mapped[str]
    rises_when: Mapped[str]
    shows_at_neutral: Mapped[float] = mapped_column(default=0.0)
    asked_at: Mapped[datetime]

"""Drills that a coach wrote down beside those that come with the product. They belong to the coach, not to a golfer."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlalchemy.orm import Mapped, mapped_column

from ferrule.store.tables.base import Base, one_of


class OwnDrill(Base):
    """One drill. ways, causes: names of the machine interface; set_up, how, stop, cautions: sentences.

    closes: it helps a face that arrives open (1), closed (0), or either (null). at_least, at_most: of measure_key, less
    gain_from where that is given, in the key's unit, as for a right-handed golfer. doses: step, reps, sets, rest_s,
    days_a_week. load: none, light, or wrist (it works the wrist against speed, weight or its end of range).
    """

    __tablename__ = "own_drill"
    __table_args__ = (
        CheckConstraint("length(title) > 0", name="title"),
        CheckConstraint(one_of("load", ("none", "light", "wrist")), name="load"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str]
    ways: Mapped[list[str]] = mapped_column(default=list)
    causes: Mapped[list[str]] = mapped_column(default=list)
    closes: Mapped[bool | None]
    set_up: Mapped[list[str]] = mapped_column(default=list)
    how: Mapped[list[str]] = mapped_column(default=list)
    picture: Mapped[str | None]
    thought: Mapped[str] = mapped_column(default="")
    measure_key: Mapped[str | None]
    gain_from: Mapped[str | None]
    at_least: Mapped[float | None]
    at_most: Mapped[float | None]
    measure_words: Mapped[str] = mapped_column(default="")
    doses: Mapped[list[dict[str, Any]]] = mapped_column(JSON, default=list)
    stop: Mapped[list[str]] = mapped_column(default=list)
    next_step: Mapped[str] = mapped_column(default="")
    cautions: Mapped[list[str]] = mapped_column(default=list)
    load: Mapped[str]
    written_at: Mapped[datetime]
    put_away_at: Mapped[datetime | None]

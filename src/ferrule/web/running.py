"""Which lesson is being held: the newest one, begun within half a day and not ended."""

from datetime import datetime, timedelta
from typing import Final

from ferrule.app.finding import now
from ferrule.app.views import LessonLine

STILL_RUNNING: Final = timedelta(hours=12)


def is_over(started_at: datetime, ended_at: datetime | None) -> bool:
    """Whether a ball hit now belongs to another lesson than this one."""
    return ended_at is not None or now() - started_at > STILL_RUNNING


def running_lesson(held: list[LessonLine]) -> LessonLine | None:
    """The lesson that is being held, of a golfer's lessons, newest first; None when there is none."""
    return held[0] if held and not is_over(held[0].started_at, held[0].ended_at) else None

"""Long work in a lesson: how far it is, about how long it will take, one tap to stop it; what a watched folder refused."""

from datetime import timedelta
from typing import Final

from ferrule.app.views import LessonView
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, button
from ferrule.web.words import counted

TOGETHER: Final = timedelta(minutes=2)
"""Recordings queued within this time of each other are shown as one piece of work."""


def work_part(lesson: LessonView) -> Markup | None:
    """One bar for all recordings under way; None when nothing is."""
    jobs = [r.job for r in lesson.recordings if r.job is not None]
    under_way = [j for j in jobs if j.state in ("waiting", "running")]
    if not under_way:
        return None
    since = min(j.queued_at for j in under_way) - TOGETHER
    done = sum(j.state in ("done", "failed") and j.queued_at >= since for j in jobs)
    total = done + len(under_way)
    left = max((j.left_s for j in under_way if j.left_s is not None), default=None)
    said = f"{counted(total, 'recording').capitalize()}: {done} worked out" + (f", {about(left)} left" if left else "")
    return tag(
        "div",
        tag("p", said, id="work-said"),
        tag("progress", max=total, value=done, aria_labelledby="work-said"),
        button("Stop it", f"{REST}/lessons/{lesson.id}/jobs", method="DELETE", class_="bare"),
        class_="work", role="status", data_done=done, data_total=total,
    )  # fmt: skip


def watched_part(lesson: LessonView) -> Markup | None:
    """Files in the watched folder that were not taken, and why; None when there are none."""
    if not lesson.watched:
        return None
    lines = (
        tag("li", tag("b", n.file_name), " was not taken from the watched folder. ", n.words)
        if n.file_name
        else tag("li", n.words)
        for n in lesson.watched
    )
    return tag("ul", *lines, class_="refused", role="status", aria_label="Not taken from the watched folder")


def about(seconds: float) -> str:
    """As "about 8 seconds", "about 2 minutes"."""
    if seconds < 90:
        return f"about {counted(max(1, round(seconds)), 'second')}"
    return f"about {counted(round(seconds / 60), 'minute')}"

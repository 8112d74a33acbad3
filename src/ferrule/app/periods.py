"""Two periods of a golfer beside each other, and what the coach wrote down meanwhile."""

from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import select

from ferrule.app.blocks import day_of
from ferrule.app.finding import now
from ferrule.app.progress import questions
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import Question
from ferrule.coaching.change_periods import Periods, compare_periods
from ferrule.coaching.wording_change import day_words
from ferrule.errors import InputError
from ferrule.store.tables import Lesson, Note

Period = tuple[date, date]
COLD = ("baseline", "retention")


@dataclass(frozen=True, slots=True)
class DatedNote:
    """A note with its lesson and day."""

    id: int
    lesson_id: int
    on: date
    text: str


def compared(
    ws: Workspace, golfer_id: int, first: Period, second: Period, club: str | None = None
) -> tuple[tuple[Question, Periods], ...]:
    """Each quantity the plan is about, in the second period less the first. Raises InputError when they overlap."""
    for where, (begins, ends) in (("first_to", first), ("second_to", second)):
        if ends < begins:
            raise InputError.of(
                "order",
                where,
                expected=f"a day from {day_words(begins)} on",
                got=day_words(ends),
                do="Swap the two days",
            )
    if second[0] <= first[1]:
        raise InputError.of(
            "order", "second_from", expected=f"a day after {day_words(first[1])}", got=day_words(second[0]),
            cause="the two periods overlap", do="Begin the second one later",
        )  # fmt: skip
    return tuple((q, compare_periods(blocks, q, first, second)) for q, blocks in questions(ws, golfer_id, club))


def usual_periods(ws: Workspace, golfer_id: int, club: str | None = None) -> tuple[Period, Period] | None:
    """Before the change and since: the first days with cold balls, and the later ones; None before there are two days."""
    asked = questions(ws, golfer_id, club)
    days = sorted({b.on for _, blocks in asked for b in blocks if b.kind in COLD})
    if len(days) < 2:
        return None
    began = next((q.began for q, _ in asked if q.began is not None), None)
    split = began if began is not None and days[0] <= began < days[-1] else days[(len(days) - 1) // 2]
    return (days[0], split), (split + timedelta(days=1), max(days[-1], day_of(now())))


def notes_of(ws: Workspace, golfer_id: int, limit: int = 60) -> list[DatedNote]:
    """What the coach wrote down, the newest lesson first, in the order of writing within a lesson."""
    query = (
        select(Note, Lesson.started_at)
        .join(Lesson, Lesson.id == Note.lesson_id)
        .where(Lesson.golfer_id == golfer_id)
        .order_by(Lesson.started_at.desc(), Note.id)
        .limit(limit)
    )
    with ws.reading() as session:
        return [DatedNote(n.id, n.lesson_id, day_of(at), n.text) for n, at in session.execute(query)]

"""Reps of the drill in a lesson, counted apart: those that did what the drill is for, and those that missed its purpose.

A rep is a ball in which the drill was the thing tried. The coach says at once whether it did what it is for, and that
stays with it; one that missed is also set aside, so that the case is not made of it.
"""

from dataclasses import dataclass
from typing import Final

from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.swing_rows import club_for, next_number, strike_and_feel, swing_view
from ferrule.app.views import LessonView, SwingView
from ferrule.app.workspace import Workspace
from ferrule.store.tables import Lesson, Swing

MISSED: Final = "missed its purpose"


@dataclass(frozen=True, slots=True)
class RepCount:
    """Reps of one drill in one lesson; did: of each in order whether it did what the drill is for."""

    did: tuple[bool, ...]

    @property
    def good(self) -> int:
        """Reps that did what the drill is for."""
        return sum(self.did)

    @property
    def missed(self) -> int:
        """Reps that missed its purpose."""
        return len(self.did) - self.good


def add_rep(
    ws: Workspace, lesson_id: int, drill: str, did: bool, *, club: str | None = None, key: str | None = None
) -> SwingView:
    """One rep of a drill, by its title. did: whether it did what the drill is for."""
    form = Form()
    if not drill.strip():
        form.fail("missing", "drill", "the drill by its title", "nothing", do="Choose one")
    _, feel, amount = strike_and_feel(form, None, drill, 1.0)
    form.done()
    with ws.change("add_rep", key=key, lesson_id=lesson_id) as change:
        session = change.session
        lesson = found(session, Lesson, lesson_id)
        if not change.repeated:
            swing = Swing(
                lesson_id=lesson_id, club_id=club_for(session, lesson.golfer_id, club).id,
                number=next_number(session, lesson_id), made_at=now(), tried_feel=feel, tried_amount=amount,
                set_aside_at=None if did else now(), set_aside_why="" if did else MISSED, rep_did=did,
            )  # fmt: skip
            session.add(swing)
            session.flush()
            change.made_id = swing.id
        return swing_view(session, change.made_id or 0)


def reps_of(lesson: LessonView, drill: str) -> RepCount:
    """Reps of a drill, by its title, in the order they were made; one set aside for another reason does not count.

    A ball in which the drill was tried and nobody said whether it did what the drill is for counts as one that did.
    """
    own = [s for s in lesson.swings if s.number is not None and s.tried_feel == drill.strip()]
    return RepCount(tuple(s.rep_did is not False for s in own if not s.set_aside or s.set_aside_why == MISSED))


__all__ = ["MISSED", "RepCount", "add_rep", "reps_of"]

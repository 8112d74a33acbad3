"""What every screen of a lesson needs to know, asked once: golfer, club in hand, what was done, who else is on the mat."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from ferrule.app import cold_tests as testing
from ferrule.app import golfers as people
from ferrule.app import lessons as teaching
from ferrule.app import plans, undo
from ferrule.app import trials as trying
from ferrule.app.checks import CHECKS, seen
from ferrule.app.cold_tests import ColdTestView
from ferrule.app.finding import now
from ferrule.app.views import (
    ChosenWayView,
    ClubView,
    EntryView,
    GolferLine,
    GolferView,
    LessonLine,
    LessonView,
    TrialView,
    WindowView,
)
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import FEWEST_SWINGS
from ferrule.coaching.drills import FEWEST_REPS
from ferrule.frames.handedness import Handedness
from ferrule.web.running import STILL_RUNNING, is_over
from ferrule.web.words import first_name

MOST_OTHERS: Final = 8


@dataclass(frozen=True, slots=True)
class OnTheMat:
    """Another golfer: the lesson that is being held with them, None where there is none today."""

    golfer_id: int
    name: str
    lesson_id: int | None


@dataclass(frozen=True, slots=True)
class Held:
    """One lesson as its screens see it. number: which lesson of this golfer; past: the lessons before it, newest first.

    tests, trials, chosen, windows: of this lesson, the newest first; checks: what was seen of the simple things;
    everybody: golfers that a tap leads to, those of today first; golfers_undo: what can be taken back of the golfer.
    """

    lesson: LessonView
    golfer: GolferView
    number: int
    past: tuple[LessonLine, ...]
    bag: tuple[ClubView, ...]
    club: str
    tests: tuple[ColdTestView, ...]
    trials: tuple[TrialView, ...]
    chosen: tuple[ChosenWayView, ...]
    windows: tuple[WindowView, ...]
    checks: dict[str, str]
    everybody: tuple[OnTheMat, ...]
    golfers_undo: EntryView | None

    @property
    def name(self) -> str:
        """The golfer's first name."""
        return first_name(self.golfer.name)

    @property
    def hand(self) -> Handedness:
        """The golfer's hand."""
        return "left" if self.golfer.handedness == "left" else "right"

    @property
    def over(self) -> bool:
        """Whether a ball hit now belongs to another lesson."""
        return is_over(self.lesson.started_at, self.lesson.ended_at)

    @property
    def balls(self) -> int:
        """Balls of the lesson."""
        return sum(s.number is not None for s in self.lesson.swings)

    @property
    def cold_test(self) -> ColdTestView | None:
        """The cold test that is under way."""
        return next((t for t in self.tests if t.is_running), None)

    @property
    def trial(self) -> TrialView | None:
        """The newest trial."""
        return self.trials[0] if self.trials else None

    @property
    def plan(self) -> ChosenWayView | None:
        """What was settled in this lesson with the club in hand, else with another."""
        return next((c for c in self.chosen if c.club == self.club), self.chosen[0] if self.chosen else None)

    @property
    def asked_today(self) -> bool:
        """Whether pain was asked after in this lesson."""
        asked = self.golfer.pain_asked_at
        return asked is not None and asked >= self.lesson.started_at

    def address(self, step: str = "") -> str:
        """Where a screen of this lesson is."""
        return f"/lessons/{self.lesson.id}/{step}" if step else f"/lessons/{self.lesson.id}"

    def done(self) -> frozenset[str]:
        """The steps that have been done, by what is kept."""
        reps = [s for s in self.lesson.swings if self.plan and s.made_at > self.plan.chosen_at and s.tried_feel]
        looks = [s for s in self.lesson.swings if s.number is None and s.readings]
        flags = {
            "hello": self.asked_today,
            "cold-test": any(not t.is_running and len(t.balls) >= FEWEST_SWINGS for t in self.tests),
            "rule-out": len(self.checks) == len(CHECKS),
            "case": bool(looks or self.lesson.grips) or any(r.how != "ball" for s in self.lesson.swings for r in s.readings),
            "ways": bool(self.trials or self.chosen),
            "trial": any(t.ended_at is not None for t in self.trials),
            "practice": len(reps) >= FEWEST_REPS,
            "close": self.lesson.ended_at is not None,
        }  # fmt: skip
        return frozenset(step for step, is_done in flags.items() if is_done)


def held_lesson(ws: Workspace, lesson_id: int) -> Held:
    """Everything about one lesson. Raises NotFoundError."""
    lesson = teaching.lesson(ws, lesson_id)
    golfer = people.golfer(ws, lesson.golfer_id)
    all_held = teaching.lessons(ws, golfer.id)
    at = [line.id for line in all_held].index(lesson.id)
    bag = people.clubs(ws, golfer.id)
    club = next((c.name for c in bag if c.is_current), bag[0].name if bag else "7-iron")
    hand: Handedness = "left" if golfer.handedness == "left" else "right"
    return Held(
        lesson,
        golfer,
        len(all_held) - at,
        tuple(all_held[at + 1 :]),
        tuple(bag),
        club,
        tuple(t for t in testing.cold_tests(ws, golfer.id) if t.lesson_id == lesson.id),
        tuple(trying.trials(ws, lesson.id)),
        tuple(c for c in plans.chosen_ways(ws, golfer.id) if c.lesson_id == lesson.id),
        tuple(w for w in plans.windows(ws, golfer.id) if w.lesson_id == lesson.id),
        seen(lesson, club, hand),
        _everybody(ws, golfer.id),
        _since(undo.last_entries(ws, golfer_id=golfer.id)[0], lesson.started_at),
    )


def _since(entry: EntryView | None, started_at: datetime) -> EntryView | None:
    """What was entered of the golfer in this lesson may be taken back from it; what is older stays with its own page."""
    return entry if entry is not None and entry.made_at >= started_at else None


def _everybody(ws: Workspace, golfer_id: int) -> tuple[OnTheMat, ...]:
    """Golfers a tap leads to: those with a lesson today, then those seen last."""
    since = now() - STILL_RUNNING
    today: dict[int, int] = {}
    for line in teaching.lessons(ws, None, 60):
        if line.started_at >= since and not is_over(line.started_at, line.ended_at):
            today.setdefault(line.golfer_id, line.id)
    found = [g for g in people.golfers(ws, "", 60) if g.id != golfer_id]
    found.sort(key=lambda g: (g.id not in today, _never(g)))
    return tuple(OnTheMat(g.id, g.name, today.get(g.id)) for g in found[:MOST_OTHERS])


def _never(golfer: GolferLine) -> float:
    """Seconds since the last lesson; those that never had one come last."""
    at: datetime | None = golfer.last_lesson_at
    return (now() - at).total_seconds() if at else float("inf")


__all__ = ["Held", "OnTheMat", "held_lesson"]

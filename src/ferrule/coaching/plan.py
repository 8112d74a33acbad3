"""What happens after the lesson: one thought, one drill, one test, a date; and how the next lesson opens.

Three weeks before an event nothing new is built (common practice): the plan is to maintain, and says so. Pain or numbness
pauses wrist work.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal

from ferrule.coaching.case import Golfer
from ferrule.coaching.change import TEST_SWINGS, Verdict
from ferrule.coaching.drills import Dose, Drill, allowed, dose_for, drills_for
from ferrule.coaching.feedback import Schedule, schedule_for
from ferrule.coaching.ways import EVENT_DAYS, WRIST_WAYS, WayName, wrist_hurts

Mode = Literal["build", "maintain", "pause"]
RETEST_DAYS: Final = 7
TEST_MINUTES: Final = 4
SECONDS_A_BALL: Final = 20


@dataclass(frozen=True, slots=True)
class Target:
    """The window: a number at one place with one club. low, high: in the key's unit; feel: what to feel for, in words;
    exaggerate_to: the number to aim for while learning, from this golfer's own feel gap; None when not known.
    """

    key: str
    club: str
    low: float
    high: float
    feel: str
    exaggerate_to: float | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """The plan handed over. next_test: date of the cold test; test: what it is, in words; feedback: schedule of practice;
    held_back: the coach's drill, when this golfer must not do it (reasons say why).
    """

    mode: Mode
    way: WayName
    target: Target
    thought: str
    drill: Drill | None
    dose: Dose | None
    feedback: Schedule
    test: str
    next_test: date
    reasons: tuple[str, ...]
    held_back: Drill | None = None


@dataclass(frozen=True, slots=True)
class Opening:
    """How the next lesson opens. brief: sentences for the coach; cold_balls: how many, without feedback; minutes: at most."""

    brief: tuple[str, ...]
    cold_balls: int
    club: str
    minutes: int


def mode_on(today: date, event: date | None, golfer: Golfer, way: WayName, known: bool) -> tuple[Mode, str]:
    """Whether to build, maintain or pause, and why. known: the golfer has this way already (a real change)."""
    if wrist_hurts(golfer) and way in WRIST_WAYS:
        return "pause", "Wrist work pauses: a clinician looks first. Stop at pain, numbness or clicking."
    if event is not None and 0 <= (event - today).days < EVENT_DAYS and not known:
        days = (event - today).days
        return "maintain", f"{days} day{'' if days == 1 else 's'} to the event: nothing new now, keep what is there."
    return "build", ""


def make_plan(
    golfer: Golfer,
    way: WayName,
    target: Target,
    library: Sequence[Drill],
    today: date,
    *,
    cause: str | None = None,
    closes: bool = True,
    thought: str | None = None,
    drill: Drill | None = None,
    event: date | None = None,
    lesson_number: int = 1,
    verdict: Verdict | None = None,
    next_lesson: date | None = None,
) -> Plan:
    """One thought, one drill, one test. thought, drill: the coach's own, else the first that suits the golfer."""
    known = verdict is not None and verdict.kind == "real_and_lasts"
    mode, why = mode_on(today, event, golfer, way, known)
    reasons = [why] if why else []
    fit, why_not = (True, "") if drill is None else allowed(drill, golfer)
    chosen = drill if fit else None
    if not fit:
        reasons.append(f"{drill.title if drill else ''} is held back. {why_not}")
    if mode != "build":
        chosen = None
    elif chosen is None:
        found = drills_for(library, golfer, way=way, cause=cause, closes=closes)
        chosen = found[0] if found else None
        if chosen is None:
            reasons.append("No drill in the library suits this golfer for this way: show one yourself.")
    fallback = "Nothing new: your usual swing and your usual start." if mode != "build" else target.feel
    words = thought or (chosen.thought if chosen else fallback)
    level: Literal["new", "getting_it", "has_it"] = "has_it" if known else "getting_it" if _started(verdict) else "new"
    test_on = next_lesson or today + timedelta(days=RETEST_DAYS)
    return Plan(
        mode,
        way,
        target,
        words,
        chosen,
        None if chosen is None else dose_for(chosen, golfer),
        schedule_for(lesson_number, level),
        f"Ten balls with the {target.club}, cold, nobody says anything.",
        test_on,
        tuple(reasons),
        None if fit else drill,
    )


def opening(plan: Plan, today: date, said: Sequence[str] = ()) -> Opening:
    """Brief of the next lesson and its cold test. said: sentences that others add (verdict, pain, last notes)."""
    brief = [f"Last time: {plan.thought}"]
    if plan.drill is not None:
        brief.append(f"Drill: {plan.drill.title}.")
    late = (today - plan.next_test).days
    if late > RETEST_DAYS:
        brief.append(f"The cold test is {late} days overdue.")
    brief += [*said, "Ask: pain or numbness? How did it feel on the course?"]
    minutes = -(-TEST_SWINGS * SECONDS_A_BALL // 60)
    return Opening(tuple(brief), TEST_SWINGS, plan.target.club, min(minutes, TEST_MINUTES))


def due_tests(plans: Sequence[tuple[str, Plan]], today: date) -> list[tuple[str, int]]:
    """Whose cold test is due, with the days since it was, the longest first. plans: name and plan in force."""
    due = [(name, (today - p.next_test).days) for name, p in plans if p.mode == "build" and p.next_test <= today]
    return sorted(due, key=lambda row: (-row[1], row[0]))


def _started(verdict: Verdict | None) -> bool:
    return verdict is not None and verdict.kind in ("real_so_far", "practice_only", "fading")

"""The coach's overview: whose cold test is due, whose change is not lasting, whose wrist work should pause."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from ferrule.coaching.case import Golfer
from ferrule.coaching.change import Verdict
from ferrule.coaching.plan import Plan
from ferrule.coaching.ways import WRIST_WAYS, wrist_hurts
from ferrule.coaching.wording_change import day_words

Need = Literal["pause", "not_lasting", "test_due"]
_FIRST: Final[tuple[Need, ...]] = ("pause", "not_lasting", "test_due")


@dataclass(frozen=True, slots=True)
class Watched:
    """What the overview needs of one golfer. numb: pain or numbness reported since the plan was made."""

    name: str
    golfer: Golfer
    plan: Plan | None
    verdict: Verdict | None
    numb: bool = False


@dataclass(frozen=True, slots=True)
class Notice:
    """One line of the overview. days: overdue, for a test."""

    name: str
    need: Need
    sentence: str
    days: int = 0


def overview(golfers: Sequence[Watched], today: date) -> list[Notice]:
    """What needs the coach, the most serious first; one golfer may have several lines."""
    out: list[Notice] = []
    for who in golfers:
        plan = who.plan
        wrist = plan is not None and (plan.way in WRIST_WAYS or (plan.drill is not None and plan.drill.load == "wrist"))
        paused = wrist and (who.numb or wrist_hurts(who.golfer))
        if paused:
            out.append(
                Notice(
                    who.name, "pause", f"{who.name}: pain or numbness. Wrist work pauses until a clinician has looked."
                )
            )
        if who.verdict is not None and who.verdict.kind in ("fading", "practice_only"):
            how = "is going again" if who.verdict.kind == "fading" else "is there in practice only"
            out.append(Notice(who.name, "not_lasting", f"{who.name}: the {who.verdict.question.quantity} {how}."))
        if plan is not None and plan.mode == "build" and not paused and plan.next_test <= today:
            late = (today - plan.next_test).days
            when = "today" if late == 0 else f"since {day_words(plan.next_test)}"
            out.append(
                Notice(who.name, "test_due", f"{who.name}: cold test with the {plan.target.club} due {when}.", late)
            )
    return sorted(out, key=lambda n: (_FIRST.index(n.need), -n.days, n.name))

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
    """What the overview needs of one golfer. numb: pain or numbness reported since the plan was made; ident: names the
    golfer to whoever asks.
    """

    name: str
    golfer: Golfer
    plan: Plan | None
    verdict: Verdict | None
    numb: bool = False
    ident: int = 0


@dataclass(frozen=True, slots=True)
class Notice:
    """One line of the overview. days: overdue, for a test; ident: as in `Watched`."""

    name: str
    need: Need
    sentence: str
    days: int = 0
    ident: int = 0


def overview(golfers: Sequence[Watched], today: date) -> list[Notice]:
    """What needs the coach, the most serious first; one golfer may have several lines."""
    out: list[Notice] = []
    for who in golfers:
        plan = who.plan
        wrist = plan is not None and works_the_wrist(plan)
        paused = wrist and (who.numb or wrist_hurts(who.golfer))
        if paused:
            out.append(
                Notice(
                    who.name,
                    "pause",
                    f"{who.name}: pain or numbness. Wrist work pauses until a clinician has looked.",
                    ident=who.ident,
                )
            )
        if who.verdict is not None and who.verdict.kind in ("fading", "practice_only"):
            how = "is going again" if who.verdict.kind == "fading" else "is there in practice only"
            said = f"{who.name}: the {who.verdict.question.quantity} {how}."
            out.append(Notice(who.name, "not_lasting", said, ident=who.ident))
        if plan is not None and plan.mode == "build" and not paused and plan.next_test <= today:
            late = (today - plan.next_test).days
            when = "today" if late == 0 else f"since {day_words(plan.next_test)}"
            said = f"{who.name}: cold test with the {plan.target.club} due {when}."
            out.append(Notice(who.name, "test_due", said, late, who.ident))
    return sorted(out, key=lambda n: (_FIRST.index(n.need), -n.days, n.name, n.ident))


def works_the_wrist(plan: Plan) -> bool:
    """Whether the way, or the drill that goes (or would go) with it, is wrist work."""
    drill = plan.drill or plan.held_back
    return plan.way in WRIST_WAYS or (drill is not None and drill.load == "wrist")

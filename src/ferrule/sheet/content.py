"""What stands on a golfer's sheet: plain words and numbers, ready to be set; and how a plan and a verdict become one."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from ferrule.coaching.case import AgeGroup, Golfer
from ferrule.coaching.change import Point, Verdict
from ferrule.coaching.drills import Picture
from ferrule.coaching.plan import Plan
from ferrule.coaching.wording_change import verdict_for_golfer
from ferrule.coaching.wording_sheet import (
    caution_sentences,
    change_sentence,
    dose_sentence,
    feel_sentences,
    number_sentence,
    plan_notes,
    test_date_words,
    test_sentence,
)
from ferrule.frames.handedness import Handedness

PaperSize = Literal["a4", "us-letter"]


@dataclass(frozen=True, slots=True)
class DrillPart:
    """The drill as the golfer does it at home."""

    title: str
    picture: Picture | None
    set_up: tuple[str, ...]
    do: tuple[str, ...]
    dose: str
    good: str
    stop: tuple[str, ...]
    next_step: str


@dataclass(frozen=True, slots=True)
class Progress:
    """One plot. points: blocks in order; baseline, smallest_real: in the quantity's unit (None: not drawn); wanted: +1 when
    up is better; low, high: the window; up, down: words at the ends of the axis; quantity: what is drawn.
    """

    quantity: str
    points: tuple[Point, ...]
    baseline: float | None
    smallest_real: float | None
    wanted: float
    low: float | None
    high: float | None
    up: str
    down: str


@dataclass(frozen=True, slots=True)
class SheetContent:
    """Everything on the sheet, in the golfer's words. name: first name; thought: the one thought; test_on: date in words."""

    name: str
    on: date
    on_words: str
    club: str
    thought: str
    why: tuple[str, ...]
    change: tuple[str, ...]
    number: str
    feel: tuple[str, ...]
    drill: DrillPart | None
    cautions: tuple[str, ...]
    progress: Progress | None
    progress_words: str
    test: str
    test_on: str
    handedness: Handedness = "right"
    age_group: AgeGroup = "adult"
    coach: str = ""
    paper: PaperSize = "a4"
    large_print: bool = False


def first_name(name: str) -> str:
    """The name by which a golfer is called on the range."""
    return name.split(maxsplit=1)[0] if name.split() else name


def sheet_content(
    name: str,
    golfer: Golfer,
    plan: Plan,
    why: tuple[str, ...],
    today: date,
    *,
    verdict: Verdict | None = None,
    coach: str = "",
    paper: PaperSize = "a4",
    large_print: bool = False,
) -> SheetContent:
    """Put a sheet together. why: from `wording_sheet.why_sentences`; verdict: of the quantity that the plan works on."""
    drill = plan.drill
    part = None
    if drill is not None and plan.dose is not None:
        good = "" if drill.measure is None else f"A good one: {drill.measure.words}."
        part = DrillPart(
            drill.title, drill.picture, drill.set_up, drill.do, dose_sentence(plan.dose), good, drill.stop, drill.next_step
        )  # fmt: skip
    building = plan.mode == "build"
    return SheetContent(
        first_name(name),
        today,
        test_date_words(today),
        plan.target.club,
        plan.thought,
        why,
        (change_sentence(plan.way),) if building else plan_notes(plan),
        number_sentence(plan.target) if building else "",
        feel_sentences(plan.target) if building else (),
        part,
        caution_sentences(golfer, plan.way, drill),
        None if verdict is None else progress_of(verdict, plan),
        "" if verdict is None else verdict_for_golfer(verdict),
        test_sentence(plan),
        test_date_words(plan.next_test),
        golfer.handedness,
        golfer.age_group,
        coach,
        paper,
        large_print,
    )


def progress_of(verdict: Verdict, plan: Plan) -> Progress | None:
    """The plot of a verdict's blocks; None below two blocks. The window is drawn when the plan is about that quantity."""
    q = verdict.question
    if len(verdict.points) < 2:
        return None
    same = q.club == plan.target.club and q.evidence == "absolute"
    return Progress(
        f"{q.quantity}, {q.club}",
        verdict.points,
        verdict.baseline,
        verdict.smallest_real,
        q.sign,
        plan.target.low if same else None,
        plan.target.high if same else None,
        q.better if q.sign > 0 else q.worse,
        q.worse if q.sign > 0 else q.better,
    )

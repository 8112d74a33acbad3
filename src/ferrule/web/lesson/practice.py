"""Make it theirs: one thought, how far to overdo it, the drill counted by its own measure, half of the balls in silence."""

from typing import Final

from ferrule.app import cases
from ferrule.app.practice import RepCount, reps_of
from ferrule.app.progress import Settled, progress
from ferrule.app.targets import Proposal, proposed_window
from ferrule.app.views import TrialView
from ferrule.app.workspace import Workspace
from ferrule.coaching.drills import Drill
from ferrule.coaching.feedback import FeedbackPlan, feedback_plan
from ferrule.coaching.plan import Target
from ferrule.coaching.wording_sheet import change_sentence, dose_sentence, feel_sentences
from ferrule.coaching.wording_ways import FEELS, TITLES
from ferrule.coaching.wording_windows import feel_gap_sentence
from ferrule.web.case_parts import caution
from ferrule.web.lesson.frame import lesson_sheet, undo_line
from ferrule.web.lesson.held import Held, held_lesson
from ferrule.web.markup import Markup, tag
from ferrule.web.pad import mishit, pad
from ferrule.web.parts import REST, behind, button, empty, fault_place, pairs
from ferrule.web.shell import Drawn, Parts, page

PRACTICE_BALLS: Final = 14
"""What is left of forty balls after a cold test, a few looks and a trial (common practice, no source)."""


@page("/lessons/{lesson_id}/practice")
def practice_page(ws: Workspace, parts: Parts) -> Drawn:
    """The seventh screen of a lesson."""
    held = held_lesson(ws, int(parts["lesson_id"]))
    title = f"{held.name}, make it theirs"
    found = progress(ws, held.golfer.id, held.plan.club if held.plan else held.club)
    settled = found.settled
    if settled is None:
        return Drawn(title, unsettled_html(held), held.golfer.id)
    return Drawn(title, practice_html(held, settled, proposal_of(ws, held, settled)), held.golfer.id)


def proposal_of(ws: Workspace, held: Held, settled: Settled) -> Proposal:
    """The window and the number to feel for, from the case that the plan was made on."""
    case = cases.case_of(ws, held.golfer.id, settled.chosen.club, settled.chosen.lesson_id)
    return proposed_window(ws, case, settled.plan.way, held.golfer.id, feels_of(settled.plan.way, held.trials))


def feels_of(way: str, trials: tuple[TrialView, ...]) -> tuple[str, ...]:
    """What a way was called when it was tried."""
    names = [TITLES.get(way, "")]
    for trial in trials:
        names += [feel for w, feel in ((trial.way_a, trial.feel_a), (trial.way_b, trial.feel_b)) if w == way and feel]
    return tuple(dict.fromkeys(n for n in names if n))


def unsettled_html(held: Held) -> Markup:
    """Nothing was settled with this club."""
    return lesson_sheet(
        held,
        "practice",
        tag(
            "section",
            empty(
                f"Nothing is settled yet with {held.name}’s {held.club}",
                "Practice needs one thing to practise. Two ways are waiting, and a trial tells which.",
                tag("div", tag("a", "Two ways out", href=held.address("ways"), class_="do"), class_="tools"),
                level="h1",
            ),
            class_="first",
        ),
        onward=False,
    )  # fmt: skip


def half_silent(schedule_of: FeedbackPlan) -> tuple[bool, ...]:
    """Which balls are told about: as the schedule has it, and never more than half of them."""
    told, most = list(schedule_of.told), len(schedule_of.told) // 2
    for i in range(len(told) - 1, -1, -1):
        if sum(told) <= most:
            break
        if told[i]:
            told[i] = False
    return tuple(told)


def practice_html(held: Held, settled: Settled, proposal: Proposal) -> Markup:
    """The screen from its data."""
    plan = settled.plan
    drill = settled.own_drill or (plan.drill.title if plan.drill else "")
    target = Target(proposal.key, settled.chosen.club, proposal.low, proposal.high, FEELS.get(plan.way, ""), plan.target.exaggerate_to if plan.target.exaggerate_to is not None else proposal.exaggerate_to)  # fmt: skip
    return lesson_sheet(
        held,
        "practice",
        tag(
            "section",
            tag("p", "One thought", class_="soft"),
            tag("h1", plan.thought, id="thought"),
            *(tag("p", said, class_="lead") for said in overdo(target, proposal)),
            *(tag("p", r, class_="caution") for r in plan.reasons),
            caution(held.golfer),
            class_="first",
        ),
        _drill(held, settled, drill, feedback_plan(plan.feedback, PRACTICE_BALLS)) if drill else
        tag("section", tag("h2", "No drill now"), tag("p", change_sentence(plan.way), class_="lead")),
        onward=not drill, undo=not drill,
    )  # fmt: skip


def overdo(target: Target, proposal: Proposal) -> list[str]:
    """How it feels and how far to overdo it: from this golfer's own tries, else that what is felt is more than happens."""
    out = list(feel_sentences(target))
    if proposal.gap is not None:
        out.append(feel_gap_sentence(proposal.gap))
    elif target.exaggerate_to is None and len(out) < 2:
        out.append("Overdo it until it feels like too much: what is felt is more than what happens.")
    return out


def _drill(held: Held, settled: Settled, drill: str, schedule: FeedbackPlan) -> Markup:
    plan = settled.plan
    reps = reps_of(held.lesson, drill)
    told = half_silent(schedule)
    number = len(reps.did)
    send = f"{REST}/lessons/{held.lesson.id}/reps"
    body = {"drill": drill, "club": settled.chosen.club}
    measure = plan.drill.measure.words if plan.drill and plan.drill.measure else ""
    again = number >= len(told)
    speak = not again and (
        told[number] or (schedule.schedule in ("bandwidth", "self_chosen") and number < schedule.quiet_from)
    )
    last = next((s for s in reversed(held.lesson.swings) if s.number is not None and s.tried_feel == drill), None)
    return tag(
        "section",
        tag("h2", drill),
        pairs(
            ("A good one", f"{measure}." if measure else "does what the thought says."),
            ("Dose at home", dose_sentence(plan.dose) if plan.dose else None),
        ),
        tag("p", f"Ball {number + 1} of {len(told)}: {_how(schedule, speak)}" if not again else "Enough for today.", class_="turn", data_speak="yes" if speak else "no"),
        _row(told, reps),
        tag("p", schedule.sentence, class_="soft"),
        tag(
            "div",
            button("Did it", send, {**body, "did": True}, class_="do big", data_each=True),
            button("Missed its purpose", send, {**body, "did": False}, class_="a big", data_each=True),
            class_="reps", role="group", aria_label="What this ball did",
        ),
        tag("p", _tally(reps, quiet=not again and not (number and told[number - 1])), class_="said", id="tally"),
        tag("div", mishit(last) if last is not None and not (last.set_aside and last.set_aside_why != "mishit") else None, undo_line(held), class_="last"),
        behind("How to do it", _steps(plan.drill), id_="how-to") if plan.drill else None,
        behind(
            "Note where this ball went",
            tag("p", f"For ball {last.number}, the last one.", class_="soft"),
            pad(f"{REST}/swings/{last.id}/flight", method="PUT"),
            id_="flight",
        ) if last else None,
        fault_place(""), fault_place("drill"), id="drill", data_faults=True,
    )  # fmt: skip


def _how(schedule: FeedbackPlan, speak: bool) -> str:
    if not speak:
        return "say nothing."
    return {"bandwidth": "speak only if it misses.", "self_chosen": "speak if asked."}.get(
        schedule.schedule, "say what it did."
    )


def _tally(reps: RepCount, quiet: bool) -> str:
    """The count; after a silent ball the last one is not told, only that it is in."""
    if not reps.did:
        return "Tap after every ball whether it did what the drill is for."
    said = f"{reps.good} did it, {reps.missed} missed its purpose."
    return f"Kept. {said}" if quiet else f"{'Did it' if reps.did[-1] else 'Missed'}. {said}"


def _row(told: tuple[bool, ...], reps: RepCount) -> Markup:
    """The balls to come: those that are told about stand taller; those that are in are filled, or crossed when missed."""
    marks = []
    for i, aloud in enumerate(told):
        words = ["aloud"] if aloud else []
        if i < len(reps.did):
            words.append("in" if reps.did[i] else "missed")
        elif i == len(reps.did):
            words.append("next")
        marks.append(tag("i", class_=" ".join(words)))
    silent = len(told) - sum(told)
    return tag(
        "p",
        *marks,
        class_="dots",
        role="img",
        aria_label=f"{len(reps.did)} of {len(told)} balls are in; {silent} of them in silence",
    )


def _steps(drill: Drill) -> Markup:
    return tag(
        "div",
        tag("ol", *(tag("li", each) for each in (*drill.set_up, *drill.do)), class_="ways-to"),
        tag("p", f"Stop when: {'; '.join(drill.stop)}.", class_="caution"),
        tag("p", f"Next: {drill.next_step}", class_="soft"),
    )


__all__ = ["PRACTICE_BALLS", "feels_of", "half_silent", "overdo", "practice_html", "practice_page"]

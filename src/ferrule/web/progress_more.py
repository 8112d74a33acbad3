"""Further parts of the progress page: the window, recorded reps, two periods beside each other, the coach's notes."""

from collections.abc import Sequence
from datetime import date

from ferrule.app.drills import MaybeReps
from ferrule.app.periods import DatedNote, Period
from ferrule.app.progress import Progress
from ferrule.coaching.change import Question
from ferrule.coaching.change_periods import Periods
from ferrule.coaching.drills import Reps, next_step
from ferrule.coaching.wording_change import periods_sentence
from ferrule.web.markup import Markup, join, tag
from ferrule.web.parts import REST, behind, button, fault_place, field, form, submit
from ferrule.web.span_form import WINDOWED, span_fields, spanned_named
from ferrule.web.words import counted, day_words, listed

STEPS = {"pose": "poses", "slow": "slow swings", "half": "half swings", "full": "full swings"}


def window_form(found: Progress, lesson_id: int, club: str) -> Markup:
    """Set the window in the coach's words; it belongs to the newest lesson."""
    settled = found.settled
    target = settled.plan.target if settled is not None and settled.has_window else None
    spanned = spanned_named(target.key if target else found.plan_key)
    inside = form(
        f"{REST}/lessons/{lesson_id}/said-windows",
        tag("input", type="hidden", name="club", value=club),
        span_fields(
            WINDOWED, "Which number", none="choose", chosen=spanned, low=target.low if target else None,
            high=target.high if target else None, aim=target.exaggerate_to if target else None, with_aim=True, id_="window",
        ),
        fault_place(""),
        tag("div", submit("Set the window", class_="a"), class_="tools"),
        draft=f"window-{lesson_id}",
    )  # fmt: skip
    return behind("Change the window" if target else "Set a window", inside, id_="set-window")


def rep_words(found: Progress) -> str:
    """Reps counted apart: measured by the drill's own measure, and by the coach's word."""
    r, by_word = found.reps, found.missed_by_word
    parts = []
    if r.good + r.missed:
        parts.append(f"measured: {r.good} did what it is for, {r.missed or 'none'} missed it")
    if r.unmeasured + by_word:
        said = [f"{r.unmeasured} did it"] if r.unmeasured else []
        parts.append(f"by your word: {listed([*said, *([f'{by_word} missed it'] if by_word else [])])}")
    return "; ".join(parts)


def step_words(found: Progress) -> str:
    """Up a step, down one, or nothing: after five reps."""
    plan = found.settled.plan if found.settled is not None else None
    if plan is None or plan.drill is None or plan.dose is None:
        return ""
    reps = Reps(found.reps.good + found.reps.unmeasured, found.reps.missed + found.missed_by_word, 0)
    to = next_step(plan.drill, found.person, plan.dose.step, reps)
    if to == plan.dose.step:
        return ""
    if found.main is not None and found.main.kind == "practice_only" and reps.good > reps.missed:
        return "the drill is done well enough: less help and more cold balls now, not more of it."
    share = f"{reps.good} of {reps.good + reps.missed} did it"
    return f"{share}: {STEPS[to]} next." if reps.good > reps.missed else f"{share}: back to {STEPS[to]}."


def reps_buttons(maybe: Sequence[MaybeReps], drill: str) -> Markup | None:
    """Recorded swings that nobody has called anything yet: were they reps?"""
    if not maybe or not drill:
        return None
    taps = [
        button(
            f"The {counted(m.swings, 'swing')} of {m.file_name} were reps", f"{REST}/lessons/{m.lesson_id}/recorded-reps",
            {"drill": drill, "recording": m.recording_id}, class_="a small",
        )
        for m in maybe
    ]  # fmt: skip
    return tag("div", *taps, fault_place("recording"), class_="tools", data_faults=True)


def periods_part(
    found: Progress,
    usual: tuple[Period, Period] | None,
    asked: tuple[Period, Period] | None,
    compared: Sequence[tuple[Question, Periods]],
    fault: str,
) -> Markup | None:
    """Two periods beside each other; the dates are in the address."""
    chosen = asked or usual
    if chosen is None:
        return None
    names = ("first_from", "first_to", "second_from", "second_to")
    words = ("First period, from", "to", "Second period, from", "to")
    days: list[date] = [*chosen[0], *chosen[1]]
    answer = [tag("p", periods_sentence(p, q), class_="serif") for q, p in compared]
    inside = join(
        tag("p", "Cold balls alone, from two days a period on. A comparison, not a proof.", class_="soft"),
        tag(
            "form",
            tag("input", type="hidden", name="club", value=found.club),
            tag("div", *(field(n, w, value=d.isoformat(), kind="date", id_="periods") for n, w, d in zip(names, words, days, strict=True)), class_="fields"),
            tag("div", tag("button", "Compare", type="submit", class_="a"), class_="tools"),
            action=f"/golfers/{found.golfer.id}/progress#periods", method="get",
        ),
        tag("p", f"{fault[:1].upper()}{fault[1:]}", class_="fault told", role="alert") if fault else None,
        tag("div", *answer, class_="answer", role="status") if answer else None,
    )  # fmt: skip
    return tag(
        "section",
        behind("Two periods beside each other", inside, id_="two-periods", opened=asked is not None),
        id="periods",
    )


def notes_part(notes: Sequence[DatedNote]) -> Markup | None:
    """What the coach wrote down, lesson by lesson."""
    if not notes:
        return None
    by_lesson: dict[int, list[DatedNote]] = {}
    for note in notes:
        by_lesson.setdefault(note.lesson_id, []).append(note)
    parts = [
        tag(
            "div",
            tag("h3", tag("a", day_words(of[0].on).capitalize(), href=f"/lessons/{lesson_id}", class_="bare")),
            *(tag("p", n.text, class_="noted", data_key=f"note-{n.id}") for n in of),
        )
        for lesson_id, of in by_lesson.items()
    ]
    return tag("section", behind("Notes, lesson by lesson", *parts, id_="all-notes"), id="notes", class_="notes-of")

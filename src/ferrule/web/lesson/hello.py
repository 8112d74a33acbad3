"""Hello: what hurts today, what is coming up, the last thought and verdict, the notes. The next lesson opens here."""

from collections.abc import Sequence
from datetime import date

from ferrule.app import lessons as teaching
from ferrule.app.finding import now
from ferrule.app.progress import Progress, progress
from ferrule.app.views import NoteView, TrialView
from ferrule.app.workspace import Workspace
from ferrule.coaching.plan import opening
from ferrule.coaching.wording import upper_first
from ferrule.coaching.wording_change import verdict_sentence
from ferrule.coaching.wording_ways import TITLES
from ferrule.web.case_parts import caution
from ferrule.web.lesson.frame import lesson_sheet
from ferrule.web.lesson.held import Held, held_lesson
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, area, behind, button, fault_place, field, form, pairs, submit
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import day_words, listed, ordinal

PLACES = ("lead wrist", "trail wrist", "elbow", "shoulder", "back", "hip or knee")
MISSES = (("right", "Right"), ("left", "Left"), ("both", "Both ways"), ("straight", "Straight"))
SOON_DAYS = 60


@page("/lessons/{lesson_id}/hello")
def hello_page(ws: Workspace, parts: Parts) -> Drawn:
    """The first screen of a lesson."""
    from ferrule.app import trials as trying

    held = held_lesson(ws, int(parts["lesson_id"]))
    found = progress(ws, held.golfer.id)
    last = held.past[0] if held.past else None
    notes = teaching.lesson(ws, last.id).notes if last else ()
    tried = next((t for t in trying.trials(ws, last.id) if t.verdict is not None), None) if last else None
    html = hello_html(held, found, notes, tried, now().astimezone().date())
    return Drawn(f"{held.name}, hello", html, held.golfer.id)


def hello_html(held: Held, found: Progress, notes: Sequence[NoteView], tried: TrialView | None, today: date) -> Markup:
    """The screen from its data. notes, tried: of the lesson before."""
    return lesson_sheet(
        held,
        "hello",
        tag("section", tag("h1", _headline(held, today), class_="calm"), _brief(held, found, tried, today), class_="first"),
        tag(
            "div",
            tag("section", _pain(held), id="pain"),
            tag("section", _last_notes(held, notes), _asking(held), class_="second"),
            class_="split",
        ),
    )  # fmt: skip


def _headline(held: Held, today: date) -> str:
    event, on = held.golfer.next_event, held.golfer.next_event_on
    which = f"{held.name}’s {ordinal(held.number)} lesson"
    if on is None or not 0 <= (on - today).days <= SOON_DAYS:
        return f"{which}."
    days = (on - today).days
    said = "today" if days == 0 else "tomorrow" if days == 1 else f"in {days} days"
    name = f"{event[:1].lower()}{event[1:]}" if event and event[1:2].islower() else event or "the next event"
    return f"{which}: {name} {said}."


def _brief(held: Held, found: Progress, tried: TrialView | None, today: date) -> Markup | None:
    """Last thought, last verdict, cold test: what the coach should have in mind before the first ball."""
    settled = found.settled
    if settled is None and not held.past:
        return tag(
            "p", f"A first lesson: ask where {held.name}’s ball goes, and whether anything hurts.", class_="lead"
        )
    verdict = ""
    if settled is not None and found.main is not None:
        verdict = verdict_sentence(found.main)
    elif tried is not None and tried.verdict is not None:
        verdict = tried.verdict.sentence
    thought = drill = test = ""
    known = True
    if settled is not None:
        plan = settled.plan
        thought = plan.thought
        known = plan.mode == "build" or bool(settled.chosen.thought)
        drill = settled.own_drill or (plan.drill.title if plan.drill else "")
        late = (today - plan.next_test).days
        test = f"{plan.test} " + (
            f"Due since {day_words(plan.next_test)}." if late > 0 else "Due today." if late == 0 else f"Due {day_words(plan.next_test)}."
        )  # fmt: skip
        reasons = tuple(plan.reasons)
    else:
        reasons = ()
    asked = opening(settled.plan, today).brief[-1] if settled is not None else ""
    rows = pairs(
        ("Last thought" if known else "For now", tag("b", thought) if thought else None),
        ("Drill", drill),
        ("Way", TITLES.get(settled.plan.way) if settled is not None else None),
        ("Last verdict", verdict),
        ("Cold test", test),
        ("Ask", upper_first(asked.removeprefix("Ask: ")) if asked else None),
        ("Goal", held.golfer.goal),
    )
    return tag("div", rows, *(tag("p", r, class_="caution") for r in reasons), id="brief", class_="brief-of-last")


def _pain(held: Held) -> Markup:
    """Pain today: nothing hurts in one tap, or where in one tap each; what it stops is said at once."""
    golfer = held.golfer
    send = f"{REST}/golfers/{golfer.id}"
    here = set(golfer.pain)
    places = [*PLACES, *(p for p in golfer.pain if p not in PLACES)]
    nothing = button(
        "Nothing hurts", send, {"pain": []}, method="PATCH", class_="a",
        aria_pressed=str(held.asked_today and not golfer.pain).lower(),
    )  # fmt: skip
    taps = [
        button(
            f"{place[:1].upper()}{place[1:]}",
            send,
            {"pain": sorted(here ^ {place})},
            method="PATCH",
            class_="a",
            aria_pressed=str(place in here).lower(),
        )
        for place in places
    ]
    earlier = (
        "" if held.asked_today or not golfer.pain else f"Last time: {listed(list(golfer.pain))}. Is it still there?"
    )
    return tag(
        "div",
        tag("h2", "Does anything hurt today?"),
        tag("p", earlier, class_="says") if earlier else None,
        tag("div", nothing, *taps, class_="answers", role="group", aria_label="What hurts today"),
        caution(golfer),
        behind(
            "Somewhere else, or numb",
            form(
                send,
                field("pain", "Where", id_="hello", value=", ".join(golfer.pain), wide=True, maxlength=400),
                fault_place(""),
                tag("div", submit("Note it", class_="a small"), class_="tools"),
                method="PATCH",
                draft=f"pain-{held.lesson.id}",
            ),
            id_="pain-elsewhere",
        ),
        fault_place(""),
        data_faults=True,
    )


def _last_notes(held: Held, notes: Sequence[NoteView]) -> Markup | None:
    if not notes:
        return None
    return tag(
        "div",
        tag("h2", f"Noted {day_words(held.past[0].started_at)}"),
        *(tag("p", n.text, class_="noted") for n in notes[-4:]),
        id="last-notes",
    )


def _asking(held: Held) -> Markup:
    """Where the ball goes, one tap; the rest of the interview a tap away; a note."""
    golfer = held.golfer
    ask = tag(
        "div",
        tag("h2", "Where does the ball go?"),
        tag(
            "div",
            *(
                button(said, f"{REST}/golfers/{golfer.id}", {"big_miss": word}, method="PATCH", class_="a", aria_pressed=str(golfer.big_miss == word).lower())
                for word, said in MISSES
            ),
            class_="answers", role="group", aria_label="The big miss", data_faults=True,
        ),
    )  # fmt: skip
    return tag(
        "div",
        ask if golfer.big_miss is None or held.number == 1 else None,
        tag("p", tag("a", "Goal, event, balls a week, how far it goes: the interview", href=f"/golfers/{golfer.id}/screen", class_="bare")),
        behind(
            "A note",
            form(
                f"{REST}/lessons/{held.lesson.id}/notes",
                area("text", "A note for next time"),
                tag("div", submit("Write it down", class_="a small"), class_="tools"),
                clear=True,
            ),
            id_="note",
        ),
    )  # fmt: skip


__all__ = ["hello_html", "hello_page"]

"""Close: one thought, one drill, one test with a date; the window set; the sheet handed over. The next lesson opens here."""

from ferrule.app.drills import library
from ferrule.app.progress import OPEN_ENDED, Settled, progress
from ferrule.app.targets import Proposal
from ferrule.app.views import WindowView
from ferrule.app.workspace import Workspace
from ferrule.coaching.drills import drills_for
from ferrule.coaching.plan import Target
from ferrule.coaching.wording_sheet import dose_sentence, feel_sentences, number_sentence, test_date_words
from ferrule.coaching.wording_ways import FEELS, TITLES
from ferrule.web.lesson.frame import lesson_sheet
from ferrule.web.lesson.held import Held, held_lesson
from ferrule.web.lesson.practice import proposal_of
from ferrule.web.markup import Child, Markup, tag
from ferrule.web.parts import REST, behind, button, empty, fault_place, field, form, pairs, select, submit
from ferrule.web.shell import Drawn, Parts, page


@page("/lessons/{lesson_id}/close")
def close_page(ws: Workspace, parts: Parts) -> Drawn:
    """The last screen of a lesson."""
    held = held_lesson(ws, int(parts["lesson_id"]))
    title = f"{held.name}, close"
    found = progress(ws, held.golfer.id, held.plan.club if held.plan else held.club)
    settled = found.settled
    if settled is None:
        return Drawn(title, unsettled_html(held), held.golfer.id)
    proposal = proposal_of(ws, held, settled)
    window = next((w for w in held.windows if w.club == settled.chosen.club), None)
    fitting = [d.title for d in drills_for(library(ws), found.person, way=settled.plan.way)]
    return Drawn(title, close_html(held, settled, proposal, window, fitting), held.golfer.id)


def unsettled_html(held: Held) -> Markup:
    """A lesson may end without a plan; it is said what a plan would need."""
    return lesson_sheet(
        held,
        "close",
        tag(
            "section",
            empty(
                f"Nothing is settled with {held.name}’s {held.club}",
                "A sheet tells one thought, one drill and one test. Settle on a way, or end here: everything entered is kept.",
                tag("div", tag("a", "Two ways out", href=held.address("ways"), class_="do"), class_="tools"),
                level="h1",
            ),
            class_="first",
        ),
        _end(held, filled=False),
        onward=False,
    )  # fmt: skip


def close_html(
    held: Held, settled: Settled, proposal: Proposal, window: WindowView | None, drills: list[str]
) -> Markup:
    """The screen from its data. window: the one set in this lesson; drills: titles that suit."""
    plan = settled.plan
    drill = settled.own_drill or (plan.drill.title if plan.drill else "")
    return lesson_sheet(
        held,
        "close",
        tag(
            "section",
            tag("p", f"What {held.name} takes home", class_="soft"),
            tag("h1", plan.thought, id="thought"),
            pairs(
                ("Way", TITLES.get(plan.way, plan.way)),
                ("Drill", tag("span", tag("b", drill or "none for now"), tag("br"), tag("span", dose_sentence(plan.dose), class_="soft") if plan.dose and not settled.own_drill else None)),
                ("Test", tag("span", tag("b", test_date_words(plan.next_test)), f": {plan.test}")),
            ),
            *(tag("p", r, class_="caution") for r in plan.reasons),
            _change(held, settled, drills),
            class_="first", id="home",
        ),
        tag(
            "div",
            _window(held, settled, proposal, window),
            _hand_over(held, settled),
            class_="split",
        ),
        _end(held, filled=True),
        onward=False,
    )  # fmt: skip


def _change(held: Held, settled: Settled, drills: list[str]) -> Markup:
    chosen = settled.chosen
    return behind(
        "In other words",
        form(
            f"{REST}/lessons/{held.lesson.id}/plan",
            tag("input", type="hidden", name="club", value=chosen.club),
            tag(
                "div",
                select("way", "The way", list(TITLES.items()), chosen=chosen.way, id_="close"),
                field("thought", "One thought", value=chosen.thought or settled.plan.thought, id_="close", maxlength=400, wide=True),
                field("drill", "One drill", value=settled.own_drill or (settled.plan.drill.title if settled.plan.drill else ""), id_="close", maxlength=400, list="fitting", wide=True),
                field("test", "One test", value=chosen.test, id_="close", maxlength=400, wide=True, hint="Empty: ten balls, cold, nobody says anything."),
                class_="fields",
            ),
            tag("datalist", *(tag("option", value=t) for t in drills), id="fitting"),
            fault_place(""),
            tag("div", submit("Keep these words", class_="a"), class_="tools"),
            draft=f"close-{held.lesson.id}",
        ),
        id_="other-words",
    )  # fmt: skip


def _window(held: Held, settled: Settled, proposal: Proposal, window: WindowView | None) -> Markup | None:
    """The window: proposed in a sentence and set with one tap, or as it stands."""
    club, way = settled.chosen.club, settled.plan.way
    if way in OPEN_ENDED:
        return tag(
            "section", tag("h2", "The window"), tag("p", "This way aims at no number.", class_="soft"), id="window"
        )
    if window is not None:
        target = Target(window.key, club, window.low, window.high, FEELS.get(way, ""), window.exaggerate_to)
        inside: list[Child] = [
            tag("p", tag("b", "Set. "), number_sentence(target), class_="lead"),
            *(tag("p", s, class_="soft") for s in feel_sentences(target)[1:]),
        ]
    else:
        target = Target(proposal.key, club, proposal.low, proposal.high, FEELS.get(way, ""), proposal.exaggerate_to)
        body = {
            "quantity": proposal.key,
            "low": proposal.low,
            "high": proposal.high,
            "exaggerate_to": proposal.exaggerate_to,
            "club": club,
        }
        inside = [
            tag("p", number_sentence(target), class_="lead"),
            *(tag("p", s, class_="soft") for s in feel_sentences(target)[1:]),
            tag(
                "div",
                button("Set this window", f"{REST}/lessons/{held.lesson.id}/windows", body, class_="a"),
                class_="tools",
            ),
        ]
    other = behind(
        "Another window",
        form(
            f"{REST}/lessons/{held.lesson.id}/windows",
            tag("input", type="hidden", name="club", value=club),
            tag("input", type="hidden", name="quantity", value="ball.start_deg"),
            tag("p", "Where the ball may start, in degrees to each side of the target.", class_="soft"),
            field("each_side", "To each side", kind="number", unit="°", id_="window"),
            fault_place(""), fault_place("high"), fault_place("low"),
            tag("div", submit("Set it", class_="a small"), class_="tools"),
            draft=f"window-{held.lesson.id}", clear=True,
        ),
        id_="another-window",
    )  # fmt: skip
    return tag("section", tag("h2", "The window"), *inside, other, fault_place(""), id="window", data_faults=True)


def _hand_over(held: Held, settled: Settled) -> Markup:
    """The sheet, before the golfer reaches the car."""
    base = f"{REST}/golfers/{held.golfer.id}/sheet"
    club = f"club={settled.chosen.club.replace(' ', '+')}"
    links = (
        ("PDF to print", f"{base}.pdf?{club}"),
        ("Page for the phone", f"{base}.html?{club}"),
        ("Text to send", f"{base}.txt?{club}"),
        ("Large print", f"{base}.pdf?{club}&large_print=true"),
    )
    return tag(
        "section",
        tag("h2", f"{held.name}’s sheet"),
        tag("p", "Why, what to change, the drill, the test. Two pages at most.", class_="soft"),
        tag("div", *(tag("a", said, href=to, class_="a", target="_blank", rel="noopener") for said, to in links), class_="answers"),
        id="sheet",
    )  # fmt: skip


def _end(held: Held, filled: bool) -> Markup:
    if held.lesson.ended_at is not None:
        return tag(
            "section", tag("p", "The lesson is over. The next one opens with what is above.", class_="says"), id="over"
        )
    return tag(
        "section",
        tag("p", button("End the lesson", f"{REST}/lessons/{held.lesson.id}/end", class_="do" if filled else "a"), class_="tools"),
        fault_place(""), id="end", data_faults=True,
    )  # fmt: skip


__all__ = ["close_html", "close_page", "unsettled_html"]

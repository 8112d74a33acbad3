"""Case: the sentence, its rival, one look answered in place; the sentence changes before the eyes."""

from ferrule.analysis.explain import Explanation
from ferrule.app import cases
from ferrule.app.settings import settings
from ferrule.app.workspace import Workspace
from ferrule.web import case_view
from ferrule.web.case_parts import caution, ruled_out
from ferrule.web.lesson.evidence import lesson_case, working_out
from ferrule.web.lesson.frame import lesson_sheet
from ferrule.web.lesson.held import Held, held_lesson
from ferrule.web.lesson.look_slider import look_part
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import both_sizes, empty
from ferrule.web.pictures.flight import flight_picture
from ferrule.web.pictures.staircase import staircase, staircase_narrow
from ferrule.web.shell import Drawn, Parts, page


@page("/lessons/{lesson_id}/case")
def why_page(ws: Workspace, parts: Parts) -> Drawn:
    """The fourth screen of a lesson."""
    held = held_lesson(ws, int(parts["lesson_id"]))
    case = lesson_case(ws, held)
    title = f"{held.name}, case"
    if not case.swings:
        return Drawn(title, nothing_html(held, working_out(ws, held.lesson)), held.golfer.id)
    yards = settings(ws).length_unit == "yards"
    return Drawn(
        title, why_html(held, cases.explanation_of(ws, case), working_out(ws, held.lesson), yards=yards), held.golfer.id
    )


def nothing_html(held: Held, pending: str = "", here: str = "case") -> Markup:
    """Before anything was seen."""
    return lesson_sheet(
        held,
        here,
        tag(
            "section",
            empty(
                f"Nothing seen yet of {held.name}’s {held.club}",
                "Where five balls go is enough for a first answer. The cold test gives ten.",
                tag("div", tag("a", "On to the cold test", href=held.address("cold-test"), class_="do"), tag("a", "Enter balls, numbers or recordings", href=held.address(), class_="bare"), class_="tools"),
                tag("p", pending, class_="soft") if pending else None,
                level="h1",
            ),
            class_="first",
        ),
        onward=False,
    )  # fmt: skip


def why_html(held: Held, explanation: Explanation, pending: str, *, yards: bool) -> Markup:
    """The screen from its data."""
    story = explanation.story
    flight = case_view.flight_of(explanation, yards, f"{held.name}’s")
    label = f"{flight.title} with the {held.club}, seen from above: {', '.join(w.rstrip(',') for w in flight.start_words)}, {flight.landing_words}"
    look = look_part(explanation, held.lesson.id, held.club, f"{held.address()}#read")
    steps, end = case_view.steps_of(explanation), case_view.end_words(explanation)
    picture = case_view.staircase_label(steps, end)
    return lesson_sheet(
        held,
        "case",
        tag(
            "div",
            tag(
                "div",
                tag("h1", story.headline, data_says=True),
                tag("p", story.lead, class_="lead", data_says=True),
                tag("p", story.sure, class_="sure"),
                *(tag("p", note, class_="sure") for note in story.notes),
                tag("p", pending, class_="says", data_pending=True) if pending else None,
                look,
                ruled_out(explanation, held.checks.get("club") is not None),
                caution(held.golfer),
            ),
            tag(
                "figure",
                flight_picture(flight, label),
                tag("figcaption", "Seen from above, the target up the page.", class_="hint"),
                class_="flight",
            ),
            class_="hero",
        ),
        tag(
            "section",
            tag("h2", f"What {'closes' if end.endswith('closed') else 'opens'} the face"),
            both_sizes(staircase(steps, end, picture), staircase_narrow(steps, end, picture)),
            id="staircase",
        ),
        onward=look is None or "data-words" not in look,
    )  # fmt: skip


__all__ = ["nothing_html", "why_html", "why_page"]

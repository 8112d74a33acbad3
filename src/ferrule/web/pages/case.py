"""A golfer's page opens on the case: one cause, its rival, one look answered in place; then what follows from it."""

from ferrule.analysis.explain import Explanation
from ferrule.app import cases
from ferrule.app import golfers as people
from ferrule.app import lessons as teaching
from ferrule.app.checks import CLUB_NOTE
from ferrule.app.recorded_ways import WaysOnSwing, usual_recorded, ways_on_swing
from ferrule.app.settings import settings
from ferrule.app.views import GolferView, LessonLine, LessonView
from ferrule.app.workspace import Workspace
from ferrule.web import case_view
from ferrule.web.case_parts import caution, ruled_out
from ferrule.web.golfer_top import top_line
from ferrule.web.lesson.evidence import working_out
from ferrule.web.lesson.look_slider import look_part
from ferrule.web.markup import Markup, join, tag
from ferrule.web.pad import after_ball, pad
from ferrule.web.parts import REST, behind, both_sizes, button, empty, pairs, sheet
from ferrule.web.pictures.flight import flight_picture
from ferrule.web.pictures.rail import rail
from ferrule.web.pictures.staircase import staircase, staircase_narrow
from ferrule.web.running import running_lesson
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.ways import ways_section
from ferrule.web.words import first_name


@page("/golfers/{golfer_id}")
def case_page(ws: Workspace, parts: Parts) -> Drawn:
    """The case with the club in the address, else with the club of most swings."""
    golfer = people.golfer(ws, int(parts["golfer_id"]))
    bag = people.clubs(ws, golfer.id)
    held = teaching.lessons(ws, golfer.id)
    named = parts.get("club") or None
    lesson_id = cases.case_lesson(ws, golfer.id, named)
    case = cases.case_of(ws, golfer.id, named)
    head = top_line(golfer, len(held), held[0].id if held else None, "case", bag, case.club.name)
    running = running_lesson(held)
    if lesson_id is None:
        return Drawn(golfer.name, nothing_yet(golfer, head, case.club.name, running), golfer.id)
    explanation = cases.explanation(ws, golfer.id, named)
    ways = ways_answer(ws, golfer.id, named)
    today = teaching.lesson(ws, running.id) if running else None
    about, recorded_ball = teaching.lesson(ws, lesson_id), usual_recorded(ws, lesson_id, case.club.name)
    html = case_html(
        golfer, head, explanation, ways, lesson_id, today, yards=settings(ws).length_unit == "yards",
        pending=working_out(ws, about),
        club_seen=any(n.text.startswith(CLUB_NOTE) for n in about.notes),
        recorded=None if recorded_ball is None else ways_on_swing(ws, recorded_ball),
    )  # fmt: skip
    return Drawn(f"{first_name(golfer.name)}, {case.club.name}", html, golfer.id)


def ways_answer(ws: Workspace, golfer_id: int, club: str | None) -> dict[str, object]:
    """The ways as the machine interface has them."""
    answer = cases.options(ws, golfer_id, club)
    said: dict[str, object] = answer.to_json()
    return said


def case_html(
    golfer: GolferView,
    head: Markup,
    explanation: Explanation,
    ways: dict[str, object],
    lesson_id: int,
    today: LessonView | None,
    *,
    yards: bool,
    pending: str = "",
    club_seen: bool = False,
    recorded: WaysOnSwing | None = None,
) -> Markup:
    """The page from its data. lesson_id: the lesson the case is about; today: the lesson that is being held.

    pending: what is still being worked out; club_seen: whether the club itself was looked at; recorded: the ways on the
    recorded ball whose face is in the middle.
    """
    name = first_name(golfer.name)
    club = explanation.case.club.name
    flight = case_view.flight_of(explanation, yards, f"{name}’s")
    label = f"{flight.title} with the {club}, seen from above: {', '.join(w.rstrip(',') for w in flight.start_words)}, {flight.landing_words}"
    story = explanation.story
    answer_to = today.id if today and today.id == lesson_id else lesson_id
    body = tag(
        "main",
        tag(
            "div",
            tag(
                "div",
                tag("h1", story.headline, data_says=True),
                tag("p", story.lead, class_="lead", data_says=True),
                tag("p", story.sure, class_="sure"),
                *(tag("p", note, class_="sure") for note in story.notes),
                tag("p", pending, class_="says", data_pending=True) if pending else None,
                look_part(explanation, answer_to, club, f"/lessons/{answer_to}#read", filled=False),
                ruled_out(explanation, club_seen),
                caution(golfer),
            ),
            tag(
                "figure",
                flight_picture(flight, label),
                tag("figcaption", "Seen from above, the target up the page.", class_="hint"),
                class_="flight",
            ),
            class_="hero",
        ),
        _staircase(explanation),
        _coming_down(explanation),
        ways_section(golfer, explanation, ways, answer_to, recorded),
        _rail(explanation),
        _evidence(explanation, lesson_id),
        data_case=club,
    )
    return sheet(head, body, ball_button(golfer, today, club))


def _staircase(explanation: Explanation) -> Markup:
    steps = case_view.steps_of(explanation)
    end = case_view.end_words(explanation)
    label = case_view.staircase_label(steps, end)
    verb = "closes" if end.endswith("closed") else "opens"
    return tag(
        "section",
        tag("h2", f"What {verb} the face"),
        both_sizes(staircase(steps, end, label), staircase_narrow(steps, end, label)),
        id="staircase",
    )


def _coming_down(explanation: Explanation) -> Markup | None:
    said = explanation.story.shaft_level
    return (
        tag("section", tag("h2", "On the way down"), tag("p", said, class_="lead"), id="coming-down") if said else None
    )


def _rail(explanation: Explanation) -> Markup | None:
    marks = case_view.marks_of(explanation)
    if not marks:
        return None
    own = [m for m in marks if m.kind == "untouched"]
    tries = len(marks) - len(own)
    said = f"{len(own)} balls as the golfer came" + (f", {tries} tries" if tries else "")
    return tag(
        "section",
        tag("h2", "Ball by ball"),
        both_sizes(rail(marks, f"On a rail from closed to open: {said}"), rail(marks, f"On a rail from closed to open: {said}", narrow=True)),
        tag("p", f"Rounds: {said.split(',', maxsplit=1)[0]}. Lozenges: tries." if tries else f"{said[:1].upper()}{said[1:]}.", class_="soft"),
        id="balls",
    )  # fmt: skip


def _evidence(explanation: Explanation, lesson_id: int) -> Markup:
    """Everything the answer rests on, a tap away."""
    rows = [
        tag("tr", tag("td", c.sentence), tag("td", {"by_eye": "by eye"}.get(c.how, c.how), class_="n"))
        for c in explanation.causes
    ]
    more = [tag("p", p.sentence) for p in explanation.path_causes]
    issues = [tag("p", i.message) for i in explanation.issues]
    return tag(
        "section",
        behind(
            "Evidence",
            tag("div", tag("table", tag("tr", tag("th", "What was found"), tag("th", "How")), *rows), class_="scroll"),
            tag("div", tag("h3", "Why the path is where it is"), *more) if more else None,
            tag("div", tag("h3", "Worth knowing"), *issues) if issues else None,
            tag("p", tag("a", "Every ball of that lesson", href=f"/lessons/{lesson_id}", class_="bare")),
            id_="evidence",
        ),
    )


def nothing_yet(golfer: GolferView, head: Markup, club: str, running: LessonLine | None) -> Markup:
    """A case without evidence teaches how to begin."""
    name = first_name(golfer.name)
    steps = pairs(
        ("First", "ask where the ball goes and whether anything hurts"),
        ("Then", "watch five balls: a tap each for where it starts and how it bends"),
        ("Soon", "Ferrule says what it could be, and what to look at next"),
    )
    go = (
        tag("a", "Go on with the lesson", href=f"/lessons/{running.id}/hello", class_="do")
        if running
        else button(
            "Start the lesson", f"{REST}/golfers/{golfer.id}/lessons", class_="do", data_then="/lessons/{id}/hello"
        )
    )
    body = tag(
        "main",
        tag(
            "section",
            empty(
                f"Nothing seen yet of {name}’s {club}",
                "No sensor is needed. Where five balls go is enough to begin.",
                steps,
                tag(
                    "div",
                    go,
                    tag("a", "Ask a few questions first", href=f"/golfers/{golfer.id}/screen", class_="bare"),
                    class_="tools",
                ),
                tag("p", class_="fault", data_fault="", role="alert"),
                level="h1",
            ),
            caution(golfer),
        ),
    )
    return sheet(head, body)


def ball_button(golfer: GolferView, today: LessonView | None, club: str) -> Markup:
    """The commonest act, within reach of the thumb: a ball, or the lesson it needs."""
    if today is None:
        return button(
            "Start a lesson", f"{REST}/golfers/{golfer.id}/lessons", class_="do float", data_then="/lessons/{id}/hello"
        )
    return join(
        tag("button", "Ball", type="button", class_="do float", data_dialog="ball-pad"),
        tag(
            "dialog",
            tag("div", tag("h2", "Where did it go?"), tag("button", "Done", type="button", class_="bare", data_close=True), class_="dialog-head"),
            pad(f"{REST}/lessons/{today.id}/balls", {"club": club}),
            after_ball(today),
            tag("p", class_="fault", data_fault="", role="alert"),
            id="ball-pad", class_="pull-up", aria_label="Enter a ball", data_faults=True,
        ),
    )  # fmt: skip


__all__ = ["ball_button", "case_html", "case_page", "caution", "nothing_yet", "ways_answer"]

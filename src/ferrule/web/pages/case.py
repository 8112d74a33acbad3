"""A golfer's page opens on the case: one cause, its rival, one look answered in place; then what follows from it."""

from ferrule.analysis.explain import Explanation
from ferrule.app import cases
from ferrule.app import golfers as people
from ferrule.app import lessons as teaching
from ferrule.app.settings import settings
from ferrule.app.views import GolferView, LessonLine, LessonView
from ferrule.app.workspace import Workspace
from ferrule.coaching.triage import Check
from ferrule.web import case_view
from ferrule.web.golfer_top import top_line
from ferrule.web.markup import Markup, join, tag
from ferrule.web.pad import after_ball, pad
from ferrule.web.parts import REST, behind, both_sizes, button, empty, pairs, sheet
from ferrule.web.pictures.flight import flight_picture
from ferrule.web.pictures.rail import rail
from ferrule.web.pictures.staircase import staircase, staircase_narrow
from ferrule.web.running import running_lesson
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.ways import ways_section
from ferrule.web.words import first_name, listed


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
    html = case_html(golfer, head, explanation, ways, lesson_id, today, yards=settings(ws).length_unit == "yards")
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
) -> Markup:
    """The page from its data. lesson_id: the lesson the case is about; today: the lesson that is being held."""
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
                tag("h1", story.headline),
                tag("p", story.lead, class_="lead"),
                tag("p", story.sure, class_="sure"),
                *(tag("p", note, class_="sure") for note in story.notes),
                _look(explanation, answer_to, club),
                _ruled_out(explanation),
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
        ways_section(golfer, explanation, ways, answer_to),
        _rail(explanation),
        _evidence(explanation, lesson_id),
        data_case=club,
    )
    return sheet(head, body, ball_button(golfer, today, club))


def _look(explanation: Explanation, lesson_id: int, club: str) -> Markup | None:
    """One look, answered with one tap; the next one in line is offered when this one cannot be seen."""
    if not explanation.looks:
        return None
    look = explanation.looks[0].look
    send = f"{REST}/lessons/{lesson_id}/looks"
    taps = [button(said, send, {"look": look.name, "value": value, "club": club}) for said, value in look.answers]
    return tag(
        "div",
        tag("p", look.question, class_="says"),
        tag("small", look.how_to),
        tag("div", *taps, class_="answers") if taps else tag("div", tag("a", "Enter the number", href=f"/lessons/{lesson_id}#read", class_="a"), class_="answers"),
        _other_looks(explanation, lesson_id, club),
        tag("p", class_="fault", data_fault="", role="alert"),
        class_="look",
        data_faults=True,
        data_look=look.name,
    )  # fmt: skip


def _other_looks(explanation: Explanation, lesson_id: int, club: str) -> Markup | None:
    others = explanation.looks[1:4]
    if not others:
        return None
    send = f"{REST}/lessons/{lesson_id}/looks"
    rows = [
        tag(
            "div",
            tag("p", ranked.look.question, class_="serif"),
            tag(
                "div",
                *(button(said, send, {"look": ranked.look.name, "value": value, "club": club}, class_="a small") for said, value in ranked.look.answers),
                class_="strikes",
            ),
            class_="other",
        )
        for ranked in others
        if ranked.look.answers
    ]  # fmt: skip
    return behind("Couldn’t see? Look at something else", *rows, id_="other-looks") if rows else None


def _ruled_out(explanation: Explanation) -> Markup:
    out: list[Check] = []
    open_: list[Check] = []
    suspect: list[Check] = []
    for check in explanation.triage:
        {"ruled_out": out, "suspect": suspect, "not_checked": open_}[check.state].append(check)
    names = {
        "strike": "strike",
        "aim_and_face_at_address": "aim and face at address",
        "club": "the club",
        "path": "path",
    }
    lines = [tag("p", tag("b", check.sentence)) for check in suspect]
    if out:
        lines.append(tag("p", "Ruled out. ", join(*(join(tag("span", c.sentence), " ") for c in out))))
    if open_:
        lines.append(tag("p", "Not checked: ", tag("b", listed([names[c.check] for c in open_])), "."))
    return tag("div", *lines, class_="out")


def caution(golfer: GolferView) -> Markup | None:
    """What must be said before anybody swings harder."""
    if golfer.pain:
        return tag("p", f"Pain today: {', '.join(golfer.pain)}. No new bow and no full effort; if it lasts, a doctor or physiotherapist first.", class_="caution")  # fmt: skip
    return None


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
        tag("a", "Go on with the lesson", href=f"/lessons/{running.id}", class_="do")
        if running
        else button("Start the lesson", f"{REST}/golfers/{golfer.id}/lessons", class_="do", data_then="/lessons/{id}")
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
            "Start a lesson", f"{REST}/golfers/{golfer.id}/lessons", class_="do float", data_then="/lessons/{id}"
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

"""All golfers: find one, or add one in two taps."""

from ferrule.app import golfers as people
from ferrule.app.views import GolferLine
from ferrule.app.workspace import Workspace
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, empty, field, form, sheet, submit, top
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import counted, day_words


@page("/")
def golfers_page(ws: Workspace, parts: Parts) -> Drawn:
    """The list, the latest lesson first, with the search in the address."""
    search = parts.get("search", "").strip()
    found = people.golfers(ws, search)
    nobody = not found and not search
    return Drawn("Golfers", golfers_html(found, search, nobody))


def golfers_html(found: list[GolferLine], search: str, nobody: bool) -> Markup:
    """The page from its data."""
    head = top(links=[("Golfers", "/", True), ("Settings", "/settings", False)])
    if nobody:
        body = tag(
            "main",
            tag(
                "section",
                tag("h1", "Who is on the mat?"),
                tag("p", "Ferrule works out why a clubface arrives open or closed, from whatever you can see or measure. Start with a name; the rest can wait.", class_="lead"),
                add_form(first=True),
            ),
        )  # fmt: skip
        return sheet(head, body)
    body = tag(
        "main",
        tag(
            "div",
            tag("section", tag("h1", "Golfers", class_="calm"), _search(search), _list(found, search)),
            tag("section", tag("h2", "Somebody new"), add_form()),
            class_="split",
        ),
    )
    return sheet(head, body)


def _search(search: str) -> Markup:
    return tag(
        "form",
        tag(
            "div",
            tag("label", "Find by name", for_="search"),
            tag("input", id="search", name="search", type="search", value=search, autocomplete="off", data_go_search=True),
            class_="field",
        ),
        action="/", method="get", role="search", class_="find",
    )  # fmt: skip


def _list(found: list[GolferLine], search: str) -> Markup:
    if not found:
        return empty(
            "Nobody by that name", f"No golfer's name holds “{search}”. Clear the search, or add somebody new."
        )
    return tag(
        "ul", *(tag("li", line(g), data_key=f"golfer-{g.id}") for g in found), class_="list", aria_label="Golfers"
    )


def line(golfer: GolferLine) -> Markup:
    """One golfer in the list."""
    said = [golfer.current_club or ""]
    if golfer.handedness == "left":
        said.append("left-handed")
    if golfer.age_group == "junior":
        said.append("junior")
    said.append(counted(golfer.lessons, "lesson") if golfer.lessons else "no lesson yet")
    if golfer.pain:
        said.append(f"pain: {', '.join(golfer.pain)}")
    when = day_words(golfer.last_lesson_at) if golfer.last_lesson_at else ""
    return tag(
        "a",
        tag("span", tag("span", golfer.name, class_="name"), tag("br"), tag("span", " · ".join(s for s in said if s), class_="note"), class_="main"),
        tag("span", when, class_="end"),
        href=f"/golfers/{golfer.id}",
        class_="item",
    )  # fmt: skip


def add_form(first: bool = False) -> Markup:
    """A name, and one of two buttons: two taps."""
    return form(
        f"{REST}/golfers",
        field("name", "First name, or as you call them", id_="add", maxlength=200, autofocus=first),
        tag(
            "div",
            submit("Plays right-handed", class_="do" if first else "a", name="handedness", value="right"),
            submit("Plays left-handed", class_="a", name="handedness", value="left"),
            class_="tools",
        ),
        tag("p", class_="fault", data_fault="handedness", role="alert"),
        tag("p", class_="fault", data_fault="", role="alert"),
        data_then="/golfers/{id}",
    )

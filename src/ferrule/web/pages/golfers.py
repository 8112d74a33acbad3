"""All golfers: who is here today, who needs the coach, find one, or add one in two taps."""

from ferrule.app import golfers as people
from ferrule.app.blocks import day_of
from ferrule.app.finding import now
from ferrule.app.overview import Overview, coach_overview
from ferrule.app.views import GolferLine
from ferrule.app.workspace import Workspace
from ferrule.coaching.change_overview import Notice
from ferrule.web.markup import Markup, join, tag
from ferrule.web.pages.first_run import welcome
from ferrule.web.parts import REST, behind, empty, field, form, sheet, submit, top
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import counted, day_words, first_name

SHOWN = 5
"""So many lines of the overview are on show, the others a tap away."""
AT_ONCE = 25
"""So many golfers are listed; the search finds the others."""
NEEDS = {"pause": "Wrist work pauses", "not_lasting": "Not lasting", "test_due": "Cold test due"}


@page("/")
def golfers_page(ws: Workspace, parts: Parts) -> Drawn:
    """Today's golfers, the overview, then the list, the latest lesson first; the search is in the address."""
    search = parts.get("search", "").strip()
    found = people.golfers(ws, search)
    nobody = not found and not search
    overview = Overview((), 0) if search or nobody else coach_overview(ws)
    return Drawn("Golfers", golfers_html(found, search, nobody, overview, all_of_them="all" in parts))


def golfers_html(
    found: list[GolferLine], search: str, nobody: bool, overview: Overview, *, all_of_them: bool = False
) -> Markup:
    """The page from its data."""
    links = [("Golfers", "/", True), ("Drills", "/drills", False), ("Settings", "/settings", False)]
    head = top(links=links)
    if nobody:
        return sheet(head, welcome(add_form(first=True)))
    today = [] if search else [g for g in found if g.last_lesson_at and day_of(g.last_lesson_at) == day_of(now())]
    others = found if search else [g for g in found if g not in today]
    shown = others if all_of_them or search else others[:AT_ONCE]
    more = len(others) - len(shown)
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", "Golfers", class_="calm"),
            _search(search),
            tag("p", tag("a", "Somebody new", href="#new", class_="bare"), class_="only-narrow"),
        ),
        _today(today),
        _overview(overview),
        tag(
            "div",
            tag(
                "section",
                tag("h2", "Everybody else" if today else "Everybody") if not search else None,
                _list(shown, search),
                tag("p", tag("a", f"Show the other {more} as well", href="/?all=1", class_="bare")) if more else None,
            ),
            tag("section", tag("h2", "Somebody new"), add_form(), id="new"),
            class_="split",
        ),
    )
    return sheet(head, body)


def _today(today: list[GolferLine]) -> Markup | None:
    """Fast to switch between in a group: one tap to the lesson of each."""
    if not today:
        return None
    rows = [
        tag(
            "li",
            tag("a", tag("span", first_name(g.name), class_="name"), tag("span", _doing(g), class_="note"), href=f"/lessons/{g.last_lesson_id}/hello", class_="seat"),
            data_key=f"today-{g.id}",
        )
        for g in today
    ]  # fmt: skip
    return tag(
        "section", tag("h2", "Here today"), tag("ul", *rows, class_="seats", aria_label="Here today"), id="today"
    )


def _doing(golfer: GolferLine) -> str:
    said = [golfer.current_club or ""]
    if golfer.pain:
        said.append(f"pain: {', '.join(golfer.pain)}")
    return " · ".join(s for s in said if s)


def _overview(overview: Overview) -> Markup | None:
    """Who needs the coach, the most serious first."""
    if not overview.notices and not overview.working:
        return None
    rows = [tag("li", _notice(n), data_key=f"notice-{n.ident}-{n.need}") for n in overview.notices]
    rest = len(rows) - SHOWN
    return tag(
        "section",
        tag("h2", "Who needs you"),
        tag("ul", *rows[:SHOWN], class_="list", aria_label="Who needs you") if rows else None,
        behind(f"{counted(rest, 'more', 'more').capitalize()}", tag("ul", *rows[SHOWN:], class_="list"), id_="more-notices") if rest > 0 else None,
        tag("p", f"Still looking at {counted(overview.working, 'golfer')}.", class_="soft", role="status") if overview.working else None,
        id="overview",
    )  # fmt: skip


def _notice(notice: Notice) -> Markup:
    """What it is about beside the sentence; it leads to where it can be seen and done."""
    page_of = f"/golfers/{notice.ident}/progress"
    name, _, said = notice.sentence.partition(": ")
    return tag(
        "a",
        tag("span", NEEDS[notice.need], class_="need"),
        tag("span", join(tag("b", name), ": ", said), class_="main"),
        href=page_of,
        class_="notice",
        data_need=notice.need,
    )


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
    if not found and not search:
        return tag("p", "Nobody else.", class_="soft")
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
        data_then="/golfers/{id}/first" if first else "/golfers/{id}",
    )

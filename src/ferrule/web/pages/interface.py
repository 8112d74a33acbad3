"""What other programs can ask of this one: every route, what it takes and gives. Made from the routes; nothing is fetched."""

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from ferrule.app.workspace import Workspace
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import behind, sheet, top
from ferrule.web.shell import Drawn, Parts, page

if TYPE_CHECKING:
    from ferrule.web.interface import Route


@page("/interface")
def interface_page(ws: Workspace, _parts: Parts) -> Drawn:
    """All routes."""
    from ferrule.web import interface  # the routes import pages

    return Drawn("Interface", interface_html(interface.routes_of(interface.described(ws))))


def interface_html(routes: "Sequence[Route]") -> Markup:
    """The page from its data."""
    sections = []
    for subject, group in groupby(routes, key=lambda r: r.subject):
        sections.append(
            tag("section", tag("h2", subject.capitalize()), *(_route(r) for r in group), id=f"about-{subject}", class_="routes")
        )  # fmt: skip
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", "What other programs can ask", class_="calm"),
            tag("p", "Everything a page does goes over these addresses. Angles in degrees, lengths in metres, speeds in m/s, the unit in the key.", class_="lead"),
            tag(
                "ul",
                tag("li", "Send JSON. A header ", tag("code", "idempotency-key"), ", made once by the sender, lets a request count once however often it arrives."),
                tag("li", "A fault is answered with 422 and ", tag("code", '{"error": {"code", "message", "faults": [{"code", "where", "message"}]}}'), "; nothing is kept then."),
                tag("li", "The same for machines: ", tag("a", "openapi.json", href="/openapi.json", class_="bare")),
                class_="rules",
            ),
        ),
        *sections,
    )  # fmt: skip
    return sheet(top(links=[("Golfers", "/", False), ("Settings", "/settings", False), ("Interface", "/interface", True)]), body)  # fmt: skip


def _route(route: "Route") -> Markup:
    """One route, its arguments behind a tap."""
    rows = [
        tag("tr", tag("td", tag("code", a.name)), tag("td", a.where), tag("td", a.kind), tag("td", "needed" if a.needed else ""), tag("td", a.said))
        for a in route.arguments
    ]  # fmt: skip
    head = tag("tr", *(tag("th", said, scope="col") for said in ("name", "in", "kind", "needed", "what it is")))
    takes = tag("div", tag("table", tag("thead", head), tag("tbody", *rows)), class_="scroll", tabindex="0", role="group", aria_label="What it takes") if rows else tag("p", "It takes nothing.")  # fmt: skip
    summary = tag(
        "span", tag("code", f"{route.method} {route.path}"), tag("br"), tag("span", route.summary, class_="soft")
    )
    return behind(summary, takes, tag("p", "Answer: ", route.answer, class_="soft"), id_=f"{route.method}-{route.path}".replace("/", "-"))  # fmt: skip

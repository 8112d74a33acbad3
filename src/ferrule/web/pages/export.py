"""What can be taken elsewhere: a golfer's readings as tables, the pictures as files, of the case and of each lesson."""

from ferrule.app import golfers as people
from ferrule.app import lessons as teaching
from ferrule.app.views import GolferView, LessonLine
from ferrule.app.workspace import Workspace
from ferrule.web.drawings import CASE, case_drawings
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, empty, sheet, top
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import counted, day_words, first_name


@page("/golfers/{golfer_id}/export")
def export_page(ws: Workspace, parts: Parts) -> Drawn:
    """A golfer's export."""
    golfer = people.golfer(ws, int(parts["golfer_id"]))
    held = teaching.lessons(ws, golfer.id)
    html = export_html(golfer, held, case_drawings(ws, golfer.id) if held else {})
    return Drawn(f"{first_name(golfer.name)}: export", html, golfer.id)


def export_html(golfer: GolferView, held: list[LessonLine], drawings: dict[str, Markup]) -> Markup:
    """The page from its data."""
    here = f"{REST}/golfers/{golfer.id}"
    head = top(
        tag("a", tag("b", first_name(golfer.name)), href=f"/golfers/{golfer.id}"),
        links=[("Case", f"/golfers/{golfer.id}", False), ("Export", f"/golfers/{golfer.id}/export", True)],
    )
    if not held:
        body = tag("main", tag("section", empty("Nothing to take along yet", f"After the first ball, {first_name(golfer.name)}’s readings and pictures can be kept as files here.", level="h1")))  # fmt: skip
        return sheet(head, body)
    pictures = [
        tag(
            "li",
            tag("figure", drawing, tag("figcaption", CASE[name].capitalize())),
            tag("div", _keep("SVG", f"{here}/pictures/{name}.svg"), _keep("PNG", f"{here}/pictures/{name}.png"), class_="tools"),
        )
        for name, drawing in drawings.items()
    ]  # fmt: skip
    lessons = [
        tag(
            "li",
            tag(
                "div",
                tag("span", tag("span", day_words(line.started_at), class_="name"), tag("br"), tag("span", f"{counted(line.swings, 'ball')}{', ' + line.place if line.place else ''}", class_="note"), class_="main"),
                _keep("CSV", f"{REST}/lessons/{line.id}/readings.csv"),
                _keep("Parquet", f"{REST}/lessons/{line.id}/readings.parquet"),
                class_="item",
            ),
        )
        for line in held
    ]  # fmt: skip
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", f"Everything of {first_name(golfer.name)} as files", class_="calm"),
            tag("p", "One row for each reading, with its doubt, how it was got and what the device showed. Angles in degrees, lengths in metres.", class_="lead"),
            tag("div", _keep("All readings, CSV", f"{here}/readings.csv", first=True), _keep("All readings, Parquet", f"{here}/readings.parquet"), class_="tools"),
            tag("p", "A file leaves the care of this folder: hand it on only with the golfer’s leave.", class_="caution"),
        ),
        tag("section", tag("h2", "Pictures"), tag("ul", *pictures, class_="keepsakes")) if pictures else None,
        tag("section", tag("h2", "Lesson by lesson"), tag("ul", *lessons, class_="list")),
    )  # fmt: skip
    return sheet(head, body)


def _keep(said: str, address: str, *, first: bool = False) -> Markup:
    """A link that keeps a file."""
    return tag("a", said, href=address, class_="do" if first else "a small", download=True)

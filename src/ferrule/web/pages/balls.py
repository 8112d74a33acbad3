"""A table of ball flights into a lesson: pasted or opened, its units and sides said once, each row a ball."""

from ferrule.app import golfers as people
from ferrule.app import lessons as teaching
from ferrule.app import settings as coach
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, choose, fault_place, form, sheet, submit, top
from ferrule.web.shell import Drawn, Parts, page


@page("/lessons/{lesson_id}/balls")
def balls_page(ws: Workspace, parts: Parts) -> Drawn:
    """Ball data for one lesson."""
    lesson = teaching.lesson(ws, int(parts["lesson_id"]))
    yards = coach.settings(ws).length_unit == "yards"
    return Drawn(
        "A table of ball flights", balls_html(lesson, people.golfer(ws, lesson.golfer_id), yards), lesson.golfer_id
    )


def balls_html(lesson: LessonView, golfer: GolferView, yards: bool) -> Markup:
    """The page from its data."""
    here = f"/lessons/{lesson.id}"
    left = golfer.handedness == "left"
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", "A table of ball flights", class_="calm"),
            tag(
                "p",
                "Open the CSV file that the ball was measured into, or paste the table. Each row becomes a ball of this lesson: "
                "start, curve, side and carry, and face, path and club speed where the table has them.",
                class_="lead",
            ),
        ),
        form(
            f"{REST}/lessons/{lesson.id}/ball-data",
            tag(
                "section",
                tag(
                    "div",
                    tag("label", "The table, with its line of headers", for_="f-table"),
                    tag("textarea", "", id="f-table", name="table", rows=5, spellcheck="false", aria_describedby="f-table-fault"),
                    fault_place("table", "f-table-fault"),
                    class_="field wide",
                ),
                tag(
                    "label",
                    tag("b", "Open the file"),
                    tag("br"),
                    tag("span", "It is shown above, so that you can look it over before it is taken in.", class_="soft"),
                    tag("input", type="file", accept=".csv,.txt,.tsv", aria_label="Open the file"),
                    class_="drop",
                ),
                tag("input", type="hidden", name="name", value="the pasted table"),
                class_="ball-table",
                data_script="/static/balls.js",
            ),
            tag(
                "section",
                tag("h2", "What the table does not say by itself"),
                tag("p", class_="soft", data_known=True, data_keep=True, role="status"),
                choose("lengths", "Lengths are in", (("yd", "yards"), ("m", "metres"), ("ft", "feet")), chosen="yd" if yards else "m"),
                choose("speeds", "Speeds are in", (("mph", "miles an hour"), ("m/s", "metres a second"), ("km/h", "km an hour")), chosen="mph" if yards else "m/s"),
                choose("plus", "A number without a minus means", (("right", "right of the target"), ("left", "left of the target"))),
                choose(
                    "mirrored", f"{golfer.name} plays left-handed. Sides in the table are", (("no", "as the ball flew"), ("yes", "mirrored, as if right-handed")), chosen="no"
                ) if left else None,
                tag("p", "A unit or a side written in the table itself goes before these.", class_="hint"),
                class_="ball-units",
            ),
            fault_place(""), fault_place("club"),
            tag("div", submit("Take the balls in"), tag("a", "Back to the lesson", href=here, class_="bare"), class_="tools"),
            draft=f"balls-{lesson.id}",
            data_then=here,
        ),
    )  # fmt: skip
    head = top(tag("a", tag("b", golfer.name), href=here), links=[("Golfers", "/", False), ("The lesson", here, False)])
    return sheet(head, body)

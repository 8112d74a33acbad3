"""The pictures of a golfer's case and of one swing as files: SVG with its colours written out, or PNG."""

from typing import Final

from ferrule.analysis.explain import Explanation
from ferrule.app import cases, swings
from ferrule.app import golfers as people
from ferrule.app import lessons as teaching
from ferrule.app.settings import settings
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError, NotFoundError
from ferrule.sheet.raster import png_of, with_font_names
from ferrule.web import case_view, swing_view
from ferrule.web.look import PAPER
from ferrule.web.markup import Markup
from ferrule.web.pictures.flight import flight_picture
from ferrule.web.pictures.golfer import impact_picture, shaft_level_alone, top_picture
from ferrule.web.pictures.ink import solid
from ferrule.web.pictures.ladder import ladder
from ferrule.web.pictures.rail import rail
from ferrule.web.pictures.staircase import staircase
from ferrule.web.words import first_name

CASE: Final = {"flight": "the ball’s flight", "causes": "what opens or closes the face", "balls": "ball by ball"}
SWING: Final = {
    "top": "the face at the top",
    "shaft-level": "the face at shaft level coming down",
    "impact": "the face at impact",
    "closing": "how the face closed",
}
FORMS: Final = ("svg", "png")
PNG_WIDTH: Final = 1600


def case_drawings(ws: Workspace, golfer_id: int, club: str | None = None) -> dict[str, Markup]:
    """The drawings of a golfer's case by name; none before anything was seen. Raises NotFoundError."""
    golfer = people.golfer(ws, golfer_id)
    explanation: Explanation = cases.explanation(ws, golfer_id, club)
    if not explanation.case.swings:
        return {}
    yards = settings(ws).length_unit == "yards"
    flight = case_view.flight_of(explanation, yards, f"{first_name(golfer.name)}’s")
    steps, end = case_view.steps_of(explanation), case_view.end_words(explanation)
    marks = case_view.marks_of(explanation)
    out = {
        "flight": flight_picture(flight, f"{flight.title}, seen from above"),
        "causes": staircase(steps, end, case_view.staircase_label(steps, end)),
    }
    if marks:
        out["balls"] = rail(marks, "Every ball on a rail from closed to open")
    return out


def swing_drawings(ws: Workspace, swing_id: int) -> dict[str, Markup]:
    """The drawings of one swing by name: those for which something was read. Raises NotFoundError."""
    swing = swings.swing(ws, swing_id)
    left = teaching.lesson(ws, swing.lesson_id).handedness == "left"
    pictures = dict(
        zip(("top", "shaft-level", "impact"), (top_picture, shaft_level_alone, impact_picture), strict=True)
    )
    out: dict[str, Markup] = {}
    for (name, draw), event in zip(pictures.items(), swing_view.PLACES, strict=True):
        at = swing_view.face_at(swing, event, left)
        if at.says:
            out[name] = draw(at, f"{SWING[name]}: {at.says}")
    rungs = swing_view.rungs_of(swing.result or {})
    if rungs:
        out["closing"] = ladder(rungs, swing_view.account_label(rungs))
    return out


def drawing_file(drawings: dict[str, Markup], name: str, form: str) -> bytes:
    """One of the drawings as a file. Raises InputError for another form, NotFoundError when it is not there."""
    if form not in FORMS:
        raise InputError.of("choice", "form", expected=" or ".join(FORMS), got=repr(form))
    if name not in drawings:
        there = ", ".join(drawings) or "none yet"
        raise NotFoundError(f"There is no picture {name!r}. There are: {there}.")
    drawn = str(solid(drawings[name], PAPER))
    return png_of(drawn, PNG_WIDTH, PAPER["paper"]) if form == "png" else with_font_names(drawn).encode()

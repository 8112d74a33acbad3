"""A swing as the golfer is shown it: large, the one thought, no word of a fault and no number to be blamed by."""

from ferrule.app.swing_frames import SwingFrames
from ferrule.app.views import ChosenWayView, GolferView, SwingView
from ferrule.web import swing_view
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import sheet, top
from ferrule.web.pictures.golfer import impact_picture, shaft_level_alone, top_picture
from ferrule.web.swing_scrub import moving
from ferrule.web.words import first_name

NOTHING: str = "Nothing of this swing can be drawn yet."


def golfer_html(
    swing: SwingView, golfer: GolferView, frames: SwingFrames | None, chosen: ChosenWayView | None, spine_deg: float
) -> Markup:
    """The page from its data. The drawings stand the way the golfer does."""
    left = golfer.handedness == "left"
    name = first_name(golfer.name)
    thought = chosen.thought.strip() if chosen else ""
    said = thought if not thought or thought[-1] in ".!?" else f"{thought}."
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", said or f"{name}, this is your swing.", class_="calm" if not said else None),
            tag("p", f"Your one thought, {name}.", class_="lead") if said else None,
            moving(frames, spine_deg, left, plain=True) if frames is not None else _still(swing, left),
            tag("p", tag("a", "Back to the coach’s page", href=f"/swings/{swing.id}", class_="bare"), class_="tools"),
        ),
        class_="show",
    )
    return sheet(top(tag("b", name), short=True), body)


def _still(swing: SwingView, left: bool) -> Markup:
    """What was read of the face, drawn without words on it; for a swing without a recording."""
    shown = (
        ("At the top, seen from behind", "top", top_picture),
        ("Coming down, seen from behind", "shaft_level_down", shaft_level_alone),
        ("At impact, seen from above", "impact", impact_picture),
    )
    drawn = []
    for title, event, draw in shown:
        at = swing_view.face_at(swing, event, left)
        if at.tilt_deg is not None or at.face_deg is not None:
            drawn.append(tag("figure", draw(at, title), tag("figcaption", title, class_="soft")))
    return tag("div", *drawn, class_="three") if drawn else tag("p", NOTHING, class_="lead")

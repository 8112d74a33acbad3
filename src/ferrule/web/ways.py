"""The ways on the case page: two side by side, the rest a tap away, and the trial that lets the golfer's balls decide."""

from typing import Any

from ferrule.analysis.explain import Explanation
from ferrule.app.recorded_ways import WaysOnSwing
from ferrule.app.views import GolferView
from ferrule.units import DEG
from ferrule.web.case_view import WayView, ways_of
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, behind, button, pairs
from ferrule.web.pictures.golfer import shaft_level_picture
from ferrule.web.words import first_name, listed


def ways_section(
    golfer: GolferView,
    explanation: Explanation,
    answer: dict[str, Any],
    lesson_id: int,
    recorded: WaysOnSwing | None = None,
) -> Markup | None:
    """Two ways, then the others behind a tap; None when there is nothing to choose from. recorded: the ways on one
    recorded ball.
    """
    on_ball = {} if recorded is None else {o.option: o.sentence for o in recorded.options}
    ball = "On the recording" if recorded is None or recorded.number is None else f"On ball {recorded.number}"
    ways = ways_of(explanation, answer, on_ball)
    if not ways:
        return None
    name = first_name(golfer.name)
    if nothing_to_change(explanation, ways):
        leave = next(w for w in ways if w.name == "leave_as_is")
        others = [w for w in ways if w is not leave]
        return tag(
            "section",
            tag("h2", f"Leave {name}’s {explanation.case.club.name} as it is"),
            tag("p", leave.sentence, class_="lead"),
            behind("If something is to change all the same", tag("div", *(brief(w) for w in others)), id_="other-ways"),
            id="ways",
        )
    change = [w for w in ways if w.name != "leave_as_is"]
    shown, rest = change[:2], [*change[2:], *(w for w in ways if w.name == "leave_as_is")]
    title = {0: "What can be done", 1: f"One way that suits {name}"}.get(len(shown), f"Two ways that suit {name}")
    return tag(
        "section",
        tag("h2", title),
        tag("div", *(way_html(w, ball) for w in shown), class_="ways"),
        trial_row(shown, lesson_id, explanation.case.club.name) if len(shown) == 2 else None,
        behind("Other ways", tag("div", *(brief(w) for w in rest)), id_="other-ways") if rest else None,
        id="ways",
    )


def nothing_to_change(explanation: Explanation, ways: list[WayView]) -> bool:
    """Whether to leave it as it is comes first: the face arrives square both at impact and on the way down."""
    first = min(ways, key=lambda w: w.rank)
    return first.name == "leave_as_is" and abs(explanation.face.value) < 1.5 * DEG


def way_html(way: WayView, ball: str) -> Markup:
    """One way: its picture, what the ball will do, what it asks of the golfer; ball: the recorded one it was worked out on."""
    label = f"Coming down, seen from behind: the leading edge {way.sketch.now_words}, {way.sketch.way_words}, beside the spine"
    return tag(
        "div",
        tag("p", way.tag, class_="tag soft"),
        tag("h3", way.title),
        shaft_level_picture(way.sketch, label) if moves_the_face(way) else None,
        pairs(
            ("The ball will", way.ball),
            ("It needs", listed(list(way.needs))),
            ("Forgiving", way.tolerance),
            (ball, way.recorded),
            ("The wrist", way.wrist),
            ("Careful", " ".join(way.cautions)),
        ),
        class_="way",
        data_way=way.name,
    )


def moves_the_face(way: WayView) -> bool:
    """Whether the face coming down looks any different with this way; else there is nothing to draw."""
    now, with_it = way.sketch.now_open_deg, way.sketch.way_open_deg
    return now is not None and with_it is not None and abs(with_it - now) >= 1.0


def brief(way: WayView) -> Markup:
    """A way that is not on show: a title and what it comes to."""
    return tag(
        "div",
        tag("h3", way.title),
        tag("p", way.sentence or way.ball),
        tag("p", " ".join(way.cautions), class_="soft") if way.cautions else None,
        class_="brief",
    )


def trial_row(shown: list[WayView], lesson_id: int, club: str) -> Markup:
    """Let the balls decide."""
    start = button(
        "Start the trial",
        f"{REST}/lessons/{lesson_id}/trials",
        {
            "way_a": shown[0].name,
            "way_b": shown[1].name,
            "feel_a": shown[0].title,
            "feel_b": shown[1].title,
            "club": club,
        },
        data_then=f"/lessons/{lesson_id}/trial",
    )
    return tag(
        "div",
        tag("div", tag("p", "Let the balls decide: three a turn, four turns.", class_="says"), tag("small", "Twelve balls, both ways in turn. The steadier start and what can be repeated win.")),
        start,
        class_="row",
        data_faults=True,
    )  # fmt: skip

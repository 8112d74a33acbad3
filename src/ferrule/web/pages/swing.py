"""One swing: the face at the top, at shaft level and at impact, how it closed; traces and numbers behind evidence."""

from collections.abc import Mapping
from typing import Any

from ferrule.app import devices as gear
from ferrule.app import golfers as people
from ferrule.app import lessons as teaching
from ferrule.app import swings as striking
from ferrule.app.plans import chosen_ways
from ferrule.app.recorded_ways import WaysOnSwing, ways_on_swing
from ferrule.app.settings import settings
from ferrule.app.swing_frames import SwingFrames, recorded_swings, swing_frames
from ferrule.app.views import DeviceView, GolferView, LessonView, ReadingView, SwingView
from ferrule.app.workspace import Workspace
from ferrule.coaching.quantities import EVENTS
from ferrule.coaching.wording_ways import TITLES, spare_words
from ferrule.web import swing_view
from ferrule.web.golfer_top import top_line
from ferrule.web.markup import Markup, tag
from ferrule.web.pad import STRIKES, ball_words
from ferrule.web.parts import REST, behind, both_sizes, button, empty, fault_place, sheet
from ferrule.web.pictures.golfer import impact_picture, shaft_level_alone, top_picture
from ferrule.web.pictures.ladder import ladder
from ferrule.web.pictures.traces import traces_picture
from ferrule.web.reading_form import reading_form
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.swing_scrub import MEASURED, NOT_AIMED, Laid, chooser, comparison_note, moving, name_of
from ferrule.web.swing_show import golfer_html
from ferrule.web.units import units_of
from ferrule.web.words import HOW, Units, doubt_words, first_name, subject_words, value_words


@page("/swings/{swing_id}")
def swing_page(ws: Workspace, parts: Parts) -> Drawn:
    """One swing. `?with=ID` lays another one over its sketches, `?show=golfer` is for the golfer's eyes."""
    swing = striking.swing(ws, int(parts["swing_id"]))
    lesson = teaching.lesson(ws, swing.lesson_id)
    golfer = people.golfer(ws, lesson.golfer_id)
    frames = swing_frames(ws, swing.id) if swing.method else None
    title = f"{first_name(golfer.name)}, {_name(swing)}"
    if parts.get("show") == "golfer":
        chosen = next(iter(chosen_ways(ws, golfer.id, swing.club)), None)
        return Drawn(title, golfer_html(swing, golfer, frames, chosen, swing_view.spine_deg(swing)), golfer.id)
    held = teaching.lessons(ws, golfer.id)
    number = len(held) - [line.id for line in held].index(lesson.id)
    head = top_line(golfer, number, lesson.id, "swing", [], "")
    traces = striking.traces(ws, swing.id) if swing.method else {}
    move = _moving(ws, swing, golfer, frames, parts.get("with", "")) if frames is not None else None
    ways = None if swing.set_aside or not swing.method else ways_on_swing(ws, swing.id)
    html = swing_html(
        swing, lesson, golfer, head, gear.devices(ws), traces, units=units_of(settings(ws)), move=move, ways=ways
    )
    return Drawn(title, html, golfer.id)


def _moving(ws: Workspace, swing: SwingView, golfer: GolferView, frames: SwingFrames, over: str) -> Markup:
    """The sketches that move, and the swing laid over them, if it is one of this golfer's."""
    lines = {line.id: line for line in recorded_swings(ws, golfer.id)}
    own, other = lines.get(swing.id), lines.get(int(over)) if over.isdecimal() else None
    laid = None
    if own is not None and other is not None and other.id != swing.id:
        under = swing_frames(ws, other.id)
        laid = None if under is None else Laid(under, name_of(other), comparison_note(own, other))
    return tag(
        "section",
        tag("h2", "The swing, frame by frame"),
        tag(
            "div",
            moving(frames, swing_view.spine_deg(swing), golfer.handedness == "left", laid),
            tag(
                "div",
                tag("p", tag("b", f"Thin and dashed: {laid.name}."), " Both are at impact at the same time. ", laid.note) if laid else None,
                tag("p", NOT_AIMED, class_="caution") if not frames.aimed else None,
                chooser(swing.id, list(lines.values()), other.id if laid and other else None),
                tag("p", MEASURED, class_="hint"),
            ),
            class_="beside",
        ),
        id="moving",
    )  # fmt: skip


def swing_html(
    swing: SwingView,
    lesson: LessonView,
    golfer: GolferView,
    head: Markup,
    devices: list[DeviceView],
    traces: Mapping[str, Any],
    *,
    units: Units,
    move: Markup | None = None,
    ways: WaysOnSwing | None = None,
) -> Markup:
    """The page from its data."""
    left = lesson.handedness == "left"
    body = tag(
        "main",
        tag(
            "section",
            tag(
                "div",
                tag("span", _name(swing), f" · {swing.club}"), _neighbours(swing, lesson),
                tag("a", "Show golfer", href=f"/swings/{swing.id}?show=golfer", class_="a small"),
                class_="soft walk",
            ),
            tag("h1", swing_view.sentence(swing, left), class_="calm"),
            tag("p", f"{first_name(golfer.name)}’s ball: {ball_words(swing)}.", class_="lead") if swing.number is not None and swing.readings else None,
            tag("p", f"Set aside: {swing.set_aside_why or 'a mishit'}. It does not count in the case.", class_="caution") if swing.set_aside else None,
            _strike(swing),
        ),
        _three(swing, left),
        move,
        _account(swing),
        _with_a_change(ways),
        _evidence(swing, lesson, devices, traces, left, units),
        tag("p", _turn(swing), class_="tools"),
    )  # fmt: skip
    return sheet(head, body)


def _name(swing: SwingView) -> str:
    return f"Ball {swing.number}" if swing.number is not None else "A look"


def _neighbours(swing: SwingView, lesson: LessonView) -> Markup:
    ids = [s.id for s in lesson.swings]
    at = ids.index(swing.id) if swing.id in ids else 0
    before = tag("a", "Earlier", href=f"/swings/{ids[at - 1]}", class_="bare") if at > 0 else None
    after = tag("a", "Later", href=f"/swings/{ids[at + 1]}", class_="bare") if at + 1 < len(ids) else None
    back = tag("a", "All of them", href=f"/lessons/{lesson.id}#swings", class_="bare")
    return tag("span", before, after, back, class_="neighbours")


def _strike(swing: SwingView) -> Markup | None:
    if swing.number is None:
        return None
    return tag(
        "div",
        *(
            button(said, f"{REST}/swings/{swing.id}/strike", {"strike": "" if swing.strike == word else word}, method="PUT", class_="a small", aria_pressed=str(swing.strike == word).lower())
            for word, said in STRIKES
        ),
        class_="strikes", role="group", aria_label="Strike", data_faults=True,
    )  # fmt: skip


def _three(swing: SwingView, left: bool) -> Markup:
    """The face at three places, each saying from where it is seen."""
    top, down, impact = (swing_view.face_at(swing, event, left) for event in swing_view.PLACES)
    figures = (
        ("At the top", "seen from behind", top, top_picture),
        ("Coming down, shaft level", "seen from behind", down, shaft_level_alone),
        ("At impact", "seen from above", impact, impact_picture),
    )
    read = [figure for figure in figures if figure[2].says]
    if not read:
        return tag(
            "section",
            empty("The face was not read in this swing", "Read the wrist or the face below, or drop a recording into the lesson: then it is drawn here at the top, at shaft level and at impact."),
        )  # fmt: skip
    return tag(
        "section",
        tag("h2", "The face on its way down"),
        tag(
            "div",
            *(
                tag("figure", tag("h3", title), draw(at, f"{title}, {seen}: {at.says}"), tag("figcaption", at.says, tag("span", seen, class_="soft")))
                for title, seen, at, draw in read
            ),
            class_="three",
        ),
        id="face",
    )  # fmt: skip


def _account(swing: SwingView) -> Markup | None:
    rungs = swing_view.rungs_of(swing.result or {})
    if not rungs:
        return None
    label = swing_view.account_label(rungs)
    return tag(
        "section",
        tag("h2", "How it closed on the way down"),
        tag("p", "Turning about the shaft, by what turned it. It tells how the face closed, not why it is where it is.", class_="soft"),
        both_sizes(ladder(rungs, label), ladder(rungs, label, narrow=True)),
        id="account",
    )  # fmt: skip


def _with_a_change(ways: WaysOnSwing | None) -> Markup | None:
    """What each way would have done to this very swing; two on show, the rest a tap away."""
    if ways is None or not ways.options:
        return None
    before = ways.recorded["release_tolerance_ms"]
    said = [
        tag(
            "div",
            tag("h3", TITLES[o.option]),
            tag("p", o.sentence),
            tag("p", spare_words(o.outcome["release_tolerance_ms"], before), class_="soft"),
            class_="brief",
        )
        for o in ways.options
    ]
    return tag(
        "section",
        tag("h2", "This swing with a change"),
        tag("p", "Worked out on the recording: wrist and forearm moved by the change, the rest as it was, judged when the head is at the ball.", class_="soft"),
        *said[:2],
        behind("With another change", tag("div", *said[2:]), id_="other-changes") if said[2:] else None,
        id="with-a-change",
    )  # fmt: skip


def _evidence(
    swing: SwingView, lesson: LessonView, devices: list[DeviceView], traces: Mapping[str, Any], left: bool, units: Units
) -> Markup:
    rows = [tag("li", _reading(r, left, units), data_key=f"reading-{r.id}") for r in sorted(swing.readings, key=_order)]
    table = tag("ul", *rows, class_="list") if rows else tag("p", "Nothing was read of this swing yet.")
    drawn = traces_picture(traces, swing.result or {})
    times = swing_view.time_words(swing.result or {})
    quality = (swing.result or {}).get("quality", ())
    return tag(
        "section",
        behind(
            "Evidence: every number, and where it came from",
            table,
            tag("p", times) if times else None,
            tag("div", *(tag("p", q.replace("_", " ").capitalize() + ".", class_="soft") for q in quality)) if quality else None,
            drawn,
            id_="evidence",
        ),
        behind("Read something more", reading_form(lesson, devices, swing.club, units, str(swing.id)), id_="more"),
        fault_place(""),
        data_faults=True,
    )  # fmt: skip


def _order(reading: ReadingView) -> tuple[int, str]:
    """Readings in the order of the swing, then those of the delivery and the ball."""
    place = next((i for i, event in enumerate(EVENTS) if f".{event}." in reading.key), len(EVENTS))
    return place, reading.key


def _reading(reading: ReadingView, left: bool, units: Units) -> Markup:
    doubt = "usual doubt" if reading.sd is None else doubt_words(reading.key, reading.sd, units)
    off = f", off {reading.device}, which showed {reading.device_value:g}" if reading.device and reading.device_value is not None else ""  # fmt: skip
    return tag(
        "div",
        tag(
            "span",
            subject_words(reading.key), ": ", tag("b", value_words(reading.key, reading.value, left, units)), tag("br"),
            tag("span", f"{doubt} · {HOW.get(reading.how, reading.how)}{off}", class_="note"),
            class_="main",
        ),
        button("Remove", f"{REST}/readings/{reading.id}", method="DELETE", class_="bare"),
        class_="item",
    )  # fmt: skip


def _turn(swing: SwingView) -> Markup:
    if swing.set_aside:
        return button("Count it again", f"{REST}/swings/{swing.id}/aside", method="DELETE")
    return button("Set it aside", f"{REST}/swings/{swing.id}/aside", {"why": "mishit"})

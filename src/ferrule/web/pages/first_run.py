"""The first time: a name, what is at hand, and the first thing seen. Three taps to a first cause, with sensors or without."""

from typing import Final

from ferrule.app import cases
from ferrule.app import devices as gear
from ferrule.app import golfers as people
from ferrule.app import lessons as teaching
from ferrule.app.settings import settings
from ferrule.app.views import DeviceView, GolferView, LessonView
from ferrule.app.workspace import Workspace
from ferrule.coaching.story import Story
from ferrule.web.markup import Markup, tag
from ferrule.web.pad import after_ball, pad
from ferrule.web.pages.mapping import asks_line
from ferrule.web.pages.screen import consent
from ferrule.web.parts import REST, button, fault_place, sheet, top
from ferrule.web.reading_form import reading_form
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.units import units_of
from ferrule.web.words import USUAL, Units, counted, first_name

CHOICES: Final = (
    ("eyes", "My eyes and the ball", "Tap where each ball goes. One is enough for a first answer, five for a better one.", ["eye", "ball"]),
    ("device", "A device that shows numbers", "Type what it shows. Its sign is asked once and remembered.", ["eye", "ball", "sensor"]),
    ("sensors", "Sensors that record", "On forearm and hand, markers seen by cameras, or files of wrist angles: drop the file in.", ["eye", "ball", "sensor"]),
)  # fmt: skip
"""What is at hand: its word in the address, what it is called, what happens then, what the lesson is told."""


def welcome(form: Markup) -> Markup:
    """An empty folder: what this is, and the one thing to do."""
    steps = (
        ("A name", "Whoever is on the mat. The rest of the questions can wait."),
        ("What you have", "Only your eyes, a device with numbers, or sensors: each is enough."),
        ("The first ball", "Tap where it went. Ferrule says why the face arrives open or closed, how sure that is, and what to look at next."),
    )  # fmt: skip
    return tag(
        "main",
        tag(
            "section",
            tag("h1", "Who is on the mat?"),
            tag("p", "Ferrule works out why a clubface arrives open or closed, from whatever you can see or measure, and what to change. Start with a name.", class_="lead"),
            form,
        ),
        tag(
            "section",
            tag("h2", "Three steps to a first answer"),
            tag("ol", *(tag("li", tag("b", f"{n}. {title}"), tag("p", said)) for n, (title, said) in enumerate(steps, 1)), class_="three-steps"),
            tag("p", "Everything stays in one folder on this machine; nothing is ever sent away.", class_="soft"),
        ),
    )  # fmt: skip


@page("/golfers/{golfer_id}/first")
def choose_page(ws: Workspace, parts: Parts) -> Drawn:
    """What is at hand for a new golfer."""
    golfer = people.golfer(ws, int(parts["golfer_id"]))
    return Drawn(f"{first_name(golfer.name)}: what do you have?", choose_html(golfer), golfer.id)


def choose_html(golfer: GolferView) -> Markup:
    """The page from its data."""
    send = f"{REST}/golfers/{golfer.id}/lessons"
    taps = [
        tag(
            "li",
            button(said, send, {"at_hand": at_hand}, class_="do" if word == "eyes" else "a", data_then=f"/lessons/{{id}}/first?with={word}"),
            tag("p", then),
        )
        for word, said, then, at_hand in CHOICES
    ]  # fmt: skip
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", f"What do you have for {first_name(golfer.name)} today?"),
            tag("p", "Any of these is enough, and the others may come in at any time.", class_="lead"),
            tag("ul", *taps, class_="at-hand"),
            fault_place(""),
            tag("p", tag("a", "First a few questions to the golfer", href=f"/golfers/{golfer.id}/screen", class_="bare"), class_="tools"),
            data_faults=True,
        ),
    )  # fmt: skip
    return sheet(top(tag("b", first_name(golfer.name)), links=[("Golfers", "/", False)]), body)


@page("/lessons/{lesson_id}/first")
def first_page(ws: Workspace, parts: Parts) -> Drawn:
    """The first thing seen, and the first cause."""
    lesson = teaching.lesson(ws, int(parts["lesson_id"]))
    golfer = people.golfer(ws, lesson.golfer_id)
    chosen = parts.get("with", "eyes")
    club = next((c.name for c in people.clubs(ws, golfer.id) if c.is_current), "7-iron")
    story = cases.explanation(ws, golfer.id, club).story if lesson.swings else None
    html = first_html(lesson, golfer, chosen, club, story, gear.devices(ws), units_of(settings(ws)))
    return Drawn(f"{first_name(golfer.name)}, first answer", html, golfer.id)


def first_html(
    lesson: LessonView,
    golfer: GolferView,
    chosen: str,
    club: str,
    story: Story | None,
    devices: list[DeviceView],
    units: Units = USUAL,
) -> Markup:
    """The page from its data. story: the explanation so far, None before anything was seen."""
    make = {"device": _device, "sensors": _sensors}.get(chosen, _eyes)
    answer = tag(
        "section",
        tag("h1", story.headline, data_says=True),
        tag("p", story.lead, class_="lead"),
        tag("p", story.sure, class_="sure"),
        tag("p", tag("a", "What to look at next", href=f"/lessons/{lesson.id}/case", class_="do"), tag("a", "Every ball", href=f"/lessons/{lesson.id}", class_="bare"), class_="tools"),
        class_="first-answer", role="status",
    ) if story is not None else None  # fmt: skip
    body = tag("main", answer, *make(lesson, golfer, club, devices, units, story is None))
    here = f"/lessons/{lesson.id}"
    links = [(said, f"{here}/first?with={word}", word == chosen) for word, said in (("eyes", "Eyes"), ("device", "Device"), ("sensors", "Sensors"))]  # fmt: skip
    return sheet(top(tag("b", first_name(golfer.name)), links=[*links, ("The lesson", here, False)]), body)


def _title(said: str, first: bool) -> Markup:
    return tag("h1" if first else "h2", said, class_="calm" if first else None)


def _ball(lesson: LessonView, club: str, title: Markup, said: str) -> Markup:
    return tag(
        "section",
        title,
        tag("p", said, class_="soft"),
        tag("br"),
        pad(f"{REST}/lessons/{lesson.id}/balls", {"club": club}),
        after_ball(lesson),
        fault_place(""),
        data_faults=True,
    )


def _eyes(
    lesson: LessonView, _golfer: GolferView, club: str, _devices: list[DeviceView], _units: Units, first: bool
) -> list[Markup]:
    title = _title("Where did the ball go?" if first else "And the next ball?", first)
    said = f"Row: how it bent. Column: where it started. With the {club}, unless you change it in the lesson."
    return [_ball(lesson, club, title, said)]


def _device(
    lesson: LessonView, _golfer: GolferView, club: str, devices: list[DeviceView], units: Units, first: bool
) -> list[Markup]:
    return [
        tag(
            "section",
            _title("What does the device show?" if first else "Another number", first),
            tag("p", "Best first: the lead wrist at shaft level coming down or at impact, or the face at impact. Under “read”, name the device; Ferrule asks once which way its number goes up.", class_="soft"),
            reading_form(lesson, devices, club, units),
            class_="wide-field",
        ),
        _ball(lesson, club, tag("h2", "And where does the ball go?"), "A number says what the wrist does; the ball says whether it matters."),
    ]  # fmt: skip


def _sensors(
    lesson: LessonView, golfer: GolferView, _club: str, _devices: list[DeviceView], _units: Units, first: bool
) -> list[Markup]:
    if not golfer.may_be_recorded:
        return [tag("section", _title("Recordings of a child", first), consent(golfer))]
    waiting = [r for r in lesson.recordings if r.asks]
    working = [r for r in lesson.recordings if r.job is not None and r.job.state in ("waiting", "running")]
    return [
        tag(
            "section",
            _title("Drop the recording in" if first else "The next recording", first),
            tag("p", "Best with the calibration in it, or recorded before it: it takes half a minute. Without one, changes within the swing still hold.", class_="soft"),
            tag("p", tag("a", "How to calibrate, with pictures", href=f"/lessons/{lesson.id}/calibration", class_="a small"), class_="tools"),
            tag(
                "label",
                tag("b", "Drop files here"), tag("br"),
                tag("span", "or tap to choose them: CSV, Parquet, XDF, C3D. A layout not seen before is asked about once.", class_="soft"),
                tag("input", type="file", multiple=True, data_drop=f"{REST}/lessons/{lesson.id}/recordings", aria_label="Recordings", accept=".csv,.parquet,.txt,.tsv,.c3d,.xdf"),
                class_="drop", data_list="sending",
            ),
            tag("ul", id="sending", data_keep=True, aria_label="Being sent"),
            *(tag("p", tag("b", r.file_name), " asks what is what. ", asks_line(r.id), class_="tools") for r in waiting),
            tag("p", f"{counted(len(working), 'recording').capitalize()} being worked out.", role="status") if working else None,
        )
    ]  # fmt: skip

"""The guided calibration: a picture and a sentence for each step, and what the dropped recording says about each."""

from ferrule.app import golfers as people
from ferrule.app import lessons as teaching
from ferrule.app.calibration import SOURCES, STEPS, Step, StepReport
from ferrule.app.views import GolferView, LessonView, RecordingView
from ferrule.app.workspace import Workspace
from ferrule.web.markup import Markup, tag
from ferrule.web.pages.screen import consent
from ferrule.web.parts import REST, sheet, top
from ferrule.web.pictures.calibration import calibration_picture, seen_from
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import first_name


@page("/lessons/{lesson_id}/calibration")
def calibration_page(ws: Workspace, parts: Parts) -> Drawn:
    """The calibration of a lesson's sensors."""
    lesson = teaching.lesson(ws, int(parts["lesson_id"]))
    golfer = people.golfer(ws, lesson.golfer_id)
    return Drawn("Calibrate the sensors", calibration_html(lesson, golfer), golfer.id)


def newest_calibration(lesson: LessonView) -> RecordingView | None:
    """The lesson's newest recording with calibration steps in it."""
    return next((r for r in reversed(lesson.recordings) if r.calibration is not None), None)


def calibration_html(lesson: LessonView, golfer: GolferView) -> Markup:
    """The page from its data."""
    last = newest_calibration(lesson)
    told = {s.phase: s for s in last.calibration.steps} if last and last.calibration else {}
    left = golfer.handedness == "left"
    total = sum(s.seconds for s in STEPS)
    here = f"/lessons/{lesson.id}"
    body = tag(
        "main",
        tag(
            "section",
            tag("h1", "Calibrate the sensors", class_="calm"),
            tag(
                "p",
                f"Six steps, {total} seconds of movement, one recording from beginning to end. It tells how the sensors sit on the "
                f"{'right' if left else 'left'} arm. Do it anew whenever a sensor comes off.",
                class_="lead",
            ),
        ),
        _outcome(last) if last is not None else None,
        tag("section", tag("ol", *(_step(n, s, told.get(s.phase), left) for n, s in enumerate(STEPS, 1)), class_="steps")),
        tag(
            "section",
            tag("h2", "The recording of it"),
            _drop(lesson) if golfer.may_be_recorded else consent(golfer),
            tag("ul", id="sending", data_keep=True, aria_label="Being sent"),
            id="recordings",
        ),
        tag(
            "section",
            tag("h2", "With fewer steps"),
            tag("p", "Every recording is worked out, with the doubt it deserves.", class_="soft"),
            tag("dl", *(tag("div", tag("dt", tag("b", said)), tag("dd", words)) for said, words in SOURCES.values()), class_="fallbacks"),
        ),
    )  # fmt: skip
    who = tag("a", tag("b", first_name(golfer.name)), href=f"/golfers/{golfer.id}")
    return sheet(top(who, links=[("The lesson", here, False), ("Calibration", f"{here}/calibration", True)]), body)


def _outcome(recording: RecordingView) -> Markup:
    report = recording.calibration
    assert report is not None
    slipped = any(s.state == "slipped" for s in report.steps)
    said, words = SOURCES[report.source]
    title = "A sensor slipped: calibrate again" if slipped else {
        "guided": "The sensors are calibrated", "pose_only": "Calibrated by the flat hand alone", "none": "No calibration in this file",
    }[report.source]  # fmt: skip
    return tag(
        "section",
        tag("h2", title),
        tag("p", tag("b", recording.file_name), f", sensors “{recording.mount}”. ", said, ". ", words),
        class_="outcome", data_source=report.source, role="status",
    )  # fmt: skip


def _step(number: int, step: Step, told: StepReport | None, left: bool) -> Markup:
    found = None
    if told is not None:
        found = tag("p", told.said, class_=f"told {told.state}", data_state=told.state)
    return tag(
        "li",
        tag("figure", calibration_picture(step.phase, left), tag("figcaption", seen_from(step.phase), class_="soft")),
        tag(
            "div",
            tag("h2", f"{number}. {step.title}", class_="minor"),
            tag("p", step.do, " ", tag("b", f"{step.seconds} seconds.", class_="nowrap")),
            found if found is not None else tag("p", "Skipped: ", step.skipped, class_="soft"),
        ),
        data_step=step.phase,
    )


def _drop(lesson: LessonView) -> Markup:
    return tag(
        "label",
        tag("b", "Drop the calibration recording here"),
        tag("br"),
        tag("span", "or tap to choose it. The steps are found in it by themselves; swings may follow in the same file.", class_="soft"),
        tag("input", type="file", multiple=True, data_drop=f"{REST}/lessons/{lesson.id}/recordings", aria_label="Calibration recording", accept=".csv,.parquet,.txt,.tsv,.xdf"),
        class_="drop", data_list="sending",
    )  # fmt: skip

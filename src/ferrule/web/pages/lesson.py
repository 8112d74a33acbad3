"""The lesson as it runs: balls in one tap, readings typed or by eye, recordings dropped in, every ball of the day."""

from ferrule.app import devices as gear
from ferrule.app.settings import settings
from ferrule.app.views import ClubView, DeviceView, GolferView, LessonView, RecordingView, SwingView
from ferrule.app.workspace import Workspace
from ferrule.web.lesson import close, cold, hello, on_trial, practice, rule_out, two_ways, why
from ferrule.web.lesson.frame import lesson_top, steps_line
from ferrule.web.lesson.held import Held, held_lesson
from ferrule.web.markup import Markup, join, tag
from ferrule.web.pad import after_ball, ball_words, last_ball, pad
from ferrule.web.pages.mapping import asks_line
from ferrule.web.pages.screen import consent
from ferrule.web.parts import REST, area, behind, button, choose, empty, fault_place, field, form, sheet, submit
from ferrule.web.reading_form import reading_form
from ferrule.web.running import is_over
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.trial_part import trial_section
from ferrule.web.units import shown_length, units_of
from ferrule.web.words import Units, brief_words, counted, day_words, ordinal
from ferrule.web.work_part import watched_part, work_part

LEADING = ("wrist.shaft_level_down.flexion_deg", "wrist.impact.flexion_deg", "delivery.face_deg", "delivery.path_deg")
GEAR = (("eye", "my eyes"), ("ball", "the ball’s flight"), ("video", "a video"), ("sensor", "wrist sensors"))


@page("/lessons/{lesson_id}")
def lesson_page(ws: Workspace, parts: Parts) -> Drawn:
    """One lesson."""
    held = held_lesson(ws, int(parts["lesson_id"]))
    html = lesson_html(held, gear.devices(ws), units=units_of(settings(ws)))
    return Drawn(f"{held.name}, {ordinal(held.number)} lesson", html, held.golfer.id)


def lesson_html(held: Held, devices: list[DeviceView], *, units: Units) -> Markup:
    """The page from its data."""
    lesson, golfer, bag, number = held.lesson, held.golfer, list(held.bag), held.number
    club = held.club
    head = join(lesson_top(held), steps_line(held, ""))
    running = held.trial if held.trial is not None and held.trial.ended_at is None else None
    body = tag(
        "main",
        tag(
            "div",
            tag(
                "section",
                tag("h1", f"{ordinal(number).capitalize()} lesson, {day_words(lesson.started_at)}", class_="calm"),
                _said(lesson),
                _clubs(golfer, bag, club),
            ),
            class_="head",
        ),
        trial_section(running, lesson) if running else None,
        tag(
            "div",
            None
            if running is not None
            else _late_ball(lesson, club)
            if is_over(lesson.started_at, lesson.ended_at)
            else _balls(lesson, club),
            tag(
                "section",
                tag("h2", "Read something"),
                reading_form(lesson, devices, club, units),
                id="read",
            ),
            class_="split",
        ),
        _recordings(lesson, golfer, club),
        _swings(lesson, units),
        _more(lesson, golfer, units.yards),
    )
    return sheet(head, body)


def _said(lesson: LessonView) -> Markup:
    balls = [s for s in lesson.swings if s.number is not None]
    parts = [counted(len(balls), "ball")]
    aside = sum(s.set_aside for s in balls)
    if aside:
        parts.append(f"{aside} set aside")
    if lesson.place:
        parts.append(lesson.place)
    if lesson.surface:
        parts.append(f"off {'a mat' if lesson.surface == 'mat' else 'grass'}")
    if lesson.ended_at:
        parts.append("over")
    return tag("p", " · ".join(parts), class_="soft")


def _clubs(golfer: GolferView, bag: list[ClubView], club: str) -> Markup:
    """The club in hand, one tap to change; another one joins the bag by its name."""
    taps = [
        tag(
            "button", c.name[:1].upper() + c.name[1:], type="button", aria_pressed=str(c.name == club).lower(),
            data_send=f"{REST}/golfers/{golfer.id}/clubs/current", data_body=f'{{"name": "{c.name}"}}',
        )
        for c in bag
    ]  # fmt: skip
    return tag(
        "div",
        tag("div", *taps, class_="seg", role="group", aria_label="Club in hand"),
        behind(
            "Another club",
            form(
                f"{REST}/golfers/{golfer.id}/clubs/current",
                field("name", "Club", id_="club", hint="7-iron, driver, pitching wedge ..."),
                tag("div", submit("Take it", class_="a small"), class_="tools"),
                fault_place(""),
                clear=True,
            ),
            id_="another-club",
        ),
        class_="bag",
    )  # fmt: skip


def _balls(lesson: LessonView, club: str) -> Markup:
    tried = list(dict.fromkeys(s.tried_feel for s in reversed(lesson.swings) if s.tried_feel))[:3]
    return tag(
        "section",
        tag("h2", "Where did the ball go?"),
        pad(f"{REST}/lessons/{lesson.id}/balls", {"club": club}),
        after_ball(lesson),
        _tried(lesson, tried),
        fault_place(""),
        id="ball",
        data_faults=True,
    )


def _late_ball(lesson: LessonView, club: str) -> Markup:
    """A lesson that is over: the next ball belongs to a new one; one that was forgotten may still be added."""
    return tag(
        "section",
        tag("h2", "This lesson is over"),
        tag("p", "The next ball belongs to a new lesson.", class_="soft"),
        tag("p", button("Start a lesson", f"{REST}/golfers/{lesson.golfer_id}/lessons", class_="do", data_then="/lessons/{id}/hello"), class_="tools"),
        behind("Add a ball that was forgotten", pad(f"{REST}/lessons/{lesson.id}/balls", {"club": club}), after_ball(lesson), id_="forgotten"),
        fault_place(""),
        id="ball",
        data_faults=True,
    )  # fmt: skip


def _tried(lesson: LessonView, tried: list[str]) -> Markup | None:
    """What the golfer tried in the last ball: one of today's feels with a tap, or a new one in words."""
    last = last_ball(lesson)
    if last is None:
        return None
    send = f"{REST}/swings/{last.id}/tried"
    taps = [
        button(each, send, {"feel": "" if last.tried_feel == each else each}, method="PUT", class_="a small", aria_pressed=str(last.tried_feel == each).lower())
        for each in tried
    ]  # fmt: skip
    words = behind(
        "Something new was tried" if taps else "Was something tried?",
        form(
            send,
            field("feel", f"What ball {last.number} was tried with, in the golfer’s words", id_="tried", maxlength=200),
            tag("div", submit("Note it", class_="a small"), class_="tools"),
            fault_place(""),
            method="PUT",
            clear=True,
            draft=f"tried-{lesson.id}",
        ),
        id_="tried-part",
    )
    if not taps:
        return words
    return tag(
        "div",
        tag(
            "div",
            tag("span", "Tried:", class_="soft"),
            *taps,
            class_="strikes in-a-word",
            role="group",
            aria_label=f"What was tried in ball {last.number}",
        ),
        words,
    )


def _recordings(lesson: LessonView, golfer: GolferView, club: str) -> Markup:
    may = golfer.may_be_recorded
    drop = tag(
        "label",
        tag("b", "Drop recordings of the wrist sensors here"),
        tag("br"),
        tag("span", f"or tap to choose them. They are taken as swings with the {club}. Forearm and hand in two files: both at once.", class_="soft"),
        tag("input", type="file", multiple=True, data_drop=f"{REST}/lessons/{lesson.id}/recordings", aria_label="Recordings", accept=".csv,.parquet,.txt,.tsv,.c3d,.xdf"),
        class_="drop", data_list="sending",
    )  # fmt: skip
    rows = [tag("li", recording_line(r), data_key=f"recording-{r.id}") for r in reversed(lesson.recordings)]
    return tag(
        "section",
        tag("h2", "Recordings"),
        drop if may else consent(golfer),
        tag(
            "p",
            tag("a", "Calibrate the sensors", href=f"/lessons/{lesson.id}/calibration", class_="bare") if may else None,
            tag("a", "A table of ball flights", href=f"/lessons/{lesson.id}/balls", class_="bare"),
            class_="tools",
        ),
        tag("ul", id="sending", data_keep=True, aria_label="Being sent"),
        work_part(lesson),
        watched_part(lesson),
        tag("ul", *rows, class_="list", aria_label="Recordings of this lesson") if rows else None,
        id="recordings",
    )


def recording_line(recording: RecordingView) -> Markup:
    """One recording: what came of it, in words."""
    job = recording.job
    if recording.asks is not None:
        said = "asks one thing"
    elif job is not None and job.state == "waiting":
        said = "waits its turn" if job.ahead == 0 else f"waits behind {counted(job.ahead, 'other')}"
    elif job is not None and job.state == "running":
        said = "is being worked out"
    elif recording.state == "unusable":
        said = "cannot be used"
    elif job is not None and job.state in ("failed", "cancelled"):
        said = job.message or job.state
    elif recording.kind == "calibration":
        said = "calibration"
    else:
        said = counted(recording.swings, "swing")
    message = job.message if job is not None and recording.state == "unusable" else ""
    cancel = button("Take off the queue", f"{REST}/jobs/{job.id}", method="DELETE", class_="bare") if job is not None and job.state == "waiting" else None  # fmt: skip
    again = button("Try again", f"{REST}/recordings/{recording.id}/again", class_="bare") if job is not None and job.state in ("failed", "cancelled") else None  # fmt: skip
    notes = [i["message"] for i in recording.issues if i.get("severity") != "note"][:2]
    return tag(
        "div",
        tag(
            "span",
            tag("span", recording.file_name, class_="name"), tag("br"),
            tag("span", f"{recording.club} · sensors “{recording.mount}”", class_="note"),
            *(tag("p", n, class_="note") for n in ([message] if message else notes)),
            class_="main",
        ),
        asks_line(recording.id) if recording.asks else tag("span", said, class_="end"), cancel, again,
        class_="item", data_state=recording.state,
    )  # fmt: skip


def _swings(lesson: LessonView, units: Units) -> Markup:
    if not lesson.swings:
        return tag(
            "section",
            empty("No ball yet", "Tap where the first one goes. Five are enough for a first answer; the case page then says what to look at next."),
        )  # fmt: skip
    # The newest ball first; looks that are no ball of their own come after the balls.
    newest = lesson.swings[::-1]
    in_order = [*(s for s in newest if s.number is not None), *(s for s in newest if s.number is None)]
    rows = [tag("li", swing_line(s, lesson.handedness, units), data_key=f"swing-{s.id}") for s in in_order]
    return tag(
        "section",
        tag("h2", "The swings" if is_over(lesson.started_at, lesson.ended_at) else "Today’s swings"),
        tag("ul", *rows, class_="list", aria_label="Swings"),
        id="swings",
    )


def swing_line(swing: SwingView, handedness: str, units: Units) -> Markup:
    """One swing in the list: its number, its ball, the readings that matter; set aside or taken in again with one tap."""
    left = handedness == "left"
    leading = [r for wanted in LEADING if (r := swing.reading(wanted)) is not None]
    others = [r for r in swing.readings if r.key not in LEADING and not (swing.shape and r.key.startswith("ball."))]
    said = [brief_words(r.key, r.value, left, units) for r in [*leading, *others][:3]]
    name = f"Ball {swing.number}" if swing.number is not None else "A look"
    turn = (
        button("Count it", f"{REST}/swings/{swing.id}/aside", method="DELETE", class_="bare")
        if swing.set_aside
        else button("Set aside", f"{REST}/swings/{swing.id}/aside", {"why": "mishit"}, class_="bare")
    )
    ball = ball_words(swing) if swing.shape or swing.strike or swing.tried_feel else ""
    return tag(
        "div",
        tag(
            "a",
            tag("span", name, class_="name"), tag("span", f" {swing.club}", class_="note"), tag("br"),
            tag("span", " · ".join([*([ball] if ball else []), *said]) or "nothing read yet", class_="note"),
            href=f"/swings/{swing.id}", class_="main plain",
        ),
        tag("span", swing.set_aside_why, class_="end") if swing.set_aside and swing.set_aside_why else None,
        turn,
        class_="item aside" if swing.set_aside else "item", data_swing=swing.number,
    )  # fmt: skip


def _more(lesson: LessonView, golfer: GolferView, yards: bool) -> Markup:
    seen = "" if lesson.flight_seen_m is None else shown_length(lesson.flight_seen_m, yards)
    notes = [tag("p", n.text, class_="noted") for n in lesson.notes]
    setting = form(
        f"{REST}/lessons/{lesson.id}",
        tag(
            "div",
            field("place", "Where", value=lesson.place, wide=True, maxlength=2000),
            choose("surface", "Off", (("mat", "A mat"), ("grass", "Grass")), chosen=lesson.surface or ""),
            choose("ball", "Balls", (("range", "Range balls"), ("premium", "Good balls")), chosen=lesson.ball or ""),
            field("flight_seen_yd" if yards else "flight_seen_m", "How far the flight can be seen", value=seen, kind="number", unit="yd" if yards else "m"),
            tag("fieldset", tag("legend", "At hand today"), *(_gear(word, said, lesson) for word, said in GEAR), class_="field"),
            class_="fields",
        ),
        fault_place(""), fault_place("flight_seen_m"),
        tag("div", submit("Keep", class_="a small"), class_="tools"),
        method="PUT",
    )  # fmt: skip
    return tag(
        "section",
        behind(
            "Notes",
            *notes,
            form(
                f"{REST}/lessons/{lesson.id}/notes",
                area("text", "A note for next time"),
                tag("div", submit("Write it down", class_="a small"), class_="tools"),
                clear=True,
            ),
            id_="notes",
        ),
        behind("Where and with what", setting, id_="setting"),
        behind(
            "Safety",
            tag("p", "Nobody stands in front of the hitting line or within reach of a swing. Stop when somebody steps forward. A child swings only with room all round and a grown-up beside."),
            id_="safety",
        ),
        tag("p", button("End the lesson", f"{REST}/lessons/{lesson.id}/end", class_="bare", data_then=f"/golfers/{golfer.id}"), class_="tools") if lesson.ended_at is None else None,
    )  # fmt: skip


def _gear(word: str, said: str, lesson: LessonView) -> Markup:
    box = tag("input", type="checkbox", name="at_hand", value=word, checked=word in lesson.at_hand, data_many=True)
    return tag("label", box, tag("span", said), class_="tick")


SCREENS = (hello, cold, rule_out, why, two_ways, on_trial, practice, close)
"""The eight screens under this page; importing them declares their addresses."""

__all__ = ["SCREENS", "lesson_html", "lesson_page"]

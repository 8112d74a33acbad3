"""What surrounds every screen of a lesson: who it is about, the line of steps, the way on, undo and redo."""

from dataclasses import dataclass
from typing import Final

from ferrule.web.lesson.held import Held
from ferrule.web.markup import Child, Markup, join, tag
from ferrule.web.parts import REST, button, mode_switch, sheet
from ferrule.web.words import first_name, ordinal


@dataclass(frozen=True, slots=True)
class Step:
    """One screen: its place in the address, its word in the line of steps, the words of the button that leads to it."""

    slug: str
    said: str
    onward: str


STEPS: Final = (
    Step("hello", "Hello", "Say hello"),
    Step("cold-test", "Cold test", "On to the cold test"),
    Step("rule-out", "Rule out", "Rule out the simple things"),
    Step("case", "Case", "On to the case"),
    Step("ways", "Two ways", "Two ways out"),
    Step("trial", "Trial", "On to the trial"),
    Step("practice", "Make it theirs", "Make it theirs"),
    Step("close", "Close", "Close the lesson"),
)


def lesson_sheet(held: Held, here: str, *inside: Child, onward: bool = True, undo: bool = True) -> Markup:
    """A screen of a lesson. onward: its one filled button leads to the next step; else the screen has its own.

    undo: at the foot; a screen with a ball pad has it beside the pad.
    """
    return sheet(
        lesson_top(held),
        steps_line(held, here),
        tag(
            "main",
            *inside,
            tag("div", _next(held, here, onward), class_="onward ready" if onward else "onward"),
            undo_line(held) if undo else None,
            class_="step", data_step=here, data_lesson=held.lesson.id,
        ),
    )  # fmt: skip


def lesson_top(held: Held) -> Markup:
    """The line at the top: the golfer (a tap away from any other), what to know today, where else one can go."""
    golfer = held.golfer
    said = [f"{ordinal(held.number)} lesson", held.club]
    if golfer.pain:
        said.append(f"pain: {', '.join(golfer.pain)}")
    elif held.asked_today:
        said.append("no pain today")
    who = tag(
        "button", tag("b", held.name), tag("span", "switch golfer", class_="hide"), type="button",
        class_="golfer", data_dialog="switch", aria_haspopup="dialog",
    )  # fmt: skip
    nav = tag(
        "nav",
        *(tag("a", said, href=to) for said, to in _elsewhere(held)),
        aria_label="Pages",
    )
    return join(
        tag(
            "header",
            tag("a", "Ferrule", href="/", class_="word", aria_label="Ferrule: all golfers"),
            tag("div", who, tag("span", " · ".join(said), class_="soft"), class_="who on-the-mat"),
            nav,
            mode_switch(),
            class_="top lesson-top",
        ),
        _switch(held),
    )


def _elsewhere(held: Held) -> tuple[tuple[str, str], ...]:
    base = f"/golfers/{held.golfer.id}"
    return ("Case page", base), ("Progress", f"{base}/progress"), ("Interview", f"{base}/screen")


def _switch(held: Held) -> Markup:
    """The golfers of today, and the others: the second tap of a switch."""
    rows = []
    for other in held.everybody:
        said = tag("span", tag("b", first_name(other.name)), " ", tag("span", "on the mat today" if other.lesson_id else "start a lesson", class_="soft"))  # fmt: skip
        if other.lesson_id is not None:
            row = tag(
                "a",
                said,
                href=f"/lessons/{other.lesson_id}/hello",
                class_="a",
                data_golfer=other.golfer_id,
                data_lesson=other.lesson_id,
            )
        else:
            row = tag(
                "button", said, type="button", class_="a", data_golfer=other.golfer_id,
                data_send=f"{REST}/golfers/{other.golfer_id}/lessons", data_body="{}", data_then="/lessons/{id}/hello",
            )  # fmt: skip
        rows.append(tag("li", row, data_key=f"golfer-{other.golfer_id}"))
    return tag(
        "dialog",
        tag("div", tag("h2", "Who is next?"), tag("button", "Stay", type="button", class_="bare", data_close=True), class_="dialog-head"),
        tag("ul", *rows, class_="people", aria_label="Golfers") if rows else tag("p", f"Nobody but {held.name} so far.", class_="soft"),
        tag("p", tag("a", "Somebody else, or somebody new", href="/", class_="bare")),
        tag("p", *(tag("a", said, href=to, class_="bare") for said, to in _elsewhere(held)), class_="phone-links"),
        tag("p", class_="fault", data_fault="", role="alert"),
        id="switch", class_="pull-up", aria_label="Switch to another golfer", data_faults=True,
    )  # fmt: skip


def steps_line(held: Held, here: str) -> Markup:
    """The eight steps in a line, done ones ticked; every one is a tap away. here: "" on the page of every ball."""
    done = held.done()
    links = [
        tag(
            "li",
            tag(
                "a",
                tag("span", class_="mark"),
                step.said,
                tag("span", ", done", class_="hide") if step.slug in done else None,
                href=held.address(step.slug),
                aria_current="step" if step.slug == here else None,
                class_="done" if step.slug in done else None,
            ),
        )
        for step in STEPS
    ]
    every = tag("li", tag("a", "Every ball", href=held.address(), aria_current="step" if here == "" else None))
    return tag(
        "nav",
        tag("ol", *links, every, class_="scroll"),
        class_="lesson-line",
        aria_label="The lesson",
        data_script="/static/lesson.js",
        data_lesson=held.lesson.id,
        data_here=here,
    )


def _next(held: Held, here: str, filled: bool) -> Markup | None:
    slugs = [s.slug for s in STEPS]
    at = slugs.index(here) if here in slugs else -1
    if at + 1 >= len(STEPS):
        return None
    step = STEPS[at + 1]
    return tag("a", step.onward, href=held.address(step.slug), class_="do" if filled else "a", data_onward=step.slug)


def undo_line(held: Held) -> Markup | None:
    """Undo and redo, on every screen: the lesson's entries, else the golfer's."""
    base = f"{REST}/lessons/{held.lesson.id}"
    parts = []
    if held.lesson.can_undo:
        parts.append(button(f"Undo: {held.lesson.can_undo}", f"{base}/undo", class_="bare"))
    elif held.golfers_undo is not None:
        parts.append(button(f"Undo: {held.golfers_undo.words}", f"{REST}/golfers/{held.golfer.id}/undo", class_="bare"))
    if held.lesson.can_redo:
        parts.append(button("Redo", f"{base}/redo", class_="bare"))
    return tag("div", *parts, class_="undo") if parts else None


__all__ = ["STEPS", "Step", "lesson_sheet", "lesson_top", "steps_line", "undo_line"]

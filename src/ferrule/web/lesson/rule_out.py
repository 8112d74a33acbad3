"""Rule out: strike, aim, face at address, the club, the path. One tap each: it looks fine, or what is off."""

from collections.abc import Mapping
from typing import Final

from ferrule.app import cases
from ferrule.app.checks import CHECKS, FINE, SimpleCheck
from ferrule.app.workspace import Workspace
from ferrule.coaching.triage import Check
from ferrule.web.lesson.evidence import lesson_case
from ferrule.web.lesson.frame import lesson_sheet
from ferrule.web.lesson.held import Held, held_lesson
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, button, fault_place
from ferrule.web.shell import Drawn, Parts, page

QUESTIONS: Final = {
    "strike": ("Strike", "Tape on the face, or the mark of the ball."),
    "aim": ("Aim of the body", "A club along the toes, seen from behind."),
    "face_at_address": ("Face at address", "The leading edge, seen from behind before the swing."),
    "club": ("The club", "The sole mark, the grip’s size and wear."),
    "path": ("Path", "Where the divots point, or a line of tees."),
}
WORDS: Final = {
    "strike": {FINE: "Centred", "toe": "Toe", "heel": "Heel"},
    "aim": {FINE: "Square", "left": "Left", "right": "Right"},
    "face_at_address": {FINE: "Square", "open": "Open", "closed": "Closed"},
    "club": {FINE: "Fits", "upright": "Toe sits up", "flat": "Heel sits up", "grip": "Grip is off"},
    "path": {FINE: "Straight", "left": "Left", "right": "Right"},
}
_TRIAGE: Final = {"strike": "strike", "aim": "aim_and_face_at_address", "path": "path"}


@page("/lessons/{lesson_id}/rule-out")
def rule_out_page(ws: Workspace, parts: Parts) -> Drawn:
    """The third screen of a lesson."""
    held = held_lesson(ws, int(parts["lesson_id"]))
    case = lesson_case(ws, held)
    checks = {c.check: c for c in cases.explanation_of(ws, case).triage} if case.swings else {}
    return Drawn(f"{held.name}, rule out", rule_out_html(held, checks), held.golfer.id)


def rule_out_html(held: Held, triage: Mapping[str, Check]) -> Markup:
    """The screen from its data."""
    send = f"{REST}/lessons/{held.lesson.id}/rule-out"
    open_ = {c.name: FINE for c in CHECKS if c.name not in held.checks}
    suspects = [c.sentence for c in triage.values() if c.state == "suspect"]
    fine = button(
        "All of it looks fine" if len(open_) == len(CHECKS) else "The rest looks fine",
        send, {"answers": open_, "club": held.club}, class_="a small",
    )  # fmt: skip
    return lesson_sheet(
        held,
        "rule-out",
        tag(
            "section",
            tag("h1", "The simple things first.", class_="calm"),
            tag("p", " ".join(suspects), class_="lead", data_says=True) if suspects else
            tag("p", f"What {held.name}’s ball does may not be the wrist at all. One tap each.", class_="lead", data_says=True),
            tag("ul", *(tag("li", _row(held, c, triage), data_key=f"check-{c.name}") for c in CHECKS), class_="checks"),
            tag("p", fine, class_="tools") if open_ else None,
            fault_place(""),
            id="rule-out", data_faults=True, class_="first",
        ),
    )  # fmt: skip


def _row(held: Held, check: SimpleCheck, triage: Mapping[str, Check]) -> Markup:
    """One check: its name and how to look, then a tap for each answer."""
    title, how = QUESTIONS[check.name]
    stands = held.checks.get(check.name)
    found = triage.get(_TRIAGE.get(check.name, ""))
    said = found.sentence if found is not None and found.state != "not_checked" and check.name != "aim" else how
    taps = [
        button(
            WORDS[check.name][word],
            f"{REST}/lessons/{held.lesson.id}/rule-out",
            {"answers": {check.name: word}, "club": held.club},
            class_="a",
            aria_pressed=str(stands == word).lower(),
        )
        for word, _, _ in check.answers
    ]
    return tag(
        "div",
        tag("div", tag("h2", title), tag("p", said, class_="soft"), class_="what"),
        tag("div", *taps, class_="taps", role="group", aria_label=title),
        class_="check seen" if stands else "check",
    )


__all__ = ["rule_out_html", "rule_out_page"]

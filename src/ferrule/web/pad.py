"""The ball pad: three starts by three bends, one tap a ball; strike and undo beside it."""

import json
from typing import Final

from ferrule.app.flights import start_in_golfers_words
from ferrule.app.views import LessonView, SwingView
from ferrule.frames.handedness import Handedness
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, button
from ferrule.web.pictures.flight import pad_curve

SIDES: Final = ((-1, "left"), (0, "straight"), (1, "right"))
STRIKES: Final = (
    ("centre", "Centre"),
    ("toe", "Toe"),
    ("heel", "Heel"),
    ("thin", "Thin"),
    ("fat", "Fat"),
    ("high", "High"),
    ("low", "Low"),
)


def pad(send: str, extra: dict[str, object] | None = None, method: str = "POST") -> Markup:
    """Nine keys. send, method: where a ball goes; extra: what every ball carries (club, tried feel)."""
    keys = []
    for bend, bends in SIDES:
        for start, starts in SIDES:
            said = f"starts {starts}, {'flies on straight' if bend == 0 else f'bends {bends}'}"
            body = {"start": starts, "bend": bends, **(extra or {})}
            keys.append(
                button_with_curve(send, body, start, bend, starts.capitalize(), "no bend" if bend == 0 else f"bends {bends}", said, method)
            )  # fmt: skip
    return tag("div", *keys, class_="pad", role="group", aria_label="Where the ball started and how it bent")


def button_with_curve(
    send: str, body: dict[str, object], start: int, bend: int, one: str, two: str, label: str, method: str = "POST"
) -> Markup:
    """One key: the flight drawn, and said."""
    return tag(
        "button",
        pad_curve(start, bend),
        tag("span", one, tag("br"), tag("span", two, class_="soft")),
        type="button", class_="key", aria_label=label, data_send=send, data_body=json.dumps(body),
        data_method=None if method == "POST" else method, data_each=True,
    )  # fmt: skip


def after_ball(lesson: LessonView, *, quiet: bool = False) -> Markup | None:
    """The last ball in words, its strike in one tap, a mishit set aside in one, and undo. quiet: not where it went."""
    last = last_ball(lesson)
    undo = (
        button(f"Undo: {lesson.can_undo}", f"{REST}/lessons/{lesson.id}/undo", class_="bare")
        if lesson.can_undo
        else None
    )
    redo = button("Redo", f"{REST}/lessons/{lesson.id}/redo", class_="bare") if lesson.can_redo else None
    if last is None:
        return tag("div", undo, redo, class_="last") if undo or redo else None
    return tag(
        "div",
        tag("p", tag("b", f"Ball {last.number}"), " is in" if quiet else ": ", "" if quiet else ball_words(last), class_="said"),
        tag(
            "div",
            *(
                tag(
                    "button", said, type="button", class_="a small", aria_pressed=str(last.strike == word).lower(),
                    data_send=f"{REST}/swings/{last.id}/strike", data_method="PUT",
                    data_body=f'{{"strike": "{"" if last.strike == word else word}"}}',
                )
                for word, said in STRIKES
            ),
            class_="strikes", role="group", aria_label=f"Strike of ball {last.number}",
        ),
        tag("div", mishit(last), undo, redo, class_="last"),
    )  # fmt: skip


def last_ball(lesson: LessonView) -> SwingView | None:
    """The ball that was tapped last. Recorded swings, which arrive when they are worked out, do not push in before it."""
    balls = [s for s in lesson.swings if s.number is not None]
    tapped = [s for s in balls if s.recording_id is None]
    return (tapped or balls)[-1] if balls else None


def mishit(swing: SwingView) -> Markup:
    """Set a ball aside with one tap, and take it in again with another."""
    send = f"{REST}/swings/{swing.id}/aside"
    if swing.set_aside:
        return button("Count it after all", send, method="DELETE", class_="a small")
    return button(
        "Mishit", send, {"why": "mishit"}, class_="a small", aria_label=f"Mishit: set ball {swing.number} aside"
    )


def ball_words(swing: SwingView) -> str:
    """As "push-fade, off the toe", "flight not seen"."""
    said = swing.shape or ("flight not seen" if swing.number is not None else "")
    if swing.strike:
        struck = {"centre": "centred", "toe": "off the toe", "heel": "off the heel"}.get(swing.strike, swing.strike)
        said += f", {struck}" if said else struck
    if swing.tried_feel:
        said += f", trying “{swing.tried_feel}”"
    if swing.set_aside:
        said += f", set aside{f' ({swing.set_aside_why})' if swing.set_aside_why else ''}"
    return said


def golfers_start(side: str, handedness: Handedness) -> str:
    """Push or pull of a world side for this hand."""
    return start_in_golfers_words(side, handedness)

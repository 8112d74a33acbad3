"""One look, answered where it stands: a slider that begins at what is expected and shows its doubt, or one tap."""

import json

from ferrule.analysis.explain import Explanation
from ferrule.coaching.looks import Look
from ferrule.web.lesson.evidence import SPANS, expected, look_words
from ferrule.web.markup import Markup, tag
from ferrule.web.parts import REST, behind, button, form, submit
from ferrule.web.words import size


def look_part(
    explanation: Explanation, lesson_id: int, club: str, numbers: str, *, filled: bool = True
) -> Markup | None:
    """The best next look; the ones behind it a tap away. numbers: address where a number may be typed or recorded; filled:
    whether its button is the one filled button of the page.
    """
    if not explanation.looks:
        return None
    look = explanation.looks[0].look
    left = explanation.case.golfer.handedness == "left"
    send = f"{REST}/lessons/{lesson_id}/looks"
    if look.name in SPANS:
        inside = tag(
            "div", slider(look, expected(explanation, look), send, club, left, filled=filled), _taps(look, send, club)
        )
    else:
        inside = tag("div", tag("a", "Record it, or enter the number", href=numbers, class_="a"), class_="answers")
    others = [r.look for r in explanation.looks[1:4] if r.look.answers]
    return tag(
        "div",
        tag("p", look.question, class_="says"),
        tag("small", look.how_to),
        inside,
        behind("Couldn’t see? Look at something else", *(_other(o, send, club) for o in others), id_="other-looks") if others else None,
        tag("p", class_="fault", data_fault="", role="alert"),
        tag("p", class_="fault", data_fault="value", role="alert"),
        class_="look", data_faults=True, data_look=look.name,
    )  # fmt: skip


def slider(look: Look, value: float, send: str, club: str, left_handed: bool, *, filled: bool = True) -> Markup:
    """The slider of a look: a thumb at what is expected, the band of its doubt around it, the words of where it stands."""
    low, high = SPANS[look.name]
    steps = [look_words(look, v, left_handed) for v in range(int(low), int(high) + 1)]
    at, half = (value - low) / (high - low), look.sd_deg / (high - low)
    said = look_words(look, value, left_handed)
    doubt = f"give or take {size(look.sd_deg, 0 if look.sd_deg >= 2 else 1)}°"
    return form(
        send,
        tag("input", type="hidden", name="look", value=look.name),
        tag("input", type="hidden", name="club", value=club),
        tag("p", tag("b", said, id="look-value", data_slider_words=True), tag("span", f", {doubt}. It begins at what is expected.", class_="soft"), class_="stands"),
        tag(
            "div",
            tag("span", class_="band"),
            tag(
                "input", type="range", name="value", min=int(low), max=int(high), step=1, value=int(value), aria_label=look.question,
                aria_valuetext=f"{said}, {doubt}", data_words=json.dumps(steps, ensure_ascii=False), data_doubt=doubt,
            ),
            class_="slide", style=f"--at:{at:.4f};--half:{half:.4f}",
        ),
        tag("div", submit("That is what I see", class_="do" if filled else "a"), class_="tools"),
        draft=f"look-{send}-{look.name}", clear=True, class_="slider",
    )  # fmt: skip


def _taps(look: Look, send: str, club: str) -> Markup | None:
    if not look.answers:
        return None
    return tag(
        "div",
        tag("span", "Or in a word:", class_="soft"),
        *(button(said, send, {"look": look.name, "value": value, "club": club}, class_="a small") for said, value in look.answers),
        class_="strikes in-a-word",
    )  # fmt: skip


def _other(look: Look, send: str, club: str) -> Markup:
    return tag("div", tag("p", look.question, class_="serif"), _taps(look, send, club), class_="other")


__all__ = ["look_part", "slider"]

"""Parts that every page is made of: the top line, fields with their faults beside them, choices, what can be tapped.

A form carries `data-send` (where it goes) and sends itself; its faults land in the `data-fault` places by field name.
"""

import json
from collections.abc import Mapping, Sequence
from typing import Final

from ferrule.web.markup import Attribute, Child, Markup, join, tag
from ferrule.web.shell import word_line

Option = tuple[str, str]
REST: Final = "/api/v1"


def sheet(*children: Child) -> Markup:
    """The whole page: a way past the top line, its parts, then the line for short words."""
    page = str(join(*children))
    return join(
        tag("a", "Skip to the page itself", href="#main", class_="skip"),
        Markup(page.replace("<main", '<main id="main" tabindex="-1"', 1)),
        word_line(),
    )


def top(
    who: Child = None, links: Sequence[tuple[str, str, bool]] = (), after: Child = None, short: bool = False
) -> Markup:
    """The line at the top: the word, who it is about, where one can go, each look of the page a tap away.

    links: words, address, whether this is that page.
    """
    going = [tag("a", said, href=to, aria_current="page" if here else None) for said, to, here in links]
    return tag(
        "header",
        tag("a", "Ferrule", href="/", class_="word", aria_label="Ferrule: all golfers"),
        tag("div", who, class_="who short" if short else "who") if who else None,
        tag("nav", *going, aria_label="Pages") if going else None,
        mode_switch(),
        after,
        class_="top",
    )


MODES: Final = (
    ("paper", "Paper", "Warm paper", "M7 3.5h7l4 4V20.5H7z M14 3.5v4h4 M10 12h5 M10 16h5"),
    ("sun", "Sun", "In the sun: black on white", "M12 8a4 4 0 1 0 .01 0z M12 2v2.5 M12 19.5V22 M2 12h2.5 M19.5 12H22 M4.9 4.9l1.8 1.8 M17.3 17.3l1.8 1.8 M19.1 4.9l-1.8 1.8 M6.7 17.3l-1.8 1.8"),
    ("dark", "Dark", "Dark: for a dim bay", "M19.5 14.5A8 8 0 1 1 9.5 4.5a6.5 6.5 0 0 0 10 10z"),
)  # fmt: skip
"""The looks of the page: token table, word, words in full, drawing on 24 by 24."""


def mode_switch() -> Markup:
    """The three looks of the page, each one tap away, remembered on this device."""
    return tag(
        "div",
        *(
            tag(
                "button",
                tag("svg", tag("path", d=drawing), viewBox="0 0 24 24", aria_hidden="true"),
                type="button", title=full, aria_label=said, data_mode_to=mode, aria_pressed="false",
            )
            for mode, said, full, drawing in MODES
        ),
        class_="modes", role="group", aria_label="How the pages look",
    )  # fmt: skip


def segments(label: str, choices: Sequence[tuple[str, str, bool]]) -> Markup:
    """One of a few, as links: words, address, whether it is chosen."""
    return tag(
        "div",
        *(tag("a", said, href=to, aria_current="page" if chosen else None) for said, to, chosen in choices),
        class_="seg", role="group", aria_label=label,
    )  # fmt: skip


def form(
    send: str, *children: Child, method: str = "POST", clear: bool = False, draft: str | None = None, **more: Attribute
) -> Markup:
    """A form that sends itself as JSON. clear: emptied once it is kept."""
    return tag(
        "form", *children, data_send=send, data_method=method, data_clear=clear, data_draft=draft, novalidate=True,
        autocomplete="off", **more,
    )  # fmt: skip


def field(
    name: str,
    label: str,
    *,
    value: str = "",
    unit: str = "",
    hint: str = "",
    kind: str = "text",
    id_: str = "",
    wide: bool = False,
    **more: Attribute,
) -> Markup:
    """A line to type on, its label above, its unit behind, words about it beneath. kind `number`: a number pad opens;
    wide: room for a sentence.
    """
    where = f"{id_ or 'f'}-{name}"
    typed: dict[str, Attribute] = {"type": "text", "inputmode": "decimal"} if kind == "number" else {"type": kind}
    described = [f"{where}-hint"] if hint else []
    if unit:
        described.append(f"{where}-unit")
    return tag(
        "div",
        tag("label", label, for_=where),
        tag(
            "div",
            tag(
                "input", id=where, name=name, value=value, autocomplete="off",
                aria_describedby=" ".join([*described, f"{where}-fault"]), **typed, **more,
            ),
            tag("span", unit, class_="unit", id=f"{where}-unit") if unit else None,
            class_="in",
        ),
        tag("p", hint, class_="hint", id=f"{where}-hint") if hint else None,
        fault_place(name, f"{where}-fault"),
        class_="field wide" if wide else "field",
    )  # fmt: skip


def area(name: str, label: str, *, value: str = "", hint: str = "") -> Markup:
    """Several lines to write on."""
    return tag(
        "div",
        tag("label", label, for_=f"f-{name}"),
        tag("textarea", value, id=f"f-{name}", name=name, rows=2),
        tag("p", hint, class_="hint") if hint else None,
        fault_place(name),
        class_="field wide",
    )


def select(
    name: str, label: str, options: Sequence[Option], *, chosen: str = "", id_: str = "", **more: Attribute
) -> Markup:
    """One of many."""
    where = f"{id_ or 'f'}-{name}"
    return tag(
        "div",
        tag("label", label, for_=where),
        tag(
            "select",
            *(tag("option", said, value=value, selected=value == chosen) for value, said in options),
            id=where, name=name, **more,
        ),
        fault_place(name),
        class_="field",
    )  # fmt: skip


def choose(
    name: str, label: str, options: Sequence[Option], *, chosen: str = "", hint: str = "", **more: Attribute
) -> Markup:
    """One of a few, each a tap."""
    return tag(
        "fieldset",
        tag("legend", label),
        tag(
            "div",
            *(
                tag("label", tag("input", type="radio", name=name, value=value, checked=value == chosen), tag("span", said))
                for value, said in options
            ),
            class_="choose",
        ),
        tag("p", hint, class_="hint") if hint else None,
        fault_place(name),
        class_="field", **more,
    )  # fmt: skip


def tick(name: str, label: str, *, ticked: bool = False, value: str | None = None, many: bool = False) -> Markup:
    """Yes or no; `many`: one of several ticks of the same name, sent as a list."""
    box = tag("input", type="checkbox", name=name, value=value, checked=ticked, data_many=many)
    return tag("label", box, tag("span", label), class_="tick")


def fault_place(name: str, id_: str | None = None) -> Markup:
    """Where the words about a field appear; name "" is for the whole form."""
    return tag("p", class_="fault", data_fault=name, id=id_, role="alert")


def button(
    said: str,
    send: str,
    body: Mapping[str, object] | None = None,
    *,
    class_: str = "a",
    method: str = "POST",
    sure: str = "",
    **more: Attribute,
) -> Markup:
    """Something done with one tap. sure: asked once more with these words (two taps) where it takes something away."""
    return tag(
        "button", said, type="button", class_=class_, data_send=send, data_method=method,
        data_body=json.dumps(body or {}), data_sure=sure or None, **more,
    )  # fmt: skip


def submit(said: str, *, class_: str = "do", name: str | None = None, value: str | None = None) -> Markup:
    """The button that sends a form."""
    return tag("button", said, type="submit", class_=class_, name=name, value=value)


def behind(summary: str, *inside: Child, id_: str | None = None, opened: bool = False) -> Markup:
    """What is a tap away."""
    return tag("details", tag("summary", summary), tag("div", *inside, class_="inside"), id=id_, open=opened)


def pairs(*rows: tuple[str, Child]) -> Markup:
    """Names and what is said of them; rows with nothing to say are left out."""
    return tag("dl", *(join(tag("dt", name), tag("dd", said)) for name, said in rows if said), class_="pairs")


def empty(title: str, lead: str, *more: Child, level: str = "h2") -> Markup:
    """A place with nothing in it yet, and how to fill it."""
    return tag("div", tag(level, title, class_="calm"), tag("p", lead, class_="lead"), *more, class_="empty")


def both_sizes(wide: Markup, narrow: Markup) -> Markup:
    """A drawing for a tablet and its sister for a phone."""
    return join(tag("div", wide, class_="only-wide"), tag("div", narrow, class_="only-narrow"))

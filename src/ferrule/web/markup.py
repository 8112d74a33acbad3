"""HTML and SVG as text, escaped by construction: what a coach or a file says can never become markup.

`tag("p", "a < b", class_="lead")` gives `<p class="lead">a &lt; b</p>`. Only strings made here are trusted; every other
string is escaped, in content and in attributes alike.
"""

from collections.abc import Iterable
from html import escape
from typing import Final, Self, TypeAlias

VOID: Final = frozenset({"br", "hr", "img", "input", "link", "meta", "source"})


class Markup(str):
    """Text that is already markup. Made by the functions of this module only."""

    __slots__ = ()

    def __new__(cls, trusted: str = "") -> Self:
        """Text that is trusted from here on."""
        return super().__new__(cls, trusted)


Child: TypeAlias = "str | int | float | Markup | Iterable[Child] | None"
Attribute: TypeAlias = str | int | float | bool | None
NONE: Final = Markup("")


def text(value: str | int | float) -> Markup:
    """Anything as text; markup is left as it is."""
    return value if isinstance(value, Markup) else Markup(escape(str(value), quote=True))


def join(*children: Child) -> Markup:
    """Children one after the other; None is nothing, iterables are flattened."""
    parts: list[str] = []
    for child in children:
        if child is None:
            continue
        if isinstance(child, str | int | float):
            parts.append(text(child))
        else:
            parts.append(join(*child))
    return Markup("".join(parts))


def attributes(values: dict[str, Attribute]) -> Markup:
    """Attributes as text: `class_` is class, `data_do` is data-do, True a bare name, None and False nothing."""
    parts: list[str] = []
    for key, value in values.items():
        name = key.rstrip("_").replace("_", "-")
        if not all(c.isalnum() or c in "-:" for c in name):
            raise ValueError(f"not an attribute name: {key!r}")
        if value is None or value is False:
            continue
        if value is True:
            parts.append(f" {name}")
        else:
            shown = f"{value:.6g}" if isinstance(value, float) else str(value)
            parts.append(f' {name}="{escape(shown, quote=True)}"')
    return Markup("".join(parts))


def tag(name: str, /, *children: Child, **values: Attribute) -> Markup:
    """One element with children and attributes."""
    if not all(c.isalnum() or c == "-" for c in name):
        raise ValueError(f"not a tag name: {name!r}")
    opened = f"<{name}{attributes(values)}>"
    return Markup(opened) if name in VOID else Markup(f"{opened}{join(*children)}</{name}>")

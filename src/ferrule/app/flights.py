"""A ball's flight in words: three starts by three bends, and the one word for both.

Starts are in the golfer's words: a right-hander's push starts right of the target, a left-hander's left. Bends are in
world words. A fade bends away to the side of the trail hand: right for a right-hander.
"""

from typing import Final, Literal

from ferrule.app.form import Form
from ferrule.coaching.quantities import SHAPES, STARTS
from ferrule.frames.handedness import Handedness

Start = Literal["pull", "straight", "push"]
Bend = Literal["left", "straight", "right"]
BENDS: Final[tuple[Bend, ...]] = ("left", "straight", "right")
_SIDES: Final = {"right": {"left": "pull", "right": "push"}, "left": {"left": "push", "right": "pull"}}
_FADE_SIDE: Final = {"right": "right", "left": "left"}


def shape_of(start: str, bend: str, handedness: Handedness, *, much: bool = False) -> str:
    """One word for start and bend: `push-fade`, `draw`, `pull`, `straight`; much: slice and hook."""
    curve = ""
    if bend != "straight":
        away = bend == _FADE_SIDE[handedness]
        curve = ("slice" if much else "fade") if away else ("hook" if much else "draw")
    parts = [p for p in ("" if start == "straight" else start, curve) if p]
    return "-".join(parts) or "straight"


def flight_of(shape: str, handedness: Handedness) -> tuple[str, str, bool]:
    """Start, bend and whether it bends much, of a shape word; the inverse of `shape_of`."""
    start, bend, much = "straight", "straight", False
    for word in shape.split("-"):
        if word in {"pull", "push"}:
            start = word
        elif word != "straight":
            away = word in {"fade", "slice"}
            fade_side = _FADE_SIDE[handedness]
            bend = fade_side if away else ("left" if fade_side == "right" else "right")
            much = word in {"slice", "hook"}
    return start, bend, much


def start_in_golfers_words(start: str, handedness: Handedness) -> str:
    """Pull, straight or push from left, straight or right of the world; other words pass through."""
    return _SIDES[handedness].get(start, start)


def start_in_world(start: str, handedness: Handedness) -> str:
    """Left, straight or right of the world from pull, straight or push."""
    sides = {word: side for side, word in _SIDES[handedness].items()}
    return sides.get(start, start)


def checked_flight(
    form: Form, start: str | None, bend: str | None, shape: str | None, handedness: Handedness, *, much: bool
) -> tuple[str, str, bool] | None:
    """Start, bend, much from what was tapped (either both taps or a shape word); None when nothing was."""
    if shape is not None:
        if form.choice("shape", shape, SHAPES) is None:
            return None
        return flight_of(shape, handedness)
    if start is None and bend is None:
        return None
    began = form.needed("start", start_in_golfers_words(start or "", handedness), STARTS)
    bent = form.needed("bend", bend, BENDS)
    return (began, bent, much and bent != "straight") if began and bent else None

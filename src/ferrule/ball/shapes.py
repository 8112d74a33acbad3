"""The nine start-and-curve shapes: where a ball starts and which way it bends, in the words of the range.

Left and right are in the world; the words push, pull, fade and draw turn with the hand: a right-handed golfer's push
starts right and his fade curves right.
"""

from dataclasses import dataclass
from typing import Final, Literal

from ferrule.errors import InputError
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

Side = Literal[-1, 0, 1]

_STARTS: Final[dict[str, Side]] = {"pull": -1, "straight": 0, "push": 1}
_CURVES: Final[dict[str, Side]] = {"draw": -1, "hook": -1, "straight": 0, "fade": 1, "slice": 1}
_START_WORDS: Final = {-1: "pull", 0: "", 1: "push"}
_CURVE_WORDS: Final = {-1: "draw", 0: "", 1: "fade"}

_STARTS_STRAIGHT: Final = 1.5 * DEG
_FLIES_STRAIGHT: Final = 2.0 * DEG
# What a tap means: middle and spread of the balls that coaches call so (common practice, no source).
_TAPPED_START: Final = (4.0 * DEG, 2.0 * DEG, 1.2 * DEG)
_TAPPED_CURVE: Final = (6.0 * DEG, 3.5 * DEG, 1.8 * DEG)
_BIG_CURVE: Final = (11.0 * DEG, 4.5 * DEG)


@dataclass(frozen=True, slots=True)
class Shape:
    """One of the nine: start and curve each -1 left, 0 straight, +1 right in the world; big: a hook or slice."""

    start: Side
    curve: Side
    big: bool = False

    def tapped_start(self) -> Estimate:
        """What the tap says of the start direction, radians."""
        middle, wide, narrow = _TAPPED_START
        return Estimate(self.start * middle, wide if self.start else narrow)

    def tapped_curve(self) -> Estimate:
        """What the tap says of the curve, radians."""
        if self.big:
            return Estimate(self.curve * _BIG_CURVE[0], _BIG_CURVE[1])
        middle, wide, narrow = _TAPPED_CURVE
        return Estimate(self.curve * middle, wide if self.curve else narrow)


NINE: Final = tuple(Shape(start, curve) for start in (-1, 0, 1) for curve in (-1, 0, 1))


def shape_from_name(name: str, handed: int = 1) -> Shape:
    """The shape for "push-fade", "straight draw", "pull", "slice" and so on; handed +1 right, -1 left.

    Raises InputError that lists what is understood.
    """
    words = name.strip().lower().replace("_", "-").replace(" ", "-").split("-")
    words = [w for w in words if w]
    start: Side = 0
    curve: Side = 0
    known = bool(words) and len(words) <= 2
    if len(words) == 1:
        start, curve = _STARTS.get(words[0], 0), _CURVES.get(words[0], 0)
        known = words[0] in _STARTS or words[0] in _CURVES
    elif len(words) == 2:
        known = words[0] in _STARTS and words[1] in _CURVES
        start, curve = _STARTS.get(words[0], 0), _CURVES.get(words[1], 0)
    if not known:
        raise InputError.of(
            "unknown_shape",
            "shape",
            expected="a start (pull, straight, push) with a curve (draw, straight, fade, hook, slice)",
            got=repr(name),
            do='For example "push-fade", "pull" or "straight-draw"',
        )
    big = bool({"hook", "slice"} & set(words))
    return Shape(_turned(start, handed), _turned(curve, handed), big)


def shape_name(shape: Shape, handed: int = 1) -> str:
    """The shape in words: "push-fade", "pull", "draw", "straight"."""
    start, curve = _START_WORDS[shape.start * handed], _CURVE_WORDS[shape.curve * handed]
    return "-".join(word for word in (start, curve) if word) or "straight"


def shape_of(start: float, curve: float) -> Shape:
    """The shape of a flight: start and curve in radians, + right. Within 1.5 degrees it starts straight, within 2 flies so."""
    return Shape(_side(start, _STARTS_STRAIGHT), _side(curve, _FLIES_STRAIGHT))


def shape_of_delivery(face: float, path: float, tolerance: float = 1e-9) -> Shape:
    """The shape a centred strike gives: start by the face, curve by face against path (C16-C23)."""
    return Shape(_side(face, tolerance), _side(face - path, tolerance))


def _side(value: float, tolerance: float) -> Side:
    return 0 if abs(value) <= tolerance else 1 if value > 0.0 else -1


def _turned(side: Side, handed: int) -> Side:
    return side if handed > 0 or side == 0 else 1 if side < 0 else -1

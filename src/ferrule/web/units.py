"""Lengths and speeds at the edge, in the units the coach set."""

from typing import Final

from ferrule.app.settings import Settings
from ferrule.units import MPH, YARD
from ferrule.web.words import KMH, Units, size

IN_SI: Final = {"m": 1.0, "yd": YARD, "mps": 1.0, "mph": MPH, "kmh": KMH}
"""Units a number may be typed in, and what one of it is in metres or metres a second."""


def units_of(kept: Settings) -> Units:
    """The coach's units."""
    return Units(kept.length_unit, kept.speed_unit)


def shown_length(metres: float, yards: bool) -> str:
    """The number as it stands in a field, in the coach's unit."""
    return size(metres / YARD if yards else metres)

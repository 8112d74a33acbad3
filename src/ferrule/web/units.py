"""Lengths at the edge: yards or metres, as the coach set it."""

from ferrule.units import YARD
from ferrule.web.words import size


def shown_length(metres: float, yards: bool) -> str:
    """The number as it stands in a field, in the coach's unit."""
    return size(metres / YARD if yards else metres)

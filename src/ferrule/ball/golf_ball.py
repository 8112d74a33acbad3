"""The golf ball as a body: the size and mass of the Equipment Rules, taken as a uniform sphere."""

from math import pi
from typing import Final

MASS: Final = 0.04593
"""Kilograms: the heaviest ball allowed (C40)."""
DIAMETER: Final = 0.04267
"""Metres: the smallest ball allowed (C41)."""
RADIUS: Final = DIAMETER / 2.0
AREA: Final = pi * RADIUS**2
"""Cross-section in square metres."""
INERTIA: Final = 0.4 * MASS * RADIUS**2
"""Moment of inertia in kg m^2 of a uniform sphere (C15)."""

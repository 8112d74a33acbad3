"""Units at the edge. Inside Ferrule everything is SI and radians; these factors convert once, on the way in or out.

Exact by definition: the international yard (0.9144 m) and mile (1609.344 m) of 1959.
"""

from math import pi
from typing import Final

DEG: Final = pi / 180.0
"""One degree in radians."""
YARD: Final = 0.9144
"""One international yard in metres."""
INCH: Final = 0.0254
"""One inch in metres."""
MPH: Final = 1609.344 / 3600.0
"""One mile an hour in metres a second."""
RPM: Final = 2.0 * pi / 60.0
"""One revolution a minute in radians a second."""
GRAVITY: Final = 9.80665
"""Standard gravity in m/s^2 (ISO 80000-3)."""

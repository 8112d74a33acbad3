"""How much of a golfer's combined wrist range an angle uses.

The envelope of wrist motion is tilted towards ulnar flexion (26.6 ± 4.4°, six cadaver wrists, PMC3016043; science.md B11):
bow with unset has more room, bow with set less. A tilted ellipse through the golfer's own four limits. An ellipse through
the AAOS means cannot be tilted as far as those wrists were; the size of the cross term is our choice, its direction theirs.
"""

from math import sqrt
from typing import Final

from ferrule.coaching.case import WristRange

CROSS: Final = 0.5
KEEP_AWAY_DEG: Final = 10.0
"""Never into the last 10 degrees of the golfer's own range (common practice, no source)."""
USE_AT_MOST: Final = 0.8


def range_used(flexion_deg: float, ulnar_deg: float, limits: WristRange) -> float:
    """Share of the combined range that this pose uses: 1 on the envelope. Degrees, flexion + and ulnar +."""
    f = flexion_deg / (limits.flexion if flexion_deg >= 0 else limits.extension)
    d = ulnar_deg / (limits.ulnar if ulnar_deg >= 0 else limits.radial)
    return sqrt(max(f * f + d * d - 2.0 * CROSS * f * d, 0.0))


def most_flexion(ulnar_deg: float, limits: WristRange) -> float:
    """Most flexion, degrees, to prescribe at this deviation: inside the used share and out of the last 10 degrees."""
    d = ulnar_deg / (limits.ulnar if ulnar_deg >= 0 else limits.radial)
    inside = (CROSS * d) ** 2 - d * d + USE_AT_MOST**2
    by_envelope = (CROSS * d + sqrt(inside)) * limits.flexion if inside > 0 else 0.0
    return max(min(by_envelope, limits.flexion - KEEP_AWAY_DEG), 0.0)

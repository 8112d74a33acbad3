"""What a way is worth for this golfer: the stated utility by which ways are ranked, which the coach can tilt.

Weights and bonuses: common practice, no source; one table.
"""

from collections.abc import Mapping
from typing import Final, Literal

from ferrule.coaching.case import Golfer
from ferrule.coaching.ways import GROWING, KEEPING, WRIST_WAYS, Way, near_event, wrist_hurts

Tilt = Literal["balanced", "smallest_change", "straightest_ball", "easiest_to_keep"]

# utility weights per tilt: degree of face, metre of spread, effort, range beyond 0.7, degree open at shaft level
_UTILITY: Final[dict[Tilt, tuple[float, float, float, float, float]]] = {
    "balanced": (1.0, 0.25, 0.35, 6.0, 0.15),
    "smallest_change": (0.8, 0.15, 0.9, 6.0, 0.05),
    "straightest_ball": (1.4, 0.5, 0.2, 6.0, 0.2),
    "easiest_to_keep": (1.0, 0.35, 0.5, 8.0, 0.15),
}
ROOT_BONUS: Final = 5.0
"""What it is worth to take away the cause itself, times the probability that it is the largest."""
OPEN_FREE_DEG: Final = 4.0
IDLE_COST: Final = 4.0
"""What a way that moves nothing is set back, so that leaving things alone is what it looks like."""
SENIOR_KEEPS: Final = 1.5
"""Many seniors play best with the shape they have (common practice, no source)."""
GROWING_COST: Final = 2.0
"""What a wrist way is set back for a golfer who is still growing (common practice, no source)."""
EVENT_COST: Final = 12.0
"""What a new movement is set back within three weeks of an event: behind keeping the shape and aiming for it."""
LEAVE_BONUS: Final = 2.5
"""What it is worth to change nothing where there is nothing to mend."""


def utility(
    way: Way,
    face_deg: float,
    curve_deg: float,
    spread_m: float,
    shaft_open_deg: float,
    roots: Mapping[str, float],
    trouble: float,
    golfer: Golfer,
    tilt: Tilt,
) -> float:
    """How good a way is, higher is better.

    roots: probability of each cause to be the largest; trouble: 0 when the delivery is in order as it is, 1 when not.
    """
    per_degree, per_metre, per_effort, per_range, per_open = _UTILITY[tilt]
    value = -per_degree * (abs(face_deg) + 0.3 * abs(curve_deg)) - per_metre * spread_m - per_effort * way.effort
    value -= per_range * max(way.range_used - 0.7, 0.0)
    value -= per_open * max(abs(shaft_open_deg) - OPEN_FREE_DEG, 0.0)
    value += ROOT_BONUS * trouble * way.moved * sum(roots.get(r, 0.0) for r in way.roots)
    if way.name == "leave_as_is":
        value += LEAVE_BONUS * (1.0 - trouble)
    value -= 0.02 * way.order + 0.15 * len(way.needs)
    if way.idle:
        value -= IDLE_COST
    if golfer.age_group == "senior" and way.name == "keep_shape":
        value += SENIOR_KEEPS
    if golfer.age_group in GROWING and way.name in WRIST_WAYS:
        value -= GROWING_COST
    if near_event(golfer) and way.name not in KEEPING:
        value -= EVENT_COST
    if wrist_hurts(golfer) and way.name in WRIST_WAYS:
        value -= 100.0
    return value


def trouble_of(face_deg: float, path_deg: float, shaft_open_deg: float, scatter_deg: float) -> float:
    """How much there is to mend, 0 to 1: of the face beyond a degree, of face against path beyond two, of the pattern at
    shaft level beyond eight, or of the scatter of the face beyond three.
    """
    parts = (
        (abs(face_deg) - 1.0) / 2.0,
        (abs(face_deg - path_deg) - 2.0) / 2.0,
        (abs(shaft_open_deg) - 8.0) / 8.0,
        scatter_deg - 3.0,
    )
    return min(max(*parts, 0.0), 1.0)

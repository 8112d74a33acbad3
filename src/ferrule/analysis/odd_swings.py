"""Swings unlike the golfer's others, and readings unlike those of the other swings: named, and kept out of what is typical.

Face, path and ball of a swing are judged together (`analysis.swing_faces`); when they stand out, the whole swing is left
out. What was read of body, wrist and club is judged each by itself; one that stands out is more often a slip of the
reader than of the golfer, and that reading alone is left out.
"""

from dataclasses import replace
from math import hypot
from statistics import median
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.analysis.swing_faces import swing_faces
from ferrule.club.clubs import Club
from ferrule.coaching.ball_evidence import flights_of
from ferrule.coaching.case import Case, Swings, as_right_handed
from ferrule.coaching.evidence import swings_of_case
from ferrule.coaching.hierarchy import Level, Readings, fit_hierarchy
from ferrule.coaching.observation import SHARED, Column, column_of
from ferrule.coaching.references import SCATTER, scatter_of
from ferrule.coaching.wording_windows import odd_reading_sentence, odd_swing_sentence
from ferrule.errors import Issue
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

Floats = NDArray[np.float64]

FEWEST: Final = 4
"""Below this many swings none stands out from the others."""
_SINGLE: Final = (
    "wrist.impact.flexion_deg",
    "wrist.impact.ulnar_deviation_deg",
    "wrist.impact.forearm_roll_deg",
    "wrist.shaft_level_down.flexion_deg",
    "wrist.top.flexion_deg",
    "wrist.address.flexion_deg",
    "shaft_lean_impact_deg",
    "handle_raise_deg",
    "aim_deg",
)
_WORTH_A_LOOK: Final = 3.0
_TYPICAL_SD_DEG: Final = 20.0
_LANDING_SCATTER: Final = hypot(SCATTER["start"], SCATTER["curve"])


def without_odd(case: Case, swings: Swings | None = None) -> tuple[Case, list[Issue]]:
    """The case without what stands out, and a note on each. The case itself where nothing does.

    swings: those it is about, in the right-handed mirror, if they are known already.
    """
    swings = swings_of_case(as_right_handed(case)) if swings is None else swings
    if len(swings) < FEWEST:
        return case, []
    gone, notes = _odd_swings(case, swings)
    place = [i for i, s in enumerate(case.swings) if s.tried is None] or list(range(len(case.swings)))
    if gone:
        swings = Swings(s for i, s in zip(place, swings, strict=True) if i not in gone)
        place = [i for i in place if i not in gone]
    kept = list(case.swings)
    for key in _SINGLE:
        for i in [place[j] for j in _odd_readings(swings, key)]:
            number, value = kept[i].number or i + 1, kept[i].readings[key].value
            others = {k: r for k, r in kept[i].readings.items() if k != key}
            kept[i] = replace(kept[i], readings=MappingProxyType(others))
            notes.append(Issue("odd_reading", "note", f"swing {number}", odd_reading_sentence(number, key, value)))
    if not notes:
        return case, []
    return replace(case, swings=tuple(s for i, s in enumerate(kept) if i not in gone)), notes


def _odd_swings(case: Case, swings: Swings) -> tuple[set[int], list[Issue]]:
    # The whole fit costs as much as the explanation: only where a reading is far from the middle of its kind.
    if not _far(case.club, swings):
        return set(), []
    found = {s.swing: s.odd for s in swing_faces(case).swings if s.odd is not None}
    notes = []
    for i, odd in found.items():
        number = case.swings[i].number or i + 1
        message = odd_swing_sentence(number, odd.quantity, odd.departure / DEG)
        notes.append(Issue("odd_swing", "note", f"swing {number}", message))
    return set(found), notes


def _far(club: Club, swings: Swings) -> bool:
    """Whether any swing's face, path and ball are far from the middle of their kinds, by usual scatter and own doubt."""
    seen = flights_of(swings, club)
    away = np.zeros(len(swings))
    for flown, scatter in (
        (seen.start, SCATTER["start"]),
        (seen.curve, SCATTER["curve"]),
        (seen.landing, _LANDING_SCATTER),
    ):
        if flown is not None:
            _add_departures(away, flown.well, scatter)
    for key, scatter in (("delivery.face_deg", SCATTER["face"]), ("delivery.path_deg", SCATTER["path"])):
        column = column_of(swings, key)
        if column is not None:
            _add_departures(away, column, scatter)
    return bool(away.max() > _WORTH_A_LOOK**2)


def _add_departures(away: Floats, column: Column, scatter: float) -> None:
    """Add to each swing the square of how far it is from the middle of a column, in its doubts."""
    away[column.place] += (column.value - median(column.value.tolist())) ** 2 / (column.doubt**2 + scatter**2)


def _odd_readings(swings: Swings, key: str) -> list[int]:
    """Places, among the swings, of the readings of one key that stand out."""
    column = column_of(swings, key)
    if column is None or len(column.value) < FEWEST:
        return []
    value, doubt, scatter = column.value, column.doubt, scatter_of(key) or 0.0
    middle = median(value.tolist())
    if not np.any((value - middle) ** 2 > _WORTH_A_LOOK**2 * (doubt**2 + scatter**2)):
        return []
    part = np.array([SHARED[how] for how in column.hows])
    names = [
        swings[i].mount or "" if how == "sensor" else how for i, how in zip(column.place, column.hows, strict=True)
    ]
    sources = {n: float(np.max((part * doubt)[[m == n for m in names]])) for n in dict.fromkeys(names)}
    fit = fit_hierarchy(
        [Level(key, middle * DEG, _TYPICAL_SD_DEG * DEG, scatter * DEG)],
        Readings(
            np.arange(len(value)),
            np.ones((len(value), 1)),
            value * DEG,
            np.maximum(doubt * np.sqrt(1.0 - part**2), 1e-3) * DEG,
            np.array([list(sources).index(n) for n in names]),
        ),
        len(value),
        [Estimate(0.0, max(sd, 1e-3) * DEG) for sd in sources.values()],
    )
    return [column.place[o.swing] for o in fit.outliers]


__all__ = ["without_odd"]

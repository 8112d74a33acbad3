"""Swings unlike the golfer's others, and readings unlike those of the other swings: named, and kept out of what is typical.

Face, path and ball of a swing are judged together (`analysis.swing_faces`); when they stand out, the whole swing is left
out. What was read of body, wrist and club is judged each by itself; one that stands out is more often a slip of the
reader than of the golfer, and that reading alone is left out.
"""

from collections.abc import Sequence
from dataclasses import replace
from math import hypot
from types import MappingProxyType
from typing import Final

import numpy as np

from ferrule.analysis.swing_faces import swing_faces
from ferrule.coaching.ball_evidence import seen_flight, strike_offsets
from ferrule.coaching.case import Case, CaseSwing, as_right_handed
from ferrule.coaching.evidence import swings_of_case
from ferrule.coaching.hierarchy import Level, Readings, fit_hierarchy
from ferrule.coaching.observation import SHARED
from ferrule.coaching.quantities import QUANTITIES
from ferrule.coaching.references import SCATTER, scatter_of
from ferrule.coaching.wording_windows import odd_reading_sentence, odd_swing_sentence
from ferrule.errors import Issue
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

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
_LANDING: Final = (SCATTER["start"], SCATTER["curve"])


def without_odd(case: Case) -> tuple[Case, list[Issue]]:
    """The case without what stands out, and a note on each. The case itself where nothing does."""
    if len(swings_of_case(case)) < FEWEST:
        return case, []
    gone, notes = _odd_swings(case)
    kept = [s for i, s in enumerate(case.swings) if i not in gone]
    numbers = [s.number or i for i, s in enumerate(case.swings, 1) if i - 1 not in gone]
    for key in _SINGLE:
        for i in _odd_readings(kept, key, tries=bool(case.untouched)):
            number, value = numbers[i], kept[i].readings[key].value
            others = {k: r for k, r in kept[i].readings.items() if k != key}
            kept[i] = replace(kept[i], readings=MappingProxyType(others))
            notes.append(Issue("odd_reading", "note", f"swing {number}", odd_reading_sentence(number, key, value)))
    return (replace(case, swings=tuple(kept)), notes) if notes else (case, [])


def _odd_swings(case: Case) -> tuple[set[int], list[Issue]]:
    # The whole fit costs as much as the explanation: only where a reading is far from the middle of its kind.
    if not _far(case):
        return set(), []
    found = {s.swing: s.odd for s in swing_faces(case).swings if s.odd is not None}
    notes = []
    for i, odd in found.items():
        number = case.swings[i].number or i + 1
        message = odd_swing_sentence(number, odd.quantity, odd.departure / DEG)
        notes.append(Issue("odd_swing", "note", f"swing {number}", message))
    return set(found), notes


def _far(case: Case) -> bool:
    """Whether any swing's face, path and ball are far from the middle of their kinds, by usual scatter and own doubt."""
    work = as_right_handed(case)
    swings = swings_of_case(work)
    read: dict[str, list[tuple[int, float, float]]] = {}
    for i, swing in enumerate(swings):
        off_start, start_sd, off_curve, curve_sd = strike_offsets(work.club, swing.strike)
        flight = seen_flight(swing)
        for name, key, reading, off, sd in (
            ("face", "delivery.face_deg", swing.get("delivery.face_deg"), 0.0, SCATTER["face"]),
            ("path", "delivery.path_deg", swing.get("delivery.path_deg"), 0.0, SCATTER["path"]),
            ("start", "ball.start_deg", flight.start, off_start, hypot(start_sd, SCATTER["start"])),
            ("curve", "ball.curve_deg", flight.curve, off_curve, hypot(curve_sd, SCATTER["curve"])),
            ("landing", "ball.curve_deg", flight.landing, off_start + off_curve, hypot(start_sd, curve_sd, *_LANDING)),
        ):
            if reading is not None:
                read.setdefault(name, []).append((i, reading.value - off, hypot(reading.doubt(QUANTITIES[key]), sd)))
    away = np.zeros(len(swings))
    for rows in read.values():
        place, value, doubt = np.array(rows).T
        away[place.astype(np.intp)] += ((value - np.median(value)) / doubt) ** 2
    return bool(np.any(away > _WORTH_A_LOOK**2))


def _odd_readings(swings: Sequence[CaseSwing], key: str, *, tries: bool) -> list[int]:
    """Places, among the swings, of the readings of one key that stand out."""
    quantity, scatter = QUANTITIES[key], scatter_of(key) or 0.0
    places = [i for i, s in enumerate(swings) if key in s.readings and not (tries and s.tried is not None)]
    if len(places) < FEWEST:
        return []
    read = [swings[i].readings[key] for i in places]
    value = np.array([r.value for r in read])
    doubt = np.array([max(r.doubt(quantity), 1e-3) for r in read])
    middle = float(np.median(value))
    if not np.any(np.abs(value - middle) > _WORTH_A_LOOK * np.hypot(doubt, scatter)):
        return []
    part = np.array([SHARED[r.how] for r in read])
    names = [swings[i].mount or "" if r.how == "sensor" else r.how for i, r in zip(places, read, strict=True)]
    sources = {n: float(np.max((part * doubt)[[m == n for m in names]])) for n in dict.fromkeys(names)}
    fit = fit_hierarchy(
        [Level(key, middle * DEG, _TYPICAL_SD_DEG * DEG, scatter * DEG)],
        Readings(
            np.arange(len(places)),
            np.ones((len(places), 1)),
            value * DEG,
            np.maximum(doubt * np.sqrt(1.0 - part**2), 1e-3) * DEG,
            np.array([list(sources).index(n) for n in names]),
        ),
        len(places),
        [Estimate(0.0, max(sd, 1e-3) * DEG) for sd in sources.values()],
    )
    return [places[o.swing] for o in fit.outliers]


__all__ = ["without_odd"]

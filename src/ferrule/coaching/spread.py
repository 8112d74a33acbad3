"""Causes of scatter: which quantity varies from swing to swing, told in degrees of face. A two-way miss needs these, not
the causes of the mean.
"""

from dataclasses import dataclass
from math import cos, sin, sqrt, tan
from typing import Final

from ferrule.coaching.case import Swings
from ferrule.coaching.observation import summary_of
from ferrule.coaching.references import SCATTER, Reference
from ferrule.units import DEG

USUAL_SWINGS: Final = 3.0
"""How many swings the usual scatter is worth beside this golfer's own (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class SpreadCause:
    """sd of the face, radians, that this quantity's own scatter makes; the reading noise is taken out."""

    cause: str
    sd: float


def spread_causes(swings: Swings, reference: Reference) -> list[SpreadCause]:
    """Causes of scatter, largest first, from quantities read on at least three swings. First order."""
    lie, chi, loft = reference.face.lie, reference.chi, reference.face.delivered_loft
    slopes = [
        ("lead_wrist_flexion", "wrist.impact.flexion_deg", "flexion", sin(lie) * sin(chi)),
        ("lead_wrist_unset", "wrist.impact.ulnar_deviation_deg", "unset", tan(loft)),
        ("forearm_roll", "wrist.impact.forearm_roll_deg", "roll", sin(lie) * cos(chi)),
        ("shaft_lean", "shaft_lean_impact_deg", "lean", cos(lie) * sin(lie)),
        ("posture", "handle_raise_deg", "handle", tan(loft)),
        ("aim", "aim_deg", "aim", 1.0),
    ]
    out = []
    for cause, key, scatter, slope in slopes:
        summary = summary_of(swings, key, scatter)
        if summary is not None and summary.spread is not None and summary.spread > 0.0:
            out.append(SpreadCause(cause, summary.spread * abs(slope)))
    return sorted(out, key=lambda s: (-s.sd, s.cause))


def face_scatter(swings: Swings) -> float | None:
    """Sd of the face from swing to swing, radians, from faces or start lines; None below three.

    A few swings say little of a scatter: what is usual counts as `USUAL_SWINGS` swings more.
    """
    for key, scatter, share in (("delivery.face_deg", "face", 1.0), ("ball.start_deg", "start", 0.78)):
        summary = summary_of(swings, key, scatter)
        if summary is not None and summary.spread is not None:
            seen, usual = summary.spread / share, SCATTER["face"] * DEG
            degrees_of_freedom = summary.count - 1
            return sqrt((degrees_of_freedom * seen**2 + USUAL_SWINGS * usual**2) / (degrees_of_freedom + USUAL_SWINGS))
    return None


def two_way(swings: Swings) -> bool:
    """Whether starts or faces fall on both sides by more than their doubt."""
    values = [
        r.value
        for s in swings
        if (r := s.get("delivery.face_deg") or s.get("ball.start_deg") or s.get("ball.side_m")) is not None
    ]
    if len(values) < 4:
        return False
    mean = sum(values) / len(values)
    sd = sqrt(sum((v - mean) ** 2 for v in values) / (len(values) - 1))
    return min(values) < -1.5 and max(values) > 1.5 and sd > abs(mean)

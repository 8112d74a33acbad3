"""Which departures a coach would call a fault: off by more than is usual, by more than the doubt explains, and read so.

Thresholds: common practice, no source.
"""

from collections.abc import Mapping, Sequence
from math import sin
from typing import Final

from ferrule.coaching.delivery_state import CAUSE_COLUMNS, CAUSES
from ferrule.coaching.observation import Observation
from ferrule.coaching.references import Reference
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

LEAST_SHARE_DEG: Final = 1.0
LEAST_OVER_DOUBT: Final = 0.5
USUAL_GRIP_DEG: Final = 3.0
USUAL_AIM_DEG: Final = 1.5


def faults_of(
    shares: Sequence[Estimate],
    departures: Sequence[float],
    observations: Sequence[Observation],
    reference: Reference,
) -> Mapping[str, bool]:
    """Whether each cause is a fault. Radians, in the right-handed mirror.

    shares: of the face, in the order of `CAUSES`; departures: means of the state.
    """
    usual = {
        "grip": USUAL_GRIP_DEG * DEG,
        "lead_wrist_flexion": reference.spread["flexion_deg"],
        "lead_wrist_unset": reference.spread["unset_deg"],
        "forearm_roll": reference.spread["forearm_roll_deg"],
        "shaft_lean": reference.spread["lean_deg"],
        "posture": reference.spread["handle_raise_deg"],
        "aim": USUAL_AIM_DEG * DEG,
        "arm_and_body": 0.0,
    }
    read = _departures_read(observations, reference)
    out = {}
    for cause, column, share in zip(CAUSES, CAUSE_COLUMNS, shares, strict=True):
        large = abs(share.value) >= max(LEAST_SHARE_DEG * DEG, LEAST_OVER_DOUBT * share.sd)
        departure = departures[column]
        agrees = all(value * departure > 0.0 for value in read.get(cause, ()))
        out[cause] = large and agrees and abs(departure) > usual[cause]
    return out


def _departures_read(observations: Sequence[Observation], reference: Reference) -> dict[str, list[float]]:
    """What was read of each cause, less its reference: a reading that says the opposite is no fault found."""
    from_reading = {
        "grip_turn": ("grip", 0.0),
        "impact_flexion": ("lead_wrist_flexion", reference.flexion),
        "unset": ("lead_wrist_unset", 0.0),
        "impact_roll": ("forearm_roll", reference.roll),
        "shaft_lean": ("shaft_lean", reference.lean / sin(reference.face.lie)),
        "handle": ("posture", reference.handle_raise),
        "aim": ("aim", 0.0),
    }
    out: dict[str, list[float]] = {}
    for observation in observations:
        if observation.name in from_reading:
            cause, usual = from_reading[observation.name]
            out.setdefault(cause, []).append(observation.value - usual)
    return out

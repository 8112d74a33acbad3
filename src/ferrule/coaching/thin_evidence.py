"""What the evidence of a case lacks: nothing or one thing read, all by eye, only tries, sensors put on more than once."""

from collections.abc import Sequence
from math import hypot, sqrt
from typing import Final

import numpy as np

from ferrule.coaching.case import Case, CaseSwing
from ferrule.coaching.observation import SHARED, Observation
from ferrule.coaching.quantities import QUANTITIES
from ferrule.coaching.references import scatter_of
from ferrule.coaching.wording import degrees
from ferrule.errors import Issue

MOUNT_OFFSET_SD_DEG: Final = 4.0
"""Spread of what one mounting of the sensors adds to the face (common practice, no source)."""
_LIMIT: Final = 2.6
# what sensors of two mountings may differ in: key, in words, more, less
_BETWEEN: Final = (
    ("wrist.impact.flexion_deg", "the lead wrist at impact", "more bowed", "more cupped"),
    ("wrist.shaft_level_down.flexion_deg", "the lead wrist at shaft level", "more bowed", "more cupped"),
    ("wrist.top.flexion_deg", "the lead wrist at the top", "more bowed", "more cupped"),
    ("delivery.face_deg", "the face", "more to the right", "more to the left"),
)


def thin_evidence(
    case: Case, swings: Sequence[CaseSwing], observations: Sequence[Observation], world: float
) -> list[Issue]:
    """Notes on what is missing. swings: those the case is about, in the right-handed mirror; world: -1 for a left-hander."""
    out = []
    if not observations:
        out.append(
            Issue(
                "no_readings",
                "warning",
                "swings",
                "Nothing of the delivery at impact has been read yet: what stands here of it is what is usual, not this golfer.",
            )
        )
    elif len(observations) == 1:
        out.append(
            Issue("thin_evidence", "note", "swings", "Only one thing was read: the doubt is wide; take the next look.")
        )
    elif all(o.how in ("by_eye", "assumed") for o in observations) and not all(
        o.name.startswith("ball_") for o in observations
    ):
        out.append(Issue("all_by_eye", "note", "swings", "Everything was judged by eye: the doubt is wide."))
    if case.swings and not case.untouched:
        out.append(
            Issue(
                "only_tries",
                "note",
                "swings",
                "Every swing was a try: this is the delivery with the feel, not the golfer's own.",
            )
        )
    return out + _mounts(swings, world)


def _mounts(swings: Sequence[CaseSwing], world: float) -> list[Issue]:
    mounts = list(dict.fromkeys(s.mount for s in swings if s.mount is not None))
    if len(mounts) < 2:
        return []
    often = "twice" if len(mounts) == 2 else f"{len(mounts)} times"
    out = [
        Issue(
            "several_mounts",
            "note",
            "swings",
            f"The sensors were put on {often}: absolute wrist angles are compared across mountings only with their doubt;"
            " changes within a swing hold.",
        )
    ]
    for key, what, more, less in _BETWEEN:
        read = {m: found for m in mounts if (found := _mean(swings, key, m, scatter_of(key) or 0.0)) is not None}
        if len(read) < 2:
            continue
        low, high = min(read, key=lambda m: read[m][0]), max(read, key=lambda m: read[m][0])
        apart = read[high][0] - read[low][0]
        if apart <= _LIMIT * hypot(read[low][1], read[high][1]):
            continue
        side = more if key.startswith("wrist.") or world > 0 else less
        out.append(
            Issue(
                "mounts_disagree",
                "warning",
                f"mount {high}",
                f"Mounting {high} reads {what} {degrees(apart)} {side} than mounting {low}, further apart than mountings usually"
                " are. Either the swing changed in between, or one of them sat askew: look at the calibration, and compare within"
                " one mounting.",
            )
        )
    return out


def _mean(swings: Sequence[CaseSwing], key: str, mount: str, scatter: float) -> tuple[float, float] | None:
    """Mean of what sensors of one mounting read, and its sd with all that the mounting may add; degrees."""
    quantity = QUANTITIES[key]
    found = [(s.readings[key], s.zeroed) for s in swings if s.mount == mount and key in s.readings]
    found = [(r, zeroed) for r, zeroed in found if r.how == "sensor"]
    if not found:
        return None
    doubt = float(np.mean([r.doubt(quantity) for r, _ in found]))
    part = SHARED["sensor"] * doubt
    face = key == "delivery.face_deg" and not all(zeroed for _, zeroed in found)
    shared = max(part, MOUNT_OFFSET_SD_DEG) if face else part
    own = sqrt((doubt**2 - part**2 + scatter**2) / len(found))
    return float(np.mean([r.value for r, _ in found])), hypot(shared, own)


__all__ = ["MOUNT_OFFSET_SD_DEG", "thin_evidence"]

"""Rows of the store as the reasoning takes them: golfer, club, setting, swings with one reading of each quantity."""

from collections.abc import Mapping, Sequence
from datetime import date
from types import MappingProxyType
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from ferrule.app.finding import now
from ferrule.app.golfers import club_of
from ferrule.app.views import SwingView
from ferrule.club.clubs import Club, club_by_name
from ferrule.coaching.case import CaseSwing, Golfer, How, Reading, Setting, Tried, WristRange, quantity_of
from ferrule.coaching.eye import EyeBias, without_bias
from ferrule.coaching.quantities import FACE
from ferrule.coaching.references import FACE_ADDRESS_SD_DEG
from ferrule.store import tables as t

_NOBODY: Mapping[str, EyeBias] = MappingProxyType({})


def club_of_case(row: t.Club | None, club_name: str | None) -> Club:
    """The club as the case has it: the usual one of this name where the golfer has none."""
    if row is None:
        return club_by_name(club_name or "7-iron")
    return club_of(row)


def golfer_of_case(row: t.Golfer, on: date | None = None) -> Golfer:
    """The golfer as the case has them: usual ranges where nobody looked. on: the day from which the next event is counted,
    today unless given.
    """
    known = WristRange()
    kept = (
        row.wrist_flexion_range_deg, row.wrist_extension_range_deg, row.wrist_radial_range_deg,
        row.wrist_ulnar_range_deg,
    )  # fmt: skip
    usual = (known.flexion, known.extension, known.radial, known.ulnar)
    flexion, extension, radial, ulnar = (u if k is None else k for k, u in zip(kept, usual, strict=True))
    days = None if row.next_event_on is None else (row.next_event_on - (on or now().date())).days
    return Golfer(
        handedness="right" if row.handedness == "right" else "left",
        big_miss=cast("Any", row.big_miss),
        other_miss=cast("Any", row.other_miss),
        pain=tuple(row.pain),
        age_group=cast("Any", row.age_group),
        wrist_range=WristRange(flexion, extension, radial, ulnar, measured=any(k is not None for k in kept)),
        event_in_days=days if days is not None and days >= 0 else None,
    )


def setting_of_case(row: t.Lesson | None) -> Setting:
    """Where the lesson is held, as the case has it."""
    if row is None:
        return Setting()
    return Setting(row.surface, row.flight_seen_m, row.ball, cast("Any", tuple(row.at_hand)))


def swing_of_case(view: SwingView, eye: Mapping[str, EyeBias] = _NOBODY) -> CaseSwing:
    """One swing as the case has it. eye: what is known of the coach's eye."""
    by_key: dict[str, list[Reading]] = {}
    for r in view.readings:
        by_key.setdefault(r.key, []).append(Reading(r.value, r.sd, cast("How", r.how)))
    return CaseSwing(
        readings=MappingProxyType({k: joined(k, rs, eye) for k, rs in by_key.items()}),
        mount=view.mount,
        strike=view.strike,
        shape=view.shape,
        tried=Tried(view.tried_feel, view.tried_amount or 1.0) if view.tried_feel else None,
        number=view.number,
    )


def joined(key: str, readings: Sequence[Reading], eye: Mapping[str, EyeBias] = _NOBODY) -> Reading:
    """One reading from several of the same quantity of one swing: weighted by their doubt, named after the surest.

    What this eye is known to add is taken out beforehand, since nobody can tell it from the rest afterwards; what comes of
    it is then named after the others. A sensor's face is relative to the face at address and cannot be averaged with a face
    against the target: the surer of the two stands.
    """
    if len(readings) == 1:
        return readings[0]
    if key == FACE and any(r.how == "sensor" for r in readings):
        from_address = [FACE_ADDRESS_SD_DEG if r.how == "sensor" else 0.0 for r in readings]
        surest = readings[int(np.argmin(np.hypot(_doubts(key, readings), from_address)))]
        return surest if surest.how == "sensor" else joined(key, [r for r in readings if r.how != "sensor"], eye)
    set_right = [without_bias(r, key, eye, 1) for r in readings]
    readings = [better or r for better, r in zip(set_right, readings, strict=True)]
    doubts = _doubts(key, readings)
    weights = doubts**-2.0
    value = float(np.sum(weights * [r.value for r in readings]) / np.sum(weights))
    named = readings[int(np.argmin(np.where([r is not None for r in set_right], np.inf, doubts)))]
    return Reading(value, float(np.sum(weights) ** -0.5), named.how)


def _doubts(key: str, readings: Sequence[Reading]) -> NDArray[np.float64]:
    return np.array([max(r.doubt(quantity_of(key)), 1e-6) for r in readings])

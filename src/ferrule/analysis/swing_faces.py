"""Face of each single swing with its doubt, from everything that was read of it and of its neighbours.

What one swing lacks the others lend: a start line teaches the offset of the sensors' mounting, the mounting then gives the
face of a swing whose ball nobody saw; what is typical of the golfer holds both together. Only readings of face, path and
ball enter: an offset of the wrist angle itself cannot be told from the flight of the ball, since a degree of flexion is
worth 0.4 degrees of face and grip and body may add as much.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot, sqrt
from types import MappingProxyType
from typing import Final

import numpy as np

from ferrule.coaching.ball_evidence import response_of, seen_flight, strike_offsets
from ferrule.coaching.case import Case, CaseSwing, Reading, Swings, as_right_handed
from ferrule.coaching.evidence import swings_of_case
from ferrule.coaching.hierarchy import Level, Outlier, Readings, fit_hierarchy
from ferrule.coaching.observation import SHARED, summary_of
from ferrule.coaching.quantities import QUANTITIES
from ferrule.coaching.references import PRIORS, SCATTER, reference_of
from ferrule.coaching.thin_evidence import MOUNT_OFFSET_SD_DEG
from ferrule.frames.handedness import world_sign
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

FACE_TYPICAL_SD_DEG: Final = 12.0
"""Spread of the typical face among golfers who come for a lesson: what the priors of the departures add up to."""
TRY_SD_DEG: Final = (6.0, 3.0)
"""How far a try may be from the usual swing, in face and path (common practice, no source)."""
_RESPONSE_SD_DEG: Final = 0.3
_EYE: Final = "the coach's eye"


@dataclass(frozen=True, slots=True)
class SwingFace:
    """One swing. swing: index into the case's swings; face, path: radians, + right in the world; seen: whether anything
    was read of its own face, path or ball; odd: how it stands out, None for a swing like the others.
    """

    swing: int
    face: Estimate
    path: Estimate
    seen: bool
    odd: Outlier | None


@dataclass(frozen=True, eq=False, slots=True)
class SwingFaces:
    """All swings of a case, radians, + right in the world. face, path: typical of the untouched swings; face_scatter,
    path_scatter: sd from swing to swing; mounts: offset of each mounting, what it adds to the face (+ open); alike: sd of
    what the errors of all these faces share.
    """

    swings: tuple[SwingFace, ...]
    face: Estimate
    path: Estimate
    face_scatter: float
    path_scatter: float
    mounts: Mapping[str, Estimate]
    alike: float


class _Rows:
    """Readings as they are gathered: swing, weights on face and path, value, sd, name of the source."""

    __slots__ = ("rows", "sources")

    def __init__(self) -> None:
        self.rows: list[tuple[int, float, float, float, float, int]] = []
        self.sources: dict[str, Estimate] = {}

    def add(self, swing: int, weights: tuple[float, float], value: float, sd: float, source: str | None = None) -> None:
        index = -1 if source is None else list(self.sources).index(source)
        self.rows.append((swing, *weights, value, max(sd, 1e-4), index))

    def readings(self) -> Readings:
        table = np.array(self.rows, dtype=np.float64).reshape(-1, 6)
        return Readings(
            table[:, 0].astype(np.intp), table[:, 1:3], table[:, 3], table[:, 4], table[:, 5].astype(np.intp)
        )


def swing_faces(case: Case, mounts: Mapping[str, Estimate] | None = None) -> SwingFaces:
    """Face of every swing of a case. mounts: what is known of a mounting's offset beforehand, radians."""
    world = world_sign(case.golfer.handedness)
    work = as_right_handed(case)
    untouched = swings_of_case(work)
    aim = summary_of(untouched, "aim_deg", "aim")
    rows = _gathered(work, untouched, aim is not None, mounts or {})
    face = Level("face", 0.0, FACE_TYPICAL_SD_DEG * DEG, SCATTER["face"] * DEG)
    path_sd = hypot(PRIORS["path"][1] * DEG, PRIORS["aim"][1] * DEG if aim is None else aim.sd)
    path = Level("path", 0.0 if aim is None else aim.value, path_sd, SCATTER["path"] * DEG)
    tries = np.zeros((len(work.swings), 2))
    if work.untouched:
        tries[[s.tried is not None for s in work.swings]] = np.array(TRY_SD_DEG) * DEG
    fit = fit_hierarchy(
        [face, path], rows.readings(), len(work.swings), list(rows.sources.values()), more_scatter=tries
    )
    seen = {int(row[0]) for row in rows.rows}
    odd = {o.swing: Outlier(o.swing, o.quantity, world * o.departure, world * o.deviations) for o in fit.outliers}
    return SwingFaces(
        tuple(
            SwingFace(
                i,
                _signed(fit.swing(i, "face"), world),
                _signed(fit.swing(i, "path"), world),
                i in seen,
                odd.get(i),
            )
            for i in range(len(work.swings))
        ),
        _signed(fit.typical[0], world),
        _signed(fit.typical[1], world),
        float(fit.scatter[0]),
        float(fit.scatter[1]),
        MappingProxyType(
            {name: found for name, found in zip(rows.sources, fit.offsets, strict=True) if name != _EYE},
        ),
        float(fit.alike[0]),
    )


def _gathered(work: Case, untouched: Swings, aim_read: bool, mounts: Mapping[str, Estimate]) -> _Rows:
    rows = _Rows()
    response = response_of(work, untouched).at(reference_of(work.club, work.reference).face.delivered_loft)
    share, slope = response.face_share.value, response.curve_per_degree
    start_of, curve_of = (share, 1.0 - share), (slope.value, -slope.value)
    for i, swing in enumerate(work.swings):
        seen = swing.get("delivery.face_deg")
        if seen is not None:
            _face(rows, i, swing, seen, aim_read, mounts)
        path = swing.get("delivery.path_deg")
        if path is not None:
            rows.add(i, (0.0, 1.0), path.value * DEG, _doubt(path, "delivery.path_deg"))
        flight = seen_flight(swing)
        off_start, start_sd, off_curve, curve_sd = strike_offsets(work.club, swing.strike)
        if flight.start is not None:
            sd = hypot(_doubt(flight.start, "ball.start_deg"), start_sd * DEG, _RESPONSE_SD_DEG * DEG)
            rows.add(i, start_of, (flight.start.value - off_start) * DEG, sd)
        relative = slope.sd / max(slope.value, 1e-6)
        if flight.curve is not None:
            value = (flight.curve.value - off_curve) * DEG
            sd = hypot(_doubt(flight.curve, "ball.curve_deg"), curve_sd * DEG, relative * value)
            rows.add(i, curve_of, value, sd)
        if flight.landing is not None:
            value = (flight.landing.value - off_start - off_curve) * DEG
            sd = hypot(_doubt(flight.landing, "ball.curve_deg"), start_sd * DEG, curve_sd * DEG, relative * value)
            rows.add(i, (start_of[0] + curve_of[0], start_of[1] + curve_of[1]), value, sd)
    return rows


def _face(rows: _Rows, i: int, swing: CaseSwing, seen: Reading, aim_read: bool, mounts: Mapping[str, Estimate]) -> None:
    """A face reading: the sensors' is against the face at address and holds its mounting's offset, the eye's its bias."""
    sd = _doubt(seen, "delivery.face_deg")
    if seen.how == "sensor":
        mount = swing.mount or ""
        # Where nobody looked at the aim, what it adds is part of what the mounting seems to be off by.
        usual = MOUNT_OFFSET_SD_DEG if aim_read else hypot(MOUNT_OFFSET_SD_DEG, PRIORS["aim"][1])
        rows.sources.setdefault(mount, mounts.get(mount, Estimate(0.0, usual * DEG)))
        aim, address = swing.get("aim_deg"), swing.get("face_address_deg")
        since = (0.0 if aim is None else aim.value) + (0.0 if address is None else address.value)
        rows.add(i, (1.0, 0.0), (seen.value + since) * DEG, sd, mount)
    elif seen.how == "by_eye":
        part = SHARED["by_eye"]
        rows.sources.setdefault(_EYE, Estimate(0.0, part * sd))
        rows.add(i, (1.0, 0.0), seen.value * DEG, sd * sqrt(1.0 - part**2), _EYE)
    else:
        rows.add(i, (1.0, 0.0), seen.value * DEG, sd)


def _doubt(reading: Reading, key: str) -> float:
    return reading.doubt(QUANTITIES[key]) * DEG


def _signed(estimate: Estimate, world: float) -> Estimate:
    return Estimate(world * estimate.value, estimate.sd)


__all__ = ["SwingFace", "SwingFaces", "swing_faces"]

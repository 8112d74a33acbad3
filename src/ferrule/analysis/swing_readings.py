"""Readings of a worked swing at its events, with doubts; its kind, closing, pattern and the arrays to draw from."""

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.recording_doubt import LEVEL, Drawn
from ferrule.analysis.recording_notes import SwingTold
from ferrule.analysis.recording_result import (
    ClosingRates,
    ClosingSpan,
    EventReading,
    Kind,
    SwingAnalysis,
    SwingTraces,
    wrapped,
)
from ferrule.analysis.recording_swing import WorkedSwing
from ferrule.club.face import closing_about_shaft, closing_over_ground, closing_owed
from ferrule.frames.rotations import UP, about_up, rotation_about
from ferrule.signals.derivative import lengths, place_of, unwrapped, usual_step
from ferrule.signals.prefix import row_product
from ferrule.statistics.estimate import Estimate
from ferrule.swing.events import Event, EventName
from ferrule.swing.pattern import wrist_pattern
from ferrule.units import DEG

Floats = NDArray[np.float64]

TRACE_HZ: Final = 250.0
"""Rate to which arrays for drawing are thinned."""
SPANS: Final[tuple[tuple[EventName, EventName], ...]] = (
    ("address", "top"),
    ("top", "shaft_level_down"),
    ("shaft_level_down", "impact"),
    ("address", "impact"),
)
"""Stretches of the closing account."""
FULL_RISE: Final = float(np.sin(10.0 * DEG))
"""The lead arm rises past this at the top of a full swing (common practice: past level)."""
HALF_RISE: Final = float(np.sin(-40.0 * DEG))
"""...and past this at the top of a half swing; a chip stays below (common practice)."""
SHOWN: Final = ("flexion", "ulnar_deviation", "forearm_roll", "face", "edge_tilt", "delivered_loft")
CHANGES: Final = ("flexion", "ulnar_deviation", "forearm_roll", "face", "delivered_loft")


def swing_result(number: int, worked: WorkedSwing, drawn: Drawn | None, told: SwingTold) -> SwingAnalysis:
    """Everything to be told about one swing."""
    clock = worked.clean.time_s
    series = _series(worked)
    names = [
        n for n in worked.events if n != "finish" and worked.events[n].time_s <= min(clock[-1] + 1e-6, told.until_s)
    ]
    stacked = np.stack(list(series.values()))
    base = dict(zip(series, stacked[:, : worked.at + 1].mean(axis=1).tolist(), strict=True))
    readings: dict[EventName, EventReading] = {}
    change: dict[EventName, dict[str, Estimate]] = {}
    for name in names:
        when = worked.events[name].time_s
        value = base if name == "address" else dict(zip(series, _read(stacked, clock, when).tolist(), strict=True))
        widen = 0.0 if name == "address" else told.widen
        sd, sd_change = _spreads(drawn, name, widen)
        est = {key: Estimate(wrapped(value[key]), sd.get(key, 0.0)) for key in SHOWN}
        shown = worked.heading_sd is not None or name in {"address", "impact"}
        readings[name] = EventReading(
            est["flexion"],
            est["ulnar_deviation"],
            est["forearm_roll"],
            value["flexion_isb"],
            value["ulnar_deviation_isb"],
            est["face"] if shown else None,
            est["edge_tilt"] if shown else None,
            est["delivered_loft"] if shown else None,
        )
        change[name] = {k: Estimate(wrapped(value[k] - base[k]), sd_change.get(k, 0.0)) for k in CHANGES}
    spans = tuple(
        ClosingSpan(a, b, worked.closing.between(worked.events[a].time_s, worked.events[b].time_s))
        for a, b in SPANS
        if a in names and b in names
    )
    complete = told.until_s > clock[-1]
    return SwingAnalysis(
        number,
        swing_kind(worked),
        _doubted(worked.events, drawn),
        readings,
        change,
        spans,
        closing_rates(worked) if complete else {},
        float(lengths(worked.clean.hand_rate).max()),
        told.words,
        wrist_pattern(clock, worked.wrist.flexion, worked.roll, worked.events) if complete else None,
        traces=traces(worked, told.until_s),
    )


def _read(stacked: Floats, clock: Floats, when: float) -> Floats:
    """All series, shape (k, n), at an instant, by a straight line between two samples, shape (k,)."""
    k, share = place_of(clock, when)
    return np.asarray(stacked[:, k] + share * (stacked[:, k + 1] - stacked[:, k]))


def _series(worked: WorkedSwing) -> dict[str, Floats]:
    return {
        "flexion": worked.wrist.flexion,
        "ulnar_deviation": worked.wrist.ulnar_deviation,
        "forearm_roll": worked.roll,
        "flexion_isb": worked.wrist_isb.flexion,
        "ulnar_deviation_isb": worked.wrist_isb.ulnar_deviation,
        "face": unwrapped(worked.face.face),
        "edge_tilt": unwrapped(worked.face.edge_tilt),
        "delivered_loft": worked.face.delivered_loft,
    }


def _doubted(events: dict[EventName, Event], drawn: Drawn | None) -> dict[EventName, Event]:
    """Events with the doubt of those that come through level as the draws have it."""
    if drawn is None:
        return events
    spread = {name: float(np.std(drawn.times[:, k])) for k, name in enumerate(drawn.events) if name in LEVEL}
    return {name: replace(event, sd=spread.get(name, event.sd)) for name, event in events.items()}


def _spreads(drawn: Drawn | None, name: EventName, widen: float) -> tuple[dict[str, float], dict[str, float]]:
    """Sds of the readings at an event, and of their changes since address."""
    if drawn is None or name not in drawn.events:
        return {}, {}
    k = drawn.events.index(name)
    sd = {key: float(np.hypot(_spread(v[:, k]), widen)) for key, v in drawn.values.items()}
    change = {key: float(np.hypot(_spread(v[:, k] - v[:, 0]), widen)) for key, v in drawn.values.items()}
    return sd, change


def _spread(draws: Floats) -> float:
    """Spread of angles about their circular mean."""
    middle = np.angle(np.exp(1j * draws).mean())
    return float(np.sqrt(np.mean(((draws - middle + np.pi) % (2.0 * np.pi) - np.pi) ** 2)))


def swing_kind(worked: WorkedSwing) -> Kind:
    """Full, half or chip by how high the lead arm went; an air swing when the blow could be heard and was not."""
    if not worked.given.candidate.struck and not worked.given.candidate.deaf:
        return "air_swing"
    top = worked.events.get("top")
    if top is None:
        return "chip"
    k = int(np.searchsorted(worked.clean.time_s, top.time_s))
    rise = float((-worked.clean.forearm_axis[: k + 1, 1]).max())
    if rise > FULL_RISE:
        return "full_swing"
    return "half_swing" if rise > HALF_RISE else "chip"


def closing_rates(worked: WorkedSwing) -> dict[EventName, ClosingRates]:
    """Both kinds of closing at shaft level and impact."""
    clock = worked.clean.time_s
    known = worked.heading_sd is not None
    to_target = about_up(-worked.heading)
    out: dict[EventName, ClosingRates] = {}
    names: tuple[EventName, ...] = ("shaft_level_down", "impact")
    for name in names:
        if name not in worked.events:
            continue
        when = worked.events[name].time_s
        # between the two samples about the event
        k = min(max(int(np.searchsorted(clock, when)), 1), len(clock) - 1)
        near = slice(k - 1, k + 1)
        rate = worked.clean.hand_rate[near] @ to_target.T
        about = closing_about_shaft(rate, worked.carried.shaft[near])
        over = closing_over_ground(rate, worked.carried.normal[near])
        owed = None
        if name == "shaft_level_down" and known:
            tilt = float(np.interp(when, clock, unwrapped(worked.face.edge_tilt)))
            owed = wrapped(closing_owed(tilt, worked.given.club.lie))
        out[name] = ClosingRates(
            float(np.interp(when, clock[near], about)),
            float(np.interp(when, clock[near], over)) if known else None,
            owed,
        )
    return out


def traces(worked: WorkedSwing, until_s: float) -> SwingTraces:
    """Thinned arrays of a swing in the target frame, up to impact or to where it is refused."""
    clock = worked.clean.time_s
    step = max(1, round(1.0 / (TRACE_HZ * usual_step(clock))))
    last = max(int(np.searchsorted(clock, until_s, side="right")) - 1, worked.at + 1)
    last = min(last, len(clock) - 1)
    keep = np.append(np.arange(worked.at, last, step), last)
    to_target = rotation_about(UP, -worked.heading).as_quat()
    return SwingTraces(
        clock[keep],
        worked.wrist.flexion[keep],
        worked.wrist.ulnar_deviation[keep],
        worked.wrist.axial[keep],
        worked.wrist_isb.flexion[keep],
        worked.wrist_isb.ulnar_deviation[keep],
        worked.wrist_isb.axial[keep],
        worked.roll[keep],
        Rotation.from_quat(row_product(to_target, worked.clean.forearm.as_quat()[keep])),
        Rotation.from_quat(row_product(to_target, worked.clean.hand.as_quat()[keep])),
        worked.carried.shaft[keep],
        worked.carried.normal[keep],
    )

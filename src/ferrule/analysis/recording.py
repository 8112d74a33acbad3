"""From a recording to its swings: the one entry, `analyse_recording`."""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.recording_doubt import Drawn, draw_swing
from ferrule.analysis.recording_result import (
    ClosingRates,
    ClosingSpan,
    EventReading,
    Kind,
    RecordingAnalysis,
    SwingAnalysis,
    SwingTraces,
    wrapped,
)
from ferrule.analysis.recording_session import (
    Session,
    address_mounts,
    aim_heading,
    know_sensors,
    open_session,
    right_handed,
)
from ferrule.analysis.recording_swing import SwingInput, WorkedSwing, work_out_swing
from ferrule.analysis.swings import Candidate
from ferrule.club.clubs import Club
from ferrule.club.face import closing_about_shaft, closing_over_ground, closing_owed
from ferrule.errors import Issue
from ferrule.frames.handedness import Handedness
from ferrule.frames.rotations import UP, rotation_about
from ferrule.sensing.protocol import labelled_protocol
from ferrule.sensing.recording import Recording
from ferrule.statistics.estimate import Estimate
from ferrule.swing.events import EventName

Floats = NDArray[np.float64]

AFTER: Final = 2.0
"""How long after its fastest moment a swing is followed at most, s."""
TRACE_HZ: Final = 250.0
"""Rate to which arrays for drawing are thinned."""
SPANS: Final[tuple[tuple[EventName, EventName], ...]] = (
    ("address", "top"),
    ("top", "shaft_level_down"),
    ("shaft_level_down", "impact"),
    ("address", "impact"),
)


def analyse_recording(
    recording: Recording,
    *,
    handedness: Handedness = "right",
    club: Club,
    calibration: Recording | None = None,
    profile: str | None = None,
    draws: int = 240,
) -> RecordingAnalysis:
    """All swings of a recording.

    recording: as it was read, SI units; handedness: of the golfer; club: what was swung; calibration: a recording of the
    calibration movements with the same mount, when they are not in `recording` itself; profile: name of the device
    profile; draws: size of the Monte Carlo for the doubts (0: none, all sds are zero).
    """
    del profile
    known = None
    if calibration is not None:
        lesson = right_handed(calibration, handedness)
        known = know_sensors(lesson, labelled_protocol(lesson))
    session = open_session(right_handed(recording, handedness), known)
    issues: list[Issue] = []
    swings: list[SwingAnalysis] = []
    for number, candidate in enumerate(session.candidates, 1):
        if candidate.address is None:
            issues.append(_no_address(session, number, candidate))
            continue
        worked = work_out_swing(swing_input(session, candidate, club))
        drawn = None
        if draws > 0:
            drawn = draw_swing(worked, session.forearm, session.hand, session.clock.sd, draws)
        swings.append(swing_result(number, worked, drawn))
    return RecordingAnalysis(
        handedness,
        tuple(swings),
        tuple(issues),
        Estimate(session.clock.late_s, session.clock.sd),
        session.calibration.source if session.calibration else "none",
    )


def swing_input(session: Session, candidate: Candidate, club: Club) -> SwingInput:
    """Gather what one swing needs from the session."""
    address = candidate.address
    assert address is not None  # noqa: S101
    t = session.recording.time_s
    mounts, forearm_up, hand_up = address_mounts(session, address)
    at = address.high - 1
    end = t[candidate.peak] + AFTER
    for rest in session.rests:
        if rest.low > candidate.peak:
            end = min(end, t[rest.low] + 0.1)
            break
    return SwingInput(
        candidate,
        address.last(t, 1.0).low,
        at,
        int(np.searchsorted(t, end)),
        session.forearm_run,
        session.hand_run,
        forearm_up,
        hand_up,
        mounts,
        session.clock.late_s,
        aim_heading(session, mounts, (forearm_up, hand_up), at),
        club,
    )


def swing_result(number: int, worked: WorkedSwing, drawn: Drawn | None) -> SwingAnalysis:
    """Readings, account and traces of one worked swing."""
    clock = worked.clean.time_s
    series = {
        "flexion": worked.wrist.flexion,
        "ulnar_deviation": worked.wrist.ulnar_deviation,
        "forearm_roll": worked.roll,
        "flexion_isb": worked.wrist_isb.flexion,
        "ulnar_deviation_isb": worked.wrist_isb.ulnar_deviation,
        "face": np.unwrap(worked.face.face),
        "edge_tilt": np.unwrap(worked.face.edge_tilt),
        "delivered_loft": worked.face.delivered_loft,
    }
    readings: dict[EventName, EventReading] = {}
    change: dict[EventName, dict[str, Estimate]] = {}
    names = [n for n in worked.events if n != "finish" and worked.events[n].time_s <= clock[-1] + 1e-6]
    base = {key: float(s[: worked.at + 1].mean()) for key, s in series.items()}
    for name in names:
        when = worked.events[name].time_s
        value = base if name == "address" else {key: float(np.interp(when, clock, s)) for key, s in series.items()}
        sd = dict.fromkeys(series, 0.0)
        sd_change = dict.fromkeys(series, 0.0)
        if drawn is not None and name in drawn.events:
            k = drawn.events.index(name)
            for key in drawn.values:
                if key in sd:
                    draws = drawn.values[key]
                    sd[key] = float(_spread(draws[:, k]))
                    sd_change[key] = float(_spread(draws[:, k] - draws[:, 0]))
        est = {key: Estimate(wrapped(value[key]), sd[key]) for key in series}
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
        change[name] = {
            key: Estimate(wrapped(value[key] - base[key]), sd_change[key])
            for key in ("flexion", "ulnar_deviation", "forearm_roll", "face", "delivered_loft")
        }
    spans = tuple(
        ClosingSpan(a, b, worked.closing.between(worked.events[a].time_s, worked.events[b].time_s))
        for a, b in SPANS
        if a in names and b in names
    )
    return SwingAnalysis(
        number,
        swing_kind(worked),
        worked.events,
        readings,
        change,
        spans,
        closing_rates(worked),
        float(np.linalg.norm(worked.clean.hand_rate, axis=1).max()),
        (),
        traces(worked),
    )


def _spread(draws: Floats) -> float:
    """Spread of angles about their circular mean."""
    middle = np.angle(np.exp(1j * draws).mean())
    return float(np.sqrt(np.mean(((draws - middle + np.pi) % (2.0 * np.pi) - np.pi) ** 2)))


def swing_kind(worked: WorkedSwing) -> Kind:
    """Full, half or chip by how high arm and shaft went; an air swing when no blow was heard."""
    if not worked.given.candidate.struck:
        return "air_swing"
    top = worked.events.get("top")
    if top is None:
        return "chip"
    k = int(np.searchsorted(worked.clean.time_s, top.time_s))
    rise = float((-worked.clean.forearm_axis[: k + 1, 1]).max())
    if rise > np.sin(np.radians(20.0)):
        return "full_swing"
    return "half_swing" if "shaft_level_down" in worked.events else "chip"


def closing_rates(worked: WorkedSwing) -> dict[EventName, ClosingRates]:
    """Both kinds of closing at shaft level and impact."""
    clock = worked.clean.time_s
    to_target = rotation_about(UP, -worked.heading)
    rate = to_target.apply(worked.clean.hand_rate)
    shaft = worked.turn.apply(worked.club.shaft)
    about = closing_about_shaft(rate, shaft)
    over = closing_over_ground(rate, worked.turn.apply(worked.club.normal))
    out: dict[EventName, ClosingRates] = {}
    names: tuple[EventName, ...] = ("shaft_level_down", "impact")
    for name in names:
        if name not in worked.events:
            continue
        when = worked.events[name].time_s
        known = worked.heading_sd is not None
        owed = None
        if name == "shaft_level_down" and known:
            tilt = float(np.interp(when, clock, np.unwrap(worked.face.edge_tilt)))
            owed = wrapped(closing_owed(tilt, worked.given.club.lie))
        out[name] = ClosingRates(
            float(np.interp(when, clock, about)), float(np.interp(when, clock, over)) if known else None, owed
        )
    return out


def traces(worked: WorkedSwing) -> SwingTraces:
    """Thinned arrays of a swing in the target frame."""
    clock = worked.clean.time_s
    step = max(1, round(1.0 / (TRACE_HZ * float(np.median(np.diff(clock))))))
    keep = np.unique(np.append(np.arange(worked.at, len(clock), step), len(clock) - 1))
    to_target = rotation_about(UP, -worked.heading)
    turn: Rotation = worked.turn[keep]
    return SwingTraces(
        clock[keep],
        worked.wrist.flexion[keep],
        worked.wrist.ulnar_deviation[keep],
        worked.wrist.axial[keep],
        worked.wrist_isb.flexion[keep],
        worked.wrist_isb.ulnar_deviation[keep],
        worked.wrist_isb.axial[keep],
        worked.roll[keep],
        to_target * worked.clean.forearm[keep],
        to_target * worked.clean.hand[keep],
        turn.apply(worked.club.shaft),
        turn.apply(worked.club.normal),
    )


def _no_address(session: Session, number: int, candidate: Candidate) -> Issue:
    when = float(session.recording.time_s[candidate.peak])
    return Issue(
        "no_still_address",
        "warning",
        f"swing {number}",
        f"Swing {number} at {when:.1f} s: expected a still address of 0.3 s before it, found none. Likely cause: the "
        "golfer started from a waggle or the recording was cut. Stand still for a moment before the next swing.",
    )

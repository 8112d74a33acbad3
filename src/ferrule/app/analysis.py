"""The work on one recording: bytes in, swings out. Pure: the same in the server, in a job process and in a test."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from ferrule.analysis.angles import AngleTrace, analyse_angles
from ferrule.analysis.markers import analyse_markers
from ferrule.analysis.recording import analyse_recording
from ferrule.analysis.recording_result import RecordingAnalysis
from ferrule.analysis.recording_session import protocol_of
from ferrule.analysis.swings import BLOW_RATE_HZ, SWING_RATE
from ferrule.app.calibration import CalibrationReport, report_of
from ferrule.app.sources import MarkerTracks, calibration_of, read_source
from ferrule.club.clubs import Club
from ferrule.coaching.quantities import EVENTS
from ferrule.errors import InputError, Issue, MissingExtraError
from ferrule.frames.handedness import Handedness
from ferrule.sensing.recording import PHASES, Recording
from ferrule.store.codec import pack_arrays

METHOD: Final = "3"
"""Version of the method. Raise it whenever the same bytes would give other numbers: kept results then are worked out anew."""

NO_BALL: Final = {
    "air_swing": "no ball was struck",
    "waggle": "a waggle",
    "chip": "a chip",
    "half_swing": "a half swing",
}
"""Swings that are kept but set aside from the start: the case is about full swings at a ball."""
CALIBRATION_PHASES: Final = tuple(p for p in PHASES if p not in {"address", "swing"})


@dataclass(frozen=True, slots=True)
class Contents:
    """What is in a file: `swings`, `calibration` or `both`; what it says about each step of the calibration."""

    kind: str
    report: CalibrationReport | None = None


@dataclass(frozen=True, slots=True)
class Task:
    """One recording to be worked out, with everything the result depends on."""

    content: bytes
    file_name: str
    handedness: Handedness
    club: Club
    profile: str | None = None
    mapping: Mapping[str, Any] | None = None
    calibration: bytes | None = None
    calibration_name: str = ""
    calibration_mapping: Mapping[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class RecordedSwing:
    """One swing found: its section of the machine interface, readings by glossary key (value, sd), packed traces.

    set_aside: why it is no ball for the case, or "".
    """

    number: int
    kind: str
    set_aside: str
    result: dict[str, Any]
    readings: dict[str, tuple[float, float]]
    traces: bytes


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a task. fault: why the recording cannot be used, in words, or None."""

    swings: tuple[RecordedSwing, ...]
    issues: tuple[dict[str, str], ...]
    fault: str | None = None


SETTLING_S: Final = 0.5
SURELY_A_SWING: Final = 15.0
"""Hand rate in rad/s that no calibration movement reaches."""


def look_into(
    content: bytes, file_name: str, profile: str | None = None, mapping: Mapping[str, Any] | None = None
) -> Contents:
    """Read a file to see whether it is a recording, and of what. Raises InputError in words."""
    recording, _ = read_source(content, file_name, mapping, profile)
    if not isinstance(recording, Recording):
        return Contents("swings")
    if recording.phase is not None and np.isin(recording.phase, CALIBRATION_PHASES).any():
        calibrating = np.isin(recording.phase, CALIBRATION_PHASES)
    else:
        calibrating = protocol_of(recording).covered(len(recording.time_s))
    if not calibrating.any():
        return Contents("swings")
    turning = np.linalg.norm(recording.hand.gyr, axis=1)
    # Between the movements the arm is swung about too; swings stand after the last of them, once the arm has come to rest.
    settled = recording.time_s > recording.time_s[np.flatnonzero(calibrating)[-1]] + SETTLING_S
    fast = (turning[settled] > SWING_RATE).any() or (turning[~calibrating] > SURELY_A_SWING).any()
    return Contents("both" if fast else "calibration", report_of(recording))


def work_out_recording(task: Task) -> Outcome:
    """Find and work out every swing. A recording that cannot be used is an outcome, not an error."""
    try:
        source, remarks = read_source(task.content, task.file_name, task.mapping, task.profile)
        if isinstance(source, AngleTrace):
            found, issues = _angle_swings(source, task)
        elif isinstance(source, MarkerTracks):
            analysis = analyse_markers(
                source.time_s, source.roles, handedness=task.handedness, club=task.club, neutral_s=source.neutral_s
            )
            found, issues = _swings(analysis, 0.0, task.handedness), analysis.issues
        else:
            calibration = None
            if task.calibration is not None:
                calibration = calibration_of(
                    task.calibration, task.calibration_name, task.calibration_mapping, task.profile
                )
            analysis = analyse_recording(
                source, handedness=task.handedness, club=task.club, calibration=calibration, profile=task.profile
            )
            found, issues = _swings(analysis, source.rate_hz, task.handedness), analysis.issues
    except (InputError, MissingExtraError) as error:
        faults = tuple(f.to_json() for f in error.faults) if isinstance(error, InputError) else ()
        return Outcome((), faults, str(error))
    told = [issue.to_json() for issue in (*remarks, *issues)]
    return Outcome(found, tuple(t for i, t in enumerate(told) if t not in told[:i]))


def _swings(analysis: RecordingAnalysis, rate_hz: float, handedness: Handedness) -> tuple[RecordedSwing, ...]:
    out = []
    for number, swing in enumerate(analysis.swings, 1):
        result = swing.to_json(handedness)
        out.append(
            RecordedSwing(
                number,
                swing.kind,
                _no_ball(swing.kind, rate_hz),
                result,
                readings_of(result),
                pack_arrays(trace_arrays(swing.traces)),
            )
        )
    return tuple(out)


def _angle_swings(trace: AngleTrace, task: Task) -> tuple[tuple[RecordedSwing, ...], tuple[Issue, ...]]:
    """Swings of ready-made angles: wrist only, the stretch from the first to the last event as traces."""
    analysis = analyse_angles(trace, handedness=task.handedness)
    out = []
    for number, swing in enumerate(analysis.swings, 1):
        result = swing.to_json()
        times = [e.value for e in swing.events.values()]
        inside = (trace.time_s >= min(times) - 0.2) & (trace.time_s <= max(times) + 0.2)
        arrays: dict[str, Any] = {"time_s": trace.time_s[inside]}
        arrays |= {angle: values[inside].astype(np.float32) for angle, values in trace.angles.items()}
        out.append(RecordedSwing(number, "full_swing", "", result, readings_of(result), pack_arrays(arrays)))
    return tuple(out), analysis.issues


def _no_ball(kind: str, rate_hz: float) -> str:
    if kind == "air_swing" and rate_hz < BLOW_RATE_HZ:
        return ""  # too slow a recording to hear a blow: the coach saw whether there was a ball
    return NO_BALL.get(kind, "")


def readings_of(result: Mapping[str, Any]) -> dict[str, tuple[float, float]]:
    """Readings by glossary key of one swing of the `analyse` answer: value and sd in the key's unit.

    A sensor's face is relative to the face at address; `how` = sensor says so to the model.
    """
    out: dict[str, tuple[float, float]] = {}
    for event in EVENTS:
        for name, entry in result.get("wrist", {}).get(event, {}).items():
            out[f"wrist.{event}.{name}"] = (float(entry["value"]), float(entry["sd"]))
    face = result.get("face", {})
    if "impact" in face:
        entry = face["impact"]["face_deg"]
        out["delivery.face_deg"] = (float(entry["value"]), float(entry["sd"]))
    if "shaft_level_down" in face:
        entry = face["shaft_level_down"]["edge_tilt_deg"]
        out["leading_edge_tilt_shaft_level_deg"] = (float(entry["value"]), float(entry["sd"]))
    return out


def trace_arrays(traces: Any) -> dict[str, Any]:
    """The arrays behind a swing for keeping, as 4-byte floats; rotations as quaternions, scalar last."""
    if traces is None:
        return {}
    out: dict[str, Any] = {}
    for name in traces.__slots__:
        value = getattr(traces, name)
        array = value.as_quat() if hasattr(value, "as_quat") else np.asarray(value)
        out[name] = array.astype(np.float64 if name == "time_s" else np.float32)
    return out

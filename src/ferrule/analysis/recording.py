"""From a recording to its swings: the one entry, `analyse_recording`."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.linalg import LinAlgError
from numpy.typing import NDArray

from ferrule.analysis.mounts import AddressGravity, find_slip
from ferrule.analysis.recording_doubt import draw_swing
from ferrule.analysis.recording_notes import recording_notes, swing_quality
from ferrule.analysis.recording_result import RecordingAnalysis, SwingAnalysis, waggle_analysis
from ferrule.analysis.recording_session import (
    SensorKnowledge,
    Session,
    aim_heading,
    know_sensors,
    mirrored,
    open_session,
    protocol_of,
    right_handed,
)
from ferrule.analysis.recording_swing import WorkedSwing, work_out_swing
from ferrule.analysis.swing_readings import swing_result
from ferrule.analysis.swing_worlds import SwingInput
from ferrule.analysis.swings import Candidate
from ferrule.analysis.waggles import find_waggle, swings_like_golf
from ferrule.club.clubs import Club
from ferrule.errors import InputError, Issue
from ferrule.frames.handedness import Handedness
from ferrule.sensing.profiles import PROFILES
from ferrule.sensing.protocol import tilt_sd
from ferrule.sensing.quality import Quality, check_clock, check_silence, prepare
from ferrule.sensing.recording import Recording
from ferrule.statistics.estimate import Estimate
from ferrule.swing.events import EventName

Floats = NDArray[np.float64]

AFTER: Final = 2.0
"""How long after its fastest moment a swing is followed at most, s."""
STAND: Final = 1.0
"""How much of the still address a swing's arrays begin with, s."""


@dataclass(frozen=True, eq=False, slots=True)
class _Given:
    """What all swings share."""

    session: Session
    trail: Session | None
    quality: Quality
    club: Club
    draws: int


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
    calibration movements with the same mount, when they are not in `recording` itself; profile: name of a kind of sensor
    in `ferrule.sensing.profiles`, for its filter delay; draws: size of the Monte Carlo for the doubts (0: none, all sds
    of angles are zero). The same input gives the same bytes. A fault of one swing is told and does not lose the others.
    Raises InputError when a sensor is silent, the clock does not run, or the profile is not known.
    """
    known = None
    if calibration is not None:
        lesson, _, _ = _ready(calibration, handedness, profile)
        known = know_sensors(lesson, protocol_of(lesson))
    ready, quality, checked = _ready(recording, handedness, profile)
    session = open_session(ready, known)
    given = _Given(session, _trail_session(ready, None), quality, club, draws)
    issues = recording_notes(session, quality, checked)
    swings: list[SwingAnalysis] = []
    addresses: dict[int, AddressGravity] = {}
    number = 0
    for candidate in session.candidates:
        from_address = candidate.address is not None and swings_like_golf(
            session.hand_run, candidate.address, candidate.peak
        )
        if not from_address:
            # stillness that the hand does not come back to (a finish, say) is no address
            if candidate.struck or candidate.rate > FAST:
                number += 1
                issues.append(_no_address(session, number, candidate))
            continue
        number += 1
        try:
            worked = work_out_swing(swing_input(session, candidate, club))
            swing, notes = _one_swing(given, number, worked)
        except (ValueError, LinAlgError, FloatingPointError) as error:
            issues.append(_failed(session, number, candidate, error))
            continue
        waggle = find_waggle(session.hand_run, candidate.address) if candidate.address else None
        if waggle is not None:
            swings.append(waggle_analysis(waggle.start_s, waggle.end_s))
        addresses[number] = AddressGravity(worked.given.forearm_up, worked.given.hand_up)
        swings.append(replace(swing, address_gravity=addresses[number]))
        issues += notes
    slip = find_slip(list(addresses.values()), list(addresses))
    issues += [slip.issue] if slip is not None else []
    if not swings and not any(issue.code == "no_still_address" for issue in issues):
        issues.append(_no_swing(session))
    differences = {}
    if session.calibration is not None:
        for name, axes in (("forearm", session.calibration.forearm), ("hand", session.calibration.hand)):
            if axes.pose_difference is not None:
                differences[name] = axes.pose_difference
    return RecordingAnalysis(
        handedness,
        tuple(swings),
        tuple(issues),
        Estimate(session.clock.late_s, session.clock.sd),
        session.calibration.source if session.calibration else "none",
        differences,
    )


FAST: Final = 8.0
"""Hand rate, rad/s, above which a movement without a still address before it is a swing for certain."""


def _ready(recording: Recording, handedness: Handedness, profile: str | None) -> tuple[Recording, Quality, list[Issue]]:
    """Checked, mended, on time and right-handed; what the checks said of the sensors."""
    silence = check_silence(recording)
    faults = [i for i in (*check_clock(recording.time_s), *silence) if i.severity == "fault"]
    if faults:
        raise InputError(faults)
    if profile is not None:
        if profile not in PROFILES:
            raise InputError.of(
                "unknown_profile",
                "profile",
                expected="one of " + ", ".join(PROFILES),
                got=profile,
                cause="a spelling mistake, or a kind of sensor that has no profile yet",
                do="Leave it out to use the signals as they are",
            )
        # both sensors' filters are late by the same amount: the events happened that much earlier
        recording = replace(recording, time_s=recording.time_s - PROFILES[profile].filter_delay)
    mended, quality = prepare(recording)
    return right_handed(mended, handedness), quality, silence


def _trail_session(recording: Recording, known: SensorKnowledge | None) -> Session | None:
    """The trail arm as a lead arm: mirrored, with the same code."""
    if recording.trail_forearm is None or recording.trail_hand is None:
        return None
    alone = replace(
        recording,
        forearm=recording.trail_forearm,
        hand=recording.trail_hand,
        trail_forearm=None,
        trail_hand=None,
    )
    return open_session(mirrored(alone), known)


def _one_swing(given: _Given, number: int, worked: WorkedSwing) -> tuple[SwingAnalysis, list[Issue]]:
    session = given.session
    drawn = None
    if given.draws > 0:
        drawn = draw_swing(worked, session.forearm, session.hand, given.draws)
    told = swing_quality(worked, session, given.quality, number)
    result = swing_result(number, worked, drawn, told)
    if given.trail is not None:
        result = replace(result, trail=_trail_wrist(given.trail, worked.given.candidate, worked, given.club))
    return result, list(told.issues)


def _trail_wrist(
    trail: Session, candidate: Candidate, worked: WorkedSwing, club: Club
) -> dict[EventName, tuple[Estimate, Estimate]]:
    """Flexion and ulnar deviation of the trail wrist at the lead side's events up to impact."""
    mine = work_out_swing(swing_input(trail, candidate, club))
    out: dict[EventName, tuple[Estimate, Estimate]] = {}
    sd = float(np.hypot(mine.given.mounts.pose_sd, mine.given.mounts.axis_sd))
    for name, event in worked.events.items():
        if name == "finish" or event.time_s > mine.clean.time_s[-1] + 1e-6:
            continue
        flexion, deviation = (
            float(np.interp(event.time_s, mine.clean.time_s, series))
            for series in (mine.wrist.flexion, mine.wrist.ulnar_deviation)
        )
        out[name] = (Estimate(flexion, sd), Estimate(deviation, sd))
    return out


def swing_input(session: Session, candidate: Candidate, club: Club) -> SwingInput:
    """Gather what one swing needs from the session."""
    address = candidate.address
    assert address is not None
    t = session.recording.time_s
    mounts, forearm_up, hand_up = session.mounts_at(address)
    at = address.high - 1
    end = t[candidate.peak] + AFTER
    for rest in session.rests:
        if rest.low > candidate.peak:
            end = min(end, t[rest.low] + 0.1)
            break
    return SwingInput(
        candidate,
        address.last(t, STAND).low,
        at,
        int(np.searchsorted(t, end)),
        session.forearm_run,
        session.hand_run,
        forearm_up,
        hand_up,
        mounts,
        (session.recording.forearm.acc, session.forearm.acc_bias),
        (session.recording.hand.acc, session.hand.acc_bias),
        (tilt_sd(session.forearm), tilt_sd(session.hand)),
        session.clock.late_s,
        session.clock.sd,
        aim_heading(session, mounts, (forearm_up, hand_up), at),
        club,
    )


def _when(session: Session, candidate: Candidate) -> float:
    return float(session.recording.time_s[candidate.peak])


def _no_address(session: Session, number: int, candidate: Candidate) -> Issue:
    return Issue(
        "no_still_address",
        "warning",
        f"swing {number}",
        f"Swing {number} at {_when(session, candidate):.1f} s: expected a still address of 0.3 s before it, got none."
        " Likely cause: the golfer went straight from a waggle into the swing, or the recording was cut."
        " Stand still for a moment before the next swing.",
    )


def _failed(session: Session, number: int, candidate: Candidate, error: Exception) -> Issue:
    return Issue(
        "swing_failed",
        "warning",
        f"swing {number}",
        f"Swing {number} at {_when(session, candidate):.1f} s could not be worked out ({error})."
        " The other swings are not affected.",
    )


def _no_swing(session: Session) -> Issue:
    length = float(session.recording.time_s[-1] - session.recording.time_s[0])
    return Issue(
        "no_swing",
        "warning",
        "",
        f"Expected a swing, got {length:.1f} s without one. Likely cause: the recording was started late or holds only the"
        " calibration. Record from the address to the finish.",
    )

"""What to say about a recording and about each of its swings: quality words, refusals, issues."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import Final

from ferrule.analysis.recording_session import Session
from ferrule.analysis.recording_swing import WorkedSwing
from ferrule.errors import Issue
from ferrule.sensing.quality import Quality, describe, quality_between
from ferrule.units import DEG

SLIP: Final = 8.0 * DEG
"""Angle between the flat-hand pose before and after the calibration that a golfer's own repetition does not explain:
a sensor has slipped (common practice)."""
LEVEL_FOREARM: Final = 0.35
"""Conditioning of the no-twist rule below which the forearm hangs too little for the wrist's zero to be told."""
HEADINGS_APART: Final = 8.0 * DEG
"""Disagreement of the two ways to bring forearm and hand into one world that is worth telling (simulation: 2 usual)."""
RINGING: Final = 0.15
"""A blow rings for this long, s."""
HEARD_LATE: Final = 0.002
"""Lateness of the hand's clock worth telling, s."""


@dataclass(frozen=True, slots=True)
class SwingTold:
    """words for the coach; until_s: readings after this are refused; widen: extra sd on readings, radians; issues."""

    words: tuple[str, ...]
    until_s: float
    widen: float
    issues: tuple[Issue, ...]


def recording_notes(session: Session, quality: Quality, checked: Sequence[Issue]) -> list[Issue]:
    """Issues about the recording as a whole. checked: what the checks of its clock and its sensors said of it as it came."""
    issues = [*describe(_without_blows(session, quality)), *checked]
    calibration = session.calibration
    if calibration is None:
        issues.append(
            Issue(
                "no_calibration",
                "warning",
                "",
                "No calibration was found: absolute wrist angles are uncertain by 15 degrees or more, changes within a"
                " swing hold to a few degrees. Likely cause: the calibration was recorded apart. Give it as calibration"
                " file, or record the guided one.",
            )
        )
    elif calibration.source == "pose_only":
        issues.append(
            Issue(
                "pose_only",
                "note",
                "",
                "The calibration has the flat hand but not both movements: absolute wrist angles are less certain. Turn"
                " the forearm and bend the wrist for 8 s each to make them better.",
            )
        )
    if calibration is not None:
        for name, axes in (("forearm", calibration.forearm), ("hand", calibration.hand)):
            apart = axes.pose_difference
            if apart is not None and apart > SLIP:
                issues.append(
                    Issue(
                        "sensor_slipped",
                        "warning",
                        name,
                        f"{name}: the flat-hand pose differs by {apart / DEG:.0f} degrees between beginning and end of the"
                        " calibration. Likely cause: the sensor slipped on the skin. Fasten it and calibrate again.",
                    )
                )
    if abs(session.clock.late_s) > HEARD_LATE and session.clock.sd < HEARD_LATE:
        late = session.clock.late_s
        issues.append(
            Issue(
                "clock_offset",
                "note",
                "hand",
                f"The hand sensor's clock runs {1000.0 * abs(late):.0f} ms {'late' if late > 0.0 else 'early'} against the"
                " forearm's. It was corrected.",
            )
        )
    if any(c.deaf for c in session.candidates):
        issues.append(
            Issue(
                "impact_refused",
                "warning",
                "time_s",
                f"Recorded at {session.recording.rate_hz:.0f} Hz: a soft strike cannot be told from an air swing and the"
                " instant of impact is not given. Likely cause: the sensors were set to a low rate. Record at 500 Hz.",
            )
        )
    return issues


def _without_blows(session: Session, quality: Quality) -> Quality:
    """A blow always takes the accelerometer beyond its range, and nothing is read there: not worth telling."""
    blows = [c.hand_blow.time_s for c in session.candidates if c.hand_blow is not None]

    def by_blow(start_s: float) -> bool:
        return any(-0.05 < start_s - blow < RINGING for blow in blows)

    return replace(quality, clips=tuple(c for c in quality.clips if c.signal != "acc" or not by_blow(c.span.start_s)))


def swing_quality(worked: WorkedSwing, session: Session, quality: Quality, number: int) -> SwingTold:
    """What is to be said about one swing, and what of it is refused."""
    start = worked.events["address"].time_s
    impact = worked.events.get("impact")
    end = impact.time_s if impact is not None else float(worked.clean.time_s[-1])
    span = quality_between(quality, start, end)
    words = list(span.words)
    issues: list[Issue] = []
    if span.angles_until_s < inf:
        issues.append(
            Issue(
                "angles_refused",
                "warning",
                f"swing {number}",
                f"Swing {number}: {span.words[0]}. Swing again; the other swings are not affected.",
            )
        )
    if session.calibration is None:
        words.append("no calibration: trust changes, not absolute angles")
    elif session.calibration.source == "pose_only":
        words.append("calibrated by the flat hand alone")
    if worked.twist_free < LEVEL_FOREARM:
        words.append("forearm too level at address: wrist angles are uncertain")
    if session.calibration is not None and abs(worked.fit.apart) > HEADINGS_APART:
        words.append(
            f"untwisted wrist and wrist acceleration disagree by {abs(worked.fit.apart) / DEG:.0f} degrees: check the"
            " calibration"
        )
    if worked.heading_sd is None:
        words.append("target direction unknown: face before impact is not told")
    elif worked.heading_how == "shaft":
        words.append("target direction from the shaft at address")
    if impact is None:
        words.append("impact not found")
    elif impact.how == "address_pose":
        words.append("no strike heard: impact is the return to the address pose")
    return SwingTold(tuple(words), span.angles_until_s, span.widen, tuple(issues))

"""The guided calibration: its steps, what each is for, and what a recording says about each of them.

Six steps of about 45 s in all. A recording of them is looked through when it is dropped in: which steps are there, how
well they were done, and whether the flat hand at the end is the flat hand at the start (else a sensor has slipped).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np

from ferrule.analysis.recording_notes import SLIP
from ferrule.analysis.recording_session import know_sensors, protocol_of
from ferrule.sensing.calibration import main_axis
from ferrule.sensing.protocol import POSES
from ferrule.sensing.recording import Phase, Recording
from ferrule.units import DEG

State = Literal["found", "poor", "slipped", "missing"]
CALIBRATION: Final = "calibration"
"""Key in a recording's remarks under which its report is kept."""
ONE_AXIS: Final = 0.85
"""Share of a movement about its main axis below which it is called wobbly (as the search for it: 0.9, less a little)."""
SHORTEST_S: Final[Mapping[Phase, float]] = {"forearm_rotation": 4.0, "flexion_extension": 4.0}
HOLD_S: Final = 1.0


@dataclass(frozen=True, slots=True)
class Step:
    """One step as it is asked for. skipped: what goes wrong without it."""

    phase: Phase
    title: str
    seconds: int
    do: str
    skipped: str


STEPS: Final[tuple[Step, ...]] = (
    Step(
        "table_rest", "Lie still on the table", 5,
        "Both sensors lie on the table, not touched, before they are strapped on.",
        "The sensors’ own drift is then taken from the moments the golfer stands still, and each swing is a little less sure.",
    ),
    Step(
        "aim", "Point at the target", 2,
        "Sensors on. Lead arm straight out, hand and forearm pointing at the target. Hold.",
        "Where the target lies is then only guessed from the shaft at address: the face before impact is three times as"
        " uncertain, or not given at all.",
    ),
    Step(
        "flat_hand", "Flat hand", 3,
        "Forearm and hand flat on the table or held level, palm down, wrist straight. Hold.",
        "Without it there is no zero for the wrist: how bowed or cupped it is stays unknown by 12 degrees and more. Only"
        " changes within a swing are left.",
    ),
    Step(
        "forearm_rotation", "Turn the forearm", 8,
        "Upper arm still, wrist straight. Turn the palm up and down, over and over, about once a second.",
        "The long axis of the forearm is then guessed from how the sensor sits: set and unset hold to about 12 degrees"
        " instead of 3.",
    ),
    Step(
        "flexion_extension", "Bend the wrist", 8,
        "Forearm held still, on the table edge or by the other hand. Bow and cup the wrist, over and over.",
        "The hinge of the wrist is then guessed: bowing and setting are mixed up, by about 12 degrees instead of 3.",
    ),
    Step(
        "flat_hand_end", "Flat hand once more", 3,
        "The same flat hand as before. Hold.",
        "Then nobody knows how well the pose repeats, and a sensor that slipped meanwhile is not noticed.",
    ),
)  # fmt: skip

SOURCES: Final[Mapping[str, tuple[str, str]]] = {
    "guided": (
        "All six steps",
        "Bowed or cupped, set or unset hold to about 3 degrees; changes within a swing to 1 or 2.",
    ),
    "pose_only": (
        "The flat hand alone",
        "Bowed or cupped hold about as well; set or unset only to about 10 degrees, because the hinge of the wrist is guessed.",
    ),
    "none": (
        "None at all",
        "Bowed, cupped, set and unset are off by about 10 degrees; changes within a swing hold to about 5.",
    ),
}
"""What can be told with each. Root mean square at top, shaft level and impact, 16 simulated lessons each at 500 Hz with the
usual faults of sensors: flexion 3.2, 3.3 and 11.6 degrees, deviation 3.2, 12.1 and 11.8, change of flexion 1.5, 1.4, 4.9."""


@dataclass(frozen=True, slots=True)
class StepReport:
    """What a recording says about one step. state: found, poor (found, but badly done), slipped, missing."""

    phase: str
    state: State
    said: str


@dataclass(frozen=True, slots=True)
class CalibrationReport:
    """source: guided, pose_only or none, as the analysis will take it; steps: in the order of the guide."""

    source: str
    steps: tuple[StepReport, ...]

    def to_json(self) -> dict[str, Any]:
        """As kept with the recording."""
        return {
            "source": self.source,
            "steps": [{"phase": s.phase, "state": s.state, "said": s.said} for s in self.steps],
        }


def report_from(given: Mapping[str, Any] | None) -> CalibrationReport | None:
    """A report as it was kept, or None."""
    if not isinstance(given, Mapping) or "steps" not in given:
        return None
    return CalibrationReport(given["source"], tuple(StepReport(**s) for s in given["steps"]))


def report_of(recording: Recording) -> CalibrationReport:
    """Look through a recording for the six steps."""
    protocol = protocol_of(recording)
    known = know_sensors(recording, protocol)
    source = known.calibration.source if known.calibration is not None else "none"
    time_s = recording.time_s
    steps: list[StepReport] = []
    for step in STEPS:
        window = protocol.get(step.phase)
        if window is None:
            steps.append(StepReport(step.phase, "missing", f"Not found. {step.skipped}"))
            continue
        lasted = float(time_s[window.high - 1] - time_s[window.low])
        if step.phase in POSES:
            short = lasted < HOLD_S
            words = f"Found, held for {lasted:.1f} s." + (" Hold it longer next time." if short else "")
            steps.append(StepReport(step.phase, "poor" if short else "found", words))
            continue
        sensor = recording.forearm if step.phase == "forearm_rotation" else recording.hand
        share = main_axis(sensor.gyr[window.low : window.high] - np.median(sensor.gyr, axis=0))[1]
        short = lasted < SHORTEST_S[step.phase]
        words = f"Found, {lasted:.0f} s, {100 * share:.0f} % of it about one axis."
        if share < ONE_AXIS:
            words += " It wobbled: keep everything else still."
        if short:
            words += " Go on for 8 seconds."
        steps.append(StepReport(step.phase, "poor" if short or share < ONE_AXIS else "found", words))
    apart = {} if known.calibration is None else {
        "forearm": known.calibration.forearm.pose_difference, "hand": known.calibration.hand.pose_difference,
    }  # fmt: skip
    return CalibrationReport(source, tuple(_repeated(s, apart) if s.phase == "flat_hand_end" else s for s in steps))


def _repeated(step: StepReport, apart: Mapping[str, float | None]) -> StepReport:
    """The flat hand at the end against the one at the start: the doubt to expect, or a slip."""
    told = {name: angle for name, angle in apart.items() if angle is not None}
    if step.state == "missing" or not told:
        return step
    words = " and ".join(f"{angle / DEG:.0f}° in the {name}" for name, angle in told.items())
    slipped = [name for name, angle in told.items() if angle > SLIP]
    if slipped:
        said = (
            f"Found, but it differs from the first by {words}: the sensor on the {slipped[0]} has slipped. Fasten it and"
            " calibrate again."
        )
        return StepReport(step.phase, "slipped", said)
    return StepReport(step.phase, step.state, f"{step.said} It differs from the first by {words}.")

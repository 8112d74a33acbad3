"""The guided calibration as curves: table, aim, flat hand, forearm rotation, flexion and extension, flat hand again."""

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from ferrule.sensing.recording import Phase
from ferrule.simulator.arm import Name, Score
from ferrule.simulator.curves import Wave
from ferrule.simulator.plans import CalibrationPlan
from ferrule.units import DEG

Floats = NDArray[np.float64]

FLAT_PRONATION = 75.0 * DEG
"""Pronation of the forearm from thumb-up with the hand flat, palm down (assumed)."""


@dataclass(frozen=True, slots=True)
class Labelled:
    """A stretch of the recording with a phase label, seconds."""

    phase: Phase
    start: float
    end: float


@dataclass(frozen=True, eq=False, slots=True)
class CalibrationErrors:
    """What went wrong in one calibration, radians.

    pose_*: error of the flat hand, first and repeated: forearm pitch, roll, heading; hand pitch, roll, heading.
    aim: the same for the aim pose, whose heading also carries the aim error `aim_heading` (+ left).
    forearm_axis, wrist_axis: axes about which the movements were really made, unit, in forearm and hand axes.
    """

    pose_first: Floats
    pose_repeated: Floats
    aim: Floats
    aim_heading: float
    forearm_axis: Floats
    wrist_axis: Floats


def draw_errors(plan: CalibrationPlan, rng: np.random.Generator) -> CalibrationErrors:
    """Draw the errors of one calibration."""
    habit = np.sqrt(0.6) * plan.pose * rng.standard_normal(6)
    first, repeated, aim = (habit + np.sqrt(0.4) * plan.pose * rng.standard_normal(6) for _ in range(3))
    a, b = plan.axis * rng.standard_normal(2), plan.axis * rng.standard_normal(2)
    forearm_axis = np.array([np.tan(a[0]), 1.0, np.tan(a[1])])
    wrist_axis = np.array([np.tan(b[0]), np.tan(b[1]), 1.0])
    return CalibrationErrors(
        first,
        repeated,
        aim,
        float(plan.aim * rng.standard_normal()),
        forearm_axis / np.linalg.norm(forearm_axis),
        wrist_axis / np.linalg.norm(wrist_axis),
    )


def held_out(errors: Floats, heading: float) -> dict[Name, float]:
    """The arm held out level, palm down, forearm and hand each off by its own errors (pitch, roll, heading)."""
    return {
        "heading": heading + float(errors[2]),
        "tilt": 0.0,
        "swing": pi / 2.0 + float(errors[0]),
        "roll": float(errors[1]),
        "flexion": float(errors[0] - errors[3]),
        "deviation": float(errors[5] - errors[2]),
        "axial": float(errors[1] - errors[4]),
        "pronation": FLAT_PRONATION,
        "shoulder_x": 0.0,
        "shoulder_y": 1.40,
        "shoulder_z": -0.50,
    }


def first_pose(plan: CalibrationPlan, errors: CalibrationErrors) -> dict[Name, float]:
    """Where the arm is while the sensors are strapped on."""
    if plan.aiming:
        return held_out(errors.aim, errors.aim_heading)
    return held_out(errors.pose_first, _HEADING)


_HEADING = 0.6
"""Where the arm points during the calibration, radians to the left of the target: it does not matter."""


def play(score: Score, plan: CalibrationPlan, errors: CalibrationErrors, start: float) -> tuple[list[Labelled], float]:
    """Add the movements to a score that stands in `first_pose`; returns the labelled stretches and the end (s)."""
    labels: list[Labelled] = []
    t = start
    if plan.aiming:
        labels.append(Labelled("aim", t + 0.1, t + 2.1))
        t += 2.2
        score.move_all(held_out(errors.pose_first, _HEADING), t, t + 1.3)
        t += 1.3
    if plan.flat_hand:
        labels.append(Labelled("flat_hand", t + 0.2, t + 3.2))
        t += 3.3
    if plan.movements:
        # Forearm rotation about the middle of its range; the pronation of the bones goes with it.
        middle = 45.0 * DEG
        score.move("roll", score.value["roll"] + middle, t, t + 0.9)
        score.move("pronation", FLAT_PRONATION - middle, t, t + 0.9)
        t += 1.0
        labels.append(Labelled("forearm_rotation", t, t + 8.0))
        score.wave("forearm_trial", Wave(52.0 * DEG, 0.65, 0.0, t, t + 8.0, 0.8))
        score.wave("pronation", Wave(-52.0 * DEG, 0.65, 0.0, t, t + 8.0, 0.8))
        t += 8.1
        score.move_all(held_out(errors.pose_first, _HEADING), t, t + 0.9)
        t += 1.0
        labels.append(Labelled("flexion_extension", t, t + 8.0))
        score.wave("wrist_trial", Wave(40.0 * DEG, 0.7, 0.0, t, t + 8.0, 0.8))
        # The forearm is held, not clamped.
        score.wave("swing", Wave(0.8 * DEG, 0.7, 1.0, t, t + 8.0, 0.8))
        score.wave("heading", Wave(0.5 * DEG, 0.35, 0.4, t, t + 8.0, 0.8))
        t += 8.1
    if plan.repeat:
        score.move_all(held_out(errors.pose_repeated, _HEADING), t, t + 1.2)
        t += 1.3
        labels.append(Labelled("flat_hand_end", t, t + 3.0))
        t += 3.1
    return labels, t

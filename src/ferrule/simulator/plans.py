"""What to simulate: swing patterns, single swings, and how carefully the sensors were calibrated.

All shapes of patterns are common practice without a published source (published mean lead-wrist angles by place in the
swing do not exist); they are examples to test against, not norms.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from ferrule.units import DEG

Pattern = Literal["neutral", "flexed_early", "flexed_in_transition", "cupped_and_flipped", "rolled_late"]
SwingKind = Literal["full", "half", "chip", "practice"]
Before = Literal["stand", "tee_ball", "walk"]


@dataclass(frozen=True, slots=True)
class PatternShape:
    """Typical angles of a pattern, degrees: mean, and scatter from swing to swing.

    flexion_*: lead-wrist flexion at address, top, in delivery (reached before the last release) and impact, through
    which it goes on. roll_top: forearm roll at the top. face, lean: at impact.
    """

    flexion_address: float
    flexion_top: float
    flexion_delivery: float
    flexion_impact: float
    roll_top: float
    face: float
    lean: float
    scatter: float
    face_scatter: float


PATTERNS: Final[dict[Pattern, PatternShape]] = {
    "neutral": PatternShape(-14.0, -10.0, -3.0, 3.0, -52.0, 0.0, 5.0, 1.5, 2.0),
    "flexed_early": PatternShape(-14.0, 9.0, 13.0, 9.0, -44.0, -0.5, 8.0, 1.5, 1.5),
    "flexed_in_transition": PatternShape(-14.0, -12.0, 9.0, 7.0, -52.0, 0.0, 7.0, 1.5, 1.5),
    "cupped_and_flipped": PatternShape(-15.0, -24.0, -15.0, -21.0, -54.0, 4.0, -2.0, 2.0, 3.5),
    "rolled_late": PatternShape(-14.0, -16.0, -11.0, -4.0, -66.0, 2.0, 4.0, 2.0, 3.5),
}


@dataclass(frozen=True, slots=True)
class SwingPlan:
    """One swing. What is None is drawn. Angles in radians, times in seconds.

    kind: a practice swing is a full one beside the ball. ball: False makes an air swing. strike: strength of the blow,
    1 for a full one. peak_hand_rate: rad/s, about 1200-2300 deg/s for full swings. face: at impact, + right of the
    target. lean: of the shaft in the inclined plane. handle_raise: toe down. face_address: how the club is set down.
    waggles: before the swing. still: how long the golfer stands still at address. before: what happens first.
    """

    kind: SwingKind = "full"
    ball: bool = True
    strike: float = 1.0
    pattern: Pattern | None = None
    time_up: float | None = None
    time_down: float | None = None
    peak_hand_rate: float | None = None
    face: float | None = None
    lean: float | None = None
    handle_raise: float | None = None
    face_address: float | None = None
    waggles: int = 0
    still: float = 1.5
    before: Before = "stand"


@dataclass(frozen=True, slots=True)
class CalibrationPlan:
    """The calibration movements and how wrong they are. Angles in radians, standard deviations per axis.

    pose: of the flat hand; of it, six tenths of the variance are the golfer's habit and the rest changes when the pose
    is repeated. axis: of the two movements. aim: heading of the aim pose. movements, table_rest, aiming, repeat: which
    parts are done. separate: in a recording of its own. labelled: with phase labels.
    """

    pose: float = 2.0 * DEG
    axis: float = 3.0 * DEG
    aim: float = 3.0 * DEG
    table_rest: bool = True
    aiming: bool = True
    flat_hand: bool = True
    movements: bool = True
    repeat: bool = True
    separate: bool = False
    labelled: bool = True

    @classmethod
    def usual(cls) -> "CalibrationPlan":
        """Guided, done once: pose within 2 deg, axes within 3."""
        return cls()

    @classmethod
    def best(cls) -> "CalibrationPlan":
        """Done with care: 1 and 1.5 deg."""
        return cls(pose=1.0 * DEG, axis=1.5 * DEG, aim=2.0 * DEG)

    @classmethod
    def sloppy(cls) -> "CalibrationPlan":
        """Done in a hurry: 4 and 6 deg."""
        return cls(pose=4.0 * DEG, axis=6.0 * DEG, aim=5.0 * DEG)

    @classmethod
    def perfect(cls) -> "CalibrationPlan":
        """Without any error."""
        return cls(pose=0.0, axis=0.0, aim=0.0)

    @classmethod
    def pose_only(cls) -> "CalibrationPlan":
        """The flat hand and nothing else (with the table rest)."""
        return cls(aiming=False, movements=False, repeat=False)

    @classmethod
    def none(cls) -> "CalibrationPlan":
        """No calibration at all: the recording starts at address."""
        return cls(table_rest=False, aiming=False, flat_hand=False, movements=False, repeat=False)


@dataclass(frozen=True, slots=True)
class Golfer:
    """What a golfer brings to every swing of a lesson, radians and seconds, drawn once."""

    flexion_habit: float
    deviation_address: float
    shaft_angle_address: float
    time_up: float
    time_down: float
    peak_hand_rate: float
    swing_top: float
    tilt_top: float
    face_habit: float
    lean_habit: float
    pronation_address: float


def draw_golfer(rng: np.random.Generator) -> Golfer:
    """Draw a golfer. The spreads are assumed."""
    n = rng.standard_normal
    return Golfer(
        flexion_habit=2.0 * DEG * n(),
        deviation_address=(18.0 + 2.0 * n()) * DEG,
        shaft_angle_address=(27.0 + 3.0 * n()) * DEG,
        time_up=rng.uniform(0.93, 1.07),
        time_down=rng.uniform(0.26, 0.29),
        peak_hand_rate=rng.uniform(1400.0, 1800.0) * DEG,
        swing_top=(-122.0 + 4.0 * n()) * DEG,
        tilt_top=(-34.0 + 3.0 * n()) * DEG,
        face_habit=1.0 * DEG * n(),
        lean_habit=1.0 * DEG * n(),
        pronation_address=(10.0 + 5.0 * n()) * DEG,
    )


@dataclass(frozen=True, slots=True)
class DrawnSwing:
    """A swing with every choice made; radians, seconds. Meanings as in `SwingPlan` and `PatternShape`."""

    plan: SwingPlan
    pattern: Pattern
    time_up: float
    time_down: float
    time_through: float
    peak_hand_rate: float | None
    flexion_address: float
    flexion_top: float
    flexion_delivery: float
    flexion_impact: float
    deviation_address: float
    deviation_top: float
    deviation_impact: float
    shaft_angle_address: float
    roll_top: float
    swing_top: float
    tilt_top: float
    swing_finish: float
    face: float
    lean: float
    handle_raise: float
    face_address: float
    path: float
    attack: float


_SIZE: Final[dict[SwingKind, float]] = {"full": 1.0, "practice": 1.0, "half": 0.66, "chip": 0.28}


def draw_swing(plan: SwingPlan, pattern: Pattern, golfer: Golfer, rng: np.random.Generator) -> DrawnSwing:
    """Make every choice of a swing: what the plan leaves open comes from the pattern, the golfer and chance."""
    chosen = plan.pattern or pattern
    shape = PATTERNS[chosen]
    n = rng.standard_normal
    size = _SIZE[plan.kind]
    small = plan.kind == "chip"

    def angle(mean: float, scatter: float) -> float:
        return float(mean + scatter * n()) * DEG

    flexion_address = angle(shape.flexion_address, 0.7) + golfer.flexion_habit
    top = angle(shape.flexion_top, shape.scatter) + golfer.flexion_habit
    delivery = angle(shape.flexion_delivery, shape.scatter) + golfer.flexion_habit
    impact = angle(shape.flexion_impact, shape.scatter) + golfer.flexion_habit
    deviation_address = golfer.deviation_address + angle(0.0, 0.7)
    deviation_top = deviation_address + size * (angle(-30.0, 1.5) - deviation_address)
    time_up, time_down = golfer.time_up + 0.02 * n(), golfer.time_down + 0.005 * n()
    peak = golfer.peak_hand_rate + 30.0 * DEG * n()
    face = angle(shape.face, shape.face_scatter) + golfer.face_habit
    lean = angle(shape.lean, 0.8) + golfer.lean_habit
    raise_ = angle(2.0, 0.8)
    set_down = angle(0.0, 0.8)
    path, attack = angle(0.0, 3.0), angle(-4.0, 1.0)
    return DrawnSwing(
        plan=plan,
        pattern=chosen,
        time_up=plan.time_up or (0.75 if small else 0.9 if plan.kind == "half" else 1.0) * time_up,
        time_down=plan.time_down or (1.35 if small else 1.1 if plan.kind == "half" else 1.0) * time_down,
        time_through=0.45 if small else 0.62 + 0.02 * n(),
        peak_hand_rate=plan.peak_hand_rate or (peak if size == 1.0 else None),
        flexion_address=flexion_address,
        flexion_top=flexion_address + size * (top - flexion_address),
        flexion_delivery=flexion_address + size * (delivery - flexion_address),
        flexion_impact=impact,
        deviation_address=deviation_address,
        deviation_top=deviation_top,
        deviation_impact=deviation_address + angle(1.0, 1.0),
        shaft_angle_address=golfer.shaft_angle_address,
        roll_top=size * angle(shape.roll_top, 2.0),
        swing_top=size * (golfer.swing_top + angle(0.0, 1.0)),
        tilt_top=golfer.tilt_top * min(1.0, 0.4 + 0.6 * size) + angle(0.0, 0.7),
        swing_finish=(130.0 * size + 2.0 * n()) * DEG,
        face=face if plan.face is None else plan.face,
        lean=lean if plan.lean is None else plan.lean,
        handle_raise=raise_ if plan.handle_raise is None else plan.handle_raise,
        face_address=set_down if plan.face_address is None else plan.face_address,
        path=path,
        attack=attack,
    )

"""A simulated lesson: calibration, swings and what lies between them, as two sensors saw it, with the exact truth."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.frames.handedness import Handedness, mirror_angular_velocity, mirror_rotation, mirror_vector
from ferrule.frames.wrist import wrist_angles
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.simulator.arm import ArmMotion, Name, Score
from ferrule.simulator.calibrating import CalibrationErrors, Labelled, draw_errors, first_pose, held_out, play
from ferrule.simulator.curves import Curve, Step, Wave
from ferrule.simulator.faults import DrawnFaults, Faults, draw_faults
from ferrule.simulator.grip import SimulatedClub
from ferrule.simulator.kinematics import Motion
from ferrule.simulator.plans import (
    CalibrationPlan,
    DrawnSwing,
    Golfer,
    Pattern,
    SwingPlan,
    draw_golfer,
    draw_swing,
)
from ferrule.simulator.swinging import BuiltSwing, build_swing, standing
from ferrule.simulator.synthesis import OffBody, SkinMotion, Strike, draw_wobble, observe
from ferrule.simulator.truth import Series, Truth, closing_rates, roll_along, swing_truth
from ferrule.units import DEG

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True)
class SimulatedLesson:
    """A recording with its truth; `calibration` is a recording of its own where the plan asked for one."""

    recording: Recording
    truth: Truth
    calibration: Recording | None = None


@dataclass(slots=True)
class _Script:
    """What happens in one recording."""

    score: Score
    end: float
    labels: list[Labelled]
    swings: list[BuiltSwing]
    lifted: float | None = None
    worn_from: float | None = None


def simulate_lesson(
    *,
    seed: int,
    pattern: Pattern = "neutral",
    rate_hz: float = 500.0,
    faults: Faults | None = None,
    swings: Sequence[SwingPlan] | None = None,
    calibration: CalibrationPlan | None = None,
    handedness: Handedness = "right",
    club: SimulatedClub | None = None,
    mount: int = 0,
) -> SimulatedLesson:
    """Simulate one lesson.

    seed: everything is drawn from it; the same arguments give the same bytes. pattern: of swings whose plan names none.
    faults: default nominal. swings: default one full swing with a ball. calibration: default usual. club: default a
    7-iron. A left-handed lesson is the exact mirror image of the right-handed one with the same seed. mount: another
    number is the same golfer with sensors put on and calibrated anew, swinging on.
    """
    faults = Faults.nominal() if faults is None else faults
    calibration = CalibrationPlan.usual() if calibration is None else calibration
    club = club or SimulatedClub()
    # One stream for each matter, so that changing one leaves the others as they were.
    body, sensors, errors_rng, noise = (np.random.default_rng(s) for s in np.random.SeedSequence(seed).spawn(4))
    golfer = draw_golfer(body)
    if mount:
        body, sensors, errors_rng, noise = (
            np.random.default_rng(s) for s in np.random.SeedSequence([seed, mount]).spawn(4)
        )
    planned = [draw_swing(plan, pattern, golfer, body) for plan in (swings if swings is not None else [SwingPlan()])]
    drawn = draw_faults(faults, sensors)
    errors = draw_errors(calibration, errors_rng)
    skin_seed = int(sensors.integers(2**32))
    wear = _Wear(faults, drawn, skin_seed, rate_hz, handedness, golfer, club, errors)

    alone: Recording | None = None
    if calibration.separate and _does_anything(calibration):
        alone = wear.record(_calibration_script(calibration, errors), noise)[0]
        calibration = CalibrationPlan.none()
    script = _calibration_script(calibration, errors) if _does_anything(calibration) else None
    script = _add_swings(script, planned, club, golfer, faults, body)
    recording, truth = wear.record(script, noise)
    return SimulatedLesson(recording, truth, alone)


def _does_anything(plan: CalibrationPlan) -> bool:
    return plan.table_rest or plan.aiming or plan.flat_hand or plan.movements or plan.repeat


def _calibration_script(plan: CalibrationPlan, errors: CalibrationErrors) -> _Script:
    score = Score.at(first_pose(plan, errors))
    script = _Script(score, 0.3, [], [])
    if plan.table_rest:
        script.labels.append(Labelled("table_rest", 0.0, 3.0))
        script.lifted, script.worn_from = 3.4, 6.4
        script.end = 6.6
    labels, script.end = play(score, plan, errors, script.end)
    script.labels += labels
    if not plan.labelled:
        script.labels = []
    script.end += 0.2
    return script


def _add_swings(
    script: _Script | None,
    planned: Sequence[DrawnSwing],
    club: SimulatedClub,
    golfer: Golfer,
    faults: Faults,
    rng: np.random.Generator,
) -> _Script:
    for drawn in planned:
        pose, _ = standing(drawn, club, golfer.pronation_address)
        pose |= {"heading": 0.0, "axial": 0.0}
        if script is None:
            script = _Script(Score.at(pose), 0.2, [], [])
        else:
            _walk_up(script, drawn, pose, rng)
        _stand_still(script, drawn, faults, rng)
        built = build_swing(drawn, club, script.end, golfer.pronation_address, faults.wrist_twist)
        script.score.take(built.score)
        script.swings.append(built)
        script.end = built.rest + 0.9
    if script is None:  # neither calibration nor swings: an arm held out
        script = _Script(Score.at(held_out(np.zeros(6), 0.0)), 2.0, [], [])
    script.end += 0.3
    return script


def _walk_up(script: _Script, drawn: DrawnSwing, pose: dict[Name, float], rng: np.random.Generator) -> None:
    """What a golfer does before a swing, ending at address."""
    score, t = script.score, script.end
    if drawn.plan.before != "stand":
        length = 5.0 if drawn.plan.before == "walk" else 4.0
        around: tuple[tuple[Name, float, float], ...] = (
            ("heading", 70.0, 0.25),
            ("swing", 25.0, 0.6),
            ("tilt", 15.0, 0.4),
            ("roll", 40.0, 0.5),
            ("flexion", 15.0, 0.8),
        )
        if drawn.plan.before == "tee_ball":
            around = (("heading", 20.0, 0.3), ("tilt", 30.0, 0.5), ("roll", 50.0, 0.7), ("flexion", 25.0, 0.9))
            score.wave("shoulder_y", Wave(-0.45, 0.125, 0.0, t, t + length, 0.8))
        for name, degrees, frequency in around:
            size, phase = rng.uniform(0.5, 1.0), rng.uniform(0.0, 2.0 * np.pi)
            score.wave(name, Wave(size * degrees * DEG, frequency, phase, t, t + length, 1.0))
        if drawn.plan.before == "walk":
            score.wave("shoulder_y", Wave(0.02, 1.8, 0.0, t, t + length, 0.5))
        t += length
    score.move_all(pose, t, t + 2.2)
    script.end = t + 2.3


def _stand_still(script: _Script, drawn: DrawnSwing, faults: Faults, rng: np.random.Generator) -> None:
    """Waggles, then a still stance that sways a little."""
    score, t = script.score, script.end
    if drawn.plan.waggles:
        length = 0.75 * drawn.plan.waggles + 0.8
        waggled: tuple[tuple[Name, float], ...] = (("deviation", 9.0), ("roll", 8.0), ("swing", 3.0), ("flexion", 4.0))
        for axis, degrees in waggled:
            frequency, phase = 1.33 * rng.uniform(0.9, 1.1), rng.uniform(0.0, 6.28)
            score.wave(axis, Wave(degrees * DEG, frequency, phase, t, t + length, 0.4))
        t += length + 0.1
    still = t + drawn.plan.still
    swaying: tuple[Name, ...] = ("tilt", "swing", "roll")
    for axis in swaying:
        for _ in range(2):
            frequency, phase = rng.uniform(0.3, 1.1), rng.uniform(0.0, 6.28)
            score.wave(axis, Wave(0.5 * faults.sway, frequency, phase, t - 0.3, still + 0.6, 0.5))
    script.end = still


@dataclass(frozen=True, eq=False, slots=True)
class _Wear:
    """Two sensors as worn for one lesson, and all that turns a script into a recording."""

    faults: Faults
    drawn: DrawnFaults
    skin_seed: int
    rate_hz: float
    handedness: Handedness
    golfer: Golfer
    club: SimulatedClub
    errors: CalibrationErrors

    def record(self, script: _Script, noise: np.random.Generator) -> tuple[Recording, Truth]:
        """The recording of a script and its truth."""
        time_s = np.arange(round(script.end * self.rate_hz) + 1) / self.rate_hz
        for gap in self.faults.gaps:
            time_s = time_s[(time_s < gap.start) | (time_s >= gap.start + gap.length)]
        motion = ArmMotion(script.score.curves(), self.errors.forearm_axis, self.errors.wrist_axis)
        forearm = self._sensor(script, motion, time_s, noise, hand=False)
        hand = self._sensor(script, motion, time_s, noise, hand=True)
        phase: NDArray[np.str_] | None = None
        if script.labels:
            phase = np.full(time_s.shape, "", dtype="<U20")
            for label in script.labels:
                phase[(time_s >= label.start) & (time_s < label.end)] = label.phase
        recording = Recording(
            time_s=time_s,
            forearm=forearm,
            hand=hand,
            phase=phase,
            gyr_range=self.faults.gyro_range if np.isfinite(self.faults.gyro_range) else None,
            acc_range=self.faults.acc_range if np.isfinite(self.faults.acc_range) else None,
            source="simulated",
        )
        return recording, self._truth(script, motion, time_s)

    def _sensor(
        self, script: _Script, motion: ArmMotion, time_s: Floats, noise: np.random.Generator, *, hand: bool
    ) -> SensorTrace:
        sensor = self.drawn.hand if hand else self.drawn.forearm
        peak = self.faults.wobble_hand if hand else self.faults.wobble_forearm
        skin_rng = np.random.default_rng([self.skin_seed, int(hand)])
        windows = [(b.first_motion + b.drawn.time_up - 0.1, b.impact + 0.55) for b in script.swings]
        twist = Curve(0.0) if hand else motion.curves["pronation"].scaled(1.0 - self.faults.skin_follow)
        name = "hand" if hand else "forearm"
        slips = []
        for slip in self.faults.slips:
            angle = float(np.linalg.norm(slip.turn))
            if slip.sensor == name and angle:
                curve = Curve(0.0, (Step(angle, slip.time_s, slip.time_s + 0.25),))
                slips.append((np.array(slip.turn) / angle, curve))
        skin = SkinMotion(twist, draw_wobble(peak, windows, skin_rng), tuple(slips))
        strikes = []
        for built in script.swings:
            plan = built.drawn.plan
            size = plan.strike * skin_rng.uniform(*self.faults.ringing) * (1.0 if hand else 0.5)
            if plan.ball and plan.kind != "practice":
                ring = plan.strike * self.faults.gyro_ringing * (1.0 if hand else 0.5)
                strikes.append(Strike(built.impact, size, ring))
        off = None if script.worn_from is None else _off_body(script, np.random.default_rng([self.skin_seed, 7 + hand]))
        wanted: Motion = motion.hand if hand else motion.forearm
        trace = observe(wanted, time_s, sensor, self.faults, noise, skin=skin, strikes=strikes, off_body=off)
        if self.handedness == "right":
            return trace
        return SensorTrace(mirror_vector(trace.acc), mirror_angular_velocity(trace.gyr))

    def _truth(self, script: _Script, motion: ArmMotion, time_s: Floats) -> Truth:
        return Truth(
            time_s=time_s,
            handedness=self.handedness,
            work_out=partial(self._series, script, motion, time_s),
            swings=tuple(swing_truth(b, self.club, self.handedness) for b in script.swings),
            golfer=self.golfer,
            club=self.club,
            faults=self.drawn,
            calibration=self.errors,
            phases=tuple(script.labels),
        )

    def _series(self, script: _Script, motion: ArmMotion, time_s: Floats) -> Series:
        forearm = motion.forearm(time_s)
        hand = motion.hand_on(forearm, time_s).rotation
        normal, shaft = np.zeros((time_s.size, 3)), np.zeros((time_s.size, 3))
        closing: dict[str, Floats] = {}
        starts = [0, *np.searchsorted(time_s, [b.rest for b in script.swings[:-1]]), time_s.size]
        for built, (first, last) in zip(script.swings, pairwise(starts), strict=False):
            club_turn = hand[first:last] * built.grip
            normal[first:last], shaft[first:last] = club_turn.apply(self.club.normal), club_turn.apply(self.club.shaft)
            for part, rate in closing_rates(motion, built.grip, self.club, time_s[first:last]).items():
                closing.setdefault(part, np.zeros(time_s.size))[first:last] = rate
        left = self.handedness == "left"
        return Series(
            forearm=mirror_rotation(forearm.rotation) if left else forearm.rotation,
            hand=mirror_rotation(hand) if left else hand,
            wrist=wrist_angles(forearm.rotation, hand, side="left", convention="axial_first"),
            wrist_isb=wrist_angles(forearm.rotation, hand, side="left", convention="isb"),
            forearm_roll=roll_along(motion, time_s),
            face_normal=mirror_vector(normal) if left else normal,
            shaft=mirror_vector(shaft) if left else shaft,
            closing_rate=closing,  # type: ignore[arg-type]
        )


def _off_body(script: _Script, rng: np.random.Generator) -> OffBody:
    """A sensor flat on a table, some way round, then handled and strapped on."""
    assert script.lifted is not None
    assert script.worn_from is not None
    lying = Rotation.from_euler("YXZ", [rng.uniform(-np.pi, np.pi), *(1.0 * DEG * rng.standard_normal(2))])
    upright = Rotation.from_euler("X", -np.pi / 2.0)  # the sensor's Z axis up
    lifted, worn = script.lifted, script.worn_from
    handling = [
        Curve(
            0.0,
            (Wave(rng.uniform(15.0, 40.0) * DEG, rng.uniform(0.6, 1.6), rng.uniform(0.0, 6.28), lifted, worn, 0.7),),
        )
        for _ in range(3)
    ]
    return OffBody(lying * upright, lifted, worn, (handling[0], handling[1], handling[2]))

"""The exact truth of a simulated lesson: orientations, wrist angles, forearm roll, club and events."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import simpson
from scipy.spatial.transform import Rotation

from ferrule.frames.handedness import (
    Handedness,
    mirror_rotation,
    mirror_vector,
    world_sign,
)
from ferrule.frames.wrist import WristAngles, wrist_angles
from ferrule.simulator.arm import ArmMotion
from ferrule.simulator.calibrating import CalibrationErrors, Labelled
from ferrule.simulator.faults import DrawnFaults
from ferrule.simulator.grip import SimulatedClub, face_azimuth
from ferrule.simulator.plans import Golfer, Pattern, SwingKind
from ferrule.simulator.swinging import BuiltSwing, EventName, find_events

Floats = NDArray[np.float64]
ClosingPart = Literal["flexion", "ulnar_deviation", "axial", "forearm_roll", "arm_and_body"]
CLOSING_PARTS: Final[tuple[ClosingPart, ...]] = (
    "flexion",
    "ulnar_deviation",
    "axial",
    "forearm_roll",
    "arm_and_body",
)


@dataclass(frozen=True, eq=False, slots=True)
class Instant:
    """Truth at one event. Angles in radians; directions are unit vectors in the target frame, shape (3,).

    flexion, ulnar_deviation, axial: axial-first; *_isb: ISB order. forearm_roll: since address, supination +.
    face: azimuth of the face, + right of the target; loft: of the face against the horizon. shaft: grip to head;
    toe: along the leading edge, heel to toe.
    """

    time_s: float
    flexion: float
    ulnar_deviation: float
    axial: float
    flexion_isb: float
    ulnar_deviation_isb: float
    axial_isb: float
    forearm_roll: float
    face: float
    loft: float
    face_normal: Floats
    shaft: Floats
    toe: Floats
    hand: Rotation


@dataclass(frozen=True, eq=False, slots=True)
class SwingTruth:
    """Truth of one swing. Times on the file's clock, s.

    events: see `ferrule.simulator.swinging.find_events`; a chip may lack the level events. at: truth at each event; at
    address it is the mean pose, sway aside. closing: between successive events, how far each part closed the face
    about the shaft, radians, closing +. grip: club to hand axes, constant. peak_hand_rate: rad/s, down to impact.
    """

    kind: SwingKind
    pattern: Pattern
    struck: bool
    events: dict[EventName, float]
    at: dict[EventName, Instant]
    closing: tuple[tuple[EventName, EventName, dict[ClosingPart, float]], ...]
    grip: Rotation
    peak_hand_rate: float
    path: float
    attack: float


@dataclass(frozen=True, eq=False, slots=True)
class Series:
    """Truth at each sample of a recording, in the target frame.

    forearm, hand: segment to world, n rotations. wrist, wrist_isb: both conventions. forearm_roll: integral of the
    forearm's rate along its own long axis from the first sample, supination +, radians. face_normal, shaft: shape
    (n, 3), the club gripped as in the nearest swing. closing_rate: about the shaft by each part, rad/s, closing +.
    """

    forearm: Rotation
    hand: Rotation
    wrist: WristAngles
    wrist_isb: WristAngles
    forearm_roll: Floats
    face_normal: Floats
    shaft: Floats
    closing_rate: dict[ClosingPart, Floats]


@dataclass(frozen=True, eq=False)
class Truth:
    """Truth of a recording, on its clock; what it is at each sample (see `Series`) is worked out when first asked for.

    swings: in order. faults, calibration: what was drawn. phases: the labelled stretches. All of a left-handed golfer
    is mirrored in Z: face and path keep + right of the target, body angles their anatomical sense.
    """

    time_s: Floats
    handedness: Handedness
    work_out: Callable[[], Series]
    swings: tuple[SwingTruth, ...]
    golfer: Golfer
    club: SimulatedClub
    faults: DrawnFaults
    calibration: CalibrationErrors
    phases: tuple[Labelled, ...] = field(default=())

    @cached_property
    def series(self) -> Series:
        """What is true at each sample."""
        return self.work_out()

    @property
    def forearm(self) -> Rotation:
        """See `Series`; so with all that follow."""
        return self.series.forearm

    @property
    def hand(self) -> Rotation:
        """Hand to world."""
        return self.series.hand

    @property
    def wrist(self) -> WristAngles:
        """Axial first."""
        return self.series.wrist

    @property
    def wrist_isb(self) -> WristAngles:
        """In ISB order."""
        return self.series.wrist_isb

    @property
    def forearm_roll(self) -> Floats:
        """Since the first sample."""
        return self.series.forearm_roll

    @property
    def face_normal(self) -> Floats:
        """Direction of the face."""
        return self.series.face_normal

    @property
    def shaft(self) -> Floats:
        """Grip to head."""
        return self.series.shaft

    @property
    def closing_rate(self) -> dict[ClosingPart, Floats]:
        """By part."""
        return self.series.closing_rate


def closing_rates(motion: ArmMotion, grip: Rotation, club: SimulatedClub, time_s: Floats) -> dict[ClosingPart, Floats]:
    """Rate about the shaft of each part at rising times, rad/s, closing +; they sum to that of the hand.

    The wrist's parts are its axial-first angles' rates along their instantaneous axes.
    """
    forearm = motion.forearm(time_s)
    hand = motion.hand_on(forearm, time_s)
    shaft = (hand.rotation * grip).apply(club.shaft)
    jets = motion.jets(time_s)
    long_axis = forearm.rotation.apply([0.0, 1.0, 0.0])
    flexion_axis = (forearm.rotation * Rotation.from_euler("Y", -jets["axial"].value[:, None])).apply([0.0, 0.0, 1.0])
    deviation_axis = hand.rotation.apply([1.0, 0.0, 0.0])
    roll_rate = np.sum(forearm.rate * long_axis, axis=1)

    def closing(rate: Floats, axis: Floats) -> Floats:
        return np.asarray(-rate * np.sum(axis * shaft, axis=1))

    roll = closing(roll_rate, long_axis)
    return {
        "flexion": closing(jets["flexion"].rate, flexion_axis),
        "ulnar_deviation": closing(-jets["deviation"].rate, deviation_axis),
        "axial": closing(-jets["axial"].rate, long_axis),
        "forearm_roll": roll,
        "arm_and_body": -np.sum(forearm.rate * shaft, axis=1) - roll,
    }


def roll_rate(motion: ArmMotion, time_s: Floats) -> Floats:
    """Rate of the forearm along its own long axis at rising times, rad/s, supination +."""
    forearm = motion.forearm(time_s)
    return np.asarray(forearm.rotation.inv().apply(forearm.rate)[:, 1])


def roll_along(motion: ArmMotion, time_s: Floats) -> Floats:
    """Integral of `roll_rate` from the first of rising times, radians, by Simpson's rule on each interval."""
    middles = 0.5 * (time_s[1:] + time_s[:-1])
    rate = roll_rate(motion, np.sort(np.concatenate([time_s, middles])))
    each = np.diff(time_s) / 6.0 * (rate[:-2:2] + 4.0 * rate[1:-1:2] + rate[2::2])
    return np.concatenate([[0.0], np.cumsum(each)])


def swing_truth(built: BuiltSwing, club: SimulatedClub, handedness: Handedness) -> SwingTruth:
    """Events and truth at them, of one built swing without sway."""
    motion = ArmMotion(built.score.curves())
    events = find_events(built, club)
    names = list(events)
    times = np.array([events[name] for name in names])
    forearm, hand = motion.forearm(times).rotation, motion.hand(times).rotation
    first = wrist_angles(forearm, hand, side="left", convention="axial_first")
    isb = wrist_angles(forearm, hand, side="left", convention="isb")
    club_turn = hand * built.grip
    dense = np.unique(np.concatenate([np.linspace(times[0], times[-1], 3001), times]))
    roll = np.interp(times, dense, roll_along(motion, dense))
    azimuth = world_sign(handedness) * face_azimuth(club_turn, club)
    normal, shaft, toe = (club_turn.apply(v) for v in (club.normal, club.shaft, np.array([0.0, 0.0, 1.0])))
    loft = np.arcsin(normal[:, 1])
    if handedness == "left":
        normal, shaft, toe, hand = (
            mirror_vector(normal),
            mirror_vector(shaft),
            mirror_vector(toe),
            mirror_rotation(hand),
        )
    at = {
        name: Instant(
            time_s=float(times[i]),
            flexion=float(first.flexion[i]),
            ulnar_deviation=float(first.ulnar_deviation[i]),
            axial=float(first.axial[i]),
            flexion_isb=float(isb.flexion[i]),
            ulnar_deviation_isb=float(isb.ulnar_deviation[i]),
            axial_isb=float(isb.axial[i]),
            forearm_roll=float(roll[i]),
            face=float(azimuth[i]),
            loft=float(loft[i]),
            face_normal=normal[i],
            shaft=shaft[i],
            toe=toe[i],
            hand=hand[i],
        )
        for i, name in enumerate(names)
    }
    closing = tuple((a, b, _closing_between(motion, built, club, events[a], events[b])) for a, b in pairwise(names))
    down = np.linspace(events["top"], events["impact"], 800)
    return SwingTruth(
        kind=built.drawn.plan.kind,
        pattern=built.drawn.pattern,
        struck=built.drawn.plan.ball and built.drawn.plan.kind != "practice",
        events=events,
        at=at,
        closing=closing,
        grip=built.grip if handedness == "right" else mirror_rotation(built.grip),
        peak_hand_rate=float(np.linalg.norm(motion.hand(down).rate, axis=1).max()),
        path=world_sign(handedness) * built.path,
        attack=built.attack,
    )


def _closing_between(
    motion: ArmMotion, built: BuiltSwing, club: SimulatedClub, start: float, end: float
) -> dict[ClosingPart, float]:
    t = np.linspace(start, end, 601)
    return {part: float(simpson(rate, x=t)) for part, rate in closing_rates(motion, built.grip, club, t).items()}

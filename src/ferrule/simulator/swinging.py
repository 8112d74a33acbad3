"""One swing as curves: address, backswing, downswing through the ball, finish; and its exact event times."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from ferrule.frames.handedness import Floats
from ferrule.simulator.arm import ArmMotion, Name, Score
from ferrule.simulator.curves import Step, Wave, step_through
from ferrule.simulator.grip import GRIP_IN_HAND, ArmPose, SimulatedClub, address_pose, impact_pose
from ferrule.simulator.plans import DrawnSwing
from ferrule.units import DEG

EventName = Literal["address", "takeaway", "top", "lead_arm_level_down", "shaft_level_down", "impact", "finish"]
EVENTS: Final[tuple[EventName, ...]] = (
    "address",
    "takeaway",
    "top",
    "lead_arm_level_down",
    "shaft_level_down",
    "impact",
    "finish",
)
TAKEAWAY_RATE: Final = 10.0 * DEG
"""The hand's rate (sway aside) that marks the takeaway, rad/s."""
FINISH_RATE: Final = 30.0 * DEG
"""The hand's rate (sway aside) below which the swing is finished, rad/s."""
ADDRESS_BEFORE: Final = 0.30
"""The address instant lies this long before the first motion, s."""
_NUDGE_AT_MOST: Final = 2000.0 * DEG
"""Largest rate by which tilt and deviation give the head its path and attack, rad/s: some 1000 deg/s at most is usual, and
where arm and club stand nearly in line at impact, no rate would do.
"""


@dataclass(frozen=True, eq=False, slots=True)
class BuiltSwing:
    """A swing's curves and nominal times (s): first motion, impact, rest; the grip (club to hand axes); path and attack of
    the head at impact, radians.
    """

    drawn: DrawnSwing
    score: Score
    grip: Rotation
    first_motion: float
    impact: float
    rest: float
    release: float
    path: float
    attack: float


def standing(drawn: DrawnSwing, club: SimulatedClub, pronation: float) -> tuple[dict[Name, float], Rotation]:
    """Coordinates at address, and the grip."""
    pose, grip = address_pose(
        club,
        flexion=drawn.flexion_address,
        deviation=drawn.deviation_address,
        shaft_angle=drawn.shaft_angle_address,
        face=drawn.face_address,
    )
    coordinates = _coordinates(pose) | {
        "flexion": drawn.flexion_address,
        "deviation": drawn.deviation_address,
        "pronation": pronation,
    }
    return coordinates, grip


def _coordinates(pose: ArmPose) -> dict[Name, float]:
    tilt, swing, roll = pose.arm_angles
    x, y, z = (float(v) for v in pose.shoulder)
    return {"tilt": tilt, "swing": swing, "roll": roll, "shoulder_x": x, "shoulder_y": y, "shoulder_z": z}


def build_swing(
    drawn: DrawnSwing, club: SimulatedClub, start: float, pronation: float, wrist_twist: float
) -> BuiltSwing:
    """Build a swing whose first motion is at `start`, released as late as the wanted peak hand rate asks for."""

    @cache
    def peak(release: float) -> float:
        built = _build(drawn, club, start, pronation, wrist_twist, release)
        t = np.linspace(built.impact - 0.15, built.impact + 0.05, 60)
        return float(np.linalg.norm(ArmMotion(built.score.curves()).hand(t).rate, axis=1).max())

    if drawn.peak_hand_rate is None:
        return _build(drawn, club, start, pronation, wrist_twist, 1.0)
    wanted = drawn.peak_hand_rate
    shortest, longest = 0.4, 3.5  # the shorter the release, the faster the hand
    if peak(longest) >= wanted:
        return _build(drawn, club, start, pronation, wrist_twist, longest)
    if peak(shortest) <= wanted:
        return _build(drawn, club, start, pronation, wrist_twist, shortest)
    release = brentq(lambda r: peak(r) - wanted, shortest, longest, xtol=1e-3)
    return _build(drawn, club, start, pronation, wrist_twist, release)


def _build(
    drawn: DrawnSwing, club: SimulatedClub, start: float, pronation: float, wrist_twist: float, release: float
) -> BuiltSwing:
    pose, grip = standing(drawn, club, pronation)
    down = _coordinates(
        impact_pose(
            club,
            grip,
            flexion=drawn.flexion_impact,
            deviation=drawn.deviation_impact,
            face=drawn.face,
            lean=drawn.lean,
            handle_raise=drawn.handle_raise,
        )
    )
    score = Score.at(pose)
    top = start + drawn.time_up
    impact = top + drawn.time_down
    rest = impact + drawn.time_through
    size = abs(drawn.swing_finish) / (130.0 * DEG)

    def through(name: Name, value: float, before: float, after: float, finish: float) -> None:
        begin = impact - before * drawn.time_down
        score.step(name, step_through(score.value[name], value, begin, impact, impact + after))
        score.move(name, finish, impact + 0.01, rest)

    # Up: arm, roll and wrist set, a little after one another; up and down overlap, so that nothing pauses at the top.
    score.move("swing", drawn.swing_top, start, top + 0.05)
    score.move("tilt", drawn.tilt_top, start + 0.05, top + 0.03)
    score.move("roll", pose["roll"] + drawn.roll_top, start + 0.05, top)
    score.move("deviation", drawn.deviation_top, start + 0.15, top + 0.03)
    score.move("flexion", drawn.flexion_top, start + 0.10, top)
    score.move("shoulder_x", pose["shoulder_x"] - 0.12 * size, start, top)
    score.move("shoulder_y", pose["shoulder_y"] - 0.04 * size, start, top)
    score.move("shoulder_z", pose["shoulder_z"] + 0.08 * size, start, top)
    # Through the ball. Every coordinate is at its impact value at `impact`.
    through("swing", down["swing"], 1.18, 0.12, drawn.swing_finish)
    through("tilt", down["tilt"], 1.10, 0.10, -30.0 * DEG * size)
    score.move("flexion", drawn.flexion_delivery, top - 0.05, impact - 0.02)
    late = release * drawn.time_down
    through("flexion", drawn.flexion_impact, min(0.28 * release, 0.6), 0.25 * late, -18.0 * DEG * size)
    through("deviation", drawn.deviation_impact, min(0.40 * release, 1.1), 0.16 * late, drawn.deviation_top * 0.6)
    through(
        "roll",
        down["roll"],
        min(0.40 * release**0.7, 1.0),
        0.26 * release**0.7 * drawn.time_down,
        pose["roll"] + 70.0 * DEG * size,
    )
    for name, gain in (("shoulder_x", 0.05), ("shoulder_y", 0.04), ("shoulder_z", -0.14)):
        axis: Name = name  # type: ignore[assignment]
        through(axis, down[axis], 1.0, 0.15, down[axis] + gain * size)
    path, attack = _aim_the_head(score, grip, club, drawn, impact)
    _follow_roll(score, pronation)
    if wrist_twist:
        score.move("axial", wrist_twist * size, start + 0.1, top + 0.05)
        score.move("axial", 0.0, impact - 0.15, impact + 0.05)
    return BuiltSwing(drawn, score, grip, start, impact, rest, release, path, attack)


def _aim_the_head(
    score: Score, grip: Rotation, club: SimulatedClub, drawn: DrawnSwing, impact: float
) -> tuple[float, float]:
    """Give the head its path and angle of attack at impact by the rates of tilt and deviation, values unchanged; what they
    come to, radians: as drawn, or nearer to the arm's own where that would take rates that no arm has.

    The head's velocity is linear in the rates of the coordinates, so two unit changes and one solution are exact.
    """
    head = GRIP_IN_HAND + grip.apply(club.shaft) * club.reach

    def nudge(rate: float) -> Wave:
        half, frequency = 0.18, 2.8
        return Wave(
            rate / (2.0 * np.pi * frequency),
            frequency,
            -2.0 * np.pi * frequency * half,
            impact - half,
            impact + half,
            half,
        )

    motion = ArmMotion(score.curves())
    jets = motion.jets(np.array([impact]))

    def head_velocity(tilt_rate: float, deviation_rate: float) -> Floats:
        tilt, deviation = jets["tilt"], jets["deviation"]
        changed = jets | {
            "tilt": replace(tilt, rate=tilt.rate + tilt_rate),
            "deviation": replace(deviation, rate=deviation.rate + deviation_rate),
        }
        return np.asarray(motion.hand_from(motion.forearm_from(changed), changed).at_point(head).velocity[0])

    def beyond(tilt_rate: float, deviation_rate: float) -> Floats:
        """What must vanish: the sideways and upward parts beyond those of the wanted direction."""
        v = head_velocity(tilt_rate, deviation_rate)
        return np.array([v[2] - v[0] * np.tan(drawn.path), v[1] - np.hypot(v[0], v[2]) * np.tan(drawn.attack)])

    rates = np.zeros(2)
    for _ in range(2):  # the second pass takes up the horizontal speed's square root
        now = beyond(*rates)
        slope = np.column_stack([beyond(*(rates + step)) - now for step in np.eye(2)])
        rates = rates - np.linalg.solve(slope, now)
    path, attack = drawn.path, drawn.attack
    too_much = float(np.abs(rates).max()) / _NUDGE_AT_MOST
    if too_much > 1.0:
        rates = rates / too_much
        x, y, z = head_velocity(*rates)
        path, attack = float(np.arctan2(z, x)), float(np.arctan2(y, np.hypot(x, z)))
    score.wave("tilt", nudge(float(rates[0])))
    score.wave("deviation", nudge(float(rates[1])))
    return path, attack


def _follow_roll(score: Score, pronation: float) -> None:
    """All roll of the swing is taken as pronation and supination of the forearm."""
    score.pieces["pronation"] += [
        Step(-p.amplitude, p.start, p.end) for p in score.pieces["roll"] if isinstance(p, Step)
    ]
    score.value["pronation"] = pronation - (score.value["roll"] - score.start["roll"])


def find_events(built: BuiltSwing, club: SimulatedClub) -> dict[EventName, float]:
    """Exact event times of a swing without sway, seconds.

    address: an instant in the still stance; takeaway: the hand's rate first passes 10 deg/s; top: the arm's swing turns
    round; lead arm level and shaft level: on the way down; impact: the head is at the ball; finish: the hand's rate
    falls below 30 deg/s.
    """
    motion = ArmMotion(built.score.curves())
    top_near = built.first_motion + built.drawn.time_up

    def swing_rate(t: Floats) -> Floats:
        return motion.curves["swing"].at(t).rate

    def arm_height(t: Floats) -> Floats:
        return motion.forearm(t).rotation.apply([0.0, -1.0, 0.0])[:, 1]

    def shaft_height(t: Floats) -> Floats:
        return np.asarray((motion.hand(t).rotation * built.grip).apply(club.shaft)[:, 1])

    def hand_rate(t: Floats) -> Floats:
        return np.asarray(np.linalg.norm(motion.hand(t).rate, axis=1))

    top = first_crossing(swing_rate, top_near - 0.2, built.impact, rising=True)
    events: dict[EventName, float] = {
        "address": built.first_motion - ADDRESS_BEFORE,
        "takeaway": first_crossing(
            lambda t: hand_rate(t) - TAKEAWAY_RATE, built.first_motion, top_near - 0.2, rising=True
        ),
        "top": top,
        "impact": built.impact,
        "finish": first_crossing(
            lambda t: hand_rate(t) - FINISH_RATE, built.impact + 0.2, built.rest + 0.05, rising=False
        ),
    }
    # A chip need not bring the arm or the shaft up to level: then there is no such event.
    for name, height in (("lead_arm_level_down", arm_height), ("shaft_level_down", shaft_height)):
        when = first_crossing(height, top, built.impact, rising=False)
        if np.isfinite(when):
            events[name] = when  # type: ignore[index]
    return {name: events[name] for name in EVENTS if name in events}


def first_crossing(f: Callable[[Floats], NDArray[np.float64]], start: float, end: float, *, rising: bool) -> float:
    """First time between two where f crosses zero in the given direction, to about a nanosecond; nan if it does not."""
    low, high = start, end
    for _ in range(4):
        t = np.linspace(low, high, 241)
        v = f(t) if rising else -f(t)
        found = np.flatnonzero((v[:-1] < 0.0) & (v[1:] >= 0.0))
        if not found.size:
            return float("nan")
        low, high = float(t[found[0]]), float(t[found[0] + 1])
    return 0.5 * (low + high)

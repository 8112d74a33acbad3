"""Sensor to segment: which way the forearm and the hand point inside their sensors.

From a flat-hand pose (palms down, wrist straight: volar is down) and two movements (turning the forearm: its long axis
is the main axis of its gyroscope; bending the wrist with the forearm still: the hand's flexion axis likewise). Pose and
movement disagree a little about the right angle between them: both orders of making them square are averaged, which
shares the disagreement. A main axis has no sign; the sign comes from the address, where forearm and hand hang.
"""

from dataclasses import dataclass, field
from math import asin, cos, sin, sqrt
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.signals.derivative import cross
from ferrule.signals.prefix import rotation_from_columns
from ferrule.units import DEG

Floats = NDArray[np.float64]
Source = Literal["guided", "pose_only", "none"]

POSE_SD: Final = 2.0 * DEG
"""How well a flat-hand pose repeats, per axis (assumed: a guided calibration done once)."""
AXIS_SD: Final = 3.0 * DEG
"""How well a movement shows the anatomical axis, per axis (same)."""
POSE_HABIT: Final = 0.6
"""Share of the pose's variance that a repetition does not average out: how this golfer holds a flat hand (assumed)."""
BEFORE: Final = 0.5
"""How many disagreements the usual care is worth before a calibration has shown its own (assumed)."""
CARELESS: Final = 2.5
"""The least care that is believed, against the usual: a sensor that slips between two poses is told, and no sign of it."""
WORN_SD: Final = 8.0 * DEG
"""How far a sensor worn as usual is turned against its segment, per axis: 6-20 degrees in all (same)."""


SKIN_FOLLOW: Final = 0.9
"""Share of pronation that the skin under a forearm sensor follows, where no movement has shown it (assumed)."""
STRAIGHT_SD: Final = 2.8 * DEG
"""How straight, in deviation, the wrist is held while the forearm turns: forearm and hand each off by `POSE_SD`."""
_LINE, _STRAIGHT = AXIS_SD**-2, STRAIGHT_SD**-2
LINK: Final = (
    _STRAIGHT / (_LINE + 2.0 * _STRAIGHT),
    (_LINE + _STRAIGHT) / (_LINE + 2.0 * _STRAIGHT),
)
"""Shares of forearm and hand in the angle between what turning and what bending show, by least squares."""
FLAT_TO_ADDRESS: Final = 65.0 * DEG
"""Supination from the flat-hand pose, palm down (about 75 pronated), to a golf address (about 10; both assumed)."""
FLAT_TO_ADDRESS_SD: Final = 10.0 * DEG


@dataclass(frozen=True, eq=False, slots=True)
class SegmentAxes:
    """What calibration saw of one segment, unit vectors in sensor axes, shape (3,).

    volar: palm side, from the pose. functional: main axis of the movement, sign open (forearm: its Y; hand: its Z);
    None when there was no movement. volar_end: the same pose at the end of the protocol, if repeated. turning: of the
    hand, its main axis while the forearm turned with the wrist straight (its Y, sign open), if it did.
    """

    volar: Floats
    functional: Floats | None
    volar_end: Floats | None = None
    turning: Floats | None = None

    @property
    def pose_difference(self) -> float | None:
        """Angle between the pose before and after, radians: the doubt to show, and the sign of a slip."""
        if self.volar_end is None:
            return None
        return float(np.arctan2(np.linalg.norm(cross(self.volar, self.volar_end)), self.volar @ self.volar_end))


@dataclass(frozen=True, eq=False, slots=True)
class Calibration:
    """Axes of both segments and where they come from. skin_follow: share of the forearm's turning that its sensor sees."""

    forearm: SegmentAxes
    hand: SegmentAxes
    source: Source
    skin_follow: float = SKIN_FOLLOW


def main_axis(gyr: Floats) -> tuple[Floats, float]:
    """Main axis of a turning movement and its share of the motion.

    gyr: rad/s, bias removed, shape (n, 3). Returns a unit vector of open sign, shape (3,), and the share of the squared
    rate that it explains (1: one axis only).
    """
    power, axes = np.linalg.eigh(gyr.T @ gyr)
    return np.asarray(axes[:, 2]), float(power[2] / max(float(power.sum()), 1e-30))


def squared(first: Floats, second: Floats, share: float = 0.5) -> tuple[Floats, Floats]:
    """Two nearly square unit vectors made square within their plane, shape (3,) each.

    share: how much of what is missing the first gives way, by how much less it is trusted: 0 keeps the first, 1 the
    second; a half is the average of both orders.
    """
    cosine = float(first @ second)
    square = second - cosine * first
    square /= sqrt(square @ square)
    missing = share * asin(min(max(cosine, -1.0), 1.0))
    return cos(missing) * first - sin(missing) * square, cos(missing) * square + sin(missing) * first


def forearm_mount(volar: Floats, long_axis: Floats, share: float = 0.5) -> Rotation:
    """Forearm axes in its sensor (segment to sensor) from volar X and long axis Y proximal, shape (3,) each."""
    x, y = squared(volar, long_axis, share)
    return rotation_from_columns(x, y, cross(x, y))


def hand_mount(volar: Floats, flexion_axis: Floats, share: float = 0.5) -> Rotation:
    """Hand axes in its sensor (segment to sensor) from volar X and flexion axis Z, shape (3,) each."""
    x, z = squared(volar, flexion_axis, share)
    return rotation_from_columns(x, cross(z, x), z)


def middle_volar(axes: SegmentAxes) -> Floats:
    """Volar axis from the pose before and after."""
    if axes.volar_end is None:
        return axes.volar
    both = axes.volar + axes.volar_end
    return np.asarray(both / np.linalg.norm(both))


@dataclass(frozen=True, eq=False, slots=True)
class MountAxes:
    """The four directions that fix both mounts, unit vectors in sensor axes, shape (3,), with their doubts in radians.

    forearm: volar X and long axis Y (proximal); hand: volar X and flexion axis Z. pose_sd, axis_sd: per axis.
    skin_lag: how far the skin under the forearm sensor has stayed behind (pronated) since the flat-hand pose, at address;
    skin_follow: share of the forearm's turning that it follows.
    linked: forearm and hand turned about one line while the wrist was straight, and their axes were fitted together.
    forearm, hand: axes of the segment in its sensor, from all this.
    """

    forearm_volar: Floats
    forearm_long: Floats
    hand_volar: Floats
    hand_flexion: Floats
    pose_sd: float
    axis_sd: float
    source: Source
    skin_lag: float = 0.0
    skin_lag_sd: float = 0.0
    linked: bool = False
    skin_follow: float = SKIN_FOLLOW
    forearm: Rotation = field(init=False)
    hand: Rotation = field(init=False)

    def __post_init__(self) -> None:
        # read many times in a swing: worked out once
        object.__setattr__(self, "forearm", forearm_mount(self.forearm_volar, self.forearm_long, self.share))
        object.__setattr__(self, "hand", hand_mount(self.hand_volar, self.hand_flexion, self.share))

    @property
    def share(self) -> float:
        """How much the pose gives way to the movement where they disagree."""
        return self.pose_sd**2 / (self.pose_sd**2 + self.axis_sd**2)

    def covariance(self, tilt_sds: tuple[float, float]) -> Floats:
        """Doubt of both mounts as small turns of each segment in its sensor, forearm's X, Y, Z and hand's, shape (6, 6).

        tilt_sds: of gravity as each sensor read it in the pose, radians.
        """
        if self.source == "none":
            return np.asarray(self.axis_sd**2 * np.eye(6))
        forearm_pose, hand_pose = (np.hypot(self.pose_sd, sd) for sd in tilt_sds)
        # skin that stays behind makes a line that is off look further off
        lagging, kept = 1.0 / SKIN_FOLLOW, 1.0 - self.share
        straight, (first, second) = self.axis_sd / AXIS_SD * STRAIGHT_SD, LINK if self.linked else (0.0, 1.0)
        # columns: lines of turning and bending about X; straight wrist; poses and lines about Y and Z
        parts = np.zeros((6, 9))
        parts[0, :3] = lagging - first, first, -first
        parts[3, :3] = 1.0 - second, second, 1.0 - second
        parts[1, 3] = parts[5, 7] = 1.0
        parts[2, 4:6] = kept, self.share * lagging
        parts[4, 6], parts[4, 8] = kept, self.share
        line = self.axis_sd
        parts *= [line, line, straight, forearm_pose, forearm_pose, line, hand_pose, hand_pose, line]
        return np.asarray(parts @ parts.T)


def mount_axes(calibration: Calibration | None, forearm_up: Floats, hand_up: Floats) -> MountAxes:
    """Axes of both mounts, signed by the address, where forearm and hand hang: proximal is up.

    forearm_up, hand_up: unit vertical at address in each sensor's axes, shape (3,). What no pose or movement has shown
    is taken from the usual way to wear the sensors (X to the palm, Y to the elbow), as long as the vertical does not
    contradict it, with the doubt that this deserves.
    """
    usual_forearm, usual_hand = _usual_mount(forearm_up), _usual_mount(hand_up)
    if calibration is None:
        return MountAxes(
            usual_forearm[:, 0],
            usual_forearm[:, 1],
            usual_hand[:, 0],
            usual_hand[:, 2],
            WORN_SD,
            WORN_SD,
            "none",
        )
    x_hand = middle_volar(calibration.hand)
    y = usual_forearm[:, 1] if calibration.forearm.functional is None else calibration.forearm.functional
    z = usual_hand[:, 2] if calibration.hand.functional is None else calibration.hand.functional
    y = y if y @ forearm_up >= 0.0 else -y
    z = z if cross(z, x_hand) @ hand_up >= 0.0 else -z
    care = _Care()
    for axes, line, line_sd in ((calibration.forearm, y, AXIS_SD / SKIN_FOLLOW), (calibration.hand, z, AXIS_SD)):
        if axes.pose_difference is not None:
            care.add(axes.pose_difference**2, 2.0 * (1.0 - POSE_HABIT) * POSE_SD**2, 2)
        if axes.functional is not None:
            care.add(float(line @ middle_volar(axes)) ** 2, POSE_SD**2 + line_sd**2)
    linked = calibration.source == "guided" and calibration.hand.turning is not None
    if linked:
        assert calibration.hand.turning is not None
        turned = calibration.hand.turning if calibration.hand.turning @ hand_up >= 0.0 else -calibration.hand.turning
        care.add(float(turned @ x_hand) ** 2, POSE_SD**2 + AXIS_SD**2)
        care.add(_apart(x_hand, z, turned) ** 2, 2.0 * AXIS_SD**2 + STRAIGHT_SD**2)
        y, z = _fitted_together(middle_volar(calibration.forearm), y, x_hand, z, turned)
    guided = calibration.source == "guided"
    repeated = calibration.forearm.volar_end is not None and calibration.hand.volar_end is not None
    pose_sd = POSE_SD * np.sqrt(POSE_HABIT + (1.0 - POSE_HABIT) * (0.5 if repeated else 1.0))
    return MountAxes(
        middle_volar(calibration.forearm),
        y,
        x_hand,
        z,
        care.factor * float(pose_sd),
        care.factor * AXIS_SD if guided else WORN_SD,
        calibration.source,
        (1.0 - calibration.skin_follow) * FLAT_TO_ADDRESS,
        (1.0 - calibration.skin_follow) * FLAT_TO_ADDRESS_SD + 0.01 * FLAT_TO_ADDRESS,
        linked,
        calibration.skin_follow,
    )


def _fitted_together(
    x_forearm: Floats, y_forearm: Floats, x_hand: Floats, z_hand: Floats, turned: Floats
) -> tuple[Floats, Floats]:
    """Forearm Y and hand Z about volar from three witnesses: forearm axis, hand axis, and a straight wrist.

    turned: the hand's main axis while the forearm turned, its Y if the wrist was straight and the line true. The angle
    about volar from it to what bending the wrist shows is shared by least squares.
    """
    apart = _apart(x_hand, z_hand, turned)
    forearm_part, hand_part = LINK
    y = Rotation.from_rotvec(forearm_part * apart * x_forearm).apply(y_forearm)
    z = Rotation.from_rotvec((hand_part - 1.0) * apart * x_hand).apply(z_hand)
    return np.asarray(y), np.asarray(z)


def _apart(x_hand: Floats, z_hand: Floats, turned: Floats) -> float:
    """Angle about volar from the hand's long axis as turning shows it to what bending shows, radians."""
    bent = cross(z_hand, x_hand)
    along = turned - (turned @ x_hand) * x_hand
    return float(np.arctan2(cross(along, bent) @ x_hand, along @ bent))


class _Care:
    """How carefully a calibration was done, from all that should agree in it: poses that repeat, lines that are square to
    the palm, a wrist that stays straight. `BEFORE` stands for what is known beforehand.
    """

    def __init__(self) -> None:
        self.squares, self.count = BEFORE, BEFORE

    def add(self, square: float, usual: float, count: int = 1) -> None:
        """One disagreement, squared, over what it is in a usual calibration, in so many directions."""
        self.squares += square / usual
        self.count += count

    @property
    def factor(self) -> float:
        """Sd of pose and lines against the usual ones; a spread told by few is itself uncertain, as in Student's t."""
        if self.count <= BEFORE:
            return 1.0
        return min(float(np.sqrt(self.squares / self.count)) * (1.0 + 1.0 / self.count), CARELESS)


def _usual_mount(up: Floats) -> Floats:
    """Segment axes in the sensor, as columns, when worn as usual; turned the shortest way if Y cannot be proximal."""
    if up[1] > 0.3:
        return np.eye(3)
    turn, _ = Rotation.align_vectors([up], [[0.0, 1.0, 0.0]])
    return np.asarray(turn.as_matrix())

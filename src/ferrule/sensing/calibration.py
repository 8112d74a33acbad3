"""Sensor to segment: which way the forearm and the hand point inside their sensors.

From a flat-hand pose (palms down, wrist straight: volar is down) and two movements (turning the forearm: its long axis
is the main axis of its gyroscope; bending the wrist with the forearm still: the hand's flexion axis likewise). Pose and
movement disagree a little about the right angle between them: both orders of making them square are averaged, which
shares the disagreement. A main axis has no sign; the sign comes from the address, where forearm and hand hang.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.units import DEG

Floats = NDArray[np.float64]
Source = Literal["guided", "pose_only", "none"]

POSE_SD: Final = 2.0 * DEG
"""How well a flat-hand pose repeats, per axis (signal-core figures: the usual calibration)."""
AXIS_SD: Final = 3.0 * DEG
"""How well a movement shows the anatomical axis, per axis (same)."""


@dataclass(frozen=True, eq=False, slots=True)
class SegmentAxes:
    """What calibration saw of one segment, unit vectors in sensor axes, shape (3,).

    volar: palm side, from the pose. functional: main axis of the movement, sign open (forearm: its Y; hand: its Z);
    None when there was no movement. volar_end: the same pose at the end of the protocol, if repeated.
    """

    volar: Floats
    functional: Floats | None
    volar_end: Floats | None = None

    @property
    def pose_difference(self) -> float | None:
        """Angle between the pose before and after, radians: the doubt to show, and the sign of a slip."""
        if self.volar_end is None:
            return None
        return float(np.arctan2(np.linalg.norm(np.cross(self.volar, self.volar_end)), self.volar @ self.volar_end))


@dataclass(frozen=True, eq=False, slots=True)
class Calibration:
    """Axes of both segments and where they come from."""

    forearm: SegmentAxes
    hand: SegmentAxes
    source: Source


def main_axis(gyr: Floats) -> tuple[Floats, float]:
    """Main axis of a turning movement and its share of the motion.

    gyr: rad/s, bias removed, shape (n, 3). Returns a unit vector of open sign, shape (3,), and the share of the squared
    rate that it explains (1: one axis only).
    """
    power, axes = np.linalg.eigh(gyr.T @ gyr)
    return np.asarray(axes[:, 2]), float(power[2] / max(float(power.sum()), 1e-30))


def squared_both_ways(first: Floats, second: Floats) -> tuple[Floats, Floats]:
    """Two nearly square unit vectors made square, each moved by half of what is missing; shape (..., 3) each."""
    plus, minus = first + second, first - second
    plus = plus / np.linalg.norm(plus, axis=-1, keepdims=True)
    minus = minus / np.linalg.norm(minus, axis=-1, keepdims=True)
    root = np.sqrt(0.5)
    return np.asarray((plus + minus) * root), np.asarray((plus - minus) * root)


def forearm_mount(volar: Floats, long_axis: Floats) -> Rotation:
    """Forearm axes in its sensor (segment to sensor) from volar X and long axis Y proximal, shape (..., 3) each."""
    x, y = squared_both_ways(volar, long_axis)
    return Rotation.from_matrix(np.stack((x, y, np.cross(x, y)), axis=-1))


def hand_mount(volar: Floats, flexion_axis: Floats) -> Rotation:
    """Hand axes in its sensor (segment to sensor) from volar X and flexion axis Z, shape (..., 3) each."""
    x, z = squared_both_ways(volar, flexion_axis)
    return Rotation.from_matrix(np.stack((x, np.cross(z, x), z), axis=-1))


def middle_volar(axes: SegmentAxes) -> Floats:
    """Volar axis from the pose before and after."""
    if axes.volar_end is None:
        return axes.volar
    both = axes.volar + axes.volar_end
    return np.asarray(both / np.linalg.norm(both))


def signed_axes(calibration: Calibration, forearm_up: Floats, hand_up: Floats) -> tuple[Floats, Floats]:
    """Forearm long axis (Y, proximal) and hand flexion axis (Z), sensor axes, with the sign that hanging gives.

    forearm_up, hand_up: the vertical at address in each sensor's axes, shape (3,). Proximal is up while the arm hangs.
    Without movements both are taken from the vertical itself (see `pose_only`).
    """
    x_hand = middle_volar(calibration.hand)
    y = forearm_up if calibration.forearm.functional is None else calibration.forearm.functional
    # without a movement: the hand hangs too, its proximal axis is up as nearly as square to volar allows
    z = np.cross(x_hand, hand_up) if calibration.hand.functional is None else calibration.hand.functional
    y = y if y @ forearm_up >= 0.0 else -y
    z = z if np.cross(z, x_hand) @ hand_up >= 0.0 else -z
    return np.asarray(y / np.linalg.norm(y)), np.asarray(z / np.linalg.norm(z))

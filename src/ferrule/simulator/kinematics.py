"""Rigid-body kinematics of a chain of turns: orientation, angular velocity and angular acceleration, exactly."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.interpolate import make_interp_spline
from scipy.spatial.transform import Rotation, RotationSpline

from ferrule.simulator.curves import Jet

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True)
class Turn:
    """A rotation about an axis fixed in the frame before it. axis: unit, shape (3,); angle in radians over time."""

    axis: Floats
    angle: Jet


@dataclass(frozen=True, eq=False, slots=True)
class Kinematics:
    """Motion of a rigid body at n instants, all vectors in the world, shape (n, 3).

    rotation: body to world; rate: angular velocity, rad/s; turning: angular acceleration, rad/s^2; position (m),
    velocity and acceleration (m/s^2) of its origin.
    """

    rotation: Rotation
    rate: Floats
    turning: Floats
    position: Floats
    velocity: Floats
    acceleration: Floats

    def at_point(self, lever: ArrayLike) -> "Kinematics":
        """The same body with its origin moved to `lever`, shape (3,), metres in the body."""
        arm = self.rotation.apply(np.asarray(lever, dtype=np.float64))
        swept = _crossed(self.rate, arm)
        return Kinematics(
            self.rotation,
            self.rate,
            self.turning,
            self.position + arm,
            self.velocity + swept,
            self.acceleration + _crossed(self.turning, arm) + _crossed(self.rate, swept),
        )

    def turned(self, steps: Sequence[Rotation | Turn]) -> "Kinematics":
        """A body that shares the origin and is turned against this one by further steps."""
        rotation, rate, turning = _continue(self.rotation, self.rate, self.turning, steps)
        return Kinematics(rotation, rate, turning, self.position, self.velocity, self.acceleration)


Motion = Callable[[Floats], Kinematics]
"""A motion: rising times in seconds, shape (n,), to kinematics."""


def chain(count: int, steps: Sequence[Rotation | Turn]) -> Kinematics:
    """Orientation after successive turns from the world outward; the origin rests at zero. count: instants."""
    zero = np.zeros((count, 3))
    start = Rotation.from_quat(np.tile([0.0, 0.0, 0.0, 1.0], (count, 1)))
    rotation, rate, turning = _continue(start, zero, zero, steps)
    return Kinematics(rotation, rate, turning, zero, zero, zero)


def _continue(
    rotation: Rotation, rate: Floats, turning: Floats, steps: Sequence[Rotation | Turn]
) -> tuple[Rotation, Floats, Floats]:
    q = rotation.as_quat()
    for step in steps:
        if isinstance(step, Rotation):
            q = _product(q, step.as_quat())
            continue
        axis = Rotation.from_quat(q).apply(step.axis)
        turning = turning + axis * step.angle.acceleration[:, None] + _crossed(rate, axis) * step.angle.rate[:, None]
        rate = rate + axis * step.angle.rate[:, None]
        half = 0.5 * step.angle.value[:, None]
        q = _product(q, np.concatenate([np.sin(half) * step.axis, np.cos(half)], axis=1))
    return Rotation.from_quat(q), rate, turning


def _crossed(a: Floats, b: Floats) -> Floats:
    """Cross products, shapes (n, 3): the same as `np.cross`, to the bit, several times as fast."""
    out = np.empty_like(a)
    (ax, ay, az), (bx, by, bz) = a.T, b.T
    out[:, 0] = ay * bz - az * by
    out[:, 1] = az * bx - ax * bz
    out[:, 2] = ax * by - ay * bx
    return out


def _product(p: Floats, q: Floats) -> Floats:
    """Quaternion product, scalar last, shapes (n, 4) and (n, 4) or (4,): four times faster than `Rotation * Rotation`."""
    x, y, z, w = p.T
    a, b, c, d = q.T
    return np.stack(
        [
            w * a + x * d + y * c - z * b,
            w * b - x * c + y * d + z * a,
            w * c + x * b - y * a + z * d,
            w * d - x * a - y * b - z * c,
        ],
        axis=-1,
    )


def motion_from_samples(time_s: ArrayLike, rotation: Rotation, position: ArrayLike) -> Motion:
    """Smooth motion through samples, for example of a motion capture.

    time_s: rising, shape (n,), n >= 6; rotation: body to world, n; position of the body's origin in metres, shape
    (n, 3). Orientation by a cubic rotation spline, position by a quintic spline: both twice continuously
    differentiable. Times outside the samples are held at the nearest end.
    """
    t = np.asarray(time_s, dtype=np.float64)
    turn = RotationSpline(t, rotation)
    place = make_interp_spline(t, np.asarray(position, dtype=np.float64), k=5)

    def motion(at: Floats) -> Kinematics:
        inside = np.clip(at, t[0], t[-1])
        moving = ((at >= t[0]) & (at <= t[-1]))[:, None]
        r = turn(inside)
        return Kinematics(
            r,
            r.apply(turn(inside, 1)) * moving,
            r.apply(turn(inside, 2)) * moving,
            np.asarray(place(inside)),
            np.asarray(place(inside, 1)) * moving,
            np.asarray(place(inside, 2)) * moving,
        )

    return motion

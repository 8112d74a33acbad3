"""How the ball leaves the face: speed, direction, spin; one launch or many."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Launch:
    """One launch: m/s, radians and rad/s.

    launch: up from level; azimuth: right of the target line; spin_rate: at least 0; axis_tilt: how far the spin axis
    dips to the right (a ball with a tilt to the right curves right); axis_heading: how far the level part of the axis
    points forward of square to the start line. A tracker gives no axis_heading and it is then 0; a face that rolls the
    ball along its own line gives a small one.
    """

    ball_speed: float
    launch: float
    azimuth: float = 0.0
    spin_rate: float = 0.0
    axis_tilt: float = 0.0
    axis_heading: float = 0.0


@dataclass(frozen=True, eq=False, slots=True)
class Launches:
    """Many launches, each field of shape (n,); see Launch."""

    ball_speed: Floats
    launch: Floats
    azimuth: Floats
    spin_rate: Floats
    axis_tilt: Floats
    axis_heading: Floats

    @classmethod
    def of(cls, launches: Sequence[Launch]) -> "Launches":
        """The launches as columns."""
        return cls(*(np.array([getattr(x, f.name) for x in launches], dtype=np.float64) for f in fields(Launch)))

    def __len__(self) -> int:
        return len(self.ball_speed)

    def __getitem__(self, i: int) -> Launch:
        return Launch(*(float(getattr(self, f.name)[i]) for f in fields(Launch)))

    def velocity(self) -> Floats:
        """Velocity in the target frame, shape (3, n)."""
        level = self.ball_speed * np.cos(self.launch)
        up = self.ball_speed * np.sin(self.launch)
        return np.stack([level * np.cos(self.azimuth), up, level * np.sin(self.azimuth)])

    def spin_axis(self) -> Floats:
        """Unit spin axis in the target frame, shape (3, n); pure backspin along X turns about +Z."""
        level, heading = np.cos(self.axis_tilt), self.azimuth - self.axis_heading
        return np.stack([-level * np.sin(heading), -np.sin(self.axis_tilt), level * np.cos(heading)])


def launches_from_vectors(velocity: Floats, spin: Floats) -> Launches:
    """Launches with that velocity (m/s) and spin vector (rad/s) in the target frame, both of shape (3, n)."""
    speed = np.sqrt(np.sum(velocity**2, axis=0))
    rate = np.sqrt(np.sum(spin**2, axis=0))
    azimuth = np.arctan2(velocity[2], velocity[0])
    spins = rate > 1e-12
    level = np.hypot(spin[0], spin[2])
    tilt = np.where(spins, np.arctan2(-spin[1], level), 0.0)
    # The axis of a ball hit straight at the sky, or spun about the vertical, has no level part to speak of.
    heading = np.where(level > 1e-9 * np.maximum(rate, 1.0), azimuth - np.arctan2(-spin[0], spin[2]), 0.0)
    heading = (heading + np.pi) % (2.0 * np.pi) - np.pi
    return Launches(speed, np.arctan2(velocity[1], np.hypot(velocity[0], velocity[2])), azimuth, rate, tilt, heading)

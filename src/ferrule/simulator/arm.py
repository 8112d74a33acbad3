"""The moving arm: curves over time to the kinematics of forearm, hand and club.

Forearm to world, outward from the world: heading about Y, tilt about X, swing about Z, half a turn about Y, roll about Y
(supination +), then the trial turn of the forearm movement. Distal direction at swing -90 deg: away from the target;
at +90: to the target; palm down there with roll 0. Forearm to hand: axial about Y, flexion about Z, deviation about X
(signs of a left wrist), then the trial turn of the flexion movement.
"""

from dataclasses import dataclass, field
from math import pi
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.frames.rotations import TARGET, UP
from ferrule.simulator.curves import Curve, Jet, Step, Wave
from ferrule.simulator.grip import ARM_LENGTH
from ferrule.simulator.kinematics import Kinematics, Turn, chain

Floats = NDArray[np.float64]
Name = Literal[
    "heading",
    "tilt",
    "swing",
    "roll",
    "flexion",
    "deviation",
    "axial",
    "pronation",
    "shoulder_x",
    "shoulder_y",
    "shoulder_z",
    "forearm_trial",
    "wrist_trial",
]
NAMES: Final[tuple[Name, ...]] = (
    "heading",
    "tilt",
    "swing",
    "roll",
    "flexion",
    "deviation",
    "axial",
    "pronation",
    "shoulder_x",
    "shoulder_y",
    "shoulder_z",
    "forearm_trial",
    "wrist_trial",
)
_X, _Y, _Z = np.eye(3)
_HALF_TURN: Final = Rotation.from_euler("Y", pi)


@dataclass(frozen=True, eq=False, slots=True)
class ArmMotion:
    """Curves of all coordinates, and the axes of the two calibration movements (unit, in forearm and hand axes)."""

    curves: dict[Name, Curve]
    forearm_axis: Floats = field(default_factory=_Y.copy)
    wrist_axis: Floats = field(default_factory=_Z.copy)

    def forearm(self, time_s: Floats) -> Kinematics:
        """Forearm at rising times, its origin at the wrist centre."""
        return self.forearm_from(self.jets(time_s))

    def forearm_from(self, j: dict[Name, Jet]) -> Kinematics:
        """Forearm from coordinates already worked out."""
        turned = chain(
            j["swing"].value.size,
            [
                Turn(np.array(UP), j["heading"]),
                Turn(np.array(TARGET), j["tilt"]),
                Turn(_Z, j["swing"]),
                _HALF_TURN,
                Turn(_Y, j["roll"]),
                Turn(self.forearm_axis, j["forearm_trial"]),
            ],
        )
        shoulder = [j["shoulder_x"], j["shoulder_y"], j["shoulder_z"]]
        at_shoulder = Kinematics(
            turned.rotation,
            turned.rate,
            turned.turning,
            np.column_stack([s.value for s in shoulder]),
            np.column_stack([s.rate for s in shoulder]),
            np.column_stack([s.acceleration for s in shoulder]),
        )
        return at_shoulder.at_point([0.0, -ARM_LENGTH, 0.0])

    def hand(self, time_s: Floats) -> Kinematics:
        """Hand at rising times, its origin at the wrist centre."""
        j = self.jets(time_s)
        return self.hand_from(self.forearm_from(j), j)

    def hand_on(self, forearm: Kinematics, time_s: Floats) -> Kinematics:
        """Hand on a forearm already worked out for the same times."""
        return self.hand_from(forearm, self.jets(time_s))

    def hand_from(self, forearm: Kinematics, j: dict[Name, Jet]) -> Kinematics:
        """Hand on a forearm, from coordinates already worked out."""
        return forearm.turned(
            [
                Turn(_Y, j["axial"].scaled(-1.0)),
                Turn(_Z, j["flexion"]),
                Turn(_X, j["deviation"].scaled(-1.0)),
                Turn(self.wrist_axis, j["wrist_trial"]),
            ]
        )

    def jets(self, time_s: Floats) -> dict[Name, Jet]:
        """All coordinates with their derivatives at rising times."""
        return {name: curve.at(time_s) for name, curve in self.curves.items()}


@dataclass(slots=True)
class Score:
    """Curves under construction: where each coordinate stands, and the pieces so far."""

    start: dict[Name, float] = field(default_factory=lambda: dict.fromkeys(NAMES, 0.0))
    value: dict[Name, float] = field(default_factory=lambda: dict.fromkeys(NAMES, 0.0))
    pieces: dict[Name, list[Step | Wave]] = field(default_factory=lambda: {name: [] for name in NAMES})

    @classmethod
    def at(cls, pose: dict[Name, float]) -> "Score":
        """Start from a pose; coordinates left out are zero."""
        full = dict.fromkeys(NAMES, 0.0) | pose
        return cls(dict(full), dict(full))

    def move(self, name: Name, to: float, start: float, end: float) -> None:
        """Move a coordinate from where it stands to a value, between two times."""
        if to != self.value[name]:
            self.pieces[name].append(Step(to - self.value[name], start, end))
            self.value[name] = to

    def move_all(self, pose: dict[Name, float], start: float, end: float) -> None:
        """Move several coordinates together."""
        for name, to in pose.items():
            self.move(name, to, start, end)

    def step(self, name: Name, step: Step) -> None:
        """Add a step made elsewhere."""
        self.pieces[name].append(step)
        self.value[name] += step.amplitude

    def wave(self, name: Name, wave: Wave) -> None:
        """Add a wave; the coordinate stands afterwards where it stood before."""
        if wave.amplitude:
            self.pieces[name].append(wave)

    def take(self, other: "Score") -> None:
        """Go on with another score that started where this one stands."""
        for name in NAMES:
            self.pieces[name] += other.pieces[name]
            self.value[name] = other.value[name]

    def curves(self) -> dict[Name, Curve]:
        """The finished curves."""
        return {name: Curve(self.start[name], tuple(self.pieces[name])) for name in NAMES}

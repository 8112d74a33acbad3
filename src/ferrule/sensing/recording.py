"""A recording: what the sensors on forearm and hand gave, in SI units, on the clock of the file."""

from dataclasses import dataclass, field
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.signals.derivative import usual_step

Floats = NDArray[np.float64]
Phase = Literal[
    "table_rest", "aim", "flat_hand", "forearm_rotation", "flexion_extension", "flat_hand_end", "address", "swing"
]
PHASES: Final[tuple[Phase, ...]] = (
    "table_rest",
    "aim",
    "flat_hand",
    "forearm_rotation",
    "flexion_extension",
    "flat_hand_end",
    "address",
    "swing",
)


@dataclass(frozen=True, eq=False, slots=True)
class SensorTrace:
    """One sensor. acc: specific force in m/s^2, shape (n, 3), reading +g upwards at rest; gyr: rad/s, shape (n, 3)."""

    acc: Floats
    gyr: Floats


@dataclass(frozen=True, eq=False, slots=True)
class Recording:
    """Signals of one file. time_s: shape (n,), seconds, rising, the file's own clock.

    forearm, hand: the lead side. trail_forearm, trail_hand: the trail side where it was worn. phase: shape (n,) of
    strings from `PHASES` or "" where unlabelled; None when the file has no labels. gyr_range, acc_range: full scale of
    the device in rad/s and m/s^2 where known, for clipping.
    """

    time_s: Floats
    forearm: SensorTrace
    hand: SensorTrace
    trail_forearm: SensorTrace | None = None
    trail_hand: SensorTrace | None = None
    phase: NDArray[np.str_] | None = None
    gyr_range: float | None = None
    acc_range: float | None = None
    source: str = field(default="")

    @property
    def rate_hz(self) -> float:
        """Median sample rate."""
        return 1.0 / usual_step(self.time_s)

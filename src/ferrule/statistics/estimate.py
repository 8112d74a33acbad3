"""A number with its doubt."""

from dataclasses import dataclass
from math import isfinite

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its standard deviation, both in the same unit (named by whoever holds the estimate)."""

    value: float
    sd: float

    def __post_init__(self) -> None:
        if not (isfinite(self.value) and isfinite(self.sd) and self.sd >= 0.0):
            raise ValueError(f"an estimate needs a finite value and a finite sd >= 0, got {self.value!r}, {self.sd!r}")

    def to_json(self) -> dict[str, float]:
        """As `{"value": ..., "sd": ...}`."""
        return {"value": self.value, "sd": self.sd}

    def interval(self, z: float = 1.645) -> tuple[float, float]:
        """Lower and upper bound at z standard deviations (1.645: the central 90 % of a normal)."""
        return self.value - z * self.sd, self.value + z * self.sd


def weighted_estimates(values: Floats, weight: Floats) -> list[Estimate]:
    """Mean and standard deviation of each row, shape (k, n), over points with these weights, (n,), which sum to 1."""
    mean = values @ weight
    sd = np.sqrt((values - mean[:, None]) ** 2 @ weight)
    return [Estimate(m, s) for m, s in zip(mean.tolist(), sd.tolist(), strict=True)]

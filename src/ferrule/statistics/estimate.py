"""A number with its doubt."""

from dataclasses import dataclass
from math import isfinite


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

"""Smooth scalar curves with exact derivatives: sums of smooth steps and of windowed waves.

Every joint angle and every coordinate of the shoulder in the simulator is such a curve, so that angular velocities and
accelerations are exact derivatives and never finite differences. The step is the polynomial 35 s^4 - 84 s^5 + 70 s^6
- 20 s^7, whose first three derivatives vanish at both ends; curves are therefore three times continuously
differentiable.
"""

from dataclasses import dataclass, replace
from math import pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def smooth_step(s: ArrayLike) -> Floats:
    """The step itself, 0 for s <= 0 and 1 for s >= 1, any shape."""
    c = np.clip(np.asarray(s, dtype=np.float64), 0.0, 1.0)
    return np.asarray(c**4 * (35.0 + c * (-84.0 + c * (70.0 - 20.0 * c))))


def _smooth_step_derivatives(s: Floats) -> tuple[Floats, Floats]:
    """First and second derivative with respect to s, for s within [0, 1]."""
    rest = 1.0 - s
    return 140.0 * (s * rest) ** 3, 420.0 * (s * rest) ** 2 * (1.0 - 2.0 * s)


@dataclass(frozen=True, eq=False, slots=True)
class Jet:
    """A scalar over time with its first two derivatives, each of shape (n,)."""

    value: Floats
    rate: Floats
    acceleration: Floats

    def __add__(self, other: "Jet") -> "Jet":
        """Sum of two scalars."""
        return Jet(self.value + other.value, self.rate + other.rate, self.acceleration + other.acceleration)

    def scaled(self, factor: float) -> "Jet":
        """The scalar times a constant."""
        return Jet(factor * self.value, factor * self.rate, factor * self.acceleration)


@dataclass(frozen=True, slots=True)
class Step:
    """A change by `amplitude` that begins at `start` and is complete at `end` (seconds)."""

    amplitude: float
    start: float
    end: float

    def add_to(self, time_s: Floats, value: Floats, rate: Floats, acceleration: Floats) -> None:
        """Add this step at rising times, in place."""
        first, last = np.searchsorted(time_s, [self.start, self.end])
        length = self.end - self.start
        s = (time_s[first:last] - self.start) / length
        slope, bend = _smooth_step_derivatives(s)
        value[first:last] += self.amplitude * smooth_step(s)
        value[last:] += self.amplitude
        rate[first:last] += self.amplitude / length * slope
        acceleration[first:last] += self.amplitude / length**2 * bend


@dataclass(frozen=True, slots=True)
class Wave:
    """A sine of `frequency` hertz that swells over `ramp` seconds after `start` and fades over `ramp` before `end`."""

    amplitude: float
    frequency: float
    phase: float
    start: float
    end: float
    ramp: float

    def add_to(self, time_s: Floats, value: Floats, rate: Floats, acceleration: Floats) -> None:
        """Add this wave at rising times, in place."""
        first, last = np.searchsorted(time_s, [self.start, self.end])
        t = time_s[first:last]
        e0, e1, e2 = _window(t, self.start, self.end, self.ramp)
        w = 2.0 * pi * self.frequency
        sine = self.amplitude * np.sin(w * (t - self.start) + self.phase)
        cosine = self.amplitude * w * np.cos(w * (t - self.start) + self.phase)
        value[first:last] += e0 * sine
        rate[first:last] += e1 * sine + e0 * cosine
        acceleration[first:last] += (e2 - e0 * w**2) * sine + 2.0 * e1 * cosine


def _window(t: Floats, start: float, end: float, ramp: float) -> tuple[Floats, Floats, Floats]:
    """Window that rises from 0 to 1 and falls back, and its first two derivatives."""
    up = np.clip((t - start) / ramp, 0.0, 1.0)
    down = np.clip((end - t) / ramp, 0.0, 1.0)
    u0, d0 = smooth_step(up), smooth_step(down)
    u1, u2 = _smooth_step_derivatives(up)
    d1, d2 = _smooth_step_derivatives(down)
    u1, u2, d1, d2 = u1 / ramp, u2 / ramp**2, -d1 / ramp, d2 / ramp**2
    return u0 * d0, u1 * d0 + u0 * d1, u2 * d0 + 2.0 * u1 * d1 + u0 * d2


@dataclass(frozen=True, slots=True)
class Curve:
    """A scalar curve: a constant plus pieces."""

    constant: float
    pieces: tuple[Step | Wave, ...] = ()

    def at(self, time_s: Floats) -> Jet:
        """Value and two derivatives at rising times, shape (n,)."""
        value = np.full(time_s.shape, self.constant)
        rate = np.zeros_like(value)
        acceleration = np.zeros_like(value)
        for piece in self.pieces:
            piece.add_to(time_s, value, rate, acceleration)
        return Jet(value, rate, acceleration)

    def scaled(self, factor: float) -> "Curve":
        """The curve times a constant."""
        pieces = tuple(replace(piece, amplitude=factor * piece.amplitude) for piece in self.pieces)
        return Curve(factor * self.constant, pieces)


def step_through(start_value: float, value: float, start: float, when: float, end: float) -> Step:
    """The step that begins at `start` from `start_value`, is under way through `value` at `when`, complete at `end`."""
    share = float(smooth_step((when - start) / (end - start)))
    return Step((value - start_value) / share, start, end)

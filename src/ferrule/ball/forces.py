"""What acts on balls in the air: gravity, and drag and lift against the air.

With air-relative velocity u, unit spin axis a, spin ratio S = R omega / |u| and Re = |u| D / nu:

    dv/dt = g + rho A |u| / (2 m) * (C_L(S, Re) a x u - C_D(S, Re) u)
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.air import Air, wind_share
from ferrule.ball.coefficients import NARUO_SPIN_RATIO_LIMIT, Coefficients
from ferrule.ball.golf_ball import AREA, DIAMETER, MASS, RADIUS
from ferrule.units import GRAVITY

Floats = NDArray[np.float64]

_SLOWEST: Final = 1e-6


class Forces:
    """Acceleration of a set of balls; keeps only the balls still in the air."""

    def __init__(self, axis: Floats, spin_rate: Floats, air: Air, coefficients: Coefficients) -> None:
        self.axis = axis
        self.spin_scale = RADIUS * spin_rate
        self.wind = np.array(air.wind)[:, None]
        self.roughness = air.roughness if any(air.wind) else None
        self.windless = not any(air.wind)
        self.drag = air.density * AREA / (2.0 * MASS)
        self.reynolds = DIAMETER / air.viscosity
        self.coefficients = coefficients
        self.clamped = np.zeros(len(spin_rate), dtype=np.bool_)

    def keep(self, alive: NDArray[np.bool_]) -> None:
        """Drop all other balls."""
        self.axis, self.spin_scale, self.clamped = self.axis[:, alive], self.spin_scale[alive], self.clamped[alive]
        if not isinstance(self.coefficients.lyu_weight, float):
            self.coefficients = Coefficients(self.coefficients.lyu_weight[alive], self.coefficients.decay)

    def relative(self, height: Floats, velocity: Floats) -> Floats:
        """Velocity against the air."""
        if self.windless:
            return velocity
        if self.roughness is None:
            return np.asarray(velocity - self.wind)
        return np.asarray(velocity - self.wind * wind_share(height, self.roughness))

    def acceleration(self, height: Floats, velocity: Floats, spin_kept: Floats) -> tuple[Floats, Floats]:
        """dv/dt, shape (3, n), and the air speed, shape (n,)."""
        u = self.relative(height, velocity)
        speed = np.sqrt(u[0] * u[0] + u[1] * u[1] + u[2] * u[2])
        safe = np.maximum(speed, _SLOWEST)
        ratio = self.spin_scale * spin_kept / safe
        drag, lift = self.coefficients.drag_and_lift(ratio, safe * self.reynolds)
        scale = self.drag * speed
        drag, lift = drag * scale, lift * scale
        a = self.axis
        out = np.empty_like(u)
        out[0] = lift * (a[1] * u[2] - a[2] * u[1]) - drag * u[0]
        out[1] = lift * (a[2] * u[0] - a[0] * u[2]) - drag * u[1] - GRAVITY
        out[2] = lift * (a[0] * u[1] - a[1] * u[0]) - drag * u[2]
        return out, speed

    def note_clamped(self, aloft: NDArray[np.bool_], height: Floats, velocity: Floats, spin_kept: Floats) -> None:
        """Mark the balls aloft whose spin ratio is beyond the coefficients."""
        u = self.relative(height, velocity)
        limit = NARUO_SPIN_RATIO_LIMIT**2 * (u[0] * u[0] + u[1] * u[1] + u[2] * u[2])
        self.clamped |= ((self.spin_scale * spin_kept) ** 2 > limit) & aloft

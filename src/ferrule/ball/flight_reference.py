"""The plain flight: one ball at a time, SciPy's DOP853 to a tight tolerance. Slow; the measure of `flight.fly_many`."""

from math import atan2, hypot, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from ferrule.ball.air import SEA_LEVEL, Air, wind_share
from ferrule.ball.coefficients import NARUO, SMITS_SMITH, SPIN_KEPT_PER_SECOND, Coefficients
from ferrule.ball.flight import Flight
from ferrule.ball.golf_ball import AREA, DIAMETER, MASS, RADIUS
from ferrule.ball.launch import Launch, Launches
from ferrule.units import GRAVITY

Floats = NDArray[np.float64]


def fly_reference(
    launch: Launch, air: Air = SEA_LEVEL, coefficients: Coefficients = NARUO, rtol: float = 1e-10
) -> Flight:
    """Fly one launch that leaves the ground; same model and meaning as `flight.fly`."""
    one = Launches.of([launch])
    ax, ay, az = one.spin_axis()[:, 0].tolist()
    decays = coefficients.decay == "smits_smith"

    def rates(t: float, state: Floats) -> list[float]:
        _, height, _, vx, vy, vz, omega = state.tolist()
        if not decays:
            omega = launch.spin_rate * SPIN_KEPT_PER_SECOND**t
        blowing = 1.0 if air.roughness is None else float(wind_share(np.array(height), air.roughness))
        ux, uy, uz = (v - blowing * w for v, w in zip((vx, vy, vz), air.wind, strict=True))
        speed = sqrt(ux * ux + uy * uy + uz * uz)
        ratio, reynolds = np.array(RADIUS * omega / speed), np.array(speed * DIAMETER / air.viscosity)
        k = air.density * AREA * speed / (2.0 * MASS)
        drag, lift = (k * float(c) for c in coefficients.drag_and_lift(ratio, reynolds))
        return [
            vx,
            vy,
            vz,
            lift * (ay * uz - az * uy) - drag * ux,
            lift * (az * ux - ax * uz) - drag * uy - GRAVITY,
            lift * (ax * uy - ay * ux) - drag * uz,
            -SMITS_SMITH / RADIUS * speed * omega if decays else 0.0,
        ]

    def landing(_: float, state: Floats) -> float:
        return float(state[1])

    def apex(_: float, state: Floats) -> float:
        return float(state[4])

    events: list[Any] = [landing, apex]
    events[0].terminal, events[0].direction = True, -1.0
    events[1].direction = -1.0
    start = np.concatenate([np.zeros(3), one.velocity()[:, 0], [launch.spin_rate]])
    start[1] = 1e-12
    answer = solve_ivp(rates, (0.0, 120.0), start, method="DOP853", rtol=rtol, atol=1e-10, events=events)
    x, y, z, vx, vy, vz, _ = answer.y[:, -1]
    tops: Any = answer.y_events[1] if answer.y_events is not None else []
    top = max([0.0, y, *(float(s[1]) for s in tops)])
    level = hypot(vx, vz)
    return Flight(
        hypot(x, z), z, top, float(answer.t[-1]), atan2(-vy, level), hypot(level, vy), atan2(z, x) - launch.azimuth
    )

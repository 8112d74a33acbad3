"""The path of one ball through the air, to draw and to check; the summary figures come from `flight`."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.air import SEA_LEVEL, Air
from ferrule.ball.coefficients import NARUO, SMITS_SMITH, SPIN_KEPT_PER_SECOND, Coefficients
from ferrule.ball.flight import fly
from ferrule.ball.forces import Forces
from ferrule.ball.golf_ball import RADIUS
from ferrule.ball.launch import Launch, Launches

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True)
class Trajectory:
    """time (n,) in seconds; position and velocity (n, 3) in the target frame, metres and m/s; the last row has landed."""

    time: Floats
    position: Floats
    velocity: Floats


def trajectory(
    launch: Launch, air: Air = SEA_LEVEL, coefficients: Coefficients = NARUO, steps: int = 120
) -> Trajectory:
    """The path in equal steps of time from launch to landing; a single point for a ball that does not fly.

    Runge-Kutta of fourth order between the ends that `flight.fly` finds, so that path and figures belong together.
    """
    end = fly(launch, air, coefficients).time
    one = Launches.of([launch])
    x, v = np.zeros((3, 1)), one.velocity()
    if not np.isfinite(end) or end <= 0.0:
        return Trajectory(np.zeros(1), x.T, v.T)
    forces = Forces(one.spin_axis(), one.spin_rate, air, coefficients)
    h = end / steps
    kept = np.ones(1)
    places, speeds = [x[:, 0]], [v[:, 0]]

    def rates(place: Floats, velocity: Floats, spin: Floats) -> tuple[Floats, Floats]:
        pull, speed = forces.acceleration(place[1], velocity, spin)
        if coefficients.decay == "smits_smith":
            return pull, -SMITS_SMITH / RADIUS * speed * spin
        return pull, np.log(SPIN_KEPT_PER_SECOND) * spin

    for _ in range(steps):
        a1, s1 = rates(x, v, kept)
        a2, s2 = rates(x + h / 2 * v, v + h / 2 * a1, kept + h / 2 * s1)
        a3, s3 = rates(x + h / 2 * (v + h / 2 * a1), v + h / 2 * a2, kept + h / 2 * s2)
        a4, s4 = rates(x + h * (v + h / 2 * a2), v + h * a3, kept + h * s3)
        x = x + h * v + h * h / 6 * (a1 + a2 + a3)
        v = v + h / 6 * (a1 + 2 * a2 + 2 * a3 + a4)
        kept = kept + h / 6 * (s1 + 2 * s2 + 2 * s3 + s4)
        places.append(x[:, 0])
        speeds.append(v[:, 0])
    return Trajectory(np.linspace(0.0, end, steps + 1), np.array(places), np.array(speeds))

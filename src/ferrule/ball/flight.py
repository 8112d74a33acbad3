"""From launch to landing: drag and lift against the air, thousands of flights at once.

The forces are those of `forces`. Runge-Kutta of fourth order in steps of at most 0.1 s; landing and apex from the cubic through the ends of a step. The
plain reference is `flight_reference.fly_reference`; the two agree within millimetres (docs/validation.md).
"""

from dataclasses import dataclass
from math import log
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.air import SEA_LEVEL, Air
from ferrule.ball.coefficients import (
    NARUO,
    NARUO_SPIN_RATIO_LIMIT,
    SMITS_SMITH,
    SPIN_KEPT_PER_SECOND,
    Coefficients,
)
from ferrule.ball.forces import Forces
from ferrule.ball.golf_ball import RADIUS
from ferrule.ball.launch import Launch, Launches
from ferrule.errors import Issue
from ferrule.units import GRAVITY

Floats = NDArray[np.float64]

MAX_STEP: Final = 0.1
LONGEST: Final = 60.0
_CHUNK: Final = 16384
_TIDY_EVERY: Final = 4
_MOST_STEPS: Final = 20_000
_SHEAR_STEP: Final = 0.002
_SHEAR_SHARE: Final = 0.25
_LOG_KEPT: Final = log(SPIN_KEPT_PER_SECOND)

_States = tuple[Floats, Floats, Floats, Floats, Floats, Floats]
_Scalars = tuple[Floats, Floats, Floats]


@dataclass(frozen=True, slots=True)
class Flight:
    """Summary of one flight to level ground, metres, seconds, radians.

    carry: level distance to landing; side: right of the target line there; apex: greatest height; landing: steepness
    of the fall; end_speed: m/s at landing; curve: direction of landing less direction of start; issues: what to know.
    """

    carry: float
    side: float
    apex: float
    time: float
    landing: float
    end_speed: float
    curve: float
    issues: tuple[Issue, ...] = ()


@dataclass(frozen=True, eq=False, slots=True)
class Flights:
    """Many flights, fields of shape (n,); NaN where a ball had not come down after a minute.

    clamped: the spin ratio went beyond what the coefficients are stated for and was held there.
    """

    carry: Floats
    side: Floats
    apex: Floats
    time: Floats
    landing: Floats
    end_speed: Floats
    curve: Floats
    clamped: NDArray[np.bool_]

    def __getitem__(self, i: int) -> Flight:
        return Flight(
            carry=float(self.carry[i]),
            side=float(self.side[i]),
            apex=float(self.apex[i]),
            time=float(self.time[i]),
            landing=float(self.landing[i]),
            end_speed=float(self.end_speed[i]),
            curve=float(self.curve[i]),
            issues=tuple(_issues(self, i)),
        )


def fly(launch: Launch, air: Air = SEA_LEVEL, coefficients: Coefficients = NARUO) -> Flight:
    """One flight; see fly_many."""
    return fly_many(Launches.of([launch]), air, coefficients)[0]


def fly_many(
    launches: Launches, air: Air = SEA_LEVEL, coefficients: Coefficients = NARUO, max_step: float = MAX_STEP
) -> Flights:
    """Fly every launch from level ground to level ground.

    A ball launched downwards, or level without enough lift, has carry and time 0. max_step in seconds trades accuracy
    for speed.
    """
    n = len(launches)
    out = np.empty((7, n))
    clamped = np.zeros(n, dtype=np.bool_)
    velocity, axis, spin_rate = launches.velocity(), launches.spin_axis(), launches.spin_rate
    weight = coefficients.lyu_weight
    for start in range(0, n, _CHUNK):
        part = slice(start, min(start + _CHUNK, n))
        mine = coefficients
        if not isinstance(weight, float):
            mine = Coefficients(np.broadcast_to(weight, (n,))[part], coefficients.decay)
        out[:, part], clamped[part] = _integrate(velocity[:, part], axis[:, part], spin_rate[part], air, mine, max_step)
    x, z, apex, time, vx, vy, vz = out
    level = np.hypot(vx, vz)
    carry = np.hypot(x, z)
    turn = np.where(carry > 0.0, np.arctan2(z, x) - launches.azimuth, 0.0)
    curve = np.where(np.isfinite(turn), (turn + np.pi) % (2.0 * np.pi) - np.pi, np.nan)
    return Flights(carry, z, apex, time, np.arctan2(-vy, level), np.hypot(level, vy), curve, clamped)


def _integrate(
    velocity: Floats, axis: Floats, spin_rate: Floats, air: Air, coefficients: Coefficients, max_step: float
) -> tuple[Floats, NDArray[np.bool_]]:
    """Landing x, z, apex, time, velocity (7, n) and whether the spin ratio was held; velocity, axis (3, n)."""
    n = velocity.shape[1]
    last = _LastSteps(n)
    clamped = np.zeros(n, dtype=np.bool_)
    forces = Forces(axis, spin_rate, air, coefficients)
    by_speed = coefficients.decay == "smits_smith"
    x, v = np.zeros((3, n)), velocity.copy()
    t, apex, kept = np.zeros(n), np.zeros(n), np.ones(n)
    a, speed = forces.acceleration(x[1], v, kept)
    # Steps start short against the shortest hop, so that a low chip is not stepped over, and grow.
    step = np.minimum(np.maximum(v[1] / (4.0 * GRAVITY), 1e-4), max_step)
    grounded = (v[1] < 0.0) | ((v[1] == 0.0) & (a[1] <= 0.0))
    last.stay(grounded, v)
    where, aloft = np.arange(n), ~grounded
    for count in range(_MOST_STEPS):
        if count % _TIDY_EVERY == 0:
            if not aloft.all():
                clamped[where] |= forces.clamped
                forces.keep(aloft)
                where, x, v, a = where[aloft], x[:, aloft], v[:, aloft], a[:, aloft]
                t, apex, kept, step, speed = t[aloft], apex[aloft], kept[aloft], step[aloft], speed[aloft]
                aloft = np.ones(len(where), dtype=np.bool_)
            if not len(where) or t.min() > LONGEST:
                break
        if forces.roughness is not None:
            # The wind changes fast with height near the ground: no step longer than a part of the way to it.
            near = _SHEAR_STEP + _SHEAR_SHARE * np.abs(x[1]) / np.maximum(np.abs(v[1]), 1.0)
            step = np.minimum(step, near)
        half = 0.5 * step
        kept2 = _spin_left(kept, speed, half, by_speed)
        v2 = v + half * a
        a2, speed2 = forces.acceleration(x[1] + half * v[1], v2, kept2)
        if by_speed:
            kept2 = _spin_left(kept, speed2, half, by_speed)
        v3 = v + half * a2
        a3, speed3 = forces.acceleration(x[1] + half * v2[1], v3, kept2)
        kept4 = _spin_left(kept, speed3, step, by_speed)
        v4 = v + step * a3
        a4, speed4 = forces.acceleration(x[1] + step * v3[1], v4, kept4)
        sixth = step / 6.0
        x_new = x + sixth * (v + 2.0 * (v2 + v3) + v4)
        v_new = v + sixth * (a + 2.0 * (a2 + a3) + a4)
        kept = _spin_left(kept, (speed + 2.0 * (speed2 + speed3) + speed4) / 6.0, step, by_speed) if by_speed else kept4
        turning = (v[1] > 0.0) & (v_new[1] <= 0.0) & aloft
        if turning.any():
            top = _apex_height(x[1], v[1], x_new[1], v_new[1], step)
            apex = np.where(turning, np.maximum(apex, top), apex)
        a_new, speed = forces.acceleration(x_new[1], v_new, kept)
        down = (x_new[1] <= 0.0) & aloft
        if down.any():
            last.note(where[down], down, (x, v, a, x_new, v_new, a_new), (t, step, apex))
            aloft &= ~down
        forces.note_clamped(aloft, x_new[1], v_new, kept)
        t = t + step
        x, v, a = x_new, v_new, a_new
        step = np.minimum(1.5 * step, max_step)
    clamped[where] |= forces.clamped
    return last.landing(), clamped


class _LastSteps:
    """The step in which each ball comes down; the landing is then found for all at once."""

    def __init__(self, n: int) -> None:
        self.states = np.full((6, 3, n), np.nan)
        self.scalars = np.full((3, n), np.nan)
        self.grounded = np.zeros(n, dtype=np.bool_)

    def stay(self, rows: NDArray[np.bool_], v: Floats) -> None:
        self.grounded |= rows
        self.states[:, :, rows] = 0.0
        self.states[[1, 4]] = np.where(rows, v, self.states[[1, 4]])
        self.scalars[:, rows] = 0.0

    def note(self, where: NDArray[np.intp], rows: NDArray[np.bool_], states: _States, scalars: _Scalars) -> None:
        for mine, value in zip(self.states, states, strict=True):
            mine[:, where] = value[:, rows]
        for own, number in zip(self.scalars, scalars, strict=True):
            own[where] = number[rows]

    def landing(self) -> Floats:
        """x, z, apex, time, velocity: shape (7, n)."""
        x, v, a, x_new, v_new, a_new = self.states
        t, h, apex = self.scalars
        share = np.where(self.grounded, 0.0, _landing_share(x[1], v[1], x_new[1], v_new[1], h))
        place = _cubic(x, v, x_new, v_new, share, h)
        fall = _cubic(v, a, v_new, a_new, share, h)
        return np.stack([place[0], place[2], apex, t + share * h, *fall])


def _spin_left(kept: Floats, speed: Floats, span: Floats, by_speed: bool) -> Floats:
    rate = -SMITS_SMITH / RADIUS * speed if by_speed else _LOG_KEPT
    return kept * np.exp(rate * span)


def _cubic(p: Floats, m: Floats, q: Floats, k: Floats, s: Floats, h: Floats) -> Floats:
    """Cubic with values p, q and slopes m, k at the ends of a step of length h, at share s of it."""
    s2 = s * s
    s3 = s2 * s
    return np.asarray((2 * s3 - 3 * s2 + 1) * p + (s3 - 2 * s2 + s) * h * m + (3 * s2 - 2 * s3) * q + (s3 - s2) * h * k)


def _landing_share(y: Floats, vy: Floats, y_new: Floats, vy_new: Floats, h: Floats) -> Floats:
    """Share of the step at which the height's cubic crosses 0 downwards: bisection to a share of 2**-40."""
    # From the ground itself: skip the root at the start.
    low = np.where(y <= 0.0, 1e-9, 0.0)
    high = np.ones_like(y)
    for _ in range(40):
        s = 0.5 * (low + high)
        above = _cubic(y, vy, y_new, vy_new, s, h) > 0.0
        low, high = np.where(above, s, low), np.where(above, high, s)
    return np.asarray(0.5 * (low + high))


def _apex_height(y: Floats, vy: Floats, y_new: Floats, vy_new: Floats, h: Floats) -> Floats:
    """Greatest height of the cubic within a step over which the climb ends."""
    # Its slope is a quadratic in the share s: c0 + c1 s + c2 s^2, with c0 = h vy > 0 and the end <= 0.
    c0 = h * vy
    rise = y_new - y
    c1 = 6.0 * rise - 4.0 * h * vy - 2.0 * h * vy_new
    c2 = 3.0 * h * (vy + vy_new) - 6.0 * rise
    root = np.sqrt(np.maximum(c1 * c1 - 4.0 * c0 * c2, 0.0))
    s = np.clip(2.0 * c0 / np.maximum(root - c1, 1e-300), 0.0, 1.0)
    return np.asarray(y + s * (c0 + s * (0.5 * c1 + s * c2 / 3.0)))


def _issues(flights: Flights, i: int) -> list[Issue]:
    found = []
    if flights.clamped[i]:
        found.append(
            Issue(
                "spin_ratio_clamped",
                "warning",
                "spin_rpm",
                f"The ball spins faster against its speed than drag and lift were measured for (spin ratio beyond"
                f" {NARUO_SPIN_RATIO_LIMIT}); they are held at that limit, so the figures are rough.",
            )
        )
    if not np.isfinite(flights.time[i]):
        found.append(Issue("never_lands", "warning", "", "The ball had not come down after a minute in this wind."))
    elif flights.time[i] == 0.0:
        found.append(Issue("no_flight", "note", "launch_deg", "The ball does not leave the ground."))
    return found

"""What the flight of the ball says of face and path.

Start = share · face + (1 - share) · path; the curve follows face less path. Share and slope come from impact and flight
for this club and speed (`ball.response`); strike off the centre bends the ball by itself and enters as an offset with doubt.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, sqrt
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.response import ResponseByLoft, response_by_loft
from ferrule.club.clubs import Club, typical_club_speed
from ferrule.coaching.case import Case, CaseSwing, How, Reading, Swings
from ferrule.coaching.delivery_state import States
from ferrule.coaching.observation import (
    Column,
    Observation,
    column_of,
    column_of_readings,
    summary_of,
    summary_of_column,
)
from ferrule.coaching.quantities import QUANTITIES
from ferrule.coaching.references import SCATTER
from ferrule.units import DEG

Floats = NDArray[np.float64]


def response_of(case: Case, swings: Swings) -> ResponseByLoft:
    """How the ball answers this club at the speed and attack that were read, or at their usual values."""
    speed = summary_of(swings, "delivery.club_speed_mps", "grip")
    attack = summary_of(swings, "delivery.attack_deg", "grip")
    # Rounded, so that the swings of a lesson share a table.
    return response_by_loft(
        case.club,
        round(typical_club_speed(case.club, case.golfer.age_group) if speed is None else speed.value),
        None if attack is None else round(attack.value, 2),
    )


def predicted_start(response: ResponseByLoft, states: States) -> Floats:
    """Start direction at each state, radians, + right, shape (n,)."""
    return states.ball(response).start(states.face, states.path)


def predicted_curve(response: ResponseByLoft, states: States) -> Floats:
    """Curve at each state, radians, + bends right, shape (n,)."""
    return states.ball(response).curve(states.face - states.path)


# strike: (start offset, its sd, curve offset, its sd) in degrees for woods, then irons; right-handed golfer. Bulge starts
# a toe hit right and gear effect draws it back. Means: `ball.strike_spot.toe_effect` of the spots there (12 mm for a toe or
# heel hit), at usual speeds; sds: the spread of those spots, and as much again for what a rigid head leaves out. How far
# off the centre a word means: common practice, no source.
_STRIKES: Final[dict[str, tuple[tuple[float, float, float, float], tuple[float, float, float, float]]]] = {
    "centre": ((0.0, 1.0, 0.0, 1.0), (0.0, 0.3, 0.0, 0.7)),
    "toe": ((2.7, 1.5, -2.8, 2.2), (0.2, 0.6, -0.5, 1.2)),
    "heel": ((-2.7, 1.5, 2.8, 2.2), (-0.2, 0.6, 0.5, 1.2)),
    "thin": ((0.0, 1.5, 0.0, 1.6), (0.0, 0.6, 0.0, 1.5)),
    "fat": ((0.0, 1.6, 0.0, 2.0), (0.0, 1.0, 0.0, 2.0)),
    "high": ((0.0, 1.5, 0.0, 1.6), (0.0, 0.5, 0.0, 1.0)),
    "low": ((0.0, 1.5, 0.0, 1.6), (0.0, 0.5, 0.0, 1.0)),
}
# A strike nobody saw is as wide as golfers who come for lessons strike: 9 mm (`ball.strike_spot`).
_UNKNOWN_STRIKE: Final = ((0.0, 2.2, 0.0, 2.9), (0.0, 0.5, 0.0, 1.3))

_START: Final = "ball.start_deg"
_CURVE: Final = "ball.curve_deg"

# shape word: (start, curve) in degrees as a tapped shape means them, right-handed golfer; sd of each below.
_BEND: Final = {"fade": 3.0, "slice": 8.0, "draw": -3.0, "hook": -8.0}
_STARTS: Final = {"push": 4.0, "pull": -4.0}
_SHAPE_SD: Final = (2.0, 2.5, 4.0)


class SeenFlight(NamedTuple):
    """One swing's flight in degrees: start and curve with sd, either may be missing; landing when only that is known."""

    start: Reading | None
    curve: Reading | None
    landing: Reading | None


def shape_flight(shape: str) -> tuple[Reading, Reading]:
    """Start and curve that a tapped shape stands for, degrees, right-handed golfer, with the doubt of a tap."""
    start = next((v for w, v in _STARTS.items() if w in shape), 0.0)
    bend = next((v for w, v in _BEND.items() if w in shape), 0.0)
    bend_sd = _SHAPE_SD[2] if abs(bend) > 5 else _SHAPE_SD[1]
    return Reading(start, _SHAPE_SD[0], "by_eye"), Reading(bend, bend_sd, "by_eye")


def seen_flight(swing: CaseSwing) -> SeenFlight:
    """Start, curve and landing direction of a swing, each evidence used once: numbers go before a tapped shape."""
    read = swing.readings.get
    start, curve = read(_START), read(_CURVE)
    if swing.shape is not None:
        tapped_start, tapped_curve = shape_flight(swing.shape)
        start = start or tapped_start
        curve = curve or tapped_curve
    if start is not None and curve is not None:
        return SeenFlight(start, curve, None)
    landing = _landing(read("ball.side_m"), read("ball.carry_m"))
    if start is not None and landing is not None:
        quantity = QUANTITIES[_START]
        sd = sqrt(start.doubt(quantity) ** 2 + landing.doubt(quantity) ** 2)
        curve, landing = Reading(landing.value - start.value, sd, landing.how), None
    return SeenFlight(start, curve, landing)


def _landing(side: Reading | None, carry: Reading | None) -> Reading | None:
    """Direction in which the ball landed, degrees, where both were read."""
    if side is None or carry is None or carry.value <= 1.0:
        return None
    side_sd, carry_sd = side.doubt(QUANTITIES["ball.side_m"]), carry.doubt(QUANTITIES["ball.carry_m"])
    sine = max(min(side.value / carry.value, 0.95), -0.95)
    cosine = sqrt(1.0 - sine * sine)
    sd = sqrt(side_sd**2 + (sine * carry_sd) ** 2) / carry.value / cosine
    return Reading(atan2(sine, cosine) / DEG, sd / DEG, side.how)


def strike_offsets(club: Club, strike: str | None) -> tuple[float, float, float, float]:
    """Start offset, its sd, curve offset, its sd, degrees, for a right-handed golfer."""
    place = 0 if club.kind in ("driver", "wood", "hybrid") else 1
    return (_UNKNOWN_STRIKE if strike is None else _STRIKES[strike])[place]


@dataclass(frozen=True, eq=False, slots=True)
class Flown:
    """One side of the flight over several swings, degrees: as seen, and with what the strike added taken out.

    Each ball has its own strike, so the doubt of that averages over balls.
    """

    seen: Column
    well: Column


@dataclass(frozen=True, slots=True)
class Flights:
    """What was seen of the balls of several swings: start, curve, and landing where only that is known; None for nothing."""

    start: Flown | None
    curve: Flown | None
    landing: Flown | None


def flights_of(swings: Swings, club: Club) -> Flights:
    """What was seen of the balls of these swings, hit with this club by a right-handed golfer."""
    return swings.once(_flights, club)


def _flights(swings: Swings, club: Club) -> Flights:
    if not swings:
        return Flights(None, None, None)
    struck = {strike: i for i, strike in enumerate({s.strike for s in swings})}
    offsets = np.array([strike_offsets(club, strike) for strike in struck])
    start, start_sd, curve, curve_sd = offsets[[struck[s.strike] for s in swings]].T
    starts, curves, landings = _seen(swings)
    return Flights(
        _flown(starts, start, start_sd),
        _flown(curves, curve, curve_sd),
        _flown(landings, start + curve, np.hypot(start_sd, curve_sd)),
    )


def _seen(swings: Swings) -> tuple[Column | None, Column | None, Column | None]:
    """Columns of start, curve and landing, see `seen_flight`."""
    columns = column_of(swings, _START), column_of(swings, _CURVE)
    if not any(s.shape for s in swings) and all(c is not None and len(c.value) == len(swings) for c in columns):
        # Both read of every ball, the usual case: nothing is left to be chosen.
        return *columns, None
    starts, curves, landings = zip(*[seen_flight(s) for s in swings], strict=True)
    return _readings_of(_START, starts), _readings_of(_CURVE, curves), _readings_of(_CURVE, landings)


def _readings_of(key: str, seen: Sequence[Reading | None]) -> Column | None:
    places = [i for i, reading in enumerate(seen) if reading is not None]
    return column_of_readings(QUANTITIES[key], [r for r in seen if r is not None], places) if places else None


def _flown(seen: Column | None, strike: Floats, strike_sd: Floats) -> Flown | None:
    if seen is None:
        return None
    hows: list[How] = ["by_eye" if how == "by_eye" else "ball" for how in seen.hows]
    doubt = np.hypot(seen.doubt, strike_sd[seen.place])
    return Flown(seen, Column(seen.quantity, hows, seen.place, seen.value - strike[seen.place], doubt))


def ball_observations(swings: Swings, club: Club, response: ResponseByLoft) -> list[Observation]:
    """Start and curve (or landing alone) over the swings, as observations of face and path."""
    seen, n = flights_of(swings, club), len(swings)
    out = []

    def start_of(states: States) -> Floats:
        return predicted_start(response, states)

    def curve_of(states: States) -> Floats:
        return predicted_curve(response, states)

    if seen.start is not None:
        s = summary_of_column(seen.start.well, SCATTER["start"], n)
        out.append(Observation("ball_start", s.value, sqrt(s.sd**2 + (0.3 * DEG) ** 2), start_of, s.how))
    if seen.curve is not None:
        s = summary_of_column(seen.curve.well, SCATTER["curve"], n)
        slope = response.at(club.loft).curve_per_degree
        relative = slope.sd / max(slope.value, 1e-6)
        out.append(Observation("ball_curve", s.value, s.sd, curve_of, s.how, relative))
    if seen.landing is not None:
        s = summary_of_column(seen.landing.well, SCATTER["curve"], n)
        out.append(Observation("ball_landing", s.value, s.sd, lambda s: start_of(s) + curve_of(s), s.how))
    return out

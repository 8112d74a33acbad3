"""What a degree of face or path does to the ball, for one club and speed: fast enough to ask thousands of times.

The start line is share * face + (1 - share) * path; the curve (direction of landing less direction of start) follows
face less path. Both are worked out once per head on a grid of speed, delivered loft and attack by `impact` and `flight`
with both coefficient sets, then interpolated. The doubt of each is half the difference between the sets, joined with
what the unknown grip of the face does and a tenth for the ball.
"""

from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline, RegularGridInterpolator

from ferrule.ball.air import SEA_LEVEL
from ferrule.ball.coefficients import Coefficients
from ferrule.ball.flight import fly_many
from ferrule.ball.impact import (
    HEADS,
    TANGENTIAL_RESTITUTION,
    TANGENTIAL_RESTITUTION_SD,
    Delivery,
    strike_many,
    typical_attack,
)
from ferrule.ball.launch import Launches
from ferrule.club.clubs import Club, Kind
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

Floats = NDArray[np.float64]

_SPEEDS: Final = np.arange(14.0, 62.1, 4.0)
_LOFTS: Final = np.concatenate([np.arange(2.0, 26.0, 3.0), np.arange(26.0, 70.1, 4.0)]) * DEG
_ATTACKS: Final = np.array([-8.0, -3.0, 2.0, 7.0]) * DEG
_BALL_SPREAD: Final = 0.10
_PROBE: Final = 1.0 * DEG


@dataclass(frozen=True, slots=True)
class BallResponse:
    """How the ball answers one delivery: radians, metres.

    face_share: share of the face in the start line; curve_per_degree: change of the curve for a degree of face less
    path, at small angles; carry: metres of a straight shot; spin_loft: radians between path and face normal.
    """

    face_share: Estimate
    curve_per_degree: Estimate
    carry: Estimate
    spin_loft: float

    def start(self, face: float, path: float) -> float:
        """Start direction from face and path, + right, in the unit of both."""
        return self.face_share.value * face + (1.0 - self.face_share.value) * path

    def curve(self, face_less_path: float) -> float:
        """Curve in radians for face less path in radians; levels off as the spin axis tips over."""
        return float(self.curve_per_degree.value * axis_angle(face_less_path, self.spin_loft))


@dataclass(frozen=True, eq=False, slots=True)
class BallAnswers:
    """How the ball answers each of many deliveries, shape (n,): see BallResponse."""

    face_share: Floats
    curve_per_degree: Floats
    spin_loft: Floats

    def some(self, chosen: slice | NDArray[np.intp]) -> "BallAnswers":
        """Those for some of the deliveries."""
        return BallAnswers(self.face_share[chosen], self.curve_per_degree[chosen], self.spin_loft[chosen])

    def start(self, face: Floats, path: Floats) -> Floats:
        """Start directions, + right."""
        return np.asarray(path + self.face_share * (face - path))

    def curve(self, face_less_path: Floats) -> Floats:
        """Curves in radians for face less path in radians, + bends right."""
        return np.asarray(self.curve_per_degree * axis_angle(face_less_path, self.spin_loft))


@dataclass(frozen=True, eq=False, slots=True)
class BallResponses(BallAnswers):
    """The same with carry, and with sds, each of shape (n,)."""

    carry: Floats
    face_share_sd: Floats
    curve_per_degree_sd: Floats
    carry_sd: Floats


def axis_angle(face_less_path: Floats | float, spin_loft: Floats | float) -> Floats:
    """Tilt of the spin axis by face less path, scaled to face less path itself when small: tan(L) atan(sin d / tan L)."""
    slope = np.tan(np.maximum(spin_loft, 1.0 * DEG))
    return np.asarray(slope * np.arctan(np.sin(face_less_path) / slope))


def ball_response(club: Club, club_speed: float, delivered_loft: float, attack: float | None = None) -> BallResponse:
    """The response for one delivery; m/s and radians. attack None: typical of the club."""
    many = ball_responses(club, np.array([club_speed]), np.array([delivered_loft]), attack)

    def one(name: str) -> Estimate:
        return Estimate(float(getattr(many, name)[0]), float(getattr(many, name + "_sd")[0]))

    return BallResponse(one("face_share"), one("curve_per_degree"), one("carry"), float(many.spin_loft[0]))


def ball_responses(
    club: Club, club_speed: Floats, delivered_loft: Floats, attack: Floats | float | None = None
) -> BallResponses:
    """The response for many deliveries of one club, held at the edge of the grid beyond it.

    Grid: 14 to 62 m/s, delivered loft 2 to 70 degrees, attack -8 to 7 degrees. The first call for a head takes about a
    quarter of a second, later ones well under a millisecond.
    """
    rise = typical_attack(club) if attack is None else attack
    speed, loft, up = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in (club_speed, delivered_loft, rise))
    )
    grid = _grid(club.kind, round(club.head_mass, 3))
    points = np.stack(
        [
            np.clip(speed, _SPEEDS[0], _SPEEDS[-1]),
            np.clip(loft, _LOFTS[0], _LOFTS[-1]),
            np.clip(up, _ATTACKS[0], _ATTACKS[-1]),
        ],
        axis=-1,
    )
    values = grid(points)
    share, share_sd, curve, curve_sd, carry, carry_sd = np.moveaxis(values, -1, 0)
    return BallResponses(share, curve, np.asarray(loft - up), carry, share_sd, curve_sd, carry_sd)


@dataclass(frozen=True, eq=False, slots=True)
class ResponseByLoft:
    """How the ball answers one club, speed and attack at any delivered loft: for models in which the loft is unknown too.

    table: of the loft in radians, to face_share, its sd, curve_per_degree, its sd and carry in metres; answer: the same, to
    face_share and curve_per_degree alone. Smooth in everything, so that a model can be linearised; below some 5 degrees of
    loft no ball flies, and it levels off.
    """

    attack: float
    table: CubicSpline
    answer: CubicSpline

    def answers(self, loft: Floats) -> BallAnswers:
        """The answer at each of many lofts, shape (n,)."""
        flies = _loft_that_flies(loft)
        share, curve = self.answer(flies).T
        return BallAnswers(share, curve, flies - min(self.attack, 0.5 * _FLAT))

    def at(self, loft: float) -> BallResponse:
        """The answer at one loft."""
        return _response_at(self, loft)


_KNOTS: Final = _LOFTS.tolist()
_FLAT: Final = 5.0 * DEG
_SOFT: Final = 1.5 * DEG


def _loft_that_flies(loft: Floats) -> Floats:
    """The loft, levelling off smoothly at about 5 degrees below and at the end of the grid above."""
    above = np.minimum(loft, _LOFTS[-1])
    return np.asarray(_FLAT + _SOFT * np.log1p(np.exp((above - _FLAT) / _SOFT)))


@lru_cache(maxsize=256)
def _response_at(response: ResponseByLoft, loft: float) -> BallResponse:
    # One number a time, without the call of the spline: its cubic between the knots below and above.
    flies = float(_loft_that_flies(np.array(loft)))
    i = min(bisect_right(_KNOTS, flies), len(_KNOTS) - 1) - 1
    x, (a, b, c, d) = flies - _KNOTS[i], response.table.c[:, i]
    share, share_sd, curve, curve_sd, carry = (((a * x + b) * x + c) * x + d).tolist()
    return BallResponse(
        Estimate(share, abs(share_sd)),
        Estimate(curve, abs(curve_sd)),
        Estimate(carry, 0.1 * carry),
        loft - response.attack,
    )


@lru_cache(maxsize=256)
def response_by_loft(club: Club, club_speed: float, attack: float | None = None) -> ResponseByLoft:
    """The table for one club and speed; m/s and radians. attack None: typical of the club."""
    rise = typical_attack(club) if attack is None else attack
    many = ball_responses(club, np.full(len(_LOFTS), club_speed), _LOFTS, rise)
    columns = [many.face_share, many.face_share_sd, many.curve_per_degree, many.curve_per_degree_sd, many.carry]
    table = np.stack(columns, axis=-1)
    return ResponseByLoft(rise, CubicSpline(_LOFTS, table), CubicSpline(_LOFTS, table[:, [0, 2]]))


def face_share(club: Club, club_speed: float, delivered_loft: float) -> Estimate:
    """Change of start by face; start = share * face + (1 - share) * path."""
    return ball_response(club, club_speed, delivered_loft).face_share


def curve_per_degree(club: Club, club_speed: float, delivered_loft: float) -> Estimate:
    """Change of curve by face less path, degrees for a degree."""
    return ball_response(club, club_speed, delivered_loft).curve_per_degree


def expected_carry(club: Club, club_speed: float, delivered_loft: float) -> Estimate:
    """Metres of carry of a straight shot at sea level in still air."""
    return ball_response(club, club_speed, delivered_loft).carry


@lru_cache(maxsize=64)
def _grid(kind: Kind, head_mass: float) -> RegularGridInterpolator:
    shape = (len(_SPEEDS), len(_LOFTS), len(_ATTACKS))
    speed, loft, attack = (x.ravel() for x in np.meshgrid(_SPEEDS, _LOFTS, _ATTACKS, indexing="ij"))
    like = Delivery(0.0, 0.0, 0.0, 0.3, 40.0, head_mass, head=HEADS[kind], springy=kind in {"driver", "wood", "hybrid"})
    n = len(speed)
    face, path = np.full(n, _PROBE), np.zeros(n)
    grips = (TANGENTIAL_RESTITUTION, TANGENTIAL_RESTITUTION + TANGENTIAL_RESTITUTION_SD)
    launches = [strike_many(face, path, attack, loft, speed, like=like, tangential_restitution=grip) for grip in grips]
    share, share_other = (x.azimuth / _PROBE for x in launches)
    both = [launches[0], launches[0], launches[1]]
    flights = fly_many(_joined(both), SEA_LEVEL, Coefficients(np.repeat([0.0, 1.0, 0.0], n)))
    curve, carry = flights.curve.reshape(3, n) / _PROBE, flights.carry.reshape(3, n)

    def doubt(of: Floats, mean: Floats) -> Floats:
        return np.asarray(np.sqrt(((of[1] - of[0]) / 2.0) ** 2 + (of[2] - of[0]) ** 2 + (_BALL_SPREAD * mean) ** 2))

    mean_curve, mean_carry = curve[:2].mean(axis=0), carry[:2].mean(axis=0)
    columns = [
        share,
        np.abs(share_other - share),
        mean_curve,
        doubt(curve, mean_curve),
        mean_carry,
        doubt(carry, 0.5 * mean_carry),
    ]
    table = np.stack(columns, axis=-1).reshape(*shape, len(columns))
    return RegularGridInterpolator((_SPEEDS, _LOFTS, _ATTACKS), table, method="linear")


def _joined(parts: list[Launches]) -> Launches:
    names = ("ball_speed", "launch", "azimuth", "spin_rate", "axis_tilt", "axis_heading")
    return Launches(*(np.concatenate([getattr(p, name) for p in parts]) for name in names))

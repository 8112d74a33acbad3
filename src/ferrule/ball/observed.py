"""From what the ball did back to face and path, with doubt.

Anything seen of the flight serves: start, curve, side, carry, or a tapped shape. Unknowns are face, path, delivered loft,
speed, strike, the share of the face and the strength of the curve, each with a prior; the answer is the most probable
point and the curvature there (Gauss-Newton on the table of `response`), for one shot or thousands.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import asin, sqrt
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from ferrule.ball.air import Air
from ferrule.ball.flight import fly_many
from ferrule.ball.impact import delivery_with, strike, typical_attack
from ferrule.ball.launch import Launches
from ferrule.ball.response import ball_responses
from ferrule.ball.shapes import Shape
from ferrule.ball.strike_spot import SPOTS, StrikeSpot, toe_effect
from ferrule.club.clubs import Club, typical_club_speed
from ferrule.errors import Issue
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG

Floats = NDArray[np.float64]
Ball = Literal["own", "range"]

_CURVE_NEEDS: Final = 20.0
_WIND_DOUBT: Final = 0.3
_RANGE_CARRY: Final = (0.93, 0.05)
_STEPS: Final = 12
_SMALL_STEP: Final = 1e-3
_LONGEST_STEP: Final = 4.0
_PROBE: Final = 0.25
_CONTRADICTION: Final = 16.0
# Nothing sees a ball better than this: start, curve (radians), side, carry (metres).
_LEAST_SD: Final = (0.1 * DEG, 0.1 * DEG, 0.3, 0.3)
_BEND_PER_HIGH: Final = 25.0
_CARRY_PER_HIGH: Final = 6.0
_CLEAR: Final = 0.9
_SMALL: Final = 1.0 * DEG


@dataclass(frozen=True, slots=True)
class Observed:
    """What was seen of one ball, radians and metres, + right of the target line; None where not seen.

    curve: direction of landing less direction of start; seen: how far the flight could be followed (a net, the end of
    the range); handed: +1 right, -1 left, which says where the toe is.
    """

    start: Estimate | None = None
    curve: Estimate | None = None
    side: Estimate | None = None
    carry: Estimate | None = None
    shape: Shape | None = None
    strike: StrikeSpot = SPOTS["unknown"]
    seen: float | None = None
    handed: int = 1


@dataclass(frozen=True, slots=True)
class DeliveryPrior:
    """What is known of the delivery before the ball is looked at: radians and m/s (common practice unless measured).

    Path and face less path are taken as independent: golfers turn the face to suit the path they have.
    """

    path: Estimate
    face_less_path: Estimate
    attack: Estimate
    delivered_loft: Estimate
    club_speed: Estimate


@dataclass(frozen=True, slots=True)
class InferredDelivery:
    """Face and path of one shot, radians, + right; face_less_path; and the chance that each is to the right.

    covariance: of face and path, rad^2. issues: what limits the answer.
    """

    face: Estimate
    path: Estimate
    face_less_path: Estimate
    covariance: float
    issues: tuple[Issue, ...] = field(default=())

    def chance_face_right(self) -> float:
        """Probability that the face looked right of the target."""
        return _chance_positive(self.face)

    def chance_curves_right(self) -> float:
        """Probability that the face was right of the path."""
        return _chance_positive(self.face_less_path)

    def face_word(self, handed: int = 1) -> Literal["open", "closed", "square", "unclear"]:
        """Open or closed only when at least 90 % sure and more than a degree; square when surely within two degrees."""
        sure = max(self.chance_face_right(), 1.0 - self.chance_face_right())
        if sure >= _CLEAR and abs(self.face.value) > _SMALL:
            return "open" if self.face.value * handed > 0.0 else "closed"
        return "square" if abs(self.face.value) + 1.3 * self.face.sd < 2.0 * _SMALL else "unclear"


def default_prior(
    club: Club, club_speed: Estimate | None = None, delivered_loft: Estimate | None = None
) -> DeliveryPrior:
    """Golfers who come for a lesson (common practice): path sd 4.5 degrees, face less path 4, spin loft 2."""
    speed = club_speed or Estimate(typical_club_speed(club), 0.10 * typical_club_speed(club))
    # Hands ahead take loft off: 6 degrees of lean with a 7-iron, none with a driver, in the plane of the shaft.
    lean = np.interp(club.length, [0.89, 0.94, 1.15], [7.0, 6.0, 0.0]) * DEG
    loft = delivered_loft or Estimate(float(club.loft - np.sin(club.lie) * lean), 2.0 * DEG)
    return DeliveryPrior(
        Estimate(0.0, 4.5 * DEG), Estimate(0.0, 4.0 * DEG), Estimate(typical_attack(club), 2.0 * DEG), loft, speed
    )


def infer_delivery(
    observed: Observed,
    club: Club,
    prior: DeliveryPrior | None = None,
    air: Air | None = None,
    ball: Ball = "own",
) -> InferredDelivery:
    """Face and path behind one observed ball; see infer_deliveries."""
    return infer_deliveries([observed], club, prior, air, ball)[0]


def infer_deliveries(
    observed: Sequence[Observed],
    club: Club,
    prior: DeliveryPrior | None = None,
    air: Air | None = None,
    ball: Ball = "own",
) -> list[InferredDelivery]:
    """Face and path behind each ball, independently.

    air: given when the wind is known; its drift is then taken out. ball "range": shorter carry, wider doubt.
    """
    if not observed:
        return []
    prior = prior or default_prior(club)
    drift = _wind_drift(club, prior, air)
    problem = _Problem(observed, club, prior, drift, ball)
    mean, covariance, misfit = problem.solve()
    answers = []
    for i, one in enumerate(observed):
        c = covariance[i, :2, :2]
        gap = sqrt(c[0, 0])
        answers.append(
            InferredDelivery(
                Estimate(float(mean[i, 0] + mean[i, 1]), sqrt(max(c[0, 0] + c[1, 1] + 2.0 * c[0, 1], 0.0))),
                Estimate(float(mean[i, 1]), sqrt(c[1, 1])),
                Estimate(float(mean[i, 0]), gap),
                float(c[0, 1] + c[1, 1]),
                tuple(_limits(one, club, gap, float(misfit[i]))),
            )
        )
    return answers


class _Problem:
    """Unknowns of each shot: face less path, path, loft, speed, share shift, log curve strength, log carry strength, toe."""

    def __init__(
        self, observed: Sequence[Observed], club: Club, prior: DeliveryPrior, drift: float, ball: Ball
    ) -> None:
        n = len(observed)
        self.club, self.attack = club, prior.attack.value
        self.handed = np.array([float(o.handed) for o in observed])
        self.seen = np.array([np.inf if o.seen is None else o.seen for o in observed])
        kept = np.array([o.strike.speed_kept.value for o in observed])
        kept_sd = np.array([o.strike.speed_kept.sd for o in observed])
        speed = prior.club_speed
        at = ball_responses(club, np.array([speed.value]), np.array([prior.delivered_loft.value]), self.attack)
        carry_bias, carry_more = _RANGE_CARRY if ball == "range" else (1.0, 0.0)
        curve_sd = np.hypot(at.curve_per_degree_sd / at.curve_per_degree, carry_more)
        if club.kind in {"driver", "wood", "hybrid"}:
            # Up the face: more loft, less spin, and so less bend.
            curve_sd = np.hypot(curve_sd, _BEND_PER_HIGH * np.array([o.strike.high.sd for o in observed]))
        # Thin or high on the face: carry suffers in ways the table does not hold.
        off = np.array([np.hypot(o.strike.high.value, o.strike.high.sd) for o in observed])
        carry_sd = np.hypot(np.hypot(at.carry_sd / at.carry, carry_more), _CARRY_PER_HIGH * off)
        one = np.ones(n)
        self.mean = np.stack(
            [
                prior.face_less_path.value * one,
                prior.path.value * one,
                prior.delivered_loft.value * one,
                speed.value * kept,
                0.0 * one,
                0.0 * one,
                np.log(carry_bias) * one,
                np.array([o.strike.toe.value for o in observed]),
            ],
            axis=1,
        )
        self.sd = np.stack(
            [
                prior.face_less_path.sd * one,
                prior.path.sd * one,
                # Spin loft is what bends the ball: hitting up brings loft with it, so attack adds no doubt of its own.
                prior.delivered_loft.sd * one,
                np.hypot(speed.sd * kept, speed.value * kept_sd),
                at.face_share_sd[0] * one,
                curve_sd * one,
                carry_sd,
                np.array([o.strike.toe.sd for o in observed]),
            ],
            axis=1,
        )
        self.toe = toe_effect(club, speed.value, prior.delivered_loft.value, self.attack)
        self.drift = drift
        self.seen_values, self.seen_sd = _measurements(observed, drift)

    def predict(self, x: Floats) -> Floats:
        """Start, curve, side, carry for unknowns x of shape (n, m, 8): shape (n, m, 4)."""
        gap, path, loft, speed, share, strength, length, toe = np.moveaxis(x, -1, 0)
        response = ball_responses(self.club, np.maximum(speed, 5.0), loft, self.attack)
        to_toe = toe * self.handed[:, None]
        start = path + (response.face_share + share) * gap + self.toe.start * to_toe
        carry = response.carry * np.exp(length)
        curve = response.curve(gap) * np.exp(strength) + self.toe.curve * to_toe + self.drift
        # A curve grows about in proportion to the distance flown (side with its square).
        followed = np.minimum(1.0, self.seen[:, None] / np.maximum(carry, 1.0))
        return np.stack([start, curve * followed, carry * np.sin(start + curve), carry], axis=-1)

    def solve(self) -> tuple[Floats, Floats, Floats]:
        """Most probable unknowns (n, 8), their covariance (n, 8, 8), and how badly the flight fits, chi squared (n,).

        Gauss-Newton in units of the prior's sds, damped wherever a step would not improve the fit (Levenberg).
        """
        n, size = self.mean.shape
        weight = 1.0 / self.seen_sd**2
        each = np.eye(size)
        # Central differences: a left-handed golfer's answer must be the exact mirror image.
        aside = _PROBE * np.concatenate([each, -each])
        z, damping = np.zeros((n, size)), np.zeros(n)
        miss = self._miss(z)
        covariance = np.broadcast_to(each, (n, size, size)).copy()
        for _ in range(_STEPS):
            values = self.predict(self._unknowns(z[:, None, :] + aside))
            slopes = (values[:, :size] - values[:, size:]) / (2.0 * _PROBE)
            information = np.einsum("nko,no,nlo->nkl", slopes, weight, slopes) + each
            pull = np.einsum("nko,no->nk", slopes, weight * miss) - z
            covariance = np.linalg.inv(information)
            damped = information * (1.0 + damping[:, None, None] * each)
            step = np.linalg.solve(damped, pull[:, :, None])[:, :, 0]
            trial = z + np.clip(step, -_LONGEST_STEP, _LONGEST_STEP)
            trial_miss = self._miss(trial)
            better = self._cost(trial, trial_miss) <= self._cost(z, miss)
            z, miss = np.where(better[:, None], trial, z), np.where(better[:, None], trial_miss, miss)
            damping = np.where(better, 0.1 * damping, np.maximum(10.0 * damping, 0.1))
            if np.abs(step).max() < _SMALL_STEP:
                break
        scale = self.sd[:, :, None] * self.sd[:, None, :]
        return self._unknowns(z[:, None, :])[:, 0], covariance * scale, np.sum(weight * miss**2, axis=1)

    def _unknowns(self, z: Floats) -> Floats:
        return np.asarray(self.mean[:, None, :] + self.sd[:, None, :] * z)

    def _miss(self, z: Floats) -> Floats:
        off = self.seen_values - self.predict(self._unknowns(z[:, None, :]))[:, 0]
        return np.where(np.isfinite(self.seen_sd), off, 0.0)

    def _cost(self, z: Floats, miss: Floats) -> Floats:
        return np.asarray(np.sum((miss / self.seen_sd) ** 2, axis=1) + np.sum(z**2, axis=1))


def _measurements(observed: Sequence[Observed], drift: float) -> tuple[Floats, Floats]:
    """Start, curve, side, carry and their sds, shape (n, 4); a sd of infinity where not seen."""
    values, sds = np.zeros((len(observed), 4)), np.full((len(observed), 4), np.inf)
    for i, one in enumerate(observed):
        if one.shape is not None:
            one = replace(  # noqa: PLW2901
                one, start=one.start or one.shape.tapped_start(), curve=one.curve or one.shape.tapped_curve()
            )
        for j, reading in enumerate((one.start, one.curve, one.side, one.carry)):
            if reading is None or (j == 1 and one.seen is not None and one.seen < _CURVE_NEEDS):
                continue
            values[i, j] = reading.value
            sds[i, j] = max(reading.sd, _LEAST_SD[j])
        sds[i, 1] = np.hypot(sds[i, 1], _WIND_DOUBT * drift)
        carry = one.carry.value if one.carry is not None else 150.0
        sds[i, 2] = np.hypot(sds[i, 2], _WIND_DOUBT * drift * carry)
        if np.isfinite(sds[i, :3]).all() and one.carry is not None and one.shape is None:
            # Start, curve and carry already fix the side: counted once.
            values[i, 2], sds[i, 2] = 0.0, np.inf
    return values, sds


def _wind_drift(club: Club, prior: DeliveryPrior, air: Air | None) -> float:
    """Curve in radians that the wind alone gives a straight shot."""
    if air is None or not any(air.wind):
        return 0.0
    hit = delivery_with(club, prior.club_speed.value, 0.0, 0.0, prior.attack.value, prior.delivered_loft.value)
    return float(fly_many(Launches.of([strike(hit)]), air, max_step=0.2).curve[0])


def curve_from_side(start: float, side: float, carry: float) -> float:
    """Curve in radians of a ball that lands side metres right at carry metres, started at start radians."""
    return asin(max(-1.0, min(1.0, side / carry))) - start


def _limits(one: Observed, club: Club, gap: float, misfit: float) -> list[Issue]:
    found = []
    if misfit > _CONTRADICTION:
        found.append(
            Issue(
                "flight_contradicts_itself",
                "warning",
                "ball",
                "Start, curve and landing place do not go together for this club: one of them was misread, or a sign is wrong.",
            )
        )
    if one.curve is not None and one.seen is not None and one.seen < _CURVE_NEEDS:
        found.append(
            Issue(
                "curve_not_seen",
                "note",
                "curve_deg",
                f"The flight was followed for {one.seen:.0f} m only: too short to see a curve, so it is left out.",
            )
        )
    if gap > 4.0 * DEG:
        found.append(
            Issue(
                "path_hardly_known",
                "note",
                "path_deg",
                f"A {club.name} bends the ball little: path is known only to about {gap / DEG:.0f} degrees"
                " against the face from this flight.",
            )
        )
    if one.strike == SPOTS["unknown"] and club.kind in {"driver", "wood"}:
        found.append(
            Issue(
                "strike_unknown",
                "note",
                "strike",
                "Where on the face the ball was struck is unknown; with a wood that alone can start and bend it.",
            )
        )
    return found


def _chance_positive(estimate: Estimate) -> float:
    return float(ndtr(estimate.value / max(estimate.sd, 1e-12)))

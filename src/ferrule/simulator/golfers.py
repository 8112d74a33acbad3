"""Simulated golfers for the reasoning: a delivery drawn from the priors, its ball by exact impact and flight, and readings
with noise and gaps, with the truth beside them.

The chain is the exact one (`club.delivery`, `ball.impact`, `ball.flight`), not the linear answers that the case model uses
for the ball. With `shifted` the generator's own references and priors differ from the model's by their stated spreads.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.air import SEA_LEVEL
from ferrule.ball.coefficients import LYU, NARUO
from ferrule.ball.flight import fly_many
from ferrule.ball.impact import delivery_with, strike_many, typical_attack
from ferrule.club.clubs import Club, club_by_name, typical_club_speed
from ferrule.coaching.case import Case, CaseSwing, Gear, Golfer, How, Reading, Setting
from ferrule.coaching.delivery_state import CAUSES, SIZE, A, B, DeliveryModel, F, G, L, P, R, U, X
from ferrule.coaching.references import LEAN_TIE, Reference, reference_of, with_shift
from ferrule.coaching.shares import shares_of_face
from ferrule.units import DEG

Floats = NDArray[np.float64]

KINDS: Final[dict[str, tuple[str, ...]]] = {
    "ball": ("ball.start_deg", "ball.curve_deg"),
    "wrist": (
        "wrist.address.flexion_deg",
        "wrist.address.ulnar_deviation_deg",
        "wrist.impact.flexion_deg",
        "wrist.impact.ulnar_deviation_deg",
        "wrist.impact.forearm_roll_deg",
    ),
    "eye": ("grip_turn_deg", "posture.forward_bend_address_deg", "posture.forward_bend_impact_deg", "aim_deg"),
    "video": ("shaft_lean_impact_deg", "handle_raise_deg"),
    "delivery": ("delivery.face_deg", "delivery.path_deg", "delivery.delivered_loft_deg"),
}
# key: (doubt in the key's unit, how)
_DOUBT: Final[dict[str, tuple[float, How]]] = {
    "wrist.address.flexion_deg": (3.0, "typed"),
    "wrist.address.ulnar_deviation_deg": (3.0, "typed"),
    "wrist.impact.flexion_deg": (3.0, "typed"),
    "wrist.impact.ulnar_deviation_deg": (3.0, "typed"),
    "wrist.impact.forearm_roll_deg": (4.0, "typed"),
    "forearm_shaft_angle_impact_deg": (4.0, "video"),
    "shaft_lean_impact_deg": (3.0, "video"),
    "handle_raise_deg": (2.0, "video"),
    "posture.forward_bend_address_deg": (3.0, "video"),
    "posture.forward_bend_impact_deg": (3.0, "video"),
    "aim_deg": (1.0, "by_eye"),
    "delivery.face_deg": (1.0, "typed"),
    "delivery.path_deg": (1.0, "typed"),
    "delivery.delivered_loft_deg": (2.0, "typed"),
    "ball.start_deg": (1.0, "ball"),
    "ball.curve_deg": (2.0, "ball"),
    "grip_turn_deg": (7.0, "by_eye"),
}


@dataclass(frozen=True, eq=False, slots=True)
class SimulatedGolfer:
    """A case with its truth, right-handed, radians. state: the delivery (`coaching.delivery_state`); shares: of the causes
    against the generator's own reference; readings: one of every kind, for asking later; truth: what perfect instruments
    would read, by key.
    """

    case: Case
    state: Floats
    face: float
    path: float
    shares: Floats
    readings: MappingProxyType[str, Reading]
    truth: MappingProxyType[str, float]

    @property
    def largest(self) -> str:
        """The cause with the largest share."""
        return CAUSES[int(np.argmax(np.abs(self.shares)))]


def simulate_golfers(
    count: int,
    *,
    seed: int,
    clubs: Sequence[str] = ("7-iron", "driver", "5-iron", "pitching wedge"),
    keep: float | None = None,
    kinds: Sequence[str] | None = None,
    shifted: bool = False,
    strike_seen: bool = True,
    at_hand: tuple[Gear, ...] = ("eye", "video", "sensor", "ball"),
) -> list[SimulatedGolfer]:
    """Golfers with one read delivery each.

    keep: chance of each reading to be there (None: drawn for each golfer); kinds: only these kinds of evidence, whole;
    shifted: references and priors of the generator off by their stated spreads; strike_seen: the strike is told.
    """
    rng = np.random.default_rng(seed)
    out: list[SimulatedGolfer] = []
    names = rng.choice(np.array(clubs), count)
    for name in dict.fromkeys(names.tolist()):
        places = int(np.sum(names == name))
        out += _golfers(club_by_name(name), places, rng, keep, kinds, shifted, strike_seen, at_hand)
    return out


def draw_states(model: DeliveryModel, count: int, rng: np.random.Generator, widen: float = 1.0) -> Floats:
    """States from the priors, shape (count, 10); widen multiplies the spreads."""
    x = rng.normal(model.prior_mean(), widen * model.prior_sd(), (count, SIZE))
    x[:, X] = np.clip(x[:, X], 8 * DEG, 50 * DEG)
    x[:, L] = rng.normal(*LEAN_TIE, count) * model.lean_lever(x) + rng.normal(0, model.prior_sd()[L], count)
    return x


def _golfers(
    club: Club,
    count: int,
    rng: np.random.Generator,
    keep: float | None,
    kinds: Sequence[str] | None,
    shifted: bool,
    strike_seen: bool,
    at_hand: tuple[Gear, ...],
) -> list[SimulatedGolfer]:
    reference = reference_of(club)
    if not shifted:
        model = DeliveryModel(reference)
        x = draw_states(model, count, rng)
        models = [model] * count
    else:
        models = [DeliveryModel(with_shift(reference, rng)) for _ in range(count)]
        x = np.vstack([draw_states(m, 1, rng, float(rng.uniform(0.75, 1.3))) for m in models])
    return read_golfers(club, models, x, rng, keep=keep, kinds=kinds, strike_seen=strike_seen, at_hand=at_hand)


def read_golfers(
    club: Club,
    models: Sequence[DeliveryModel],
    x: Floats,
    rng: np.random.Generator,
    *,
    keep: float | None = None,
    kinds: Sequence[str] | None = None,
    strike_seen: bool = True,
    at_hand: tuple[Gear, ...] = ("eye", "video", "sensor", "ball"),
) -> list[SimulatedGolfer]:
    """Golfers of given deliveries with one club, their balls and readings; see `simulate_golfers`.

    models: each golfer's own; x: their states, shape (n, 10), radians.
    """
    face = np.array([float(m.face(x[i : i + 1])[0]) for i, m in enumerate(models)])
    loft = np.array([float(m.loft(x[i : i + 1])[0]) for i, m in enumerate(models)])
    path = x[:, A] + x[:, P]
    start, curve = _ball(club, face, path, loft, rng)
    out = []
    for i, model in enumerate(models):
        truth = _truth(model, x[i], face[i], path[i], loft[i], start[i], curve[i], rng)
        readings = {
            key: Reading(value / DEG + float(rng.normal(0, _DOUBT[key][0])), _DOUBT[key][0], _DOUBT[key][1])
            for key, value in truth.items()
        }
        wanted = _wanted(readings, rng, keep, kinds)
        swing = {k: readings[k] for k in wanted if k != "grip_turn_deg"}
        case = Case(
            Golfer("right"),
            club,
            (CaseSwing(MappingProxyType(swing), strike="centre" if strike_seen else None),),
            readings["grip_turn_deg"] if "grip_turn_deg" in wanted else None,
            setting=Setting(at_hand=at_hand),
        )
        shares = shares_of_face(model, x[i : i + 1])[0]
        out.append(
            SimulatedGolfer(
                case,
                x[i],
                float(face[i]),
                float(path[i]),
                shares,
                MappingProxyType(readings),
                MappingProxyType(truth),
            )
        )
    return out


def _wanted(
    readings: dict[str, Reading], rng: np.random.Generator, keep: float | None, kinds: Sequence[str] | None
) -> list[str]:
    if kinds is not None:
        return [key for kind in kinds for key in KINDS[kind]]
    chance = rng.uniform(0.15, 0.9) if keep is None else keep
    return [key for key in readings if rng.random() < chance]


def _ball(club: Club, face: Floats, path: Floats, loft: Floats, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Start and curve of each ball, exact impact and flight; the coefficient set differs from ball to ball."""
    speed = np.full(len(face), typical_club_speed(club))
    attack = np.full(len(face), typical_attack(club))
    like = delivery_with(club, float(speed[0]), 0.0, 0.0, float(attack[0]), club.loft)
    launches = strike_many(face, path, attack, np.clip(loft, 3 * DEG, 75 * DEG), speed, like=like)
    one, two = (fly_many(launches, SEA_LEVEL, c).curve for c in (NARUO, LYU))
    mix = rng.random(len(face))
    # A centred strike is centred to a few millimetres only.
    wood = club.kind in ("driver", "wood", "hybrid")
    start = launches.azimuth + rng.normal(0, (0.4 if wood else 0.3) * DEG, len(face))
    return start, mix * one + (1.0 - mix) * two + rng.normal(0, (1.0 if wood else 0.7) * DEG, len(face))


def _truth(
    model: DeliveryModel,
    x: Floats,
    face: float,
    path: float,
    loft: float,
    start: float,
    curve: float,
    rng: np.random.Generator,
) -> dict[str, float]:
    """What perfect instruments would read, radians by key."""
    ref: Reference = model.reference
    address = ref.address_flexion - (x[G] + rng.normal(0, 5 * DEG)) / np.sin(ref.chi_address)
    bend = float(rng.normal(38, 4) * DEG)
    slope = float(rng.normal(0.4, 0.3))
    # ε_body = slope · (lost - 5°) + rest: lost follows where the slope is not too small to invert.
    rest = float(rng.normal(0, 2 * DEG))
    lost = 5 * DEG + np.clip((x[B] - rest) / (slope if abs(slope) > 0.15 else 0.15), -12 * DEG, 25 * DEG)
    ulnar = float(rng.normal(15, 4) * DEG)
    return {
        "wrist.address.flexion_deg": float(np.clip(address, -80 * DEG, 60 * DEG)),
        "wrist.address.ulnar_deviation_deg": ulnar,
        "wrist.impact.flexion_deg": float(ref.flexion + x[F]),
        "wrist.impact.ulnar_deviation_deg": float(ulnar + x[U]),
        "wrist.impact.forearm_roll_deg": float(ref.roll + x[R]),
        "forearm_shaft_angle_impact_deg": float(x[X]),
        "shaft_lean_impact_deg": float(np.arctan(np.tan(x[L] + ref.lean) / np.sin(ref.face.lie))),
        "handle_raise_deg": float(ref.handle_raise + x[B] + x[U]),
        "posture.forward_bend_address_deg": bend,
        "posture.forward_bend_impact_deg": float(bend - lost),
        "aim_deg": float(x[A]),
        "delivery.face_deg": face,
        "delivery.path_deg": path,
        "delivery.delivered_loft_deg": loft + float(rng.normal(0, 1.5 * DEG)),
        "ball.start_deg": start,
        "ball.curve_deg": curve,
        "grip_turn_deg": float(x[G]),
    }

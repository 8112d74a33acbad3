"""What comes back when a simulated golfer is looked at: the readings of a look, with that look's own doubt."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import sqrt
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.response import ResponseByLoft
from ferrule.coaching.ball_evidence import predicted_curve, predicted_start, response_of
from ferrule.coaching.case import Case, How, Reading
from ferrule.coaching.delivery_state import DeliveryModel, States
from ferrule.coaching.evidence import observations_of, swings_of_case
from ferrule.coaching.looks import Predict, RankedLook, next_looks, open_looks
from ferrule.coaching.looks_table import LOOKS, Look
from ferrule.coaching.observation import Observation
from ferrule.coaching.posterior import Posterior, posterior_of
from ferrule.coaching.quantities import GRIP_TURN
from ferrule.coaching.references import FACE_ADDRESS_SD_DEG, reference_of
from ferrule.coaching.shares import shares_of_face
from ferrule.simulator.golfers import SimulatedGolfer
from ferrule.units import DEG

Floats = NDArray[np.float64]

_HABIT = 0.4
"""Part of the sensors' doubt in flexion that is the golfer's own idea of a flat hand and goes with every mounting: of a pose
within 1 to 2 degrees six tenths of the variance (`simulator.plans.CalibrationPlan`), under a doubt of 2.2 to 3.5."""
# observation beside the look's own: the keys that bring it, and what part of the observation's doubt each reading has
_ALONG = {
    "impact_roll": ("wrist.impact.forearm_roll_deg",),
    "unset": ("wrist.address.ulnar_deviation_deg", "wrist.impact.ulnar_deviation_deg"),
}


def readings_of_look(
    golfer: SimulatedGolfer, look: Look, rng: np.random.Generator, face_address: float = 0.0, habit: float = 0.0
) -> dict[str, Reading]:
    """Readings by glossary key that a look brings back, noise drawn from its doubt. The same at every look of a golfer:
    face_address, how the face is set down, degrees; habit, N(0, 1), what this golfer takes for a flat hand.

    A bend that is judged is one judgement of a difference: its doubt is shared out among both ends. Sensors bring the
    address, the unsetting, the roll and the face since address along.
    """
    how: How = "by_eye" if look.needs == "eye" else look.needs

    def read(key: str, sd: float, value: float | None = None) -> Reading:
        true = golfer.truth[key] if value is None else value
        alike = _HABIT if how == "sensor" and key.endswith("flexion_deg") else 0.0
        error = alike * habit + sqrt(1.0 - alike**2) * float(rng.normal(0.0, 1.0))
        return Reading(true / DEG + sd * error, sd, how)

    if look.key == "posture.forward_bend_impact_deg":
        half = look.sd_deg / sqrt(2.0)
        return {key: read(key, half) for key in ("posture.forward_bend_address_deg", look.key)}
    out = {look.key: read(look.key, look.sd_deg)}
    for name, sd in look.shows[1:]:
        for key in _ALONG.get(name, ()):
            out[key] = read(key, sd / sqrt(len(_ALONG[name])))
        if name == "grip_address":
            key = "wrist.address.flexion_deg"
            out[key] = read(key, look.sd_deg)
        if name == "face_since_address":
            # The face at address is not read: what it is off by is in the sensors' face, not in their stated doubt.
            own = sqrt(sd**2 - FACE_ADDRESS_SD_DEG**2)
            out["delivery.face_deg"] = read("", own, golfer.face - golfer.truth["aim_deg"] - face_address * DEG)
    return out


def with_readings(case: Case, readings: dict[str, Reading]) -> Case:
    """The case of one swing with further readings: joined with what was read before, weighted by their doubt; of two grips
    the newer.
    """
    before = case.swings[0].readings
    swing = {key: _joined(before.get(key), reading) for key, reading in readings.items() if key != GRIP_TURN.key}
    one = replace(case.swings[0], readings=MappingProxyType({**before, **swing}))
    return replace(case, swings=(one,), grip_turn=readings.get(GRIP_TURN.key, case.grip_turn))


def _joined(before: Reading | None, new: Reading) -> Reading:
    if before is None or before.sd is None or new.sd is None:
        return new
    weights = before.sd**-2, new.sd**-2
    value = (weights[0] * before.value + weights[1] * new.value) / sum(weights)
    return Reading(value, sum(weights) ** -0.5, before.how if before.sd <= new.sd else new.how)


class Looker:
    """One simulated golfer who is looked at: what each look of a table brings back is drawn once; what the model makes of
    any set of looks is worked out once.
    """

    def __init__(
        self, golfer: SimulatedGolfer, rng: np.random.Generator, table: Sequence[Look] = LOOKS,
        model: DeliveryModel | None = None,
    ) -> None:  # fmt: skip
        self.golfer, self.table = golfer, tuple(table)
        self.model = DeliveryModel(reference_of(golfer.case.club)) if model is None else model
        face_address = float(rng.normal(0.0, FACE_ADDRESS_SD_DEG))
        habit = float(rng.normal(0.0, 1.0))
        self._brought = {look.name: readings_of_look(golfer, look, rng, face_address, habit) for look in self.table}
        self._seen: dict[frozenset[str], Seen] = {}
        self._known: dict[frozenset[str], Looked] = {}

    def seen(self, names: Iterable[str]) -> "Seen":
        """What has been read after these looks."""
        key = frozenset(names)
        if key not in self._seen:
            case = self.golfer.case
            for look in self.table:
                if look.name in key:
                    case = with_readings(case, self._brought[look.name])
            response = response_of(case, swings_of_case(case))
            self._seen[key] = Seen(tuple(observations_of(case, self.model, response)), response)
        return self._seen[key]

    def after(self, names: Iterable[str]) -> "Looked":
        """What is known after these looks."""
        key = frozenset(names)
        if key not in self._known:
            seen = self.seen(key)
            posterior = posterior_of(self.model, seen.observations)
            shares = shares_of_face(self.model, posterior.x)
            largest = np.argmax(np.abs(shares), axis=1)
            self._known[key] = Looked(
                seen,
                posterior,
                shares,
                np.bincount(largest, posterior.weight, shares.shape[1]).astype(np.float64),
                int(np.argmax(np.abs(self.golfer.shares))),
            )
        return self._known[key]

    def looks(self, names: Iterable[str], *, table: Sequence[Look] | None = None) -> list[RankedLook]:
        """The looks that the product offers after these, best first."""
        done = set(names)
        known = self.after(done)
        left = [look for look in (table or self.table) if look.name not in done]
        return next_looks(
            known.posterior, States(self.model, known.posterior.x), known.shares, self.golfer.case.setting.at_hand,
            known.seen.read, known.seen.through_ball, left,
        )  # fmt: skip

    def open(self, names: Iterable[str]) -> list[Look]:
        """The looks that could be taken after these, whatever they are worth."""
        done = set(names)
        left = [look for look in self.table if look.name not in done]
        return open_looks(left, self.golfer.case.setting.at_hand, self.seen(done).read)


@dataclass(frozen=True, eq=False, slots=True)
class Seen:
    """What was read of one golfer, and how the ball answers."""

    observations: tuple[Observation, ...]
    response: ResponseByLoft

    @property
    def read(self) -> dict[str, float]:
        """Doubt of each observation, radians."""
        return {o.name: o.sd for o in self.observations}

    @property
    def through_ball(self) -> dict[str, Predict]:
        """What the ball would show."""
        return {
            "ball_start": partial(predicted_start, self.response),
            "ball_curve": partial(predicted_curve, self.response),
        }


@dataclass(frozen=True, eq=False, slots=True)
class Looked:
    """What is known of one golfer. probability: of each cause to be the largest; largest: which one truly is."""

    seen: Seen
    posterior: Posterior
    shares: Floats
    probability: Floats
    largest: int

    @property
    def right(self) -> bool:
        """Whether the likeliest cause is the largest."""
        return int(np.argmax(self.probability)) == self.largest

    @property
    def named(self) -> bool:
        """Whether the largest cause is named: right, at least as likely as not, and worth 1.5 degrees."""
        share = float(self.posterior.weight @ self.shares[:, self.largest])
        return self.right and float(self.probability.max()) >= 0.5 and abs(share) >= 1.5 * DEG


__all__ = ["Looked", "Looker", "Seen", "readings_of_look", "with_readings"]

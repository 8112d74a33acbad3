"""What comes back when a simulated golfer is looked at: the readings of a look, with that look's own doubt."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import sqrt
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

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

# observation beside the look's own: the keys that bring it, and what part of the observation's doubt each reading has
_ALONG = {
    "impact_roll": ("wrist.impact.forearm_roll_deg",),
    "unset": ("wrist.address.ulnar_deviation_deg", "wrist.impact.ulnar_deviation_deg"),
}


def readings_of_look(golfer: SimulatedGolfer, look: Look, rng: np.random.Generator) -> dict[str, Reading]:
    """Readings by glossary key that a look brings back, noise drawn from its doubt.

    A bend that is judged is one judgement of a difference: its doubt is shared out among both ends. Sensors bring the
    address, the unsetting, the roll and the face since address along.
    """
    how: How = "by_eye" if look.needs == "eye" else look.needs

    def read(key: str, sd: float, value: float | None = None) -> Reading:
        true = golfer.truth[key] if value is None else value
        return Reading(true / DEG + float(rng.normal(0.0, sd)), sd, how)

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
            address = float(rng.normal(0.0, FACE_ADDRESS_SD_DEG)) * DEG
            out["delivery.face_deg"] = read("", own, golfer.face - golfer.truth["aim_deg"] - address)
    return out


def with_readings(case: Case, readings: dict[str, Reading]) -> Case:
    """The case of one swing with further readings, newer ones in place of older."""
    swing = {key: reading for key, reading in readings.items() if key != GRIP_TURN.key}
    one = replace(case.swings[0], readings=MappingProxyType({**case.swings[0].readings, **swing}))
    return replace(case, swings=(one,), grip_turn=readings.get(GRIP_TURN.key, case.grip_turn))


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
        self._brought = {look.name: readings_of_look(golfer, look, rng) for look in self.table}
        self._known: dict[frozenset[str], Looked] = {}

    def after(self, names: Iterable[str]) -> "Looked":
        """What is known after these looks."""
        key = frozenset(names)
        if key not in self._known:
            case = self.golfer.case
            for look in self.table:
                if look.name in key:
                    case = with_readings(case, self._brought[look.name])
            response = response_of(case, swings_of_case(case))
            observations = observations_of(case, self.model, response)
            posterior = posterior_of(self.model, observations)
            shares = shares_of_face(self.model, posterior.x)
            probability = np.bincount(np.argmax(np.abs(shares), axis=1), posterior.weight, shares.shape[1]).astype(
                np.float64
            )
            self._known[key] = Looked(
                posterior,
                shares,
                tuple(observations),
                {"ball_start": partial(predicted_start, response), "ball_curve": partial(predicted_curve, response)},
                probability,
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
            known.read, known.through_ball, left,
        )  # fmt: skip

    def open(self, names: Iterable[str]) -> list[Look]:
        """The looks that could be taken after these, whatever they are worth."""
        done = set(names)
        left = [look for look in self.table if look.name not in done]
        return open_looks(left, self.golfer.case.setting.at_hand, self.after(done).read)


@dataclass(frozen=True, eq=False, slots=True)
class Looked:
    """What is known of one golfer. probability: of each cause to be the largest; largest: which one truly is."""

    posterior: Posterior
    shares: Floats
    observations: tuple[Observation, ...]
    through_ball: Mapping[str, Predict]
    probability: Floats
    largest: int

    @property
    def read(self) -> dict[str, float]:
        """Doubt of each observation, radians."""
        return {o.name: o.sd for o in self.observations}

    @property
    def right(self) -> bool:
        """Whether the likeliest cause is the largest."""
        return int(np.argmax(self.probability)) == self.largest

    @property
    def named(self) -> bool:
        """Whether the largest cause is named: right, at least as likely as not, and worth 1.5 degrees."""
        share = float(self.posterior.weight @ self.shares[:, self.largest])
        return self.right and float(self.probability.max()) >= 0.5 and abs(share) >= 1.5 * DEG


__all__ = ["Looked", "Looker", "readings_of_look", "with_readings"]

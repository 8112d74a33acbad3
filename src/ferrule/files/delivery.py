"""DELIVERY.json in, the launch it gives out: section `strike` of the machine interface, schema 1."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, cast

import numpy as np

from ferrule.ball.impact import HEADS, Delivery, Model, spin_loft, strike_many, typical_attack
from ferrule.ball.launch import Launch
from ferrule.ball.strike_spot import SPOTS, strike_spot
from ferrule.club.clubs import Club, club_with, known_name
from ferrule.errors import Issue
from ferrule.files.ballquantities import SCHEMA, Answer, Reader, object_from_text, rounded, shown
from ferrule.units import DEG, RPM

_TOP: Final = (
    "schema", "face_deg", "path_deg", "attack_deg", "delivered_loft_deg", "club_speed_mps", "club", "impact", "strike",
    "handedness",
)  # fmt: skip
_CLUB: Final = ("name", "loft_deg", "lie_deg", "length_m", "head_mass_kg")
_IMPACT: Final = ("model", "restitution", "tangential_restitution", "friction")
_STRIKE: Final = ("toe_mm", "high_mm")
_MODELS: Final = ("rolling", "grip_and_slip")
_GLANCING: Final = 80.0 * DEG


@dataclass(frozen=True, slots=True)
class DeliveryInput:
    """A checked delivery with the impact model asked for; friction and tangential restitution None: the model's own."""

    delivery: Delivery
    model: Model
    tangential_restitution: float | None
    friction: float | None
    remarks: tuple[Issue, ...]

    def launch(self) -> Launch:
        """The ball of this delivery."""
        d, one = self.delivery, np.ones(1)
        return strike_many(
            d.face * one,
            d.path * one,
            d.attack * one,
            d.delivered_loft * one,
            d.club_speed * one,
            like=d,
            toe=d.toe,
            high=d.high,
            model=self.model,
            tangential_restitution=self.tangential_restitution,
            friction=self.friction,
        )[0]


def read_delivery(source: str | bytes | Mapping[str, Any]) -> DeliveryInput:
    """A delivery from JSON text or its parsed object. Raises InputError with every fault, unknown keys first."""
    reader = Reader()
    data = object_from_text(source, "delivery")
    if not isinstance(data, Mapping):
        reader.fail("type", "delivery", "an object with named values", shown(data))
        reader.finish()
    values = reader.object(data, "", _TOP)
    reader.schema(values)
    needed = ("face_deg", "path_deg", "delivered_loft_deg", "club_speed_mps")
    face, path, loft, speed = (reader.number(values, key, required=True) for key in needed)
    attack = reader.number(values, "attack_deg")
    club, mass = _read_club(values.get("club"), reader)
    impact = reader.object(values.get("impact"), "impact", _IMPACT)
    model = reader.choice(impact, "model", "impact", _MODELS) or "grip_and_slip"
    ratios = [reader.number(impact, key, "impact") for key in _IMPACT[1:]]
    handed = -1 if reader.choice(values, "handedness", "", ("right", "left")) == "left" else 1
    toe, high = _read_strike(values.get("strike"), reader)
    if toe and handed == 1 and values.get("handedness") is None:
        reader.remark("taken_as_right_handed", "handedness", "The toe is taken to point right: a right-handed golfer.")
    if model == "rolling" and (ratios[1] is not None or ratios[2] is not None):
        reader.fail(
            "choice",
            "impact",
            "model grip_and_slip with tangential_restitution or friction",
            "model rolling",
            do="A ball that rolls has neither: leave them out or change the model.",
        )
    reader.finish()
    assert face is not None
    assert path is not None
    assert loft is not None
    assert speed is not None
    if attack is None:
        rise = 0.0 if club is None else typical_attack(club)
        reader.remark("attack_assumed", "attack_deg", f"attack_deg was not given: taken as {rise / DEG:.1f} degrees.")
    else:
        rise = attack.value * DEG
    delivery = Delivery(
        face.value * DEG,
        path.value * DEG,
        rise,
        loft.value * DEG,
        speed.value,
        mass,
        None if ratios[0] is None else ratios[0].value,
        toe,
        high,
        handed,
        None if club is None else HEADS[club.kind],
        club is not None and club.kind in {"driver", "wood", "hybrid"},
    )
    blow = spin_loft(delivery.face, delivery.path, delivery.attack, delivery.delivered_loft)
    if blow > _GLANCING:
        reader.fail(
            "out_of_range",
            "face_deg",
            f"a face within {_GLANCING / DEG:.0f} degrees of the way the head moves",
            f"{blow / DEG:.0f} degrees between them",
            "face, path, attack and loft are not of one swing",
        )
        reader.finish()
    return DeliveryInput(
        delivery,
        cast("Model", model),
        None if ratios[1] is None else ratios[1].value,
        None if ratios[2] is None else ratios[2].value,
        tuple(reader.remarks),
    )


def delivery_answer(given: DeliveryInput) -> Answer:
    """The launch of a checked delivery in the keys of LAUNCH.json."""
    launch = given.launch()
    issues = list(given.remarks)
    if abs(launch.axis_heading) > 90.0 * DEG:
        issues.append(
            Issue(
                "topspin",
                "warning",
                "attack_deg",
                "The head rises more than the face looks up: the ball leaves with topspin, which a tilt cannot show.",
            )
        )
    return {
        "schema": SCHEMA,
        "ball_speed_mps": rounded(launch.ball_speed),
        "launch_deg": rounded(launch.launch / DEG),
        "azimuth_deg": rounded(launch.azimuth / DEG),
        "spin_rpm": rounded(launch.spin_rate / RPM, 2),
        "axis_tilt_deg": rounded(launch.axis_tilt / DEG),
        "issues": [i.to_json() for i in issues],
    }


def strike_answer(source: str | bytes | Mapping[str, Any]) -> Answer:
    """The answer of `ferrule strike`."""
    return delivery_answer(read_delivery(source))


def _read_club(raw: Any, reader: Reader) -> tuple[Club | None, float]:
    """The club where its name or its loft and length are known, and the head's mass."""
    values = reader.object(raw, "club", _CLUB)
    numbers = {key: reader.number(values, key, "club") for key in _CLUB[1:]}
    loft, lie, length, mass = (None if n is None else n.value for n in numbers.values())
    name = values.get("name")
    if name is not None and not isinstance(name, str):
        reader.fail("type", "club.name", 'the name of a club, for example "7-iron"', shown(name))
        name = None
    shaped = loft is not None and length is not None
    if name is not None and known_name(name) is None and not shaped and mass is None:
        reader.fail(
            "unknown_club",
            "club.name",
            'a known club such as "driver" or "7-iron"',
            shown(name),
            do="Use a known name, or give head_mass_kg.",
        )
    if (name is not None and known_name(name) is not None) or shaped:
        club = club_with(
            name or "own club", None if loft is None else loft * DEG, None if lie is None else lie * DEG, length, mass
        )
        return club, club.head_mass
    if mass is None and values.get("head_mass_kg") is None and name is None:
        reader.fail("missing", "club", 'a club with "name" or "head_mass_kg"', "neither")
    return None, mass or 0.2


def _read_strike(raw: Any, reader: Reader) -> tuple[float, float]:
    """Toe and high in metres."""
    if raw is None:
        return 0.0, 0.0
    if isinstance(raw, Mapping):
        values = reader.object(raw, "strike", _STRIKE)
        toe, high = (reader.number(values, key, "strike") for key in _STRIKE)
        return (0.0 if toe is None else toe.value * 1e-3), (0.0 if high is None else high.value * 1e-3)
    if not isinstance(raw, str) or raw not in SPOTS:
        reader.fail("choice", "strike", f"one of {', '.join(SPOTS)}, or toe_mm and high_mm", shown(raw))
        return 0.0, 0.0
    spot = strike_spot(raw)
    return spot.toe.value, spot.high.value

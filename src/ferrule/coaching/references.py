"""Reference delivery and priors, by club: one data table, common practice, no source, each with a spread.

Degrees in the table (as the trade says them), radians out of the functions. Clubs between 7-iron and driver, and beyond,
interpolate by length (held at half a club's step beyond the ends). A case may carry its own reference. The reference is
always a square delivery; the ± of a reference is for sensitivity and is not added to a share's doubt.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Final

import numpy as np

from ferrule.club.clubs import Club
from ferrule.club.delivery import ReferenceFace
from ferrule.units import DEG

IRON_LENGTH: Final = 0.940
DRIVER_LENGTH: Final = 1.150

# key: ((7-iron value, spread), (driver value, spread)), degrees. Common practice, no source.
REFERENCES: Final = MappingProxyType(
    {
        "flexion_deg": ((6.0, 5.0), (0.0, 5.0)),
        "lean_deg": ((6.0, 3.0), (0.0, 3.0)),
        "chi_deg": ((25.0, 6.0), (22.0, 6.0)),
        "chi_shaft_level_deg": ((65.0, 10.0), (65.0, 10.0)),
        "chi_address_deg": ((27.0, 6.0), (27.0, 6.0)),
        "forearm_roll_deg": ((0.0, 5.0), (0.0, 5.0)),
        "handle_raise_deg": ((2.0, 2.0), (2.0, 2.0)),
        "address_flexion_deg": ((-15.0, 6.0), (-12.0, 6.0)),
        "top_flexion_deg": ((-14.0, 10.0), (-14.0, 10.0)),
        "shaft_level_flexion_deg": ((-3.0, 8.0), (-3.0, 8.0)),
        "shaft_level_roll_deg": ((-40.0, 10.0), (-40.0, 10.0)),
        "unset_deg": ((0.0, 5.0), (0.0, 5.0)),
        "address_ulnar_deg": ((15.0, 8.0), (15.0, 8.0)),
    }
)

# Departures among golfers who come for a lesson: (mean, sd) in degrees. Common practice, no source.
PRIORS: Final = MappingProxyType(
    {
        "grip": (0.0, 8.0),
        "flexion": (0.0, 10.0),
        "unset": (0.0, 4.0),
        "roll": (0.0, 8.0),
        "lean": (0.0, 4.0),
        "raised": (2.0, 3.0),
        "aim": (0.0, 3.0),
        "body": (0.0, 5.0),
        "path": (0.0, 4.0),
    }
)
LEAN_TIE: Final = (0.3, 0.2)
"""c of ℓ = c (Δf cos χ - Δσ sin χ) + a, mean and sd (common practice, no source)."""
BEND_TO_HANDLE: Final = (0.4, 0.3, 5.0, 2.0)
"""ε_body = (0.4 ± 0.3) · (bend lost - 5°) + N(0, 2°): slope, its sd, free bend in degrees, rest in degrees (common
practice, no source)."""
GRIP_ADDRESS_SD_DEG: Final = 5.0
"""η: how the forearm was set at address, hidden in the link of grip and address flexion (common practice, no source)."""
FACE_ADDRESS_SD_DEG: Final = 2.0
DELIVERED_LOFT_EXTRA_DEG: Final = 1.5

# Swing-to-swing scatter of one golfer, degrees: common practice, no source, until the golfer's own is known.
SCATTER: Final = MappingProxyType(
    {
        "flexion": 3.0,
        "unset": 2.5,
        "roll": 4.0,
        "lean": 2.0,
        "handle": 1.0,
        "chi": 1.5,
        "bend": 2.0,
        "aim": 1.0,
        "face_address": 1.0,
        "face": 2.5,
        "path": 2.0,
        "loft": 1.5,
        "start": 2.2,
        "curve": 3.0,
        "edge": 5.0,
        "grip": 0.0,
    }
)
_ROW_OF_KEY: Final = MappingProxyType(
    {
        "wrist.impact.flexion_deg": "flexion",
        "wrist.top.flexion_deg": "flexion",
        "wrist.shaft_level_down.flexion_deg": "flexion",
        "wrist.address.flexion_deg": "flexion",
        "wrist.impact.ulnar_deviation_deg": "unset",
        "wrist.impact.forearm_roll_deg": "roll",
        "shaft_lean_impact_deg": "lean",
        "handle_raise_deg": "handle",
        "forearm_shaft_angle_impact_deg": "chi",
        "posture.forward_bend_address_deg": "bend",
        "posture.forward_bend_impact_deg": "bend",
        "aim_deg": "aim",
        "face_address_deg": "face_address",
        "delivery.face_deg": "face",
        "delivery.path_deg": "path",
        "grip_turn_deg": "grip",
    }
)


def scatter_of(key: str) -> float | None:
    """Usual scatter of what a glossary key reads, degrees; None where none is known."""
    row = _ROW_OF_KEY.get(key)
    return None if row is None else SCATTER[row]


@dataclass(frozen=True, slots=True)
class Reference:
    """The square delivery of one club, radians. spread: the ± of each entry by key, radians."""

    face: ReferenceFace
    flexion: float
    chi: float
    roll: float
    handle_raise: float
    chi_shaft_level: float
    chi_address: float
    address_flexion: float
    top_flexion: float
    shaft_level_flexion: float
    shaft_level_roll: float
    unset: float
    address_ulnar: float
    spread: Mapping[str, float] = field(hash=False)

    @property
    def lean(self) -> float:
        """Lean in the plane that belongs to the square delivery."""
        return self.face.lean


def reference_of(club: Club, own: Mapping[str, float] | None = None) -> Reference:
    """Reference for a club, with a case's own entries (degrees, keys of the machine interface) in place of the table."""
    return _reference(club, tuple(sorted((own or {}).items())))


@lru_cache(maxsize=256)
def _reference(club: Club, own: tuple[tuple[str, float], ...]) -> Reference:
    between = min(max((club.length - IRON_LENGTH) / (DRIVER_LENGTH - IRON_LENGTH), -0.25), 1.05)
    value: dict[str, float] = {}
    spread: dict[str, float] = {}
    for key, ((iron, iron_sd), (driver, driver_sd)) in REFERENCES.items():
        value[key] = (iron + between * (driver - iron)) * DEG
        spread[key] = (iron_sd + between * (driver_sd - iron_sd)) * DEG
    for key, degrees in own:
        value[key] = degrees * DEG
    return Reference(
        ReferenceFace(club.loft, club.lie, value["lean_deg"]),
        value["flexion_deg"],
        value["chi_deg"],
        value["forearm_roll_deg"],
        value["handle_raise_deg"],
        value["chi_shaft_level_deg"],
        value["chi_address_deg"],
        value["address_flexion_deg"],
        value["top_flexion_deg"],
        value["shaft_level_flexion_deg"],
        value["shaft_level_roll_deg"],
        value["unset_deg"],
        value["address_ulnar_deg"],
        MappingProxyType(spread),
    )


def with_shift(reference: Reference, rng: np.random.Generator) -> Reference:
    """The same reference with each entry of the delivery off by its stated spread; square all the same."""

    def off(value: float, key: str) -> float:
        return value + float(rng.normal(0.0, reference.spread[key]))

    return replace(
        reference,
        face=replace(reference.face, lean=off(reference.face.lean, "lean_deg")),
        flexion=off(reference.flexion, "flexion_deg"),
        chi=off(reference.chi, "chi_deg"),
        roll=off(reference.roll, "forearm_roll_deg"),
        handle_raise=off(reference.handle_raise, "handle_raise_deg"),
        address_flexion=off(reference.address_flexion, "address_flexion_deg"),
        unset=off(reference.unset, "unset_deg"),
    )

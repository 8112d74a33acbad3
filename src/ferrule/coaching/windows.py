"""Windows: the interval of one angle, at one place with one club, that keeps the face within tolerance.

Everything else of this golfer's delivery stays as it is, the movement after the place too: a wrist bowed 5 degrees more at
the top and moved from there as always arrives 5 degrees more bowed. The face is worked out at arrival (`counterfactual`).
A window is compared with the golfer's own scatter of that angle: narrower than the scatter, it cannot be held by trying.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import atan, sin, sqrt, tan
from typing import Final

from scipy.special import ndtr

from ferrule.club.clubs import Club
from ferrule.coaching.case import Swings, WristRange
from ferrule.coaching.counterfactual import TOLERANCE, Change, Delivered, amount_that_squares, outcome_of
from ferrule.coaching.observation import summary_of
from ferrule.coaching.quantities import GRIP_TURN
from ferrule.coaching.references import SCATTER, Reference
from ferrule.coaching.wrist_range import KEEP_AWAY_DEG
from ferrule.units import DEG

SCATTER_DF: Final = 6.0
"""How many swings the usual scatter counts for beside the golfer's own (common practice, no source)."""

# key: (part of a change, row of `SCATTER`, how far to look: radians, or metres of ball position)
_PLACES: Final[dict[str, tuple[str, str, float]]] = {
    "wrist.top.flexion_deg": ("flexion", "flexion", 30.0 * DEG),
    "wrist.shaft_level_down.flexion_deg": ("flexion", "flexion", 30.0 * DEG),
    "wrist.impact.flexion_deg": ("flexion", "flexion", 30.0 * DEG),
    "wrist.impact.ulnar_deviation_deg": ("raised", "unset", 20.0 * DEG),
    "wrist.shaft_level_down.forearm_roll_deg": ("roll", "roll", 30.0 * DEG),
    "wrist.impact.forearm_roll_deg": ("roll", "roll", 30.0 * DEG),
    "shaft_lean_impact_deg": ("lean", "lean", 20.0 * DEG),
    "handle_raise_deg": ("raised", "handle", 20.0 * DEG),
    "aim_deg": ("aim", "aim", 20.0 * DEG),
    GRIP_TURN.key: ("grip", "grip", 30.0 * DEG),
    "ball_position_m": ("ball_forward", "grip", 0.12),
}
WINDOW_KEYS: Final = tuple(_PLACES)
_MISSED: Final = 0.05 * DEG
_BALL_SCATTER_M: Final = 0.01
"""How much the ball's place varies from swing to swing (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Present:
    """What an angle is now: typical value and scatter from swing to swing, radians (or metres); count of readings."""

    value: float
    scatter: float
    count: int


@dataclass(frozen=True, slots=True)
class Window:
    """Target interval of one key with one club. Radians (ball position: metres), + as in the glossary.

    low, high: None where nothing within reach takes the face out on that side; reachable: False when no value of this
    angle alone brings the face within tolerance (then both are None); now: what it is at present; scatter: swing
    to swing; inside: chance that a swing falls inside as it is now, by this angle alone; inside_centred: the same if the
    typical swing stood in the middle; face_per_unit: turn of the face for one unit more, + opens; place_sd: doubt of where
    the window lies, from the doubt of the face; limited: the wrist's own range cut it.
    """

    key: str
    club: str
    low: float | None
    high: float | None
    reachable: bool
    now: float
    count: int
    scatter: float
    inside: float
    inside_centred: float
    face_per_unit: float
    place_sd: float
    tolerance: float
    limited: bool

    @property
    def now_inside(self) -> bool:
        """Whether the typical swing lies inside."""
        return (
            self.reachable
            and (self.low is None or self.now >= self.low)
            and (self.high is None or self.now <= self.high)
        )

    @property
    def fits(self) -> bool:
        """Whether this golfer's scatter fits into the window at all: 8 of 10 swings from its middle."""
        return self.reachable and self.inside_centred >= 0.8

    def to_json(self) -> dict[str, object]:
        """Degrees (ball position: metres), the unit in the key."""
        unit = unit_of(self.key)
        return {
            "key": self.key,
            "club": self.club,
            "low": None if self.low is None else self.low / unit,
            "high": None if self.high is None else self.high / unit,
            "now": self.now / unit,
            "scatter": self.scatter / unit,
            "inside": self.inside,
            "place_sd": self.place_sd / unit,
            "reachable": self.reachable,
        }


def unit_of(key: str) -> float:
    """Size of one unit of the key in the unit used inside."""
    return DEG if key.endswith("_deg") else 1.0


def present_of(
    swings: Swings, now: Delivered, reference: Reference, roll: float, unset: float, grip: float
) -> dict[str, Present]:
    """What every angle of `WINDOW_KEYS` is now. roll, unset, grip: departures as the model knows them, radians.

    The angles of impact are the model's (a reading and the rest of the evidence together); those before it are as read,
    and are left out where nobody read them.
    """
    lean_seen = atan(tan(now.lean + now.face_reference.lean) / sin(now.club.lie))
    model = {
        "wrist.impact.flexion_deg": now.flexion_impact,
        "wrist.impact.forearm_roll_deg": reference.roll + roll,
        "shaft_lean_impact_deg": lean_seen,
        "handle_raise_deg": now.raised + now.handle_reference,
        "aim_deg": now.aim,
        GRIP_TURN.key: grip,
        "ball_position_m": 0.0,
    }
    out = {}
    for key, (_, scatter, _) in _PLACES.items():
        summary = None if key == GRIP_TURN.key else summary_of(swings, key, scatter)
        count = 0 if summary is None else summary.count
        usual = _BALL_SCATTER_M if key == "ball_position_m" else SCATTER[scatter] * DEG
        spread = usual
        if summary is not None and summary.spread is not None:
            freedom = summary.count - 1
            spread = sqrt((SCATTER_DF * usual**2 + freedom * summary.spread**2) / (SCATTER_DF + freedom))
        if key in model:
            out[key] = Present(model[key], spread, count)
        elif key == "wrist.impact.ulnar_deviation_deg" and summary is not None:
            address = summary_of(swings, "wrist.address.ulnar_deviation_deg", "unset")
            value = summary.value if address is None else address.value + reference.unset + unset
            out[key] = Present(value, spread, count)
        elif summary is not None:
            out[key] = Present(summary.value, spread, count)
    return out


def windows_of(
    now: Delivered,
    present: Mapping[str, Present],
    *,
    wanted: float = 0.0,
    tolerance: float = TOLERANCE,
    face_sd: float = 0.0,
    limits: WristRange | None = None,
) -> tuple[Window, ...]:
    """Windows of every angle that is known.

    wanted: the face to arrive with, radians, + right; tolerance: half-width; face_sd: doubt of the present face; limits:
    the golfer's wrist, whose last 10 degrees are never asked for.
    """
    ends: dict[str, tuple[float | None, float | None, bool, float]] = {}
    out = []
    for key, is_now in present.items():
        part, _, reach = _PLACES[key]
        if part not in ends:
            ends[part] = _ends(now, part, reach, wanted, tolerance)
        low, high, reachable, slope = ends[part]
        scale = 1.0
        if part == "lean":
            # Seen face-on a lean is larger than in the plane.
            scale = 1.0 / sin(now.club.lie)
        low = None if low is None else is_now.value + scale * low
        high = None if high is None else is_now.value + scale * high
        low, high, limited = _within_range(key, low, high, limits) if reachable else (None, None, False)
        if low is not None and high is not None and low >= high:
            low = high = None
            reachable = False
        centre = 0.5 * (low + high) if low is not None and high is not None else is_now.value
        out.append(
            Window(
                key,
                now.club.name,
                low,
                high,
                reachable,
                is_now.value,
                is_now.count,
                is_now.scatter,
                _chance(low, high, is_now.value, is_now.scatter) if reachable else 0.0,
                _chance(low, high, centre, is_now.scatter) if reachable else 0.0,
                slope / scale,
                face_sd / max(abs(slope / scale), 1e-6),
                tolerance,
                limited,
            )
        )
    return tuple(out)


def with_club(now: Delivered, club: Club, old: Reference, new: Reference) -> Delivered:
    """The same departures delivered with another club: what this wrist does there. Speed goes with the length."""
    return Delivered(
        club,
        new.face,
        now.rho,
        now.lean,
        now.raised,
        new.handle_raise,
        now.aim,
        now.path,
        now.chi + new.chi - old.chi,
        now.flexion_top + new.top_flexion - old.top_flexion,
        now.flexion_level + new.shaft_level_flexion - old.shaft_level_flexion,
        now.flexion_impact + new.flexion - old.flexion,
        now.set_top,
        now.shaft_open,
        now.edge_tilt,
        now.chi_level + new.chi_shaft_level - old.chi_shaft_level,
        now.head_speed * club.length / now.club.length,
    )


def _ends(
    now: Delivered, part: str, reach: float, wanted: float, tolerance: float
) -> tuple[float | None, float | None, bool, float]:
    """Least and most of one part that keeps the face within tolerance, whether any does, and the turn of the face per unit.

    The face is monotone in every part within reach.
    """

    def face(amount: float) -> float:
        return outcome_of(now, Change(**{part: amount})).face

    step = 0.02 * reach
    slope = (face(step) - face(-step)) / (2.0 * step)
    ends: list[float | None] = []
    # Where more of it opens, the closed edge is met first.
    for edge in (wanted - tolerance, wanted + tolerance) if slope > 0 else (wanted + tolerance, wanted - tolerance):
        amount = amount_that_squares(now, Change(), part, -reach, reach, edge)
        ends.append(amount if abs(face(amount) - edge) < _MISSED else None)
    some = ends != [None, None] or abs(face(0.0) - wanted) <= tolerance
    return ends[0], ends[1], some, slope


def _within_range(
    key: str, low: float | None, high: float | None, limits: WristRange | None
) -> tuple[float | None, float | None, bool]:
    if limits is None or not key.endswith("flexion_deg"):
        return low, high, False
    least, most = (KEEP_AWAY_DEG - limits.extension) * DEG, (limits.flexion - KEEP_AWAY_DEG) * DEG
    limited = (low is not None and low < least) or (high is not None and high > most)
    return least if low is None else max(low, least), most if high is None else min(high, most), limited


def _chance(low: float | None, high: float | None, mean: float, sd: float) -> float:
    """Chance that N(mean, sd) falls inside."""
    width = max(sd, 1e-9)
    above = 1.0 if high is None else float(ndtr((high - mean) / width))
    below = 0.0 if low is None else float(ndtr((low - mean) / width))
    return above - below


__all__ = ["WINDOW_KEYS", "Present", "Window", "present_of", "unit_of", "windows_of", "with_club"]

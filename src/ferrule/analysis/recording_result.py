"""What `analyse_recording` gives back: swings with events, wrist, face, closing, arrays to draw from; and its JSON."""

from dataclasses import dataclass, field
from math import pi
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.mounts import AddressGravity
from ferrule.errors import Issue
from ferrule.frames.handedness import Handedness, world_sign
from ferrule.statistics.estimate import Estimate
from ferrule.swing.closing import PARTS
from ferrule.swing.events import EVENTS, Event, EventName
from ferrule.swing.pattern import WristPattern
from ferrule.units import DEG

Floats = NDArray[np.float64]
Kind = Literal["full_swing", "half_swing", "chip", "air_swing", "waggle"]


@dataclass(frozen=True, slots=True)
class EventReading:
    """Readings at one event, radians, body quantities anatomical, face of a right-hander's target frame.

    wrist angles axial first; flexion_isb, ulnar_deviation_isb beside them. Face quantities are None where refused.
    """

    flexion: Estimate
    ulnar_deviation: Estimate
    forearm_roll: Estimate
    flexion_isb: float
    ulnar_deviation_isb: float
    face: Estimate | None = None
    edge_tilt: Estimate | None = None
    delivered_loft: Estimate | None = None


@dataclass(frozen=True, slots=True)
class ClosingSpan:
    """Closing about the shaft between two events, radians, by part, with `total` and `residual`."""

    start: EventName
    end: EventName
    parts: dict[str, float]


@dataclass(frozen=True, slots=True)
class ClosingRates:
    """Closing at an event: rate about the shaft and over the ground, rad/s; owed: about the shaft, radians, at shaft
    level only.
    """

    about_shaft: float
    over_ground: float | None
    owed: float | None = None

    def to_json(self) -> dict[str, float | None]:
        """Degrees a second, and degrees for what is owed."""

        def degrees(angle: float | None) -> float | None:
            return None if angle is None else angle / DEG

        return {
            "about_shaft_degps": degrees(self.about_shaft),
            "over_ground_degps": degrees(self.over_ground),
            "owed_deg": degrees(self.owed),
        }


@dataclass(frozen=True, eq=False, slots=True)
class SwingTraces:
    """Arrays to draw from, from the end of the still address to impact (without a blow: to the finish), shapes (n,) and
    (n, 3); radians, the target frame of a right-hander. forearm, hand: rotations segment to target frame.
    """

    time_s: Floats
    flexion: Floats
    ulnar_deviation: Floats
    axial: Floats
    flexion_isb: Floats
    ulnar_deviation_isb: Floats
    axial_isb: Floats
    forearm_roll: Floats
    forearm: Rotation
    hand: Rotation
    shaft: Floats
    face_normal: Floats


@dataclass(frozen=True, eq=False, slots=True)
class SwingAnalysis:
    """One swing. number: from 1 in time order, 0 for a waggle. change: readings less those at address, with the doubt of
    the difference, which is smaller than that of either. trail: flexion and ulnar deviation of the trail wrist at the
    events, where its sensors were worn. quality: words for the coach. address_gravity: how both sensors hung at
    address, for `ferrule.analysis.mounts.slip_between`.
    """

    number: int
    kind: Kind
    events: dict[EventName, Event]
    readings: dict[EventName, EventReading]
    change: dict[EventName, dict[str, Estimate]]
    closing: tuple[ClosingSpan, ...]
    closing_rates: dict[EventName, ClosingRates]
    peak_hand_rate: float
    quality: tuple[str, ...]
    pattern: WristPattern | None = None
    trail: dict[EventName, tuple[Estimate, Estimate]] = field(default_factory=dict)
    traces: SwingTraces | None = None
    address_gravity: AddressGravity | None = None

    @property
    def time_up_s(self) -> float | None:
        """Takeaway to top, s."""
        return self._span("takeaway", "top")

    @property
    def time_down_s(self) -> float | None:
        """Top to impact, s."""
        return self._span("top", "impact")

    def _span(self, start: EventName, end: EventName) -> float | None:
        if start not in self.events or end not in self.events:
            return None
        return self.events[end].time_s - self.events[start].time_s

    def to_json(self, handedness: Handedness) -> dict[str, object]:
        """The swing as the machine interface gives it: degrees, face in the world (+ right of the target)."""
        sign = world_sign(handedness)
        order = [name for name in EVENTS if name in self.events]
        wrist: dict[str, object] = {}
        face: dict[str, object] = {}
        for name in order:
            reading = self.readings.get(name)
            if reading is None:
                continue
            wrist[name] = {
                "flexion_deg": _degrees(reading.flexion),
                "ulnar_deviation_deg": _degrees(reading.ulnar_deviation),
                "forearm_roll_deg": _degrees(reading.forearm_roll),
            }
            if reading.face is not None and reading.edge_tilt is not None and reading.delivered_loft is not None:
                face[name] = {
                    "face_deg": _degrees(reading.face, sign),
                    "edge_tilt_deg": _degrees(reading.edge_tilt),
                    "delivered_loft_deg": _degrees(reading.delivered_loft),
                }
        return {
            "kind": self.kind,
            "events": {n: {"time_s": {"value": self.events[n].time_s, "sd": self.events[n].sd}} for n in order},
            "wrist": wrist,
            "face": face,
            "closing_account": [
                {"from": span.start, "to": span.end, "part": part, "closing_deg": span.parts[part] / DEG}
                for span in self.closing
                for part in (*PARTS, "total", "residual")
            ],
            "closing_rates": {name: rates.to_json() for name, rates in self.closing_rates.items()},
            "pattern": None if self.pattern is None else _pattern_json(self.pattern),
            "time_up_s": self.time_up_s,
            "time_down_s": self.time_down_s,
            "address_gravity": _gravity_json(self.address_gravity),
            "quality": list(self.quality),
        }


@dataclass(frozen=True, eq=False, slots=True)
class RecordingAnalysis:
    """All swings of a recording and what there is to say about it.

    clock_offset: lateness of the hand's clock, s. calibration: "guided", "pose_only" or "none". pose_difference: angle
    between the flat-hand pose before and after the calibration, radians, by sensor.
    """

    handedness: Handedness
    swings: tuple[SwingAnalysis, ...]
    issues: tuple[Issue, ...]
    clock_offset: Estimate
    calibration: str
    pose_difference: dict[str, float] = field(default_factory=dict)

    def to_json(self) -> dict[str, object]:
        """The `analyse` answer, schema 1."""
        return {
            "schema": 1,
            "swings": [swing.to_json(self.handedness) for swing in self.swings],
            "issues": [issue.to_json() for issue in self.issues],
        }


def waggle_analysis(start_s: float, end_s: float) -> SwingAnalysis:
    """A waggle: found, cut and told apart from a swing, without readings."""
    events: dict[EventName, Event] = {"takeaway": Event(start_s, 0.05), "finish": Event(end_s, 0.05)}
    return SwingAnalysis(0, "waggle", events, {}, {}, (), {}, 0.0, ())


def _gravity_json(address: AddressGravity | None) -> dict[str, list[float]] | None:
    """Readings in m/s^2, in the sensors' axes of a right-handed golfer."""
    if address is None:
        return None
    return {"forearm": address.forearm.tolist(), "hand": address.hand.tolist()}


def _degrees(estimate: Estimate, sign: float = 1.0) -> dict[str, float]:
    value = sign * estimate.value / DEG
    return {"value": value + 0.0, "sd": estimate.sd / DEG}


def _pattern_json(pattern: WristPattern) -> dict[str, object]:
    """Name, traits and words; measures in degrees (a rate: a second); start of bowing in ms after the turn-round."""
    start = pattern.bowing_starts_s
    return {
        "name": pattern.name,
        "traits": list(pattern.traits),
        "words": pattern.words,
        "measures_deg": {name: value / DEG for name, value in pattern.measures.items()},
        "bowing_starts_ms": None if start is None else 1000.0 * start,
    }


def wrapped(angle: float) -> float:
    """An angle brought to -pi..pi."""
    return float((angle + pi) % (2.0 * pi) - pi)

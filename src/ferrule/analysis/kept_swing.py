"""A recorded swing as it is kept, its section of the `analyse` answer and its traces, made into the analysis again as far as
ways on it need: events, readings, closing account and rates. Doubts of differences, pattern and trail wrist are not there.
"""

from collections.abc import Mapping
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.recorded_ways import no_face
from ferrule.analysis.recording_result import ClosingRates, ClosingSpan, EventReading, SwingAnalysis, SwingTraces
from ferrule.frames.handedness import Handedness, world_sign
from ferrule.statistics.estimate import Estimate
from ferrule.swing.events import Event, EventName
from ferrule.units import DEG

Arrays = Mapping[str, NDArray[Any]]

_TURNS = ("forearm", "hand")


def kept_swing(told: Mapping[str, Any], number: int, handedness: Handedness, arrays: Arrays) -> SwingAnalysis:
    """told: the swing's section, degrees, face in the world; arrays: the fields of `SwingTraces`, rotations as quaternions,
    scalar last. Raises InputError when the face was not told.
    """
    if not face_told(told):
        raise no_face(number)
    traces = traces_of(arrays)
    sign = world_sign(handedness)
    events = {
        cast("EventName", name): Event(float(e["time_s"]["value"]), float(e["time_s"]["sd"]))
        for name, e in told["events"].items()
    }
    readings = {
        name: _reading(told, name, event.time_s, sign, traces)
        for name, event in events.items()
        if name in told["wrist"]
    }
    spans: dict[tuple[EventName, EventName], dict[str, float]] = {}
    for entry in told["closing_account"]:
        spans.setdefault((entry["from"], entry["to"]), {})[entry["part"]] = entry["closing_deg"] * DEG
    return SwingAnalysis(
        number=number,
        kind=told["kind"],
        events=events,
        readings=readings,
        change={},
        closing=tuple(ClosingSpan(start, end, parts) for (start, end), parts in spans.items()),
        closing_rates={name: _rates(rates) for name, rates in told["closing_rates"].items()},
        peak_hand_rate=0.0,
        quality=tuple(told["quality"]),
        traces=traces,
    )


def face_told(told: Mapping[str, Any]) -> bool:
    """Whether the face could be told from shaft level to a blow (of ready-made angles it never is)."""
    places = {"shaft_level_down", "impact"}
    return all(places <= told.get(part, {}).keys() for part in ("face", "closing_rates"))


def traces_of(arrays: Arrays) -> SwingTraces:
    """Traces from the arrays they are kept as."""
    doubles: dict[str, Any] = {name: np.asarray(arrays[name], dtype=np.float64) for name in SwingTraces.__slots__}
    return SwingTraces(**doubles | {name: Rotation.from_quat(doubles[name]) for name in _TURNS})


def _reading(
    told: Mapping[str, Any], event: EventName, time_s: float, sign: float, traces: SwingTraces
) -> EventReading:
    wrist, face = told["wrist"][event], told["face"].get(event, {})

    def isb(of: str) -> float:
        return float(np.interp(time_s, traces.time_s, getattr(traces, of)))

    def seen(key: str, turn: float = 1.0) -> Estimate | None:
        return _estimate(face[key], turn) if key in face else None

    return EventReading(
        _estimate(wrist["flexion_deg"]),
        _estimate(wrist["ulnar_deviation_deg"]),
        _estimate(wrist["forearm_roll_deg"]),
        isb("flexion_isb"),
        isb("ulnar_deviation_isb"),
        seen("face_deg", sign),
        seen("edge_tilt_deg"),
        seen("delivered_loft_deg"),
    )


def _estimate(told: Mapping[str, float], turn: float = 1.0) -> Estimate:
    return Estimate(turn * told["value"] * DEG, told["sd"] * DEG)


def _rates(told: Mapping[str, float | None]) -> ClosingRates:
    about, over, owed = (
        None if v is None else v * DEG for v in (told["about_shaft_degps"], told["over_ground_degps"], told["owed_deg"])
    )
    return ClosingRates(about or 0.0, over, owed)

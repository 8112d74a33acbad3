"""Ways on a recorded swing: what face, loft and closing would have been with a change, worked out on the recording itself.

The wrist and the forearm are moved by the change, faded in linearly between takeaway, top, shaft level and impact; the
rest of arm and body stays as recorded, and the club goes with the hand. The outcome is judged at arrival, with the rates
of this very swing: the lean that the change adds is given back until the head is at the ball, all but the share of hand
speed in head speed. Samples that nothing moves keep their recorded bytes, so that no change gives the swing back exactly.
Right-hander's target frame, radians, like the analysis.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import atan2, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.recording_result import (
    ClosingRates,
    ClosingSpan,
    EventReading,
    SwingAnalysis,
    SwingTraces,
)
from ferrule.club.arrival import ARC_RADIUS, HAND_SPEED_SHARE, lean_in_plane
from ferrule.club.clubs import Club
from ferrule.club.delivery import closing_owed, plane_normal
from ferrule.club.face import Face, closing_over_ground, club_at_address, face_from_directions
from ferrule.coaching.counterfactual import TOLERANCE, TRAIL_HAND, Change, Outcome
from ferrule.errors import InputError
from ferrule.frames.rotations import TARGET, UP, rotation_about
from ferrule.frames.wrist import wrist_angles, wrist_rotation
from ferrule.signals.prefix import rotation_product
from ferrule.statistics.estimate import Estimate
from ferrule.swing.closing import ClosingRecord, closing_record
from ferrule.swing.events import Event, EventName
from ferrule.swing.track import ArmTrack
from ferrule.units import DEG

Floats = NDArray[np.float64]

ADDRESS_SPINE: Final = 36.0 * DEG
"""Forward bend at address where nobody read it (common practice, no source)."""
_RATE_SPANS: Final = (0.006, 0.014)
"""Stretches before the end over which the angular velocity at the end is taken, s."""
_SLOWEST: Final = 1e-3


@dataclass(frozen=True, eq=False, slots=True)
class RecordedWay:
    """One change on a recorded swing. swing: the analysis as it would have been (readings and traces; the impact is that
    of arrival, the traces end where the recording did); outcome: as for a way on a case; delay: how much later the head
    arrives, s.
    """

    change: Change
    swing: SwingAnalysis
    outcome: Outcome
    delay: float


@dataclass(frozen=True, eq=False, slots=True)
class _Moved:
    """Traces with what follows from them: face, closing account, and at the end the hand's angular velocity, shaft and
    face normal.
    """

    traces: SwingTraces
    face: Face
    record: ClosingRecord
    rate: Floats
    shaft: Floats
    normal: Floats


def ways_on(
    swing: SwingAnalysis,
    club: Club,
    changes: Mapping[str, Change],
    *,
    path: float = 0.0,
    address_spine: float | None = None,
    hand_share: float = HAND_SPEED_SHARE[0],
    head_speed: float | None = None,
) -> dict[str, RecordedWay]:
    """Several changes on one recorded swing.

    path: of the recorded swing, radians, + right, which the sensors do not tell; address_spine: forward bend at address,
    radians; hand_share: hand speed over head speed at impact; head_speed: m/s where it was read, else as the recorded
    turn of the shaft has it. Raises InputError when the swing has no blow or its face was refused.
    """
    traces, told = swing.traces, swing.readings.get("impact")
    if traces is None or told is None or told.face is None or "shaft_level_down" not in swing.readings:
        raise no_face(swing.number)
    before = _worked(traces, club)
    spine = ADDRESS_SPINE if address_spine is None else address_spine
    return {
        name: _way(swing, traces, club, before, change, path, spine, hand_share, head_speed)
        for name, change in changes.items()
    }


def no_face(number: int) -> InputError:
    """The refusal of a swing that ways cannot be worked out on."""
    return InputError.of(
        "no_face",
        f"swing {number}",
        expected="a swing with a blow and a face that could be told down to impact",
        got="one without",
        cause="no ball was hit, or the direction of the target is not known",
        do="Record an aim pose and a struck ball",
    )


def changed_traces(swing: SwingAnalysis, traces: SwingTraces, change: Change) -> SwingTraces:
    """The traces with the change, the forearm frozen: up to the recorded impact, before any arrival."""
    times = {name: swing.events[name].time_s for name in swing.events}
    flexion = _faded(traces.time_s, times, change.top, change.level_flexion, change.flexion)
    roll = _faded(traces.time_s, times, 0.0, change.level_roll, change.roll)
    lean = _faded(traces.time_s, times, 0.0, 0.0, change.lean)
    raised = _faded(traces.time_s, times, 0.0, 0.0, change.raised)
    held = change.grip + TRAIL_HAND * change.trail
    grip = _faded(traces.time_s, times, held, held, held)
    aim = np.full_like(flexion, change.aim)
    n = len(traces.time_s)
    forearm = traces.forearm
    if np.any(roll):
        forearm = rotation_product(forearm, rotation_about(np.tile(UP, (n, 1)), roll))
    # Changes at fixed lean turn everything in the target frame, in the order of the delivery model.
    for axis, angle in ((plane_normal(_lie_of(traces)), -lean), (TARGET, raised), (UP, -aim)):
        if np.any(angle):
            forearm = rotation_product(rotation_about(np.tile(axis, (n, 1)), angle), forearm)
    relative = wrist_rotation(traces.flexion + flexion, traces.ulnar_deviation, traces.axial, side="left")
    hand = rotation_product(forearm, relative)
    club = rotation_product(hand, traces.hand.inv())
    shaft = club.apply(traces.shaft)
    normal = rotation_about(shaft, -grip).apply(club.apply(traces.face_normal))
    moved = np.abs(np.stack([flexion, roll, lean, raised, grip, aim])).max(axis=0) > 0.0
    isb = wrist_angles(forearm, hand, side="left", convention="isb")

    def kept(new: Floats, old: Floats) -> Floats:
        return np.where(moved if new.ndim == 1 else moved[:, None], new, old)

    def kept_turn(new: Rotation, old: Rotation) -> Rotation:
        return Rotation.from_quat(kept(new.as_quat(), old.as_quat())) if moved.any() and new is not old else old

    return SwingTraces(
        traces.time_s,
        traces.flexion + flexion,
        traces.ulnar_deviation,
        traces.axial,
        kept(isb.flexion, traces.flexion_isb),
        kept(isb.ulnar_deviation, traces.ulnar_deviation_isb),
        kept(isb.axial, traces.axial_isb),
        traces.forearm_roll + roll,
        kept_turn(forearm, traces.forearm),
        kept_turn(hand, traces.hand),
        kept(shaft, traces.shaft),
        kept(normal, traces.face_normal),
    )


def _way(
    swing: SwingAnalysis,
    traces: SwingTraces,
    club: Club,
    before: _Moved,
    change: Change,
    path: float,
    spine: float,
    hand_share: float,
    head_speed: float | None,
) -> RecordedWay:
    after = _worked(changed_traces(swing, traces, change), club)
    q = plane_normal(club.lie)
    # How fast the shaft turns in the plane, as recorded; the head's speed follows from the two levers.
    shaft_rate = max(float(before.rate @ q), _SLOWEST)
    speed = shaft_rate * club.length / (1.0 - hand_share) if head_speed is None else head_speed
    # Lean that was asked for is no lean to give back.
    fixed = change.lean or change.raised or change.aim
    turned = changed_traces(swing, traces, replace(change, lean=0.0, raised=0.0, aim=0.0)) if fixed else after.traces
    gained = lean_in_plane(turned.shaft[-1], club.lie) - lean_in_plane(before.shaft, club.lie)
    back = gained * (1.0 - hand_share)
    later = back / shaft_rate
    moved = change.ball_forward / speed
    arrive = Rotation.from_rotvec(after.rate * moved) * rotation_about(q, back)
    unmoved = later == 0.0 and moved == 0.0
    shaft = after.shaft if unmoved else arrive.apply(after.shaft)
    normal = after.normal if unmoved else arrive.apply(after.normal)
    new = _swing_after(swing, before, after, shaft, normal, later + moved)
    impact, level = new.readings["impact"], new.readings["shaft_level_down"]
    at_impact = new.closing_rates["impact"]
    edge = level.edge_tilt.value if level.edge_tilt is not None else 0.0
    aimed = shaft if change.aim == 0.0 else rotation_about(UP, change.aim).apply(shaft)
    lean = lean_in_plane(aimed, club.lie)
    raised = atan2(-aimed[1], aimed[2]) - club.lie
    arrival = TOLERANCE / max(abs(at_impact.over_ground or 0.0), _SLOWEST)
    face_by_release = closing_over_ground(-at_impact.about_shaft * shaft, normal)
    direction = rotation_about(q, change.ball_forward / ARC_RADIUS).apply(TARGET)
    top = new.readings.get("top")
    outcome = Outcome(
        _value(impact.face),
        path + change.aim + atan2(direction[2], direction[0]),
        _value(impact.delivered_loft),
        atan2(np.tan(lean), sin(club.lie)),
        spine - edge,
        closing_owed(club, edge, lean, raised),
        at_impact.about_shaft,
        TOLERANCE / max(abs(float(face_by_release)), _SLOWEST),
        arrival,
        arrival * speed,
        impact.flexion.value,
        level.flexion.value,
        0.0 if top is None else top.flexion.value,
    )
    return RecordedWay(change, new, outcome, later + moved)


def _swing_after(
    swing: SwingAnalysis,
    before: _Moved,
    after: _Moved,
    shaft: Floats,
    normal: Floats,
    delay: float,
) -> SwingAnalysis:
    """The analysis with every reading moved by what the change does to it; its doubts stay."""
    clock = before.traces.time_s
    names = [n for n in swing.readings if n != "address"]
    series = {
        "flexion": (before.traces.flexion, after.traces.flexion),
        "forearm_roll": (before.traces.forearm_roll, after.traces.forearm_roll),
        "face": (np.unwrap(before.face.face), np.unwrap(after.face.face)),
        "edge_tilt": (np.unwrap(before.face.edge_tilt), np.unwrap(after.face.edge_tilt)),
        "delivered_loft": (before.face.delivered_loft, after.face.delivered_loft),
        "flexion_isb": (before.traces.flexion_isb, after.traces.flexion_isb),
        "ulnar_deviation_isb": (before.traces.ulnar_deviation_isb, after.traces.ulnar_deviation_isb),
    }
    readings = dict(swing.readings)
    changes = {name: dict(values) for name, values in swing.change.items()}
    for name in names:
        when = swing.events[name].time_s
        delta = {
            key: _between(float(np.interp(when, clock, new)) - float(np.interp(when, clock, old)))
            for key, (old, new) in series.items()
        }
        if name == "impact":
            arrived = face_from_directions(shaft, normal, normal)
            delta["face"] = _between(float(arrived.face) - float(before.face.face[-1]))
            delta["delivered_loft"] = float(arrived.delivered_loft) - float(before.face.delivered_loft[-1])
        if name != "takeaway":
            # A face that was set anew at address carries the aim; the address itself is not moved otherwise.
            readings[name] = _moved_reading(swing.readings[name], delta)
        for key, estimate in swing.change.get(name, {}).items():
            if key in delta and name != "takeaway":
                changes[name][key] = Estimate(estimate.value + delta[key], estimate.sd)
    events = dict(swing.events)
    if delay != 0.0:
        hit = events["impact"]
        events["impact"] = Event(hit.time_s + delay, hit.sd, hit.how)
    return replace(
        swing,
        events=events,
        readings=readings,
        change=changes,
        closing=tuple(_moved_span(span, swing, before, after) for span in swing.closing),
        closing_rates=_rates(swing, before, after, readings),
        traces=after.traces,
    )


def _moved_reading(reading: EventReading, delta: Mapping[str, float]) -> EventReading:
    def more(estimate: Estimate | None, key: str) -> Estimate | None:
        return None if estimate is None else Estimate(estimate.value + delta[key], estimate.sd)

    flexion, roll = more(reading.flexion, "flexion"), more(reading.forearm_roll, "forearm_roll")
    return replace(
        reading,
        flexion=flexion or reading.flexion,
        forearm_roll=roll or reading.forearm_roll,
        flexion_isb=reading.flexion_isb + delta["flexion_isb"],
        ulnar_deviation_isb=reading.ulnar_deviation_isb + delta["ulnar_deviation_isb"],
        face=more(reading.face, "face"),
        edge_tilt=more(reading.edge_tilt, "edge_tilt"),
        delivered_loft=more(reading.delivered_loft, "delivered_loft"),
    )


def _moved_span(span: ClosingSpan, swing: SwingAnalysis, before: _Moved, after: _Moved) -> ClosingSpan:
    start, end = swing.events[span.start].time_s, swing.events[span.end].time_s
    old, new = before.record.between(start, end), after.record.between(start, end)
    return ClosingSpan(span.start, span.end, {part: v + (new[part] - old[part]) for part, v in span.parts.items()})


def _rates(
    swing: SwingAnalysis, before: _Moved, after: _Moved, readings: Mapping[EventName, EventReading]
) -> dict[EventName, ClosingRates]:
    out: dict[EventName, ClosingRates] = dict(swing.closing_rates)
    hit = out["impact"]
    about = -float(after.rate @ after.shaft) + float(before.rate @ before.shaft)
    over = float(closing_over_ground(after.rate, after.normal)) - float(closing_over_ground(before.rate, before.normal))
    out["impact"] = ClosingRates(
        hit.about_shaft + about, None if hit.over_ground is None else hit.over_ground + over, hit.owed
    )
    level = out.get("shaft_level_down")
    if level is not None and level.owed is not None:
        old, new = swing.readings["shaft_level_down"].edge_tilt, readings["shaft_level_down"].edge_tilt
        out["shaft_level_down"] = replace(level, owed=level.owed - (_value(new) - _value(old)))
    return out


def _worked(traces: SwingTraces, club: Club) -> _Moved:
    """Face, closing account and the hand's angular velocity at the end, from traces alone."""
    address = club_at_address(club)
    local = _club_axes(address.shaft, address.normal).T @ address.edge
    edge = np.einsum("...ij,j->...i", _club_axes(traces.shaft, traces.face_normal), local)
    track = ArmTrack(
        traces.time_s,
        traces.forearm,
        traces.hand,
        _rates_of(traces.time_s, traces.forearm),
        _rates_of(traces.time_s, traces.hand),
    )
    return _Moved(
        traces,
        face_from_directions(traces.shaft, traces.face_normal, edge),
        closing_record(track, traces.shaft),
        _rate_at_end(traces.time_s, traces.hand),
        traces.shaft[-1],
        traces.face_normal[-1],
    )


def _club_axes(shaft: Floats, normal: Floats) -> Floats:
    """Axes that turn with the club: shaft, face normal made square to it, and their cross product; (..., 3, 3)."""
    across = normal - np.sum(normal * shaft, axis=-1, keepdims=True) * shaft
    across = across / np.linalg.norm(across, axis=-1, keepdims=True)
    return np.stack([shaft, across, np.cross(shaft, across)], axis=-1)


def _rates_of(time_s: Floats, turn: Rotation) -> Floats:
    """Angular velocity at every sample by differences, shape (n, 3), world axes."""
    step = rotation_product(turn[1:], turn[:-1].inv()).as_rotvec() / np.diff(time_s)[:, None]
    return np.vstack([step[:1], 0.5 * (step[1:] + step[:-1]), step[-1:]])


def _rate_at_end(time_s: Floats, turn: Rotation) -> Floats:
    """Angular velocity at the last sample: two mean rates before it, carried on linearly, shape (3,)."""
    end = time_s[-1]
    found = []
    for span in _RATE_SPANS:
        k = min(int(np.searchsorted(time_s, end - span)), len(time_s) - 2)
        length = end - time_s[k]
        found.append((0.5 * length, (turn[-1] * turn[k].inv()).as_rotvec() / length))
    (near, a), (far, b) = found
    return np.asarray(a if far - near < 1e-6 else a + (a - b) * near / (far - near))


def _faded(time_s: Floats, times: Mapping[EventName, float], top: float, level: float, impact: float) -> Floats:
    """A change over the swing, linear between nothing at takeaway and its values at the events."""
    start = times.get("takeaway", times["address"])
    known = [(start, 0.0)]
    if "top" in times:
        known.append((times["top"], top))
    known += [(times["shaft_level_down"], level), (times["impact"], impact)]
    return np.interp(time_s, [t for t, _ in known], [v for _, v in known])


def _lie_of(traces: SwingTraces) -> float:
    """Lie at address, from the shaft as the traces begin."""
    return atan2(-traces.shaft[0, 1], traces.shaft[0, 2])


def _between(angle: float) -> float:
    """An angle brought to -pi..pi; what is there already keeps its bytes."""
    return angle if -np.pi <= angle <= np.pi else float((angle + np.pi) % (2.0 * np.pi) - np.pi)


def _value(estimate: Estimate | None) -> float:
    return 0.0 if estimate is None else estimate.value


__all__ = ["RecordedWay", "changed_traces", "no_face", "ways_on"]

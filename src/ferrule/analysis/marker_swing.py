"""One swing of a marker recording: events, wrist, face, closing, each with an honest doubt."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.recording_result import ClosingSpan, EventReading, Kind, SwingAnalysis, SwingTraces, wrapped
from ferrule.analysis.swing_readings import FULL_RISE, HALF_RISE, SPANS, TRACE_HZ
from ferrule.club.clubs import Club
from ferrule.club.face import club_at_address, face_from_turn
from ferrule.errors import Issue
from ferrule.frames.wrist import wrist_angles
from ferrule.sensing.markers import SegmentFrames, angular_rate
from ferrule.signals.derivative import lengths, running_integral
from ferrule.statistics.estimate import Estimate
from ferrule.swing.closing import closing_record
from ferrule.swing.events import (
    ADDRESS_BEFORE,
    Event,
    EventName,
    find_finish,
    find_takeaway,
    find_top,
    level_crossing,
    return_to_address,
    swing_shape,
)
from ferrule.swing.pattern import wrist_pattern
from ferrule.swing.track import ArmTrack
from ferrule.units import DEG

Floats = NDArray[np.float64]

PLACED_SD: Final = 5.0 * DEG
"""Doubt of a wrist angle from where the markers sit on the bones (common practice: 10 mm on a forearm of 25 cm or a wrist
of 6 cm)."""
STRAIGHT_SD: Final = 2.5 * DEG
"""...when the zero was taken from a wrist held straight: how straight it was held (common practice)."""
SKIN_SD: Final = 1.5 * DEG
"""Doubt of a change within a swing: skin that slides under the markers (common practice)."""
UNTWISTED_SD: Final = 3.0 * DEG
"""Added where two markers leave the twist of the wrist to a rule (common practice: a wrist twists by 5 degrees or less)."""
GRIP_SD: Final = 2.5 * DEG
"""Doubt of a face carried by the hand: slip in the fingers (common practice)."""
AXIS_SD: Final = 2.0 * DEG
"""Doubt of the direction of forearm or shaft against the horizontal."""
BALL_SD: Final = 0.003
"""Doubt of the impact from the head's return to where it stood, s: ball position and shaft bend (common practice)."""
TOP_SD: Final = 0.006
"""Added to the doubt of the top: markers' noise in slow turning, s (simulation)."""
CHANGES: Final = ("flexion", "ulnar_deviation", "forearm_roll")


@dataclass(frozen=True, eq=False, slots=True)
class MarkerArm:
    """The lead arm from markers, the target frame of a right-hander.

    seen: shape (n,), both segments really seen; borrowed: "none", or the segment whose twist is the other's; club: its
    rotation from three markers; shaft: direction grip to head, shape (n, 3); head: its position; zeroed: the wrist's zero
    is from a straight wrist.
    """

    track: ArmTrack
    seen: NDArray[np.bool_]
    borrowed: str
    club: SegmentFrames | None
    shaft: Floats | None
    head: Floats | None
    zeroed: bool = False


@dataclass(frozen=True, slots=True)
class Reach:
    """Samples of a swing: start, last still one at address, the fastest, end (exclusive)."""

    low: int
    at: int
    peak: int
    high: int


def marker_swing(number: int, arm: MarkerArm, reach: Reach, club: Club) -> tuple[SwingAnalysis, list[Issue]]:
    """One swing. Readings where a marker was away at an event are left out and named."""
    part = slice(reach.low, reach.high)
    track = arm.track.part(reach.low, reach.high)
    seen, at, peak = arm.seen[part], reach.at - reach.low, reach.peak - reach.low
    stand = track.hand[: at + 1].mean()
    at_address = club_at_address(club)
    turn = track.hand * stand.inv()
    by_club = arm.club is not None and bool(arm.club.seen[part][: at + 1].any())
    if arm.club is not None and by_club:
        turned = arm.club.rotation[part]
        turn = turned * turned[np.flatnonzero(arm.club.seen[part][: at + 1])].mean().inv()
    face = face_from_turn(turn, at_address)
    # the shaft as its markers show it, else as the hand carries it from the lie angle
    carried = turn.apply(at_address.shaft)
    shaft = carried if arm.shaft is None else np.where(np.isfinite(arm.shaft[part]), arm.shaft[part], carried)
    head = None if arm.head is None else arm.head[part]
    events, how = _events(track, shaft, head, at, peak)
    wrist = wrist_angles(track.forearm, track.hand, side="left")
    isb = wrist_angles(track.forearm, track.hand, side="left", convention="isb")
    roll = running_integral(track.time_s, np.sum(track.forearm_rate * track.forearm_axis, axis=1))
    series = {
        "flexion": wrist.flexion, "ulnar_deviation": wrist.ulnar_deviation, "forearm_roll": roll - roll[: at + 1].mean(),
        "flexion_isb": isb.flexion, "ulnar_deviation_isb": isb.ulnar_deviation, "face": np.unwrap(face.face),
        "edge_tilt": np.unwrap(face.edge_tilt), "delivered_loft": face.delivered_loft,
    }  # fmt: skip
    readings, change, lost = _readings(arm, track, seen, at, series, events, by_club)
    issues = [_unread(number, name) for name in lost]
    whole = (
        bool(seen[at : int(np.searchsorted(track.time_s, events["impact"].time_s)) + 1].all())
        if "impact" in events
        else False
    )
    spans: tuple[ClosingSpan, ...] = ()
    if whole:
        record = closing_record(track, shaft)
        spans = tuple(
            ClosingSpan(a, b, record.between(events[a].time_s, events[b].time_s))
            for a, b in SPANS
            if a in readings and b in readings
        )
    swing = SwingAnalysis(
        number,
        _kind(track, events),
        events,
        readings,
        change,
        spans,
        {},
        float(np.linalg.norm(track.hand_rate, axis=1).max()),
        _words(arm, how, by_club),
        wrist_pattern(track.time_s, wrist.flexion, series["forearm_roll"], events) if whole else None,
        traces=_traces(track, turn, series, wrist.axial, isb.axial, (at, events), club) if whole else None,
    )
    return swing, issues


def _events(
    track: ArmTrack, shaft: Floats, head: Floats | None, at: int, peak: int
) -> tuple[dict[EventName, Event], str]:
    """Events that can be told, and how the impact was: "head", "pose" or ""."""
    t = track.time_s
    speed = lengths(track.hand_rate)
    events: dict[EventName, Event] = {"address": Event(float(t[at]), 0.05)}
    axis = track.forearm_axis
    # over 50 ms: at the turn-round the rates are small and the markers' noise is not
    rate = angular_rate(t, track.forearm, 0.05)
    square = rate - np.sum(rate * axis, axis=1)[:, None] * axis
    arm = swing_shape(t, square, peak, span_s=0.12)
    top = find_top(t, arm, at)
    if top is None:
        return events, ""
    top_at = int(np.searchsorted(t, top.time_s))
    takeaway = find_takeaway(t, speed, at, top_at)
    if takeaway is not None:
        stand = max(float(t[0]), min(takeaway.time_s - ADDRESS_BEFORE, float(t[at])))
        events["address"] = Event(stand, 0.02)
        events["takeaway"] = Event(takeaway.time_s, 0.01)
    events["top"] = Event(top.time_s, float(np.hypot(top.sd, TOP_SD)))
    until = min(peak + round(0.25 / float(np.median(np.diff(t)))), len(t))
    impact, how = (None, "") if head is None else (_head_back(t, head, at, top_at, until), "head")
    if impact is None:
        impact, how = return_to_address(track, at, top_at, until), "pose"
    end = until if impact is None else int(np.searchsorted(t, impact.time_s))
    names: tuple[tuple[EventName, Floats], ...] = (
        ("lead_arm_level_down", -axis[:, 1]),
        ("shaft_level_down", shaft[:, 1]),
    )
    for name, rise in names:
        level = level_crossing(t, rise, top_at, min(end, len(t)), AXIS_SD)
        if level is not None:
            events[name] = level
    if impact is not None:
        events["impact"] = impact
    finish = find_finish(t, speed, max(end, peak))
    if finish is not None:
        events["finish"] = finish
    return events, how if impact is not None else ""


def _head_back(time_s: Floats, head: Floats, at: int, top: int, until: int) -> Event | None:
    """Where the clubhead, on its way down, passes the place it stood at: nearest along its own path."""
    place = np.nanmean(head[: at + 1], axis=0) if np.isfinite(head[: at + 1]).all(axis=1).any() else None
    if place is None or until - top < 5:
        return None
    away = np.linalg.norm(head[top:until] - place, axis=1)
    if not np.isfinite(away).any():
        return None
    k = top + int(np.nanargmin(away))
    if k in {top, until - 1} or not np.isfinite(head[k - 1 : k + 2]).all():
        return None
    velocity = (head[k + 1] - head[k - 1]) / (time_s[k + 1] - time_s[k - 1])
    speed = float(velocity @ velocity)
    if speed < 1.0 or float(np.nanmin(away)) > 0.25:
        return None
    return Event(float(time_s[k] + (place - head[k]) @ velocity / speed), BALL_SD, "address_pose")


def _readings(
    arm: MarkerArm,
    track: ArmTrack,
    seen: NDArray[np.bool_],
    at: int,
    series: dict[str, Floats],
    events: dict[EventName, Event],
    by_club: bool,
) -> tuple[dict[EventName, EventReading], dict[EventName, dict[str, Estimate]], list[EventName]]:
    clock = track.time_s
    calm = np.flatnonzero(seen[: at + 1])
    base = {k: float(s[calm].mean()) if calm.size else float(s[at]) for k, s in series.items()}
    slope = {k: np.gradient(s, clock) for k, s in series.items()}
    twist = UNTWISTED_SD if arm.borrowed != "none" else 0.0
    placed = STRAIGHT_SD if arm.zeroed else PLACED_SD
    readings: dict[EventName, EventReading] = {}
    change: dict[EventName, dict[str, Estimate]] = {}
    lost: list[EventName] = []
    for name, event in events.items():
        if name == "finish":
            continue
        k = int(np.clip(np.searchsorted(clock, event.time_s), 1, len(clock) - 1))
        if not seen[k - 1 : k + 1].all():
            lost.append(name)
            continue
        still = name == "address"
        value = base if still else {n: float(np.interp(event.time_s, clock, s)) for n, s in series.items()}
        timing = {n: 0.0 if still else abs(float(s[k])) * event.sd for n, s in slope.items()}
        moved = 0.0 if still else SKIN_SD
        wrist_sd = float(np.sqrt(placed**2 + moved**2 + twist**2))
        carried = 0.0 if still else float(np.hypot(SKIN_SD, 0.0 if by_club else GRIP_SD))

        def told(key: str, sd: float, value: dict[str, float] = value, timing: dict[str, float] = timing) -> Estimate:
            return Estimate(wrapped(value[key]), float(np.hypot(sd, timing[key])))

        shown = by_club or arm.borrowed != "hand"
        readings[name] = EventReading(
            told("flexion", wrist_sd),
            told("ulnar_deviation", wrist_sd),
            told("forearm_roll", float(np.hypot(moved, 0.0 if still else twist))),
            value["flexion_isb"],
            value["ulnar_deviation_isb"],
            told("face", float(np.hypot(2.0 * DEG, carried))) if shown else None,
            told("edge_tilt", carried) if shown else None,
            told("delivered_loft", carried) if shown else None,
        )
        change[name] = {
            n: Estimate(
                wrapped(value[n] - base[n]), float(np.hypot(0.0 if still else np.hypot(SKIN_SD, twist), timing[n]))
            )
            for n in CHANGES
        }
    return readings, change, lost


def _kind(track: ArmTrack, events: dict[EventName, Event]) -> Kind:
    """By how high the lead arm went. A struck ball cannot be told from an air swing by markers."""
    top = events.get("top")
    if top is None:
        return "chip"
    k = int(np.searchsorted(track.time_s, top.time_s))
    rise = float((-track.forearm_axis[: k + 1, 1]).max())
    if rise > FULL_RISE:
        return "full_swing"
    return "half_swing" if rise > HALF_RISE else "chip"


def _words(arm: MarkerArm, how: str, by_club: bool) -> tuple[str, ...]:
    words = []
    if how == "head":
        words.append("Impact is where the clubhead passed the place it stood at; markers do not hear the ball.")
    elif how == "pose":
        words.append("Impact is where the hand came back nearest to its address; markers do not hear the ball.")
    else:
        words.append("No impact could be told.")
    if not arm.zeroed:
        words.append(
            "Wrist angles are as the markers sit on the bones: absolute ones hold to about 5 degrees, changes to 2."
        )
    if arm.borrowed != "none":
        words.append(f"The {arm.borrowed} has two markers only: its twist is not measured.")
    if by_club:
        words.append("The face is the club's own, against address.")
    elif arm.borrowed != "hand":
        words.append("The face is as the hand carries it, against address.")
    return tuple(words)


def _unread(number: int, event: EventName) -> Issue:
    words = f"Swing {number}: a marker was away at {event.replace('_', ' ')}: nothing is read there."
    return Issue("marker_away", "warning", f"swing {number}", words)


def _traces(
    track: ArmTrack,
    turn: Rotation,
    series: dict[str, Floats],
    axial: Floats,
    axial_isb: Floats,
    reach: tuple[int, dict[EventName, Event]],
    club: Club,
) -> SwingTraces:
    at, events = reach
    step = max(1, round(1.0 / (TRACE_HZ * float(np.median(np.diff(track.time_s))))))
    last = int(np.searchsorted(track.time_s, events["impact"].time_s))
    keep = np.unique(np.append(np.arange(at, last, step), min(last, len(track) - 1)))
    stand = club_at_address(club)
    return SwingTraces(
        track.time_s[keep], series["flexion"][keep], series["ulnar_deviation"][keep], axial[keep],
        series["flexion_isb"][keep], series["ulnar_deviation_isb"][keep], axial_isb[keep], series["forearm_roll"][keep],
        track.forearm[keep], track.hand[keep], turn[keep].apply(stand.shaft), turn[keep].apply(stand.normal),
    )  # fmt: skip

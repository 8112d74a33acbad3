"""One swing of a recording, worked out once with given calibration, clock and headings; no doubts yet."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from ferrule.analysis.swing_fit import SwingFit
from ferrule.analysis.swing_worlds import SwingInput, address_worlds
from ferrule.analysis.swings import SLOW_SWING
from ferrule.club.face import (
    ClubAtAddress,
    Face,
    club_at_address,
    face_from_directions,
    heading_from_shaft,
)
from ferrule.frames.rotations import about_up
from ferrule.frames.wrist import WristAngles, angles_between
from ferrule.sensing.calibration import AXIS_SD, POSE_SD
from ferrule.signals.derivative import dots, lengths, running_integral, unwrapped, usual_step
from ferrule.signals.prefix import rotation_product
from ferrule.swing.closing import ClosingRecord, closing_record
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
from ferrule.swing.track import ArmTrack, ended_at
from ferrule.units import DEG

Floats = NDArray[np.float64]

SHAFT_IN_HAND: Final = np.array([0.0, -np.cos(43.0 * DEG), -np.sin(43.0 * DEG)])
"""Usual direction of the shaft, grip to head, in a left hand: 43 degrees from distal to the thumb side, the address'
forearm-shaft angle of 27 and ulnar deviation of 16 (common practice)."""
SHAFT_HEADING_SD: Final = 8.0 * DEG
AIM_HEADING_SD: Final = 3.0 * DEG
WORLDS_SD: Final = 2.0 * DEG
"""Doubt of the turn from the forearm's world to the hand's, for the target as the forearm shows it (simulation)."""
ARM_LEVEL_SD: Final = 2.6 * DEG
"""Doubt of the forearm's direction against the horizontal: its axis in the sensor, and soft tissue."""
SLOW_RETURN_SD: Final = 0.042
"""Return to the address pose of a chip or a soft half swing without a ball against where it would have been hit, s (simulation)."""
SHAFT_LEVEL_SD: Final = 1.1 * DEG
"""Doubt of the shaft's direction against the horizontal since address."""


@dataclass(frozen=True, eq=False, slots=True)
class ClubCarried:
    """Directions of the club as the hand carries it, target frame, unit vectors, shape (n, 3) each."""

    shaft: Floats
    normal: Floats
    edge: Floats


@dataclass(frozen=True, eq=False, slots=True)
class WorkedSwing:
    """One swing. Arrays over samples from the start of the address window; radians, the target frame of a right-hander.

    track: forearm and hand in the hand's level world; `clean` ends it at impact (or is all of it without a blow).
    forearm_mount, hand_mount: segment to sensor, as the swing has mended them; fit: what it said of its constants; late_s:
    lateness of the hand's clock in it; twist_free: conditioning of the no-twist rule; heading: of the target in that world; heading_sd None when it could not be told.
    """

    given: SwingInput
    track: ArmTrack
    clean: ArmTrack
    at: int
    forearm_mount: Rotation
    hand_mount: Rotation
    fit: SwingFit
    late_s: float
    twist_free: float
    heading: float
    heading_sd: float | None
    heading_how: str
    events: dict[EventName, Event]
    wrist: WristAngles
    wrist_isb: WristAngles
    roll: Floats
    face: Face
    carried: ClubCarried
    club: ClubAtAddress
    closing: ClosingRecord


def work_out_swing(given: SwingInput) -> WorkedSwing:
    """Orientation, events, wrist, roll, face and closing account of one swing."""
    worlds = address_worlds(given)
    track, at = worlds.track, given.at - given.low
    # the mean pose of the still stand: sway aside
    stand = track.hand[: at + 1].mean()
    heading, heading_sd, how = target_heading(given, stand, worlds.turn)
    club = club_at_address(given.club)
    to_world = about_up(heading)
    # the club as the hand holds it
    held = stand.inv().apply(np.stack((club.shaft, club.normal, club.edge)) @ to_world.T)

    impact, last_clean = _impact(given, track, worlds.late_s)
    clean = track if impact is None else ended_at(track, last_clean, impact.time_s)
    turned = clean.hand.as_matrix().reshape(-1, 3) @ held.T
    shaft, normal, edge = np.ascontiguousarray(np.moveaxis(turned.reshape(-1, 3, 3), 2, 0))
    events = find_events(given, worlds.hand_speed, clean, at, shaft[:, 1], impact)

    relative = rotation_product(clean.forearm.inv(), clean.hand)
    wrist = angles_between(relative, side="left")
    carried = ClubCarried(shaft @ to_world, normal @ to_world, edge @ to_world)
    return WorkedSwing(
        given,
        track,
        clean,
        at,
        worlds.forearm_mount,
        worlds.hand_mount,
        worlds.fit,
        worlds.late_s,
        worlds.twist_free,
        heading,
        heading_sd,
        how,
        events,
        wrist,
        angles_between(relative, side="left", convention="isb"),
        forearm_roll(clean, wrist, at),
        face_from_directions(carried.shaft, carried.normal, carried.edge),
        carried,
        club,
        closing_record(clean, shaft, wrist),
    )


def target_heading(given: SwingInput, hand_address: Rotation, twist: float) -> tuple[float, float | None, str]:
    """Heading of the target in the hand's world, its sd (None: cannot be told) and where it comes from.

    The aim pose as hand and forearm show it; without one the shaft's horizontal direction at address. twist: turn from
    the forearm's world to the hand's.
    """
    mounts = given.mounts
    aim = given.aim
    if aim is None or (aim.hand is None and aim.forearm is None):
        shaft = hand_address.apply(SHAFT_IN_HAND)
        told = np.hypot(shaft[0], shaft[2]) > 0.2 and mounts.source != "none"
        return heading_from_shaft(shaft), SHAFT_HEADING_SD if told else None, "shaft" if told else "unknown"
    ways = [told for told in (aim.hand, None if aim.forearm is None else aim.forearm + twist) if told is not None]
    heading = float(np.angle(np.mean(np.exp(1j * np.array(ways)))))
    # forearm and hand are each held a little off, and each axis is off by itself: both average. Axes that were fitted
    # together have given each other parts of their errors, which leaves their mean as it was
    care = mounts.axis_sd / AXIS_SD if mounts.source == "guided" else 1.0
    own = float(np.sqrt((POSE_SD**2 + AXIS_SD**2) / len(ways)))
    if len(ways) > 1:
        own = float(np.hypot(own, 0.5 * WORLDS_SD))
    # who took care with the rest took care with this
    return heading, care * float(np.hypot(own, AIM_HEADING_SD)), "aim"


def forearm_roll(track: ArmTrack, wrist: WristAngles, at: int) -> Floats:
    """Forearm roll since the stand that ends at sample `at`, supination +, radians, shape (n,); zero is its mean up to there.

    The forearm's rate about its own long axis, integrated, plus what the skin under its sensor did not follow: a wrist
    hardly twists, so an axial residue between forearm and hand is skin.
    """
    along = dots(track.forearm_rate, track.forearm_axis)
    roll = running_integral(track.time_s, along) - unwrapped(wrist.axial)
    return np.asarray(roll - roll[: at + 1].mean())


def _impact(given: SwingInput, track: ArmTrack, late_s: float) -> tuple[Event | None, int]:
    """Impact on the file's clock as the hand tells it, and the last sample that no blow has touched."""
    blow = given.candidate.hand_blow
    if blow is None:
        return None, len(track) - 1
    # the session's clock has the blow's arrival in both sensors in it: best for its instant
    when = blow.time_s - given.late_s
    step = usual_step(track.time_s)
    clean_until = given.hand_run.time_s[blow.last_clean] - late_s
    last = int(np.searchsorted(track.time_s, clean_until + 1e-9, side="right")) - 1
    if given.candidate.forearm_blow is not None:
        last = min(last, given.candidate.forearm_blow.last_clean - given.low)
    # heard between two samples; where both sensors heard it, the clock's offset has put both readings nearly together
    both = given.candidate.forearm_blow is not None
    return Event(when, max(step / np.sqrt(14.0 if both else 12.0), 0.0002), "blow"), last


def find_events(
    given: SwingInput, hand_speed: Floats, clean: ArmTrack, at: int, shaft_rise: Floats, impact: Event | None
) -> dict[EventName, Event]:
    """All events of a swing that can be told; the others are left out. hand_speed: to the end of the swing."""
    t = given.forearm_run.time_s[given.low : given.high]
    peak = given.candidate.peak - given.low
    end = len(clean) - 1
    if impact is not None:
        low = max(end - round(0.12 / usual_step(t)), at + 1)
        peak = low + int(np.argmax(lengths(clean.hand_rate[low:end])))
    events: dict[EventName, Event] = {"address": Event(float(t[at]), 0.05)}
    axis = clean.forearm_axis
    square = clean.forearm_rate - dots(clean.forearm_rate, axis)[:, None] * axis
    arm = swing_shape(clean.time_s, square, min(peak, end), span_s=0.12)
    top = find_top(clean.time_s, arm, at)
    if top is None:
        return events
    top_at = int(np.searchsorted(t, top.time_s))
    takeaway = find_takeaway(t, hand_speed, at, top_at)
    if takeaway is not None:
        stand = max(float(t[0]), min(takeaway.time_s - ADDRESS_BEFORE, float(t[at])))
        events["address"] = Event(stand, 0.007)
        events["takeaway"] = takeaway
    events["top"] = top
    if impact is None:
        finish_from = peak
        back = return_to_address(clean, at, top_at, min(peak + round(0.2 / (t[1] - t[0])), len(t)))
        if back is not None:
            slow = given.candidate.rate < SLOW_SWING
            impact = replace(back, sd=SLOW_RETURN_SD) if slow else back
            end = int(np.searchsorted(t, back.time_s))
    else:
        finish_from = end
    arm_rise = -axis[:, 1]
    for name, rise, sd in (
        ("lead_arm_level_down", arm_rise, ARM_LEVEL_SD),
        ("shaft_level_down", shaft_rise, SHAFT_LEVEL_SD),
    ):
        level = level_crossing(clean.time_s, rise, top_at, min(end, len(clean)), sd)
        if level is not None:
            events[name] = level  # type: ignore[index]
    if impact is not None:
        events["impact"] = impact
    finish = find_finish(t, hand_speed, finish_from)
    if finish is not None:
        events["finish"] = finish
    return events

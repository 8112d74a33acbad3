"""From marker positions to swings: the same answer as from sensors, with what markers can and cannot tell."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.linalg import LinAlgError
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from ferrule.analysis.marker_swing import MarkerArm, Reach, marker_swing
from ferrule.analysis.recording_result import RecordingAnalysis, SwingAnalysis
from ferrule.club.clubs import Club
from ferrule.errors import InputError, Issue
from ferrule.frames.handedness import Handedness, mirror_vector
from ferrule.sensing.markers import (
    MarkerGap,
    SegmentFrames,
    angular_rate,
    fill_gaps,
    forearm_along,
    hand_along,
    long_axis,
    segment_frames,
)
from ferrule.sensing.stillness import runs
from ferrule.signals.derivative import smoothed
from ferrule.statistics.estimate import Estimate
from ferrule.swing.track import ArmTrack
from ferrule.units import DEG

Floats = NDArray[np.float64]

SMOOTHING: Final = 0.004
"""Width of the smoothing of marker positions, s: 0.5 mm of noise falls to a half, a swing keeps its shape (simulation)."""
SWING_RATE: Final = 5.0
"""Smoothed hand rate, rad/s, that makes a movement a swing (as with sensors)."""
CLUB_FLATTEST: Final = 2.0 * DEG
"""A toe 8 cm from a shaft of 85 cm spans 5 degrees seen from the grip."""
APART: Final = 2.5
"""Two swings' fastest moments lie at least this far apart, s."""
STILL_RATE: Final = 12.0 * DEG
"""Smoothed hand rate below which the golfer stands still, rad/s: sway stays below 3 deg/s, marker noise adds a few."""
STILL_TIME: Final = 0.25
LONGEST_WAIT: Final = 4.0
BEFORE: Final = 1.0
AFTER: Final = 2.0
ROLES: Final = (
    "forearm.proximal", "forearm.radial", "forearm.ulnar", "forearm.distal",
    "hand.proximal", "hand.radial", "hand.ulnar", "hand.distal",
    "club.grip", "club.head", "club.toe",
)  # fmt: skip
"""What a marker can be. distal: the other end, where a segment has two markers only."""


def analyse_markers(
    time_s: Floats,
    roles: Mapping[str, Floats],
    *,
    handedness: Handedness = "right",
    club: Club,
    neutral_s: tuple[float, float] | None = None,
) -> RecordingAnalysis:
    """All swings of a marker recording.

    time_s: shape (n,), evenly rising; roles: positions in the target frame, metres, shape (n, 3), NaN where unseen, by
    `ROLES`; of the lead side. neutral_s: a stretch in which the wrist was held straight, from which its zero is taken.
    Raises InputError when the markers do not suffice for forearm and hand.
    """
    tracks = {k: v if handedness == "right" else mirror_vector(v) for k, v in roles.items()}
    filled, gaps = fill_gaps(time_s, tracks)
    step = float(np.median(np.diff(time_s)))
    steady = {name: _steadied(track, SMOOTHING / step) for name, track in filled.items()}
    arm, issues = _arm(time_s, steady)
    issues = [*_gap_notes(gaps), *issues]
    if neutral_s is not None:
        arm, told = _straightened(arm, neutral_s)
        issues += told
    found = _swings(arm)
    swings: list[SwingAnalysis] = []
    for number, (peak, address) in enumerate(found, 1):
        where = f"swing {number}"
        if address is None:
            issues.append(
                Issue(
                    "no_still_address",
                    "warning",
                    where,
                    f"Swing {number} at {time_s[peak]:.1f} s: expected a still address of 0.3 s before it, got none. Likely"
                    " cause: the recording was cut, or the golfer went straight from a waggle into the swing. Stand still"
                    " for a moment before the next swing.",
                )
            )
            continue
        low = max(address[0], int(np.searchsorted(time_s, time_s[address[1] - 1] - BEFORE)))
        end = time_s[peak] + AFTER
        if number < len(found):
            end = min(end, time_s[found[number][0]] - 0.5)
        reach = Reach(low, address[1] - 1, peak, int(np.searchsorted(time_s, end)))
        try:
            swing, notes = marker_swing(number, arm, reach, club)
        except (ValueError, LinAlgError, FloatingPointError) as error:
            words = f"Swing {number} at {time_s[peak]:.1f} s could not be worked out ({error}). The others are not affected."
            issues.append(Issue("swing_failed", "warning", where, words))
            continue
        swings.append(swing)
        issues += notes
    if not found:
        length = float(time_s[-1] - time_s[0])
        issues.append(
            Issue(
                "no_swing",
                "warning",
                "",
                f"Expected a swing, got {length:.1f} s without one. Record from the address to the finish.",
            )
        )
    source = "guided" if neutral_s is not None else "pose_only"
    return RecordingAnalysis(handedness, tuple(swings), tuple(issues), Estimate(0.0, 0.0), source)


@dataclass(frozen=True, eq=False, slots=True)
class _Segments:
    forearm: SegmentFrames
    hand: SegmentFrames
    borrowed: str


def _arm(time_s: Floats, at: Mapping[str, Floats]) -> tuple[MarkerArm, list[Issue]]:
    """Frames of forearm, hand and club from whatever roles there are."""
    segments, issues = _segments(at)
    track = ArmTrack(
        time_s,
        segments.forearm.rotation,
        segments.hand.rotation,
        angular_rate(time_s, segments.forearm.rotation),
        angular_rate(time_s, segments.hand.rotation),
    )
    turned: SegmentFrames | None = None
    if all(f"club.{r}" in at for r in ("grip", "head", "toe")):
        try:
            # any three markers fixed to the club give its rotation; the grip end is proximal
            turned = segment_frames(
                at["club.grip"], at["club.toe"], at["club.head"], side="right", flattest=CLUB_FLATTEST
            )
        except ValueError:
            issues.append(Issue("club_unseen", "warning", "club", "The club's three markers were never seen together."))
    shaft = None
    if "club.grip" in at and "club.head" in at:
        shaft = -long_axis(at["club.grip"], at["club.head"])
    return (
        MarkerArm(
            track, segments.forearm.seen & segments.hand.seen, segments.borrowed, turned, shaft, at.get("club.head")
        ),
        issues,
    )


def _segments(at: Mapping[str, Floats]) -> tuple[_Segments, list[Issue]]:
    fore = {r: at.get(f"forearm.{r}") for r in ("proximal", "radial", "ulnar", "distal")}
    hand = {r: at.get(f"hand.{r}") for r in ("proximal", "radial", "ulnar", "distal")}
    wrist = None
    if fore["radial"] is not None and fore["ulnar"] is not None:
        wrist = 0.5 * (fore["radial"] + fore["ulnar"])
    elif fore["distal"] is not None:
        wrist = fore["distal"]
    if hand["proximal"] is None:
        hand["proximal"] = wrist
    fore_three, hand_three = (_three(s) for s in (fore, hand))
    try:
        if fore_three and hand_three:
            return _Segments(_frames(fore), _frames(hand), "none"), []
        if fore_three and (axis := _axis(hand)) is not None:
            first = _frames(fore)
            return _Segments(first, hand_along(first, axis), "hand"), [
                Issue(
                    "two_markers",
                    "warning",
                    "hand",
                    "The hand has two markers: they give bowed or cupped and set or unset, on the rule that the wrist does"
                    " not twist. They cannot give that twist, nor the face: how far the hand turned about its own length"
                    " is taken from the forearm. A third marker on the hand settles it.",
                )
            ]
        if hand_three and (axis := _axis(fore)) is not None:
            second = _frames(hand)
            return _Segments(forearm_along(second, axis), second, "forearm"), [
                Issue(
                    "two_markers",
                    "warning",
                    "forearm",
                    "The forearm has two markers: they give bowed or cupped and set or unset, on the rule that the wrist"
                    " does not twist. They cannot give the forearm's own roll: it is taken from the hand. A third marker"
                    " on the forearm settles it.",
                )
            ]
    except ValueError:
        raise InputError.of(
            "markers_never_together", "markers", expected="the markers of forearm and hand seen together",
            got="no frame with all of them", cause="a marker that was lost for the whole recording, or a wrong name",
            do="Check the names in the mapping",
        ) from None  # fmt: skip
    raise InputError.of(
        "too_few_markers", "markers",
        expected="three markers on forearm or hand (proximal, radial, ulnar) and at least two on the other",
        got="two on each or fewer" if at else "none",
        cause="two markers on each give only how far the wrist is bent in all, not whether it is bowed, cupped or set",
        do="Map more markers, or record with three on each",
    )  # fmt: skip


def _three(segment: Mapping[str, Floats | None]) -> bool:
    return all(segment[r] is not None for r in ("proximal", "radial", "ulnar"))


def _frames(segment: Mapping[str, Floats | None]) -> SegmentFrames:
    proximal, radial, ulnar = segment["proximal"], segment["radial"], segment["ulnar"]
    assert proximal is not None and radial is not None and ulnar is not None
    return segment_frames(proximal, radial, ulnar, side="left")


def _axis(segment: Mapping[str, Floats | None]) -> Floats | None:
    proximal, distal = segment["proximal"], segment["distal"]
    return None if proximal is None or distal is None else long_axis(proximal, distal)


def _straightened(arm: MarkerArm, neutral_s: tuple[float, float]) -> tuple[MarkerArm, list[Issue]]:
    """Zero of the wrist from a stretch in which it was held straight."""
    t = arm.track.time_s
    low, high = (int(k) for k in np.searchsorted(t, neutral_s))
    seen = np.flatnonzero(arm.seen[low:high]) + low
    if seen.size < 5:
        told = f"neutral_s: expected the arm in sight from {neutral_s[0]:.2f} to {neutral_s[1]:.2f} s, got fewer than five frames."
        return arm, [Issue("neutral_unseen", "warning", "neutral_s", told + " The markers' own zero was used.")]
    rest = (arm.track.forearm[seen].inv() * arm.track.hand[seen]).mean()
    track = ArmTrack(t, arm.track.forearm, arm.track.hand * rest.inv(), arm.track.forearm_rate, arm.track.hand_rate)
    return MarkerArm(track, arm.seen, arm.borrowed, arm.club, arm.shaft, arm.head, zeroed=True), []


def _swings(arm: MarkerArm) -> list[tuple[int, tuple[int, int] | None]]:
    """Fastest sample of each swing, and its still address as samples (high exclusive), in time order."""
    t = arm.track.time_s
    step = float(np.median(np.diff(t)))
    rate = smoothed(np.linalg.norm(arm.track.hand_rate, axis=1), round(0.03 / step))
    rate = np.where(arm.seen, rate, 0.0)
    free, peaks = rate.copy(), []
    while free.size and free[k := int(np.argmax(free))] >= SWING_RATE:
        free[slice(*np.searchsorted(t, [t[k] - APART, t[k] + APART]))] = 0.0
        peaks.append(k)
    # turning over a tenth of a second: the markers' noise alone would never be still
    slow = smoothed(angular_rate(t, arm.track.hand, 0.1), round(0.06 / step))
    calm: NDArray[np.bool_] = (np.linalg.norm(slow, axis=1) < STILL_RATE) & arm.seen
    rests = [(a, b) for a, b in runs(calm) if t[b - 1] - t[a] >= STILL_TIME]
    out: list[tuple[int, tuple[int, int] | None]] = []
    for k in sorted(peaks):
        before = [w for w in rests if w[1] <= k and t[k] - t[w[1] - 1] < LONGEST_WAIT]
        out.append((k, before[-1] if before else None))
    return out


def _steadied(track: Floats, samples: float) -> Floats:
    """Gaussian smoothing over what is seen; NaN stays NaN."""
    seen: NDArray[np.bool_] = np.asarray(np.isfinite(track).all(axis=1))
    if samples < 0.3 or not seen.any():
        return track
    weight = gaussian_filter1d(seen.astype(np.float64), samples)
    # about a middle, so that gaps do not pull towards the origin
    middle = track[seen].mean(axis=0)
    total = gaussian_filter1d(np.where(seen[:, None], track - middle, 0.0), samples, axis=0)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(np.where(seen[:, None], middle + total / weight[:, None], np.nan))


def _gap_notes(gaps: tuple[MarkerGap, ...]) -> list[Issue]:
    """Filled gaps in one note, open ones each by name."""
    out: list[Issue] = []
    filled = [g for g in gaps if g.filled]
    if filled:
        worst = max(filled, key=lambda g: g.length_s)
        out.append(
            Issue(
                "gap_filled",
                "note",
                "markers",
                f"{len(filled)} short gaps in the markers were filled, the longest {1000 * worst.length_s:.0f} ms in"
                f" {worst.marker} at {worst.start_s:.2f} s.",
            )
        )
    opened = [g for g in gaps if not g.filled]
    for gap in opened[:8]:
        words = f"{gap.marker} was not seen from {gap.start_s:.2f} to {gap.end_s:.2f} s: nothing is read there."
        out.append(Issue("gap", "warning", gap.marker, words))
    if len(opened) > 8:
        out.append(Issue("gap", "warning", "markers", f"{len(opened) - 8} more gaps stayed open."))
    return out

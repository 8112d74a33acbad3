"""Forearm and hand from markers on the skin: gaps in the markers, and a frame for each segment.

A marker trace is positions in metres, shape (n, 3), NaN where the marker was not seen. Segment frames after Wu et al.
2005: Y proximal along the segment, X volar, square to the plane of the three markers, Z = X x Y (radial for a right limb,
ulnar for a left one).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.spatial.transform import Rotation

from ferrule.frames.wrist import Side
from ferrule.units import DEG

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

LONGEST_FILLED: Final = 0.05
"""Longest gap in a marker that is filled, s: over it a spline misses a marker on a fast wrist by under 2 mm (simulation)."""
FLATTEST: Final = 8.0 * DEG
"""Three markers of a segment span at least this angle at the proximal one; below it the frame's turn about its own long
axis is noise (0.5 mm on 35 mm is already 0.8 degrees)."""


@dataclass(frozen=True, slots=True)
class MarkerGap:
    """A marker was away from start_s to end_s (last sample before, first after); filled: by a spline, else left open."""

    marker: str
    start_s: float
    end_s: float
    filled: bool

    @property
    def length_s(self) -> float:
        """How long it was away, s."""
        return self.end_s - self.start_s


@dataclass(frozen=True, eq=False, slots=True)
class SegmentFrames:
    """Orientation of a segment, segment to world, n rotations; seen: shape (n,), False where it is only carried over."""

    rotation: Rotation
    seen: Bools


def fill_gaps(time_s: Floats, markers: Mapping[str, Floats]) -> tuple[dict[str, Floats], tuple[MarkerGap, ...]]:
    """Fill short gaps of every marker by a cubic spline through what was seen around them; name every gap.

    Gaps longer than `LONGEST_FILLED`, and those at the ends, stay NaN.
    """
    out: dict[str, Floats] = {}
    gaps: list[MarkerGap] = []
    for name, track in markers.items():
        seen: Bools = np.asarray(np.isfinite(track).all(axis=1))
        filled = np.where(seen[:, None], track, np.nan)
        known = np.flatnonzero(seen)
        if known.size == 0:
            gaps.append(MarkerGap(name, float(time_s[0]), float(time_s[-1]), False))
            out[name] = filled
            continue
        for end, start in ((known[0], 0), (len(time_s) - 1, known[-1])):
            if end > start:
                gaps.append(MarkerGap(name, float(time_s[start]), float(time_s[end]), False))
        for i in np.flatnonzero(np.diff(known) > 1):
            a, b = int(known[i]), int(known[i + 1])
            around = known[max(0, i - 3) : i + 5]
            short = float(time_s[b] - time_s[a]) <= LONGEST_FILLED + 1e-9 and around.size >= 4
            gaps.append(MarkerGap(name, float(time_s[a]), float(time_s[b]), short))
            if short:
                filled[a + 1 : b] = CubicSpline(time_s[around], track[around])(time_s[a + 1 : b])
        out[name] = filled
    return out, tuple(sorted(gaps, key=lambda g: (g.start_s, g.marker)))


def segment_frames(
    proximal: Floats, radial: Floats, ulnar: Floats, *, side: Side, flattest: float = FLATTEST
) -> SegmentFrames:
    """Frame of a segment from three markers: one at its proximal end, one on each side of its distal end.

    For the forearm: elbow, and the bony knobs of the wrist on the thumb's and the little finger's side. For the hand: the
    wrist, and the heads of the second and fifth metacarpal. side: of the body; flattest: least angle the three span at
    the proximal one, radians. Where a marker is missing, or the three lie
    nearly in line, the nearest orientation is carried over and `seen` is False. Raises ValueError when no sample is whole.
    """
    long = proximal - 0.5 * (radial + ulnar)
    across = (radial - ulnar) if side == "right" else (ulnar - radial)
    with np.errstate(invalid="ignore", divide="ignore"):
        y = long / np.linalg.norm(long, axis=1, keepdims=True)
        x = np.cross(y, across)
        width = np.linalg.norm(x, axis=1) / np.linalg.norm(long, axis=1)
        x /= np.linalg.norm(x, axis=1, keepdims=True)
        matrices = np.stack((x, y, np.cross(x, y)), axis=2)
    seen = np.isfinite(matrices).all(axis=(1, 2)) & (width > flattest)
    return SegmentFrames(carried(matrices, seen), seen)


def long_axis(proximal: Floats, distal: Floats) -> Floats:
    """Direction of a segment, distal to proximal, unit, shape (n, 3), from two markers; NaN where one is missing."""
    with np.errstate(invalid="ignore", divide="ignore"):
        long = proximal - distal
        return np.asarray(long / np.linalg.norm(long, axis=1, keepdims=True))


def hand_along(forearm: SegmentFrames, hand_axis: Floats) -> SegmentFrames:
    """The hand's frame from its long axis alone, on the rule that the wrist does not twist (axial angle zero).

    Two markers cannot tell the twist between forearm and hand; flexion and deviation (axial first) follow from the axis.
    hand_axis: in the world, shape (n, 3), NaN where unseen.
    """
    axis = forearm.rotation.inv().apply(np.nan_to_num(hand_axis))
    flexion = np.arctan2(-axis[:, 0], axis[:, 1])
    deviation = np.arcsin(np.clip(axis[:, 2], -1.0, 1.0))
    relative = Rotation.from_euler("ZX", np.stack((flexion, deviation), axis=1))
    seen = forearm.seen & np.isfinite(hand_axis).all(axis=1)
    return SegmentFrames(carried((forearm.rotation * relative).as_matrix(), seen), seen)


def forearm_along(hand: SegmentFrames, forearm_axis: Floats) -> SegmentFrames:
    """The forearm's frame from its long axis and the hand's frame, on the same rule; its roll is then the hand's."""
    axis = hand.rotation.inv().apply(np.nan_to_num(forearm_axis))
    flexion = np.arcsin(np.clip(axis[:, 0], -1.0, 1.0))
    deviation = np.arctan2(-axis[:, 2], axis[:, 1])
    relative = Rotation.from_euler("ZX", np.stack((flexion, deviation), axis=1))
    seen = hand.seen & np.isfinite(forearm_axis).all(axis=1)
    return SegmentFrames(carried((hand.rotation * relative.inv()).as_matrix(), seen), seen)


def carried(matrices: Floats, seen: Bools) -> Rotation:
    """Rotations from matrices, shape (n, 3, 3), the nearest good one where `seen` is False. Raises ValueError with none."""
    good = np.flatnonzero(seen)
    if good.size == 0:
        raise ValueError("no sample in which all markers of the segment were seen")
    after = np.clip(np.searchsorted(good, np.arange(len(seen))), 0, good.size - 1)
    before = np.clip(after - 1, 0, None)
    here = np.arange(len(seen))
    nearer = np.where(np.abs(good[after] - here) <= np.abs(good[before] - here), good[after], good[before])
    return Rotation.from_matrix(matrices[nearer])


def angular_rate(time_s: Floats, rotation: Rotation, window_s: float = 0.012) -> Floats:
    """Angular velocity in the world, rad/s, shape (n, 3): turning over a centred window of about `window_s`.

    One-sided at the ends. A difference over a few samples keeps the markers' noise down; a swing's rates change little
    within 12 ms.
    """
    n = len(time_s)
    half = max(1, round(0.5 * window_s / float(np.median(np.diff(time_s)))))
    low = np.maximum(np.arange(n) - half, 0)
    high = np.minimum(np.arange(n) + half, n - 1)
    turned = rotation[high] * rotation[low].inv()
    return np.asarray(turned.as_rotvec() / (time_s[high] - time_s[low])[:, None])

"""A recorded swing as points in space, frame by frame, to be drawn as line sketches; and which swings may be laid over it.

The sensors tell the directions of forearm, hand, shaft and leading edge; places follow from usual lengths of the arm and
the length of the club, and from where the head was: on the ground behind the ball at address, at the ball at impact. The
shoulder between the two is carried over evenly, and the upper arm is drawn along the forearm: neither was measured.
"""

from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation
from sqlalchemy import select

from ferrule.app.finding import found
from ferrule.app.golfers import club_of
from ferrule.app.workspace import Workspace
from ferrule.store.codec import unpack_arrays
from ferrule.store.tables import Club, Lesson, Swing, SwingResult

Floats = NDArray[np.float64]

POINTS: Final = ("shoulder", "wrist", "grip", "heel", "toe")
ARM: Final = 0.60
"""Lead shoulder to wrist, m (common practice, no source)."""
GRIP_IN_HAND: Final = 0.08
"""Wrist to the middle of the grip, m (common practice, no source)."""
HAND_ON_CLUB: Final = 0.10
"""Butt of the club to the middle of the lead hand, m (common practice, no source)."""
EDGE: Final = 0.20
"""Drawn length of the leading edge, m: about twice the real one, so that its turning can be seen."""
BEFORE_S: Final = 0.3
"""Shown from this long before the takeaway."""
LONGEST_S: Final = 3.2
MOST: Final = 400
CARRIED_AT_MOST: Final = 0.35
"""A shoulder that would have to move further than this to bring the head to the ball is left where it was, m."""
EVENTS: Final = ("address", "takeaway", "top", "lead_arm_level_down", "shaft_level_down", "impact")


@dataclass(frozen=True, eq=False, slots=True)
class SwingFrames:
    """One swing to draw. time_s: shape (n,), 0 at impact (at the end, where none was heard); points: shape (n, 5, 3), m,
    in the order of POINTS, in the target frame of a right-handed golfer with the ball at the origin; events: time_s of
    each that is within; struck: whether 0 is an impact; aimed: whether the heading of the target was told.
    """

    time_s: Floats
    points: Floats
    events: Mapping[str, float]
    struck: bool
    aimed: bool

    def at(self, time_s: float) -> Floats:
        """Points at a time, between the frames on a straight line, shape (5, 3)."""
        n = len(self.time_s)
        k = int(np.clip(np.searchsorted(self.time_s, time_s), 1, n - 1))
        step = self.time_s[k] - self.time_s[k - 1]
        share = float(np.clip((time_s - self.time_s[k - 1]) / step, 0.0, 1.0))
        return np.asarray((1.0 - share) * self.points[k - 1] + share * self.points[k])

    def table(self) -> str:
        """All frames as base64 of little-endian 16-bit numbers: for each the time in 0.1 ms, then 15 places in mm."""
        rows = np.column_stack((self.time_s * 1e4, self.points.reshape(len(self.time_s), -1) * 1e3))
        return b64encode(np.clip(np.rint(rows), -32768, 32767).astype("<i2").tobytes()).decode()


@dataclass(frozen=True, slots=True)
class RecordedLine:
    """A recorded swing in a list. mount: the putting-on of the sensors it belongs to."""

    id: int
    lesson_id: int
    lesson_at: datetime
    number: int | None
    club: str
    mount: str | None
    set_aside: bool


def frames_of(arrays: Mapping[str, Any], result: Mapping[str, Any], club_length: float) -> SwingFrames | None:
    """Frames from the kept traces and the result of the analysis; None when there are too few. club_length: m."""
    if "shaft" not in arrays or len(arrays["time_s"]) < 8:
        return None
    times = {
        name: float(event["time_s"]["value"])
        for name, event in result.get("events", {}).items()
        if name in EVENTS and event.get("time_s", {}).get("value") is not None
    }
    clock = np.asarray(arrays["time_s"], dtype=np.float64)
    zero = times.get("impact", float(clock[-1]))
    keep = clock >= max(times.get("takeaway", zero - 1.2) - BEFORE_S, zero - LONGEST_S)
    keep &= np.isfinite(np.asarray(arrays["shaft"])).all(axis=1) & (clock <= zero + 1e-6)
    rows = np.flatnonzero(keep)
    if len(rows) < 8:
        return None
    if len(rows) > MOST:
        rows = np.unique(np.linspace(0, len(rows) - 1, MOST).round().astype(int))
        rows = np.flatnonzero(keep)[rows]
    time_s = clock[rows] - zero
    arm = -_long_axis(arrays["forearm"], rows)
    hand = -_long_axis(arrays["hand"], rows)
    shaft = _unit(np.asarray(arrays["shaft"], dtype=np.float64)[rows])
    edge = leading_edge(shaft, _unit(np.asarray(arrays["face_normal"], dtype=np.float64)[rows]))
    # From the shoulder to the heel; the head is at the ball at both ends.
    wrist = ARM * arm
    grip = wrist + GRIP_IN_HAND * hand
    heel = grip + (club_length - HAND_ON_CLUB) * shaft
    middle = heel + 0.5 * EDGE * edge
    struck = "impact" in times and abs(float(time_s[-1])) < 0.02
    first = -middle[0]
    carried = np.zeros(len(rows))
    last = -middle[-1] if struck else first
    if np.linalg.norm(last - first) <= CARRIED_AT_MOST:
        start, end = times.get("takeaway", zero + time_s[0]) - zero, 0.0
        share = np.clip((time_s - start) / max(end - start, 1e-3), 0.0, 1.0)
        carried = share * share * (3.0 - 2.0 * share)
    shoulder = first + carried[:, None] * (last - first)
    points = np.stack((np.zeros_like(wrist), wrist, grip, heel, heel + EDGE * edge), axis=1) + shoulder[:, None, :]
    within = {n: t - zero for n, t in times.items() if time_s[0] - 1e-6 <= t - zero <= time_s[-1] + 0.02}
    within.setdefault("address", float(time_s[0]))
    return SwingFrames(time_s, points, within, struck, "top" in result.get("face", {}))


def leading_edge(shaft: Floats, normal: Floats) -> Floats:
    """Direction of the leading edge, heel to toe, shape (n, 3). The club is rigid, and in the first frame, at address,
    the edge is level; shaft, normal: unit vectors, shape (n, 3).
    """
    level = np.array([-normal[0, 2], 0.0, normal[0, 0]])
    level /= max(float(np.linalg.norm(level)), 1e-9)
    first = np.column_stack((shaft[0], normal[0], np.cross(shaft[0], normal[0])))
    shares = np.linalg.solve(first, level)
    across = np.cross(shaft, normal)
    return _unit(shares[0] * shaft + shares[1] * normal + shares[2] * across)


def _long_axis(quaternions: Any, rows: NDArray[np.intp]) -> Floats:
    """The Y axis of a segment, proximal, shape (n, 3)."""
    turned = Rotation.from_quat(np.asarray(quaternions, dtype=np.float64)[rows])
    return np.asarray(turned.as_matrix()[:, :, 1])


def _unit(vectors: Floats) -> Floats:
    return np.asarray(vectors / np.maximum(np.linalg.norm(vectors, axis=-1, keepdims=True), 1e-9))


def swing_frames(ws: Workspace, swing_id: int) -> SwingFrames | None:
    """The frames of a swing; None when it was not recorded. Raises NotFoundError."""
    with ws.reading() as session:
        swing = found(session, Swing, swing_id)
        kept = session.get(SwingResult, swing_id)
        if kept is None or not kept.traces:
            return None
        club = found(session, Club, swing.club_id)
        return frames_of(unpack_arrays(kept.traces), kept.result, club_of(club).length)


def recorded_swings(ws: Workspace, golfer_id: int, limit: int = 200) -> list[RecordedLine]:
    """The recorded swings of a golfer, the newest first."""
    query = (
        select(Swing, Lesson.started_at, Club.name)
        .join(SwingResult, SwingResult.swing_id == Swing.id)
        .join(Lesson, Lesson.id == Swing.lesson_id)
        .join(Club, Club.id == Swing.club_id)
        .where(Lesson.golfer_id == golfer_id)
        .order_by(Lesson.started_at.desc(), Swing.id.desc())
        .limit(limit)
    )
    with ws.reading() as session:
        return [
            RecordedLine(s.id, s.lesson_id, at, s.number, club, s.mount, s.set_aside_at is not None)
            for s, at, club in session.execute(query)
        ]

"""Swings of a golfer as blocks: which came before the change, which were practice, which were cold tests, and where.

Before the way was chosen, the balls of a lesson up to the first try are baseline. From then on only balls of a cold test
prove anything; all others are practice. The balls of a trial are neither.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

import numpy as np
from sqlalchemy import select

from ferrule.app.swing_rows import views_of_swings
from ferrule.app.views import ReadingView, SwingView
from ferrule.app.workspace import Workspace
from ferrule.coaching.ball_evidence import shape_flight
from ferrule.coaching.change import Block, Evidence, Kind
from ferrule.coaching.quantities import GRIP_TURN
from ferrule.frames.handedness import Handedness, world_sign
from ferrule.store.tables import ColdBall, ColdTest, Lesson, Reading, Swing, TrialBall

GRIP_CHANGE_DEG: Final = 5.0
"""A grip read so much otherwise than before is another grip (common practice, no source)."""
_SUREST: Final = ("ball", "sensor", "video", "typed", "by_eye")
SEEN: Final = ("video", "by_eye")
"""Ways of reading an angle that no mounting stands behind."""


@dataclass(frozen=True, slots=True)
class Beginning:
    """When a way began: in which lesson (of which day), and the moment it was chosen there. grip: the way is a new grip."""

    lesson_id: int
    on: date
    chosen_at: datetime
    grip: bool = False


@dataclass(frozen=True, slots=True)
class PlacedSwing:
    """A swing that belongs to a block. elsewhere: target or course of a test; hand: of the golfer."""

    swing: SwingView
    on: date
    kind: Kind
    hand: Handedness
    grip: str | None
    elsewhere: str | None


@dataclass(frozen=True, slots=True)
class Value:
    """A number of one swing, in the unit of its key. device: what measured it; mount: the mounting behind it."""

    value: float
    device: str
    mount: str | None = None


Reader = Callable[[PlacedSwing], Value | None]


def day_of(moment: datetime) -> date:
    """The day on the coach's calendar."""
    return moment.astimezone().date()


def placed_swings(
    ws: Workspace, golfer_id: int, club: str, hand: Handedness, began: Beginning | None
) -> list[PlacedSwing]:
    """Every ball of a golfer that counts for one club, in order of the days; those of other clubs where they were tested."""
    with ws.reading() as session:
        lessons = list(
            session.scalars(select(Lesson).where(Lesson.golfer_id == golfer_id).order_by(Lesson.started_at, Lesson.id))
        )
        ids = [lesson.id for lesson in lessons]
        swings: dict[int, list[SwingView]] = {}
        for s in views_of_swings(
            session, Swing.lesson_id.in_(ids), Swing.set_aside_at.is_(None), Swing.number.is_not(None)
        ):
            swings.setdefault(s.lesson_id, []).append(s)
        marked = session.execute(
            select(ColdBall.swing_id, ColdTest.elsewhere)
            .join(ColdTest, ColdTest.id == ColdBall.cold_test_id)
            .where(ColdTest.lesson_id.in_(ids))
        )
        tests = {row.swing_id: row.elsewhere for row in marked}
        tried = set(
            session.scalars(
                select(TrialBall.swing_id).join(Swing, Swing.id == TrialBall.swing_id).where(Swing.lesson_id.in_(ids))
            )
        )
        grips: dict[tuple[int, int], float] = {
            (r.lesson_id or 0, r.club_id or 0): r.value
            for r in session.scalars(
                select(Reading).where(Reading.lesson_id.in_(ids), Reading.key == GRIP_TURN.key).order_by(Reading.id)
            )
        }
    out: list[PlacedSwing] = []
    names = _Grips()
    for lesson in lessons:
        on, touched = day_of(lesson.started_at), set[int]()
        for s in swings.get(lesson.id, ()):
            grip = names.name(s.club_id, grips.get((lesson.id, s.club_id)))
            kind = _kind(s, lesson, began, club, tests, s.club_id in touched)
            if s.tried_feel is not None or s.id in tried:
                touched.add(s.club_id)
            if kind is None or s.id in tried:
                continue
            if began is not None and began.grip and kind != "baseline":
                grip = f"{grip}, as chosen"
            out.append(PlacedSwing(s, on, kind, hand, grip, tests.get(s.id) or None))
    return out


def _kind(
    swing: SwingView, lesson: Lesson, began: Beginning | None, club: str, tests: dict[int, str], touched: bool
) -> Kind | None:
    before = began is None or _is_before(swing, lesson, began)
    if before:
        return None if touched or swing.tried_feel is not None else "baseline"
    if swing.id in tests:
        return "transfer" if swing.club != club or tests[swing.id] else "retention"
    return "practice" if swing.club == club else None


def _is_before(swing: SwingView, lesson: Lesson, began: Beginning) -> bool:
    if lesson.id == began.lesson_id:
        return swing.made_at <= began.chosen_at
    return day_of(lesson.started_at) < began.on


class _Grips:
    """Names the grip of each club, lesson by lesson: a new name when it was read clearly otherwise than before."""

    def __init__(self) -> None:
        self._last: dict[int, tuple[int, float | None]] = {}

    def name(self, club_id: int, read: float | None) -> str:
        at, last = self._last.get(club_id, (1, None))
        if read is not None:
            if last is None:
                last = read
            elif abs(read - last) > GRIP_CHANGE_DEG:
                at, last = at + 1, read
            self._last[club_id] = (at, last)
        return f"grip {at}"


def blocks_of(placed: Iterable[PlacedSwing], read: Reader) -> list[Block]:
    """Blocks of one quantity: swings of a day, kind, club, grip, place, device and mounting together."""
    groups: dict[tuple[date, Kind, str, str | None, str | None, str, str | None], list[float]] = {}
    for p in placed:
        found = read(p)
        if found is not None:
            name = (p.on, p.kind, p.swing.club, p.grip, p.elsewhere, found.device, found.mount)
            groups.setdefault(name, []).append(found.value)
    return [
        Block(on, kind, club, np.array(values), mount, device, grip, where)
        for (on, kind, club, grip, where, device, mount), values in groups.items()
    ]


def ball_reader(key: str) -> Reader:
    """Start line or curve: as read, else as tapped. World degrees, + right."""

    def read(p: PlacedSwing) -> Value | None:
        found = surest(p.swing, key)
        if found is not None:
            return Value(found.value, found.device or found.how)
        if p.swing.shape is None:
            return None
        start, curve = shape_flight(p.swing.shape)
        return Value(world_sign(p.hand) * (start if key == "ball.start_deg" else curve).value, "tapped")

    return read


def angle_reader(key: str, evidence: Evidence) -> Reader:
    """An angle of the body: as it is, or for a wrist's `since_address` less the same angle at address, read alike."""
    parts = key.split(".")
    bent = parts[0] in ("wrist", "trail_wrist") and parts[-1] != "forearm_roll_deg"
    address = ".".join([parts[0], "address", parts[-1]])

    def read(p: PlacedSwing) -> Value | None:
        found = surest(p.swing, key)
        if found is None:
            return None
        device = found.device or found.how
        if evidence != "since_address" or not bent:
            return Value(found.value, device, _mount(p, found) if evidence == "absolute" else None)
        zero = p.swing.reading(address, found.how)
        return None if zero is None else Value(found.value - zero.value, device)

    return read


def surest(swing: SwingView, key: str) -> ReadingView | None:
    """The reading of a key got in the surest way; what was only assumed is none."""
    found = [r for r in swing.readings if r.key == key and r.how in _SUREST]
    return min(found, key=lambda r: _SUREST.index(r.how)) if found else None


def _mount(p: PlacedSwing, found: ReadingView) -> str | None:
    """Sensors come off after a lesson: a mounting is one of a day. What is seen has none that could move."""
    if found.how in SEEN:
        return "seen"
    return f"{p.on.isoformat()} {p.swing.mount}" if p.swing.mount else None


def mean_of(blocks: Sequence[Block], club: str) -> float | None:
    """Mean of the baseline swings with this club."""
    values = [b.values for b in blocks if b.kind == "baseline" and b.club == club]
    return float(np.mean(np.concatenate(values))) if values else None

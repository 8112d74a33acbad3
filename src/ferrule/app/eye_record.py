"""The coach's own record of eye against instrument: the same thing read both ways, on the same swing or in the same lesson.

One folder belongs to one coach, so every golfer's lessons teach the same eye. The pairs of a lesson are kept until that
lesson changes. What is known of the eye for one lesson comes from the others: an instrument that stands in the case itself
must not teach the eye that is then held beside it.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import hypot, sqrt
from threading import Lock
from types import MappingProxyType
from typing import Any, Final, cast
from weakref import WeakKeyDictionary

import numpy as np
from sqlalchemy import and_, null, or_, select, true
from sqlalchemy.orm import Session, aliased

from ferrule.analysis.eye_faces import face_pairs
from ferrule.app.case_rows import club_of_case, golfer_of_case, swing_of_case
from ferrule.app.finding import found
from ferrule.app.swing_rows import views_of_swings
from ferrule.app.views import SwingView
from ferrule.app.workspace import Workspace
from ferrule.coaching.case import Case, How, Reading, quantity_of
from ferrule.coaching.eye import EyeBias, EyePair, learn_eye
from ferrule.coaching.observation import SHARED
from ferrule.coaching.quantities import FACE, GRIP_TURN
from ferrule.coaching.references import scatter_of
from ferrule.store import tables as t

NEWEST: Final = 200
"""An eye changes over the years: so many lessons with pairs teach it, the newest ones."""
NEWEST_FACES: Final = 40
"""The face by eye is held against a fit of the whole lesson, which takes its time: so many lessons of a folder opened anew."""
INSTRUMENTS: Final = ("sensor", "video", "ball")
_AT_ONCE: Final = 400


@dataclass(slots=True)
class _Kept:
    lock: Lock = field(default_factory=Lock)
    pairs: dict[int, tuple[int, tuple[EyePair, ...]]] = field(default_factory=dict)
    learned: dict[int, tuple[frozenset[tuple[int, int]], Mapping[str, EyeBias]]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Read:
    """One reading of a lesson with one club. swing: None for the grip, which belongs to lesson and club."""

    swing: int | None
    mount: str | None
    tried: bool
    device: int | None
    reading: Reading

    @property
    def against(self) -> str:
        """What errs alike, within a lesson."""
        return f"{self.reading.how} {self.mount or '' if self.reading.how == 'sensor' else ''} {self.device or ''}"


_KEPT: WeakKeyDictionary[Workspace, _Kept] = WeakKeyDictionary()
_MAKING: Final = Lock()


def eye_for(ws: Workspace, session: Session, lesson_id: int | None) -> Mapping[str, EyeBias]:
    """What is known of the coach's eye by kind of reading, from all lessons but this one."""
    with _MAKING:
        kept = _KEPT.setdefault(ws, _Kept())
    every = select(t.Lesson.id, t.Lesson.version).order_by(t.Lesson.started_at)
    versions = dict(session.execute(every).all())
    with kept.lock:
        _bring_up_to_date(session, kept, versions)
        teaching = [i for i in versions if kept.pairs[i][1] and i != lesson_id][-NEWEST:]
        state = frozenset((i, versions[i]) for i in teaching)
        known = kept.learned.get(lesson_id or 0)
        if known is None or known[0] != state:
            pairs = (p for i in teaching for p in kept.pairs[i][1])
            known = state, MappingProxyType(learn_eye(pairs) if teaching else {})
            kept.learned[lesson_id or 0] = known
        return known[1]


def _bring_up_to_date(session: Session, kept: _Kept, versions: Mapping[int, int]) -> None:
    for gone in kept.pairs.keys() - versions.keys():
        del kept.pairs[gone]
        kept.learned.pop(gone, None)
    changed = [i for i, version in versions.items() if kept.pairs.get(i, (-1, ()))[0] != version]
    if changed:
        pairs = _pairs(session, changed if len(changed) <= _AT_ONCE else None)
        kept.pairs |= {i: (versions[i], tuple(pairs.get(i, ()))) for i in changed}


def _pairs(session: Session, lessons: Sequence[int] | None) -> dict[int, list[EyePair]]:
    """Pairs by lesson. lessons None: of all."""
    seen: dict[tuple[int, int, str], list[_Read]] = defaultdict(list)
    for lesson, club, swing, mount, feel, key, value, sd, how, device in _rows(session, lessons):
        # A device's numbers are typed, and its zero is as good as that of a sensor that was put on.
        by = "sensor" if how == "typed" and quantity_of(key).frame == "body" else how
        reading = Reading(value, sd, cast("How", by))
        seen[lesson, club, key].append(_Read(swing, mount, feel is not None, device, reading))
    out: dict[int, list[EyePair]] = defaultdict(list)
    faces = sorted({lesson for lesson, _, key in seen if key == FACE})[-NEWEST_FACES:]
    for (lesson, club, key), reads in seen.items():
        eyes = [r for r in reads if r.reading.how == "by_eye"]
        instruments = [r for r in reads if r.reading.how != "by_eye"]
        if key == FACE:
            out[lesson] += _of_faces(session, lesson, club, eyes) if lesson in faces else []
        elif key == GRIP_TURN.key:
            out[lesson] += _same(lesson, key, eyes[-1:], instruments[-1:])
        else:
            out[lesson] += _same(lesson, key, eyes, instruments) + _apart(lesson, key, eyes, instruments)
    return out


def _rows(session: Session, lessons: Sequence[int] | None) -> list[Any]:
    """Readings of what was read by eye: those by eye, and those of instruments."""
    reading, made = t.Reading, t.Swing
    columns = (reading.key, reading.value, reading.sd, reading.how, reading.device_id)
    measured = or_(reading.how.in_((*INSTRUMENTS, "by_eye")), reading.device_id.is_not(None))
    eye, swing = aliased(t.Reading), aliased(t.Swing)
    looked = (
        select(swing.lesson_id, swing.club_id, eye.key)
        .join(swing, swing.id == eye.swing_id)
        .where(eye.how == "by_eye", swing.set_aside_at.is_(None))
        .where(true() if lessons is None else swing.lesson_id.in_(lessons))
        .distinct()
        .subquery()
    )
    same = and_(made.lesson_id == looked.c.lesson_id, made.club_id == looked.c.club_id, made.set_aside_at.is_(None))
    of_swings = (
        select(made.lesson_id, made.club_id, made.id, made.mount, made.tried_feel, *columns)
        .select_from(looked)
        .join(made, same)
        .join(reading, and_(reading.swing_id == made.id, reading.key == looked.c.key))
        .where(measured)
        .order_by(reading.id)
    )
    grips = (
        select(reading.lesson_id, reading.club_id, null(), null(), null(), *columns)
        .where(reading.swing_id.is_(None), reading.key == GRIP_TURN.key, measured)
        .where(true() if lessons is None else reading.lesson_id.in_(lessons))
        .order_by(reading.id)
    )
    return [*session.execute(of_swings), *session.execute(grips)]


def _same(lesson: int, key: str, eyes: Sequence[_Read], instruments: Sequence[_Read]) -> list[EyePair]:
    """Eye and instrument on the same swing, or on the same grip."""
    surest: dict[int | None, _Read] = {}
    for i in instruments:
        if i.swing not in surest or _doubt(key, i) < _doubt(key, surest[i.swing]):
            surest[i.swing] = i
    return [
        EyePair(key, e.reading, surest[e.swing].reading, f"{lesson} {surest[e.swing].against}")
        for e in eyes
        if e.swing in surest
    ]


def _apart(lesson: int, key: str, eyes: Sequence[_Read], instruments: Sequence[_Read]) -> list[EyePair]:
    """Eye and instrument on different swings of one lesson: the golfer's scatter lies between them."""
    scatter = scatter_of(key)
    measured = {i.swing for i in instruments}
    alone = [e for e in eyes if not e.tried and e.swing not in measured]
    kinds: dict[str, list[_Read]] = defaultdict(list)
    for i in instruments:
        if not i.tried:
            kinds[i.against].append(i)
    if scatter is None or not alone or not kinds:
        return []
    name, most = max(kinds.items(), key=lambda kind: len(kind[1]))
    how, doubt = most[0].reading.how, float(np.mean([_doubt(key, i) for i in most]))
    part = SHARED[how]
    mean = float(np.mean([i.reading.value for i in most]))
    # The mean is one and the same for every look of the eye, with all that it errs by.
    shared = sqrt((part * doubt) ** 2 + ((1.0 - part**2) * doubt**2 + scatter**2) / len(most))
    instrument = Reading(mean, hypot(shared, scatter), how)
    return [EyePair(key, e.reading, instrument, f"{lesson} {name} apart", shared) for e in alone]


def _of_faces(session: Session, lesson_id: int, club_id: int, eyes: Sequence[_Read]) -> list[EyePair]:
    """The face by eye against what sensors and balls of the lesson say."""
    lesson = found(session, t.Lesson, lesson_id)
    golfer = golfer_of_case(found(session, t.Golfer, lesson.golfer_id))
    views = views_of_swings(session, t.Swing.lesson_id == lesson_id, t.Swing.set_aside_at.is_(None))
    cases = {}
    for club in dict.fromkeys(v.club_id for v in views):
        own = [v for v in views if v.club_id == club]
        swings = tuple(swing_of_case(_without_eye(v)) for v in own)
        cases[club] = Case(golfer, club_of_case(found(session, t.Club, club), None), swings)
    seen = {e.swing: e.reading for e in eyes}
    own = [v for v in views if v.club_id == club_id]
    case = replace(cases[club_id], same_lesson=tuple(c for club, c in cases.items() if club != club_id))
    return face_pairs(case, {i: seen[v.id] for i, v in enumerate(own) if v.id in seen}, str(lesson_id))


def _without_eye(view: SwingView) -> SwingView:
    return replace(view, readings=tuple(r for r in view.readings if (r.key, r.how) != (FACE, "by_eye")))


def _doubt(key: str, read: _Read) -> float:
    return read.reading.doubt(quantity_of(key))


__all__ = ["eye_for"]

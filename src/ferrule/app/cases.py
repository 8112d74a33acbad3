"""The case of a golfer with one club, built from what is kept; its explanation; its ways; answering a look in place."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from math import sqrt
from types import MappingProxyType
from typing import Any, cast

import numpy as np
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.analysis.options import OptionsAnswer, work_out_options
from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.golfers import club_of
from ferrule.app.swing_rows import (
    NewReading,
    club_for,
    converted,
    lesson_and_hand,
    put_reading,
    reading_row,
    swing_view,
    view_of_reading,
    views_of_swings,
)
from ferrule.app.views import ReadingView, SwingView
from ferrule.app.workspace import Workspace
from ferrule.club.clubs import Club, club_by_name, known_name
from ferrule.coaching.case import Case, CaseSwing, Golfer, How, Reading, Setting, Tried, WristRange, quantity_of
from ferrule.coaching.looks import LOOKS, USUAL_BEND_DEG, Look
from ferrule.coaching.quantities import GRIP_TURN
from ferrule.coaching.references import FACE_ADDRESS_SD_DEG
from ferrule.errors import InputError
from ferrule.store import tables as t

BY_GEAR = {"eye": "by_eye", "video": "video", "sensor": "sensor", "ball": "ball"}
FACE = "delivery.face_deg"
BEND_ADDRESS, BEND_IMPACT = "posture.forward_bend_address_deg", "posture.forward_bend_impact_deg"


def case_of(
    ws: Workspace,
    golfer_id: int,
    club_name: str | None = None,
    lesson_id: int | None = None,
    *,
    made_by: datetime | None = None,
) -> Case:
    """All readings of one golfer with one club in one lesson.

    club_name None: the club of most swings of the lesson, else the current one. lesson_id None: the newest lesson with
    swings to judge by (of this club when one is named). Swings set aside are left out; swings in which a feel was tried
    are carried as such. The grip is the newest reading with this club up to and including that lesson. The result is in
    the world, as entered: a left-hander's case is left-handed. made_by: only swings made up to this moment.
    """
    with ws.reading() as session:
        golfer = found(session, t.Golfer, golfer_id)
        lesson = found(session, t.Lesson, lesson_id) if lesson_id else _lesson_to_judge(session, golfer_id, club_name)
        club = _club(session, golfer_id, club_name, lesson)
        swings: Sequence[SwingView] = ()
        if lesson is not None and club is not None:
            which = [t.Swing.lesson_id == lesson.id, t.Swing.club_id == club.id, t.Swing.set_aside_at.is_(None)]
            if made_by is not None:
                which.append(t.Swing.made_at <= made_by)
            swings = views_of_swings(session, *which)
        grip = _grip(session, lesson, club)
        return Case(
            golfer=golfer_of_case(golfer),
            club=_club_of_case(club, club_name),
            swings=tuple(_swing(s) for s in swings),
            grip_turn=grip,
            setting=_setting(lesson),
        )


def case_lesson(ws: Workspace, golfer_id: int, club_name: str | None = None) -> int | None:
    """Id of the lesson that `case_of` takes when none is named; None when there is nothing to judge by yet."""
    with ws.reading() as session:
        lesson = _lesson_to_judge(session, golfer_id, club_name)
        return lesson.id if lesson else None


def explanation(
    ws: Workspace, golfer_id: int, club_name: str | None = None, lesson_id: int | None = None
) -> Explanation:
    """Why the face arrives open or closed: what `explain_case` says of the case."""
    return explanation_of(ws, case_of(ws, golfer_id, club_name, lesson_id))


def options(ws: Workspace, golfer_id: int, club_name: str | None = None, lesson_id: int | None = None) -> OptionsAnswer:
    """The ways out: what `work_out_options` says of the case."""
    return options_of(ws, case_of(ws, golfer_id, club_name, lesson_id))


def explanation_of(ws: Workspace, case: Case) -> Explanation:
    """The explanation of a case in hand, worked out once for each content."""
    return ws.answers.get("explain", case, explain_case)


def options_of(ws: Workspace, case: Case) -> OptionsAnswer:
    """The ways of a case in hand, worked out once for each content."""
    return ws.answers.get("options", case, lambda c: work_out_options(c, explanation=explanation_of(ws, c)))


def look_named(name: str) -> Look:
    """A look by its name in the machine interface. Raises InputError."""
    for look in LOOKS:
        if look.name == name:
            return look
    names = ", ".join(look.name for look in LOOKS)
    raise InputError.of("unknown_look", "look", expected=f"one of {names}", got=repr(name))


def answer_look(
    ws: Workspace,
    lesson_id: int,
    look: str,
    value: float,
    *,
    sd: float | None = None,
    how: str | None = None,
    club: str | None = None,
    device_id: int | None = None,
    key: str | None = None,
) -> ReadingView:
    """Answer a next look in place: the answer becomes a reading with its doubt.

    value: in degrees of the look's key, or of one of its answers (for `forward_bend`: degrees of bend lost); or what
    the device shows. sd, how: those of the look unless given. It joins the newest ball of the lesson with this club
    that was not a try and has no such reading; else it stands as a look of its own.
    """
    asked = look_named(look)
    doubt = asked.sd_deg if sd is None else sd
    got = BY_GEAR[asked.needs] if how is None else how
    with ws.change("answer_look", key=key, lesson_id=lesson_id) as change:
        session = change.session
        if not change.repeated:
            lesson, hand = lesson_and_hand(session, lesson_id)
            form = Form()
            new = [NewReading(asked.key, value, doubt, cast("How", got), device_id)]
            with_club = club_for(session, lesson.golfer_id, club)
            swing = None if asked.key == GRIP_TURN.key else _swing_for_look(session, lesson_id, with_club.id, asked.key)
            if asked.key == BEND_IMPACT and device_id is None:
                new = _bend_readings(session, swing, value, doubt, got)
            values = [converted(session, form, r, hand) for r in new]
            form.done()
            if asked.key == GRIP_TURN.key:
                row = reading_row(new[0], values[0], lesson_id=lesson_id, club_id=with_club.id)
                session.add(row)
            else:
                if swing is None:
                    swing = t.Swing(lesson_id=lesson_id, club_id=with_club.id, number=None, made_at=now())
                    session.add(swing)
                    session.flush()
                for reading, converted_value in zip(new, values, strict=True):
                    row = put_reading(session, swing, reading, converted_value)
            session.flush()
            change.made_id = row.id
        return view_of_reading(session, found(session, t.Reading, change.made_id or 0))


# -- rows to the case -------------------------------------------------------------------------------------------------


def _lesson_to_judge(session: Session, golfer_id: int, club_name: str | None) -> t.Lesson | None:
    query = (
        select(t.Lesson)
        .join(t.Swing, t.Swing.lesson_id == t.Lesson.id)
        .join(t.Club, t.Club.id == t.Swing.club_id)
        .where(t.Lesson.golfer_id == golfer_id, t.Swing.set_aside_at.is_(None))
        .order_by(t.Lesson.started_at.desc(), t.Lesson.id.desc())
        .limit(1)
    )
    if club_name is not None:
        query = query.where(t.Club.name == _tidy(club_name))
    own = session.scalar(query.where(t.Swing.tried_feel.is_(None)))
    return own or session.scalar(query)


def _club(session: Session, golfer_id: int, club_name: str | None, lesson: t.Lesson | None) -> t.Club | None:
    if club_name is not None:
        return session.scalar(select(t.Club).where(t.Club.golfer_id == golfer_id, t.Club.name == _tidy(club_name)))
    if lesson is not None:
        most = session.scalar(
            select(t.Swing.club_id)
            .where(t.Swing.lesson_id == lesson.id, t.Swing.set_aside_at.is_(None))
            .group_by(t.Swing.club_id)
            .order_by(func.count().desc(), func.max(t.Swing.id).desc())
            .limit(1)
        )
        if most is not None:
            return found(session, t.Club, most)
    return session.scalar(
        select(t.Club).where(t.Club.golfer_id == golfer_id).order_by(t.Club.is_current.desc(), t.Club.id).limit(1)
    )


def _club_of_case(row: t.Club | None, club_name: str | None) -> Club:
    if row is None:
        return club_by_name(club_name or "7-iron")
    return club_of(row)


def golfer_of_case(row: t.Golfer, on: date | None = None) -> Golfer:
    """The golfer as the case has them: usual ranges where nobody looked. on: the day from which the next event is counted,
    today unless given.
    """
    known = WristRange()
    kept = (
        row.wrist_flexion_range_deg, row.wrist_extension_range_deg, row.wrist_radial_range_deg,
        row.wrist_ulnar_range_deg,
    )  # fmt: skip
    usual = (known.flexion, known.extension, known.radial, known.ulnar)
    flexion, extension, radial, ulnar = (u if k is None else k for k, u in zip(kept, usual, strict=True))
    days = None if row.next_event_on is None else (row.next_event_on - (on or now().date())).days
    return Golfer(
        handedness="right" if row.handedness == "right" else "left",
        big_miss=cast("Any", row.big_miss),
        other_miss=cast("Any", row.other_miss),
        pain=tuple(row.pain),
        age_group=cast("Any", row.age_group),
        wrist_range=WristRange(flexion, extension, radial, ulnar, measured=any(k is not None for k in kept)),
        event_in_days=days if days is not None and days >= 0 else None,
    )


def _setting(row: t.Lesson | None) -> Setting:
    if row is None:
        return Setting()
    return Setting(row.surface, row.flight_seen_m, row.ball, cast("Any", tuple(row.at_hand)))


def _swing(view: SwingView) -> CaseSwing:
    by_key: dict[str, list[Reading]] = {}
    for r in view.readings:
        by_key.setdefault(r.key, []).append(Reading(r.value, r.sd, cast("How", r.how)))
    return CaseSwing(
        readings=MappingProxyType({k: joined(k, rs) for k, rs in by_key.items()}),
        mount=view.mount,
        strike=view.strike,
        shape=view.shape,
        tried=Tried(view.tried_feel, view.tried_amount or 1.0) if view.tried_feel else None,
    )


def joined(key: str, readings: Sequence[Reading]) -> Reading:
    """One reading from several of the same quantity of one swing: weighted by their doubt, named after the surest.

    A sensor's face is relative to the face at address and cannot be averaged with a face against the target: the surer
    of the two stands.
    """
    if len(readings) == 1:
        return readings[0]
    doubts = np.array([max(r.doubt(quantity_of(key)), 1e-6) for r in readings])
    if key == FACE and any(r.how == "sensor" for r in readings):
        from_address = np.array([FACE_ADDRESS_SD_DEG if r.how == "sensor" else 0.0 for r in readings])
        surest = readings[int(np.argmin(np.hypot(doubts, from_address)))]
        return surest if surest.how == "sensor" else joined(key, [r for r in readings if r.how != "sensor"])
    weights = doubts**-2.0
    value = float(np.sum(weights * [r.value for r in readings]) / np.sum(weights))
    return Reading(value, float(np.sum(weights) ** -0.5), readings[int(np.argmin(doubts))].how)


def _grip(session: Session, lesson: t.Lesson | None, club: t.Club | None) -> Reading | None:
    if club is None:
        return None
    query = (
        select(t.Reading)
        .join(t.Lesson, t.Lesson.id == t.Reading.lesson_id)
        .where(t.Reading.club_id == club.id, t.Reading.key == GRIP_TURN.key)
        .order_by(t.Lesson.started_at.desc(), t.Reading.id.desc())
        .limit(1)
    )
    if lesson is not None:
        query = query.where(t.Lesson.started_at <= lesson.started_at)
    row = session.scalar(query)
    return Reading(row.value, row.sd, cast("How", row.how)) if row else None


# -- looks ------------------------------------------------------------------------------------------------------------


def _swing_for_look(session: Session, lesson_id: int, club_id: int, reading_key: str) -> t.Swing | None:
    swing = session.scalar(
        select(t.Swing)
        .where(
            t.Swing.lesson_id == lesson_id,
            t.Swing.club_id == club_id,
            t.Swing.set_aside_at.is_(None),
            t.Swing.tried_feel.is_(None),
        )
        .order_by(t.Swing.id.desc())
        .limit(1)
    )
    if swing is None:
        return None
    has = session.scalar(select(t.Reading.id).where(t.Reading.swing_id == swing.id, t.Reading.key == reading_key))
    return None if has else swing


def _bend_readings(session: Session, swing: t.Swing | None, lost: float, doubt: float, how: str) -> list[NewReading]:
    """The look asks for bend lost; the glossary keeps bend at address and at impact."""
    address = None
    if swing is not None:
        view = swing_view(session, swing.id)
        kept = view.reading(BEND_ADDRESS)
        address = kept.value if kept else None
    impact = NewReading(BEND_IMPACT, (USUAL_BEND_DEG if address is None else address) - lost, doubt, how)
    if address is not None:
        return [impact]
    # Nobody saw the bend at address: the usual one stands in, and the doubt of the loss is shared between the two.
    half = doubt / sqrt(2.0)
    return [NewReading(BEND_ADDRESS, USUAL_BEND_DEG, half, "assumed"), replace(impact, sd=half)]


def _tidy(name: str) -> str:
    return known_name(name) or " ".join(name.split())

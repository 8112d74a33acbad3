"""The case of a golfer with one club, built from what is kept; its explanation; its ways; answering a look in place."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from math import sqrt
from types import MappingProxyType
from typing import cast

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.analysis.options import OptionsAnswer, work_out_options
from ferrule.analysis.self_calibration import has_ball, is_worn
from ferrule.app.case_rows import club_of_case, golfer_of_case, setting_of_case, swing_of_case
from ferrule.app.eye_record import eye_for
from ferrule.app.finding import found, now
from ferrule.app.form import Form
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
from ferrule.app.views import ReadingView
from ferrule.app.workspace import Workspace
from ferrule.club.clubs import known_name
from ferrule.coaching.case import Case, How, Reading
from ferrule.coaching.eye import EyeBias, kind_of
from ferrule.coaching.looks import LOOKS, USUAL_BEND_DEG, Look
from ferrule.coaching.quantities import GRIP_TURN
from ferrule.errors import InputError
from ferrule.store import tables as t

BY_GEAR = {"eye": "by_eye", "video": "video", "sensor": "sensor", "ball": "ball"}
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
    the world, as entered: a left-hander's case is left-handed. made_by: only swings made up to this moment. With it comes
    what sets it right: what is known of the coach's eye, and what was hit with other clubs under the same mountings.
    """
    with ws.reading() as session:
        golfer = found(session, t.Golfer, golfer_id)
        lesson = found(session, t.Lesson, lesson_id) if lesson_id else _lesson_to_judge(session, golfer_id, club_name)
        club = _club(session, golfer_id, club_name, lesson)
        eye = eye_for(ws, session, lesson.id if lesson else None)
        case = Case(
            golfer=golfer_of_case(golfer),
            club=club_of_case(club, club_name),
            grip_turn=_grip(session, lesson, club),
            setting=setting_of_case(lesson),
        )
        if lesson is None or club is None:
            return replace(case, eye=_of_this(case, eye))
        which = [t.Swing.lesson_id == lesson.id, t.Swing.set_aside_at.is_(None)]
        if made_by is not None:
            which.append(t.Swing.made_at <= made_by)
        views = views_of_swings(session, *which, t.Swing.club_id == club.id)
        case = replace(case, swings=tuple(swing_of_case(s, eye) for s in views))
        others = _other_clubs(session, case, which, club.id)
        return replace(case, same_lesson=others, eye=_of_this(case, eye))


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


def _of_this(case: Case, eye: Mapping[str, EyeBias]) -> Mapping[str, EyeBias]:
    """What is known of the eye for the kinds that it read in this case."""
    by_eye = {kind_of(k) for s in case.swings for k, r in s.readings.items() if r.how == "by_eye"}
    if case.grip_turn is not None and case.grip_turn.how == "by_eye":
        by_eye.add(GRIP_TURN.key)
    return MappingProxyType({kind: eye[kind] for kind in sorted(by_eye & eye.keys())})


def _other_clubs(session: Session, case: Case, which: Sequence[ColumnElement[bool]], club_id: int) -> tuple[Case, ...]:
    """The cases of the same lesson with other clubs whose balls can teach what a mounting of this case adds."""
    mounts = {s.mount for s in case.swings if is_worn(s)}
    if not mounts:
        return ()
    views = views_of_swings(session, *which, t.Swing.club_id != club_id)
    out = []
    for other in dict.fromkeys(v.club_id for v in views):
        swings = tuple(swing_of_case(v) for v in views if v.club_id == other)
        if any(is_worn(s) and s.mount in mounts and has_ball(s) for s in swings):
            club = club_of_case(found(session, t.Club, other), None)
            out.append(Case(case.golfer, club, swings, setting=case.setting))
    return tuple(out)


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

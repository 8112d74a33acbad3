"""The simple things a coach rules out first, each with one tap: strike, aim, face at address, the club, the path.

What is seen becomes a reading of the case with the doubt of an eye; the club itself, which no reading tells of, becomes a
note of the lesson that begins with "Club:".
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.lessons import lesson
from ferrule.app.swing_rows import (
    NewReading,
    club_for,
    converted,
    lesson_and_hand,
    put_reading,
    strike_and_feel,
)
from ferrule.app.views import LessonView
from ferrule.app.workspace import Workspace
from ferrule.frames.handedness import Handedness, world_sign
from ferrule.store.tables import Club, Lesson, Note, Reading, Swing

CLUB_NOTE: Final = "Club: "
FINE: Final = "fine"


@dataclass(frozen=True, slots=True)
class SimpleCheck:
    """One of the simple things. key: what its answer is a reading of ("" for strike and club); sd: doubt of the eye, degrees.

    answers: word, what it says, and the value in degrees (+ right of the target, or + open where `open` is set).
    """

    name: str
    key: str
    sd: float
    answers: tuple[tuple[str, str, float], ...]
    open: bool = False


# Sizes and doubts: as in the table of looks (common practice, no source).
CHECKS: Final = (
    SimpleCheck("strike", "", 0.0, ((FINE, "centred", 0.0), ("toe", "off the toe", 0.0), ("heel", "off the heel", 0.0))),
    SimpleCheck("aim", "aim_deg", 1.0, ((FINE, "square", 0.0), ("left", "left", -4.0), ("right", "right", 4.0))),
    SimpleCheck("face_at_address", "face_address_deg", 3.0, ((FINE, "square", 0.0), ("open", "open", 4.0), ("closed", "closed", -4.0)), open=True),
    SimpleCheck("club", "", 0.0, ((FINE, "looks fine", 0.0), ("upright", "sits toe up", 0.0), ("flat", "sits heel up", 0.0), ("grip", "grip worn or the wrong size", 0.0))),
    SimpleCheck("path", "delivery.path_deg", 3.0, ((FINE, "straight", 0.0), ("left", "to the left", -5.0), ("right", "to the right", 5.0))),
)  # fmt: skip
BY_NAME: Final = {c.name: c for c in CHECKS}


def rule_out(
    ws: Workspace, lesson_id: int, answers: Mapping[str, str], *, club: str | None = None, key: str | None = None
) -> LessonView:
    """Note what was seen of the simple things: names of `CHECKS` with one of their words. All of it is one entry.

    An answer given again takes the place of the one before. Raises InputError with the faults by name of the check.
    """
    form = Form()
    for name, word in answers.items():
        check = BY_NAME.get(name)
        if check is None:
            form.fail("unknown_key", "check", f"one of {', '.join(BY_NAME)}", repr(name), do="Choose one")
        else:
            form.choice(name, word, [w for w, _, _ in check.answers])
    if not answers:
        form.fail("missing", "check", "what was looked at", "nothing", do="Tap what you saw")
    form.done()
    with ws.change("rule_out", key=key, lesson_id=lesson_id) as change:
        session = change.session
        held, hand = lesson_and_hand(session, lesson_id)
        if not change.repeated:
            with_club = club_for(session, held.golfer_id, club)
            for name, word in answers.items():
                _keep(session, held, with_club, BY_NAME[name], word, hand)
            session.flush()
    return lesson(ws, lesson_id)


def seen(held: LessonView, club: str, handedness: Handedness) -> dict[str, str]:
    """The words that stand, by name of the check; those that nobody looked at are left out."""
    out: dict[str, str] = {}
    looks = [s for s in held.swings if s.club == club and not s.set_aside and s.tried_feel is None]
    for check in CHECKS:
        word = None
        if check.name == "strike":
            word = next((_strike_word(s.strike) for s in reversed(looks) if s.number is None and s.strike), None)
        elif check.name == "club":
            word = next((_club_word(n.text) for n in reversed(held.notes) if n.text.startswith(CLUB_NOTE)), None)
        else:
            read = [r for s in looks if (r := s.reading(check.key, "by_eye")) is not None]
            if read:
                newest = max(read, key=lambda r: (r.read_at, r.id))
                value = newest.value * (world_sign(handedness) if check.open else 1.0)
                word = min(check.answers, key=lambda a: abs(a[2] - value))[0]
        if word is not None:
            out[check.name] = word
    return out


def _keep(session: Session, held: Lesson, club: Club, check: SimpleCheck, word: str, hand: Handedness) -> None:
    said, value = next((s, v) for w, s, v in check.answers if w == word)
    if check.name == "club":
        _keep_note(session, held.id, f"{CLUB_NOTE}{said}.")
    elif check.name == "strike":
        _keep_strike(session, held.id, club.id, "centre" if word == FINE else word)
    else:
        _keep_reading(session, held.id, club.id, NewReading(check.key, value * (world_sign(hand) if check.open else 1.0), check.sd, "by_eye"), hand)  # fmt: skip


def _keep_note(session: Session, lesson_id: int, text: str) -> None:
    row = session.scalar(
        select(Note).where(Note.lesson_id == lesson_id, Note.text.startswith(CLUB_NOTE)).order_by(Note.id.desc())
    )
    if row is None:
        session.add(Note(lesson_id=lesson_id, text=text, written_at=now()))
    else:
        row.text, row.written_at = text, now()


def _keep_strike(session: Session, lesson_id: int, club_id: int, strike: str) -> None:
    """On a look of its own: it tells of the usual strike, not of one ball."""
    form = Form()
    hit, _, _ = strike_and_feel(form, strike, None, 1.0)
    form.done()
    row = session.scalar(
        select(Swing).where(*_looks(lesson_id, club_id), Swing.strike.is_not(None)).order_by(Swing.id.desc())
    )
    if row is None:
        session.add(Swing(lesson_id=lesson_id, club_id=club_id, number=None, made_at=now(), strike=hit))
    else:
        row.strike = hit


def _keep_reading(session: Session, lesson_id: int, club_id: int, new: NewReading, hand: Handedness) -> None:
    """In place of the eye's last reading of the same thing, else on the newest ball that has none, else on a look."""
    form = Form()
    value = converted(session, form, new, hand)
    form.done()
    of_lesson = (
        Swing.lesson_id == lesson_id, Swing.club_id == club_id, Swing.set_aside_at.is_(None), Swing.tried_feel.is_(None),
    )  # fmt: skip
    newest = session.scalars(select(Swing).where(*of_lesson).order_by(Swing.id.desc()))
    swings = list(newest)
    read = session.scalar(
        select(Reading)
        .where(Reading.swing_id.in_([s.id for s in swings]), Reading.key == new.key, Reading.how == "by_eye")
        .order_by(Reading.read_at.desc(), Reading.id.desc())
    )
    if read is not None:
        swing = found(session, Swing, read.swing_id or 0)
    elif swings:
        swing = swings[0]
    else:
        swing = Swing(lesson_id=lesson_id, club_id=club_id, number=None, made_at=now())
        session.add(swing)
        session.flush()
    put_reading(session, swing, new, value)


def _looks(lesson_id: int, club_id: int) -> tuple[ColumnElement[bool], ...]:
    return (
        Swing.lesson_id == lesson_id, Swing.club_id == club_id, Swing.number.is_(None), Swing.set_aside_at.is_(None),
    )  # fmt: skip


def _strike_word(strike: str) -> str | None:
    return FINE if strike == "centre" else strike if strike in ("toe", "heel") else None


def _club_word(text: str) -> str | None:
    said = text.removeprefix(CLUB_NOTE).rstrip(".")
    return next((w for w, s, _ in BY_NAME["club"].answers if s == said), None)


__all__ = ["CHECKS", "CLUB_NOTE", "FINE", "SimpleCheck", "rule_out", "seen"]

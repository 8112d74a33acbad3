"""Golfers: add, find, read, change, consent; and the clubs in their bags."""

import unicodedata
from collections.abc import Mapping
from datetime import date, timedelta
from types import MappingProxyType
from typing import Any, Final, TypedDict, Unpack, get_args

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.views import ClubView, GolferLine, GolferView
from ferrule.app.workspace import Workspace
from ferrule.club.clubs import Club as ClubData
from ferrule.club.clubs import club_with, known_name
from ferrule.coaching.case import AgeGroup, Miss
from ferrule.errors import InputError, NotFoundError
from ferrule.frames.handedness import Handedness
from ferrule.store.tables import Club, Golfer, Lesson
from ferrule.units import DEG

RANGES: Final[Mapping[str, float]] = MappingProxyType(
    {
        "wrist_flexion_range_deg": 120.0,
        "wrist_extension_range_deg": 120.0,
        "wrist_radial_range_deg": 60.0,
        "wrist_ulnar_range_deg": 70.0,
        "forearm_supination_range_deg": 130.0,
        "forearm_pronation_range_deg": 130.0,
        "chest_turn_range_deg": 150.0,
        "hip_turn_range_deg": 120.0,
    }
)
"""Ranges of the quick screen and the largest value anybody could have."""


class GolferFields(TypedDict, total=False):
    """What can be known of a golfer. Every field may be left out; None or "" says unknown.

    big_miss, other_miss: right, left, straight or both, in the world; ranges in degrees, positive.
    pain: places in words; giving a list (also an empty one) says that pain was asked about just now.
    """

    name: str
    handedness: str
    age_group: str
    big_miss: str | None
    other_miss: str | None
    goal: str
    next_event: str
    next_event_on: date | None
    balls_a_week: int | None
    told_before: str
    pain: list[str]
    wrist_flexion_range_deg: float | None
    wrist_extension_range_deg: float | None
    wrist_radial_range_deg: float | None
    wrist_ulnar_range_deg: float | None
    forearm_supination_range_deg: float | None
    forearm_pronation_range_deg: float | None
    chest_turn_range_deg: float | None
    hip_turn_range_deg: float | None


def add_golfer(ws: Workspace, *, key: str | None = None, **fields: Unpack[GolferFields]) -> GolferView:
    """Add a golfer; name and handedness are needed, age_group is adult unless told. Two golfers may share a name.

    The bag starts with a 7-iron, current. Raises InputError with the faults by field.
    """
    values = _checked(dict(fields), new=True)
    with ws.change("add_golfer", key=key, can_undo=False) as change:
        if not change.repeated:
            golfer = Golfer(**values, added_at=now())
            golfer.age_group = golfer.age_group or "adult"
            change.session.add(golfer)
            change.session.flush()
            change.session.add(Club(golfer_id=golfer.id, name="7-iron", is_current=True))
            change.golfer_id = change.made_id = golfer.id
        return view_of_golfer(found(change.session, Golfer, change.made_id or 0))


def update_golfer(
    ws: Workspace, golfer_id: int, *, key: str | None = None, **fields: Unpack[GolferFields]
) -> GolferView:
    """Change the given fields and leave the others. Raises InputError with the faults by field."""
    values = _checked(dict(fields), new=False)
    with ws.change("update_golfer", key=key, golfer_id=golfer_id) as change:
        golfer = found(change.session, Golfer, golfer_id)
        if not change.repeated:
            for name, value in values.items():
                setattr(golfer, name, value)
            change.made_id = golfer_id
        return view_of_golfer(golfer)


def record_consent(
    ws: Workspace, golfer_id: int, *, carer_name: str, golfer_agreed: bool, key: str | None = None
) -> GolferView:
    """A parent or carer allowed recordings of a child, and the child agreed (or did not: then nothing is recorded)."""
    form = Form()
    carer = form.name("carer_name", carer_name, "the name of the parent or carer who agreed")
    form.done()
    with ws.change("record_consent", key=key, golfer_id=golfer_id) as change:
        golfer = found(change.session, Golfer, golfer_id)
        if not change.repeated:
            golfer.carer_name, golfer.carer_consented_at = carer, now()
            golfer.golfer_agreed_at = now() if golfer_agreed else None
        return view_of_golfer(golfer)


def withdraw_consent(ws: Workspace, golfer_id: int, *, key: str | None = None) -> GolferView:
    """Consent was taken back: nothing more is recorded. What is there stays until it is erased."""
    with ws.change("withdraw_consent", key=key, golfer_id=golfer_id) as change:
        golfer = found(change.session, Golfer, golfer_id)
        golfer.carer_consented_at = golfer.golfer_agreed_at = None
        return view_of_golfer(golfer)


def golfer(ws: Workspace, golfer_id: int) -> GolferView:
    """One golfer in full. Raises NotFoundError."""
    with ws.reading() as session:
        return view_of_golfer(found(session, Golfer, golfer_id))


def golfers(ws: Workspace, search: str = "", limit: int = 500) -> list[GolferLine]:
    """Golfers whose name holds every typed word (case and accents do not matter), the latest lesson first."""
    words = _plain(search).split()
    with ws.reading() as session:
        lessons = (
            select(Lesson.golfer_id, func.count().label("lessons"), func.max(Lesson.started_at).label("last"))
            .group_by(Lesson.golfer_id)
            .subquery()
        )
        rows = session.execute(
            select(Golfer, lessons.c.lessons, lessons.c.last, Club.name, Lesson.id)
            .outerjoin(lessons, lessons.c.golfer_id == Golfer.id)
            .outerjoin(Club, (Club.golfer_id == Golfer.id) & Club.is_current)
            .outerjoin(Lesson, (Lesson.golfer_id == Golfer.id) & (Lesson.started_at == lessons.c.last))
        ).all()
    lines: dict[int, GolferLine] = {}
    for row, count, last, club, lesson_id in rows:
        if all(w in _plain(row.name) for w in words):
            lines[row.id] = GolferLine(
                row.id, row.name, row.handedness, row.age_group, count or 0, lesson_id, last, club,
                row.next_event, row.next_event_on, tuple(row.pain),
            )  # fmt: skip
    order = sorted(lines.values(), key=lambda g: (g.last_lesson_at is None, _plain(g.name)))
    order.sort(key=lambda g: g.last_lesson_at.timestamp() if g.last_lesson_at else 0.0, reverse=True)
    return order[:limit]


# -- the bag ----------------------------------------------------------------------------------------------------------


def clubs(ws: Workspace, golfer_id: int) -> list[ClubView]:
    """The golfer's bag, the current club first, then by loft; without those that were put away."""
    with ws.reading() as session:
        rows = session.scalars(select(Club).where(Club.golfer_id == golfer_id, Club.put_away_at.is_(None)))
        return sorted((view_of_club(c) for c in rows), key=lambda c: (not c.is_current, c.loft_deg))


def put_club(
    ws: Workspace,
    golfer_id: int,
    name: str,
    *,
    loft_deg: float | None = None,
    lie_deg: float | None = None,
    length_m: float | None = None,
    head_mass_kg: float | None = None,
    key: str | None = None,
) -> ClubView:
    """Put a club into the bag, or change its numbers when it is there already. None: the usual number of the table.

    Raises InputError when the name is unknown and loft or length is missing.
    """
    form = Form()
    numbers = {
        "loft_deg": form.number("loft_deg", loft_deg, 0, 75, "a loft"),
        "lie_deg": form.number("lie_deg", lie_deg, 45, 80, "a lie"),
        "length_m": form.number("length_m", length_m, 0.4, 1.3, "a length"),
        "head_mass_kg": form.number("head_mass_kg", head_mass_kg, 0.1, 0.5, "a head mass"),
    }
    form.done()
    with ws.change("put_club", key=key, golfer_id=golfer_id) as change:
        found(change.session, Golfer, golfer_id)
        club = club_in_bag(change.session, golfer_id, name, **numbers)
        if not change.repeated:
            for column, value in numbers.items():
                setattr(club, column, value)
            change.made_id = club.id
        return view_of_club(club)


def take_club(ws: Workspace, golfer_id: int, name: str, *, key: str | None = None) -> ClubView:
    """Make this the current club; it joins the bag when it is not in it."""
    with ws.change("take_club", key=key, golfer_id=golfer_id) as change:
        found(change.session, Golfer, golfer_id)
        club = club_in_bag(change.session, golfer_id, name)
        if not change.repeated:
            make_current(change.session, club)
            change.made_id = club.id
        return view_of_club(club)


def put_away_club(ws: Workspace, golfer_id: int, club_id: int, *, key: str | None = None) -> list[ClubView]:
    """Take a club out of the bag; what was hit with it stays. Named again, it is back. Returns the bag that is left."""
    with ws.change("put_away_club", key=key, golfer_id=golfer_id) as change:
        club = found(change.session, Club, club_id)
        if club.golfer_id != golfer_id:
            raise NotFoundError("This club is not in the golfer's bag.")
        if not change.repeated:
            was_current, club.put_away_at, club.is_current = club.is_current, now(), False
            change.made_id = club.id
            change.session.flush()
            query = select(Club).where(Club.golfer_id == golfer_id, Club.put_away_at.is_(None)).order_by(Club.id)
            other = change.session.scalar(query) if was_current else None
            if other is not None:
                make_current(change.session, other)
    return clubs(ws, golfer_id)


def club_in_bag(session: Session, golfer_id: int, name: str, **numbers: float | None) -> Club:
    """The golfer's club of this name, put into the bag when it is missing. Raises InputError on an unknown name."""
    tidy = known_name(name) or " ".join(name.split())
    club = session.scalar(select(Club).where(Club.golfer_id == golfer_id, Club.name == tidy))
    if club is None:
        club = Club(golfer_id=golfer_id, name=tidy, is_current=False, **numbers)
        club_of(club)  # raises where the table knows no such club and its numbers are missing
        session.add(club)
        session.flush()
    club.put_away_at = None
    return club


def current_club(session: Session, golfer_id: int) -> Club:
    """The club in the golfer's hands; a 7-iron joins an empty bag."""
    bag = select(Club).where(Club.golfer_id == golfer_id, Club.put_away_at.is_(None))
    club = session.scalar(bag.order_by(Club.is_current.desc(), Club.id))
    return club or club_in_bag(session, golfer_id, "7-iron")


def make_current(session: Session, club: Club) -> None:
    """The golfer takes this club; every other one goes back into the bag."""
    if not club.is_current:
        for other in session.scalars(select(Club).where(Club.golfer_id == club.golfer_id, Club.is_current)):
            other.is_current = False
        club.is_current = True


# -- rows to views ----------------------------------------------------------------------------------------------------


def view_of_golfer(row: Golfer) -> GolferView:
    """The row as pages see it."""
    values: dict[str, Any] = {name: getattr(row, name) for name in GolferView.__dataclass_fields__}
    return GolferView(**values | {"pain": tuple(row.pain)})


def club_of(row: Club) -> ClubData:
    """The club's numbers, SI and radians. Raises InputError for a name the table does not know without its numbers."""
    return club_with(
        row.name,
        None if row.loft_deg is None else row.loft_deg * DEG,
        None if row.lie_deg is None else row.lie_deg * DEG,
        row.length_m,
        row.head_mass_kg,
    )


def view_of_club(row: Club) -> ClubView:
    """The row with the table's numbers where none were typed."""
    club = club_of(row)
    return ClubView(
        row.id, row.golfer_id, row.name, round(club.loft / DEG, 6), round(club.lie / DEG, 6), club.length,
        club.head_mass, club.how == "typed", bool(row.is_current),
    )  # fmt: skip


def _checked(fields: dict[str, Any], *, new: bool) -> dict[str, Any]:
    unknown = sorted(set(fields) - set(GolferFields.__annotations__))
    if unknown:
        raise InputError.of("unknown_key", unknown[0], expected="a field of a golfer", got=repr(unknown[0]))
    form = Form()
    out: dict[str, Any] = {}
    if new or "name" in fields:
        out["name"] = form.name("name", fields.get("name") or "", "a name")
    if new or "handedness" in fields:
        out["handedness"] = form.needed("handedness", fields.get("handedness"), get_args(Handedness))
    if "age_group" in fields:
        out["age_group"] = form.needed("age_group", fields["age_group"], get_args(AgeGroup))
    for name in {"big_miss", "other_miss"} & set(fields):
        out[name] = form.choice(name, fields[name] or None, get_args(Miss))
    for name in {"goal", "next_event", "told_before"} & set(fields):
        out[name] = form.text(name, fields[name])
    if "next_event_on" in fields:
        today = now().date()
        out["next_event_on"] = form.day(
            "next_event_on", fields["next_event_on"], today - timedelta(days=3660), today + timedelta(days=3660)
        )
    if "balls_a_week" in fields:
        balls = form.number("balls_a_week", fields["balls_a_week"], 0, 10_000, "a number of balls")
        out["balls_a_week"] = None if balls is None else round(balls)
    if "pain" in fields:
        out["pain"], out["pain_asked_at"] = form.places("pain", fields["pain"] or []), now()
    for name in set(RANGES) & set(fields):
        out[name] = form.number(name, fields[name], 0, RANGES[name], "a range in degrees")
    form.done()
    return {"age_group": "adult", **out} if new else out


def _plain(text: str) -> str:
    split = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in split if not unicodedata.combining(c))

"""What was decided: the way chosen with a club, and the window to hit."""

from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from ferrule.app.finding import found, now
from ferrule.app.form import Form
from ferrule.app.swing_rows import club_for
from ferrule.app.views import ChosenWayView, WindowView
from ferrule.app.workspace import Workspace
from ferrule.coaching.quantities import GRIP_TURN, QUANTITIES
from ferrule.store.tables import ChosenWay, Club, Lesson, Window

WAYS: Sequence[str] = (
    "flexed_early",
    "flexed_in_transition",
    "rolled_late",
    "grip",
    "trail_hand_grip",
    "forearm_roll",
    "posture",
    "shaft_lean",
    "ball_position",
    "aim",
    "keep_shape",
    "leave_as_is",
)
"""Ways by their names in the machine interface."""


def choose_way(
    ws: Workspace,
    lesson_id: int,
    way: str,
    *,
    club: str | None = None,
    thought: str = "",
    drill: str = "",
    test: str = "",
    key: str | None = None,
) -> ChosenWayView:
    """Settle on a way with a club: one thought, one drill, one test, in the coach's words. The newest one holds."""
    form = Form()
    name = form.needed("way", way, WAYS)
    words = {n: form.text(n, t) for n, t in (("thought", thought), ("drill", drill), ("test", test))}
    form.done()
    with ws.change("choose_way", key=key, lesson_id=lesson_id) as change:
        session = change.session
        lesson = found(session, Lesson, lesson_id)
        if not change.repeated:
            row = ChosenWay(
                golfer_id=lesson.golfer_id, club_id=club_for(session, lesson.golfer_id, club).id, lesson_id=lesson_id,
                way=name, chosen_at=now(), **words,
            )  # fmt: skip
            session.add(row)
            session.flush()
            change.made_id = row.id
        return _way_view(session, found(session, ChosenWay, change.made_id or 0))


def chosen_ways(ws: Workspace, golfer_id: int, club: str | None = None) -> list[ChosenWayView]:
    """Ways chosen by a golfer (with a club), the newest first."""
    query = select(ChosenWay).where(ChosenWay.golfer_id == golfer_id).order_by(ChosenWay.id.desc())
    if club is not None:
        query = query.join(Club, Club.id == ChosenWay.club_id).where(Club.name == club)
    with ws.reading() as session:
        return [_way_view(session, row) for row in session.scalars(query)]


def set_window(
    ws: Workspace,
    lesson_id: int,
    quantity: str,
    low: float,
    high: float,
    *,
    club: str | None = None,
    exaggerate_to: float | None = None,
    key: str | None = None,
) -> WindowView:
    """Set the target interval of a glossary quantity, in its unit and sign. The newest one of a quantity holds."""
    form = Form()
    if quantity not in QUANTITIES and quantity != GRIP_TURN.key:
        form.fail("unknown_key", "quantity", "a quantity of the glossary", repr(quantity))
    else:
        entry = QUANTITIES.get(quantity, GRIP_TURN)
        form.number("low", low, entry.low, entry.high, entry.words)
        form.number("high", high, entry.low, entry.high, entry.words)
        if not form.faults and not low < high:
            form.fail("order", "high", f"more than {low:g}", f"{high:g}", "the two ends swapped", "Swap them")
    form.number("exaggerate_to", exaggerate_to, -360, 360, "a number to feel for")
    form.done()
    with ws.change("set_window", key=key, lesson_id=lesson_id) as change:
        session = change.session
        lesson = found(session, Lesson, lesson_id)
        if not change.repeated:
            row = Window(
                golfer_id=lesson.golfer_id, club_id=club_for(session, lesson.golfer_id, club).id, lesson_id=lesson_id,
                key=quantity, low=low, high=high, exaggerate_to=exaggerate_to, set_at=now(),
            )  # fmt: skip
            session.add(row)
            session.flush()
            change.made_id = row.id
        return _window_view(session, found(session, Window, change.made_id or 0))


def windows(ws: Workspace, golfer_id: int, club: str | None = None) -> list[WindowView]:
    """Windows that hold: the newest of each club and quantity."""
    query = select(Window).where(Window.golfer_id == golfer_id).order_by(Window.id)
    if club is not None:
        query = query.join(Club, Club.id == Window.club_id).where(Club.name == club)
    with ws.reading() as session:
        newest = {(row.club_id, row.key): row for row in session.scalars(query)}
        return [_window_view(session, row) for row in newest.values()]


def _way_view(session: Session, row: ChosenWay) -> ChosenWayView:
    club = found(session, Club, row.club_id).name
    return ChosenWayView(
        row.id, row.golfer_id, row.lesson_id, club, row.way, row.thought, row.drill, row.test, row.chosen_at
    )


def _window_view(session: Session, row: Window) -> WindowView:
    club = found(session, Club, row.club_id).name
    return WindowView(
        row.id, row.golfer_id, row.lesson_id, club, row.key, row.low, row.high, row.exaggerate_to, row.set_at
    )

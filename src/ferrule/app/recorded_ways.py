"""The ways of a case on one of its recorded swings: what face and club would have done in that very swing."""

from dataclasses import dataclass

from sqlalchemy import select

from ferrule.analysis.kept_swing import face_told, kept_swing
from ferrule.analysis.options_on_swing import SPINE, options_on_swing
from ferrule.app.cases import case_of, options_of
from ferrule.app.finding import found
from ferrule.app.swing_rows import lesson_and_hand, swing_view
from ferrule.app.views import SwingView
from ferrule.app.workspace import Workspace
from ferrule.coaching.case import Case
from ferrule.coaching.quantities import FACE
from ferrule.frames.handedness import world_sign
from ferrule.store.codec import unpack_arrays
from ferrule.store.tables import Club, Lesson, Reading, Swing, SwingResult


@dataclass(frozen=True, slots=True)
class WayOnSwing:
    """One way on one recorded swing. option: its name, outcome: its figures in the machine interface."""

    option: str
    rank: int
    outcome: dict[str, float]
    sentence: str


@dataclass(frozen=True, slots=True)
class WaysOnSwing:
    """Every way that changes something, best first; recorded: the figures of the swing as it was."""

    swing_id: int
    number: int | None
    recorded: dict[str, float]
    options: tuple[WayOnSwing, ...]


def ways_on_swing(ws: Workspace, swing_id: int) -> WaysOnSwing | None:
    """Worked out on the kept traces, for the ways of the swing's lesson and club. None for a swing that was not recorded, or
    whose face could not be told from the aim to a blow. Raises NotFoundError.
    """
    with ws.reading() as session:
        swing = found(session, Swing, swing_id)
        kept = session.get(SwingResult, swing_id)
        if kept is None or not kept.traces or not face_told(kept.result):
            return None
        view, (_, hand) = swing_view(session, swing_id), lesson_and_hand(session, swing.lesson_id)
        golfer_id, club = found(session, Lesson, swing.lesson_id).golfer_id, found(session, Club, swing.club_id).name
        told, packed, asked = kept.result, kept.traces, f"ways on {swing_id}, {kept.method} of {kept.worked_out_at}"

    def work_out(case: Case) -> WaysOnSwing:
        sign = world_sign(hand)
        on_swing = options_on_swing(
            options_of(ws, case),
            kept_swing(told, view.number or 1, hand, unpack_arrays(packed)),
            path_deg=_read(view, "delivery.path_deg"),
            spine_deg=_read(view, SPINE),
            head_speed=_read(view, "delivery.club_speed_mps"),
        )
        ways = [
            WayOnSwing(o.option.way.name, o.option.rank, o.outcome.to_json(sign), o.sentence) for o in on_swing.options
        ]
        return WaysOnSwing(swing_id, view.number, on_swing.recorded.to_json(sign), tuple(ways))

    return ws.answers.get(asked, case_of(ws, golfer_id, club, view.lesson_id), work_out)


def usual_recorded(ws: Workspace, lesson_id: int, club: str) -> int | None:
    """Of the recorded swings of a lesson with a club that count in the case, the one whose face is in the middle; None when
    there is none.
    """
    query = (
        select(Swing.id, Reading.value)
        .join(SwingResult, SwingResult.swing_id == Swing.id)
        .join(Reading, Reading.swing_id == Swing.id)
        .join(Club, Club.id == Swing.club_id)
        .where(Swing.lesson_id == lesson_id, Club.name == club, Reading.key == FACE, Reading.how == "sensor")
        .where(Swing.set_aside_at.is_(None), Swing.tried_feel.is_(None))
        .order_by(Reading.value, Swing.id)
    )
    with ws.reading() as session:
        swings = session.execute(query).all()
    return swings[len(swings) // 2][0] if swings else None


def _read(swing: SwingView, key: str) -> float | None:
    reading = swing.reading(key)
    return None if reading is None else reading.value

"""The coach's own drills, reps of recorded swings, windows as a coach says them, who needs the coach, two periods."""

from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import Field

from ferrule.app import drills, overview, periods, plans
from ferrule.app.drills import DrillWords, OwnDrillView
from ferrule.app.views import WindowView
from ferrule.app.workspace import Workspace
from ferrule.coaching.drills import STEPS
from ferrule.coaching.wording_change import periods_sentence
from ferrule.coaching.wording_windows import measure_words
from ferrule.errors import InputError
from ferrule.web.rest.request_key import RequestKey
from ferrule.web.span_form import ends_of
from ferrule.web.typed import Body, Number, WordList, Words


class NewDrill(Body):
    """A drill as a coach writes it down: set_up, how, stop, cautions hold a line each. quantity to high_side: what a good
    rep shows, as an interval in words. loads_the_wrist: yes or no.
    """

    title: str = ""
    ways: WordList = Field(default_factory=list)
    causes: WordList = Field(default_factory=list)
    closes: Words = None
    set_up: str = ""
    how: str = ""
    loads_the_wrist: Words = None
    reps_pose: Number = None
    reps_slow: Number = None
    reps_half: Number = None
    reps_full: Number = None
    sets: Number = None
    rest_s: Number = None
    days_a_week: Number = None
    stop: str = ""
    cautions: str = ""
    thought: str = ""
    next_step: str = ""
    picture: Words = None
    quantity: Words = None
    low: Number = None
    low_side: Words = None
    high: Number = None
    high_side: Words = None


class Away(Body):
    """Whether a drill is put away."""

    away: bool = True


class Reps(Body):
    """The drill, by its title, that the swings of a recording were reps of."""

    drill: str = ""
    recording: Annotated[int, Field(gt=0)]


class SaidWindow(Body):
    """A window as a coach says it: a quantity by its short name, each end a number and a side."""

    quantity: Words = None
    low: Number = None
    low_side: Words = None
    high: Number = None
    high_side: Words = None
    aim: Number = None
    aim_side: Words = None
    club: Words = None


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter(tags=["change"])

    @router.get(
        "/overview", summary="Whose cold test is due, whose change is not lasting, whose wrist work should pause"
    )
    def needs() -> dict[str, Any]:
        found = overview.coach_overview(ws)
        return {
            "schema": 1,
            "working": found.working,
            "notices": [
                {"golfer_id": n.ident, "need": n.need, "sentence": n.sentence, "days": n.days} for n in found.notices
            ],
        }

    @router.get("/golfers/{golfer_id}/periods", summary="Two periods of cold balls beside each other")
    def compared(
        golfer_id: int, first_from: date, first_to: date, second_from: date, second_to: date, club: str | None = None
    ) -> dict[str, Any]:
        found = periods.compared(ws, golfer_id, (first_from, first_to), (second_from, second_to), club)
        return {
            "schema": 1,
            "comparisons": [
                {"quantity": q.quantity, "sentence": periods_sentence(p, q), "days": [p.first_days, p.second_days],
                 "change_deg": None if p.change is None else p.change.value, "reason": p.reason}
                for q, p in found
            ],
        }  # fmt: skip

    @router.get("/drills", summary="The coach's own drills")
    def own() -> list[OwnDrillView]:
        return drills.own_drills(ws)

    @router.post("/drills", status_code=201, summary="Write down a drill of one's own")
    def write(body: NewDrill, key: RequestKey = None) -> OwnDrillView:
        return drills.write_drill(ws, _words(body), key=key)

    @router.put("/drills/{drill_id}", summary="Change a drill of one's own")
    def rewrite(drill_id: int, body: NewDrill, key: RequestKey = None) -> OwnDrillView:
        return drills.write_drill(ws, _words(body), drill_id=drill_id, key=key)

    @router.post("/drills/{drill_id}/away", summary="Put a drill of one's own away, or offer it again")
    def away(drill_id: int, body: Away, key: RequestKey = None) -> OwnDrillView:
        return drills.put_drill_away(ws, drill_id, body.away, key=key)

    @router.post("/lessons/{lesson_id}/recorded-reps", status_code=201, summary="Recorded swings were reps of a drill")
    def reps(lesson_id: int, body: Reps, key: RequestKey = None) -> dict[str, int]:
        return {"reps": drills.mark_reps(ws, lesson_id, body.drill, recording_id=body.recording, key=key)}

    @router.post("/lessons/{lesson_id}/said-windows", status_code=201, summary="Set a window as a coach says it")
    def window(lesson_id: int, body: SaidWindow, key: RequestKey = None) -> WindowView:
        spanned, low, high = ends_of(body.quantity, body.low, body.low_side, body.high, body.high_side)
        for where, end in (("low", low), ("high", high)):
            if end is None:
                raise InputError.of(
                    "missing", where, expected="both ends of the window", got="nothing", do="Type it in"
                )
        aim = None
        if body.aim is not None:
            _, aim, _ = ends_of(body.quantity, body.aim, body.aim_side, None, None)
        return plans.set_window(
            ws, lesson_id, spanned.key, low or 0.0, high or 0.0, club=body.club, exaggerate_to=aim, key=key
        )

    return router


def _words(body: NewDrill) -> DrillWords:
    measure, low, high, said = None, None, None, ""
    if body.quantity:
        measure, low, high = ends_of(body.quantity, body.low, body.low_side, body.high, body.high_side)
        if low is None and high is None:
            raise InputError.of("missing", "low", expected="one end at least", got="nothing", do="Type it in")
        said = measure_words(measure.key, measure.gain_from, low, high)
    return DrillWords(
        body.title, body.ways, body.causes, {"open": True, "closed": False}.get(body.closes or ""),
        body.set_up.splitlines(), body.how.splitlines(), {"yes": True, "no": False}.get(body.loads_the_wrist or ""),
        {s: getattr(body, f"reps_{s}") for s in STEPS}, body.sets, body.rest_s, body.days_a_week,
        body.stop.splitlines(), body.cautions.splitlines(), body.thought, body.next_step, body.picture,
        None if measure is None else measure.key, None if measure is None else measure.gain_from, low, high, said,
    )  # fmt: skip

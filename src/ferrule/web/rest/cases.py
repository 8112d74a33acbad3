"""The case over HTTP: why, the ways, a look answered; trials; the coach's settings; the signs that every page needs."""

from typing import Any

from fastapi import APIRouter

from ferrule.app import cases, trials
from ferrule.app.settings import Settings, change_settings, settings
from ferrule.app.views import ReadingView, TrialView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.web import typed
from ferrule.web.rest.request_key import RequestKey


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter()

    @router.get("/golfers/{golfer_id}/explain", tags=["case"], summary="Why the face arrives open or closed")
    def explain(golfer_id: int, club: str | None = None) -> dict[str, Any]:
        said: dict[str, Any] = cases.explanation(ws, golfer_id, club).to_json()
        return said

    @router.get("/golfers/{golfer_id}/options", tags=["case"], summary="The ways out")
    def options(golfer_id: int, club: str | None = None) -> dict[str, Any]:
        said: dict[str, Any] = cases.options(ws, golfer_id, club).to_json()
        return said

    @router.post("/lessons/{lesson_id}/looks", tags=["case"], status_code=201, summary="Answer a next look in place")
    def answer(lesson_id: int, body: typed.LookAnswer, key: RequestKey = None) -> ReadingView:
        if body.value is None:
            raise InputError.of("missing", "value", expected="an answer", got="nothing", do="Choose one")
        return cases.answer_look(
            ws,
            lesson_id,
            body.look,
            body.value,
            sd=body.sd,
            how=body.how,
            club=body.club,
            device_id=body.device_id,
            key=key,
        )

    @router.post("/lessons/{lesson_id}/trials", tags=["trials"], status_code=201, summary="Start a trial of two ways")
    def start(lesson_id: int, body: typed.TrialStart, key: RequestKey = None) -> TrialView:
        return trials.start_trial(
            ws, lesson_id, body.way_a, body.way_b, feel_a=body.feel_a, feel_b=body.feel_b, club=body.club,
            balls_a_block=body.balls_a_block, key=key,
        )  # fmt: skip

    @router.get("/trials/{trial_id}", tags=["trials"], summary="One trial")
    def one(trial_id: int) -> TrialView:
        return trials.trial(ws, trial_id)

    @router.post("/trials/{trial_id}/balls", tags=["trials"], status_code=201, summary="The next ball of a trial")
    def ball(trial_id: int, body: typed.Ball, key: RequestKey = None) -> TrialView:
        view, _ = trials.add_trial_ball(
            ws, trial_id, start=body.start, bend=body.bend, bends_much=body.bends_much, shape=body.shape,
            strike=body.strike, key=key,
        )  # fmt: skip
        return view

    @router.post("/trials/{trial_id}/end", tags=["trials"], summary="The golfer's word; the trial is over")
    def end(trial_id: int, body: typed.TrialEnd, key: RequestKey = None) -> TrialView:
        return trials.end_trial(
            ws, trial_id, golfers_word=body.golfers_word, golfer_prefers=body.golfer_prefers, key=key
        )

    @router.get("/settings", tags=["settings"], summary="The coach's settings")
    def kept() -> Settings:
        return settings(ws)

    @router.patch("/settings", tags=["settings"], summary="Change the settings that are sent")
    def change(body: typed.SettingsChange, key: RequestKey = None) -> Settings:
        return change_settings(ws, key=key, **{k: v for k, v in body.given().items() if v is not None})

    return router

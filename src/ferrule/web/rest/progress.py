"""What was settled, cold tests, verdicts, what the golfer says, and the sheet."""

from typing import Any

from fastapi import APIRouter
from fastapi.responses import Response

from ferrule.app import cold_tests, plans, progress, sheets
from ferrule.app.cold_tests import ColdTestView, ReportView
from ferrule.app.sheets import Form
from ferrule.app.views import ChosenWayView
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import Amount, Verdict
from ferrule.coaching.wording_change import EVIDENCE_WORDS, verdict_note, verdict_sentence
from ferrule.web import typed
from ferrule.web.rest.request_key import RequestKey

MEDIA = {"pdf": "application/pdf", "html": "text/html; charset=utf-8", "txt": "text/plain; charset=utf-8"}


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter(tags=["progress"])

    @router.get("/golfers/{golfer_id}/progress", summary="Whether the change is real and lasts")
    def verdicts(golfer_id: int, club: str | None = None) -> dict[str, Any]:
        found = progress.progress(ws, golfer_id, club)
        return {
            "schema": 1,
            "club": found.club,
            "next_test": found.settled.plan.next_test.isoformat() if found.settled else None,
            "verdicts": [_verdict(v) for v in found.verdicts],
            "right_cause": found.cause.sentence if found.cause else None,
        }

    @router.get("/golfers/{golfer_id}/sheet.{form}", summary="The golfer's sheet", response_class=Response)
    def sheet(
        golfer_id: int, form: Form, club: str | None = None, paper: str = "a4", large_print: bool = False
    ) -> Response:
        made = sheets.sheet(ws, golfer_id, form, club=club, paper=paper, large_print=large_print)
        shown = "attachment" if form == "pdf" else "inline"
        name = sheets.file_name(sheets.golfer_name(ws, golfer_id), form)
        return Response(made, media_type=MEDIA[form], headers={"content-disposition": f'{shown}; filename="{name}"'})

    @router.post("/lessons/{lesson_id}/plan", status_code=201, summary="Settle on a way: one thought, drill and test")
    def settle(lesson_id: int, body: typed.PlanChoice, key: RequestKey = None) -> ChosenWayView:
        return plans.choose_way(
            ws, lesson_id, body.way or "", club=body.club, thought=body.thought, drill=body.drill, test=body.test, key=key
        )  # fmt: skip

    @router.post("/lessons/{lesson_id}/cold-tests", status_code=201, summary="Start a cold test: ten balls")
    def start(lesson_id: int, body: typed.ColdStart, key: RequestKey = None) -> ColdTestView:
        return cold_tests.start_cold_test(ws, lesson_id, club=body.club, elsewhere=body.elsewhere, key=key)

    @router.post(
        "/lessons/{lesson_id}/cold-tests/first", status_code=201, summary="The first balls of the lesson were cold"
    )
    def first(lesson_id: int, body: typed.ColdStart, key: RequestKey = None) -> ColdTestView:
        return cold_tests.mark_first_balls(ws, lesson_id, club=body.club or "", elsewhere=body.elsewhere, key=key)

    @router.post("/cold-tests/{test_id}/balls", status_code=201, summary="The next ball of a cold test")
    def ball(test_id: int, body: typed.Ball, key: RequestKey = None) -> ColdTestView:
        return cold_tests.add_cold_ball(
            ws, test_id, start=body.start, bend=body.bend, bends_much=body.bends_much, shape=body.shape,
            strike=body.strike, key=key,
        )  # fmt: skip

    @router.post("/cold-tests/{test_id}/end", summary="The cold test is over, with the balls it has")
    def end(test_id: int, _body: typed.NoBody, key: RequestKey = None) -> ColdTestView:
        return cold_tests.end_cold_test(ws, test_id, key=key)

    @router.post("/golfers/{golfer_id}/report", status_code=201, summary="What the golfer says")
    def says(golfer_id: int, body: typed.GolferSays, key: RequestKey = None) -> ReportView:
        return cold_tests.report(ws, golfer_id, confidence=body.confidence, hurts=body.hurts, words=body.words, key=key)

    return router


def _verdict(verdict: Verdict) -> dict[str, Any]:
    q = verdict.question
    return {
        "quantity": q.quantity,
        "evidence": EVIDENCE_WORDS[q.evidence],
        "verdict": verdict.kind,
        "reasons": list(verdict.reasons),
        "sentence": verdict_sentence(verdict),
        "note": verdict_note(verdict),
        "baseline_days": verdict.baseline_days,
        "cold_tests": verdict.tests,
        "change_deg": _amount(verdict.change),
        "smallest_real_change_deg": verdict.smallest_real,
    }


def _amount(amount: Amount | None) -> dict[str, Any] | None:
    return None if amount is None else {"value": amount.value, "interval_90": [amount.low, amount.high]}

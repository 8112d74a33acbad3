"""Lessons: start, setting, notes, balls, undo; readings as a person enters them."""

from fastapi import APIRouter

from ferrule.app import lessons, swings, undo
from ferrule.app.views import EntryView, LessonLine, LessonView, NoteView, SwingView
from ferrule.app.workspace import Workspace
from ferrule.units import YARD
from ferrule.web import typed
from ferrule.web.entry import enter_reading
from ferrule.web.rest.request_key import RequestKey


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter(tags=["lessons"])

    @router.get("/golfers/{golfer_id}/lessons", summary="A golfer's lessons, the newest first")
    def of_golfer(golfer_id: int) -> list[LessonLine]:
        return lessons.lessons(ws, golfer_id)

    @router.post("/golfers/{golfer_id}/lessons", status_code=201, summary="Start a lesson")
    def start(golfer_id: int, body: typed.LessonSetting, key: RequestKey = None) -> LessonView:
        return lessons.start_lesson(
            ws, golfer_id, place=body.place, surface=body.surface, ball=body.ball, flight_seen_m=_seen(body),
            at_hand=body.at_hand, key=key,
        )  # fmt: skip

    @router.get("/lessons/{lesson_id}", summary="A lesson with everything in it")
    def one(lesson_id: int) -> LessonView:
        return lessons.lesson(ws, lesson_id)

    @router.put("/lessons/{lesson_id}", summary="Change where and with what the lesson is held")
    def update(lesson_id: int, body: typed.LessonSetting, key: RequestKey = None) -> LessonView:
        return lessons.update_lesson(
            ws, lesson_id, place=body.place, surface=body.surface, ball=body.ball, flight_seen_m=_seen(body),
            at_hand=body.at_hand, key=key,
        )  # fmt: skip

    @router.post("/lessons/{lesson_id}/end", summary="The lesson is over")
    def end(lesson_id: int, _body: typed.NoBody, key: RequestKey = None) -> LessonView:
        return lessons.end_lesson(ws, lesson_id, key=key)

    @router.post("/lessons/{lesson_id}/notes", status_code=201, summary="Write a note")
    def note(lesson_id: int, body: typed.NoteText, key: RequestKey = None) -> NoteView:
        return lessons.add_note(ws, lesson_id, body.text, key=key)

    @router.post("/lessons/{lesson_id}/balls", status_code=201, summary="One ball: flight, strike, what was tried")
    def ball(lesson_id: int, body: typed.Ball, key: RequestKey = None) -> SwingView:
        return swings.add_swing(
            ws, lesson_id, club=body.club, start=body.start, bend=body.bend, bends_much=body.bends_much,
            shape=body.shape, strike=body.strike, feel=body.feel, amount=_amount(body.amount), key=key,
        )  # fmt: skip

    @router.post("/lessons/{lesson_id}/readings", status_code=201, summary="A number read by eye or off a device")
    def reading(lesson_id: int, body: typed.TypedReading, key: RequestKey = None) -> SwingView | None:
        return enter_reading(ws, lesson_id, body, key)

    @router.post("/lessons/{lesson_id}/undo", summary="Take back the last entry")
    def take_back(lesson_id: int, _body: typed.NoBody) -> EntryView:
        return undo.undo(ws, lesson_id=lesson_id)

    @router.post("/lessons/{lesson_id}/redo", summary="Do again what was taken back")
    def again(lesson_id: int, _body: typed.NoBody) -> EntryView:
        return undo.redo(ws, lesson_id=lesson_id)

    return router


def _seen(body: typed.LessonSetting) -> float | None:
    return body.flight_seen_m if body.flight_seen_yd is None else body.flight_seen_yd * YARD


def _amount(amount: float | None) -> float:
    return 1.0 if amount is None else amount

"""One swing: readings under their keys, flight, strike, what was tried, set aside."""

from fastapi import APIRouter

from ferrule.app import recorded_ways, swings
from ferrule.app.recorded_ways import WaysOnSwing
from ferrule.app.swings import NewReading
from ferrule.app.views import SwingView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.web import typed
from ferrule.web.rest.request_key import RequestKey


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter(tags=["swings"])

    @router.get("/swings/{swing_id}", summary="One swing with the result of its analysis")
    def one(swing_id: int) -> SwingView:
        return swings.swing(ws, swing_id)

    @router.get("/swings/{swing_id}/ways", summary="What each way would have done to a recorded swing")
    def on_swing(swing_id: int) -> WaysOnSwing | None:
        return recorded_ways.ways_on_swing(ws, swing_id)

    @router.put("/swings/{swing_id}/readings", summary="Enter or correct one reading under its glossary key")
    def set_reading(swing_id: int, body: typed.KeyedReading, key: RequestKey = None) -> SwingView:
        if body.value is None:
            raise InputError.of("missing", "value", expected="a number", got="nothing", do="Type it in")
        reading = NewReading(body.key, body.value, body.sd, body.how, body.device_id)
        return swings.set_reading(ws, swing_id, reading, key=key)

    @router.delete("/readings/{reading_id}", summary="Take a reading away (undo brings it back)")
    def remove_reading(reading_id: int, key: RequestKey = None) -> dict[str, bool]:
        swings.remove_reading(ws, reading_id, key=key)
        return {"done": True}

    @router.put("/swings/{swing_id}/flight", summary="Enter or correct the ball's flight; nothing takes it away")
    def set_flight(swing_id: int, body: typed.Ball, key: RequestKey = None) -> SwingView:
        return swings.set_flight(
            ws, swing_id, start=body.start, bend=body.bend, bends_much=body.bends_much, shape=body.shape, key=key
        )

    @router.put("/swings/{swing_id}/strike", summary="Where on the face")
    def set_strike(swing_id: int, body: typed.Strike, key: RequestKey = None) -> SwingView:
        return swings.set_strike(ws, swing_id, body.strike, key=key)

    @router.put("/swings/{swing_id}/tried", summary="What the golfer tried in this swing")
    def set_tried(swing_id: int, body: typed.Tried, key: RequestKey = None) -> SwingView:
        amount = 1.0 if body.amount is None else body.amount
        return swings.set_tried(ws, swing_id, body.feel, amount=amount, key=key)

    @router.post("/swings/{swing_id}/aside", summary="Leave this swing out of the case")
    def aside(swing_id: int, body: typed.Why, key: RequestKey = None) -> SwingView:
        return swings.set_aside(ws, swing_id, body.why, key=key)

    @router.delete("/swings/{swing_id}/aside", summary="Count this swing again")
    def back_in(swing_id: int, key: RequestKey = None) -> SwingView:
        return swings.take_in_again(ws, swing_id, key=key)

    return router

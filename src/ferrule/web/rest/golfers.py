"""Golfers, their screen, consent, clubs; devices and what their numbers mean."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from fastapi import APIRouter

from ferrule.app import devices, golfers, undo
from ferrule.app.recordings import work_out_with
from ferrule.app.views import ClubView, DeviceView, EntryView, GolferLine, GolferView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError, fault
from ferrule.web import typed
from ferrule.web.rest.request_key import RequestKey

FITS: Final = {
    "length_in": "a length between 16 and 51 in",
    "length_cm": "a length between 40 and 130 cm",
    "head_mass_g": "a head between 100 and 500 g",
}
"""What a club's numbers may be, in the units of their fields; see app/golfers.py."""


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter()

    @router.get("/golfers", tags=["golfers"], summary="Golfers whose name holds every word, latest lesson first")
    def list_golfers(search: str = "", limit: int = 500) -> list[GolferLine]:
        return golfers.golfers(ws, search, max(1, min(limit, 2000)))

    @router.post("/golfers", tags=["golfers"], status_code=201, summary="Add a golfer")
    def add(body: typed.NewGolfer, key: RequestKey = None) -> GolferView:
        return golfers.add_golfer(ws, key=key, **_fields(body))

    @router.get("/golfers/{golfer_id}", tags=["golfers"], summary="One golfer in full")
    def one(golfer_id: int) -> GolferView:
        return golfers.golfer(ws, golfer_id)

    @router.patch("/golfers/{golfer_id}", tags=["golfers"], summary="Change the fields that are sent")
    def change(golfer_id: int, body: typed.GolferChange, key: RequestKey = None) -> GolferView:
        return golfers.update_golfer(ws, golfer_id, key=key, **_fields(body))

    @router.post("/golfers/{golfer_id}/consent", tags=["golfers"], summary="Carer and child agree to recordings")
    def consent(golfer_id: int, body: typed.Consent, key: RequestKey = None) -> GolferView:
        return golfers.record_consent(
            ws, golfer_id, carer_name=body.carer_name, golfer_agreed=body.golfer_agreed, key=key
        )

    @router.delete("/golfers/{golfer_id}/consent", tags=["golfers"], summary="Consent is taken back")
    def no_consent(golfer_id: int, key: RequestKey = None) -> GolferView:
        return golfers.withdraw_consent(ws, golfer_id, key=key)

    @router.post("/golfers/{golfer_id}/undo", tags=["golfers"], summary="Take back the last entry on the golfer's page")
    def take_back(golfer_id: int) -> EntryView:
        return undo.undo(ws, golfer_id=golfer_id)

    @router.get("/golfers/{golfer_id}/clubs", tags=["clubs"], summary="The golfer's bag")
    def bag(golfer_id: int) -> list[ClubView]:
        return golfers.clubs(ws, golfer_id)

    @router.put("/golfers/{golfer_id}/clubs", tags=["clubs"], summary="Put a club into the bag or change its numbers")
    def put_club(golfer_id: int, body: typed.ClubChoice, key: RequestKey = None) -> ClubView:
        with _beside(body):
            club = golfers.put_club(ws, golfer_id, body.name, key=key, **body.numbers())
        work_out_with(ws, club.id)
        return club

    @router.post("/golfers/{golfer_id}/clubs/current", tags=["clubs"], summary="Take this club in hand")
    def take_club(golfer_id: int, body: typed.ClubChoice, key: RequestKey = None) -> ClubView:
        with _beside(body):
            return golfers.take_club(ws, golfer_id, body.name, key=key)

    @router.delete("/golfers/{golfer_id}/clubs/{club_id}", tags=["clubs"], summary="Put a club away; its balls stay")
    def put_away(golfer_id: int, club_id: int, key: RequestKey = None) -> list[ClubView]:
        return golfers.put_away_club(ws, golfer_id, club_id, key=key)

    @router.get("/devices", tags=["devices"], summary="Devices and when their numbers rise")
    def list_devices() -> list[DeviceView]:
        return devices.devices(ws)

    @router.post("/devices", tags=["devices"], status_code=201, summary="A device by the coach's name for it")
    def add_device(body: typed.DeviceName, key: RequestKey = None) -> DeviceView:
        return devices.add_device(ws, body.name, key=key)

    @router.put(
        "/devices/{device_id}/sign", tags=["devices"], summary="When the number rises, and what it shows at neutral"
    )
    def answer_sign(device_id: int, body: typed.SignAnswer, key: RequestKey = None) -> DeviceView:
        return devices.answer_sign(
            ws, device_id, body.measure, body.rises_when or "", shows_at_neutral=body.shows_at_neutral or 0.0, key=key
        )

    return router


@contextmanager
def _beside(body: typed.ClubChoice) -> Iterator[None]:
    """Faults of a club under the fields that were typed into, in the unit of the field."""
    try:
        yield
    except InputError as error:
        faults = []
        for issue in error.faults:
            where = body.typed_as(issue.where)
            in_typed_unit = where in FITS and issue.code == "out_of_range"
            faults.append(
                fault(issue.code, where, expected=FITS[where], got=f"{getattr(body, where):g}", do="Check it")
                if in_typed_unit
                else issue.under(where)
            )
        raise InputError(faults) from None


def _fields(body: typed.Body) -> dict[str, Any]:
    return body.given()

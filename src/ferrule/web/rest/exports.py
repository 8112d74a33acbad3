"""Export: readings as tables, pictures as files. Each answer is a file to be kept."""

from typing import Literal

from fastapi import APIRouter
from fastapi.responses import Response

from ferrule.app import golfers
from ferrule.app.exports import TableForm, readings_file
from ferrule.app.workspace import Workspace
from ferrule.web.drawings import case_drawings, drawing_file, swing_drawings

MEDIA = {
    "csv": "text/csv; charset=utf-8",
    "parquet": "application/vnd.apache.parquet",
    "svg": "image/svg+xml",
    "png": "image/png",
}
PictureForm = Literal["svg", "png"]


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter(tags=["export"])

    @router.get("/golfers/{golfer_id}/readings.{form}", summary="All readings of a golfer", response_class=Response)
    def of_golfer(golfer_id: int, form: TableForm) -> Response:
        content = readings_file(ws, form, golfer_id=golfer_id)
        return _file(content, f"readings-{plain_name(golfers.golfer(ws, golfer_id).name)}.{form}", form)

    @router.get("/lessons/{lesson_id}/readings.{form}", summary="All readings of a lesson", response_class=Response)
    def of_lesson(lesson_id: int, form: TableForm) -> Response:
        return _file(readings_file(ws, form, lesson_id=lesson_id), f"readings-lesson-{lesson_id}.{form}", form)

    @router.get("/golfers/{golfer_id}/pictures", summary="Names of the pictures of a golfer's case")
    def names(golfer_id: int, club: str | None = None) -> list[str]:
        return list(case_drawings(ws, golfer_id, club))

    @router.get("/golfers/{golfer_id}/pictures/{name}.{form}", summary="One of them", response_class=Response)
    def picture(golfer_id: int, name: str, form: PictureForm, club: str | None = None) -> Response:
        content = drawing_file(case_drawings(ws, golfer_id, club), name, form)
        return _file(content, f"{name}-{plain_name(golfers.golfer(ws, golfer_id).name)}.{form}", form)

    @router.get("/swings/{swing_id}/pictures", summary="Names of the pictures of a swing")
    def swing_names(swing_id: int) -> list[str]:
        return list(swing_drawings(ws, swing_id))

    @router.get("/swings/{swing_id}/pictures/{name}.{form}", summary="One of them", response_class=Response)
    def swing_picture(swing_id: int, name: str, form: PictureForm) -> Response:
        return _file(drawing_file(swing_drawings(ws, swing_id), name, form), f"{name}-swing-{swing_id}.{form}", form)

    return router


def plain_name(name: str) -> str:
    """A name as part of a file name: letters and digits of the English alphabet, the rest dashes."""
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.casefold())
    return "-".join(p for p in plain.split("-") if p) or "golfer"


def _file(content: bytes, name: str, form: str) -> Response:
    return Response(content, media_type=MEDIA[form], headers={"content-disposition": f'attachment; filename="{name}"'})

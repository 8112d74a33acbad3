"""A table of ball flights into a lesson."""

from fastapi import APIRouter

from ferrule.app import ball_files
from ferrule.app.ball_files import BallsImported
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.web.rest.request_key import RequestKey
from ferrule.web.typed import Body, Words


class BallTable(Body):
    """table: CSV text with a line of headers; lengths, speeds: units where the table does not say; plus: the side of a
    number without a minus; mirrored: yes when a left-hander's sides are counted as a right-hander's.
    """

    table: str = ""
    name: Words = None
    lengths: Words = None
    speeds: Words = None
    plus: Words = None
    mirrored: Words = None
    club: Words = None


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter(tags=["swings"])

    @router.post(
        "/lessons/{lesson_id}/ball-data", status_code=201, summary="Take a table of ball flights in, a ball a row"
    )
    def take(lesson_id: int, body: BallTable, key: RequestKey = None) -> BallsImported:
        del key  # the table itself is the key: the same bytes add nothing twice
        if not body.table.strip():
            raise InputError.of(
                "missing",
                "table",
                expected="a table with a line of headers",
                got="nothing",
                do="Paste it, or open its file",
            )
        content = body.table.encode()
        mapping = ball_files.confirmed_mapping(
            content,
            lengths=body.lengths or "",
            speeds=body.speeds or "",
            plus=body.plus or "",
            mirrored=body.mirrored == "yes",
        )
        taken = ball_files.import_ball_data(
            ws, lesson_id, content, body.name or "the table", mapping=mapping, club=body.club
        )
        if taken.again:
            raise InputError.of(
                "twice",
                "table",
                expected="a table that is not in this lesson yet",
                got="the same table again",
                do="Nothing was added",
            )
        return taken

    return router

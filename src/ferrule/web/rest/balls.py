"""A table of ball flights into a lesson."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from fastapi import APIRouter

from ferrule.app import ball_files, ball_layouts
from ferrule.app.ball_files import BallsImported
from ferrule.app.ball_layouts import BallLayout
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.web.rest.request_key import RequestKey
from ferrule.web.typed import Body, Words


class BallTable(Body):
    """table: CSV text with a line of headers; lengths, speeds: units where the table does not say; plus: the side of a
    number without a minus; mirrored: yes when a left-hander's sides are counted as a right-hander's. What is not said is
    as it was said of the last table with this header.
    """

    table: str = ""
    name: Words = None
    lengths: Words = None
    speeds: Words = None
    plus: Words = None
    mirrored: Words = None
    club: Words = None


OF_THE_TABLE: Final = ("file", "header", "columns", "ball data")


@contextmanager
def _beside_the_table() -> Iterator[None]:
    """What is wrong with the table stands beside it, whatever part of it that is."""
    try:
        yield
    except InputError as error:
        parts = ("row", "columns.")
        faults = [f.under("table") if f.where in OF_THE_TABLE or f.where.startswith(parts) else f for f in error.faults]
        raise InputError(faults) from None


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
        with _beside_the_table():
            return read(lesson_id, content, body)

    def read(lesson_id: int, content: bytes, body: BallTable) -> BallsImported:
        known = ball_layouts.ball_layout(ws, content)
        typed = {name: getattr(body, name) or "" for name in ball_layouts.SAID}
        said = {**(known.said if known else {}), **{name: word for name, word in typed.items() if word}}
        mapping = ball_files.confirmed_mapping(
            content, lengths=said.get("lengths", ""), speeds=said.get("speeds", ""), plus=said.get("plus", ""),
            mirrored=said.get("mirrored") == "yes",
        )  # fmt: skip
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
        ball_layouts.keep_ball_layout(ws, content, said)
        return taken

    @router.post("/ball-data/known", summary="What was said of the last table with this header; null: not seen before")
    def known(body: BallTable) -> BallLayout | None:
        return ball_layouts.ball_layout(ws, body.table.encode())

    return router

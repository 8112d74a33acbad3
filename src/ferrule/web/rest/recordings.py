"""Recordings: dropped in as they are, worked out in the background."""

import json
from typing import Annotated, Any

from fastapi import APIRouter, Body, Query, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import Response

from ferrule.app import mappings, recordings
from ferrule.app.finding import now
from ferrule.app.form import Form
from ferrule.app.mappings import LayoutView, MappingLine
from ferrule.app.pairs import PairView, import_pair
from ferrule.app.recordings import LARGEST_BYTES
from ferrule.app.views import JobView, RecordingView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.web import typed
from ferrule.web.mapping_form import mapping_of_answers
from ferrule.web.rest.request_key import RequestKey

BODY = {"requestBody": {"required": True, "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}}  # fmt: skip


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter(tags=["recordings"])

    @router.post(
        "/lessons/{lesson_id}/recordings",
        status_code=201,
        openapi_extra=BODY,
        summary="Drop a recording in (200: the lesson has it already)",
    )
    async def drop(
        lesson_id: int,
        request: Request,
        response: Response,
        name: Annotated[str, Query(description="File name, for its kind and to show")],
        club: str | None = None,
        mount: str = "a",
        kind: str | None = None,
        profile: str | None = None,
        mapping: Annotated[str | None, Query(description="Name of a saved mapping; else it is recognised")] = None,
        key: RequestKey = None,
    ) -> RecordingView:
        begun = now()
        content = await _content(request)
        kept = await run_in_threadpool(
            recordings.import_recording, ws, lesson_id, content, name, club=club, mount=mount, kind=kind,
            profile=profile, mapping=mapping, key=key,
        )  # fmt: skip
        if kept.imported_at < begun:
            response.status_code = 200
        return kept

    @router.post(
        "/lessons/{lesson_id}/recordings/pair",
        openapi_extra=BODY,
        summary="Two files of one recording, forearm and hand, one after the other",
    )
    async def drop_pair(
        lesson_id: int,
        request: Request,
        one: Annotated[str, Query(description="Name of the file that comes first")],
        other: Annotated[str, Query(description="Name of the file that comes second")],
        first_bytes: Annotated[int, Query(description="Size of the first one", ge=0)],
        hand: Annotated[str | None, Query(description="Which is the hand's, one or other; else it is told")] = None,
        key: RequestKey = None,
    ) -> PairView:
        both = await _content(request)
        named = (one, both[:first_bytes]), (other, both[first_bytes:])
        return await run_in_threadpool(import_pair, ws, lesson_id, *named, hand=hand, key=key)

    @router.get("/recordings/{recording_id}", summary="One recording and what became of it")
    def one(recording_id: int) -> RecordingView:
        return recordings.recording(ws, recording_id)

    @router.get(
        "/recordings/{recording_id}/original", summary="The bytes exactly as they came", response_class=Response
    )
    def original(recording_id: int) -> Response:
        name, content = recordings.original_bytes(ws, recording_id)
        plain = "".join(c if c.isascii() and (c.isalnum() or c in "._- ") else "_" for c in name)
        headers = {"content-disposition": f'attachment; filename="{plain}"'}
        return Response(content, media_type="application/octet-stream", headers=headers)

    @router.post("/recordings/{recording_id}/again", summary="Work it out once more")
    def again(recording_id: int) -> RecordingView:
        return recordings.analyse_again(ws, recording_id)

    @router.get(
        "/recordings/{recording_id}/layout", summary="What its columns, markers or streams are, guessed or saved"
    )
    def layout(recording_id: int) -> LayoutView:
        return mappings.layout(ws, recording_id)

    @router.put(
        "/recordings/{recording_id}/layout", summary="Say what is what; every file like it is read from then on"
    )
    def confirm(recording_id: int, body: typed.NamedMapping, key: RequestKey = None) -> RecordingView:
        return mappings.confirm_layout(ws, recording_id, body.name, body.mapping, key=key)

    @router.post("/recordings/{recording_id}/layout/answers", summary="The same from the page's fields")
    def answered(recording_id: int, body: Annotated[dict[str, Any], Body()], key: RequestKey = None) -> RecordingView:
        asked = mappings.layout(ws, recording_id)
        form, name = Form(), str(body.get("name") or "")
        form.name("name", name, mappings.A_NAME)
        try:
            mapping = mapping_of_answers(asked.kind, asked.mapping, body)
        except InputError as error:
            raise InputError([*form.faults, *error.faults]) from None
        return mappings.confirm_layout(ws, recording_id, name, mapping, key=key)

    @router.get("/mappings", summary="Layouts that are recognised")
    def saved() -> list[MappingLine]:
        return mappings.mapping_lines(ws)

    @router.put("/mappings", summary="Save a mapping under a name")
    def save(body: typed.NamedMapping, key: RequestKey = None) -> list[MappingLine]:
        recordings.save_mapping(ws, body.name, json.dumps(body.mapping), key=key)
        return mappings.mapping_lines(ws)

    @router.delete("/mappings/{mapping_id}", summary="Recognise files by it no more")
    def forget(mapping_id: int, key: RequestKey = None) -> dict[str, bool]:
        mappings.forget_mapping(ws, mapping_id, key=key)
        return {"done": True}

    @router.get("/jobs", summary="Background work that is not done")
    def jobs() -> list[JobView]:
        return recordings.jobs(ws)

    @router.delete("/lessons/{lesson_id}/jobs", summary="Stop all work on a lesson's recordings")
    def cancel_all(lesson_id: int) -> dict[str, int]:
        return {"stopped": recordings.cancel_jobs(ws, lesson_id)}

    @router.delete("/jobs/{job_id}", summary="Stop work that waits or is under way")
    def cancel(job_id: int) -> dict[str, bool]:
        recordings.cancel_job(ws, job_id)
        return {"done": True}

    return router


async def _content(request: Request) -> bytes:
    """The body, refused as soon as it is too large; nothing is kept of it then."""
    announced = request.headers.get("content-length", "")
    if announced.isdigit() and int(announced) > LARGEST_BYTES:
        raise _too_large(int(announced))
    parts = bytearray()
    async for part in request.stream():
        parts += part
        if len(parts) > LARGEST_BYTES:
            raise _too_large(len(parts))
    return bytes(parts)


def _too_large(size: int) -> InputError:
    return InputError.of(
        "too_large", "file", expected=f"at most {LARGEST_BYTES // 1_000_000} MB", got=f"{size / 1e6:.0f} MB",
        cause="a video or another kind of file", do="Choose a recording",
    )  # fmt: skip

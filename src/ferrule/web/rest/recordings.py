"""Recordings: dropped in as they are, worked out in the background."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import Response

from ferrule.app import recordings
from ferrule.app.recordings import LARGEST_BYTES
from ferrule.app.views import JobView, RecordingView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.web.rest.request_key import RequestKey

BODY = {"requestBody": {"required": True, "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}}  # fmt: skip


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter(tags=["recordings"])

    @router.post("/lessons/{lesson_id}/recordings", status_code=201, summary="Drop a recording in", openapi_extra=BODY)
    async def drop(
        lesson_id: int,
        request: Request,
        name: Annotated[str, Query(description="File name, for its kind and to show")],
        club: str | None = None,
        mount: str = "a",
        kind: str | None = None,
        profile: str | None = None,
        key: RequestKey = None,
    ) -> RecordingView:
        content = await _content(request)
        return await run_in_threadpool(
            recordings.import_recording, ws, lesson_id, content, name, club=club, mount=mount, kind=kind,
            profile=profile, key=key,
        )  # fmt: skip

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

    @router.get("/jobs", summary="Background work that is not done")
    def jobs() -> list[JobView]:
        return recordings.jobs(ws)

    @router.delete("/jobs/{job_id}", summary="Take waiting work off the queue")
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

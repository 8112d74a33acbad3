"""The HTTP interface: one route for each action of `app`. Described at /openapi.json."""

from fastapi import APIRouter

from ferrule.app.workspace import Workspace
from ferrule.web.lesson import routes as lesson_steps
from ferrule.web.rest import balls, cases, change, exports, golfers, lessons, progress, recordings, swings


def routes(workspace: Workspace) -> APIRouter:
    """Every REST route for an open data folder, under /api/v1."""
    router = APIRouter(prefix="/api/v1")
    for part in (golfers, lessons, lesson_steps, swings, balls, cases, progress, change, recordings, exports):
        router.include_router(part.routes(workspace))
    return router

"""What the screens of a lesson send: simple things ruled out, reps of the drill, the window."""

from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from ferrule.app import plans
from ferrule.app.checks import rule_out
from ferrule.app.practice import add_rep
from ferrule.app.views import LessonView, SwingView, WindowView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError, Issue, fault
from ferrule.web.rest.request_key import RequestKey
from ferrule.web.typed import Body, Number, Words


class RuledOut(Body):
    """What was seen of the simple things: strike, aim, face_at_address, club, path, each `fine` or a word for what is off."""

    answers: Annotated[dict[str, str], Field(default_factory=dict)]
    club: Words = None


class Rep(Body):
    """One rep of a drill, by its title, and whether it did what the drill is for."""

    drill: str = ""
    did: bool = True
    club: Words = None


class NewWindow(Body):
    """A target interval of a glossary quantity, in its unit and sign. each_side: instead of low and high, around zero."""

    quantity: str = ""
    low: Number = None
    high: Number = None
    each_side: Number = None
    exaggerate_to: Number = None
    club: Words = None


def routes(ws: Workspace) -> APIRouter:
    """The routes of this subject."""
    router = APIRouter(tags=["lessons"])

    @router.post("/lessons/{lesson_id}/rule-out", status_code=201, summary="What was seen of the simple things")
    def ruled_out(lesson_id: int, body: RuledOut, key: RequestKey = None) -> LessonView:
        return rule_out(ws, lesson_id, body.answers, club=body.club, key=key)

    @router.post("/lessons/{lesson_id}/reps", status_code=201, summary="A rep of the drill, counted by its own measure")
    def rep(lesson_id: int, body: Rep, key: RequestKey = None) -> SwingView:
        return add_rep(ws, lesson_id, body.drill, body.did, club=body.club, key=key)

    @router.post("/lessons/{lesson_id}/windows", status_code=201, summary="Set the window of an angle with a club")
    def window(lesson_id: int, body: NewWindow, key: RequestKey = None) -> WindowView:
        low, high = _ends(body)
        return plans.set_window(
            ws, lesson_id, body.quantity, low, high, club=body.club, exaggerate_to=body.exaggerate_to, key=key
        )

    return router


def _ends(body: NewWindow) -> tuple[float, float]:
    if body.each_side is not None:
        if body.each_side <= 0:
            raise InputError.of("out_of_range", "each_side", expected="more than nothing", got=f"{body.each_side:g}", do="Type how far it may go")  # fmt: skip
        return -body.each_side, body.each_side
    faults: list[Issue] = [
        fault("missing", name, expected="a number", got="nothing", do="Type it in")
        for name, value in (("low", body.low), ("high", body.high))
        if value is None
    ]
    if body.low is None or body.high is None:
        named = [fault("missing", "each_side", expected="a number", got="nothing", do="Type it in")]
        raise InputError(named if len(faults) == 2 else faults)
    return body.low, body.high


__all__ = ["routes"]

"""The golfer's sheet from what is kept: PDF, one offline page for the phone, plain text."""

from dataclasses import replace
from datetime import date
from typing import Final, Literal

import numpy as np

from ferrule.app import cases, golfers
from ferrule.app.blocks import day_of
from ferrule.app.finding import now
from ferrule.app.progress import OPEN_ENDED, case_when_settled, face_open_deg, planned_club, progress
from ferrule.app.settings import settings
from ferrule.app.views import GolferLine
from ferrule.app.workspace import Workspace
from ferrule.coaching.ball_evidence import seen_flight
from ferrule.coaching.case import Case, as_right_handed
from ferrule.coaching.wording_sheet import why_sentences
from ferrule.errors import InputError, NotFoundError
from ferrule.frames.handedness import world_sign
from ferrule.sheet.content import PaperSize, SheetContent, sheet_content
from ferrule.sheet.phone import phone_page
from ferrule.sheet.plain import plain_text
from ferrule.sheet.printed import make_sheet
from ferrule.units import DEG

Form = Literal["pdf", "html", "txt"]
FORMS: Final[tuple[Form, ...]] = ("pdf", "html", "txt")
PAPERS: Final[dict[str, PaperSize]] = {"a4": "a4", "letter": "us-letter"}


def sheet(
    ws: Workspace,
    golfer_id: int,
    form: Form,
    *,
    club: str | None = None,
    paper: str = "a4",
    large_print: bool = False,
    today: date | None = None,
) -> bytes:
    """The sheet's file. Raises InputError when nothing was settled yet, or for a paper that is not known."""
    content = content_of(ws, golfer_id, club=club, paper=paper, large_print=large_print, today=today)
    if form == "pdf":
        return make_sheet(content)
    return (phone_page(content) if form == "html" else plain_text(content)).encode()


def content_of(
    ws: Workspace,
    golfer_id: int,
    *,
    club: str | None = None,
    paper: str = "a4",
    large_print: bool = False,
    today: date | None = None,
) -> SheetContent:
    """What stands on the sheet."""
    if paper not in PAPERS:
        raise InputError.of("choice", "paper", expected=f"one of {', '.join(PAPERS)}", got=repr(paper))
    name = golfers.golfer(ws, golfer_id).name
    if planned_club(ws, golfer_id) is None:
        raise InputError.of(
            "no_plan", "golfer", expected=f"something settled with {name}", got="no plan yet",
            cause="a sheet tells what to change and when it is tested", do="Choose a way on the progress page first",
        )  # fmt: skip
    found = progress(ws, golfer_id, club, today)
    settled = found.settled
    if settled is None:
        raise InputError.of(
            "no_plan", "club", expected=f"a club that something was settled with for {name}", got=found.club,
            do=f"Leave it out, or take the {planned_club(ws, golfer_id)}",
        )  # fmt: skip
    case = case_when_settled(ws, golfer_id, settled.chosen)
    content = sheet_content(
        name, found.person, settled.plan, why(ws, case), today or day_of(now()), verdict=found.main,
        coach=settings(ws).coach_name, paper=PAPERS[paper], large_print=large_print,
    )  # fmt: skip
    if settled.plan.next_test < (today or day_of(now())):
        content = replace(content, test_on="when you come next")
    if settled.own_drill:
        content = replace(content, change=(*content.change, f"Your drill: {settled.own_drill}"))
    if settled.plan.way in OPEN_ENDED:
        content = replace(content, number="", feel=())
    return content


def why(ws: Workspace, case: Case) -> tuple[str, ...]:
    """Why the ball does what it does, from the golfer's own swings; only the club where nothing was seen."""
    club, left = case.club.name, case.golfer.handedness == "left"
    if not case.untouched:
        return why_sentences(club, None, None, 0.0, None, left)[:1]
    world = world_sign(case.golfer.handedness)
    flights = [seen_flight(s) for s in as_right_handed(case).untouched]
    start = _mean([f.start.value for f in flights if f.start is not None])
    curve = _mean([f.curve.value for f in flights if f.curve is not None])
    known = cases.explanation_of(ws, case)
    if known.two_way:
        return (
            f"Your {club} misses both ways.",
            "When it meets the ball, the face does not look the same way each time.",
        )
    largest = max(known.causes, key=lambda c: c.probability_largest)
    share = (largest.cause, largest.share.value / DEG) if largest.named else None
    return why_sentences(
        club,
        None if start is None else world * start,
        None if curve is None else world * curve,
        face_open_deg(ws, case),
        share,
        left,
    )


def golfer_named(ws: Workspace, name: str) -> GolferLine:
    """The golfer of this name: the whole name, else the only one whose name holds the words; #12 is the one of that number.

    Raises NotFoundError when there is none, InputError when there are several.
    """
    everybody = golfers.golfers(ws, "", 100_000)
    said = " ".join(name.split()).casefold()
    if said.startswith("#") and said[1:].isdigit():
        found = [g for g in everybody if g.id == int(said[1:])]
    else:
        found = [g for g in everybody if g.name.casefold() == said]
        found = found or (golfers.golfers(ws, name, 100) if said else [])
    if not found:
        raise NotFoundError(f"There is no golfer by the name of {name!r} in this folder. Check the spelling.")
    if len(found) > 1:
        shown = "; ".join(f"#{g.id} {g.name}, {_last_seen(g)}" for g in found[:6])
        raise InputError.of(
            "several", "golfer", expected="one golfer", got=f"{len(found)} that fit {name!r} ({shown})",
            do=f"Name one by the number, for example --golfer '#{found[0].id}'",
        )  # fmt: skip
    return found[0]


def file_name(name: str, form: Form) -> str:
    """A plain name for the file of a golfer: letters, digits and dashes."""
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.casefold()).strip("-")
    return f"sheet-{plain or 'golfer'}.{form}"


def golfer_name(ws: Workspace, golfer_id: int) -> str:
    """The golfer's name. Raises NotFoundError."""
    return golfers.golfer(ws, golfer_id).name


def _last_seen(golfer: GolferLine) -> str:
    return "no lesson yet" if golfer.last_lesson_at is None else f"last lesson {day_of(golfer.last_lesson_at)}"


def _mean(values: list[float]) -> float | None:
    return float(np.mean(values)) if values else None

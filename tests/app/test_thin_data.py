"""Thin data: one lesson, two swings, no baseline, clubs mixed, dates out of order. Words, and no number that means nothing."""

import re
from datetime import timedelta

import pytest

from ferrule.app import cold_tests, golfers, lessons, plans, progress, sheets, swings
from ferrule.app.finding import now
from ferrule.app.overview import coach_overview
from ferrule.app.swings import NewReading
from ferrule.app.views import GolferView
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import Verdict
from ferrule.coaching.wording_change import verdict_note, verdict_sentence
from ferrule.web.pages.progress import progress_page

SCATTER = (1.2, -0.7, 0.4, -1.5, 0.9)


def lesson(ws: Workspace, golfer_id: int, days_ago: int) -> int:
    return lessons.start_lesson(ws, golfer_id, started_at=now() - timedelta(days=days_ago)).id


def balls(ws: Workspace, lesson_id: int, start: float, count: int = 10, club: str = "7-iron") -> None:
    for i in range(count):
        reading = NewReading("ball.start_deg", start + SCATTER[i % 5], how="ball")
        swings.add_swing(ws, lesson_id, club=club, readings=[reading])


def nothing_claimed(ws: Workspace, golfer_id: int, reason: str) -> Verdict:
    """One verdict without a number anywhere: not in its sentence, not on the page's first lines, not on the sheet."""
    (verdict,) = progress.verdicts(ws, golfer_id)
    assert (verdict.kind, verdict.reasons[0]) == ("not_yet", reason)
    assert (verdict.change, verdict.practice, verdict.smallest_real, verdict.settles_in) == (None, None, None, None)
    assert not re.search(r"\d", verdict_sentence(verdict).replace("7-iron", ""))
    assert verdict_note(verdict)
    html = progress_page(ws, {"golfer_id": str(golfer_id)}).html
    title = re.search(r"<h1[^>]*>(.*?)</h1>", html)
    assert title is not None
    assert "°" not in title.group(1)
    if progress.planned_club(ws, golfer_id) is not None:
        assert "Too early to tell" in sheets.sheet(ws, golfer_id, "txt").decode()
        coach_overview(ws, moment_s=10.0)
    return verdict


def test_one_lesson_of_two_swings(ws: Workspace, golfer: GolferView) -> None:
    first = lesson(ws, golfer.id, 5)
    balls(ws, first, 5.0, 2)
    plans.choose_way(ws, first, "aim", club="7-iron")
    verdict = nothing_claimed(ws, golfer.id, "no_baseline")
    assert "small_blocks" in verdict.reasons
    assert "fewer than five swings" in verdict_note(verdict)


def test_no_baseline_at_all(ws: Workspace, golfer: GolferView) -> None:
    plans.choose_way(ws, lesson(ws, golfer.id, 30), "aim", club="7-iron")
    for days_ago in (20, 10):
        later = lesson(ws, golfer.id, days_ago)
        balls(ws, later, 0.0)
        cold_tests.mark_first_balls(ws, later, club="7-iron")
    nothing_claimed(ws, golfer.id, "no_baseline")


def test_clubs_mixed_within_a_lesson(ws: Workspace, golfer: GolferView) -> None:
    for days_ago in (40, 30):
        held = lesson(ws, golfer.id, days_ago)
        for club in ("7-iron", "driver", "gap wedge", "7-iron", "driver") * 2:
            balls(ws, held, 6.0, 1, club)
    plans.choose_way(ws, held, "aim", club="7-iron")
    later = lesson(ws, golfer.id, 10)
    balls(ws, later, 0.0, 10, "driver")
    cold_tests.mark_first_balls(ws, later, club="driver")
    # Four balls of the club a day are no block, and the driver proves nothing for the iron.
    verdict = nothing_claimed(ws, golfer.id, "no_baseline")
    assert "small_blocks" in verdict.reasons


def test_lessons_written_down_out_of_order(ws: Workspace, golfer: GolferView) -> None:
    changed = lesson(ws, golfer.id, 30)
    balls(ws, changed, 6.0)
    plans.choose_way(ws, changed, "aim", club="7-iron")
    # An older lesson is typed in later, and marked as a cold test by mistake: it lies before the change and is a baseline.
    older = lesson(ws, golfer.id, 50)
    balls(ws, older, 6.0)
    cold_tests.mark_first_balls(ws, older, club="7-iron")
    (verdict,) = progress.verdicts(ws, golfer.id)
    assert (verdict.baseline_days, verdict.tests) == (2, 0)
    assert (verdict.kind, verdict.reasons[0], verdict.change) == ("not_yet", "no_test", None)
    days = [b.on for b in progress.blocks(ws, golfer.id, "7-iron", "ball.start_deg", "ball")]
    assert days == sorted(days)


@pytest.mark.parametrize("aside", [True, False])
def test_nothing_left_to_judge_by(ws: Workspace, golfer: GolferView, aside: bool) -> None:
    held = lesson(ws, golfer.id, 3)
    plans.choose_way(ws, held, "aim", club="7-iron")
    if aside:
        swings.set_aside(ws, swings.add_swing(ws, held, club="7-iron", shape="hook").id)
    assert progress.verdicts(ws, golfer.id) == ()
    assert "no ball with the 7-iron yet" in progress_page(ws, {"golfer_id": str(golfer.id)}).html
    assert b"%PDF-" in sheets.sheet(ws, golfer.id, "pdf")[:8]
    left = golfers.add_golfer(ws, name="Lea", handedness="left")
    assert "Nothing is settled yet with Lea" in progress_page(ws, {"golfer_id": str(left.id)}).html

"""The coach's overview: from stored lessons to who needs the coach today."""

from datetime import timedelta

import numpy as np
import pytest

from ferrule.app import cold_tests, erase, golfers, lessons, overview, plans, swings
from ferrule.app import overview as overview_module
from ferrule.app.finding import now
from ferrule.app.progress import verdicts
from ferrule.app.swings import NewReading
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import Verdict


def learner(ws: Workspace, name: str, practised: float, tested: float, days_ago: int = 40, **more: object) -> int:
    """Two baseline days with starts 6 right, practice, two cold tests; starts of practice and tests are given."""
    who = golfers.add_golfer(ws, name=name, handedness="right", **more)  # type: ignore[arg-type]
    rng = np.random.default_rng(len(name))
    for week, starts in enumerate(([6.0], [6.0, practised], [tested, practised], [tested, practised])):
        lesson = lessons.start_lesson(ws, who.id, started_at=now() - timedelta(days=days_ago - 7 * week))
        for part, start in enumerate(starts):
            if week == 1 and part == 1:
                plans.choose_way(ws, lesson.id, "flexed_early", club="7-iron")
            for _ in range(10):
                reading = NewReading("ball.start_deg", start + 1.2 * rng.normal(), how="ball")
                swings.add_swing(ws, lesson.id, club="7-iron", readings=[reading])
        if week > 1:
            cold_tests.mark_first_balls(ws, lesson.id, club="7-iron")
    return who.id


def test_whose_test_is_due_who_is_not_lasting_whose_wrist_should_pause(ws: Workspace) -> None:
    lasting = learner(ws, "Ada", -0.5, -0.5)
    practice = learner(ws, "Ben", -0.5, 6.0, days_ago=22)
    sore = learner(ws, "Cleo", -0.5, -0.5, pain=["left wrist"])
    golfers.add_golfer(ws, name="Dan", handedness="right")
    found = overview.coach_overview(ws, moment_s=60.0)
    assert found.working == 0
    assert [(n.ident, n.need) for n in found.notices] == [
        (sore, "pause"), (practice, "not_lasting"), (lasting, "test_due"),
    ]  # fmt: skip
    assert "Ada: cold test with the 7-iron due since" in found.notices[2].sentence
    assert "the start line is there in practice only" in found.notices[1].sentence
    later = overview.coach_overview(ws, now().date() + timedelta(days=40))
    assert sum(n.need == "test_due" for n in later.notices) == 2


def test_a_verdict_is_worked_out_once_for_each_state(ws: Workspace, monkeypatch: pytest.MonkeyPatch) -> None:
    first, second = learner(ws, "Ada", -0.5, -0.5), learner(ws, "Ben", -0.5, 6.0)
    asked: list[int] = []

    def counted(ws: Workspace, golfer_id: int, club: str | None = None) -> tuple[Verdict, ...]:
        asked.append(golfer_id)
        return verdicts(ws, golfer_id, club)

    monkeypatch.setattr(overview_module, "verdicts", counted)
    for _ in range(3):
        overview.coach_overview(ws, moment_s=60.0)
    assert sorted(asked) == [first, second]
    lesson = lessons.lessons(ws, first)[0]
    swings.add_swing(ws, lesson.id, club="7-iron", start="right", bend="straight")
    overview.coach_overview(ws, moment_s=60.0)
    assert sorted(asked) == [first, first, second]
    erase.erase_golfer(ws, second)
    assert [n.ident for n in overview.coach_overview(ws).notices] == [first]


def test_what_takes_longer_is_left_to_the_background_and_the_feed_tells(ws: Workspace) -> None:
    practice = learner(ws, "Ben", -0.5, 6.0, days_ago=22)
    heard: list[str] = []
    ws.feed.subscribe(lambda change: heard.append(change.what))
    now_ = overview.coach_overview(ws, moment_s=0.0)
    assert now_.working == 1
    overview.wait_for_verdicts(ws, 30.0)
    assert heard == ["verdicts"]
    then = overview.coach_overview(ws, moment_s=0.0)
    assert (then.working, [(n.ident, n.need) for n in then.notices]) == (0, [(practice, "not_lasting")])

"""The golfers page with 300 golfers: at once the first time, with all verdicts soon, and fast from then on."""

import time
from datetime import timedelta
from pathlib import Path
from typing import Final

import numpy as np

from ferrule.app.finding import now
from ferrule.app.golfers import golfers
from ferrule.app.overview import coach_overview, wait_for_verdicts
from ferrule.app.workspace import Workspace
from ferrule.store.tables import ChosenWay, Club, ColdBall, ColdTest, Golfer, Lesson, Reading, Swing

GOLFERS: Final = 300
FIRST_S: Final = 2.0
ALL_S: Final = 60.0
LATER_S: Final = 0.5


def fill(ws: Workspace, count: int) -> None:
    """So many golfers with a plan, two baseline days, practice and two cold tests each."""
    rng = np.random.default_rng(3)
    with ws.change("fill", in_book=False) as change:
        session = change.session
        for n in range(count):
            golfer = Golfer(name=f"Golfer {n:03d}", handedness="right", age_group="adult", added_at=now())
            session.add(golfer)
            session.flush()
            club = Club(golfer_id=golfer.id, name="7-iron", is_current=True)
            session.add(club)
            session.flush()
            for week, kinds in enumerate(("b", "bp", "tp", "tp")):
                at = now() - timedelta(days=60 - 7 * week)
                lesson = Lesson(golfer_id=golfer.id, started_at=at, version=20)
                session.add(lesson)
                session.flush()
                swings = []
                for i in range(10 * len(kinds)):
                    kind = kinds[i // 10]
                    swing = Swing(lesson_id=lesson.id, club_id=club.id, number=i + 1, made_at=at + timedelta(minutes=i))
                    swings.append((swing, 6.0 if kind == "b" else -0.5))
                session.add_all([s for s, _ in swings])
                session.flush()
                session.add_all(
                    Reading(swing_id=s.id, key="ball.start_deg", value=v + 1.5 * rng.normal(), how="ball", read_at=at)
                    for s, v in swings
                )
                if week == 1:
                    session.add(
                        ChosenWay(
                            golfer_id=golfer.id,
                            club_id=club.id,
                            lesson_id=lesson.id,
                            way="flexed_early",
                            chosen_at=at + timedelta(minutes=9, seconds=30),
                        )
                    )
                if kinds[0] == "t":
                    test = ColdTest(lesson_id=lesson.id, club_id=club.id, started_at=at, ended_at=at)
                    session.add(test)
                    session.flush()
                    session.add_all(
                        ColdBall(cold_test_id=test.id, swing_id=s.id, number=i + 1)
                        for i, (s, _) in enumerate(swings[:10])
                    )


def taken(ws: Workspace) -> float:
    """Seconds for what the golfers page asks for."""
    start = time.perf_counter()
    golfers(ws)
    coach_overview(ws)
    return time.perf_counter() - start


def test_overview_of_many_golfers(tmp_path: Path) -> None:
    with Workspace(tmp_path / "data") as ws:
        fill(ws, GOLFERS)
        first = taken(ws)
        start = time.perf_counter()
        while coach_overview(ws).working:
            wait_for_verdicts(ws, ALL_S)
        everything = time.perf_counter() - start
        later = min(taken(ws) for _ in range(3))
        assert len(coach_overview(ws).notices) >= 0.9 * GOLFERS
    assert first < FIRST_S, f"{first:.2f} s"
    assert everything < ALL_S, f"{everything:.1f} s"
    assert later < LATER_S, f"{later:.3f} s"

"""The coach's own drills, windows in words, the overview and two periods over HTTP."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import httpx
import pytest

from ferrule.app import golfers, lessons, plans, swings
from ferrule.app.finding import now
from ferrule.app.swings import NewReading
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.web.span_form import BY_NAME, SPANNED, ends_of, spanned_named

Ask = Callable[..., httpx.Response]


def faults(answer: httpx.Response) -> dict[str, str]:
    return {f["where"]: f["message"] for f in answer.json()["error"]["faults"]}


def test_an_own_drill_in_words(ask: Ask) -> None:
    body: dict[str, Any] = {
        "title": "Broom by the fence", "ways": ["flexed_early"], "causes": ["lead_wrist_flexion"], "closes": "open",
        "set_up": "A broom.\n\nA fence.", "how": "Sweep.", "loads_the_wrist": "yes", "reps_slow": "5", "stop": "it hurts",
        "quantity": "top", "low": "20", "low_side": "bowed", "high": "5", "high_side": "cupped",
    }  # fmt: skip
    made = ask("POST", "/api/v1/drills", json=body).json()
    drill = made["drill"]
    assert drill["set_up"] == ["A broom.", "A fence."]
    assert (drill["measure"]["at_least"], drill["measure"]["at_most"], drill["load"]) == (-5.0, 20.0, "wrist")
    assert drill["measure"]["words"] == "the lead wrist at the top is between 5° cupped and 20° bowed"
    assert set(faults(ask("POST", "/api/v1/drills", json={**body, "title": "x", "loads_the_wrist": ""}))) == {
        "loads_the_wrist"
    }
    assert set(faults(ask("POST", "/api/v1/drills", json={**body, "low_side": ""}))) == {"low_side"}
    gained = {**body, "quantity": "gained", "low": "5", "low_side": "bowed", "high": "", "high_side": ""}
    changed = ask("PUT", f"/api/v1/drills/{made['id']}", json=gained).json()
    assert changed["drill"]["measure"]["words"] == "the lead wrist gains 5° or more of bow from the top to shaft level"
    away = ask("POST", f"/api/v1/drills/{made['id']}/away", json={"away": True}).json()
    assert away["put_away"] is True
    assert [d["id"] for d in ask("GET", "/api/v1/drills").json()] == [made["id"]]


def test_ends_in_words_become_signs() -> None:
    assert ends_of("top", 14, "cupped", 3, "bowed")[1:] == (-14, 3)
    assert ends_of("place", 2, "forward", None, None)[1:] == (0.02, None)
    assert ends_of("start", 0, None, 4, "left")[1:] == (-4, 0)
    for wrong in (("moon", 1, "up"), ("top", 3, "right"), ("top", 3, None)):
        with pytest.raises(InputError):
            ends_of(wrong[0], wrong[1], wrong[2], None, None)  # type: ignore[arg-type]
    assert all(spanned_named(s.key, s.gain_from) is s for s in SPANNED)
    assert len(BY_NAME) == len(SPANNED)


def test_a_window_as_a_coach_says_it(ask: Ask, workspace: Workspace) -> None:
    golfer = golfers.add_golfer(workspace, name="Rea", handedness="right")
    lesson = lessons.start_lesson(workspace, golfer.id)
    send = f"/api/v1/lessons/{lesson.id}/said-windows"
    body = {
        "quantity": "top",
        "low": "8",
        "low_side": "cupped",
        "high": "2",
        "high_side": "bowed",
        "aim": "12",
        "aim_side": "bowed",
    }
    made = ask("POST", send, json={**body, "club": "7-iron"}).json()
    assert (made["key"], made["low"], made["high"], made["exaggerate_to"]) == ("wrist.top.flexion_deg", -8.0, 2.0, 12.0)
    assert set(faults(ask("POST", send, json={**body, "high": ""}))) == {"high"}
    assert "order" not in faults(ask("POST", send, json={**body, "low": "2", "low_side": "bowed"}))


def test_overview_and_periods(ask: Ask, workspace: Workspace) -> None:
    golfer = golfers.add_golfer(workspace, name="Una", handedness="right")
    for days_ago in (60, 50):
        lesson = lessons.start_lesson(workspace, golfer.id, started_at=now() - timedelta(days=days_ago))
        for i in range(10):
            reading = NewReading("ball.start_deg", 6.0 + (i % 3 - 1), how="ball")
            swings.add_swing(workspace, lesson.id, club="7-iron", readings=[reading])
    plans.choose_way(workspace, lesson.id, "aim", club="7-iron")
    notices = ask("GET", "/api/v1/overview").json()["notices"]
    assert [(n["golfer_id"], n["need"]) for n in notices if n["golfer_id"] == golfer.id] == [(golfer.id, "test_due")]
    day = now().date()

    def asked(*ago: int) -> httpx.Response:
        days = [(day - timedelta(days=a)).isoformat() for a in ago]
        names = ("first_from", "first_to", "second_from", "second_to")
        return ask("GET", f"/api/v1/golfers/{golfer.id}/periods", params=dict(zip(names, days, strict=True)))

    (said,) = asked(70, 45, 44, 0).json()["comparisons"]
    assert said["sentence"] == (
        "Start line: nothing to compare, because the second period has cold balls on fewer than two days."
    )
    assert set(faults(asked(70, 45, 50, 0))) == {"second_from"}
    assert set(faults(asked(45, 70, 40, 0))) == {"first_to"}

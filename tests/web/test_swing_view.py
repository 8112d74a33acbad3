"""From a swing to its drawings and its sentence."""

from datetime import UTC, datetime
from typing import Any

import pytest

from ferrule.app.views import ReadingView, SwingView
from ferrule.web import swing_view
from ferrule.web.pictures.traces import traces_picture

NOW = datetime(2026, 5, 14, tzinfo=UTC)
RESULT = {
    "face": {"top": {"edge_tilt_deg": {"value": 50, "sd": 5}}, "impact": {"face_deg": {"value": 4, "sd": 1}}},
    "closing_account": [
        {"from": "takeaway", "to": "top", "part": "total", "closing_deg": -60},
        {"from": "top", "to": "shaft_level_down", "part": "flexion", "closing_deg": 8},
        {"from": "top", "to": "shaft_level_down", "part": "total", "closing_deg": 10},
        {"from": "top", "to": "shaft_level_down", "part": "residual", "closing_deg": 0.1},
        {"from": "shaft_level_down", "to": "impact", "part": "forearm_roll", "closing_deg": 41},
        {"from": "shaft_level_down", "to": "impact", "part": "total", "closing_deg": 39},
    ],
    "events": {"impact": {"time_s": {"value": 1.2, "sd": 0.001}}},
    "time_up_s": 0.88,
    "time_down_s": 0.3,
}


def swing(result: dict[str, Any] | None = None, **readings: float) -> SwingView:
    got = tuple(
        ReadingView(i, k.replace("__", "."), v, None, "typed", None, None, None, NOW)
        for i, (k, v) in enumerate(readings.items())
    )
    return SwingView(1, 1, 1, "7-iron", 3, NOW, None, None, None, None, False, None, None, None, False, "", got, None, None, "1" if result else None, result)  # fmt: skip


def test_the_sentence_says_face_and_wrist() -> None:
    made = swing(delivery__face_deg=4, wrist__shaft_level_down__flexion_deg=-14)
    assert (
        swing_view.sentence(made, left_handed=False)
        == "The face arrives 4° open, the wrist 14° cupped at shaft level coming down."
    )
    assert swing_view.sentence(made, left_handed=True).startswith("The face arrives 4° closed")
    assert swing_view.sentence(swing(wrist__top__flexion_deg=5), left_handed=False) == "The wrist 5° bowed at the top."
    assert swing_view.sentence(swing(), left_handed=False) == "Nothing was read of this swing yet."


def test_the_face_at_three_places() -> None:
    made = swing(RESULT, leading_edge_tilt_shaft_level_deg=14, posture__forward_bend_address_deg=38)
    assert swing_view.face_at(made, "top", False).tilt_deg == 50
    down = swing_view.face_at(made, "shaft_level_down", False)
    assert (down.tilt_deg, down.spine_deg, down.says) == (14, 38, "24° open to the spine")
    assert swing_view.face_at(made, "impact", False).says == "4° open"
    assert swing_view.face_at(made, "impact", True).says == "4° closed"
    assert swing_view.face_at(swing(), "impact", False).says == ""


def test_the_account_goes_from_the_top_to_impact() -> None:
    rungs = swing_view.rungs_of(RESULT)
    assert [(r.upper, r.lower, r.total_deg) for r in rungs] == [
        ("The top", "Shaft level coming down", 10),
        ("Shaft level coming down", "Impact", 39),
    ]
    assert [p.part for r in rungs for p in r.pieces] == ["wrist bows or cups", "forearm rolls"]
    assert "39° closing" in swing_view.account_label(rungs)
    assert swing_view.rungs_of({}) == []


def test_time_is_seconds_and_never_a_ratio() -> None:
    assert swing_view.time_words(RESULT) == "0.88 s up, 0.30 s down."
    assert swing_view.time_words({}) == ""


def test_traces_are_drawn_when_there_are_any() -> None:
    time = [i / 100 for i in range(150)]
    made = traces_picture(
        {"time_s": time, "flexion": [-0.2 + t / 10 for t in time], "forearm_roll": [float("nan")] * 150}, RESULT
    )
    assert made is not None
    assert made.count("<svg") == 1
    assert "wrist: bowed above, cupped below" in made
    assert "impact" in made
    assert traces_picture({}, RESULT) is None


@pytest.mark.parametrize("tilt", [-170.0, 170.0])
def test_an_edge_that_has_gone_over_is_drawn_lying(tilt: float) -> None:
    shown = swing_view.face_at(swing(leading_edge_tilt_shaft_level_deg=tilt), "shaft_level_down", False).tilt_deg
    assert shown is not None
    assert abs(shown) == 89

"""From a swing to its drawings and its sentence."""

import re
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from ferrule.app.swing_frames import RecordedLine, SwingFrames
from ferrule.app.views import ReadingView, SwingView
from ferrule.web import swing_view
from ferrule.web.pictures.swing_sketch import VIEWS, stage_of
from ferrule.web.pictures.traces import traces_picture
from ferrule.web.swing_scrub import Laid, chooser, comparison_note, moving

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


def line_of(number: int, lesson: int = 1, mount: str | None = "a", club: str = "7-iron") -> RecordedLine:
    return RecordedLine(number, lesson, NOW, number, club, mount, False)


@pytest.mark.parametrize(
    ("other", "says", "keeps_quiet"),
    [
        (line_of(2), "sat the same", "anew"),
        (line_of(2, lesson=9), "put on anew", "sat the same"),
        (line_of(2, mount="b"), "put on anew", "sat the same"),
        (line_of(2, club="driver"), "with the driver", "anew"),
    ],
)
def test_a_comparison_says_what_it_cannot_tell(other: RecordedLine, says: str, keeps_quiet: str) -> None:
    note = comparison_note(line_of(1), other)
    assert says in note
    assert keeps_quiet not in note


def test_a_swing_alone_has_nothing_to_be_laid_over_it() -> None:
    assert chooser(1, [line_of(1)], None) is None
    offered = chooser(1, [line_of(1), line_of(2), line_of(3)], 3)
    assert offered is not None
    assert offered.count("<option") == 2
    assert '<option value="3" selected' in offered
    assert "Take it off" in offered


def a_swing(shift: float = 0.0) -> SwingFrames:
    time = np.linspace(-1.2, 0.0, 50)
    points = np.zeros((50, 5, 3))
    points[:, 0] = (0.05, 1.4, -0.4)
    points[:, 1] = np.column_stack((-0.5 * np.sin(time), 1.0 + 0.3 * time**2, np.full(50, -0.4)))
    points[:, 2:] = points[:, 1:2] + np.array([[0.0, -0.1, 0.0], [shift - 0.3, 0.6, 0.2], [shift - 0.2, 0.7, 0.3]])
    return SwingFrames(time, points, {"address": -1.2, "top": -0.3, "impact": 0.0}, True, True)


@pytest.mark.parametrize("left", [False, True])
def test_the_stage_holds_every_frame_of_both_swings(left: bool) -> None:
    swings = [a_swing(0.0).points.tolist(), a_swing(-1.5).points.tolist()]
    stage = stage_of(swings, 36.0, left)
    for view in VIEWS:
        for frames in swings:
            for spots in frames:
                for spot in spots:
                    at = stage.place(spot, view)
                    assert 0 <= at.x <= stage.width(view)
                    assert 0 <= at.y <= stage.height


def test_the_left_handers_sketch_is_the_mirror_image() -> None:
    swing = [a_swing().points.tolist()]
    right, left = (stage_of(swing, 36.0, hand) for hand in (False, True))
    for view in VIEWS:
        for spot in swing[0][20]:
            assert left.place(spot, view).x == pytest.approx(right.width(view) - right.place(spot, view).x)
            assert left.place(spot, view).y == right.place(spot, view).y


def test_the_golfers_sketch_has_places_and_no_times() -> None:
    shown, coached = (str(moving(a_swing(), 36.0, False, plain=plain)) for plain in (True, False))
    assert " data-plain" in shown
    assert " data-plain" not in coached
    assert "seen from behind" in shown
    assert "seen face-on, the target right" in shown
    assert shown.count("<button") == 3  # top, impact, play: only what was found can be jumped to
    assert not re.search(r">[^<]*\d[^<]*<", shown)


def test_laid_over_is_drawn_thin_and_comes_as_a_second_table() -> None:
    made = str(moving(a_swing(), 36.0, False, Laid(a_swing(0.4), "ball 2", "note")))
    assert made.count('data-swing="ghost"') == 2
    assert "data-ghost=" in made
    assert 'data-swing="ghost"' not in str(moving(a_swing(), 36.0, False))

"""The stated utility: an event near, growing, sore, senior; the coach's tilt."""

from dataclasses import replace

import pytest

from ferrule.analysis.options import work_out_options
from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading
from ferrule.coaching.ways import KEEPING, WRIST_WAYS
from ferrule.coaching.worth import trouble_of
from ferrule.units import DEG


def case_of(golfer: Golfer) -> Case:
    swing = CaseSwing(
        {
            "wrist.impact.flexion_deg": Reading(-8),
            "wrist.shaft_level_down.flexion_deg": Reading(-22),
            "wrist.top.flexion_deg": Reading(-25),
            "ball.start_deg": Reading(4),
            "ball.curve_deg": Reading(4),
        },
        strike="centre",
    )
    return Case(golfer, club_by_name("7-iron"), (swing,) * 3)


def ranked(golfer: Golfer, tilt: str = "balanced") -> list[str]:
    return [o.way.name for o in work_out_options(case_of(golfer), tilt).options]  # type: ignore[arg-type]


def test_far_from_an_event_the_wrist_is_worked_on():
    assert ranked(Golfer("right"))[0] in WRIST_WAYS
    assert ranked(Golfer("right", event_in_days=21)) == ranked(Golfer("right"))


@pytest.mark.parametrize("days", [0, 1, 20])
def test_within_three_weeks_of_an_event_nothing_new_comes_first(days):
    answer = work_out_options(case_of(Golfer("right", event_in_days=days)))
    names = [o.way.name for o in answer.options]
    kept = [n for n in names if n in KEEPING]
    assert names[: len(kept)] == kept
    assert "keep_shape" in kept[:2]
    new = next(o for o in answer.options if o.way.name == "flexed_early")
    assert any("event" in c for c in new.way.cautions)


def test_the_event_moves_no_number():
    near, far = (work_out_options(case_of(Golfer("right", event_in_days=d))) for d in (3, None))
    faces = [{o.way.name: o.outcome.face for o in a.options} for a in (near, far)]
    assert faces[0] == faces[1]


def test_trouble_is_none_when_square_and_steady():
    assert trouble_of(0.5, 0.0, 2.0, 1.0) == 0.0
    assert trouble_of(4.0, 0.0, 0.0, 0.0) == 1.0


def test_mirrored_golfers_rank_alike():
    right = case_of(Golfer("right", event_in_days=5))
    left = replace(
        right,
        golfer=Golfer("left", event_in_days=5),
        swings=tuple(
            replace(s, readings={k: r.negated() if k.startswith("ball") else r for k, r in s.readings.items()})
            for s in right.swings
        ),
    )
    one, two = work_out_options(right), work_out_options(left)
    assert [o.way.name for o in one.options] == [o.way.name for o in two.options]
    assert one.options[0].outcome.face == pytest.approx(two.options[0].outcome.face, abs=1e-9 * DEG)

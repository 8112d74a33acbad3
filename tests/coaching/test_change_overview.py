"""The coach's overview and two periods compared."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from ferrule.coaching.case import Golfer
from ferrule.coaching.change import Block, Kind, Question, Verdict
from ferrule.coaching.change_overview import Watched, overview
from ferrule.coaching.change_periods import compare_periods
from ferrule.coaching.drills_library import DRILLS
from ferrule.coaching.plan import Target, make_plan

TODAY = date(2026, 5, 4)
START = date(2026, 1, 5)
WRIST = Question("lead wrist at the top", "since_address", "7-iron", "up")
WINDOW = Target("wrist.top.flexion_deg", "7-iron", -5.0, 5.0, "")
PLAN = make_plan(Golfer("right"), "flexed_in_transition", WINDOW, DRILLS, TODAY - timedelta(days=10))


def verdict(kind: str) -> Verdict:
    return Verdict(kind, (), WRIST, 2, 2)  # type: ignore[arg-type]


def test_the_most_serious_first() -> None:
    well = Golfer("right")
    found = overview(
        [
            Watched("Ada", well, PLAN, None),
            Watched("Ben", well, replace(PLAN, next_test=TODAY), verdict("fading")),
            Watched("Cleo", well, PLAN, verdict("real_and_lasts"), numb=True),
            Watched("Dan", Golfer("right", pain=("left wrist",)), PLAN, None),
            Watched("Eve", well, replace(PLAN, next_test=TODAY + timedelta(days=1)), verdict("practice_only")),
            Watched("Fay", well, None, None, numb=True),
        ],
        TODAY,
    )
    assert [(n.name, n.need) for n in found] == [
        ("Cleo", "pause"), ("Dan", "pause"),
        ("Ben", "not_lasting"), ("Eve", "not_lasting"),
        ("Ada", "test_due"), ("Ben", "test_due"),
    ]  # fmt: skip
    assert found[4].sentence == "Ada: cold test with the 7-iron due since 1 May 2026."
    assert "going again" in found[2].sentence


def block(week: int, kind: Kind, level: float, swings: int = 10) -> Block:
    noise = np.random.default_rng(week).normal(size=swings)
    return Block(START + timedelta(weeks=week), kind, "7-iron", level + 3.0 * (noise - noise.mean()))


def weeks(a: int, b: int) -> tuple[date, date]:
    return START + timedelta(weeks=a), START + timedelta(weeks=b)


def test_two_periods_of_cold_blocks() -> None:
    blocks = [block(0, "baseline", 0), block(1, "baseline", 1), block(2, "retention", 5), block(3, "retention", 6)]
    noisy = [*blocks, block(2, "practice", 40)]
    found = compare_periods(noisy, WRIST, weeks(0, 1), weeks(2, 3))
    assert (found.first_days, found.second_days, found.reason) == (2, 2, None)
    assert found.change is not None
    assert found.change.value == pytest.approx(5.0, abs=1e-6)
    assert found.change.low < 5.0 < found.change.high
    # Late tests against earlier tests: which block was called baseline does not matter.
    later = [*blocks, block(4, "retention", 5), block(5, "retention", 6)]
    still = compare_periods(later, WRIST, weeks(2, 3), weeks(4, 5)).change
    assert still is not None
    assert still.value == pytest.approx(0.0, abs=1e-6)


def test_thin_periods_have_a_reason_and_no_number() -> None:
    blocks = [block(0, "baseline", 0), block(2, "retention", 5), block(3, "retention", 6)]
    found = compare_periods(blocks, WRIST, weeks(0, 1), weeks(2, 3))
    assert (found.change, found.reason) == (None, "one_baseline")
    assert compare_periods(blocks, WRIST, weeks(2, 3), weeks(8, 9)).reason == "no_test"
    with pytest.raises(ValueError, match="after the first"):
        compare_periods(blocks, WRIST, weeks(2, 3), weeks(0, 2))

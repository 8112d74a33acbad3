"""Simulated learners: how often the verdict is right, and how often it claims what is not there.

500 golfers a scenario: swings sd 3°, day-to-day sd log normal around 1.5° (log sd 0.3), ten swings a block, two baseline
and two test days. Wider spreads and more tests are measured by scripts/validation/change.py.
"""

from collections import Counter
from functools import lru_cache

import numpy as np
import pytest

from ferrule.coaching.change import Question
from ferrule.coaching.change_verdict import verdict_on
from ferrule.simulator.learner import SCENARIOS, Scenario, day_sds, learner, lessons_of

GOLFERS = 500
WRIST = Question("lead wrist at the top", "since_address", "7-iron", "up")
LARGE = 7.2


@lru_cache(maxsize=16)
def outcome(scenario: Scenario, gain: float) -> tuple[Counter[str], float, float]:
    """Share of each kind, share of 90 % intervals that hold the truth, median smallest real change."""
    truth = gain if scenario == "lasting" else 0.0
    seed = 100 + 7 * SCENARIOS.index(scenario) + int(gain)
    rng = np.random.default_rng(seed)
    kinds: Counter[str] = Counter()
    inside, smallest = [], []
    for sd in day_sds(GOLFERS, seed):
        v = verdict_on(lessons_of(learner(scenario, sd, gain), rng), WRIST)
        kinds[v.kind] += 1
        if v.change is not None and v.smallest_real is not None:
            inside.append(v.change.low < truth < v.change.high)
            smallest.append(v.smallest_real)
    share = Counter({k: n / GOLFERS for k, n in kinds.items()})
    return share, float(np.mean(inside)) if inside else np.nan, float(np.median(smallest)) if smallest else np.nan


@pytest.mark.slow
@pytest.mark.parametrize(
    ("scenario", "gain"), [("no_change", 0.0), ("practice_only", LARGE), ("drift", 0.0), ("device", 0.0)]
)
def test_seldom_claims_what_is_not_there(scenario: Scenario, gain: float) -> None:
    assert outcome(scenario, gain)[0]["real_and_lasts"] <= 0.05


@pytest.mark.slow
def test_smallest_real_change_for_one_cold_test() -> None:
    smallest = outcome("no_change", 0.0)[2]
    assert smallest <= 5.0
    assert pytest.approx(LARGE, abs=0.15) == 1.5 * smallest


@pytest.mark.slow
@pytest.mark.parametrize(("gain", "least"), [(LARGE, 0.85), (5.0, 0.65)])
def test_finds_a_lasting_change_by_the_second_test(gain: float, least: float) -> None:
    assert outcome("lasting", gain)[0]["real_and_lasts"] >= least


@pytest.mark.slow
def test_calls_practice_only_so() -> None:
    assert outcome("practice_only", LARGE)[0]["practice_only"] >= 0.85


@pytest.mark.slow
@pytest.mark.parametrize(
    ("scenario", "gain"),
    [("no_change", 0.0), ("practice_only", LARGE), ("lasting", LARGE), ("lasting", 5.0), ("drift", 0.0)],
)
def test_intervals_cover(scenario: Scenario, gain: float) -> None:
    assert 0.85 <= outcome(scenario, gain)[1] <= 0.95


@pytest.mark.slow
def test_another_device_without_a_common_day_is_never_judged() -> None:
    assert outcome("device", 0.0)[0]["not_yet"] == 1.0


def test_one_baseline_is_never_judged() -> None:
    rng = np.random.default_rng(4)
    for sd in day_sds(40, 4):
        assert verdict_on(lessons_of(learner("lasting", sd, 12.0, baselines=1), rng), WRIST).kind == "not_yet"


def test_sensors_off_and_on_with_nothing_changed() -> None:
    """No change claimed, of either sign, in 19 of 20: mounting moves the zero, the change since address hardly."""
    rng = np.random.default_rng(19)
    claims = 0
    for sd in day_sds(200, 19):
        mounting = min(0.5, 0.5 * sd)
        who = learner("no_change", float(np.sqrt(sd**2 - mounting**2)), 0.0, remount_sd=mounting)
        kind = verdict_on(lessons_of(who, rng), WRIST).kind
        claims += kind not in ("not_yet", "as_before")
    assert claims / 200 <= 0.05


def test_drift_is_seldom_claimed_where_there_is_none() -> None:
    rng = np.random.default_rng(31)
    claimed = sum(
        verdict_on(lessons_of(learner("no_change", sd, 0.0, baselines=4, tests=1), rng), WRIST).drift is not None
        for sd in day_sds(200, 31)
    )
    assert claimed / 200 <= 0.05

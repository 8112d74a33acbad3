"""Speed of a verdict: 40 lessons of 60 swings within 100 ms."""

import time
from typing import Final

import pytest

from ferrule.coaching.change import Question
from ferrule.coaching.change_verdict import verdict_on
from ferrule.simulator.learner import many_lessons

LESSONS: Final = 40
SWINGS: Final = 60
LIMIT_S: Final = 0.1
WRIST: Final = Question("lead wrist at the top", "since_address", "7-iron", "up")


@pytest.mark.benchmark(group="change")
def test_verdict_of_a_long_record() -> None:
    blocks = many_lessons(3, LESSONS, SWINGS)
    verdict_on(blocks, WRIST)
    taken = []
    for _ in range(5):
        start = time.perf_counter()
        verdict_on(blocks, WRIST)
        taken.append(time.perf_counter() - start)
    # The least disturbed of a few: whatever else the machine does only adds.
    assert min(taken) < LIMIT_S, f"{min(taken) * 1e3:.0f} ms"

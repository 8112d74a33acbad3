"""Sentences about a way on a recorded swing."""

from dataclasses import replace

import pytest

from ferrule.coaching.counterfactual import Outcome
from ferrule.coaching.wording_ways import on_recorded_swing, spare_words
from ferrule.units import DEG

BEFORE = Outcome(6.0 * DEG, 0.0, 0.5, 0.05, 9.0 * DEG, 0.6, 28.0, 0.0013, 0.0008, 0.03, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("face", "level", "said"),
    [
        (1.0, 9.5, "The face would have arrived 1° open instead of 6° open."),
        (0.2, 2.5, "The face would have arrived square instead of 6° open. Coming down: 2° open instead of 9° open, against the spine."),
        (-2.0, -4.0, "The face would have arrived 2° closed instead of 6° open. Coming down: 4° closed instead of 9° open, against the spine."),
        (6.1, 0.5, "The face would have arrived still 6° open. Coming down: square instead of 9° open, against the spine."),
    ],
)  # fmt: skip
def test_what_a_way_would_have_done(face, level, said):
    assert on_recorded_swing(BEFORE, replace(BEFORE, face=face * DEG, shaft_open=level * DEG)) == said


@pytest.mark.parametrize(
    ("now_ms", "before_ms", "said"),
    [
        (1.34, 1.3, "To spare in the release: 1.3 ms either way, as before."),
        (1.8, 1.2, "To spare in the release: 1.8 ms either way instead of 1.2."),
        (1.8, 300.0, "To spare in the release: plenty, the face hardly turns at the ball."),
    ],
)
def test_what_is_to_spare(now_ms, before_ms, said):
    assert spare_words(now_ms, before_ms) == said

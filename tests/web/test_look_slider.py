"""A look is answered where it stands: every look with taps has its slider, within which its answers lie."""

import numpy as np
import pytest

from ferrule.analysis.explain import explain_case
from ferrule.coaching.looks import LOOKS
from ferrule.simulator.golfers import simulate_golfers
from ferrule.web.lesson.evidence import SPANS, expected, look_words

TAPPED = [look for look in LOOKS if look.answers]
EXPLAINED = explain_case(simulate_golfers(1, seed=3, kinds=["ball"])[0].case)


def test_looks_with_taps_have_a_slider_and_no_others():
    assert {look.name for look in TAPPED} == SPANS.keys()


@pytest.mark.parametrize("look", TAPPED, ids=lambda look: look.name)
def test_slider_begins_at_what_is_expected_and_holds_every_answer(look):
    low, high = SPANS[look.name]
    assert all(low <= value <= high for _, value in look.answers)
    assert low <= expected(EXPLAINED, look) <= high
    words = [look_words(look, float(value), False) for value in np.arange(low, high + 1)]
    assert all(words) and len(set(words)) > 5

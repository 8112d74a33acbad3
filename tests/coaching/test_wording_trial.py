"""Words about counted balls."""

import pytest

from ferrule.coaching.wording_trial import chance_for, cold_sentence, trial_sentence


@pytest.mark.parametrize(
    ("a_better", "ending"),
    [
        (0.97, "two knuckles is better here, almost certainly."),
        (0.84, "two knuckles is likely better, about 8 in 10: enough to go on with, not yet proof."),
        (0.55, "let the golfer's word decide, or hit six more."),
        (0.12, "bow it is likely better, about 9 in 10: enough to go on with, not yet proof."),
    ],
)
def test_a_verdict_names_the_better_way_and_its_doubt(a_better: float, ending: str) -> None:
    said = trial_sentence(("two knuckles", 4, 6), ("bow it", 2, 6), a_better)
    assert said.startswith("two knuckles: 4 of 6 on line. bow it: 2 of 6. ")
    assert said.endswith(ending)


def test_how_sure_in_tenths_and_never_quite() -> None:
    assert chance_for("way A", 0.72) == "about 7 in 10 for way A"
    assert chance_for("way B", 0.96) == "way B, almost certainly"


def test_a_cold_test_is_counted_in_words() -> None:
    said = cold_sentence(10, ("right", 7), ("straight", 6))
    assert said == "Seven of ten started right, six did not bend."

"""What fingers type."""

import pytest
from pydantic import ValidationError

from ferrule.web import typed
from ferrule.web.typed import day_from, list_from, number_from, words_from


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("14", 14),
        ("14,5", 14.5),
        (" 14.5° ", 14.5),
        ("-3", -3),
        ("−3", -3),
        (".5", 0.5),
        ("120 yd", 120),
        ("90 mph", 90),
        (7, 7),
        ("", None),
        ("  ", None),
        (None, None),
        ("+4", 4),
    ],
)
def test_numbers(text: object, number: float | None) -> None:
    assert number_from(text) == number


@pytest.mark.parametrize("text", ["abc", "1.2.3", "1e9", "nan", "inf", float("nan"), "14 15", "0x10", True, "١٤ ١"])
def test_what_is_no_number_is_said_in_words(text: object) -> None:
    with pytest.raises(ValueError, match="expected a number such as 14"):
        number_from(text)


def test_days_and_lists() -> None:
    assert str(day_from("2026-05-14")) == "2026-05-14"
    assert day_from(" ") is None
    with pytest.raises(ValueError, match="expected a day such as"):
        day_from("14/5/26")
    assert list_from("wrist, back;  elbow,") == ["wrist", "back", "elbow"]
    assert list_from(["a", " "]) == ["a"]
    assert words_from("  ") is None


def test_unknown_keys_are_refused_by_name() -> None:
    with pytest.raises(ValidationError, match="handednes"):
        typed.NewGolfer.model_validate({"name": "A", "handednes": "right"})


def test_only_what_was_sent_counts() -> None:
    assert typed.GolferChange.model_validate({"goal": "x"}).given() == {"goal": "x"}

"""Words, not signs."""

from datetime import UTC, date, datetime

import pytest

from ferrule.coaching.quantities import QUANTITIES
from ferrule.web import words
from ferrule.web.words import (
    Units,
    brief_words,
    counted,
    face_words,
    listed,
    ordinal,
    side_words,
    value_words,
)


@pytest.mark.parametrize(
    ("key", "value", "left", "said"),
    [
        ("wrist.shaft_level_down.flexion_deg", -14, False, "14° cupped"),
        ("wrist.shaft_level_down.flexion_deg", -14, True, "14° cupped"),
        ("wrist.top.flexion_deg", 5, False, "5° bowed"),
        ("wrist.top.flexion_deg", 0.2, False, "flat"),
        ("wrist.impact.ulnar_deviation_deg", 16, False, "16° unset"),
        ("delivery.face_deg", 4, False, "4° open"),
        ("delivery.face_deg", 4, True, "4° closed"),
        ("delivery.face_deg", -3, True, "3° open"),
        ("delivery.path_deg", -1.4, True, "1° left"),
        ("ball.start_deg", 0.1, False, "straight"),
        ("delivery.attack_deg", -3, False, "3° down"),
        ("shaft_lean_impact_deg", 4, False, "4° hands ahead"),
        ("ball_position_m", 0.043, False, "4 cm forward"),
        ("grip_turn_deg", -8, False, "8° weak"),
        ("body.chest_open_impact_deg", 25, False, "25° open"),
    ],
)
def test_a_reading_in_words(key: str, value: float, left: bool, said: str) -> None:
    assert value_words(key, value, left) == said


def test_no_reading_ever_shows_a_sign() -> None:
    for key, quantity in QUANTITIES.items():
        for value in (quantity.low, quantity.high, -0.4, 0.0, 7.5):
            for left in (False, True):
                said = f"{brief_words(key, value, left)} {words.subject_words(key)}"
                assert not any(sign in said for sign in ("-", "+", "−", "_")), said


def test_lengths_and_speeds_in_the_coach_s_unit() -> None:
    assert value_words("ball.carry_m", 119) == "130 yd"
    assert value_words("ball.carry_m", 119, units=Units("metres")) == "119 m"
    assert value_words("ball.side_m", -13.3) == "15 yd left"
    assert value_words("delivery.club_speed_mps", 40) == "89 mph"
    assert value_words("delivery.club_speed_mps", 40, units=Units(speed="kmh")) == "144 km/h"
    assert value_words("delivery.club_speed_mps", 40, units=Units(speed="mps")) == "40 m/s"


def test_faces_and_sides() -> None:
    assert [face_words(v, left_handed=False) for v in (4.2, -2.6, 0.3)] == ["4° open", "3° closed", "square"]
    # As in every sentence of a case: halves below two, square below three quarters.
    assert [face_words(v, left_handed=False) for v in (0.6, -1.4)] == ["square", "1.5° closed"]
    assert [face_words(v, left_handed=True) for v in (4.2, -2.6)] == ["4° closed", "3° open"]
    assert [side_words(v) for v in (3.4, -3.4, 0.1)] == ["3° right", "3° left", "straight"]


def test_counting_listing_ordering() -> None:
    assert [counted(n, "ball") for n in (0, 1, 3, 14)] == ["no balls", "one ball", "three balls", "14 balls"]
    assert [listed(x) for x in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == ["", "a", "a and b", "a, b and c"]
    assert [ordinal(n) for n in (1, 3, 11, 12, 21, 22, 103)] == [
        "first",
        "third",
        "11th",
        "12th",
        "21st",
        "22nd",
        "103rd",
    ]


def test_days() -> None:
    today = date(2026, 5, 14)
    assert words.day_words(today, today) == "today"
    assert words.day_words(date(2026, 5, 13), today) == "yesterday"
    assert words.day_words(date(2026, 3, 12), today) == "12 March"
    assert words.day_words(date(2025, 3, 12), today) == "12 March 2025"
    assert words.day_words(datetime.now(UTC)) == "today"

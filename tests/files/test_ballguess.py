"""Guessed columns of ball data: shown with their doubts, never used unsaid."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.errors import InputError
from ferrule.files.balldata import read_ball_data
from ferrule.files.ballguess import guess_ball_mapping
from ferrule.files.ballmapping import read_ball_mapping


def test_columns_and_units_come_from_the_header():
    text = (
        "Club;Start (deg);Carry [yd];Side (yd);Club head speed (mph);Ball speed;Total\n7-iron;2,0;130;12;80;104;140\n"
    )
    guess = guess_ball_mapping(text)
    found = {key: (c.source, c.unit) for key, c in guess.mapping.columns.items()}
    assert found == {
        "club": ("Club", ""),
        "start_deg": ("Start (deg)", "deg"),
        "carry_m": ("Carry [yd]", "yd"),
        "side_m": ("Side (yd)", "yd"),
        "club_speed_mps": ("Club head speed (mph)", "mph"),
        "ball_speed_mps": ("Ball speed", "mph"),
    }
    assert guess.mapping.decimal == ","
    assert guess.left_out == ("Total",)
    assert {d.code for d in guess.doubts} == {"unit_guessed", "sign_assumed"}


def test_a_unit_beside_the_number_counts():
    guess = guess_ball_mapping("Carry,Offline\n141 yd,3 R\n130 yd,12 L\n")
    assert guess.mapping.columns["carry_m"].unit == "yd"


def test_nothing_said_of_the_unit_is_told():
    guess = guess_ball_mapping("Carry,Offline\n141,3\n")
    assert [d.code for d in guess.doubts] == ["unit_guessed", "unit_guessed", "sign_assumed"]


def test_our_own_keys_need_no_guess():
    guess = guess_ball_mapping("start_deg,carry_m,club_speed_mps\n2,120,36\n")
    assert [d.code for d in guess.doubts] == ["sign_assumed"]


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n", "name;age\nX;3\n"])
def test_another_table_is_refused(text):
    with pytest.raises(InputError, match="ball's flight"):
        guess_ball_mapping(text)


@settings(max_examples=60, derandomize=True, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_read_or_refused_in_words(text):
    try:
        guess = guess_ball_mapping("Carry,Side\n" + text)
        read_ball_data("Carry,Side\n" + text, guess.mapping)
    except InputError as error:
        assert str(error)


def test_the_guess_can_be_saved_and_read_again():
    guess = guess_ball_mapping("Carry (m),Side (m)\n141,3\n")
    assert read_ball_mapping(guess.mapping.to_json()).columns == guess.mapping.columns

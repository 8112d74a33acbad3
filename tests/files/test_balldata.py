"""Ball data through a saved mapping: units, signs, hands; guesses are flagged, nonsense is explained."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.ball.observed import infer_deliveries
from ferrule.club.clubs import BAG
from ferrule.errors import InputError
from ferrule.files.balldata import BallData, read_ball_data
from ferrule.files.ballmapping import BallMapping, read_ball_mapping
from ferrule.units import DEG, YARD

MAPPING: dict[str, Any] = {
    "schema": 1,
    "name": "bay 3",
    "handedness": "right",
    "columns": {
        "start_deg": {"from": "Direction", "unit": "deg"},
        "carry_m": {"from": "Carry", "unit": "yd"},
        "side_m": {"from": "Offline", "unit": "yd"},
        "ball_speed_mps": {"from": "Speed", "unit": "mph"},
        "club": {"from": "Club"},
    },
}
TABLE = """Club,Direction,Carry,Offline,Speed
7-iron,2.0,130,12,104
7-iron,-1.5,128,-8,103
7-iron,0.5,141 yd,3 R,106
"""


def mapping(**change: Any) -> BallMapping:
    return read_ball_mapping({**MAPPING, **change})


def columns(**change: Any) -> BallMapping:
    return mapping(columns={**MAPPING["columns"], **change})


def codes(data: BallData) -> list[str]:
    return [i.code for i in data.issues]


def test_rows_become_shots_in_si() -> None:
    data = read_ball_data(TABLE, mapping())
    assert len(data.shots) == 3
    assert data.issues == ()
    first, second, third = data.shots
    assert first.values["carry_m"] == pytest.approx(130 * YARD)
    assert first.values["start_deg"] == pytest.approx(2 * DEG)
    assert second.values["side_m"] == pytest.approx(-8 * YARD)
    assert third.values["carry_m"] == pytest.approx(141 * YARD)
    assert third.values["side_m"] == pytest.approx(3 * YARD)
    assert first.words["club"] == "7-iron"
    seen = first.observed()
    assert seen.curve is None
    answers = infer_deliveries([s.observed() for s in data.shots], BAG["7-iron"])
    assert answers[0].face.value > 0 > answers[1].face.value


def test_semicolons_and_decimal_commas() -> None:
    text = "Club;Direction;Carry;Offline;Speed\r\n7-iron;2,5;1.130,5;-1,5;104\r\n7-iron;2,5;130,5;-1,5;104\r\n"
    data = read_ball_data(text.encode("utf-8-sig"), mapping(decimal=","))
    assert data.shots[1].values["carry_m"] == pytest.approx(130.5 * YARD)
    assert codes(data) == ["cell_left_out"]  # 1130 yards cannot be
    assert "row 2" in data.issues[0].where


def test_signs_and_marks() -> None:
    flipped = columns(side_m={"from": "Offline", "unit": "yd", "sign": -1})
    text = "Club,Direction,Carry,Offline,Speed\n7i,1,130,10,100\n7i,1,130,10 L,100\n7i,-1,130,R 4,100\n"
    sides = [s.values["side_m"] / YARD for s in read_ball_data(text, flipped).shots]
    assert sides == pytest.approx([-10, -10, 4])


def test_mixed_units_are_converted_and_told() -> None:
    text = "Club,Direction,Carry,Offline,Speed\n7i,1,130,-2,100\n7i,1,120 m,3,100\n"
    data = read_ball_data(text, mapping())
    assert [s.values["carry_m"] for s in data.shots] == pytest.approx([130 * YARD, 120.0])
    assert codes(data) == ["mixed_units"]
    assert "1 in m, 1 in yd" in data.issues[0].message


def test_lengths_in_two_units_by_column_are_noted() -> None:
    data = read_ball_data(TABLE, columns(side_m={"from": "Offline", "unit": "ft"}))
    assert "mixed_units" in codes(data)


def test_a_header_that_contradicts_the_mapping_is_refused() -> None:
    wrong = columns(carry_m={"from": "Carry (m)", "unit": "yd"})
    with pytest.raises(InputError, match=r"carry_m: expected the unit of the header 'Carry \(m\)', got yd"):
        read_ball_data(TABLE.replace("Carry", "Carry (m)"), wrong)


def test_a_missing_side_sign_is_flagged_and_left_out() -> None:
    rows = "".join(f"7-iron,{1 + i / 3:.1f},13{i},{2 + i},100\n" for i in range(6))
    data = read_ball_data("Club,Direction,Carry,Offline,Speed\n" + rows, mapping())
    assert codes(data) == ["side_sign_missing", "side_sign_missing"]
    assert "never one to the other side" in data.issues[0].message
    assert all("side_m" not in s.values and "carry_m" in s.values for s in data.shots)
    marked = "".join(f"7-iron,{1 + i / 3:.1f} R,13{i},{2 + i} R,100\n" for i in range(6))
    assert codes(read_ball_data("Club,Direction,Carry,Offline,Speed\n" + marked, mapping())) == []


def test_a_left_handed_golfer_without_a_flag() -> None:
    unflagged = {k: v for k, v in MAPPING.items() if k != "handedness"}
    nobody = read_ball_data(TABLE, read_ball_mapping(unflagged))
    assert codes(nobody) == ["handedness_assumed"]
    lefty = read_ball_data(TABLE, read_ball_mapping(unflagged), handedness="left")
    assert codes(lefty) == ["left_handed_signs_assumed"]
    assert lefty.shots[0].handed == -1
    assert lefty.shots[0].values["side_m"] > 0


def test_a_file_that_mirrors_left_handers_is_turned_back() -> None:
    data = read_ball_data(TABLE, mapping(signs="golfer", handedness="left"))
    assert codes(data) == []
    assert data.shots[0].values["side_m"] == pytest.approx(-12 * YARD)
    assert data.shots[0].values["carry_m"] == pytest.approx(130 * YARD)


def test_hand_by_row() -> None:
    text = TABLE.replace("Speed\n", "Speed,Hand\n").replace("104\n", "104,L\n").replace("103\n", "103,R\n")
    data = read_ball_data(text, mapping(columns={**MAPPING["columns"], "handedness": "Hand"}, signs="world"))
    assert [s.handed for s in data.shots] == [-1, 1, 1]


def test_shapes_and_strikes_are_understood() -> None:
    text = "Flight,Contact\npush-fade,toe\nbanana,toe\npull,shank\n"
    data = read_ball_data(
        text, read_ball_mapping({"handedness": "right", "columns": {"shape": "Flight", "strike": "Contact"}})
    )
    assert data.shots[0].observed().shape is not None
    assert data.shots[0].observed().strike.toe.value > 0
    assert codes(data) == ["cell_left_out", "cell_left_out"]


def test_words_in_number_cells_are_named() -> None:
    data = read_ball_data(TABLE + "7-iron,mishit,,1 2,\n", mapping())
    assert codes(data) == ["cell_left_out", "cell_left_out"]
    assert "Row 5: start_deg is 'mishit'" in data.issues[0].message


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "a header line and at least one row"),
        ("Club,Direction\n7i,1\n", "Offline, Carry, Speed: expected this column"),
        ("PK\x03\x04\x00\x00", "Export it as CSV"),
        ("Club,Direction,Carry,Offline,Speed\n,,,,\n,x,y,z,\n", "none of them readable"),
        ("x" * 20_000_001, "20 MB"),
    ],
)
def test_messages(text: str, says: str) -> None:
    with pytest.raises(InputError, match=says.replace("(", r"\(")):
        read_ball_data(text, mapping())


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ({"columns": {}}, "at least one of start_deg"),
        ({"columns": {"carry_m": {"from": "Carry"}}}, "the unit must be stated"),
        ({"columns": {"carry_m": {"from": "Carry", "unit": "mph"}}}, "one of m, yd, ft"),
        ({"columns": {"carry": {"from": "Carry", "unit": "m"}}}, "Did you mean 'carry_m'"),
        ({"columns": {"side_m": {"from": "S", "unit": "m", "sign": 2}}}, "1 or -1"),
        ({"columns": {"side_m": {"unit": "m"}}}, "the name of a column"),
        ({"columns": {"club": "Club"}, "delimiter": ";;"}, "one character"),
        ({"columns": {"club": "Club"}, "decimal": "'"}, "or"),
        ([1], "an object"),
        ("{", "JSON"),
    ],
)
def test_mapping_messages(source: Any, says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_ball_mapping(
            source if isinstance(source, dict) else source if isinstance(source, str) else json.dumps(source)
        )


def test_a_mapping_survives_saving() -> None:
    whole = mapping(signs="golfer", delimiter=";", decimal=",")
    assert read_ball_mapping(whole.to_json()) == whole
    flipped = columns(side_m={"from": "Offline", "unit": "yd", "sign": -1})
    assert read_ball_mapping(flipped.to_json()) == flipped


@given(st.text(max_size=120) | st.binary(max_size=120))
@settings(max_examples=150, deadline=None, derandomize=True)
def test_fuzz_files(source: str | bytes) -> None:
    with pytest.raises(InputError):
        read_ball_data(source, mapping())


CELLS = st.text(st.sampled_from("0123456789.,-+ RLrlydmft°eE\u2212"), max_size=8)


@given(st.lists(st.lists(CELLS.map(lambda c: c.replace(",", " ")), min_size=5, max_size=5), min_size=1, max_size=8))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_fuzz_cells(rows: list[list[str]]) -> None:
    text = "Club,Direction,Carry,Offline,Speed\n" + "".join(",".join(r) + "\n" for r in rows)
    try:
        data = read_ball_data(text, mapping())
    except InputError as error:
        assert str(error)
        return
    for shot in data.shots:
        shot.observed()
        assert 0.0 <= shot.values.get("carry_m", 0.0) <= 420.0

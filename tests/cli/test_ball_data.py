"""`balls` as a user runs it."""

import json

import pytest
from typer.testing import CliRunner

from ferrule.cli import app

runner = CliRunner()
TABLE = (
    "Club,Start (deg),Carry (yd),Side (yd)\n7-iron,2,130,12\n7-iron,-1.5,128,-8\nshovel,3,131,12\ndriver,2.5,230,25\n"
)


def written(tmp_path, text, name="balls.csv"):
    path = tmp_path / name
    path.write_text(text)
    return str(path)


def test_face_and_path_behind_each_ball_by_club(tmp_path):
    result = runner.invoke(app, ["balls", written(tmp_path, TABLE), "--handedness", "right", "--json"])
    assert result.exit_code == 0, result.output
    answer = json.loads(result.stdout)
    groups = {g["club"]: g for g in answer["clubs"]}
    assert [b["row"] for b in groups["7-iron"]["balls"]] == [2, 3, 4]
    first = groups["7-iron"]["balls"][0]
    assert first["face_deg"]["value"] == pytest.approx(3.0, abs=1.0)
    assert first["read"]["carry_m"] == pytest.approx(118.872)
    assert "unknown_club" in [i["code"] for i in answer["issues"]]
    assert "handedness_assumed" not in [i["code"] for i in answer["issues"]]


def test_a_left_handers_open_face_points_left(tmp_path):
    path = written(tmp_path, "start_deg,curve_deg\n" + "-4,-3\n" * 5)
    right, left = (
        json.loads(runner.invoke(app, ["balls", path, "--handedness", hand, "--json"]).stdout)["clubs"][0]
        for hand in ("right", "left")
    )
    assert right["pattern"]["face_deg"]["value"] == pytest.approx(left["pattern"]["face_deg"]["value"], abs=0.01)
    assert " closed " in right["sentence"]
    assert " open " in left["sentence"]


def test_wind_is_taken_out(tmp_path):
    path = written(tmp_path, "start_deg,curve_deg\n0,6\n")
    still, windy = (
        json.loads(runner.invoke(app, ["balls", path, *more, "--json"]).stdout)["clubs"][0]["pattern"]
        for more in ([], ["--wind", "0,0,6"])
    )
    assert windy["face_less_path_deg"]["value"] < still["face_less_path_deg"]["value"] - 0.5


def test_a_measured_launch_says_the_curve(tmp_path):
    text = "start_deg,ball_speed_mps,launch_deg,spin_rpm,axis_tilt_deg\n2,48,20,6500,{}\n"
    tilted, straight = (
        json.loads(runner.invoke(app, ["balls", written(tmp_path, text.format(tilt)), "--json"]).stdout)["clubs"][0]
        for tilt in (10, 0)
    )
    more = tilted["pattern"]["face_less_path_deg"]["value"] - straight["pattern"]["face_less_path_deg"]["value"]
    assert more > 1.5


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--wind", "36"], "three numbers in m/s"),
        (["--ball", "foam"], "own or range"),
        (["--handedness", "both"], "right or left"),
        (["--club", "shovel"], "expected one of"),
    ],
)
def test_bad_options_are_told(tmp_path, arguments, said):
    result = runner.invoke(app, ["balls", written(tmp_path, "Start,Carry\n2,120\n"), *arguments])
    assert result.exit_code == 2
    assert said in result.output


def test_the_table_names_columns_and_doubts(tmp_path):
    result = runner.invoke(app, ["balls", written(tmp_path, TABLE)])
    assert "'Carry (yd)', in yd" in result.stdout
    assert "Check with one ball that went left" in result.stdout

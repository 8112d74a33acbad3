"""`explain`, `options`, `strike` and `fly` as a user runs them."""

import json

import pytest
from typer.testing import CliRunner

from ferrule.cli import app

runner = CliRunner()

CASE = {
    "schema": 1,
    "golfer": {"handedness": "right"},
    "club": {"name": "7-iron"},
    "swings": [
        {
            "wrist": {"impact": {"flexion_deg": -8}, "shaft_level_down": {"flexion_deg": -16}},
            "ball": {"start_deg": 4, "curve_deg": 3},
            "strike": "centre",
        }
    ],
}


def written(tmp_path, data, name="in.json"):
    path = tmp_path / name
    path.write_text(data if isinstance(data, str) else json.dumps(data))
    return str(path)


def answer(*words):
    result = runner.invoke(app, [*words, "--json"])
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_explain_answers_in_words_and_in_json(tmp_path):
    path = written(tmp_path, CASE)
    data = answer("explain", path)
    assert len(data["causes"]) == 8
    words = runner.invoke(app, ["explain", path])
    assert words.exit_code == 0
    assert data["headline"] in words.stdout
    assert "Next look" in words.stdout


def test_explain_reads_stdin():
    result = runner.invoke(app, ["explain", "-", "--json"], input=json.dumps(CASE))
    assert result.exit_code == 0
    assert json.loads(result.stdout)["schema"] == 1


def test_options_are_ranked_and_can_be_tilted(tmp_path):
    path = written(tmp_path, CASE)
    data = answer("options", path)
    assert {"flexed_early", "flexed_in_transition", "grip", "posture", "leave_as_is"} <= {
        o["option"] for o in data["options"]
    }
    tilted = answer("options", path, "--prefer", "smallest_change")
    assert [o["option"] for o in tilted["options"]] != [o["option"] for o in data["options"]]
    assert "To spare" in runner.invoke(app, ["options", path]).stdout
    assert runner.invoke(app, ["options", path, "--prefer", "loudest"]).exit_code == 2


def test_d37_and_d30_from_the_shell(tmp_path):
    """science.md D37 (Naruo 2004, 4 % spin decay): 231.062 m; D30 without air is the textbook parabola, by hand."""
    launch = {"ball_speed_mps": 70, "launch_deg": 12, "azimuth_deg": 0, "spin_rpm": 2600, "axis_tilt_deg": 0}
    data = answer("fly", written(tmp_path, launch))
    assert data["carry_m"] == pytest.approx(231.062, abs=0.05)
    assert data["carry_range_m"][0] <= data["carry_m"] <= data["carry_range_m"][1]


@pytest.mark.parametrize(
    ("face", "loft", "speed", "expected"),
    [
        pytest.param(
            0,
            10,
            50,
            {"ball_speed_mps": (73.318, 1e-3), "launch_deg": (8.180, 1e-3), "spin_rpm": (2604.9, 0.5)},
            id="C06",
        ),
        pytest.param(2, 15, 50, {"azimuth_deg": (1.619, 1e-2), "axis_tilt_deg": (7.421, 1e-2)}, id="C16"),
    ],
)
def test_strike_from_the_shell(tmp_path, face, loft, speed, expected):
    delivery = {
        "face_deg": face, "path_deg": 0, "attack_deg": 0, "delivered_loft_deg": loft, "club_speed_mps": speed,
        "club": {"head_mass_kg": 0.2}, "impact": {"model": "rolling", "restitution": 0.83},
    }  # fmt: skip
    data = answer("strike", written(tmp_path, delivery))
    for key, (value, tolerance) in expected.items():
        assert data[key] == pytest.approx(value, abs=tolerance)


def test_spin_ratio_beyond_the_polynomials_is_clamped_and_named(tmp_path):
    launch = {"ball_speed_mps": 12, "launch_deg": 45, "azimuth_deg": 0, "spin_rpm": 9000, "axis_tilt_deg": 0}
    data = answer("fly", written(tmp_path, launch))
    assert any("1.13" in i["message"] for i in data["issues"])


@pytest.mark.parametrize(
    ("command", "text", "words"),
    [
        ("explain", json.dumps(CASE | {"golfr": 1}), "unknown key 'golfr'"),
        ("explain", json.dumps(CASE | {"swings": [{"wrist": {"impact": {"flexion_deg": 140}}}]}), "no wrist goes"),
        ("explain", "", "got nothing"),
        ("options", "{", "cannot be read as JSON"),
        ("fly", json.dumps({"ball_speed_mps": -3}), "ball_speed_mps"),
        ("strike", json.dumps({"face_deg": 0, "colour": "red"}), "colour"),
    ],
)
def test_bad_input_ends_with_code_2_and_one_message(tmp_path, command, text, words):
    path = written(tmp_path, text)
    result = runner.invoke(app, [command, path])
    assert result.exit_code == 2
    assert words in result.stderr
    assert result.stdout == ""
    as_json = runner.invoke(app, [command, path, "--json"])
    assert as_json.exit_code == 2
    error = json.loads(as_json.stdout)["error"]
    assert error["code"] == "bad_input"
    assert words in error["message"]


def test_a_file_that_is_not_there_and_a_folder(tmp_path):
    assert "no file of that name" in runner.invoke(app, ["explain", str(tmp_path / "none.json")]).stderr
    assert "a folder" in runner.invoke(app, ["explain", str(tmp_path)]).stderr


def test_help_names_every_command_and_version_is_told():
    words = runner.invoke(app, ["--help"]).stdout
    for command in (
        "analyse",
        "explain",
        "options",
        "strike",
        "fly",
        "simulate",
        "demo",
        "open",
        "backup",
        "restore",
        "check",
    ):
        assert command in words
        assert runner.invoke(app, [command, "--help"]).exit_code == 0
    assert runner.invoke(app, ["--version"]).stdout.startswith("ferrule ")


def test_options_say_what_each_would_have_done_in_a_recording(tmp_path):
    path, recording = written(tmp_path, CASE), str(tmp_path / "swings.csv")
    assert runner.invoke(app, ["simulate", recording, "--swings", "2"]).exit_code == 0
    plain, told = answer("options", path), answer("options", path, "--recording", recording, "--swing", "2")
    for before, option in zip(plain["options"], told["options"], strict=True):
        on = option.pop("recorded", None)
        assert option == before
        if option["option"] in ("leave_as_is", "keep_shape"):
            assert on is None
        elif option["option"] in ("grip", "flexed_early", "flexed_in_transition"):
            assert on["swing"] == 2
            assert on.keys() - {"swing", "sentence"} <= option.keys()
    grip = next(o for o in answer("options", path, "--recording", recording)["options"] if o["option"] == "grip")
    said = [i["message"] for i in answer("analyse", recording)["issues"]]
    assert said
    assert [i["message"] for i in told["issues"]] == [i["message"] for i in plain["issues"]] + said
    words = runner.invoke(app, ["options", path, "--recording", recording]).stdout
    assert f"In swing 1 of the recording: {grip['recorded']['sentence']}" in words


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--recording", "none.csv"], "no file of that name"),
        (["--recording", "in.json"], "expected a header line"),
        (["--recording", "swings.csv", "--swing", "7"], "--swing: expected 1 to 1, got 7"),
        (["--recording", "begun.csv"], "begun.csv: expected a swing, got none"),
        (["--recording", "swings.csv", "--calibration", "in.json"], "expected a header line"),
        (["--calibration", "swings.csv"], "--calibration: expected a --recording with it, got none"),
        (["--swing", "2"], "--swing: expected a --recording with it, got none"),
    ],
)
def test_a_recording_that_cannot_be_used_for_options_is_refused_in_words(tmp_path, monkeypatch, more, words):
    path = written(tmp_path, CASE)
    monkeypatch.chdir(tmp_path)
    assert runner.invoke(app, ["simulate", "swings.csv", "--swings", "1"]).exit_code == 0
    lines = (tmp_path / "swings.csv").read_text().splitlines(keepends=True)
    (tmp_path / "begun.csv").write_text("".join(lines[:400]))
    result = runner.invoke(app, ["options", path, *more])
    assert result.exit_code == 2
    assert words in result.stderr

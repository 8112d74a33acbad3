"""`simulate` and `analyse` as a user runs them, and every kind of bad recording with its message."""

import csv
import json
from dataclasses import replace

import numpy as np
import pytest
from typer.testing import CliRunner

from ferrule.app.golfers import add_golfer
from ferrule.app.lessons import start_lesson
from ferrule.app.mappings import confirm_layout
from ferrule.app.recordings import import_recording
from ferrule.app.workspace import Workspace
from ferrule.cli import app
from ferrule.files.native import write_recording_csv
from ferrule.simulator import CalibrationPlan, Faults, SwingPlan, simulate_lesson
from ferrule.units import DEG

runner = CliRunner()


@pytest.fixture(scope="module")
def lesson():
    return simulate_lesson(
        seed=3, pattern="cupped_and_flipped", swings=[SwingPlan()], calibration=CalibrationPlan.none()
    )


@pytest.fixture
def analysed(tmp_path):
    def run(recording, *words):
        path = tmp_path / "recording.csv"
        write_recording_csv(recording, path)
        return runner.invoke(app, ["analyse", str(path), "--quick", *words])

    return run


def with_signals(recording, **changes):
    """The recording with forearm or hand signals put through a function: forearm_gyr=lambda g: ..."""
    parts = {"forearm": recording.forearm, "hand": recording.hand}
    for name, change in changes.items():
        sensor, kind = name.split("_")
        parts[sensor] = replace(parts[sensor], **{kind: change(getattr(parts[sensor], kind).copy())})
    return replace(recording, **parts)


def test_simulate_then_analyse(tmp_path):
    out, truth = tmp_path / "lesson.csv", tmp_path / "truth.json"
    made = runner.invoke(app, ["simulate", str(out), "--swings", "1", "--seed", "5", "--truth", str(truth)])
    assert made.exit_code == 0, made.output
    result = runner.invoke(app, ["analyse", str(out), "--json", "--club", "7-iron"])
    assert result.exit_code == 0, result.output
    data = json.loads(result.stdout)
    assert len(data["swings"]) == 1
    swing = data["swings"][0]
    assert set(swing) >= {"kind", "events", "wrist", "face", "closing_account", "time_up_s", "time_down_s", "quality"}
    exact = json.loads(truth.read_text())["swings"][0]["events_s"]
    assert swing["events"]["impact"]["time_s"]["value"] == pytest.approx(exact["impact"], abs=0.006)
    words = runner.invoke(app, ["analyse", str(out), "--quick"])
    assert "impact" in words.stdout
    assert "against address" in words.stdout


def test_left_handed_recording_mirrors(tmp_path):
    """The mirrored recording gives the same wrist and the same degrees open, with right and left swapped."""
    answers = []
    for hand in ("right", "left"):
        out = tmp_path / f"{hand}.csv"
        runner.invoke(app, ["simulate", str(out), "--swings", "1", "--seed", "8", "--handedness", hand])
        result = runner.invoke(app, ["analyse", str(out), "--quick", "--json", "--handedness", hand])
        answers.append(json.loads(result.stdout)["swings"][0])

    def value(number):
        return number["value"] if isinstance(number, dict) else number

    right, left = answers
    for event, wrist in right["wrist"].items():
        for key, number in wrist.items():
            assert value(left["wrist"][event][key]) == pytest.approx(value(number), abs=1e-6)
    for event, face in right["face"].items():
        if face.get("face_deg") is not None:
            assert value(left["face"][event]["face_deg"]) == pytest.approx(-value(face["face_deg"]), abs=1e-6)


def refused(result, *words):
    assert result.exit_code == 2, result.output
    for word in words:
        assert word in result.stderr, result.stderr


def test_missing_column(lesson, tmp_path, analysed):
    analysed(lesson.recording)
    path = tmp_path / "recording.csv"
    with path.open() as file:
        rows = list(csv.reader(file))
    at = rows[0].index("hand_gyr_y_radps")
    path.write_text("\n".join(",".join(c for i, c in enumerate(r) if i != at) for r in rows))
    refused(runner.invoke(app, ["analyse", str(path)]), "hand_gyr_y_radps")


def test_degrees_labelled_radians(lesson, analysed):
    bad = with_signals(lesson.recording, forearm_gyr=np.degrees, hand_gyr=np.degrees)
    refused(analysed(bad), "deg/s")


def test_g_labelled_metres(lesson, analysed):
    bad = with_signals(lesson.recording, forearm_acc=lambda a: a / 9.80665, hand_acc=lambda a: a / 9.80665)
    refused(analysed(bad), "g")


def test_time_that_runs_backwards(lesson, analysed):
    time = lesson.recording.time_s.copy()
    time[1000:1200] = time[1000:1200][::-1]
    refused(analysed(replace(lesson.recording, time_s=time)), "time")


def test_one_sensor_silent(lesson, analysed):
    refused(analysed(with_signals(lesson.recording, hand_gyr=lambda g: g * 0, hand_acc=lambda a: a * 0)), "hand")


def test_no_numbers_beyond_repair(lesson, analysed):
    def spoiled(g):
        g[::2] = np.nan
        return g

    refused(analysed(with_signals(lesson.recording, hand_gyr=spoiled)), "hand")


@pytest.mark.parametrize("content", [b"", b"time_s\n"])
def test_empty_file(tmp_path, content):
    path = tmp_path / "empty.csv"
    path.write_bytes(content)
    refused(runner.invoke(app, ["analyse", str(path)]))


def test_200_megabytes_of_something_else(tmp_path):
    path = tmp_path / "film.csv"
    with path.open("wb") as file:
        file.write(bytes(range(256)) * 64)
        file.truncate(200_000_000)
    result = runner.invoke(app, ["analyse", str(path)])
    refused(result)
    assert len(result.stderr) < 2000


def test_gap_of_a_fifth_of_a_second_in_the_swing_is_named_and_the_swing_not_trusted(lesson, analysed):
    recording = lesson.recording
    impact = lesson.truth.swings[0].events["impact"]
    keep = (recording.time_s < impact - 0.25) | (recording.time_s > impact - 0.05)
    cut = replace(
        recording,
        time_s=recording.time_s[keep],
        forearm=replace(recording.forearm, acc=recording.forearm.acc[keep], gyr=recording.forearm.gyr[keep]),
        hand=replace(recording.hand, acc=recording.hand.acc[keep], gyr=recording.hand.gyr[keep]),
        phase=None if recording.phase is None else recording.phase[keep],
    )
    result = analysed(cut, "--json")
    data = json.loads(result.stdout)
    text = json.dumps(data)
    assert "gap" in text
    if result.exit_code == 0:
        assert all(s["events"].get("impact") is None or s["quality"] for s in data["swings"])


def test_no_still_address_is_said(lesson, analysed):
    shaky = np.random.default_rng(0)

    def shaken(g):
        return g + 0.8 * np.sin(np.arange(len(g)) / 7.0)[:, None] + shaky.normal(0, 0.2, g.shape)

    result = analysed(with_signals(lesson.recording, forearm_gyr=shaken, hand_gyr=shaken), "--json")
    assert "still" in result.stdout


def test_clipped_gyro_is_said(lesson, analysed):
    limit = np.radians(500)
    bad = with_signals(lesson.recording, hand_gyr=lambda g: np.clip(g, -limit, limit))
    result = analysed(bad, "--json")
    assert "clip" in result.stdout


def test_unknown_club_side_and_profile(lesson, analysed):
    refused(analysed(lesson.recording, "--club", "spoon of doom"), "driver")
    refused(analysed(lesson.recording, "--handedness", "both"), "right or left")
    refused(analysed(lesson.recording, "--profile", "nobody's"), "profile")


def test_simulate_refuses_what_it_does_not_know(tmp_path):
    assert runner.invoke(app, ["simulate", str(tmp_path / "x.doc")]).exit_code == 2
    assert runner.invoke(app, ["simulate", str(tmp_path / "x.csv"), "--pattern", "moonwalk"]).exit_code == 2


def test_perfect_sensors_have_no_noise():
    made = simulate_lesson(seed=1, faults=Faults.none(), swings=[SwingPlan()], calibration=CalibrationPlan.none())
    first = made.recording.forearm.acc[:20]
    assert np.ptp(first, axis=0).max() < 1e-6


def test_another_layout_is_guessed_confirmed_and_recognised(tmp_path):
    rows = ["Made on Monday", "t;FE;RUD;PS"]
    made = simulate_lesson(
        seed=3, rate_hz=200.0, faults=Faults.none(), swings=[SwingPlan()], calibration=CalibrationPlan.none()
    ).truth
    for t, f, u, r in zip(made.time_s, made.wrist.flexion, made.wrist.ulnar_deviation, made.forearm_roll, strict=True):
        rows.append(f"{t:.4f};{-f / DEG:.3f};{-u / DEG:.3f};{-r / DEG:.3f}".replace(".", ","))
    file = tmp_path / "x.csv"
    file.write_text("\n".join(rows))
    refused = runner.invoke(app, ["analyse", str(file)])
    assert refused.exit_code == 2
    assert "ferrule guess x.csv" in refused.stderr
    why = json.loads(runner.invoke(app, ["guess", str(file), "--json"]).stdout)["why"]
    assert "rises when the wrist cups" in why["columns.flexion.rises_when"]
    mapping = tmp_path / "mapping.json"
    mapping.write_text(runner.invoke(app, ["guess", str(file)]).stdout)
    answer = json.loads(runner.invoke(app, ["analyse", str(file), "--mapping", str(mapping), "--json"]).stdout)
    assert len(answer["swings"]) == 1
    with Workspace(tmp_path / "data") as ws:
        lesson = start_lesson(ws, add_golfer(ws, name="Ida", handedness="right").id)
        dropped = import_recording(ws, lesson.id, file.read_bytes(), file.name)
        confirm_layout(ws, dropped.id, "Mine", json.loads(mapping.read_text()))
    known = runner.invoke(app, ["analyse", str(file), "--folder", str(tmp_path / "data"), "--json"])
    assert json.loads(known.stdout)["swings"] == answer["swings"]
    assert runner.invoke(app, ["guess", str(tmp_path / "none.csv")]).exit_code == 2

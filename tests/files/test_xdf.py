"""XDF: two streams on clocks of their own and text marks become one recording; what is wrong is told in words."""

import json
import sys

import numpy as np
import pytest
from typer.testing import CliRunner
from xdf_writer import write_xdf

from ferrule.cli import app
from ferrule.errors import InputError, MissingExtraError
from ferrule.files.guessing_streams import guess_streams, streams_of
from ferrule.files.native import sensor_columns
from ferrule.files.xdf import read_xdf, read_xdf_mapping
from ferrule.simulator import Faults, SwingPlan, simulate_lesson
from ferrule.units import DEG, GRAVITY

AXES = ("ax", "ay", "az", "gx", "gy", "gz")
COLUMNS = {
    name: {"stream": stream, "channel": channel, "unit": "g" if channel[0] == "a" else "deg/s"}
    for stream, sensor in (("ForearmIMU", "forearm"), ("HandIMU-1", "hand"))
    for name, channel in zip(sensor_columns(sensor), AXES, strict=True)
}
MAPPING = {"schema": 1, "kind": "xdf", "columns": COLUMNS | {"phase": {"stream": "Labels"}}}


@pytest.fixture(scope="module")
def made():
    return simulate_lesson(seed=4, rate_hz=400.0, faults=Faults.none(), swings=[SwingPlan()]).recording


@pytest.fixture(scope="module")
def file(made, tmp_path_factory):
    t = made.time_s + 5000.0
    rows = [np.hstack([s.acc / GRAVITY, s.gyr / DEG]) for s in (made.forearm, made.hand)]
    late = t[:-1] + 0.0011  # the hand's stream ticks between the forearm's samples
    hand = np.column_stack([np.interp(late, t, c) for c in rows[1].T])
    edges = np.flatnonzero(np.concatenate(([True], made.phase[1:] != made.phase[:-1])))
    streams = [
        ("ForearmIMU", AXES, t, rows[0].tolist()),
        ("HandIMU", AXES, late, hand.tolist()),
        ("Labels", (), t[edges], [[str(made.phase[i])] for i in edges]),
    ]
    return write_xdf(tmp_path_factory.mktemp("xdf") / "lesson.xdf", streams)


def test_two_streams_become_one_recording(made, file):
    read, issues = read_xdf(file, MAPPING)
    assert "files_trimmed" in {i.code for i in issues}
    n = len(read.time_s)
    assert n == len(made.time_s) - 2
    assert read.time_s[0] == 0.0
    assert read.forearm.acc == pytest.approx(made.forearm.acc[1 : n + 1], abs=1e-6)
    calm = np.abs(np.gradient(np.linalg.norm(made.hand.gyr, axis=1)))[1 : n + 1] < 0.05
    assert np.abs(read.hand.gyr - made.hand.gyr[1 : n + 1])[calm].max() < 0.05
    assert (read.phase == made.phase[1 : n + 1]).mean() > 0.999


def test_a_stream_that_never_sent_and_numbers_out_of_this_world(made, file, tmp_path):
    t = made.time_s
    rows = np.hstack([made.forearm.acc, made.forearm.gyr])
    wild = rows.copy()
    wild[::7] = 1e300
    streams = [("ForearmIMU", AXES, t, wild.tolist()), ("HandIMU", AXES, t, rows.tolist()), ("Spare", AXES, [], [])]
    content = write_xdf(tmp_path / "spare.xdf", streams).read_bytes()
    found = guess_streams(streams_of(content, "spare.xdf"))
    assert not any(name.startswith("Spare") for name in found.header)
    spare = {n: {**c, "stream": "Spare"} if "hand" in n else c for n, c in COLUMNS.items()}
    with pytest.raises(InputError, match="at least 50 samples"):
        read_xdf(content, {"schema": 1, "kind": "xdf", "columns": spare})


def test_from_the_shell(file, tmp_path):
    mapping = tmp_path / "streams.json"
    mapping.write_text(json.dumps(MAPPING))
    runner = CliRunner()
    result = runner.invoke(app, ["analyse", str(file), "--mapping", str(mapping), "--quick", "--json"])
    assert result.exit_code == 0, result.output
    assert len(json.loads(result.stdout)["swings"]) == 1
    assert runner.invoke(app, ["analyse", str(file)]).exit_code == 2


def test_channels_by_number(made, file):
    numbered = {n: entry | {"channel": AXES.index(entry["channel"]) + 1} for n, entry in COLUMNS.items()}
    assert read_xdf(file.read_bytes(), {"columns": numbered})[0].forearm.gyr == pytest.approx(
        read_xdf(file, MAPPING)[0].forearm.gyr
    )


def test_faults_in_words(file):
    with pytest.raises(InputError, match="The file has: ForearmIMU, HandIMU, Labels"):
        read_xdf(file, {"columns": {n: e | {"stream": "Foot"} for n, e in COLUMNS.items()}})
    with pytest.raises(InputError, match="The stream has: ax, ay"):
        read_xdf(file, {"columns": {n: e | {"channel": "q"} for n, e in COLUMNS.items()}})
    with pytest.raises(InputError, match="stream of text"):
        read_xdf(file, {"columns": {n: e | {"stream": "Labels", "channel": 1} for n, e in COLUMNS.items()}})
    with pytest.raises(InputError, match="hand_gyr_z_radps"):
        read_xdf_mapping({"columns": {n: e for n, e in COLUMNS.items() if n != "hand_gyr_z_radps"}})


@pytest.mark.parametrize("share", [0.0, 0.01, 0.5, 0.9])
def test_cut_off_or_damaged_files_end_in_our_words(file, share):
    content = file.read_bytes()
    cut = content[: int(share * len(content))]
    rng = np.random.default_rng(0)
    noisy = bytearray(content[:20_000])
    for k in rng.integers(4, len(noisy), 40):
        noisy[k] = rng.integers(256)
    for broken in (cut, bytes(noisy), b"XDF:" + cut[:50]):
        try:
            read_xdf(broken, MAPPING)
        except InputError as error:
            assert error.faults


def test_missing_extra_in_words(monkeypatch, file):
    monkeypatch.setitem(sys.modules, "pyxdf", None)
    with pytest.raises(MissingExtraError, match="ferrule\\[xdf\\]"):
        read_xdf(file, MAPPING)

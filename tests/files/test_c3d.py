"""C3D files: ezc3d, our header reader and a second package read the same; damage is told; swings come out right."""

import json
import os
import shutil
import subprocess
import sys
import warnings

import marker_lab as lab
import numpy as np
import pytest
from typer.testing import CliRunner

from ferrule.cli import app
from ferrule.errors import InputError, MissingExtraError
from ferrule.files import c3d
from ferrule.files.c3d import points_by_header, read_c3d, read_header
from ferrule.files.markermapping import mapped_markers, read_marker_mapping
from ferrule.units import DEG

runner = CliRunner()
RATE = 400.0


@pytest.fixture(scope="module")
def lesson():
    return lab.lesson()


@pytest.fixture(scope="module")
def table(lesson):
    return lab.positions(lesson.truth)


@pytest.fixture(scope="module")
def file(table, tmp_path_factory):
    return lab.write(tmp_path_factory.mktemp("c3d") / "swing.c3d", table, RATE)


def analysed(path, tmp_path, mapping=None, *words):
    labels = tmp_path / "labels.json"
    labels.write_text(json.dumps(lab.MAPPING if mapping is None else mapping))
    result = runner.invoke(app, ["analyse", str(path), "--mapping", str(labels), "--json", *words])
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def damaged(content):
    """The parameter section overwritten with noise; the header as it was."""
    header = read_header(content, "x")
    start, end = (header.parameter_block - 1) * 512, (header.data_block - 1) * 512
    noise = np.random.default_rng(1).integers(0, 256, end - start, dtype=np.uint8).tobytes()
    return content[:start] + noise + content[end:]


@pytest.mark.skipif(os.name != "posix", reason="only there a process can tell that its parent has gone")
def test_nothing_is_left_behind_by_a_reader_whose_parent_was_ended(file, tmp_path):
    for parent, left in ((os.getpid(), ["file.c3d", "read.npz"]), (os.getpid() + 1, None)):
        folder = tmp_path / "apart"
        folder.mkdir(exist_ok=True)
        shutil.copy(file, folder / "file.c3d")
        words = [sys.executable, str(c3d.APART), str(folder / "file.c3d"), str(folder / "read.npz"), str(parent)]
        assert subprocess.run(words, check=False).returncode == 0
        assert (sorted(p.name for p in folder.iterdir()) if folder.exists() else None) == left


def test_a_second_reader_agrees(file):
    import c3d

    markers, issues = read_c3d(file)
    assert not issues
    with file.open("rb") as handle, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        reader = c3d.Reader(handle)
        labels = [label.strip() for label in reader.point_labels]
        points = np.stack([p for _, p, _ in reader.read_frames()])
    assert tuple(labels[: len(lab.LABELS)]) == markers.labels == lab.LABELS
    assert reader.header.frame_rate == pytest.approx(1.0 / (markers.time_s[1] - markers.time_s[0]))
    assert points[:, :, :3] == pytest.approx(markers.positions, abs=1e-3)


def test_the_header_alone_gives_the_same_points(file):
    whole, _ = read_c3d(file)
    content = file.read_bytes()
    assert points_by_header(content, read_header(content, ""), "").positions == pytest.approx(whole.positions, abs=1e-9)
    read, issues = read_c3d(damaged(content))
    assert [i.code for i in issues] == ["c3d_by_header"]
    assert read.labels is None
    assert read.positions == pytest.approx(whole.positions, abs=1e-9)


def test_analog_channels_beside_the_points_are_stepped_over(table, tmp_path):
    path = lab.write(tmp_path / "analog.c3d", table[:40], RATE, analog=3)
    markers, issues = read_c3d(path)
    content = path.read_bytes()
    header = read_header(content, "")
    assert not issues
    assert header.analog == 6
    assert points_by_header(content, header, "").positions == pytest.approx(markers.positions, abs=1e-9)


@pytest.mark.parametrize("order", ["int", "big"])
def test_whole_numbers_and_big_endian_by_the_header(file, order):
    """A file rewritten by hand: 16-bit whole numbers with a scale, or big-endian floats."""
    whole, _ = read_c3d(file)
    n, m = 50, 8
    points = np.zeros((n, m, 4))
    points[:, :, :3] = whole.positions[:n]
    points[3, 2, 3] = -1.0
    end = ">" if order == "big" else "<"
    words = np.zeros(256, dtype=f"{end}u2")
    words[1:5] = [m, 0, 1, n]
    words[8:10] = [3, 0]
    scale = -1.0 if order == "big" else 0.1
    head = bytearray(words.tobytes())
    head[0:2] = bytes([2, 0x50])
    head[12:16] = np.array([scale], dtype=f"{end}f4").tobytes()
    head[20:24] = np.array([RATE], dtype=f"{end}f4").tobytes()
    block = bytearray(512)
    block[3] = 86 if order == "big" else 84
    if order == "int":
        points[:, :, :3] = np.round(points[:, :, :3] / scale)
    data = points.astype(">f4" if order == "big" else "<i2").tobytes()
    read, issues = read_c3d(bytes(head) + bytes(block) + data)
    assert issues[0].code == "c3d_by_header"
    expected = whole.positions[:n].copy()
    expected[3, 2] = np.nan
    assert read.positions == pytest.approx(expected, abs=0.06 if order == "int" else 1e-3, nan_ok=True)


def test_swing_from_markers(lesson, file, tmp_path):
    data = analysed(file, tmp_path)
    assert set(data) >= {"schema", "swings", "issues"}
    (swing,) = data["swings"]
    truth, start = lesson.truth.swings[0], lesson.truth.time_s[0]
    assert swing["kind"] == "full_swing"
    for event, limit in (
        ("top", 0.015),
        ("lead_arm_level_down", 0.003),
        ("shaft_level_down", 0.003),
        ("impact", 0.006),
    ):
        exact = truth.at[event]
        assert swing["events"][event]["time_s"]["value"] + start == pytest.approx(exact.time_s, abs=limit)
        wrist = swing["wrist"][event]
        assert wrist["flexion_deg"]["value"] == pytest.approx(exact.flexion / DEG, abs=1.5)
        assert wrist["ulnar_deviation_deg"]["value"] == pytest.approx(exact.ulnar_deviation / DEG, abs=3.0)
        assert wrist["forearm_roll_deg"]["value"] == pytest.approx(exact.forearm_roll / DEG, abs=3.0)
    turned = (truth.at["impact"].face - truth.at["address"].face) / DEG
    face = swing["face"]["impact"]["face_deg"]
    assert abs(face["value"] - turned) < 2.0 * face["sd"]
    assert any("do not hear the ball" in q for q in swing["quality"])
    totals = {(c["from"], c["to"], c["part"]): c["closing_deg"] for c in swing["closing_account"]}
    assert abs(totals["top", "shaft_level_down", "residual"]) < 1.0


def test_three_markers_on_the_club_give_its_own_face(lesson, file, tmp_path):
    with_toe = lab.MAPPING | {"club": {"grip": "CGR", "head": "CHD", "toe": "CTO"}}
    (swing,) = analysed(file, tmp_path, with_toe)["swings"]
    assert any("club's own" in q for q in swing["quality"])
    truth, carried = lesson.truth.swings[0], analysed(file, tmp_path)["swings"][0]
    start = lesson.truth.time_s[0]
    for event in ("shaft_level_down", "impact"):
        face = swing["face"][event]["face_deg"]
        normal = np.array(
            [
                np.interp(swing["events"][event]["time_s"]["value"] + start, lesson.truth.time_s, c)
                for c in lesson.truth.face_normal.T
            ]
        )
        exact = (np.arctan2(normal[2], normal[0]) - truth.at["address"].face) / DEG
        assert face["value"] == pytest.approx(exact, abs=2.0)
        assert face["sd"] < carried["face"][event]["face_deg"]["sd"]


def test_left_handed_is_the_mirror_image(file, table, tmp_path):
    mirrored = lab.lesson("left")
    path = lab.write(tmp_path / "left.c3d", table * [1.0, 1.0, -1.0], RATE)
    assert mirrored.truth.handedness == "left"
    right, left = (
        analysed(file, tmp_path)["swings"][0],
        analysed(path, tmp_path, None, "--handedness", "left")["swings"][0],
    )
    for event, wrist in right["wrist"].items():
        for key, number in wrist.items():
            assert left["wrist"][event][key]["value"] == pytest.approx(number["value"], abs=0.05)
        if event in right["face"]:
            exact = right["face"][event]["face_deg"]["value"]
            assert left["face"][event]["face_deg"]["value"] == pytest.approx(-exact, abs=0.05)


def test_damaged_parameters_with_markers_by_number(file, tmp_path):
    path = tmp_path / "damaged.c3d"
    path.write_bytes(damaged(file.read_bytes()))
    number = {label: i for i, label in enumerate(lab.LABELS, 1)}
    mapping = {
        k: {r: number[x] for r, x in v.items()} if k in ("forearm", "hand", "club") else v
        for k, v in lab.MAPPING.items()
    }
    data = analysed(path, tmp_path, mapping)
    assert {"c3d_by_header", "unit_guessed"} <= {i["code"] for i in data["issues"]}
    whole = analysed(file, tmp_path)
    assert data["swings"][0]["wrist"] == whole["swings"][0]["wrist"]
    with pytest.raises(InputError, match="number from 1 to 8"):
        mapped_markers(read_c3d(path)[0], read_marker_mapping(lab.MAPPING))


def test_two_markers_on_the_hand_and_what_they_cannot_give(lesson, table, tmp_path):
    middle = table[:, [3, 4]].mean(axis=1, keepdims=True)
    path = lab.write(tmp_path / "two.c3d", np.concatenate([table, middle], axis=1), RATE, (*lab.LABELS, "H3"))
    data = analysed(path, tmp_path, lab.MAPPING | {"hand": {"distal": "H3"}})
    (told,) = [i for i in data["issues"] if i["code"] == "two_markers"]
    assert "cannot give" in told["message"]
    swing, truth = data["swings"][0], lesson.truth.swings[0]
    exact = truth.at["shaft_level_down"]
    assert swing["wrist"]["shaft_level_down"]["flexion_deg"]["value"] == pytest.approx(exact.flexion / DEG, abs=4.0)
    assert not swing["face"]
    both = lab.MAPPING | {"hand": {"distal": "H3"}, "forearm": {"proximal": "ELB", "distal": "WRR"}}
    labels = tmp_path / "both.json"
    labels.write_text(json.dumps(both))
    refused = runner.invoke(app, ["analyse", str(path), "--mapping", str(labels)])
    assert refused.exit_code == 2
    assert "how far the wrist is bent in all" in refused.stderr


def test_gaps_are_filled_or_named_and_nothing_is_read_in_a_hole(lesson, table, tmp_path):
    start = lesson.truth.time_s[0]
    top = round((lesson.truth.swings[0].at["top"].time_s - start) * RATE)
    level = round((lesson.truth.swings[0].at["shaft_level_down"].time_s - start) * RATE)
    holed = table.copy()
    holed[top - 40 : top + 20, 1] = np.nan
    holed[level - 5 : level + 5, 3] = np.nan
    data = analysed(lab.write(tmp_path / "holed.c3d", holed, RATE), tmp_path)
    assert {"gap_filled", "gap", "marker_away"} <= {i["code"] for i in data["issues"]}
    swing = data["swings"][0]
    assert "top" not in swing["wrist"]
    exact = lesson.truth.swings[0].at["shaft_level_down"]
    assert swing["wrist"]["shaft_level_down"]["flexion_deg"]["value"] == pytest.approx(exact.flexion / DEG, abs=2.0)


def test_a_straight_wrist_gives_the_zero(lesson, table, tmp_path):
    """Markers that sit crooked by a constant turn: the zero of a held pose takes it out. Here the pose is the address."""
    address = lesson.truth.swings[0].at["address"]
    t = address.time_s - lesson.truth.time_s[0]
    path = lab.write(tmp_path / "zero.c3d", table, RATE)
    data = analysed(path, tmp_path, lab.MAPPING | {"neutral_s": [max(t - 0.1, 0.0), t]})
    wrist = data["swings"][0]["wrist"]
    assert wrist["address"]["flexion_deg"]["value"] == pytest.approx(0.0, abs=0.5)
    assert (
        wrist["address"]["flexion_deg"]["sd"]
        < analysed(path, tmp_path)["swings"][0]["wrist"]["address"]["flexion_deg"]["sd"]
    )


def test_what_is_no_c3d_file_is_refused():
    for content in (b"", b"time_s,forearm", bytes(600), b"\x02\x50" + bytes(700)):
        with pytest.raises(InputError):
            read_c3d(content)


def test_a_section_that_breaks_the_library_down_is_read_by_the_header(file):
    """A wrong type of data in the parameter section: the library then reads beyond its memory, in a process of its own."""
    content = bytearray(file.read_bytes())
    place = content.index(b"USED") + 4 + 2
    sound, _ = read_c3d(bytes(content))
    broken = 0
    for value in (1, 4, 255, 254):
        content[place] = value
        found, issues = read_c3d(bytes(content))
        broken += any(i.code == "c3d_by_header" for i in issues)
        assert np.array_equal(found.positions, sound.positions, equal_nan=True)
    assert broken


def test_a_reader_that_dies_is_told(file, monkeypatch, tmp_path):
    dying = tmp_path / "dying.py"
    dying.write_text("import os, signal\nos.kill(os.getpid(), signal.SIGSEGV)\n")
    monkeypatch.setattr(c3d, "APART", dying)
    found, issues = read_c3d(file)
    assert found.labels is None
    assert "its reader broke down" in issues[0].message


def test_missing_extra_in_words(monkeypatch, file):
    monkeypatch.setitem(sys.modules, "ezc3d", None)
    with pytest.raises(MissingExtraError, match="ferrule\\[c3d\\]"):
        read_c3d(file)


def test_mapping_faults_are_told_together(file):
    with pytest.raises(InputError) as caught:
        read_marker_mapping(
            {"axes": {"up": "z", "target": "-z"}, "unit": "inch", "forearm": {"proximal": 0}, "elbow": 1}
        )
    words = str(caught.value)
    for part in ("elbow", "different axes", "mm, cm, m", "forearm.proximal"):
        assert part in words
    with pytest.raises(InputError, match="one marker"):
        mapped_markers(
            read_c3d(file)[0], read_marker_mapping(lab.MAPPING | {"hand": {"radial": "NOPE", "ulnar": "H5"}})
        )


def test_wrong_unit_shows_in_the_forearm(file):
    _, issues = mapped_markers(read_c3d(file)[0], read_marker_mapping(lab.MAPPING | {"unit": "m"}))
    assert [i.code for i in issues] == ["forearm_length"]

"""A file of another layout asks once, is remembered, and its swings appear; nothing is worked out from a guess."""

import sys
from pathlib import Path

import numpy as np
import pytest

from ferrule.app import jobs, lessons, mappings, recordings, swings, undo
from ferrule.app.golfers import add_golfer
from ferrule.errors import InputError, NotFoundError
from ferrule.files.native import columns_of
from ferrule.simulator import CalibrationPlan, SwingPlan, simulate_lesson
from ferrule.units import DEG, GRAVITY

sys.path.append(str(Path(__file__).parents[1] / "files"))
import marker_lab as lab
from xdf_writer import write_xdf


@pytest.fixture(scope="session")
def made():
    return simulate_lesson(seed=5, swings=[SwingPlan()], rate_hz=200.0, calibration=CalibrationPlan.none())


@pytest.fixture(scope="session")
def sensors(made):
    columns, _ = columns_of(made.recording)
    names = ["t ms"] + [f"{s} {q} {a}" for s in ("arm", "hand") for q in ("acc", "gyr") for a in "xyz"]
    data = [columns["time_s"] * 1000]
    for sensor in ("forearm", "hand"):
        data += [columns[f"{sensor}_acc_{a}_mps2"] / GRAVITY for a in "xyz"]
        data += [columns[f"{sensor}_gyr_{a}_radps"] / DEG for a in "xyz"]
    rows = [";".join(names), *(";".join(f"{v:.7g}" for v in row) for row in np.column_stack(data))]
    return "\n".join(rows).encode()


@pytest.fixture(scope="session")
def angles(made):
    t = made.truth
    data = np.column_stack([t.time_s, -t.wrist.flexion / DEG, -t.wrist.ulnar_deviation / DEG, -t.forearm_roll / DEG])
    return "\n".join(["time,FE,RUD,PS", *(",".join(f"{v:.5g}" for v in row) for row in data)]).encode()


@pytest.fixture(scope="session")
def markers(tmp_path_factory):
    lesson = lab.lesson(rate_hz=240.0)
    return lab.write(tmp_path_factory.mktemp("c3d") / "x.c3d", lab.positions(lesson.truth), 240.0).read_bytes()


@pytest.fixture(scope="session")
def streams(made, tmp_path_factory):
    r = made.recording
    rows = {n: np.hstack([s.acc / GRAVITY, s.gyr / DEG]) for n, s in (("ForearmIMU", r.forearm), ("HandIMU", r.hand))}
    named = [(n, ("ax", "ay", "az", "gx", "gy", "gz"), r.time_s + 9.0, v.tolist()) for n, v in rows.items()]
    return write_xdf(tmp_path_factory.mktemp("xdf") / "x.xdf", named).read_bytes()


@pytest.fixture
def content(request):
    return request.getfixturevalue(request.param)


@pytest.mark.parametrize(
    ("content", "name", "kind", "mount", "has_face"),
    [
        ("sensors", "x.csv", "sensors", "a", True),
        ("angles", "x.csv", "angles", "My layout", False),
        ("markers", "x.c3d", "markers", "markers", True),
        ("streams", "x.xdf", "xdf", "a", True),
    ],
    indirect=["content"],
)
def test_from_a_dropped_file_to_swings_with_readings(ws, lesson, content, name, kind, mount, has_face):
    dropped = recordings.import_recording(ws, lesson.id, content, name)
    assert (dropped.asks, dropped.job, dropped.swings) == (kind, None, 0)
    assert "Nothing is worked out from a guess" in dropped.issues[0]["message"]
    assert jobs.run_all(ws) == 0
    assert recordings.analyse_again(ws, dropped.id).job is None  # it asks still
    asked = mappings.layout(ws, dropped.id)
    assert asked.name == ""
    assert asked.why
    taken = mappings.confirm_layout(ws, dropped.id, "My layout", asked.mapping)
    assert (taken.asks, taken.mapping, taken.mount) == (None, "My layout", mount)
    assert jobs.run_all(ws) == 1
    (swing,) = [s for s in lessons.lesson(ws, lesson.id).swings if not s.set_aside]
    assert swing.reading("wrist.top.flexion_deg").how == "sensor"
    assert (swing.reading("delivery.face_deg") is not None) == has_face
    assert "time_s" in swings.traces(ws, swing.id)
    # the same layout again: recognised, not asked
    again = recordings.import_recording(ws, lessons.start_lesson(ws, lesson.golfer_id).id, content, f"second {name}")
    assert (again.asks, again.mapping, again.job.state) == (None, "My layout", "waiting")


def test_one_answer_serves_all_that_wait(ws, lesson, sensors):
    several = [recordings.import_recording(ws, lesson.id, sensors + b"\n" * i, f"{i}.csv") for i in range(3)]
    asked = mappings.layout(ws, several[1].id)
    assert asked.others == 2
    mappings.confirm_layout(ws, several[1].id, "Mine", asked.mapping)
    assert jobs.run_all(ws) == 3
    assert [r.state for r in lessons.lesson(ws, lesson.id).recordings] == ["analysed"] * 3
    (line,) = mappings.mapping_lines(ws)
    assert (line.name, line.kind, line.recordings) == ("Mine", "sensors", 3)


def test_a_mapping_the_file_does_not_bear_out_is_refused_and_nothing_is_saved(ws, lesson, sensors, markers):
    dropped = recordings.import_recording(ws, lesson.id, sensors, "x.csv")
    mapping = mappings.layout(ws, dropped.id).mapping
    columns = dict(mapping["columns"])
    columns["hand_acc_x_mps2"] = {"from": "nowhere", "unit": "g"}
    with pytest.raises(InputError, match="nowhere"):
        mappings.confirm_layout(ws, dropped.id, "Mine", {**mapping, "columns": columns})
    with pytest.raises(InputError, match="name"):
        mappings.confirm_layout(ws, dropped.id, " ", mapping)
    assert mappings.mapping_lines(ws) == []
    assert recordings.recording(ws, dropped.id).asks == "sensors"
    mappings.confirm_layout(ws, dropped.id, "Mine", mapping, key="once")
    mappings.confirm_layout(ws, dropped.id, "Mine", mapping, key="once")
    other = recordings.import_recording(ws, lesson.id, markers, "x.c3d")
    with pytest.raises(InputError, match="another layout has"):
        mappings.confirm_layout(ws, other.id, "Mine", mappings.layout(ws, other.id).mapping)


def test_a_corrected_mapping_works_everything_out_anew(ws, lesson, angles):
    dropped = recordings.import_recording(ws, lesson.id, angles, "x.csv")
    mapping = mappings.layout(ws, dropped.id).mapping
    mappings.confirm_layout(ws, dropped.id, "Mine", mapping)
    jobs.run_all(ws)

    def at_top():
        return lessons.lesson(ws, lesson.id).swings[0].reading("wrist.top.flexion_deg").value

    before = at_top()
    asked = mappings.layout(ws, dropped.id)
    assert asked.name == "Mine"
    columns = {**asked.mapping["columns"]}
    columns["flexion"] = {**columns["flexion"], "zero_deg": 4.0}
    mappings.confirm_layout(ws, dropped.id, "Mine", {**asked.mapping, "columns": columns})
    assert jobs.run_all(ws) == 1
    assert at_top() == pytest.approx(before + 4.0, abs=0.01)


def test_a_mapping_in_use_is_kept_but_no_longer_recognised(ws, lesson, angles):
    dropped = recordings.import_recording(ws, lesson.id, angles, "x.csv")
    mappings.confirm_layout(ws, dropped.id, "Mine", mappings.layout(ws, dropped.id).mapping)
    mappings.forget_mapping(ws, mappings.mapping_lines(ws)[0].id)
    assert recordings.import_recording(ws, lesson.id, angles + b"\n", "y.csv").asks == "angles"
    assert jobs.run_all(ws) == 1


def test_undo_takes_a_waiting_file_away(ws, lesson, sensors):
    dropped = recordings.import_recording(ws, lesson.id, sensors, "x.csv")
    undo.undo(ws, lesson_id=lesson.id)
    with pytest.raises(NotFoundError):
        mappings.layout(ws, dropped.id)


def test_no_recording_at_all_is_refused_as_before(ws, lesson):
    for content in (b"item,price\nmilk,2\nbread,3\n", b"words only\n" * 30, b"\x89PNG\r\n\x1a\n" + b"\0" * 400):
        with pytest.raises(InputError):
            recordings.import_recording(ws, lesson.id, content, "x.csv")
    with pytest.raises(InputError, match="C3D"):
        recordings.import_recording(ws, lesson.id, b"\0" * 600, "x.c3d")
    assert lessons.lesson(ws, lesson.id).recordings == ()


def test_our_own_layout_asks_nothing(ws, lesson, made, tmp_path):
    from ferrule.files.native import write_recording_csv

    write_recording_csv(made.recording, tmp_path / "x.csv")
    dropped = recordings.import_recording(ws, lesson.id, (tmp_path / "x.csv").read_bytes(), "x.csv")
    assert (dropped.asks, dropped.mapping) == (None, None)
    with pytest.raises(NotFoundError, match="own layout"):
        mappings.layout(ws, dropped.id)


def test_markers_of_a_left_hander_are_taken_from_the_right_arm(ws):
    golfer = add_golfer(ws, name="Tom", handedness="left")
    made = lab.lesson("left", rate_hz=240.0)
    lesson = lessons.start_lesson(ws, golfer.id)
    path = ws.folder.path / "x.c3d"
    labels = [f"R{n}" for n in lab.LABELS[:5]] + list(lab.LABELS[5:])
    content = lab.write(path, lab.positions(made.truth), 240.0, labels=labels).read_bytes()
    path.unlink()
    dropped = recordings.import_recording(ws, lesson.id, content, "x.c3d")
    assert mappings.layout(ws, dropped.id).mapping["hand"]["radial"] == "RH2"

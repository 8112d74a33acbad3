"""What a file of an unknown layout holds: guessed with reasons, never used unseen."""

import marker_lab as lab
import numpy as np
import pytest
from xdf_writer import write_xdf

from ferrule.files.angle_traces import read_angle_trace
from ferrule.files.c3d import read_c3d
from ferrule.files.guessing import guess_table
from ferrule.files.guessing_markers import guess_markers
from ferrule.files.guessing_streams import guess_streams, streams_of
from ferrule.files.layouts import from_header, layout_of
from ferrule.files.mapping import mapping_from
from ferrule.files.markermapping import mapped_markers, read_marker_mapping
from ferrule.files.native import columns_of
from ferrule.files.recording import read_recording
from ferrule.files.xdf import read_xdf
from ferrule.simulator import CalibrationPlan, Faults, SwingPlan, simulate_lesson
from ferrule.units import DEG, GRAVITY


@pytest.fixture(scope="module")
def made():
    return simulate_lesson(seed=4, rate_hz=200.0, faults=Faults.none(), swings=[SwingPlan()])


def table(
    recording, *, head="", names=("Arm", "Hand"), gyr=1.0 / DEG, acc=1.0 / GRAVITY, sep=";", decimal=",", time=1000.0
):
    columns, _ = columns_of(recording)
    titles = ["Time"] + [f"{s} {q} {a}" for s in names for q in ("Accel", "Gyro") for a in "XYZ"]
    data = [columns["time_s"] * time]
    for sensor in ("forearm", "hand"):
        data += [columns[f"{sensor}_acc_{a}_mps2"] * acc for a in "xyz"]
        data += [columns[f"{sensor}_gyr_{a}_radps"] * gyr for a in "xyz"]
    rows = [
        sep.join(titles),
        *(sep.join(f"{v:.7g}".replace(".", decimal) for v in row) for row in np.column_stack(data)),
    ]
    return (head + "\n".join(rows)).encode()


@pytest.mark.parametrize(
    ("more", "units", "signs"),
    [
        ({}, ("ms", "g", "deg/s"), 1),
        ({"names": ("IMU1", "IMU2"), "sep": ",", "decimal": ".", "gyr": 1.0, "acc": 1.0, "time": 1.0}, ("s", "m/s2", "rad/s"), 1),
        ({"gyr": -1.0 / DEG, "acc": 1000.0 / GRAVITY, "time": 1e6}, ("us", "mg", "deg/s"), -1),
    ],
)  # fmt: skip
def test_sensors_of_another_layout_are_read_as_our_own(made, more, units, signs):
    content = table(made.recording, head="Exported 2026-05-01\nby somebody\n", **more)
    layout = layout_of(content, "x.csv")
    guess = guess_table(layout)
    assert guess.kind == "sensors"
    columns = guess.mapping["columns"]
    assert columns["time_s"]["unit"] == units[0]
    for sensor in ("forearm", "hand"):
        assert columns[f"{sensor}_acc_y_mps2"]["unit"] == units[1]
        assert (columns[f"{sensor}_gyr_y_radps"]["unit"], columns[f"{sensor}_gyr_y_radps"]["sign"]) == (units[2], signs)
        assert guess.why[f"{sensor}_gyr.unit"].startswith(units[2])
    read, _ = read_recording(from_header(content), mapping=mapping_from(guess.mapping), name="x.csv")
    for sensor in ("forearm", "hand"):
        ours, theirs = getattr(made.recording, sensor), getattr(read, sensor)
        np.testing.assert_allclose(theirs.acc, ours.acc, rtol=1e-4, atol=1e-4)
        np.testing.assert_allclose(theirs.gyr, ours.gyr, rtol=1e-4, atol=1e-4)


def test_what_stands_before_the_header_does_not_make_another_layout(made):
    first = guess_table(layout_of(table(made.recording, head="Exported Monday\n"), "a.csv"))
    second = guess_table(layout_of(table(made.recording, head="Exported Tuesday\nBattery: 81 %\n"), "b.csv"))
    assert first.fingerprint == second.fingerprint
    assert first.fingerprint != guess_table(layout_of(table(made.recording, names=("A", "B")), "c.csv")).fingerprint


def test_units_in_a_second_line_belong_to_the_names(made):
    lines = table(made.recording, sep=",", decimal=".").decode().splitlines()
    lines.insert(1, ",".join(["ms", *["g"] * 3, *["dps"] * 3, *["g"] * 3, *["dps"] * 3]))
    layout = layout_of("\n".join(lines).encode(), "x.csv")
    assert layout.header[1] == "Arm Accel X.g"
    read, _ = read_recording(layout.content, mapping=mapping_from(guess_table(layout).mapping), name="x")
    np.testing.assert_allclose(read.hand.gyr, made.recording.hand.gyr, atol=1e-3)


def test_names_that_say_the_opposite_of_the_motion_are_remarked_on(made):
    guess = guess_table(layout_of(table(made.recording, names=("Hand", "Forearm")), "x.csv"))
    assert "turns faster than the hand" in guess.why["hand_gyr"]
    assert "turns faster" not in guess_table(layout_of(table(made.recording), "x.csv")).why["hand_gyr"]


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("unit", ["deg", "rad"])
def test_angles_by_name_with_unit_sign_and_zero_shown(sign, unit):
    truth = simulate_lesson(
        seed=3, pattern="cupped_and_flipped", rate_hz=200.0, faults=Faults.none(), swings=[SwingPlan()],
        calibration=CalibrationPlan.none(),
    ).truth  # fmt: skip
    factor = 1.0 / DEG if unit == "deg" else 1.0
    columns = np.column_stack(
        [
            truth.time_s,
            *(sign * factor * v for v in (truth.wrist.flexion, truth.wrist.ulnar_deviation, truth.forearm_roll)),
        ]
    )
    rows = ["t,FlexExt,RadUln dev,ProSup", *(",".join(f"{v:.6g}" for v in row) for row in columns)]
    layout = layout_of("\n".join(rows).encode(), "x.csv")
    guess = guess_table(layout)
    assert guess.kind == "angles"
    got = guess.mapping["columns"]
    assert {k: v["from"] for k, v in got.items()} == {
        "time_s": "t", "flexion": "FlexExt", "ulnar_deviation": "RadUln dev", "forearm_roll": "ProSup",
    }  # fmt: skip
    assert got["flexion"] == {
        "from": "FlexExt", "unit": unit, "rises_when": "bows" if sign > 0 else "cups", "zero_deg": 0.0,
    }  # fmt: skip
    assert got["ulnar_deviation"]["rises_when"] == ("unsets" if sign > 0 else "sets")
    assert got["forearm_roll"]["rises_when"] == ("supinates" if sign > 0 else "pronates")
    assert guess.why["columns.flexion.rises_when"].startswith("Guessed that it rises when")
    assert "straight wrist" in guess.why["columns.flexion.zero_deg"]
    trace, issues = read_angle_trace(layout.content, guess.mapping)
    assert issues == []  # everything is declared: nothing is left to guess when it is read
    np.testing.assert_allclose(trace.angles["flexion"], truth.wrist.flexion, atol=1e-4)


@pytest.mark.parametrize("handedness", ["right", "left"])
@pytest.mark.parametrize("unit", ["mm", "m"])
def test_markers_by_label_axes_by_motion(tmp_path, handedness, unit):
    lesson = lab.lesson(handedness)
    markers, _ = read_c3d(lab.write(tmp_path / "x.c3d", lab.positions(lesson.truth), 400.0, unit=unit))
    guess = guess_markers(markers, handedness)
    mapping = guess.mapping
    assert {k: mapping[k] for k in ("forearm", "hand")} == {k: lab.MAPPING[k] for k in ("forearm", "hand")}
    assert mapping["club"] == {"grip": "CGR", "head": "CHD", "toe": "CTO"}
    assert (mapping["axes"], mapping["unit"]) == ({"up": "z", "target": "x"}, unit)
    roles, _ = mapped_markers(markers, read_marker_mapping(mapping))
    assert set(roles) >= {"forearm.proximal", "hand.radial", "club.head"}


def test_the_lead_side_is_chosen_among_two(tmp_path):
    table_ = lab.positions(lab.lesson().truth)
    both = np.concatenate([table_, table_ + 0.5], axis=1)
    labels = (
        [f"L{n}" for n in lab.LABELS[:5]] + list(lab.LABELS[5:]) + [f"R{n}" for n in lab.LABELS[:5]] + ["A", "B", "C"]
    )
    markers, _ = read_c3d(lab.write(tmp_path / "x.c3d", both, 400.0, labels=labels))
    assert guess_markers(markers, "right").mapping["forearm"]["proximal"] == "LELB"
    assert guess_markers(markers, "left").mapping["hand"] == {"radial": "RH2", "ulnar": "RH5"}


def test_a_unit_the_file_does_not_name_is_guessed_by_the_forearm(tmp_path):
    markers, _ = read_c3d(lab.write(tmp_path / "x.c3d", lab.positions(lab.lesson().truth), 400.0, unit="m"))
    nameless = type(markers)(markers.time_s, markers.positions, markers.labels, None)
    guess = guess_markers(nameless)
    assert guess.mapping["unit"] == "m"
    assert "as forearms are" in guess.why["unit"]


def test_streams_by_name_of_stream_and_channel(made, tmp_path):
    r = made.recording
    rows = {n: np.hstack([s.acc / GRAVITY, s.gyr / DEG]) for n, s in (("ForearmIMU", r.forearm), ("HandIMU", r.hand))}
    streams = [(n, ("ax", "ay", "az", "gx", "gy", "gz"), r.time_s + 50.0, v.tolist()) for n, v in rows.items()]
    content = write_xdf(
        tmp_path / "x.xdf", [*streams, ("Labels", (), [50.0, 51.0], [["table_rest"], [""]])]
    ).read_bytes()
    guess = guess_streams(streams_of(content, "x.xdf"))
    assert guess.mapping["columns"]["hand_gyr_y_radps"] == {
        "stream": "HandIMU", "channel": "gy", "unit": "deg/s", "sign": 1,
    }  # fmt: skip
    assert guess.mapping["columns"]["phase"] == {"stream": "Labels"}
    read, _ = read_xdf(content, guess.mapping)
    np.testing.assert_allclose(read.forearm.acc, r.forearm.acc, atol=1e-6)

"""Reading recordings: what is right comes through unchanged, what is wrong is said in words."""

import dataclasses
import io
import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from ferrule.errors import InputError
from ferrule.files.native import columns_of, sensor_columns, write_recording_csv, write_recording_parquet
from ferrule.files.recording import read_recording
from ferrule.files.tables import look
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.simulator import CalibrationPlan, Faults, Gap, SwingPlan, simulate_lesson
from ferrule.units import DEG, GRAVITY

LESSON = simulate_lesson(seed=1, rate_hz=500.0)
RECORDING = LESSON.recording
PLAIN = simulate_lesson(seed=1, rate_hz=500.0, calibration=CalibrationPlan.none()).recording
Columns = dict[str, NDArray[np.float64]]


def table(recording: Recording = PLAIN) -> Columns:
    return dict(columns_of(recording)[0])


def as_csv(columns: Columns, *, delimiter: str = ",", number: str = "%.9g") -> bytes:
    out = io.StringIO()
    out.write(delimiter.join(columns) + "\n")
    np.savetxt(out, np.column_stack(list(columns.values())), fmt=number, delimiter=delimiter)
    return out.getvalue().encode()


def refusal(content: bytes, **more: object) -> str:
    with pytest.raises(InputError) as caught:
        read_recording(content, **more)  # type: ignore[arg-type]
    return str(caught.value)


# What is right ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("write", [write_recording_csv, write_recording_parquet])
def test_native_round_trip(write: Callable[[Recording, Path], None], tmp_path: Path) -> None:
    path = tmp_path / "lesson.dat"
    write(RECORDING, path)
    read, issues = read_recording(path)
    assert [i for i in issues if i.severity != "note"] == []
    for name in ("forearm", "hand"):
        assert np.allclose(getattr(read, name).acc, getattr(RECORDING, name).acc, rtol=1e-9, atol=1e-8)
        assert np.allclose(getattr(read, name).gyr, getattr(RECORDING, name).gyr, rtol=1e-9, atol=1e-8)
    assert np.allclose(read.time_s, RECORDING.time_s, atol=1e-9)
    assert read.phase is not None
    assert RECORDING.phase is not None
    assert (read.phase == RECORDING.phase).all()
    assert read.source == "lesson.dat"
    assert list(tmp_path.iterdir()) == [path]  # nothing half-written beside it


def test_trail_sensors_come_through() -> None:
    both = dataclasses.replace(
        PLAIN,
        trail_forearm=SensorTrace(PLAIN.forearm.acc[::-1].copy(), PLAIN.forearm.gyr[::-1].copy()),
        trail_hand=SensorTrace(PLAIN.hand.acc[::-1].copy(), PLAIN.hand.gyr[::-1].copy()),
    )
    read, _ = read_recording(as_csv(table(both), number="%.12g"))
    assert read.trail_hand is not None
    assert both.trail_hand is not None
    assert np.allclose(read.trail_hand.gyr, both.trail_hand.gyr, atol=1e-9)


MAPPED = {
    "name": "other device",
    "delimiter": ";",
    "header_lines": 2,
    "gyr_range_degps": 2000,
    "columns": {
        "time_s": {"from": "Time", "unit": "ms"},
        **{
            f"{segment}_{signal}_{axis}_{unit}": {
                "from": f"{segment.title()} {signal}.{axis.upper()}",
                "unit": "g" if signal == "acc" else "deg/s",
                "sign": -1 if axis == "y" else 1,
            }
            for segment in ("forearm", "hand")
            for signal, unit in (("acc", "mps2"), ("gyr", "radps"))
            for axis in "xyz"
        },
    },
}


def other_layout(decimal: str = ".") -> bytes:
    columns = table()
    above, names, values = ["Time"], [""], [columns["time_s"] * 1000.0]
    for segment in ("forearm", "hand"):
        for signal, factor in (("acc", 1.0 / GRAVITY), ("gyr", 1.0 / DEG)):
            for k, axis in enumerate("xyz"):
                own = sensor_columns(segment)[k + (3 if signal == "gyr" else 0)]
                above.append(f"{segment.title()} {signal}" if axis == "x" else "")
                names.append(axis.upper())
                values.append(columns[own] * factor * (-1.0 if axis == "y" else 1.0))
    out = io.StringIO()
    out.write(";".join(above) + "\n" + ";".join(names) + "\n")
    np.savetxt(out, np.column_stack(values), fmt="%.10g", delimiter=";")
    return out.getvalue().replace(".", decimal).encode() if decimal != "." else out.getvalue().encode()


@pytest.mark.parametrize("decimal", [".", ","])
def test_mapped_layout_with_units_signs_and_two_header_lines(decimal: str) -> None:
    mapping = json.loads(json.dumps(MAPPED)) | {"decimal": decimal}
    content = other_layout(decimal)
    if decimal == ",":
        content = content.replace(b",X", b".X")
        head, _, rest = content.partition(b"\n")
        content = head.replace(b",", b".") + b"\n" + rest
    read, _ = read_recording(content, mapping=mapping)
    assert np.allclose(read.hand.gyr, PLAIN.hand.gyr, atol=1e-6)
    assert np.allclose(read.forearm.acc, PLAIN.forearm.acc, atol=1e-6)
    assert read.gyr_range == pytest.approx(2000.0 * DEG)


def test_two_files_without_a_clock() -> None:
    columns = {
        f"{segment}_{signal}_{axis}_{unit}": {"from": f"{signal}_{axis}", "file": segment}
        for segment in ("forearm", "hand")
        for signal, unit in (("acc", "mps2"), ("gyr", "radps"))
        for axis in "xyz"
    }
    mapping = {"rate_hz": 500.0, "columns": columns}
    files = []
    for trace in (PLAIN.forearm, PLAIN.hand):
        names = [f"{s}_{a}" for s in ("acc", "gyr") for a in "xyz"]
        files.append(as_csv(dict(zip(names, np.hstack([trace.acc, trace.gyr]).T, strict=True))))
    read, _ = read_recording(files[0], second=files[1], mapping=mapping)
    assert np.allclose(read.hand.gyr, PLAIN.hand.gyr, atol=1e-6)
    assert read.rate_hz == pytest.approx(500.0)
    assert "a second file" in refusal(files[0], mapping=mapping)


def test_two_files_with_their_own_clocks_are_brought_together() -> None:
    columns = {"time_s": {"from": "t"}} | {
        f"{segment}_{signal}_{axis}_{unit}": {"from": f"{signal}_{axis}", "file": segment}
        for segment in ("forearm", "hand")
        for signal, unit in (("acc", "mps2"), ("gyr", "radps"))
        for axis in "xyz"
    }
    files = []
    for trace, late in ((PLAIN.forearm, 0.0), (PLAIN.hand, 0.5)):
        names = ["t", *(f"{s}_{a}" for s in ("acc", "gyr") for a in "xyz")]
        keep = PLAIN.time_s >= late
        values = np.hstack([PLAIN.time_s[:, None], trace.acc, trace.gyr])[keep]
        files.append(as_csv(dict(zip(names, values.T, strict=True)), number="%.12g"))
    read, issues = read_recording(files[0], second=files[1], mapping={"columns": columns})
    late = PLAIN.time_s >= 0.5
    assert np.allclose(read.hand.gyr, PLAIN.hand.gyr[late], atol=1e-6)
    assert np.allclose(read.forearm.gyr, PLAIN.forearm.gyr[late], atol=1e-6)
    assert "files_trimmed" in [i.code for i in issues]


def test_unknown_columns_beside_a_whole_recording_are_named_and_left_out() -> None:
    _, issues = read_recording(as_csv(table() | {"temperature": PLAIN.time_s}))
    note = next(i for i in issues if i.code == "unknown_column")
    assert note.severity == "note"
    assert "temperature" in note.message


def test_profile_gives_ranges() -> None:
    read, _ = read_recording(as_csv(table()), profile="generic_500hz")
    assert read.gyr_range == pytest.approx(2000.0 * DEG)
    assert "generic_500hz" in refusal(as_csv(table()), profile="no such thing")


# What is wrong ------------------------------------------------------------------------------------------------------


def test_missing_and_misspelt_columns_are_all_named_unknown_ones_first() -> None:
    columns = table()
    columns["hand_gyro_z_radps"] = columns.pop("hand_gyr_z_radps")
    del columns["forearm_acc_x_mps2"]
    with pytest.raises(InputError) as caught:
        read_recording(as_csv(columns))
    codes = [f.code for f in caught.value.faults]
    assert codes == ["unknown_column", "missing_column", "missing_column"]
    words = str(caught.value)
    assert 'Did you mean "hand_gyr_z_radps"?' in words
    assert "?." not in words
    assert "forearm_acc_x_mps2" in words
    assert "mapping" in words


def test_degrees_labelled_radians() -> None:
    columns = {n: v / DEG if n.endswith("radps") else v for n, v in table().items()}
    words = refusal(as_csv(columns))
    assert "forearm gyro" in words
    assert "hand gyro" in words
    assert "the values are in deg/s, labelled rad/s" in words
    assert "mapping" in words


def test_degrees_labelled_radians_in_a_slow_recording_by_gravity() -> None:
    lesson = simulate_lesson(seed=3, swings=[], calibration=CalibrationPlan(table_rest=False))
    slow = {n: v / DEG if n.endswith("radps") else v for n, v in table(lesson.recording).items()}
    # A quarter of the speed: nowhere impossible, but gravity does not turn that fast.
    slow["time_s"] = slow["time_s"] * 6.0
    slow |= {n: v / 6.0 for n, v in slow.items() if n.endswith("radps")}
    assert max(np.abs(v).max() for n, v in slow.items() if n.endswith("radps")) < 87.0
    assert "labelled rad/s" in refusal(as_csv(slow))


def test_radians_converted_twice() -> None:
    columns = {n: v * DEG if n.endswith("radps") else v for n, v in table(RECORDING).items()}
    assert "a second time" in refusal(as_csv(columns))


@pytest.mark.parametrize(("factor", "unit"), [(1.0 / GRAVITY, "g"), (1000.0 / GRAVITY, "milli-g"), (1000.0, "mm/s^2")])
def test_acceleration_in_another_unit(factor: float, unit: str) -> None:
    columns = {n: v * factor if n.endswith("mps2") else v for n, v in table().items()}
    words = refusal(as_csv(columns))
    assert f"the values are in {unit}, labelled m/s^2" in words
    assert "hand accelerometer: expected about 9.81 m/s^2 at rest, got" in words


def test_wrong_sign_of_a_gyro_is_remarked() -> None:
    columns = {n: -v if n.startswith("hand_gyr") else v for n, v in table(RECORDING).items()}
    _, issues = read_recording(as_csv(columns))
    assert [i.where for i in issues if i.code == "rate_sign"] == ["hand gyro"]


def test_time_not_monotone() -> None:
    columns = table()
    columns["time_s"] = np.concatenate([columns["time_s"][:900], columns["time_s"][: columns["time_s"].size - 900]])
    words = refusal(as_csv(columns))
    assert "times that rise from row to row" in words
    assert "row 901" in words


def test_time_in_milliseconds_labelled_seconds() -> None:
    words = refusal(as_csv(table() | {"time_s": PLAIN.time_s * 1000.0}))
    assert "milliseconds, labelled seconds" in words


@pytest.mark.parametrize("value", [0.0, 0.123])
def test_one_sensor_silent(value: float) -> None:
    columns = {n: np.full_like(v, value) if n.startswith("hand_gyr") else v for n, v in table().items()}
    words = refusal(as_csv(columns))
    assert "hand gyro: expected values that change" in words
    assert ("zero throughout" if value == 0.0 else "one and the same value") in words


def test_a_sensor_that_falls_silent_is_remarked() -> None:
    columns = table()
    for n in sensor_columns("hand"):
        columns[n] = np.where(PLAIN.time_s > 3.0, columns[n][1500], columns[n])
    _, issues = read_recording(as_csv(columns))
    remark = next(i for i in issues if i.code == "sensor_fell_silent")
    assert "from 3.00 s on" in remark.message


def test_same_sensor_twice() -> None:
    columns = table()
    for a, b in zip(sensor_columns("forearm"), sensor_columns("hand"), strict=True):
        columns[b] = columns[a]
    assert "the very same" in refusal(as_csv(columns))


def test_a_few_rows_without_numbers_are_left_out_and_said() -> None:
    columns = table()
    hole = columns["hand_gyr_x_radps"].copy()
    hole[500:503] = np.nan
    read, issues = read_recording(as_csv(columns | {"hand_gyr_x_radps": hole}))
    assert read.time_s.size == PLAIN.time_s.size - 3
    assert "3 of" in next(i.message for i in issues if i.code == "missing_numbers")
    assert "gap_filled" in [i.code for i in issues]


def test_nan_beyond_repair() -> None:
    hole = PLAIN.hand.gyr[:, 0].copy()
    hole[: hole.size // 2] = np.nan
    words = refusal(as_csv(table() | {"hand_gyr_x_radps": hole}))
    assert "hand_gyr_x_radps: expected numbers in at least 80 % of the rows" in words
    empty = np.full_like(hole, np.nan)
    assert "none in any row" in refusal(as_csv(table() | {"hand_gyr_x_radps": empty}))


def test_text_among_the_numbers_is_treated_as_missing() -> None:
    lines = as_csv(table()).decode().splitlines()
    lines[700] = lines[700].replace(",", ",n/a,", 1).rsplit(",", 1)[0]
    read, issues = read_recording("\n".join(lines).encode())
    assert read.time_s.size == PLAIN.time_s.size - 1
    assert "missing_numbers" in [i.code for i in issues]


@pytest.mark.parametrize("content", [b"", b"  \n\n", b"# only a comment\n"])
def test_empty_file(content: bytes) -> None:
    assert "empty file" in refusal(content) or "comments only" in refusal(content)


def test_header_without_rows() -> None:
    words = refusal(as_csv({n: v[:0] for n, v in table().items()}))
    assert "at least 50 rows of numbers, got 0" in words


def test_too_short_and_too_slow() -> None:
    short = {n: v[:100] for n, v in table().items()}
    assert "at least 0.5 s" in refusal(as_csv(short))
    slow = {n: v[::50] for n, v in table(RECORDING).items()}
    assert "at least 25 rows a second, got 10" in refusal(as_csv(slow))


@pytest.mark.parametrize(
    ("head", "words"),
    [
        (b"PK\x03\x04 rest of a workbook", "an Excel workbook"),
        (b"\x00\x00\x00\x18ftypmp42", "a video"),
        (b"%PDF-1.7", "a PDF"),
        (b"\x01\x02\x00\x03", "binary data"),
        (b"PAR1 and then nothing", "a whole Parquet file"),
    ],
)
def test_another_kind_of_file(head: bytes, words: str) -> None:
    assert words in refusal(head)


def test_200_megabytes_of_something_else_are_not_loaded(tmp_path: Path) -> None:
    path = tmp_path / "movie.csv"
    with path.open("wb") as file:
        file.write(b"\x00\x01\x02\x03")
        file.truncate(200_000_000)  # sparse: takes no room on the disk
    with pytest.raises(InputError) as caught:
        read_recording(path)
    assert "200 MB of binary data" in str(caught.value)
    text = tmp_path / "log.csv"
    with text.open("wb") as file:
        file.write(b"date,event\n" * 6000)
        file.truncate(200_000_000)
    with pytest.raises(InputError) as caught:
        read_recording(text)
    assert "another kind of text" in str(caught.value)


def test_far_too_large_is_refused_by_its_size() -> None:
    with pytest.raises(InputError, match="at most 600 MB, got 700 MB"):
        look(b"time_s,forearm_acc_x_mps2\n", 700_000_000, "huge.csv")


def test_no_such_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="a file that can be read"):
        read_recording(tmp_path / "nowhere.csv")


def test_a_gap_in_a_swing_is_named() -> None:
    impact = simulate_lesson(seed=1, calibration=CalibrationPlan.none()).truth.swings[0].events["impact"]
    gappy = simulate_lesson(
        seed=1,
        faults=Faults.nominal().but(gaps=(Gap(impact - 0.2, 0.2),)),
        swings=[SwingPlan()],
        calibration=CalibrationPlan.none(),
    ).recording
    _, issues = read_recording(as_csv(table(gappy)))
    gap = next(i for i in issues if i.code == "gap")
    assert "202 ms at" in gap.message
    assert "not read past it" in gap.message


def test_clipped_gyro_is_named() -> None:
    clipped = simulate_lesson(
        seed=1,
        faults=Faults.nominal().but(gyro_range=700.0 * DEG),
        swings=[SwingPlan(peak_hand_rate=1800.0 * DEG)],
        calibration=CalibrationPlan.none(),
    ).recording
    _, issues = read_recording(as_csv(table(clipped)))
    clip = [i for i in issues if i.code == "gyro_clipped"]
    assert "hand gyro" in [i.where for i in clip]
    assert "beyond its range" in clip[0].message


def test_strange_phase_labels_are_remarked() -> None:
    content = as_csv(table()).decode().splitlines()
    content = [content[0] + ",phase", *(line + ",dancing" for line in content[1:])]
    read, issues = read_recording("\n".join(content).encode())
    assert read.phase is not None
    assert set(read.phase.tolist()) == {""}
    assert "dancing" in next(i.message for i in issues if i.code == "unknown_phase")

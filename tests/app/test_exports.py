"""Readings as files: complete, true to the number, and harmless in a spreadsheet."""

import csv
import io

import pytest
from pyarrow import parquet

from ferrule.app import devices, exports, golfers, lessons, swings
from ferrule.app.swings import NewReading
from ferrule.errors import InputError, NotFoundError


@pytest.fixture
def kept(ws, golfer, lesson):
    device = devices.add_device(ws, '=HYPERLINK("x")')
    devices.answer_sign(ws, device.id, "wrist.flexion_deg", "cups", shows_at_neutral=2.0)
    swings.add_swing(
        ws, lesson.id, start="push", bend="right", strike="toe", feel="@SUM(A1)\nbow early",
        readings=[NewReading("wrist.impact.flexion_deg", 12.0, device_id=device.id), NewReading("delivery.face_deg", -4.25, 1.5, "ball")],
    )  # fmt: skip
    swings.add_swing(ws, lesson.id, start="straight", bend="left")
    swings.read_grip(ws, lesson.id, -6.0, how="by_eye")
    return lesson


def read(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def test_csv_has_a_row_for_each_reading_and_each_bare_ball(ws, golfer, kept):
    rows = read(exports.readings_file(ws, "csv", golfer_id=golfer.id))
    assert [(r["ball"], r["key"], r["how"]) for r in rows] == [
        ("1", "delivery.face_deg", "ball"), ("1", "wrist.impact.flexion_deg", "typed"), ("2", "", ""),
        ("", "grip_turn_deg", "by_eye"),
    ]  # fmt: skip
    face, wrist = rows[:2]
    assert (face["value"], face["sd"]) == ("-4.25", "1.5")
    assert (wrist["value"], wrist["device_value"]) == ("-10.0", "12.0")
    assert (rows[2]["shape"], rows[2]["set_aside"]) == ("draw", "no")


def test_nothing_in_it_is_a_formula(ws, golfer, kept):
    golfers.update_golfer(ws, golfer.id, name="+1+cmd|' /C calc'!A0")
    content = exports.readings_file(ws, "csv", golfer_id=golfer.id)
    for row in csv.reader(io.StringIO(content.decode("utf-8-sig"))):
        for cell in row:
            acts = cell[:1] in ("=", "+", "-", "@", "\t", "\r", "\n")
            assert not acts or float(cell) is not None  # only numbers may begin so
    rows = read(content)
    assert rows[0]["golfer"].startswith("'+1")
    assert rows[1]["device"] == '\'=HYPERLINK("x")'
    assert rows[0]["tried"].startswith("'@SUM")


def test_parquet_holds_the_same_untouched(ws, golfer, kept):
    table = parquet.read_table(io.BytesIO(exports.readings_file(ws, "parquet", golfer_id=golfer.id)))
    rows = table.to_pylist()
    assert tuple(table.column_names) == exports.COLUMNS
    assert [r["value"] for r in rows] == [-4.25, -10.0, None, -6.0]
    assert rows[1]["device"] == '=HYPERLINK("x")'  # no spreadsheet reads it: nothing needs guarding
    assert rows[0]["lesson_started_at"] == kept.started_at


def test_one_lesson_alone(ws, golfer, kept):
    other = lessons.start_lesson(ws, golfer.id)
    swings.add_swing(ws, other.id, start="pull", bend="left")
    assert len(read(exports.readings_file(ws, "csv", lesson_id=other.id))) == 1
    assert len(read(exports.readings_file(ws, "csv", golfer_id=golfer.id))) == 5
    assert read(exports.readings_file(ws, "csv", lesson_id=lessons.start_lesson(ws, golfer.id).id)) == []


def test_what_is_not_there_or_unknown_is_told(ws, golfer):
    with pytest.raises(NotFoundError):
        exports.readings_file(ws, "csv", golfer_id=999)
    with pytest.raises(NotFoundError):
        exports.readings_file(ws, "csv", lesson_id=999)
    with pytest.raises(InputError, match="csv or parquet"):
        exports.readings_file(ws, "xlsx", golfer_id=golfer.id)

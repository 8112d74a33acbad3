"""Ball data dropped into a lesson: rows become balls, once; taken back as one entry."""

import pytest

from ferrule.app import ball_files
from ferrule.app.cases import case_of
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.undo import undo
from ferrule.app.views import LessonView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.files.ballmapping import read_ball_mapping

TABLE = b"""Club,Start (deg),Carry (yd),Side (yd),Toe (mm),Club speed (mph)
7-iron,2,130,12,1,80
7-iron,-1.5,128,-8,14,81
shovel,3,131,12,,
driver,2.5,230,25,-12,98
"""


def columns() -> str:
    return ball_files.guess(TABLE).mapping.to_json()


def test_each_row_is_a_ball_with_what_was_measured(ws: Workspace, lesson: LessonView) -> None:
    got = ball_files.import_ball_data(ws, lesson.id, TABLE, "balls.csv", mapping=columns())
    balls = read_lesson(ws, lesson.id).swings
    assert [b.club for b in balls] == ["7-iron", "7-iron", "7-iron", "driver"]
    assert [b.strike for b in balls] == ["centre", "toe", None, "heel"]
    first = {r.key: r for r in balls[0].readings}
    assert first["ball.carry_m"].value == pytest.approx(118.872)
    assert first["ball.start_deg"].value == pytest.approx(2.0)
    assert (first["ball.start_deg"].how, first["delivery.club_speed_mps"].how) == ("ball", "sensor")
    assert "unknown_club" in {i.code for i in got.issues}


def test_the_same_file_adds_nothing_twice_and_can_be_taken_back(ws: Workspace, lesson: LessonView) -> None:
    ball_files.import_ball_data(ws, lesson.id, TABLE, "balls.csv", mapping=columns())
    assert ball_files.import_ball_data(ws, lesson.id, TABLE, "again.csv", mapping=columns()).again
    assert len(read_lesson(ws, lesson.id).swings) == 4
    undo(ws, lesson_id=lesson.id)
    assert read_lesson(ws, lesson.id).swings == ()
    assert len(ball_files.import_ball_data(ws, lesson.id, TABLE, "balls.csv", mapping=columns()).swings) == 4


def test_the_balls_speak_in_the_case(ws: Workspace, lesson: LessonView) -> None:
    ball_files.import_ball_data(ws, lesson.id, TABLE, "balls.csv", mapping=columns(), club="7-iron")
    case = case_of(ws, lesson.golfer_id, "7-iron")
    assert sum(s.get("ball.start_deg") is not None for s in case.swings) == 3


@pytest.mark.parametrize(
    ("content", "mapping", "said"),
    [
        (b"a,b\n1,2\n", None, "column"),
        (b"", None, "header line"),
        (TABLE, "{}", "columns"),
        (b"Start (deg),Carry (yd),Side (yd)\n" + b"1,120,3\n" * 301, None, "at most 300 balls"),
    ],
)
def test_what_cannot_be_read_leaves_nothing(
    ws: Workspace, lesson: LessonView, content: bytes, mapping: str | None, said: str
) -> None:
    own = '{"schema": 1, "columns": {"start_deg": {"from": "Start (deg)", "unit": "deg"}}}'
    with pytest.raises(InputError, match=said):
        ball_files.import_ball_data(ws, lesson.id, content, "b.csv", mapping=mapping or own)
    assert read_lesson(ws, lesson.id).swings == ()


def test_what_the_coach_says_settles_what_the_table_leaves_open() -> None:
    table = b"Start,Carry,Side (m),Ball speed\n2,130,12,104\n-1,128,-8,103\n"
    mapping = read_ball_mapping(ball_files.confirmed_mapping(table, lengths="yd", speeds="km/h", plus="left"))
    columns = {key: (c.unit, c.sign) for key, c in mapping.columns.items()}
    assert columns == {
        "start_deg": ("deg", -1),
        "carry_m": ("yd", 1),
        "side_m": ("m", -1),
        "ball_speed_mps": ("km/h", 1),
    }
    with pytest.raises(InputError, match="lengths"):
        ball_files.confirmed_mapping(table, lengths="", speeds="mph", plus="right")


def test_what_was_read_stays_as_a_note(ws: Workspace, lesson: LessonView) -> None:
    ball_files.import_ball_data(ws, lesson.id, TABLE, "balls.csv", mapping=columns())
    (note,) = read_lesson(ws, lesson.id).notes
    assert note.text.startswith("4 balls from balls.csv. Read: ")
    assert "shovel" in note.text

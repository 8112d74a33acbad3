"""A device's sign and zero are asked once; its number reads the same everywhere after that."""

import pytest

from ferrule.app import devices as d
from ferrule.app.cases import case_of
from ferrule.app.golfers import add_golfer
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.lessons import start_lesson
from ferrule.app.swing_rows import NewReading
from ferrule.app.swings import add_swing, read_grip, set_reading
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace
from ferrule.coaching.quantities import GRIP_TURN, QUANTITIES
from ferrule.errors import InputError

TOP = "wrist.top.flexion_deg"


def test_14_of_a_device_that_rises_when_cupping_is_14_cupped_everywhere(
    ws: Workspace, golfer: GolferView, lesson: LessonView
) -> None:
    box = d.add_device(ws, "wrist box")
    with pytest.raises(InputError) as caught:
        add_swing(ws, lesson.id, readings=[NewReading(TOP, 14, device_id=box.id)])
    assert caught.value.faults[0].code == "sign_unknown"
    assert "rises (bows or cups)" in str(caught.value)
    assert read_lesson(ws, lesson.id).swings == ()

    asked = d.answer_sign(ws, box.id, TOP, "cups")
    assert asked.sign("wrist.flexion_deg").rises_when == "cups"  # type: ignore[union-attr]
    swing = add_swing(
        ws, lesson.id, readings=[NewReading(k, 14, device_id=box.id) for k in (TOP, "wrist.impact.flexion_deg")]
    )
    for reading in swing.readings:
        assert (reading.value, reading.device_value, reading.device) == (-14.0, 14.0, "wrist box")
    case = case_of(ws, golfer.id)
    assert case.swings[0].get(TOP).value == -14.0  # type: ignore[union-attr]
    corrected = set_reading(ws, swing.id, NewReading(TOP, -3, device_id=box.id))
    assert corrected.reading(TOP).value == 3.0  # type: ignore[union-attr]


def test_a_zero_is_taken_off(ws: Workspace, lesson: LessonView) -> None:
    box = d.add_device(ws, "dial")
    d.answer_sign(ws, box.id, TOP, "cups", shows_at_neutral=180)
    swing = add_swing(ws, lesson.id, readings=[NewReading(TOP, 194, device_id=box.id)])
    assert swing.readings[0].value == -14.0


def test_a_corrected_answer_converts_what_was_kept(ws: Workspace, golfer: GolferView, lesson: LessonView) -> None:
    box = d.add_device(ws, "box")
    other = d.add_device(ws, "other")
    for device in (box, other):
        d.answer_sign(ws, device.id, TOP, "bows")
        d.answer_sign(ws, device.id, "grip_turn_deg", "stronger")
    add_swing(ws, lesson.id, readings=[NewReading(TOP, 14, device_id=box.id)])
    add_swing(ws, lesson.id, readings=[NewReading(TOP, 14, device_id=other.id)])
    add_swing(ws, lesson.id, readings=[NewReading(TOP, 14)])
    read_grip(ws, lesson.id, 6, how="typed", device_id=box.id)
    d.answer_sign(ws, box.id, TOP, "cups")
    d.answer_sign(ws, box.id, "grip_turn_deg", "weaker", shows_at_neutral=2)
    kept = read_lesson(ws, lesson.id)
    assert [s.readings[0].value for s in kept.swings] == [-14.0, 14.0, 14.0]
    assert kept.grips[0][1].value == -4.0


@pytest.mark.parametrize(
    ("hand", "word", "value"), [("right", "opens", 4.0), ("left", "opens", -4.0), ("left", "right", 4.0)]
)
def test_open_and_closed_are_words_of_the_hand(ws: Workspace, hand: str, word: str, value: float) -> None:
    golfer = add_golfer(ws, name="A", handedness=hand)
    lesson = start_lesson(ws, golfer.id)
    box = d.add_device(ws, "box")
    d.answer_sign(ws, box.id, "delivery.face_deg", word)
    swing = add_swing(ws, lesson.id, readings=[NewReading("delivery.face_deg", 4, device_id=box.id)])
    assert swing.readings[0].value == value


@pytest.mark.parametrize("key", [*QUANTITIES, GRIP_TURN.key])
def test_every_quantity_has_its_question_and_both_answers_differ(key: str) -> None:
    question = d.question_for(key)
    assert d.question_for(question.measure) == question
    assert question.measure in d.MEASURES
    signs = [d.sign_of(question.measure, word, "right") for word in question.choices]
    assert set(signs) == ({1.0, -1.0} if len(question.choices) > 1 else {1.0})
    if question.measure in {"delivery.path_deg", "aim_deg", "ball.start_deg"}:
        assert [d.sign_of(question.measure, word, "left") for word in question.choices] == signs  # world words


def test_a_quantity_with_one_sense_needs_no_question(ws: Workspace, lesson: LessonView) -> None:
    box = d.add_device(ws, "radar")
    swing = add_swing(ws, lesson.id, readings=[NewReading("ball.carry_m", 140, device_id=box.id)])
    assert swing.readings[0].value == 140


def test_wrong_answers_are_told(ws: Workspace) -> None:
    box = d.add_device(ws, "box")
    assert d.add_device(ws, " box ").id == box.id
    with pytest.raises(InputError, match="one of bows, cups"):
        d.answer_sign(ws, box.id, TOP, "left")
    with pytest.raises(InputError, match="a quantity of the glossary"):
        d.question_for("wrist.top.wobble_deg")
    with pytest.raises(InputError, match="a name for the device"):
        d.add_device(ws, "")


def test_an_impossible_number_names_the_device_as_the_cause(ws: Workspace, lesson: LessonView) -> None:
    box = d.add_device(ws, "box")
    d.answer_sign(ws, box.id, TOP, "bows")
    with pytest.raises(InputError, match="the sign or the zero of the device") as caught:
        add_swing(ws, lesson.id, readings=[NewReading(TOP, 160, device_id=box.id)])
    assert caught.value.faults[0].where == TOP

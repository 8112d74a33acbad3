"""The case is built from what is kept; looks are answered in place; answers are worked out once for each content."""

from dataclasses import replace
from datetime import timedelta

import pytest

from ferrule.app import cases
from ferrule.app.answers import Answers, content_of
from ferrule.app.case_rows import joined
from ferrule.app.golfers import add_golfer, take_club, update_golfer
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.lessons import start_lesson
from ferrule.app.swing_rows import NewReading
from ferrule.app.swings import add_swing, read_grip, set_aside
from ferrule.app.undo import undo
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace, now
from ferrule.club.clubs import BAG
from ferrule.coaching.case import Case, Golfer, Reading, WristRange
from ferrule.coaching.looks import LOOKS
from ferrule.errors import InputError

FACE = "delivery.face_deg"


def test_an_empty_lesson_is_a_case_with_nothing_read(ws: Workspace, golfer: GolferView) -> None:
    case = cases.case_of(ws, golfer.id)
    assert (case.swings, case.grip_turn, case.club.name) == ((), None, "7-iron")
    assert cases.case_lesson(ws, golfer.id) is None
    assert cases.case_of(ws, golfer.id, "driver").club.name == "driver"


def test_golfer_setting_and_swings_are_carried(ws: Workspace) -> None:
    golfer = add_golfer(ws, name="A", handedness="left", age_group="senior", big_miss="left", other_miss="both")
    update_golfer(ws, golfer.id, pain=["left wrist"], wrist_ulnar_range_deg=22)
    lesson = start_lesson(ws, golfer.id, surface="mat", ball="range", flight_seen_m=170, at_hand=["eye", "video"])
    add_swing(ws, lesson.id, readings=[NewReading(FACE, 4, 0.5, "sensor")], shape="push-fade", strike="toe", mount="b")
    add_swing(ws, lesson.id, feel="bow early", amount=2)
    aside = add_swing(ws, lesson.id, strike="fat")
    set_aside(ws, aside.id)
    case = cases.case_of(ws, golfer.id)
    assert (case.golfer.handedness, case.golfer.big_miss, case.golfer.other_miss) == ("left", "left", "both")
    assert (case.golfer.age_group, case.golfer.pain) == ("senior", ("left wrist",))
    assert case.golfer.wrist_range == WristRange(ulnar=22.0, measured=True)
    assert (case.setting.surface, case.setting.ball, case.setting.flight_seen_m) == ("mat", "range", 170.0)
    assert case.setting.at_hand == ("eye", "video")
    first, tried = case.swings
    assert (first.shape, first.strike, first.mount) == ("push-fade", "toe", "b")
    assert first.get(FACE) == Reading(4.0, 0.5, "sensor")
    assert (tried.tried.feel, tried.tried.amount) == ("bow early", 2.0)  # type: ignore[union-attr]
    assert len(case.untouched) == 1


def test_the_case_is_of_one_club_and_the_newest_lesson_with_swings(ws: Workspace, golfer: GolferView) -> None:
    old = start_lesson(ws, golfer.id, started_at=now() - timedelta(days=20))
    for _ in range(3):
        add_swing(ws, old.id, club="7-iron")
    read_grip(ws, old.id, -6)
    recent = start_lesson(ws, golfer.id, started_at=now() - timedelta(days=2))
    for _ in range(2):
        add_swing(ws, recent.id, club="driver")
    add_swing(ws, recent.id, club="7-iron", feel="bow")
    start_lesson(ws, golfer.id)  # nothing hit yet
    take_club(ws, golfer.id, "5-iron")
    assert cases.case_lesson(ws, golfer.id) == recent.id
    assert cases.case_of(ws, golfer.id).club.name == "driver"
    assert len(cases.case_of(ws, golfer.id).swings) == 2
    seven = cases.case_of(ws, golfer.id, "7i")
    assert (len(seven.swings), seven.grip_turn) == (3, Reading(-6.0, None, "by_eye"))
    here = cases.case_of(ws, golfer.id, "7-iron", recent.id)
    assert (len(here.swings), here.grip_turn) == (1, Reading(-6.0, None, "by_eye"))
    before = read_grip(ws, recent.id, 3, club="7-iron")
    assert cases.case_of(ws, golfer.id, "7-iron", old.id).grip_turn.value == -6.0  # type: ignore[union-attr]
    assert cases.case_of(ws, golfer.id, "7-iron", recent.id).grip_turn.value == before.value  # type: ignore[union-attr]


def test_readings_of_one_quantity_are_joined_by_their_doubt() -> None:
    mean = joined(FACE, [Reading(4.0, 1.0, "typed"), Reading(0.0, 2.0, "by_eye")])
    assert mean.value == pytest.approx(3.2)
    assert mean.sd == pytest.approx(0.8**0.5)
    assert mean.how == "typed"
    exact = joined("aim_deg", [Reading(0.0, 0.0, "video"), Reading(9.0, 2.0, "typed")])
    assert exact.value == pytest.approx(0.0, abs=1e-9)


def test_a_sensors_face_is_never_averaged_with_a_face_against_the_target() -> None:
    sensor, sure, guess = Reading(6.0, 1.5, "sensor"), Reading(2.0, 1.0, "typed"), Reading(0.0, 4.0, "by_eye")
    assert joined(FACE, [sensor, guess]) == sensor
    assert joined(FACE, [sensor, sure]) == sure
    assert joined(FACE, [guess, sensor, sure]) == joined(FACE, [guess, sure])


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_every_look_can_be_answered_and_taken_back(ws: Workspace, golfer: GolferView, lesson: LessonView, look) -> None:
    before = cases.case_of(ws, golfer.id, lesson_id=lesson.id)
    value = look.answers[-1][1] if look.answers else 5.0
    reading = cases.answer_look(ws, lesson.id, look.name, value)
    assert reading.key == look.key
    assert reading.how == {"eye": "by_eye"}.get(look.needs, look.needs)
    after = cases.case_of(ws, golfer.id, lesson_id=lesson.id)
    assert content_of(after) != content_of(before)
    explained = cases.explanation(ws, golfer.id, lesson_id=lesson.id).to_json()
    assert look.name not in {n["look"] for n in explained["next_looks"]}
    undo(ws, lesson_id=lesson.id)
    assert content_of(cases.case_of(ws, golfer.id, lesson_id=lesson.id)) == content_of(before)


def test_a_look_joins_the_newest_ball_and_never_overwrites(
    ws: Workspace, golfer: GolferView, lesson: LessonView
) -> None:
    ball = add_swing(ws, lesson.id, readings=[NewReading("aim_deg", 2)])
    add_swing(ws, lesson.id, feel="bow")
    cases.answer_look(ws, lesson.id, "path", -5)
    cases.answer_look(ws, lesson.id, "aim", 4)
    swings = read_lesson(ws, lesson.id).swings
    assert [(s.number, [r.key for r in s.readings]) for s in swings] == [
        (1, ["aim_deg", "delivery.path_deg"]),
        (2, []),
        (None, ["aim_deg"]),
    ]
    assert swings[0].id == ball.id
    assert len(cases.case_of(ws, golfer.id).untouched) == 2


def test_bend_lost_is_kept_as_bend_at_address_and_impact(ws: Workspace, golfer: GolferView, lesson: LessonView) -> None:
    cases.answer_look(ws, lesson.id, "forward_bend", 16)
    (swing,) = cases.case_of(ws, golfer.id).swings
    at, down = swing.get("posture.forward_bend_address_deg"), swing.get("posture.forward_bend_impact_deg")
    assert at.value - down.value == 16
    assert (at.sd**2 + down.sd**2) ** 0.5 == pytest.approx(2.9)
    assert (at.how, down.how) == ("assumed", "by_eye")
    add_swing(ws, lesson.id, readings=[NewReading("posture.forward_bend_address_deg", 42)])
    cases.answer_look(ws, lesson.id, "forward_bend", 8)
    newest = cases.case_of(ws, golfer.id).swings
    assert 34.0 in [s.get("posture.forward_bend_impact_deg").value for s in newest]


def test_wrong_looks_are_told(ws: Workspace, lesson: LessonView) -> None:
    with pytest.raises(InputError, match="one of ball_start"):
        cases.answer_look(ws, lesson.id, "aura", 1)
    with pytest.raises(InputError, match="aim_deg"):
        cases.answer_look(ws, lesson.id, "aim", 80)
    assert read_lesson(ws, lesson.id).swings == ()


def test_an_answer_is_worked_out_once_for_each_content(ws: Workspace, golfer: GolferView, lesson: LessonView) -> None:
    first = cases.explanation(ws, golfer.id)
    assert cases.explanation(ws, golfer.id) is first
    add_swing(ws, lesson.id, readings=[NewReading(FACE, 6)])
    second = cases.explanation(ws, golfer.id)
    assert second is not first
    undo(ws, lesson_id=lesson.id)
    assert cases.explanation(ws, golfer.id) is first


def test_the_oldest_answers_go_first() -> None:
    case = Case(golfer=Golfer("right"), club=BAG["7-iron"])
    asked: list[float] = []
    answers = Answers(size=2)

    def work_out(c: Case) -> float:
        asked.append(c.grip_turn.value)  # type: ignore[union-attr]
        return c.grip_turn.value  # type: ignore[union-attr]

    for turn in (1.0, 2.0, 1.0, 3.0, 1.0, 2.0):
        assert answers.get("x", replace(case, grip_turn=Reading(turn)), work_out) == turn
    assert asked == [1.0, 2.0, 3.0, 2.0]
    answers.forget()
    answers.get("x", replace(case, grip_turn=Reading(2.0)), work_out)
    assert asked[-1] == 2.0
    assert len(asked) == 5

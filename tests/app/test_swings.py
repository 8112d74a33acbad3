"""Balls in a lesson: typed, tapped, corrected, set aside; double submits; many at once."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from ferrule.app import swings as s
from ferrule.app.feed import Change
from ferrule.app.lessons import add_note, edit_note, end_lesson, lessons, start_lesson, update_lesson
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.swing_rows import NewReading
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError, NotFoundError

FACE, TOP = "delivery.face_deg", "wrist.top.flexion_deg"


def test_a_ball_in_two_taps_and_a_strike(ws: Workspace, lesson: LessonView) -> None:
    ball = s.add_swing(ws, lesson.id, start="push", bend="right", strike="heel")
    assert (ball.number, ball.shape, ball.strike, ball.club) == (1, "push-fade", "heel", "7-iron")
    assert s.set_flight(ws, ball.id, shape="hook").bends_much
    assert s.set_flight(ws, ball.id).shape is None
    assert s.set_strike(ws, ball.id, "thin").strike == "thin"
    assert s.set_strike(ws, ball.id, None).strike is None


def test_naming_a_club_takes_it_in_hand(ws: Workspace, lesson: LessonView) -> None:
    assert s.add_swing(ws, lesson.id, club="driver").club == "driver"
    second = s.add_swing(ws, lesson.id)
    assert (second.club, second.number) == ("driver", 2)
    assert s.set_club(ws, second.id, "7 iron").club == "7-iron"
    assert lessons(ws, lesson.golfer_id)[0].swings == 2


@pytest.mark.parametrize(
    ("given", "where"),
    [
        ({"start": "push"}, "bend"),
        ({"bend": "left"}, "start"),
        ({"start": "up", "bend": "left"}, "start"),
        ({"shape": "banana"}, "shape"),
        ({"strike": "hard"}, "strike"),
        ({"feel": "bow", "amount": 99}, "amount"),
        ({"feel": "x" * 300}, "feel"),
        ({"readings": [NewReading("wrist.top.wobble", 1)]}, "wrist.top.wobble"),
        ({"readings": [NewReading(TOP, float("inf"))]}, TOP),
        ({"readings": [NewReading(TOP, 120)]}, TOP),
        ({"readings": [NewReading(FACE, 2, sd=-1)]}, FACE),
        ({"readings": [NewReading(FACE, 2, how="guess")]}, FACE),
        ({"club": "spoon"}, "club.name"),
    ],
)
def test_bad_input_is_told_under_its_field_and_nothing_is_kept(
    ws: Workspace, lesson: LessonView, given: dict, where: str
) -> None:
    with pytest.raises(InputError) as caught:
        s.add_swing(ws, lesson.id, **given)
    assert [f.where for f in caught.value.faults] == [where]
    after = read_lesson(ws, lesson.id)
    assert (after.swings, after.version) == ((), lesson.version)


def test_two_ways_of_reading_one_quantity_stay_side_by_side(ws: Workspace, lesson: LessonView) -> None:
    ball = s.add_swing(ws, lesson.id, readings=[NewReading(FACE, 4), NewReading(FACE, 1, how="by_eye")])
    again = s.set_reading(ws, ball.id, NewReading(FACE, 5, sd=0.5))
    assert [(r.how, r.value, r.sd) for r in again.readings] == [("by_eye", 1.0, None), ("typed", 5.0, 0.5)]
    s.remove_reading(ws, again.readings[0].id)
    assert len(s.swing(ws, ball.id).readings) == 1


def test_a_submit_sent_twice_makes_one_ball(ws: Workspace, lesson: LessonView) -> None:
    balls = [s.add_swing(ws, lesson.id, start="pull", bend="left", key="tap-7") for _ in range(3)]
    assert {b.id for b in balls} == {balls[0].id}
    assert read_lesson(ws, lesson.id).version == lesson.version + 1


def test_two_threads_at_once_lose_nothing_and_number_every_ball_once(ws: Workspace, lesson: LessonView) -> None:
    heard: list[Change] = []
    ws.feed.subscribe(heard.append)
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda i: s.add_swing(ws, lesson.id, strike="toe", key=f"k{i // 2}"), range(80)))
    after = read_lesson(ws, lesson.id)
    assert [b.number for b in after.swings] == list(range(1, 41))
    assert [c.version for c in heard] == list(range(lesson.version + 1, lesson.version + 41))
    assert after.version == heard[-1].version


def test_a_failing_subscriber_stops_nobody(ws: Workspace, lesson: LessonView, caplog) -> None:
    heard: list[Change] = []

    def fails(_: Change) -> None:
        raise RuntimeError("page gone")

    ws.feed.subscribe(fails)
    end = ws.feed.subscribe(heard.append)
    s.add_swing(ws, lesson.id)
    end()
    end()
    s.add_swing(ws, lesson.id)
    assert [(c.lesson_id, c.golfer_id, c.what) for c in heard] == [(lesson.id, lesson.golfer_id, "add_swing")]
    assert "page gone" in caplog.text


def test_lesson_notes_and_setting(ws: Workspace, golfer: GolferView) -> None:
    lesson = start_lesson(ws, golfer.id, key="one", surface="mat", flight_seen_m=180, at_hand=["eye", "video", "eye"])
    assert start_lesson(ws, golfer.id, key="one").id == lesson.id
    assert lesson.at_hand == ("eye", "video")
    note = add_note(ws, lesson.id, " Sore thumb.\nStopped early. ")
    assert note.text == "Sore thumb.\nStopped early."
    edit_note(ws, note.id, "Fine again.")
    assert [n.text for n in read_lesson(ws, lesson.id).notes] == ["Fine again."]
    edit_note(ws, note.id, "")
    assert read_lesson(ws, lesson.id).notes == ()
    with pytest.raises(InputError, match="a note"):
        add_note(ws, lesson.id, "  ")
    with pytest.raises(InputError) as caught:
        start_lesson(ws, golfer.id, surface="ice", at_hand=["drone"], flight_seen_m=-1)
    assert [f.where for f in caught.value.faults] == ["at_hand", "surface", "flight_seen_m"]
    moved = update_lesson(
        ws, lesson.id, place="Mat 9", surface=None, ball="range", flight_seen_m=None, at_hand=["ball"]
    )
    assert (moved.place, moved.surface, moved.ball) == ("Mat 9", None, "range")
    ended = end_lesson(ws, lesson.id)
    assert end_lesson(ws, lesson.id).ended_at == ended.ended_at is not None


def test_what_is_not_there_is_told(ws: Workspace) -> None:
    with pytest.raises(NotFoundError, match="This lesson"):
        s.add_swing(ws, 9)
    for action in (s.set_aside, s.take_in_again, s.swing):
        with pytest.raises(NotFoundError, match="This swing"):
            action(ws, 9)
    with pytest.raises(NotFoundError, match="This reading"):
        s.remove_reading(ws, 9)
    assert s.traces(ws, 9) == {}

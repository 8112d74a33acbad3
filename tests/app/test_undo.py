"""Everything entered in a lesson can be taken back to the start and done again to the end."""

import random
from dataclasses import replace

import pytest

from ferrule.app import swings as s
from ferrule.app.cases import answer_look
from ferrule.app.golfers import golfer as read_golfer
from ferrule.app.golfers import update_golfer
from ferrule.app.lessons import add_note
from ferrule.app.lessons import lesson as read_lesson
from ferrule.app.plans import choose_way, chosen_ways, set_window, windows
from ferrule.app.swing_rows import NewReading
from ferrule.app.trials import add_trial_ball, end_trial, start_trial, trials
from ferrule.app.undo import last_entries, redo, undo
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace
from ferrule.errors import NotFoundError


def seen(ws: Workspace, lesson_id: int) -> object:
    """Everything a coach sees of the lesson, less its version."""
    lesson = read_lesson(ws, lesson_id)
    plans = chosen_ways(ws, lesson.golfer_id), windows(ws, lesson.golfer_id), trials(ws, lesson_id)
    return replace(lesson, version=0, can_undo=None, can_redo=None), plans


def test_the_last_entry_goes_and_comes_back(ws: Workspace, lesson: LessonView) -> None:
    ball = s.add_swing(ws, lesson.id, strike="toe")
    s.set_aside(ws, ball.id, "slipped")
    view = read_lesson(ws, lesson.id)
    assert (view.can_undo, view.can_redo) == ("ball set aside", None)
    assert undo(ws, lesson_id=lesson.id).words == "ball set aside"
    assert not s.swing(ws, ball.id).set_aside
    undo(ws, lesson_id=lesson.id)
    with pytest.raises(NotFoundError, match="nothing to take back"):
        undo(ws, lesson_id=lesson.id)
    redo(ws, lesson_id=lesson.id)
    redo(ws, lesson_id=lesson.id)
    assert s.swing(ws, ball.id).set_aside_why == "slipped"
    with pytest.raises(NotFoundError, match="nothing to do again"):
        redo(ws, lesson_id=lesson.id)


def test_after_something_new_nothing_is_done_again(ws: Workspace, lesson: LessonView) -> None:
    s.add_swing(ws, lesson.id, strike="toe")
    undo(ws, lesson_id=lesson.id)
    s.add_swing(ws, lesson.id, strike="heel")
    with pytest.raises(NotFoundError, match="nothing to do again"):
        redo(ws, lesson_id=lesson.id)
    assert [b.strike for b in read_lesson(ws, lesson.id).swings] == ["heel"]


def test_a_golfers_page_has_an_undo_of_its_own(ws: Workspace, golfer: GolferView, lesson: LessonView) -> None:
    update_golfer(ws, golfer.id, goal="fade", pain=["back"])
    s.add_swing(ws, lesson.id)
    assert undo(ws, golfer_id=golfer.id).words == "golfer changed"
    assert read_golfer(ws, golfer.id) == golfer
    assert len(read_lesson(ws, lesson.id).swings) == 1
    assert redo(ws, golfer_id=golfer.id).words == "golfer changed"
    assert read_golfer(ws, golfer.id).pain == ("back",)
    assert last_entries(ws, golfer_id=golfer.id)[1] is None


@pytest.mark.parametrize("seed", range(2))
def test_any_run_of_entries_goes_back_to_the_start_and_forward_to_the_end(
    ws: Workspace, lesson: LessonView, seed: int
) -> None:
    rng = random.Random(seed)
    ids: list[int] = []
    states = [seen(ws, lesson.id)]
    trial = None
    for _ in range(25):
        what = rng.choice(["ball", "ball", "reading", "flight", "aside", "in", "tried", "note", "look", "grip", "club",
                           "way", "window", "trial", "trial ball", "remove"])  # fmt: skip
        ball = rng.choice(ids) if ids else None
        if what == "ball" or (ball is None and what in {"reading", "flight", "aside", "in", "tried", "club", "remove"}):
            ids.append(
                s.add_swing(
                    ws, lesson.id, shape=rng.choice([None, "push-fade", "hook"]), club=rng.choice([None, "driver"]),
                    readings=[NewReading("wrist.top.flexion_deg", rng.uniform(-30, 20))], feel=rng.choice([None, "bow"]),
                ).id
            )  # fmt: skip
        elif what == "reading":
            s.set_reading(ws, ball, NewReading("delivery.face_deg", rng.uniform(-6, 6)))
        elif what == "flight":
            s.set_flight(ws, ball, shape=rng.choice([None, "draw", "pull"]))
        elif what == "aside":
            s.set_aside(ws, ball)
        elif what == "in":
            s.take_in_again(ws, ball)
        elif what == "tried":
            s.set_tried(ws, ball, rng.choice([None, "late"]))
        elif what == "club":
            s.set_club(ws, ball, rng.choice(["driver", "5-iron"]))
        elif what == "note":
            add_note(ws, lesson.id, f"note {rng.random()}")
        elif what == "look":
            answer_look(ws, lesson.id, rng.choice(["forward_bend", "aim", "path"]), 3.0)
        elif what == "grip":
            s.read_grip(ws, lesson.id, rng.uniform(-10, 10))
        elif what == "way":
            choose_way(ws, lesson.id, "grip", thought="two knuckles")
        elif what == "window":
            set_window(ws, lesson.id, "wrist.top.flexion_deg", -5, 5)
        elif what == "trial":
            trial = start_trial(ws, lesson.id, "grip", "flexed_early").id
        elif what == "trial ball" and trial is not None:
            add_trial_ball(ws, trial, shape="fade")
        elif what == "remove" and (readings := s.swing(ws, ball).readings):
            s.remove_reading(ws, rng.choice(readings).id)
        else:
            continue
        states.append(seen(ws, lesson.id))
    if trial is not None:
        end_trial(ws, trial, golfers_word="B feels lighter", golfer_prefers="b")
        states.append(seen(ws, lesson.id))
    for state in states[-2::-1]:
        undo(ws, lesson_id=lesson.id)
        assert seen(ws, lesson.id) == state
    for state in states[1:]:
        redo(ws, lesson_id=lesson.id)
        assert seen(ws, lesson.id) == state

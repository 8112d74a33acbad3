"""From stored lessons to blocks, verdicts, the plan, and the sheet."""

from datetime import date, timedelta

import numpy as np
import pytest

from ferrule.app import cold_tests, golfers, lessons, plans, progress, sheets, swings, trials
from ferrule.app.finding import now
from ferrule.app.swings import NewReading
from ferrule.app.undo import undo
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace
from ferrule.coaching.wording_change import verdict_sentence
from ferrule.errors import InputError, NotFoundError

TOP, ADDRESS = "wrist.top.flexion_deg", "wrist.address.flexion_deg"


def held(ws: Workspace, golfer_id: int, days_ago: int) -> LessonView:
    return lessons.start_lesson(ws, golfer_id, started_at=now() - timedelta(days=days_ago))


def balls(
    ws: Workspace, lesson_id: int, start: float, top: float | None = None, *, count: int = 10, seed: int = 1,
    club: str = "7-iron", how: str = "video", mount: str | None = None,
) -> None:  # fmt: skip
    rng = np.random.default_rng(seed)
    for _ in range(count):
        readings = [NewReading("ball.start_deg", start + 1.5 * rng.normal(), how="ball")]
        if top is not None:
            address = -15 + rng.normal()
            readings += [
                NewReading(ADDRESS, address, how=how),
                NewReading(TOP, address + top + 2 * rng.normal(), how=how),
            ]
        swings.add_swing(ws, lesson_id, club=club, readings=readings, mount=mount)


def cold(ws: Workspace, golfer_id: int, days_ago: int, start: float, top: float | None, **more: object) -> int:
    lesson = held(ws, golfer_id, days_ago)
    balls(ws, lesson.id, start, top, **more)  # type: ignore[arg-type]
    cold_tests.mark_first_balls(ws, lesson.id, club=str(more.get("club", "7-iron")))
    return lesson.id


def learner(ws: Workspace, golfer_id: int, after: float = -1.0, gained: float = 9.0, **more: object) -> int:
    """Two baseline days, practice on the second, two cold tests; the lesson of the change is given."""
    first = held(ws, golfer_id, 40)
    balls(ws, first.id, 6.0, -2.0, seed=2, **more)  # type: ignore[arg-type]
    second = held(ws, golfer_id, 33)
    balls(ws, second.id, 6.5, -2.5, seed=3, **more)  # type: ignore[arg-type]
    plans.choose_way(ws, second.id, "flexed_early", club="7-iron", thought="Knuckles down by the top.")
    balls(ws, second.id, after, gained, seed=4, **more)  # type: ignore[arg-type]
    cold(ws, golfer_id, 26, after, gained, seed=5, **more)
    cold(ws, golfer_id, 19, after, gained, seed=6, **more)
    return second.id


def test_blocks_come_from_what_is_kept(ws: Workspace, golfer: GolferView) -> None:
    learner(ws, golfer.id)
    found = progress.blocks(ws, golfer.id, "7-iron", "ball.start_deg", "ball")
    assert [(b.kind, b.values.size) for b in found] == [
        ("baseline", 10), ("baseline", 10), ("practice", 10), ("retention", 10), ("retention", 10)
    ]  # fmt: skip
    assert found[1].on == found[2].on
    assert {b.device for b in found} == {"ball"}


def test_a_lasting_change_is_called_so_by_body_and_ball(ws: Workspace, golfer: GolferView) -> None:
    learner(ws, golfer.id)
    found = progress.progress(ws, golfer.id)
    kinds = {(v.question.evidence, v.question.quantity): v.kind for v in found.verdicts}
    assert kinds["since_address", "lead wrist from address to the top"] == "real_and_lasts"
    assert kinds["ball", "start line"] == "real_and_lasts"
    assert found.main is not None
    assert "Real, and it lasts: the lead wrist from address to the top is" in verdict_sentence(found.main)
    assert found.cause is not None
    assert found.cause.answer == "both"
    assert found.settled is not None
    assert found.settled.plan.thought == "Knuckles down by the top."
    last = max(t.started_at for t in found.tests).astimezone().date()
    assert found.settled.plan.next_test == last + timedelta(days=7)


def test_the_same_without_cold_tests_proves_nothing(ws: Workspace, golfer: GolferView) -> None:
    first, second = held(ws, golfer.id, 40), held(ws, golfer.id, 33)
    balls(ws, first.id, 6.0, seed=2)
    balls(ws, second.id, 6.0, seed=3)
    plans.choose_way(ws, second.id, "grip", club="7-iron")
    later = held(ws, golfer.id, 20)
    balls(ws, later.id, -1.0, seed=4)
    (verdict,) = progress.verdicts(ws, golfer.id)
    assert (verdict.kind, verdict.reasons[0]) == ("not_yet", "no_test")
    assert verdict.change is None


def test_nothing_changed_claims_nothing(ws: Workspace, golfer: GolferView) -> None:
    learner(ws, golfer.id, after=6.2, gained=-2.2)
    for verdict in progress.verdicts(ws, golfer.id):
        assert verdict.kind not in ("real_and_lasts", "real_so_far", "other_way"), verdict.question.quantity


def test_one_baseline_and_thin_data_get_words_and_no_number(ws: Workspace, golfer: GolferView) -> None:
    assert progress.verdicts(ws, golfer.id) == ()
    lesson = held(ws, golfer.id, 10)
    balls(ws, lesson.id, 5.0, count=2)
    (verdict,) = progress.verdicts(ws, golfer.id)
    assert (verdict.kind, verdict.change, verdict.smallest_real) == ("not_yet", None, None)
    balls(ws, lesson.id, 5.0, count=8)
    plans.choose_way(ws, lesson.id, "aim")
    cold(ws, golfer.id, 3, 0.0, None)
    (verdict,) = progress.verdicts(ws, golfer.id)
    assert (verdict.kind, verdict.reasons[0], verdict.change) == ("not_yet", "one_baseline", None)


def test_sensors_off_and_on_refuse_the_absolute_angle_and_keep_the_change(ws: Workspace, golfer: GolferView) -> None:
    learner(ws, golfer.id, how="sensor", mount="a")
    found = {v.question.evidence: v for v in progress.verdicts(ws, golfer.id)}
    assert (found["absolute"].kind, found["absolute"].reasons[0]) == ("not_comparable", "mounting")
    assert found["since_address"].kind == "real_and_lasts"


def test_a_grip_change_refuses_the_change_since_address_and_keeps_the_ball(ws: Workspace, golfer: GolferView) -> None:
    learner(ws, golfer.id)
    first, *_, last = sorted(lessons.lessons(ws, golfer.id), key=lambda line: line.started_at)
    swings.read_grip(ws, first.id, 0.0)
    for line in sorted(lessons.lessons(ws, golfer.id), key=lambda line: line.started_at)[2:]:
        swings.read_grip(ws, line.id, 9.0)
    found = {v.question.evidence: v for v in progress.verdicts(ws, golfer.id)}
    assert (found["since_address"].kind, found["since_address"].reasons[0]) == ("not_comparable", "grip")
    assert progress.verdicts(ws, golfer.id)[0].question.evidence != "since_address"
    assert last.swings == 10


def test_tries_trials_and_mishits_are_no_baseline(ws: Workspace, golfer: GolferView) -> None:
    lesson = held(ws, golfer.id, 5)
    balls(ws, lesson.id, 5.0, count=6)
    mishit = swings.add_swing(ws, lesson.id, shape="hook")
    swings.set_aside(ws, mishit.id)
    trial = trials.start_trial(ws, lesson.id, "grip", "aim")
    trials.add_trial_ball(ws, trial.id, shape="straight")
    swings.add_swing(ws, lesson.id, shape="straight")
    found = progress.blocks(ws, golfer.id, "7-iron", "ball.start_deg", "ball")
    assert [(b.kind, b.values.size) for b in found] == [("baseline", 6)]


def test_another_club_is_transfer_against_its_own_baseline(ws: Workspace, golfer: GolferView) -> None:
    first = learner(ws, golfer.id)
    early, again = held(ws, golfer.id, 45), held(ws, golfer.id, 42)
    balls(ws, early.id, 4.0, club="driver", seed=11)
    balls(ws, again.id, 4.0, club="driver", seed=12)
    cold(ws, golfer.id, 10, 11.0, None, club="driver", seed=13)
    verdict = next(v for v in progress.verdicts(ws, golfer.id, "7-iron") if v.question.quantity == "start line")
    assert [(c.what, c.kind) for c in verdict.carry_over] == [("driver", "worse")]
    assert "worse with the driver" in verdict_sentence(verdict)
    assert first > 0


def test_taps_of_a_left_hander_are_in_the_world(ws: Workspace) -> None:
    left = golfers.add_golfer(ws, name="Lea", handedness="left")
    lesson = lessons.start_lesson(ws, left.id)
    for _ in range(5):
        swings.add_swing(ws, lesson.id, start="right", bend="right")
    starts = progress.blocks(ws, left.id, "7-iron", "ball.start_deg", "ball")
    curves = progress.blocks(ws, left.id, "7-iron", "ball.curve_deg", "ball")
    assert starts[0].values.tolist() == [4.0] * 5
    assert curves[0].values.tolist() == [3.0] * 5
    assert starts[0].device == "tapped"


def test_a_cold_test_is_ten_balls_and_can_be_taken_back(ws: Workspace, lesson: LessonView) -> None:
    test = cold_tests.start_cold_test(ws, lesson.id, club="7-iron")
    for i in range(10):
        assert test.is_running
        test = cold_tests.add_cold_ball(ws, test.id, start="left", bend="straight", key=f"b{i}")
        assert cold_tests.add_cold_ball(ws, test.id, start="left", bend="straight", key=f"b{i}") == test
    assert not test.is_running
    assert test.ended_at is not None
    with pytest.raises(InputError, match="expected 10 balls, got one more"):
        cold_tests.add_cold_ball(ws, test.id, shape="draw")
    undo(ws, lesson_id=lesson.id)
    (again,) = cold_tests.cold_tests(ws, lesson.golfer_id)
    assert (len(again.balls), again.is_running) == (9, True)
    other = cold_tests.start_cold_test(ws, lesson.id, club="driver", elsewhere="the narrow flag")
    first = cold_tests.cold_tests(ws, lesson.golfer_id)[1]
    assert (other.elsewhere, first.is_running) == ("the narrow flag", False)


def test_first_balls_are_marked_once_and_not_when_too_few(ws: Workspace, lesson: LessonView) -> None:
    balls(ws, lesson.id, 0.0, count=4)
    with pytest.raises(InputError, match="expected 5 balls"):
        cold_tests.mark_first_balls(ws, lesson.id, club="7-iron")
    balls(ws, lesson.id, 0.0, count=9)
    assert len(cold_tests.mark_first_balls(ws, lesson.id, club="7-iron").balls) == 10
    with pytest.raises(InputError, match="cold test"):
        cold_tests.mark_first_balls(ws, lesson.id, club="7-iron")


def test_a_report_pauses_wrist_work(ws: Workspace, golfer: GolferView) -> None:
    learner(ws, golfer.id)
    with pytest.raises(InputError, match="whole number"):
        cold_tests.report(ws, golfer.id, confidence=6.5)
    cold_tests.report(ws, golfer.id, confidence=7, hurts=["left wrist numb"], words="tingles at night")
    settled = progress.progress(ws, golfer.id).settled
    assert settled is not None
    assert (settled.plan.mode, settled.plan.drill) == ("pause", None)
    content = sheets.content_of(ws, golfer.id)
    assert content.drill is None
    assert any("doctor or physiotherapist" in c for c in content.cautions)
    assert cold_tests.reports(ws, golfer.id)[0].confidence == 7


def test_the_coachs_own_drill_stands_in_words(ws: Workspace, golfer: GolferView, lesson: LessonView) -> None:
    plans.choose_way(ws, lesson.id, "flexed_early", drill="Face set by the top")
    content = sheets.content_of(ws, golfer.id)
    assert content.drill is not None
    assert content.drill.title == "Face set by the top"
    plans.choose_way(ws, lesson.id, "flexed_early", drill="Towel under both arms, ten slow ones.")
    content = sheets.content_of(ws, golfer.id)
    assert content.drill is None
    assert content.change[-1] == "Your drill: Towel under both arms, ten slow ones."


def test_sheets_are_made_in_three_forms_and_repeat_byte_for_byte(ws: Workspace, golfer: GolferView) -> None:
    learner(ws, golfer.id)
    on = date(2026, 4, 6)
    pdf = sheets.sheet(ws, golfer.id, "pdf", today=on, paper="letter", large_print=True)
    assert pdf.startswith(b"%PDF-")
    assert pdf == sheets.sheet(ws, golfer.id, "pdf", today=on, paper="letter", large_print=True)
    page = sheets.sheet(ws, golfer.id, "html").decode()
    assert "<script" not in page
    assert "Ida" in page
    assert "KNUCKLES DOWN BY THE TOP." in sheets.sheet(ws, golfer.id, "txt").decode()
    with pytest.raises(InputError, match="one of a4, letter"):
        sheets.sheet(ws, golfer.id, "pdf", paper="a3")


def test_a_test_that_is_due_has_no_date_in_the_past(ws: Workspace, golfer: GolferView) -> None:
    learner(ws, golfer.id)
    assert sheets.content_of(ws, golfer.id).test_on == "when you come next"
    early = now().date() - timedelta(days=15)
    assert sheets.content_of(ws, golfer.id, today=early).test_on[0].isdigit()


def test_the_sheet_says_why_from_before_the_change(ws: Workspace, golfer: GolferView) -> None:
    learner(ws, golfer.id)
    assert sheets.content_of(ws, golfer.id).why[0] == "Your 7-iron starts right."


def test_a_two_way_miss_is_not_called_straight(ws: Workspace, golfer: GolferView, lesson: LessonView) -> None:
    for i in range(12):
        side = "right" if i % 2 else "left"
        swings.add_swing(
            ws, lesson.id, start=side, bend=side, readings=[NewReading("delivery.face_deg", 6.0 if i % 2 else -6.0)]
        )
    plans.choose_way(ws, lesson.id, "flexed_in_transition")
    assert sheets.content_of(ws, golfer.id).why[0] == "Your 7-iron misses both ways."


def test_a_sheet_without_a_plan_is_refused_in_words(ws: Workspace, golfer: GolferView, lesson: LessonView) -> None:
    with pytest.raises(InputError, match="no plan yet"):
        sheets.sheet(ws, golfer.id, "pdf")
    plans.choose_way(ws, lesson.id, "aim", club="driver")
    with pytest.raises(InputError, match="take the driver"):
        sheets.sheet(ws, golfer.id, "pdf", club="7-iron")


def test_golfers_are_found_by_name_or_number(ws: Workspace, golfer: GolferView) -> None:
    assert sheets.golfer_named(ws, "ida holm").id == golfer.id
    assert sheets.golfer_named(ws, "Holm").id == golfer.id
    second = golfers.add_golfer(ws, name="Ida Holm", handedness="left")
    with pytest.raises(InputError, match=rf"2 that fit 'Ida Holm' \(#{golfer.id} Ida Holm.*--golfer '#"):
        sheets.golfer_named(ws, "Ida Holm")
    assert sheets.golfer_named(ws, f"#{second.id}").handedness == "left"
    for nobody in ("Nils", "", "#99"):
        with pytest.raises(NotFoundError, match="no golfer by the name"):
            sheets.golfer_named(ws, nobody)

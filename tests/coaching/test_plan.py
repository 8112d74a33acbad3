"""One thought, one drill, one test; events and pain; the opening; feedback schedules."""

from datetime import date, timedelta
from itertools import pairwise

import pytest

from ferrule.coaching.case import Golfer
from ferrule.coaching.drills_library import BY_NAME, DRILLS
from ferrule.coaching.feedback import club_order, feedback_plan, schedule_for, speaks
from ferrule.coaching.plan import Plan, Target, due_tests, make_plan, mode_on, opening

TODAY = date(2026, 5, 4)
ADULT = Golfer("right")
WINDOW = Target("wrist.shaft_level_down.flexion_deg", "7-iron", -4.0, 4.0, "like revving a handle", 12.0)


def plan(**more: object) -> Plan:
    given = {"golfer": ADULT, "way": "flexed_in_transition", "target": WINDOW, "library": DRILLS, "today": TODAY}
    return make_plan(**(given | more))  # type: ignore[arg-type]


def test_one_thought_one_drill_one_test() -> None:
    p = plan(cause="lead_wrist_flexion")
    assert p.mode == "build"
    assert p.drill is not None and p.dose is not None
    assert p.thought == p.drill.thought
    assert p.dose.step == "slow"
    assert p.test == "Ten balls with the 7-iron, cold, nobody says anything."
    assert p.next_test == TODAY + timedelta(days=7)
    assert p.feedback == "faded"


def test_the_coach_overrules() -> None:
    own = BY_NAME["feet_together"]
    p = plan(thought="Paint the fence", drill=own, next_lesson=date(2026, 6, 1))
    assert (p.thought, p.drill, p.next_test) == ("Paint the fence", own, date(2026, 6, 1))


@pytest.mark.parametrize(("days", "mode"), [(0, "maintain"), (20, "maintain"), (21, "build"), (-1, "build")])
def test_nothing_new_within_three_weeks_of_an_event(days: int, mode: str) -> None:
    p = plan(event=TODAY + timedelta(days=days))
    assert p.mode == mode
    if mode == "maintain":
        assert p.drill is None
        assert f"{days} days to the event" in p.reasons[0]
        assert "usual swing" in p.thought


def test_a_way_the_golfer_has_may_go_on_before_an_event() -> None:
    assert mode_on(TODAY, TODAY, ADULT, "flexed_early", True)[0] == "build"


def test_pain_pauses_wrist_work_only() -> None:
    sore = Golfer("right", pain=("left wrist",))
    p = plan(golfer=sore)
    assert (p.mode, p.drill) == ("pause", None)
    assert "clinician" in p.reasons[0]
    assert plan(golfer=sore, way="aim").mode == "build"


def test_no_drill_is_said_not_hidden() -> None:
    p = plan(library=[])
    assert p.drill is None
    assert "show one yourself" in p.reasons[0]
    assert p.thought == WINDOW.feel


def test_the_next_lesson_opens_with_a_cold_test() -> None:
    o = opening(plan(), TODAY + timedelta(days=20), ["Not yet distinguishable."])
    assert (o.cold_balls, o.club) == (10, "7-iron")
    assert o.minutes <= 4
    assert o.brief[0].startswith("Last time:")
    assert "The cold test is 13 days overdue." in o.brief
    assert "pain or numbness" in o.brief[-1]


def test_whose_test_is_due() -> None:
    p = plan()
    assert due_tests([("Mia", p), ("Tom", plan(next_lesson=date(2026, 5, 20)))], date(2026, 5, 13)) == [("Mia", 2)]


def test_feedback_fades_and_the_last_balls_are_quiet() -> None:
    p = feedback_plan("faded", 35)
    assert p.quiet_from == 30
    shares = [sum(p.told[i : i + 10]) / 10 for i in (0, 10, 20)]
    assert shares == pytest.approx([1.0, 0.5, 0.2])
    assert not any(p.told[30:])
    assert sum(feedback_plan("summary", 30).told) == 5
    assert not any(feedback_plan("none", 10).told)
    with pytest.raises(ValueError, match="at least one rep"):
        feedback_plan("every", 0)


def test_who_speaks_when() -> None:
    band = feedback_plan("bandwidth", 15)
    assert speaks(band, 2, 5.0, 3.0)
    assert not speaks(band, 2, 1.0, 3.0)
    assert not speaks(band, 14, 50.0, 3.0)
    chosen = feedback_plan("self_chosen", 15)
    assert speaks(chosen, 0, 0.0, 1.0, asked=True)
    assert not speaks(chosen, 0, 9.0, 1.0)
    assert speaks(feedback_plan("every", 3), 2, 0.0, 1.0)
    assert schedule_for(1, "new") == "faded"
    assert schedule_for(5, "new") == schedule_for(1, "getting_it") == "bandwidth"


def test_random_club_order_is_even_and_repeats_with_its_seed() -> None:
    order = club_order(["7-iron", "wedge", "driver"], 12, seed=4)
    assert order == club_order(["7-iron", "wedge", "driver"], 12, seed=4)
    assert order != club_order(["7-iron", "wedge", "driver"], 12, seed=5)
    assert max(order.count(c) for c in set(order)) - min(order.count(c) for c in set(order)) <= 1
    assert all(a != b for a, b in pairwise(order))
    assert club_order(["7-iron"], 3, seed=1) == ("7-iron",) * 3

"""From an explanation to what is drawn: nothing lost, the right side for either hand."""

from dataclasses import replace

import pytest

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.analysis.options import work_out_options
from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading, Setting, Tried, mirrored
from ferrule.units import DEG
from ferrule.web import case_view

OPEN = Case(
    golfer=Golfer("right", big_miss="right"),
    club=club_by_name("7-iron"),
    setting=Setting(at_hand=("eye", "ball", "video")),
    swings=(
        *tuple(
            CaseSwing(
                {
                    "wrist.shaft_level_down.flexion_deg": Reading(-14 + d),
                    "wrist.impact.flexion_deg": Reading(-6 + d),
                    "ball.start_deg": Reading(3 + d),
                    "ball.curve_deg": Reading(3.4 + d),
                },
                strike="centre",
            )
            for d in (-1.0, 0.0, 0.5, 1.0)
        ),
        CaseSwing({"ball.start_deg": Reading(0.5)}, tried=Tried("bow early", 2.0)),
    ),
    grip_turn=Reading(6, how="by_eye"),
)


@pytest.fixture(scope="module")
def explanation() -> Explanation:
    return explain_case(OPEN)


@pytest.fixture(scope="module")
def left() -> Explanation:
    return explain_case(mirrored(OPEN))


def test_the_staircase_keeps_every_degree(explanation: Explanation) -> None:
    steps = case_view.steps_of(explanation)
    assert sum(s.share_deg for s in steps) == pytest.approx(explanation.face.value / DEG, abs=0.06)
    assert len(steps) <= case_view.MOST_STEPS + 1
    named = {s.name: s for s in steps}
    assert named["lead wrist too cupped"].how == "typed"
    assert case_view.end_words(explanation).endswith("open")
    assert case_view.end_words(explanation) in case_view.staircase_label(steps, case_view.end_words(explanation))


def test_a_left_hander_s_case_is_the_same_staircase_and_the_mirrored_ball(
    explanation: Explanation, left: Explanation
) -> None:
    ours, theirs = case_view.steps_of(explanation), case_view.steps_of(left)
    assert [s.name for s in ours] == [s.name for s in theirs]
    assert [s.share_deg for s in ours] == pytest.approx([s.share_deg for s in theirs])
    right_ball, left_ball = (case_view.flight_of(e, yards=True, whose="Ada’s") for e in (explanation, left))
    assert right_ball.start_deg == pytest.approx(-left_ball.start_deg)
    assert right_ball.curve_deg == pytest.approx(-left_ball.curve_deg)
    assert right_ball.landing_words == left_ball.landing_words.replace("left", "right")
    assert left_ball.left_handed
    assert not right_ball.left_handed


def test_the_usual_ball_is_the_mean_of_what_was_seen(explanation: Explanation) -> None:
    flight = case_view.flight_of(explanation, yards=False, whose="Ada’s")
    assert flight.start_deg == pytest.approx(3.125)
    assert flight.curve_deg == pytest.approx(3.525)
    assert flight.title == "Ada’s usual ball"
    assert flight.start_words == ("starts 3° right,", "bends right")
    assert flight.landing_words.endswith("m right")


def test_without_a_ball_the_delivery_says_what_to_expect() -> None:
    blind = replace(OPEN, swings=(CaseSwing({"delivery.face_deg": Reading(5.0), "delivery.path_deg": Reading(-2.0)}),))
    flight = case_view.flight_of(explain_case(blind), yards=True, whose="Ada’s")
    assert flight.title == "the ball to expect"
    assert flight.start_deg > 2
    assert flight.curve_deg > 2


def test_the_rail_has_every_ball_and_the_tries_with_their_words(explanation: Explanation, left: Explanation) -> None:
    marks = case_view.marks_of(explanation)
    assert [m.kind for m in marks] == ["untouched"] * 4 + ["try"]
    assert marks[-1].words == "bow early, twice as much"
    assert all(m.open_deg > 1 for m in marks[:4])
    assert [m.open_deg for m in marks] == pytest.approx([m.open_deg for m in case_view.marks_of(left)])
    # A face that was read goes before what the ball says of it.
    read = CaseSwing({"delivery.face_deg": Reading(-2.0), "ball.start_deg": Reading(9.0)})
    assert case_view.face_open_deg(read, 0.8, 0.0) == -2.0
    assert case_view.face_open_deg(CaseSwing(), 0.8, 0.0) is None


def test_the_ways_are_drawn_against_now(explanation: Explanation, left: Explanation) -> None:
    ways = case_view.ways_of(explanation, work_out_options(OPEN).to_json())
    names = [w.name for w in ways]
    assert {"flexed_early", "flexed_in_transition", "grip", "posture", "leave_as_is"} <= set(names)
    assert names[-1] == "leave_as_is"
    now = explanation.shaft_level.open_to_address_spine.value / DEG
    early = next(w for w in ways if w.name == "flexed_early")
    assert early.sketch.now_open_deg == pytest.approx(now)
    assert early.sketch.way_open_deg is not None
    assert early.sketch.way_open_deg < now
    assert early.title == "Bow early, release late"
    for way in ways:
        assert way.ball
        assert "_" not in " ".join((*way.needs, *way.cautions, way.title))
        assert all(caution.endswith(".") for caution in way.cautions)  # whole sentences, set one after the other
    assert case_view.ways_of(left, work_out_options(mirrored(OPEN)).to_json())[0].sketch.left_handed


def test_how_much_of_a_feel() -> None:
    assert [case_view.times_words(a) for a in (2.0, 0.5, 3.0)] == ["twice as much", "half as much", "3 times as much"]

"""What every coach knows, as tests. Common practice, no source (science.md H01-H15 as corrected at its top); where physics
agrees, the row it agrees with is named.
"""

from dataclasses import replace

import numpy as np
import pytest
from simple_cases import case_of

from ferrule.analysis.explain import explain_case
from ferrule.analysis.options import work_out_options
from ferrule.ball.response import ball_response
from ferrule.club.clubs import club_by_name
from ferrule.club.delivery import closing_about_shaft
from ferrule.coaching.case import Golfer, Reading
from ferrule.coaching.counterfactual import Change, outcome_of
from ferrule.coaching.delivery_state import SIZE, A, B, DeliveryModel, F, G, K, R
from ferrule.coaching.references import PRIORS, reference_of
from ferrule.units import DEG

EYE = 4.0
STRAIGHT = {"ball.start_deg": 0.0, "ball.curve_deg": 0.0}
EDGE, SPINE = "leading_edge_tilt_shaft_level_deg", "posture.forward_bend_address_deg"
LEVEL, TOP, IMPACT = "wrist.shaft_level_down.flexion_deg", "wrist.top.flexion_deg", "wrist.impact.flexion_deg"


def grip(turn: float) -> Reading:
    return Reading(turn, EYE, "by_eye")


def face_with(club: str = "7-iron", **departures: float) -> float:
    """Face in degrees with these departures of the model alone."""
    columns = {"grip": G, "flexion": F, "roll": R, "raised": B, "aim": A, "body": K}
    reference = reference_of(club_by_name(club))
    x = np.zeros((1, SIZE))
    x[0, SIZE - 1] = reference.chi
    for name, value in departures.items():
        x[0, columns[name]] = value * DEG
    return float(DeliveryModel(reference).face(x)[0]) / DEG


def best(case):
    return work_out_options(case).options[0].way.name


def place(case, name):
    return next(o.rank for o in work_out_options(case).options if o.way.name == name)


# -- the checks of the reasoning's acceptance ------------------------------------------------------------------------


def test_ten_more_bow_at_the_top_closes_ten_about_the_shaft():
    """χ 90 (B70)."""
    zero = np.zeros(1)
    closing = closing_about_shaft(zero, zero + 10 * DEG, zero, zero, zero + 90 * DEG, 0.0)
    assert closing[0] / DEG == pytest.approx(10.0, abs=1e-9)


def test_standing_up_hides_fifteen_open_at_shaft_level():
    answer = explain_case(case_of({SPINE: 35, "posture.forward_bend_shaft_level_deg": 20, EDGE: 20}))
    level = answer.shaft_level
    assert level.open_to_address_spine.value / DEG == pytest.approx(15.0, abs=1e-6)
    assert level.open_to_present_spine.value / DEG == pytest.approx(0.0, abs=1e-6)
    assert "standing up" in answer.story.headline
    assert any("15° open against the spine at address" in n and "standing up" in n for n in answer.story.notes)
    assert best(case_of({SPINE: 35, "posture.forward_bend_shaft_level_deg": 20, EDGE: 20})) == "posture"


def test_usual_loss_of_bend_with_a_straight_ball_names_no_cause():
    swing = STRAIGHT | {SPINE: 38, "posture.forward_bend_impact_deg": 33, "handle_raise_deg": 2}
    answer = explain_case(case_of([swing] * 3, strike="centre"))
    assert not any(c.named for c in answer.causes)
    assert "nothing here that needs a change" in answer.story.headline
    assert "bend" not in answer.story.headline + answer.story.lead


def test_strong_grip_matched_by_a_cupped_top_is_left_alone():
    case = case_of([STRAIGHT | {TOP: -15, IMPACT: 0}] * 3, grip=grip(12), strike="centre")
    answer = work_out_options(case)
    assert answer.options[0].way.name == "leave_as_is"
    assert "nothing here that needs a change" in answer.explanation.story.headline
    assert any("not a fault" in n for n in answer.explanation.story.notes)


@pytest.mark.parametrize("level", [None, 10.0, -2.0])
def test_strong_grip_bowed_that_misses_left_is_never_told_to_bow_more(level):
    swing = {TOP: 15, IMPACT: 0, "ball.start_deg": -4, "ball.curve_deg": -4} | ({} if level is None else {LEVEL: level})
    answer = work_out_options(case_of([swing] * 3, grip=grip(12), strike="centre"))
    assert answer.options[0].way.name == "grip"
    leave = next(o.rank for o in answer.options if o.way.name == "leave_as_is")
    for option in answer.options:
        assert max(option.way.change.top, option.way.change.level_flexion, option.way.change.flexion) <= 0.0
        if option.way.name.startswith("flexed"):
            assert option.rank > leave
            assert "Not for this golfer" in option.sentence


@pytest.mark.parametrize(("start", "curve"), [(2.0, -3.0), (3.0, -4.0), (4.0, -6.0)])
def test_driver_toe_hit_that_starts_right_and_draws_is_not_blamed_on_the_wrist(start, curve):
    case = case_of([{"ball.start_deg": start, "ball.curve_deg": curve}] * 3, club="driver", strike="toe")
    answer = explain_case(case)
    assert "strike is on the toe" in answer.story.headline
    assert "wrist" not in answer.story.headline
    assert not any(c.named for c in answer.causes)
    assert abs(answer.face.value) < 1.5 * DEG


def test_cupped_at_shaft_level_with_two_way_misses_names_the_pattern():
    swings = [{LEVEL: -25, IMPACT: 5, "ball.start_deg": s, "ball.curve_deg": 0} for s in (4, -4, 3, -3)]
    answer = explain_case(case_of(swings, strike="centre"))
    assert "25° cupped coming down" in answer.story.headline
    assert answer.two_way
    assert best(case_of(swings, strike="centre")) == "flexed_in_transition"


def test_next_balls_of_a_slicer_are_foretold():
    swing = {"delivery.face_deg": 1, "delivery.path_deg": -6, "ball.start_deg": 0, "ball.curve_deg": 11}
    answer = explain_case(case_of([swing] * 3, club="driver", strike="centre"))
    said = next(n for n in answer.story.notes if "next balls" in n)
    assert "left and still curve right" in said
    assert said.endswith("expect it.")


# -- facts of the trade, by ID ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("cupped", [0, 8, 14, 25])
def test_h01_a_wrist_cupped_up_to_25_at_the_top_is_no_fault_by_itself(cupped):
    case = case_of([STRAIGHT | {TOP: -cupped, IMPACT: 6}] * 3, grip=grip(0), strike="centre")
    answer = work_out_options(case)
    assert answer.options[0].way.name == "leave_as_is"
    assert not any(c.named for c in answer.explanation.causes)


@pytest.mark.parametrize("bowed", [30, 40])
def test_h02_a_wrist_strongly_bowed_at_the_top_is_not_called_wrong_by_itself(bowed):
    # With the leading edge read as in order; nobody knows from the top alone what became of it.
    swing = STRAIGHT | {TOP: bowed, IMPACT: 8, LEVEL: 5, SPINE: 36, EDGE: 38}
    answer = explain_case(case_of([swing] * 3, grip=grip(-4), strike="centre"))
    assert "bowed" not in answer.story.headline
    assert not any(c.named for c in answer.causes)


def test_h03_usual_flexion_at_impact_depends_on_the_club():
    iron, driver = (reference_of(club_by_name(c)).flexion / DEG for c in ("7-iron", "driver"))
    assert iron > 4.0
    assert abs(driver) < 2.0
    bowed = {IMPACT: 6, "shaft_lean_impact_deg": 6} | STRAIGHT
    seen = explain_case(case_of([bowed] * 3, strike="centre"))
    wrist = next(c for c in seen.causes if c.cause == "lead_wrist_flexion")
    assert "in order" in wrist.sentence


@pytest.mark.parametrize(
    ("edge", "opened"), [pytest.param(35, 0, id="H05-square"), pytest.param(0, 35, id="H05-toe-up"), pytest.param(50, -15, id="H05-closed")]
)  # fmt: skip
def test_h04_h05_leading_edge_against_the_address_spine(edge, opened):
    level = explain_case(case_of({SPINE: 35, EDGE: edge})).shaft_level
    assert level.open_to_address_spine.value / DEG == pytest.approx(opened, abs=1e-6)
    assert sum(s.value for s in level.shares) / DEG == pytest.approx(opened, abs=1e-6)


def test_h06_raising_the_handle_opens_more_with_loft():
    """B81 in direction; delivered loft, so smaller than with static loft."""
    opened = [face_with(c, raised=5.0) for c in ("driver", "7-iron", "pitching wedge")]
    assert 0.0 < opened[0] < opened[1] < opened[2]
    assert opened[1] == pytest.approx(5.0 * 0.55, abs=0.2)


def test_h06_corrected_usual_loss_and_a_push_of_the_path():
    swing = {SPINE: 38, "posture.forward_bend_impact_deg": 20, "delivery.path_deg": 4}
    causes = {p.cause for p in explain_case(case_of([swing] * 3)).path_causes}
    assert "standing_up" in causes
    usual = {SPINE: 38, "posture.forward_bend_impact_deg": 33, "delivery.path_deg": 4}
    assert "standing_up" not in {p.cause for p in explain_case(case_of([usual] * 3)).path_causes}


def test_h07_strong_closes_weak_opens():
    assert face_with(grip=8.0) < -5.0
    assert face_with(grip=-8.0) > 5.0


@pytest.mark.parametrize("hand", ["right", "left"])
def test_h08_open_starts_to_the_open_side(hand):
    side = 1.0 if hand == "right" else -1.0
    answer = explain_case(case_of([{"ball.start_deg": 4 * side, "ball.curve_deg": 0}] * 3, hand=hand, strike="centre"))
    assert answer.face.value * side > 2 * DEG
    assert "open" in answer.story.lead


@pytest.mark.parametrize("club", ["driver", "7-iron", "pitching wedge"])
def test_h09_start_follows_mostly_the_face(club):
    made = club_by_name(club)
    response = ball_response(made, 38.0, reference_of(made).face.delivered_loft)
    assert 0.6 < response.face_share.value < 0.95


@pytest.mark.parametrize(
    ("face", "path", "start", "bend"),
    [
        (-4, -8, -1, 1), (-4, -4, -1, 0), (-4, 0, -1, -1),
        (0, -5, 0, 1), (0, 0, 0, 0), (0, 5, 0, -1),
        (4, 0, 1, 1), (4, 4, 1, 0), (4, 8, 1, -1),
    ],
)  # fmt: skip
def test_h10_nine_balls_by_face_and_path(face, path, start, bend):
    club = club_by_name("7-iron")
    response = ball_response(club, 36.0, reference_of(club).face.delivered_loft)
    began, bent = response.start(face * DEG, path * DEG) / DEG, response.curve((face - path) * DEG) / DEG
    assert (0 if abs(began) < 1.5 else np.sign(began)) == start
    assert np.sign(round(bent)) == bend


def test_h11_flexing_and_rolling_close():
    """B70-B75, B82."""
    assert face_with(flexion=10.0) < -2.0 < 2.0 < face_with(flexion=-10.0)
    assert face_with(roll=10.0) < -6.0 < 6.0 < face_with(roll=-10.0)


@pytest.mark.parametrize(("turn", "wrist"), [(10, -12), (-10, 18)])
def test_h12_grip_is_offset_before_the_wrist_is_judged(turn, wrist):
    case = case_of([STRAIGHT | {IMPACT: wrist, "shaft_lean_impact_deg": 6}] * 3, grip=grip(turn), strike="centre")
    answer = work_out_options(case)
    assert any("not a fault" in n for n in answer.explanation.story.notes)
    assert answer.options[0].way.name == "leave_as_is"


def test_h13_flexed_early_leaves_less_to_do_late():
    swing = {TOP: -25, LEVEL: -20, IMPACT: -6, "ball.start_deg": 4, "ball.curve_deg": 3}
    outcome = {o.way.name: o.outcome for o in work_out_options(case_of([swing] * 3, strike="centre")).options}
    assert outcome["flexed_early"].owed < outcome["flexed_in_transition"].owed < outcome["rolled_late"].owed
    assert outcome["flexed_early"].release_tolerance > outcome["rolled_late"].release_tolerance
    assert outcome["flexed_early"].rate < outcome["rolled_late"].rate


def test_h14_there_are_three_wrist_ways():
    """As corrected: flexed early and released, flexed in transition, cupped and rolled late."""
    swing = {TOP: -20, IMPACT: -6, "ball.start_deg": 4, "ball.curve_deg": 3}
    options = {o.way.name: o for o in work_out_options(case_of([swing] * 3, strike="centre")).options}
    assert {"flexed_early", "flexed_in_transition", "rolled_late"} <= set(options)
    early = options["flexed_early"].outcome
    # Released through the ball: towards extension from what it was at the top, or no further bowed than allowed.
    assert early.flexion_top > options["flexed_in_transition"].outcome.flexion_top
    assert "rhythm" in " ".join(options["rolled_late"].way.needs)


def test_h15_order_of_advice_grip_top_release_path():
    swing = {TOP: -20, IMPACT: -6, "ball.start_deg": 4, "ball.curve_deg": 3}
    order = {o.way.name: o.way.order for o in work_out_options(case_of([swing] * 3, strike="centre")).options}
    assert order["grip"] < order["flexed_early"] < order["flexed_in_transition"] < order["rolled_late"]
    assert order["rolled_late"] < order["ball_position"]
    # With the cause not known, the grip goes first.
    assert best(case_of([{"ball.start_deg": 4, "ball.curve_deg": 3}] * 3)) == "grip"


# -- thin, mirrored and bounded --------------------------------------------------------------------------------------


def test_arm_and_body_prior_stays_wide_since_nobody_sees_it():
    assert PRIORS["body"][1] >= 5.0


def test_no_change_gives_the_delivery_back_exactly():
    answer = work_out_options(case_of({"delivery.face_deg": 3, "delivery.path_deg": -1, IMPACT: -4}))
    assert outcome_of(answer.now, Change()).face == pytest.approx(answer.explanation.face.value, abs=0.1 * DEG)


@pytest.mark.parametrize("club", ["7-iron", "driver"])
def test_no_way_asks_for_more_than_fifteen_bowed_at_impact(club):
    swing = {TOP: -20, IMPACT: -15, "ball.start_deg": 8, "ball.curve_deg": 7}
    for option in work_out_options(case_of([swing] * 3, club=club, strike="centre")).options:
        assert option.outcome.flexion_impact <= 15.0 * DEG + 1e-9


def test_what_the_coach_prefers_changes_the_order_and_not_the_ways():
    case = case_of([{TOP: -20, IMPACT: -6, "ball.start_deg": 4, "ball.curve_deg": 3}] * 3, strike="centre")
    plain, small = work_out_options(case), work_out_options(case, "smallest_change")
    assert {o.way.name for o in plain.options} == {o.way.name for o in small.options}
    assert [o.way.name for o in small.options] != [o.way.name for o in plain.options]


def test_senior_is_offered_the_shape_sooner_than_an_adult():
    swing = {TOP: -16, IMPACT: -2, "ball.start_deg": 3, "ball.curve_deg": 2}
    adult = case_of([swing] * 3, strike="centre", grip=grip(-4))
    senior = replace(adult, golfer=Golfer("right", age_group="senior"))
    assert place(senior, "keep_shape") <= place(adult, "keep_shape")
    assert place(senior, "keep_shape") <= 3

"""The case of the machine interface, the mirror, and what a coach would say to simple cases."""

import json

import numpy as np
import pytest
from simple_cases import case_of
from test_casefile import FULL

from cases import random_case
from ferrule.analysis.explain import explain_case
from ferrule.analysis.options import work_out_options
from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Case, Golfer, Reading, mirrored
from ferrule.coaching.delivery_state import CAUSES
from ferrule.coaching.ways import ALWAYS
from ferrule.files.casefile import case_from_data


def interface_case() -> Case:
    return case_from_data(FULL)[0]


def test_case_of_the_interface_names_all_eight_causes_and_they_sum_to_the_face():
    answer = explain_case(interface_case()).to_json()
    assert sorted(c["cause"] for c in answer["causes"]) == sorted(CAUSES)
    assert sum(c["share_deg"]["value"] for c in answer["causes"]) == pytest.approx(
        answer["face_deg"]["value"], abs=1e-9
    )
    assert sum(c["probability_largest"] for c in answer["causes"]) == pytest.approx(1.0, abs=1e-9)
    level = answer["shaft_level"]
    assert sum(c["share_deg"]["value"] for c in level["causes"]) == pytest.approx(
        level["open_to_address_spine_deg"]["value"], abs=1e-9
    )
    assert set(answer) >= {"schema", "face_deg", "path_deg", "face_less_path_deg", "causes", "unexplained_deg", "shaft_level",
                           "spread", "path_causes", "triage", "next_looks", "issues"}  # fmt: skip
    assert answer["causes"][0]["cause"] == "lead_wrist_flexion"
    assert "cupped" in answer["headline"]


def test_twice_the_same_bytes():
    one, two = (json.dumps(explain_case(interface_case()).to_json()) for _ in range(2))
    assert one == two
    one, two = (json.dumps(work_out_options(interface_case()).to_json()) for _ in range(2))
    assert one == two


@pytest.mark.parametrize("seed", range(12))
def test_mirrored_case_gives_the_same_degrees_with_right_and_left_swapped(seed):
    case = random_case(np.random.default_rng(100 + seed))
    right, left = explain_case(case), explain_case(mirrored(case))
    assert left.face.value == pytest.approx(-right.face.value, abs=1e-12)
    assert left.path.value == pytest.approx(-right.path.value, abs=1e-12)
    assert [c.cause for c in left.causes] == [c.cause for c in right.causes]
    for a, b in zip(left.causes, right.causes, strict=True):
        assert a.share.value == pytest.approx(-b.share.value, abs=1e-12)
        assert a.probability_largest == pytest.approx(b.probability_largest, abs=1e-12)
    assert left.shaft_level.open_to_address_spine == right.shaft_level.open_to_address_spine
    swap = str.maketrans({"\x00": "right", "\x01": "left"})
    assert left.story.headline.replace("right", "\x01").replace("left", "\x00").translate(swap) == right.story.headline
    one, two = work_out_options(case).to_json(), work_out_options(mirrored(case)).to_json()
    for a, b in zip(one["options"], two["options"], strict=True):
        assert a["option"] == b["option"]
        for key in ("face_deg", "start_deg", "curve_deg"):
            assert a[key] == pytest.approx(-b[key], abs=1e-9)
        for key in (
            "open_to_address_spine_deg",
            "release_tolerance_ms",
            "delivered_loft_deg",
            "side_spread_m",
            "range_used",
        ):
            assert a[key] == pytest.approx(b[key], abs=1e-9)


def test_nothing_read_is_said_and_wide():
    answer = explain_case(Case(Golfer("right"), club_by_name("7-iron")))
    assert answer.face.sd > 0.1
    assert any(i.code == "no_readings" for i in answer.issues)
    assert answer.looks


def test_ball_alone_gives_a_face_and_asks_for_the_next_look():
    answer = explain_case(case_of({"ball.start_deg": 4.0, "ball.curve_deg": 3.0}, how="ball"))
    assert 2.0 < answer.face.value * 57.3 < 6.0
    assert answer.looks[0].look.needs in ("eye", "ball")
    assert answer.causes[0].how == "assumed"


def test_cupped_wrist_that_misses_right_is_named():
    answer = explain_case(
        case_of(
            [
                {
                    "wrist.impact.flexion_deg": -8,
                    "wrist.impact.forearm_roll_deg": 0,
                    "shaft_lean_impact_deg": 4,
                    "ball.start_deg": 5,
                    "ball.curve_deg": 4,
                    "aim_deg": 0,
                    "handle_raise_deg": 2,
                }
            ]
            * 4,
            grip=Reading(0.0, 4.0, "by_eye"),
            strike="centre",
        )
    )
    assert answer.causes[0].cause == "lead_wrist_flexion"
    assert answer.causes[0].named


def test_standing_up_that_loses_forward_bend_is_named():
    answer = explain_case(
        case_of(
            [
                {
                    "wrist.impact.flexion_deg": 6,
                    "wrist.impact.forearm_roll_deg": 0,
                    "shaft_lean_impact_deg": 7,
                    "handle_raise_deg": 11,
                    "posture.forward_bend_address_deg": 38,
                    "posture.forward_bend_impact_deg": 20,
                    "ball.start_deg": 4,
                    "aim_deg": 0,
                    "wrist.address.ulnar_deviation_deg": 15,
                    "wrist.impact.ulnar_deviation_deg": 15,
                }
            ]
            * 3,
            grip=Reading(0.0, 4.0, "by_eye"),
            strike="centre",
        )
    )
    assert answer.causes[0].cause == "posture"
    assert "forward bend" in answer.story.headline


def test_toe_strike_with_the_driver_does_not_blame_the_wrist():
    answer = explain_case(
        case_of({"ball.start_deg": 2, "ball.curve_deg": -6, "wrist.impact.flexion_deg": 0}, club="driver", strike="toe")
    )
    assert "strike is on the toe" in answer.story.headline
    assert next(c for c in answer.triage if c.check == "strike").state == "suspect"


def test_contradiction_is_found_and_named():
    answer = explain_case(
        case_of({"delivery.face_deg": -6, "ball.start_deg": 6, "delivery.path_deg": 0}, strike="centre")
    )
    contradiction = next(i for i in answer.issues if i.code == "contradiction")
    assert "likeliest culprit" in contradiction.message


def test_strong_grip_and_cupped_wrist_are_said_to_cancel():
    answer = explain_case(
        case_of(
            [
                {
                    "wrist.impact.flexion_deg": -16,
                    "ball.start_deg": 0,
                    "ball.curve_deg": 0,
                    "shaft_lean_impact_deg": 5,
                    "wrist.impact.forearm_roll_deg": 0,
                }
            ]
            * 3,
            grip=Reading(11.0, 3.0, "by_eye"),
            strike="centre",
        )
    )
    assert any("matched pair is not a fault" in n for n in answer.story.notes)


def test_all_tries_are_explained_and_said_to_be_tries():
    assert any(i.code == "only_tries" for i in explain_case(interface_case()).issues)


def test_options_on_the_interface_case():
    answer = work_out_options(interface_case()).to_json()
    names = [o["option"] for o in answer["options"]]
    assert set(names) >= set(ALWAYS)
    assert len(names) >= 2
    assert [o["rank"] for o in answer["options"]] == list(range(1, len(names) + 1))
    for option in answer["options"]:
        assert option["release_tolerance_ms"] > 0
        assert option["arrival_tolerance_ms"] > 0
    assert names[0] in ("flexed_in_transition", "flexed_early", "grip")
    leave = next(o for o in answer["options"] if o["option"] == "leave_as_is")
    best = answer["options"][0]
    assert abs(best["face_deg"]) < 1.0 < leave["face_deg"]


def test_sore_wrist_puts_wrist_ways_last_with_a_caution():
    case = interface_case()
    sore = Case(Golfer("right", pain=("lead wrist",)), case.club, case.swings, case.grip_turn)
    options = work_out_options(sore).options
    wrist = [
        o for o in options if o.way.name in ("flexed_early", "flexed_in_transition", "rolled_late", "forearm_roll")
    ]
    assert [o.rank for o in wrist] == list(range(len(options) - len(wrist) + 1, len(options) + 1))
    assert all("clinician" in " ".join(o.way.cautions) for o in wrist)


def test_release_tolerance_is_two_degrees_over_the_closing_of_the_face():
    for option in work_out_options(interface_case()).options:
        rate = option.outcome.rate
        assert option.outcome.release_tolerance == pytest.approx(
            np.radians(2) / (rate * np.sin(np.radians(62.5))), rel=1e-9
        )
        assert 0.0005 < option.outcome.release_tolerance < 0.006


def test_square_and_steady_is_left_alone():
    steady = [{"delivery.face_deg": d, "delivery.path_deg": 0.5 - d, "wrist.impact.flexion_deg": 6.0, "ball.start_deg": d,
               "ball.curve_deg": 0.0, "leading_edge_tilt_shaft_level_deg": 36.0, "posture.forward_bend_address_deg": 36.0,
               "wrist.shaft_level_down.flexion_deg": -3.0} for d in (0.4, -0.3, 0.2, 0.0)]  # fmt: skip
    answer = work_out_options(case_of(steady, strike="centre"))
    assert answer.options[0].way.name == "leave_as_is"
    assert "nothing here that needs a change" in answer.explanation.story.headline


@pytest.mark.parametrize("seed", range(6))
def test_wild_readings_still_give_finite_answers(seed):
    """Readings from anywhere within what the interface allows: wide or contradictory, but never no number."""
    rng = np.random.default_rng(900 + seed)
    wild = {
        "delivery.face_deg": rng.uniform(-58, 58),
        "delivery.path_deg": rng.uniform(-44, 44),
        "ball.start_deg": rng.uniform(-58, 58),
        "ball.curve_deg": rng.uniform(-58, 58),
        "wrist.impact.flexion_deg": rng.uniform(-80, 90),
        "shaft_lean_impact_deg": rng.uniform(-38, 58),
        "delivery.delivered_loft_deg": rng.uniform(-9, 84),
    }
    some = {k: float(v) for k, v in wild.items() if rng.random() < 0.6}
    answer = explain_case(case_of(some, club=str(rng.choice(["driver", "7-iron", "sand wedge"]))))
    assert np.isfinite(
        [answer.face.value, answer.face.sd, answer.path.value, *(c.share.value for c in answer.causes)]
    ).all()
    options = work_out_options(answer.case, explanation=answer)
    assert json.dumps(options.to_json(), allow_nan=False)

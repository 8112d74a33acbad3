"""Thin or bad evidence: a useful answer with wide doubt that says what it lacks, or a clear refusal."""

import pytest

from ferrule.analysis.explain import explain_case
from ferrule.analysis.options import work_out_options
from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading, Tried, mirrored
from ferrule.errors import InputError
from ferrule.files.casefile import case_from_data
from ferrule.units import DEG

FLEXION, FACE, START = "wrist.impact.flexion_deg", "delivery.face_deg", "ball.start_deg"


def case_of(*swings, grip=None):
    return Case(Golfer("right"), club_by_name("7-iron"), tuple(swings), grip)


def codes(answer):
    return [i.code for i in answer.issues]


def test_nothing_read_is_as_wide_as_the_golfers_who_come():
    told = explain_case(case_of())
    assert codes(told) == ["no_readings"]
    assert told.face.sd > 10 * DEG
    assert codes(work_out_options(told.case, explanation=told)) == ["no_readings", "face_unseen"]


@pytest.mark.parametrize("count", [1, 12])
def test_one_thing_read_says_so_however_often(count):
    told = explain_case(case_of(*[CaseSwing({FLEXION: Reading(-12.0)})] * count))
    assert codes(told) == ["thin_evidence"]
    assert told.face.sd > 8 * DEG
    ways = work_out_options(told.case, explanation=told)
    said = next(i for i in ways.issues if i.code == "face_unseen")
    assert "see where five balls start" in said.message


def test_a_face_that_was_seen_warns_of_no_unseen_face():
    assert "face_unseen" not in codes(work_out_options(case_of(CaseSwing({FACE: Reading(4.0)}))))


def test_all_by_eye_is_said_and_balls_alone_are_not_blamed_for_it():
    swing = CaseSwing({FLEXION: Reading(-15.0, None, "by_eye"), START: Reading(5.0, None, "by_eye")})
    told = explain_case(case_of(swing, swing, grip=Reading(-8.0, None, "by_eye")))
    assert "all_by_eye" in codes(told)
    measured = explain_case(case_of(swing, CaseSwing({START: Reading(5.0)}), grip=Reading(-8.0)))
    assert told.face.sd > measured.face.sd
    assert "all_by_eye" not in codes(measured)
    assert "all_by_eye" not in codes(explain_case(case_of(*[CaseSwing(shape="push-fade")] * 5)))


def test_mountings_that_cannot_both_be_right_are_named():
    def worn(mount, flexion):
        return CaseSwing({FLEXION: Reading(flexion, None, "sensor")}, mount=mount)

    told = explain_case(case_of(worn("a", -15.0), worn("b", 9.0)))
    said = next(i for i in told.issues if i.code == "mounts_disagree")
    assert said.severity == "warning"
    assert said.message.startswith("Mounting b reads the lead wrist at impact 24° more bowed than mounting a")
    near = explain_case(case_of(worn("a", -6.0), worn("b", -1.0)))
    assert "several_mounts" in codes(near) and "mounts_disagree" not in codes(near)


def test_mountings_are_told_apart_alike_in_the_mirror():
    swings = [CaseSwing({FACE: Reading(f, 2.0, "sensor")}, mount=m) for f, m in ((-9.0, "a"), (12.0, "b"))]
    right, left = explain_case(case_of(*swings)), explain_case(mirrored(case_of(*swings)))
    said = [next(i.message for i in told.issues if i.code == "mounts_disagree") for told in (right, left)]
    assert "Mounting b reads the face 21° more to the right than mounting a" in said[0]
    assert "Mounting b reads the face 21° more to the left than mounting a" in said[1]


def test_only_tries_are_the_feel_not_the_golfer():
    told = explain_case(case_of(CaseSwing({START: Reading(-3.0)}, tried=Tried("bow"))))
    assert codes(told) == ["thin_evidence", "only_tries"]


@pytest.mark.parametrize(
    ("swing", "club", "words"),
    [
        ({"wrist": {"impact": {"flexion_deg": 140}}}, "7-iron", "beyond that no wrist goes"),
        ({"delivery": {"face_deg": 80}}, "7-iron", "between -60 and 60"),
        ({"ball": {"carry_m": 5, "side_m": 100}}, "7-iron", "no further to a side than the ball carries"),
        ({"ball": {"start_deg": 5}}, "mashie", "or give loft and length"),
    ],
)
def test_what_cannot_be_is_refused_in_words(swing, club, words):
    with pytest.raises(InputError, match=words):
        case_from_data({"schema": 1, "golfer": {"handedness": "right"}, "club": {"name": club}, "swings": [swing]})


def test_the_edge_of_the_possible_is_taken_and_remarked_on():
    case, remarks = case_from_data(
        {
            "schema": 1,
            "golfer": {"handedness": "right"},
            "club": {"name": "7-iron"},
            "swings": [{"wrist": {"impact": {"flexion_deg": 88}}}],
        }
    )
    assert [r.code for r in remarks] == ["unusual_angle"]
    told = explain_case(case)
    assert "contradiction" in codes(told)
    assert told.face.sd > 10 * DEG

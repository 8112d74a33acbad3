"""Odd swings and odd readings are named and left out of what is typical; ordinary lessons name none."""

from dataclasses import replace

import numpy as np
import pytest

from ferrule.analysis.explain import explain_case
from ferrule.analysis.odd_swings import without_odd
from ferrule.analysis.options import work_out_options
from ferrule.club.clubs import club_by_name
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading, Swings, Tried, mirrored
from ferrule.coaching.references import reference_of
from ferrule.units import DEG

SEVEN = club_by_name("7-iron")
BALL = response_of(Case(Golfer("right"), SEVEN), Swings()).at(reference_of(SEVEN).face.delivered_loft)
FLEXION = "wrist.impact.flexion_deg"


def lesson(seed, n, *, odd=0.0, at=2, kind="ball"):
    rng = np.random.default_rng(seed)
    swings = []
    for i in range(n):
        face, path = rng.normal(4, 2) + (odd if i == at else 0.0), rng.normal(0, 1)
        if kind == "ball":
            start = BALL.start(face, path) + rng.normal(0, 1)
            curve = BALL.curve((face - path) * DEG) / DEG + rng.normal(0, 2)
            readings = {"ball.start_deg": Reading(float(start)), "ball.curve_deg": Reading(float(curve))}
        else:
            readings = {"delivery.face_deg": Reading(float(face + rng.normal(0, 1)))}
        swings.append(CaseSwing(readings, strike="centre"))
    return Case(Golfer("right"), SEVEN, tuple(swings))


@pytest.mark.parametrize("kind", ["ball", "face"])
@pytest.mark.parametrize("n", [6, 12, 60, 500])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_an_odd_swing_is_named_with_its_number_and_left_out(n, kind, hand):
    case = lesson(n, n, odd=-16.0, kind=kind)
    case = case if hand == "right" else mirrored(case)
    told = explain_case(case)
    odd = [i for i in told.issues if i.code == "odd_swing"]
    assert [i.where for i in odd] == ["swing 3"]
    assert f"further {'left' if hand == 'right' else 'right'}" in odd[0].message
    without = explain_case(replace(case, swings=case.swings[:2] + case.swings[3:]))
    assert told.face == without.face
    assert (len(told.case.swings), len(told.set_right.swings)) == (n, n - 1)
    ways, others = work_out_options(case), work_out_options(without.case)
    assert [o.outcome.face for o in ways.options] == [o.outcome.face for o in others.options]


def test_a_swing_is_named_by_the_coachs_number():
    case = lesson(1, 12, odd=-16.0)
    numbered = replace(case, swings=tuple(replace(s, number=31 + i) for i, s in enumerate(case.swings)))
    assert [i.where for i in without_odd(numbered)[1]] == ["swing 33"]


def test_ordinary_lessons_name_hardly_any():
    named = {n: np.mean([bool(without_odd(lesson(s, n))[1]) for s in range(200)]) for n in (4, 12, 60)}
    assert max(named.values()) <= 0.04
    case = lesson(0, 12)
    assert without_odd(case)[0] is case


def test_one_of_two_or_three_is_never_odd():
    for n in (1, 2, 3):
        assert without_odd(lesson(0, n, odd=-30.0, at=0))[1] == []


def test_one_wild_reading_of_the_wrist_is_left_out_and_the_swing_kept():
    case = lesson(3, 10)
    rng = np.random.default_rng(8)
    wrist = [-4 + float(rng.normal(0, 3)) for _ in range(10)]
    wrist[4] = -49.0
    case = replace(
        case,
        swings=tuple(
            replace(s, readings={**s.readings, FLEXION: Reading(w)}) for s, w in zip(case.swings, wrist, strict=True)
        ),
    )
    got, notes = without_odd(case)
    assert [n.code for n in notes] == ["odd_reading"]
    assert notes[0].message.startswith("Swing 5: the lead wrist at impact was read as 49° cupped")
    assert [FLEXION in s.readings for s in got.swings] == [i != 4 for i in range(10)]
    assert got.swings[4].readings == lesson(3, 10).swings[4].readings
    told = explain_case(case)
    assert not any(i.code == "contradiction" for i in told.issues)


def test_sensors_put_on_again_are_not_odd():
    """Another mounting reads 8 degrees otherwise: its own offset, not an odd swing."""
    rng = np.random.default_rng(5)
    swings = tuple(
        CaseSwing({FLEXION: Reading(float(-4 + rng.normal(0, 2) + (8 if i >= 9 else 0)), 4.0, "sensor")}, "ab"[i >= 9])
        for i in range(12)
    )
    assert without_odd(Case(Golfer("right"), SEVEN, swings))[1] == []


def test_tries_are_not_judged_by_the_usual_swings():
    case = lesson(2, 12)
    tries = tuple(replace(s, tried=Tried("bow")) for s in lesson(9, 3, odd=-16.0, at=0).swings)
    assert without_odd(replace(case, swings=case.swings + tries))[1] == []
    only = lesson(2, 12, odd=-16.0)
    only = replace(only, swings=tuple(replace(s, tried=Tried("bow")) for s in only.swings))
    assert [i.where for i in without_odd(only)[1]] == ["swing 3"]


def test_many_balls_do_not_contradict_themselves():
    """The slope of the curve is known to some per cent alone, however many balls were seen: here it is a tenth off."""
    for seed in range(8):
        case = lesson(seed, 400)
        bent = tuple(
            replace(s, readings={**s.readings, "ball.curve_deg": Reading(0.9 * s.readings["ball.curve_deg"].value)})
            for s in case.swings
        )
        told = explain_case(replace(case, swings=bent))
        assert not any(i.code == "contradiction" for i in told.issues)

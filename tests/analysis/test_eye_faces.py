"""The balls teach the mounting, and the mounting the eye: a bias of the eye on the face found within twenty pairs."""

import numpy as np
import pytest

from ferrule.analysis.eye_faces import FACE, face_pairs
from ferrule.analysis.swing_faces import swing_faces
from ferrule.club.clubs import club_by_name
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading, Swings, mirrored
from ferrule.coaching.eye import learn_eye
from ferrule.coaching.references import reference_of
from ferrule.units import DEG

SEVEN = club_by_name("7-iron")
SHARE = response_of(Case(Golfer("right"), SEVEN), Swings()).at(reference_of(SEVEN).face.delivered_loft).face_share.value
SEEDS = range(120)


def lesson(rng, n, *, balls):
    """One mounting: mounting 4, sensor 2, start lines 1.5, path 4 and 1. Degrees of true face beside it."""
    offset, face, path = rng.normal(0, 4), rng.normal(0, 6) + rng.normal(0, 2.5, n), rng.normal(0, 4, 1)
    swings = []
    for i in range(n):
        readings = {
            FACE: Reading(float(face[i] + offset + rng.normal(0, 2)), 2.0, "sensor"),
            "aim_deg": Reading(0.0, 0.3),
        }
        if i < balls:
            start = SHARE * face[i] + (1 - SHARE) * (path[0] + rng.normal(0, 1)) + rng.normal(0, 1.5)
            readings["ball.start_deg"] = Reading(float(start), 1.5, "by_eye")
        swings.append(CaseSwing(readings, mount="a", strike="centre"))
    return Case(Golfer("right"), SEVEN, tuple(swings)), face


def learned(seed, bias, balls):
    rng = np.random.default_rng(seed)
    case, face = lesson(rng, 20, balls=balls)
    eyes = {i: Reading(float(f + bias + rng.normal(0, 2.86)), None, "by_eye") for i, f in enumerate(face)}
    return learn_eye(face_pairs(case, eyes, "lesson"))[FACE]


def test_with_balls_a_bias_of_five_degrees_is_found_from_one_mounting():
    got = [learned(seed, 5.0, 20) for seed in SEEDS]
    assert np.mean([g.found and g.bias.value > 0 for g in got]) > 0.8
    assert np.mean([learned(seed, 0.0, 20).found for seed in SEEDS]) < 0.06


def test_without_balls_the_mounting_cannot_be_told_from_the_eye_and_nobody_is_accused():
    assert np.mean([learned(seed, 5.0, 0).found for seed in SEEDS]) < 0.1


def test_the_doubt_is_honest():
    inside = []
    for seed in SEEDS:
        bias = float(np.random.default_rng(7000 + seed).normal(0, 2.8))
        low, high = learned(seed, bias, 20).bias.interval()
        inside.append(low <= bias <= high)
    assert 0.82 <= np.mean(inside) <= 0.97


def test_what_all_faces_share_is_what_their_mean_errs_by():
    alike, errors = [], []
    for seed in SEEDS:
        case, face = lesson(np.random.default_rng(seed), 20, balls=20)
        found = swing_faces(case)
        alike.append(found.alike / DEG)
        errors.append(np.mean([s.face.value / DEG for s in found.swings]) - face.mean())
    # The readings' own noise is left in the mean beside it.
    assert np.mean(alike) == pytest.approx(np.std(errors), rel=0.2)


def test_mirror_and_swings_without_anything_else_read():
    rng = np.random.default_rng(3)
    case, face = lesson(rng, 6, balls=6)
    bare = Case(case.golfer, SEVEN, (*case.swings, CaseSwing()))
    eyes = {i: Reading(float(f) + 2.0, None, "by_eye") for i, f in enumerate(face)} | {6: Reading(9.0, None, "by_eye")}
    right = face_pairs(bare, eyes, "x")
    left = face_pairs(mirrored(bare), {i: r.negated() for i, r in eyes.items()}, "x")
    assert len(right) == len(left) == 6
    assert [p.difference for p in right] == pytest.approx([-p.difference for p in left])
    assert face_pairs(bare, {}, "x") == []

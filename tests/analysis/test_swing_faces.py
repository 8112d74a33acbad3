"""Face of each single swing: accuracy after self-calibration, coverage, mirror, order, thin evidence."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.analysis.explain import explain_case
from ferrule.analysis.self_calibration import calibrated, mount_offsets
from ferrule.analysis.swing_faces import swing_faces
from ferrule.club.clubs import club_by_name
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading, Swings, Tried, mirrored
from ferrule.coaching.eye import EyePair, learn_eye
from ferrule.coaching.observation import summary_of
from ferrule.coaching.references import reference_of
from ferrule.coaching.wording_windows import odd_swing_sentence
from ferrule.units import DEG

SEVEN = club_by_name("7-iron")
SHARE = response_of(Case(Golfer("right"), SEVEN), Swings()).at(reference_of(SEVEN).face.delivered_loft).face_share.value


def lesson(rng, n=13, balls=12, mounts=1, tries=(), odd=0.0, hand="right"):
    """A lesson as the acceptance has it: mounting 4, sensor 2, start lines 1.5, path 4 and 1. Degrees of truth beside it."""
    offset = rng.normal(0, 4, mounts)
    face = rng.normal(0, 6) + rng.normal(0, 2.5, n)
    face[0] += odd
    path = rng.normal(0, 4) + rng.normal(0, 1, n)
    swings = []
    for i in range(n):
        readings = {
            "delivery.face_deg": Reading(float(face[i] + offset[i % mounts] + rng.normal(0, 2)), 2.0, "sensor"),
            "aim_deg": Reading(0.0, 0.3),
        }
        if i < balls:
            start = SHARE * face[i] + (1 - SHARE) * path[i] + rng.normal(0, 1.5)
            readings["ball.start_deg"] = Reading(float(start), 1.5, "by_eye")
        feel = Tried("bow early") if i in tries else None
        swings.append(CaseSwing(readings, mount=f"m{i % mounts}", strike="centre", tried=feel))
    return Case(Golfer(hand), SEVEN, tuple(swings)), face, path, offset


def test_face_of_each_swing_with_and_without_its_own_start_line():
    with_own, without, inside = [], [], []
    for seed in range(150):
        case, face, _, _ = lesson(np.random.default_rng(seed))
        got = swing_faces(case)
        errors = np.array([s.face.value / DEG for s in got.swings]) - face
        with_own.extend(errors[:12])
        without.append(errors[12])
        inside.extend(abs(e) < 1.645 * s.face.sd / DEG for e, s in zip(errors, got.swings, strict=True))
    assert np.sqrt(np.mean(np.square(with_own))) < 2.2
    assert np.sqrt(np.mean(np.square(without))) < 2.7
    assert 0.85 <= np.mean(inside) <= 0.95


def test_better_than_either_evidence_alone():
    errors = {"both": [], "sensor": [], "ball": []}
    for seed in range(60):
        case, face, _, _ = lesson(np.random.default_rng(seed))
        for name, drop in (("both", "-"), ("sensor", "ball."), ("ball", "delivery.")):
            kept = tuple(
                replace(s, readings={k: r for k, r in s.readings.items() if not k.startswith(drop)})
                for s in case.swings
            )
            got = swing_faces(replace(case, swings=kept))
            errors[name].extend([s.face.value / DEG - f for s, f in zip(got.swings[:12], face, strict=False)])
    rms = {name: np.sqrt(np.mean(np.square(e))) for name, e in errors.items()}
    assert rms["both"] < 0.9 * rms["ball"]
    assert rms["both"] < 0.6 * rms["sensor"]


@settings(derandomize=True, max_examples=20, deadline=None)
@given(st.integers(0, 1000), st.integers(1, 20))
def test_mirror_and_order_of_swings(seed, n):
    rng = np.random.default_rng(seed)
    case, _, _, _ = lesson(rng, n, balls=n - 1, mounts=2)
    got = swing_faces(case)
    other = swing_faces(mirrored(case))
    for a, b in zip(got.swings, other.swings, strict=True):
        assert a.face.value == pytest.approx(-b.face.value, abs=1e-9)
        assert a.face.sd == pytest.approx(b.face.sd, abs=1e-9)
    order = rng.permutation(n)
    moved = swing_faces(replace(case, swings=tuple(case.swings[i] for i in order)))
    for place, i in enumerate(order):
        assert moved.swings[place].face.value == pytest.approx(got.swings[i].face.value, abs=1e-9)


def test_an_odd_swing_is_named_for_either_hand():
    case, _, _, _ = lesson(np.random.default_rng(5), odd=20.0)
    for told, sign in ((swing_faces(case), 1.0), (swing_faces(mirrored(case)), -1.0)):
        assert [s.swing for s in told.swings if s.odd is not None] == [0]
        odd = told.swings[0].odd
        assert sign * odd.departure > 10 * DEG
        words = odd_swing_sentence(1, odd.quantity, odd.departure / DEG)
        assert f"further {'right' if sign > 0 else 'left'}" in words


def test_one_swing_alone_and_nothing_read():
    empty = swing_faces(Case(Golfer("right"), SEVEN, (CaseSwing(),)))
    assert empty.swings[0].face.value == 0.0
    assert empty.swings[0].face.sd == pytest.approx(np.hypot(12.0, 2.5) * DEG)
    assert not empty.swings[0].seen
    assert swing_faces(Case(Golfer("right"), SEVEN)).swings == ()
    case, _, _, _ = lesson(np.random.default_rng(1), 1, balls=1)
    one = swing_faces(case).swings[0]
    assert one.seen and one.odd is None
    assert 1.5 * DEG < one.face.sd < 4 * DEG


def test_nothing_to_learn_gives_the_case_itself():
    case, _, _, _ = lesson(np.random.default_rng(1))
    assert calibrated(case) == (case, [])
    assert calibrated(case)[0] is case


@pytest.mark.parametrize("hand", ["right", "left"])
def test_tries_teach_the_mounting_and_the_usual_swings_are_set_right(hand):
    before, after, inside = [], [], []
    for seed in range(60):
        case, face, _, offset = lesson(np.random.default_rng(seed), n=16, balls=16, tries=range(8, 16))
        case = case if hand == "right" else mirrored(case)
        sign = 1.0 if hand == "right" else -1.0
        learned = mount_offsets(case)["m0"]
        inside.append(abs(learned.value / DEG - offset[0]) < 1.645 * learned.sd / DEG)
        got, notes = calibrated(case)
        assert [n.code for n in notes] == ["mounting_offset_learned"]
        raw = np.array([sign * s.readings["delivery.face_deg"].value for s in case.swings[:8]])
        new = np.array([sign * s.readings["delivery.face_deg"].value for s in got.swings[:8]])
        before.append((raw - face[:8]).mean())
        after.append((new - face[:8]).mean())
        sd = got.swings[0].readings["delivery.face_deg"].sd / np.sqrt(8)
        assert sd == pytest.approx(np.hypot(learned.sd / DEG, 2 / np.sqrt(8)))
        assert got.swings[0].get("ball.start_deg") == case.swings[0].get("ball.start_deg")
    assert np.sqrt(np.mean(np.square(before))) > 3.0
    assert np.sqrt(np.mean(np.square(after))) < 1.8
    assert 0.78 <= np.mean(inside) <= 0.99


def test_balls_with_another_club_teach_the_mounting():
    rng = np.random.default_rng(11)
    case, _, _, _ = lesson(rng, n=6, balls=0)
    driver = replace(case, club=club_by_name("driver"), swings=lesson(np.random.default_rng(11), n=12)[0].swings)
    assert calibrated(case)[0] is case
    got, notes = calibrated(replace(case, same_lesson=(driver,)))
    assert got.swings[0].readings["delivery.face_deg"].sd / np.sqrt(6) < 3.0
    assert len(notes) == 1


def test_the_eye_is_taken_out_wherever_it_looked():
    key = "wrist.top.flexion_deg"
    rng = np.random.default_rng(3)
    known = learn_eye(
        [
            EyePair(key, Reading(5 + float(rng.normal(0, 4)), None, "by_eye"), Reading(0.0, 3.0), str(i))
            for i in range(20)
        ]
    )
    case = Case(
        Golfer("left"),
        SEVEN,
        (CaseSwing({key: Reading(2.0, None, "by_eye"), "aim_deg": Reading(1.0, 1.0)}),) * 3,
        eye=known,
    )
    got, notes = calibrated(case)
    assert got.swings[0].readings[key].value == pytest.approx(2.0 - known["wrist.flexion_deg"].bias.value)
    assert got.swings[0].readings["aim_deg"] == case.swings[0].readings["aim_deg"]
    assert [n.code for n in notes] == ["eye_bias_removed"]
    assert "too bowed" in notes[0].message


def test_the_explanation_is_nearer_the_truth_and_honest_with_the_offset_out():
    raw, told = [], []
    for seed in range(25):
        case, face, _, _ = lesson(np.random.default_rng(seed), n=16, balls=16, tries=range(8, 16))
        blind = tuple(
            s if s.tried else replace(s, readings={k: r for k, r in s.readings.items() if not k.startswith("ball.")})
            for s in case.swings
        )
        case = replace(case, swings=blind)
        untaught = replace(case, swings=blind[:8])
        for answer, kept in ((explain_case(untaught), raw), (explain_case(case), told)):
            kept.append(((answer.face.value / DEG - face[:8].mean()), answer.face.sd / DEG))
        if seed == 0:
            # Taken out once: a case that was set right before is explained alike.
            again = explain_case(calibrated(case)[0])
            assert again.face == explain_case(case).face
            assert any(i.code == "mounting_offset_learned" for i in explain_case(case).issues)
    before, after = np.array(raw), np.array(told)
    assert np.sqrt(np.mean(after[:, 0] ** 2)) < 0.6 * np.sqrt(np.mean(before[:, 0] ** 2))
    assert np.mean(np.abs(after[:, 0]) < 1.645 * after[:, 1]) >= 0.88


def test_sensor_faces_share_the_doubt_of_their_mounting():
    """Twelve swings of one mounting leave most of its doubt; of three mountings less; of an instrument almost none."""

    def sd_of(mounts, how="sensor", zeroed=False):
        swings = Swings(
            CaseSwing({"delivery.face_deg": Reading(3.0, 2.0, how)}, mount=mounts[i % len(mounts)], zeroed=zeroed)
            for i in range(12)
        )
        return summary_of(swings, "delivery.face_deg", "face").sd / DEG

    assert sd_of("a") == pytest.approx(np.sqrt(1.4**2 + 2.04 / 12), abs=1e-3)
    assert sd_of("abc") == pytest.approx(np.sqrt(1.4**2 / 3 + 2.04 / 12), abs=1e-3)
    assert sd_of("a", "typed") == pytest.approx(2 / np.sqrt(12), abs=1e-3)
    assert sd_of("a", zeroed=True) == pytest.approx(2 / np.sqrt(12), abs=1e-3)

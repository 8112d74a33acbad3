"""The coach's eye and the sensors' mountings set the case right, from what is kept: end to end through the app."""

from datetime import timedelta

import numpy as np
import pytest

from ferrule.app import cases
from ferrule.app.devices import add_device, answer_sign
from ferrule.app.eye_record import eye_for
from ferrule.app.golfers import add_golfer
from ferrule.app.lessons import start_lesson
from ferrule.app.swing_rows import NewReading
from ferrule.app.swings import add_swing, read_grip, remove_reading, set_aside, set_reading
from ferrule.app.undo import undo
from ferrule.app.workspace import Workspace, now
from ferrule.club.clubs import club_by_name
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.case import Case, Golfer, Swings
from ferrule.coaching.references import reference_of

FACE, START, FLEXION, AIM = "delivery.face_deg", "ball.start_deg", "wrist.impact.flexion_deg", "aim_deg"


def known(ws: Workspace, lesson_id: int | None = None):
    with ws.reading() as session:
        return eye_for(ws, session, lesson_id)


def taught(ws: Workspace, rng, bias=5.0, lessons=10, each=2):
    """Earlier lessons in which the wrist was read by eye and by sensors, put on anew in each."""
    for n in range(lessons):
        golfer = add_golfer(ws, name=f"Golfer {n}", handedness="right" if n % 2 else "left")
        lesson = start_lesson(ws, golfer.id, started_at=now() - timedelta(days=40 - n))
        zero = rng.normal(0, 2.1)
        for _ in range(each):
            truth = rng.normal(-5, 8)
            add_swing(
                ws,
                lesson.id,
                mount="a",
                readings=[
                    NewReading(FLEXION, float(truth + bias + rng.normal(0, 4)), None, "by_eye"),
                    NewReading(FLEXION, float(truth + zero + rng.normal(0, 2)), None, "sensor"),
                ],
            )


def test_a_biased_eye_is_found_and_allowed_for_in_words(ws: Workspace) -> None:
    taught(ws, np.random.default_rng(1))
    golfer = add_golfer(ws, name="Ida Holm", handedness="right")
    lesson = start_lesson(ws, golfer.id)
    for flexion in (-3.0, -5.0, -4.0):
        add_swing(ws, lesson.id, readings=[NewReading(FLEXION, flexion, None, "by_eye")])
    eye = known(ws, lesson.id)["wrist.flexion_deg"]
    assert eye.pairs == 20 and eye.found
    assert eye.bias.value == pytest.approx(5.0, abs=2.5)
    told = cases.explanation(ws, golfer.id)
    note = next(i for i in told.issues if i.code == "eye_bias_removed")
    assert note.message.startswith("Your eye has seen the lead wrist about")
    assert "too bowed in 20 comparisons" in note.message
    seen = told.set_right.swings[0].readings[FLEXION]
    assert seen.value == pytest.approx(-3.0 - eye.bias.value)
    assert told.case.swings[0].readings[FLEXION].value == -3.0


def test_what_stands_in_the_case_does_not_teach_the_eye_beside_it(ws: Workspace) -> None:
    golfer = add_golfer(ws, name="Ida Holm", handedness="right")
    lesson = start_lesson(ws, golfer.id)
    for _ in range(6):
        both = [NewReading(FLEXION, 2.0, None, "by_eye"), NewReading(FLEXION, -6.0, None, "sensor")]
        add_swing(ws, lesson.id, mount="a", readings=both)
    assert known(ws, lesson.id) == {}
    assert known(ws)["wrist.flexion_deg"].pairs == 6
    assert cases.case_of(ws, golfer.id).eye == {}


def test_beside_an_instrument_the_eye_is_set_right_before_they_are_joined(ws: Workspace) -> None:
    taught(ws, np.random.default_rng(2), bias=8.0)
    golfer = add_golfer(ws, name="Ida Holm", handedness="right")
    lesson = start_lesson(ws, golfer.id)
    both = [NewReading(FLEXION, 3.0, None, "by_eye"), NewReading(FLEXION, -5.0, None, "sensor")]
    add_swing(ws, lesson.id, mount="a", readings=both)
    bias = known(ws, lesson.id)["wrist.flexion_deg"].bias.value
    reading = cases.case_of(ws, golfer.id).swings[0].readings[FLEXION]
    assert bias > 5.0
    assert reading.how == "sensor"
    assert min(-5.0, 3.0 - bias) - 1e-9 <= reading.value <= max(-5.0, 3.0 - bias) + 1e-9
    told = cases.explanation(ws, golfer.id)
    assert told.set_right.swings[0].readings[FLEXION] == reading


def test_the_record_follows_what_is_entered_taken_back_and_set_aside(ws: Workspace) -> None:
    golfer = add_golfer(ws, name="Ida Holm", handedness="right")
    lesson = start_lesson(ws, golfer.id)
    swing = add_swing(
        ws, lesson.id, readings=[NewReading(AIM, 4.0, None, "by_eye"), NewReading(AIM, 1.0, None, "video")]
    )
    assert known(ws)["aim_deg"].pairs == 1
    first = known(ws)["aim_deg"].bias.value
    set_reading(ws, swing.id, NewReading(AIM, -4.0, None, "by_eye"))
    assert known(ws)["aim_deg"].bias.value < 0 < first
    undo(ws, lesson_id=lesson.id)
    assert known(ws)["aim_deg"].bias.value == first
    set_aside(ws, swing.id)
    assert known(ws) == {}
    undo(ws, lesson_id=lesson.id)
    remove_reading(ws, next(r.id for r in swing.readings if r.how == "video"))
    assert known(ws) == {}


def test_grip_device_and_other_swings_of_the_lesson_teach_too(ws: Workspace) -> None:
    golfer = add_golfer(ws, name="Ida Holm", handedness="right")
    lesson = start_lesson(ws, golfer.id)
    read_grip(ws, lesson.id, 6.0, how="by_eye")
    read_grip(ws, lesson.id, -2.0, how="video")
    assert known(ws)["grip_turn_deg"].pairs == 1
    assert known(ws)["grip_turn_deg"].bias.value > 0
    device = add_device(ws, "the box")
    answer_sign(ws, device.id, "wrist.flexion_deg", "bows")
    by_eye = [NewReading(FLEXION, 6.0, None, "by_eye")]
    add_swing(ws, lesson.id, readings=[*by_eye, NewReading(FLEXION, 0.0, None, "typed", device.id)])
    add_swing(ws, lesson.id, readings=by_eye)
    add_swing(ws, lesson.id, readings=by_eye, feel="bow it")
    add_swing(ws, lesson.id, readings=[NewReading(FLEXION, 0.0)])  # typed off nothing: no instrument
    assert known(ws)["wrist.flexion_deg"].pairs == 2


def face_lesson(
    ws: Workspace, rng, golfer_id: int, club: str, mount: str, offset: float, n: int, *, balls: bool, eye=None
):
    """Swings under one mounting whose face reads too open by its offset. Returns the lesson's true faces."""
    bat = club_by_name(club)
    share = response_of(Case(Golfer("right"), bat), Swings()).at(reference_of(bat).face.delivered_loft).face_share.value
    lesson = cases.case_lesson(ws, golfer_id) or start_lesson(ws, golfer_id).id
    face, path = rng.normal(0, 4) + rng.normal(0, 2, n), rng.normal(0, 3) + rng.normal(0, 1, n)
    for f, p in zip(face, path, strict=True):
        readings = [NewReading(FACE, float(f + offset + rng.normal(0, 2)), 2.0, "sensor"), NewReading(AIM, 0.0, 0.3)]
        if balls:
            start = share * f + (1 - share) * p + rng.normal(0, 1.5)
            readings.append(NewReading(START, float(start), 1.5))
        if eye is not None:
            readings.append(NewReading(FACE, float(f + eye + rng.normal(0, 2.5)), None, "by_eye"))
        add_swing(ws, lesson, club=club, mount=mount, readings=readings, strike="centre")
    return face


def test_balls_with_another_club_set_the_mounting_right(ws: Workspace) -> None:
    raw, mended, again = [], [], []
    for seed in range(12):
        rng = np.random.default_rng(seed)
        golfer = add_golfer(ws, name=f"Golfer {seed}", handedness="right")
        offset = rng.choice([-1, 1]) * rng.uniform(3, 7)
        blind = face_lesson(ws, rng, golfer.id, "7-iron", "a", offset, 8, balls=False)
        raw.append(np.rad2deg(cases.explanation(ws, golfer.id, "7-iron").face.value) - blind.mean())
        face_lesson(ws, rng, golfer.id, "pitching wedge", "a", offset, 12, balls=True)
        told = cases.explanation(ws, golfer.id, "7-iron")
        note = next(i for i in told.issues if i.code == "mounting_offset_learned")
        assert note.where == "mount a" and "mounting a reads the face" in note.message
        mended.append(np.rad2deg(told.face.value) - blind.mean())
        # Put on again: a new offset, of which the balls before say nothing.
        other = face_lesson(ws, rng, golfer.id, "driver", "b", -offset, 8, balls=False)
        anew = cases.explanation(ws, golfer.id, "driver")
        assert not any(i.code == "mounting_offset_learned" for i in anew.issues)
        again.append(np.rad2deg(anew.face.value) - other.mean())
    assert np.sqrt(np.mean(np.square(raw))) > 3.0
    assert np.sqrt(np.mean(np.square(mended))) < 2.2
    assert np.sqrt(np.mean(np.square(again))) > 3.0


def test_balls_teach_the_mounting_and_the_mounting_the_eye(ws: Workspace) -> None:
    """One mounting, twenty pairs: without balls nobody can tell its offset from the eye's bias; with them anybody can."""
    found = {}
    for balls in (False, True):
        rng = np.random.default_rng(7)
        golfer = add_golfer(ws, name=f"Balls {balls}", handedness="right")
        face_lesson(ws, rng, golfer.id, "7-iron", "a", 4.0, 20, balls=balls, eye=5.0)
        found[balls] = known(ws)[FACE]
    assert found[False].pairs == 20 and not found[False].found
    assert found[True].found
    assert found[True].bias.value == pytest.approx(5.0, abs=2.5)


def test_a_mounting_of_another_lesson_is_another_mounting(ws: Workspace) -> None:
    rng = np.random.default_rng(3)
    golfer = add_golfer(ws, name="Ida Holm", handedness="right")
    old = start_lesson(ws, golfer.id, started_at=now() - timedelta(days=7))
    today = start_lesson(ws, golfer.id)
    for lesson in (old, today):
        worn = [NewReading(FACE, 6.0, 2.0, "sensor")]
        add_swing(ws, lesson.id, club="7-iron", mount="a", readings=worn)
    for _ in range(12):
        worn = [NewReading(FACE, float(rng.normal(5, 2)), 2.0, "sensor"), NewReading(START, float(rng.normal(0, 2)))]
        add_swing(ws, old.id, club="driver", mount="a", readings=worn)
    assert len(cases.case_of(ws, golfer.id, "7-iron", old.id).same_lesson) == 1
    assert cases.case_of(ws, golfer.id, "7-iron", today.id).same_lesson == ()

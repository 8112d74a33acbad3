"""Drills that the coach writes down: checked, kept, held back where they would hurt; reps made of recorded swings."""

from dataclasses import replace

import pytest

from ferrule.app import drills, golfers, lessons, plans, progress, swings
from ferrule.app.drills import DrillWords
from ferrule.app.swings import NewReading
from ferrule.app.undo import undo
from ferrule.app.views import GolferView, LessonView
from ferrule.app.workspace import Workspace
from ferrule.coaching.case import Golfer, WristRange
from ferrule.coaching.drills import allowed, drills_for
from ferrule.errors import InputError
from ferrule.store.tables import Recording, Swing

TOP = "wrist.top.flexion_deg"
BROOM = DrillWords(
    "Broom by the fence", ["flexed_early"], ["lead_wrist_flexion"], True, ["A broom."], ["Sweep along the fence."], True,
    {"pose": 5, "slow": 5, "full": 3}, stop=["anything hurts"], measure_key=TOP, at_least=-5.0, at_most=20.0,
    measure_words="flat at the top", picture="slow_motion",
)  # fmt: skip


def test_an_own_drill_is_kept_and_offered_first(ws: Workspace) -> None:
    made = drills.write_drill(ws, BROOM, key="once")
    assert drills.write_drill(ws, BROOM, key="once") == made
    (own,) = drills.own_drills(ws)
    assert (own.drill.title, own.drill.load, own.drill.own, own.drill.picture) == (
        "Broom by the fence", "wrist", True, "slow_motion",
    )  # fmt: skip
    assert [d.step for d in own.drill.doses] == ["pose", "slow", "full"]
    assert drills.library(ws)[0] == own.drill
    assert drills.drill_named(drills.library(ws), "broom by the fence.") == own.drill
    drills.put_drill_away(ws, made.id)
    assert own.drill not in drills.library(ws)
    assert own.drill in drills.every_drill(ws)
    drills.put_drill_away(ws, made.id, away=False)
    changed = drills.write_drill(ws, replace(BROOM, loads_the_wrist=False, closes=None), drill_id=made.id)
    # Work on the wrist is never "no load at all", whatever the answer was.
    assert (changed.id, changed.drill.load, changed.drill.closes) == (made.id, "light", None)


@pytest.mark.parametrize(
    ("words", "where"),
    [
        (replace(BROOM, title=" "), "title"),
        (replace(BROOM, title="Feet together."), "title"),
        (replace(BROOM, ways=[]), "ways"),
        (replace(BROOM, ways=["jump"]), "ways"),
        (replace(BROOM, how=["", " "]), "how"),
        (replace(BROOM, stop=[]), "stop"),
        (replace(BROOM, loads_the_wrist=None), "loads_the_wrist"),
        (replace(BROOM, reps={}), "reps_slow"),
        (replace(BROOM, reps={"full": 5}), "reps_full"),
        (replace(BROOM, reps={"slow": 15}), "reps_slow"),
        (replace(BROOM, measure_key="wrist.moon_deg"), "measure"),
        (replace(BROOM, at_least=9.0, at_most=2.0), "high"),
        (replace(BROOM, at_least=None, at_most=None), "low"),
        (replace(BROOM, picture="film"), "picture"),
    ],
)
def test_faults_stand_by_their_fields(ws: Workspace, words: DrillWords, where: str) -> None:
    with pytest.raises(InputError) as told:
        drills.write_drill(ws, words)
    assert {f.where for f in told.value.faults} == {where}
    assert drills.own_drills(ws) == []


@pytest.mark.parametrize(
    "golfer",
    [
        pytest.param(Golfer("right", age_group="junior"), id="child"),
        pytest.param(Golfer("right", pain=("left wrist",)), id="sore"),
        pytest.param(Golfer("right", pain=("numb fingers",)), id="numb"),
        pytest.param(Golfer("right", wrist_range=WristRange(30.0, 60.0, 20.0, 30.0, measured=True)), id="stiff"),
    ],
)
def test_own_wrist_work_is_held_back_like_ours(ws: Workspace, golfer: Golfer) -> None:
    own = drills.write_drill(ws, BROOM).drill
    assert not allowed(own, golfer)[0]
    assert own not in drills_for(drills.library(ws), golfer, way="flexed_early")
    assert all(d.load != "wrist" for d in drills_for(drills.library(ws), golfer, way="flexed_early"))
    assert own in drills_for(drills.library(ws), Golfer("right"), way="flexed_early")


def test_a_plan_with_a_drill_that_would_hurt_says_so_and_takes_a_gentler_one(ws: Workspace) -> None:
    own = drills.write_drill(ws, replace(BROOM, ways=["grip", "flexed_early"])).drill
    child = golfers.add_golfer(ws, name="Mia", handedness="right", age_group="junior")
    lesson = lessons.start_lesson(ws, child.id)
    plans.choose_way(ws, lesson.id, "grip", club="7-iron", drill=own.title)
    settled = progress.progress(ws, child.id).settled
    assert settled is not None
    assert settled.plan.held_back == own
    assert settled.plan.drill is not None
    assert settled.plan.drill.load != "wrist"
    assert any("Broom by the fence is held back. Still growing" in r for r in settled.plan.reasons)


def recorded(ws: Workspace, lesson: LessonView, tops: list[float]) -> int:
    """Swings as a recording's analysis leaves them."""
    ids = [swings.add_swing(ws, lesson.id, club="7-iron", readings=[NewReading(TOP, t, how="sensor")]).id for t in tops]
    with ws.change("test", lesson_id=lesson.id, in_book=False) as change:
        session = change.session
        club = session.get_one(Swing, ids[0]).club_id
        from ferrule.store.codec import pack_bytes, sha256_of
        from ferrule.store.tables import Original

        packing, content = pack_bytes(b"x")
        session.add(Original(sha256=sha256_of(b"x"), size_bytes=1, packing=packing, content=content))
        session.flush()
        row = Recording(
            lesson_id=lesson.id, club_id=club, sha256=sha256_of(b"x"), file_name="a.csv", kind="swings", mount="a",
            state="analysed", issues={}, imported_at=lesson.started_at,
        )  # fmt: skip
        session.add(row)
        session.flush()
        for number, swing_id in enumerate(ids, 1):
            swing = session.get_one(Swing, swing_id)
            swing.recording_id, swing.number_in_recording = row.id, number
        return row.id


def test_recorded_reps_are_held_to_the_drills_own_measure(
    ws: Workspace, golfer: GolferView, lesson: LessonView
) -> None:
    own = drills.write_drill(ws, BROOM).drill
    plans.choose_way(ws, lesson.id, "flexed_early", club="7-iron", drill=own.title)
    recording = recorded(ws, lesson, [0.0, 4.0, -12.0, 8.0])
    assert drills.mark_reps(ws, lesson.id, own.title, recording_id=recording, key="k") == 4
    assert drills.mark_reps(ws, lesson.id, own.title, recording_id=recording, key="k") == 4
    swings.add_swing(ws, lesson.id, club="7-iron", feel=own.title)
    found = progress.progress(ws, golfer.id)
    assert (found.reps.good, found.reps.missed, found.reps.unmeasured) == (3, 1, 1)
    with pytest.raises(InputError, match="nothing else yet"):
        drills.mark_reps(ws, lesson.id, own.title, recording_id=recording)
    undo(ws, lesson_id=lesson.id)
    undo(ws, lesson_id=lesson.id)
    assert progress.progress(ws, golfer.id).reps.good == 0


def test_a_left_handers_reps_are_mirrored(ws: Workspace) -> None:
    words = replace(
        BROOM, title="Start it right", ways=["aim"], causes=["aim"], loads_the_wrist=False, measure_key="ball.start_deg",
        at_least=1.0, at_most=6.0,
    )  # fmt: skip
    own = drills.write_drill(ws, words).drill
    assert own.load == "none"
    left = golfers.add_golfer(ws, name="Lea", handedness="left")
    lesson = lessons.start_lesson(ws, left.id)
    plans.choose_way(ws, lesson.id, "aim", club="7-iron", drill=own.title)
    for start in (-3.0, -2.0, 3.0):
        swings.add_swing(
            ws, lesson.id, club="7-iron", feel=own.title, readings=[NewReading("ball.start_deg", start, how="ball")]
        )
    reps = progress.progress(ws, left.id).reps
    assert (reps.good, reps.missed) == (2, 1)

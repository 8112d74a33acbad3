"""The library of drills: whom each suits, what a good rep is, how doses start and grow."""

from dataclasses import replace

import pytest

from ferrule.coaching.case import Golfer, WristRange
from ferrule.coaching.delivery_state import CAUSES
from ferrule.coaching.drills import (
    STEPS,
    Drill,
    Reps,
    allowed,
    count_reps,
    dose_for,
    doses_for,
    drills_for,
    next_step,
    rep_verdict,
)
from ferrule.coaching.drills_library import BY_NAME, DRILLS
from ferrule.coaching.quantities import GRIP_TURN, QUANTITIES
from ferrule.coaching.ways import _TABLE, WRIST_WAYS

ADULT = Golfer("right")
JUNIOR = Golfer("right", age_group="junior")
SORE = Golfer("right", pain=("left wrist",))
STIFF = Golfer("right", wrist_range=WristRange(flexion=40.0, measured=True))
ORDER = {"pose": 0, "slow": 1, "half": 2, "full": 3}


@pytest.mark.parametrize("drill", DRILLS, ids=lambda d: d.name)
def test_every_drill_is_whole(drill: Drill) -> None:
    assert set(drill.ways) <= set(_TABLE)
    assert set(drill.causes) <= set(CAUSES)
    assert drill.set_up and drill.do and drill.stop and drill.cautions and drill.next_step
    assert drill.source == "common practice"
    if drill.measure is not None:
        known = set(QUANTITIES) | {GRIP_TURN.key}
        assert drill.measure.key in known
        assert drill.measure.gain_from is None or drill.measure.gain_from in known
        assert drill.measure.at_least is not None or drill.measure.at_most is not None


@pytest.mark.parametrize("drill", DRILLS, ids=lambda d: d.name)
def test_every_dose_starts_slow_and_short(drill: Drill) -> None:
    steps = [ORDER[d.step] for d in drill.doses]
    assert steps == sorted(steps)
    assert drill.doses[0].step == "pose"
    assert all(d.reps * d.sets <= 20 for d in drill.doses)
    assert all(d.rest_s >= 20 for d in drill.doses)
    assert STEPS[0] == "pose"


@pytest.mark.parametrize("drill", DRILLS, ids=lambda d: d.name)
def test_thoughts_speak_of_club_face_ball_first(drill: Drill) -> None:
    """External focus first (Wulf, Lauterbach & Toole 1999; science.md E43): no body part in the first thought, but that on
    which the drill rests.
    """
    bodily = ("wrist", "forearm", "elbow", "knuckle", "shoulder", "hip ")
    assert not any(word in drill.thought.lower() for word in bodily)
    assert drill.inner


@pytest.mark.parametrize("golfer", [JUNIOR, SORE, STIFF], ids=["junior", "sore", "stiff"])
def test_nothing_that_loads_the_wrist(golfer: Golfer) -> None:
    for way in WRIST_WAYS:
        for drill in drills_for(DRILLS, golfer, way=way):
            assert drill.load != "wrist"
            wrist = {"lead_wrist_flexion", "lead_wrist_unset", "forearm_roll"} & set(drill.causes)
            assert not (wrist and any(d.step == "full" for d in doses_for(drill, golfer)))
    assert not allowed(BY_NAME["set_the_face_early"], golfer)[0]
    assert allowed(BY_NAME["set_the_face_early"], ADULT)[0]


def test_a_sore_wrist_gets_no_wrist_drill_that_swings() -> None:
    assert not allowed(BY_NAME["stop_coming_down"], SORE)[0]
    assert "clinician" in allowed(BY_NAME["stop_coming_down"], SORE)[1]


def test_a_sore_back_does_not_hold_the_bend() -> None:
    assert not allowed(BY_NAME["back_to_the_wall"], Golfer("right", pain=("lower back",)))[0]


@pytest.mark.parametrize("way", list(_TABLE))
def test_every_way_has_a_drill_for_an_adult(way: str) -> None:
    assert drills_for(DRILLS, ADULT, way=way)  # type: ignore[arg-type]


@pytest.mark.parametrize("cause", CAUSES)
@pytest.mark.parametrize("closes", [True, False])
def test_every_cause_has_a_drill(cause: str, closes: bool) -> None:
    # A handle held low is a matter of address: no drill of its own.
    if closes or cause not in ("posture", "lead_wrist_unset"):
        assert drills_for(DRILLS, ADULT, cause=cause, closes=closes)


def test_way_and_cause_come_first_and_the_side_is_respected() -> None:
    first = drills_for(DRILLS, ADULT, way="flexed_in_transition", cause="lead_wrist_flexion")[0]
    assert first.name == "stop_coming_down"
    closed = drills_for(DRILLS, ADULT, way="flexed_in_transition", cause="lead_wrist_flexion", closes=False)
    assert "toe_up_early" in [d.name for d in closed]
    assert "stop_coming_down" not in [d.name for d in closed]


def test_reps_are_checked_against_the_drills_own_measure() -> None:
    drill = BY_NAME["stop_coming_down"]
    good = {"wrist.top.flexion_deg": -18.0, "wrist.shaft_level_down.flexion_deg": -8.0}
    missed = {**good, "wrist.shaft_level_down.flexion_deg": -17.0}
    assert rep_verdict(drill, good) == "good"
    assert rep_verdict(drill, missed) == "missed"
    assert rep_verdict(drill, {"wrist.top.flexion_deg": -18.0}) == "unmeasured"
    assert count_reps(drill, [good, good, missed, {}]) == Reps(2, 1, 1)
    assert rep_verdict(replace(drill, measure=None), good) == "unmeasured"


def test_steps_up_and_down() -> None:
    drill = BY_NAME["stop_coming_down"]
    assert next_step(drill, ADULT, "slow", Reps(8, 2, 3)) == "half"
    assert next_step(drill, ADULT, "slow", Reps(3, 7, 0)) == "pose"
    assert next_step(drill, ADULT, "slow", Reps(6, 4, 0)) == "slow"
    assert next_step(drill, ADULT, "slow", Reps(4, 0, 20)) == "slow"
    assert next_step(drill, ADULT, "full", Reps(10, 0, 0)) == "full"
    assert next_step(drill, JUNIOR, "half", Reps(10, 0, 0)) == "half"


def test_growing_and_older_golfers_do_less() -> None:
    drill = BY_NAME["stop_coming_down"]
    adult, young = dose_for(drill, ADULT), dose_for(drill, JUNIOR)
    assert young.sets < adult.sets
    assert young.days_a_week <= 3


def test_a_coachs_own_drill_is_found() -> None:
    own = replace(BY_NAME["quiet_hands_gate"], name="bucket", title="Over the bucket", ways=("aim",), own=True)
    assert own in drills_for([*DRILLS, own], ADULT, way="aim")

"""Comparing across mounts, and noticing a mount that moved."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import ttest_ind

from ferrule.analysis.mounts import (
    ABSOLUTE,
    MOUNT_FREE,
    AddressGravity,
    MountedReadings,
    compare_mounts,
    find_slip,
    slip_between,
)
from ferrule.analysis.recording import analyse_recording
from ferrule.club.clubs import club_by_name
from ferrule.sensing.recording import Recording, SensorTrace
from ferrule.simulator.faults import Faults, Slip
from ferrule.simulator.lesson import simulate_lesson
from ferrule.simulator.plans import SwingPlan
from ferrule.statistics.estimate import Estimate
from ferrule.units import DEG


def readings(mount: str, values_deg: list[float], sd_deg: float = 1.0) -> MountedReadings:
    return MountedReadings(mount, tuple(Estimate(v * DEG, sd_deg * DEG) for v in values_deg))


@pytest.mark.parametrize("quantity", ABSOLUTE)
def test_no_claim_on_absolute_angles_across_mounts(quantity: str) -> None:
    before, after = readings("a", [1.0, 2.0, 3.0]), readings("b", [41.0, 42.0, 43.0])
    told = compare_mounts(quantity, before, after)
    assert told.verdict == "refused"
    assert told.change is None
    assert "taken off" in told.words
    same = MountedReadings("a", after.readings)
    assert compare_mounts(quantity, before, same).verdict == "changed"


@pytest.mark.parametrize("quantity", MOUNT_FREE)
def test_across_mounts_the_readings_own_doubt_counts_twice(quantity: str) -> None:
    before, after = [10.0, 11.0, 12.0, 11.0, 11.0], [14.0, 13.0, 13.5, 13.0, 14.0]
    within = compare_mounts(quantity, readings("a", before), readings("a", after))
    across = compare_mounts(quantity, readings("a", before), readings("b", after))
    assert (within.verdict, across.verdict) == ("changed", "no_change")
    assert within.change is not None and across.change is not None
    assert across.change.sd**2 - within.change.sd**2 == pytest.approx(2.0 * DEG**2)


def test_within_one_mount_it_is_welchs_test() -> None:
    """Against SciPy's own."""
    rng = np.random.default_rng(3)
    before, after = rng.normal(0.0, 1.0, 6), rng.normal(1.4, 2.0, 9)
    theirs = ttest_ind(after, before, equal_var=False).confidence_interval(0.95)
    told = compare_mounts("flexion", readings("a", list(before)), readings("a", list(after)))
    assert told.change is not None and told.needed is not None
    assert (told.change.value + told.needed) / DEG == pytest.approx(theirs.high)
    assert (told.change.value - told.needed) / DEG == pytest.approx(theirs.low)


def test_too_few_swings_and_unknown_quantities() -> None:
    assert compare_mounts("face", readings("a", [1.0]), readings("b", [1.0, 2.0])).verdict == "too_few"
    with pytest.raises(ValueError, match="hat size"):
        compare_mounts("hat size", readings("a", [1.0]), readings("b", [1.0]))


def test_angles_are_compared_round_the_circle() -> None:
    told = compare_mounts("face", readings("a", [179.0, 179.5]), readings("a", [-179.0, -179.5]))
    assert told.change is not None
    assert told.change.value / DEG == pytest.approx(1.5)


def hung(forearm: np.ndarray, hand: np.ndarray) -> list[AddressGravity]:
    return [AddressGravity(f, h) for f, h in zip(forearm, hand, strict=True)]


def test_a_new_stance_is_no_slip() -> None:
    rng = np.random.default_rng(1)
    stands = [0.0, 0.0, 0.0, 9.0, 9.0]
    up = np.array([[np.sin(a * DEG), np.cos(a * DEG), 0.0] for a in stands]) + rng.normal(0.0, 0.005, (5, 3))
    calm = np.array([0.0, 1.0, 0.0]) + rng.normal(0.0, 0.005, (5, 3))
    numbers = [1, 2, 3, 4, 5]
    assert find_slip(hung(up, up), numbers) is None
    assert find_slip(hung(calm, calm), numbers) is None
    slip = find_slip(hung(calm, up), numbers)
    assert slip is not None
    assert (slip.sensor, slip.after) == ("hand", 3)
    assert slip.angle / DEG == pytest.approx(9.0, abs=0.8)
    back = up.copy()
    back[4] = up[0]
    # once and not again: the golfer, not the strap
    assert find_slip(hung(calm, back), numbers) is None
    # the same between two recordings
    between = slip_between(hung(calm, up)[:3], hung(calm, up)[3:])
    assert between is not None
    assert (between.sensor, between.after) == ("hand", None)
    assert "from one recording to the next" in between.issue.message
    assert slip_between(hung(up, up)[:3], hung(up, up)[3:]) is None
    assert slip_between([], hung(calm, up)) is None


@pytest.mark.parametrize("sensor", ["forearm", "hand"])
def test_a_slip_during_the_lesson_is_found_and_named(sensor: str) -> None:
    swings = [SwingPlan()] * 3
    whole = simulate_lesson(seed=4, swings=swings)
    middle = whole.truth.swings[0].events["finish"] + 0.3
    slips = (Slip(middle, sensor, (0.0, 0.0, 12.0 * DEG)),)  # type: ignore[arg-type]
    slipped = simulate_lesson(seed=4, swings=swings, faults=Faults.nominal().but(slips=slips))
    club = club_by_name("7-iron")
    calm, told = (analyse_recording(lesson.recording, club=club, draws=0) for lesson in (whole, slipped))
    assert not [i for i in calm.issues if i.code == "sensor_slipped"]
    (issue,) = [i for i in told.issues if i.code == "sensor_slipped"]
    assert issue.where == sensor
    assert "after swing 1" in issue.message


def test_a_slip_between_two_recordings_is_found() -> None:
    """One lesson cut in two at a slip; the second half is read with the first one's calibration."""
    swings = [SwingPlan()] * 2
    calm = simulate_lesson(seed=4, swings=swings)
    cut = calm.truth.swings[0].events["finish"] + 0.6
    slips = (Slip(cut - 0.4, "hand", (0.0, 0.0, 12.0 * DEG)),)
    slipped = simulate_lesson(seed=4, swings=swings, faults=Faults.nominal().but(slips=slips))
    found = []
    for lesson in (calm, slipped):
        sides: list[tuple[Recording, list[AddressGravity]]] = []
        for keep in (lesson.recording.time_s < cut, lesson.recording.time_s >= cut):
            part = replace(
                lesson.recording,
                time_s=lesson.recording.time_s[keep],
                forearm=SensorTrace(lesson.recording.forearm.acc[keep], lesson.recording.forearm.gyr[keep]),
                hand=SensorTrace(lesson.recording.hand.acc[keep], lesson.recording.hand.gyr[keep]),
                phase=None,
            )
            earlier = sides[0] if sides else None
            told = analyse_recording(part, club=club_by_name("7-iron"), calibration=earlier and earlier[0], draws=0)
            sides.append((part, [s.address_gravity for s in told.swings if s.address_gravity is not None]))
        found.append(slip_between(sides[0][1], sides[1][1]))
    assert found[0] is None
    assert found[1] is not None
    assert found[1].sensor == "hand"
    assert found[1].angle / DEG == pytest.approx(12.0, abs=4.0)

"""Forearm and hand in two files: told from two recordings, joined on one clock, refused when they do not belong together."""

import numpy as np
import pytest

from ferrule.errors import InputError
from ferrule.files.clocks import on_clock
from ferrule.files.native import columns_of, sensor_columns
from ferrule.files.pairs import Half, half_of, join_halves, which_is_hand
from ferrule.files.recording import read_recording
from ferrule.simulator import CalibrationPlan, Faults, SwingPlan, simulate_lesson

MADE = simulate_lesson(
    seed=41, rate_hz=100.0, faults=Faults.none(), swings=[SwingPlan()], calibration=CalibrationPlan.none()
).recording
COLUMNS = columns_of(MADE)[0]
BARE = ("t", "acc x", "acc y", "acc z", "gyr x", "gyr y", "gyr z")


def file(sensor: str, header: tuple[str, ...] = BARE, *, keep: slice = slice(None), clock: bool = True) -> bytes:
    columns = [COLUMNS[n][keep] for n in (*(["time_s"] if clock else []), *sensor_columns(sensor))]
    rows = np.column_stack(columns).tolist()
    return "\n".join([",".join(header), *(",".join(f"{v:.10g}" for v in row) for row in rows)]).encode()


def half(content: bytes, name: str) -> Half:
    found = half_of(content, name)
    assert found is not None
    return found


def test_names_of_files_or_columns_tell_which_is_the_hand() -> None:
    forearm, hand = file("forearm"), file("hand")
    assert which_is_hand(half(forearm, "left arm.csv"), half(hand, "glove.csv")) is False
    assert which_is_hand(half(hand, "Hand 3.csv"), half(forearm, "b.csv")) is True
    assert which_is_hand(half(forearm, "a.csv"), half(hand, "b.csv")) is None
    own = file("hand", ("time_s", *sensor_columns("hand")))
    assert which_is_hand(half(own, "a.csv"), half(forearm, "b.csv")) is True


def test_a_whole_recording_and_no_recording_are_no_halves() -> None:
    both = np.column_stack([COLUMNS[n] for n in COLUMNS]).tolist()
    whole = "\n".join([",".join(COLUMNS), *(",".join(f"{v:.6g}" for v in row) for row in both)]).encode()
    assert half_of(whole, "a.csv") is None
    assert half_of(b"item,price\nmilk,2\n", "b.csv") is None
    assert half_of(b"", "c.csv") is None


def test_halves_of_our_own_names_make_our_own_layout() -> None:
    halves = [half(file(s, ("time_s", *sensor_columns(s))), f"{s}.csv") for s in ("forearm", "hand")]
    read, _ = read_recording(join_halves(halves[0], halves[1]))
    assert read.hand.gyr == pytest.approx(MADE.hand.gyr, abs=1e-7)
    assert read.forearm.acc == pytest.approx(MADE.forearm.acc, abs=1e-7)


def test_the_hand_is_brought_onto_the_forearms_clock() -> None:
    late = half(file("hand", keep=slice(30, None)), "b.csv")
    joined = join_halves(half(file("forearm"), "a.csv"), late).decode().splitlines()
    assert joined[0] == "t," + ",".join(f"{place} {h}" for place in ("forearm", "hand") for h in BARE[1:])
    assert len(joined) - 1 == len(MADE.time_s) - 30
    first = [float(cell) for cell in joined[1].split(",")]
    assert first[0] == pytest.approx(MADE.time_s[30])
    assert first[7:10] == pytest.approx(MADE.hand.acc[30], rel=1e-6)


def test_files_that_do_not_belong_together_are_refused() -> None:
    early, late = half(file("forearm", keep=slice(0, 60)), "a.csv"), half(file("hand", keep=slice(200, 300)), "b.csv")
    with pytest.raises(InputError, match="share 0 rows"):
        join_halves(early, late)
    without = BARE[1:]
    short = half(file("hand", without, keep=slice(0, 100), clock=False), "b.csv")
    with pytest.raises(InputError, match="no clock in both"):
        join_halves(half(file("forearm", without, clock=False), "a.csv"), short)
    about = half(file("hand", without, keep=slice(0, len(MADE.time_s) - 3), clock=False), "b.csv")
    joined = join_halves(half(file("forearm", without, clock=False), "a.csv"), about)
    assert len(joined.splitlines()) - 1 == len(MADE.time_s) - 3


def test_a_clock_that_runs_back_is_none() -> None:
    time, late = np.arange(60) * 0.01, np.arange(60) * 0.01
    late[30] = 0.1
    assert on_clock(time, late, {"x": late}, "file", 20) is None
    found = on_clock(time, time + 0.1, {"x": np.arange(60.0)}, "file", 20)
    assert found is not None
    assert found[0].sum() == 50
    assert found[1]["x"][:2] == pytest.approx([0.0, 1.0])

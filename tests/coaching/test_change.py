"""The verdict on a change: what may be compared, thin data, and the words."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.coaching.change import Block, Kind, Question, days_of
from ferrule.coaching.change_evidence import sort_blocks
from ferrule.coaching.change_verdict import verdict_on
from ferrule.coaching.wording_change import carry_over_sentence, verdict_for_golfer, verdict_note, verdict_sentence

WRIST = Question("lead wrist at the top", "since_address", "7-iron", "up", better="more bowed", worse="more cupped")
START = date(2026, 3, 2)


def block(week: int, kind: Kind, level: float, *, swings: int = 10, seed: int = 0, **more: str) -> Block:
    rng = np.random.default_rng([seed, week, len(kind)])
    noise = rng.normal(size=swings)
    values = level + 3.0 * (noise - noise.mean())
    return Block(START + timedelta(weeks=week), kind, more.pop("club", "7-iron"), values, **more)


def lasting(gain: float = 8.0, **more: str) -> list[Block]:
    return [
        block(0, "baseline", -14, **more),
        block(1, "baseline", -13, **more),
        block(1, "practice", -14 + gain, **more),
        block(2, "retention", -14 + gain, **more),
        block(2, "practice", -13 + gain, **more),
        block(3, "retention", -13.5 + gain, **more),
    ]


def test_real_and_lasts_in_one_sentence() -> None:
    v = verdict_on(lasting(), WRIST)
    assert v.kind == "real_and_lasts"
    said = verdict_sentence(v)
    assert said.startswith("Real, and it lasts: the lead wrist at the top is 8° more bowed (between")
    assert said.endswith("in two cold tests on other days.")
    assert "mount-free: change from address" in verdict_note(v)
    assert "8° more bowed" in verdict_for_golfer(v)


def test_one_cold_test_is_not_yet_lasting() -> None:
    v = verdict_on(lasting()[:4], WRIST)
    assert v.kind == "real_so_far"
    assert "show whether it lasts" in verdict_sentence(v)


def test_practice_never_counts_as_proof() -> None:
    cold = [b if b.kind != "retention" else replace(b, values=b.values - 8.0) for b in lasting()]
    v = verdict_on(cold, WRIST)
    assert v.kind == "practice_only"
    assert "Better in practice only" in verdict_sentence(v)
    only = [b for b in lasting() if b.kind != "retention"]
    v = verdict_on(only, WRIST)
    assert (v.kind, v.change) == ("not_yet", None)
    assert "no cold test on another day yet" in verdict_sentence(v)
    # Ever better practice moves nothing that is proved.
    changed = [b if b.kind != "practice" else replace(b, values=b.values + 30.0) for b in lasting()]
    a, b = verdict_on(lasting(), WRIST).change, verdict_on(changed, WRIST).change
    assert a == b


def test_what_was_there_may_go_again() -> None:
    blocks = [*lasting(10.0), block(4, "retention", -4), block(5, "retention", -13), block(6, "retention", -14)]
    v = verdict_on(blocks, WRIST)
    assert v.kind == "fading"
    assert "going again" in verdict_sentence(v)


def test_the_other_way_and_as_before() -> None:
    assert verdict_on(lasting(-9.0), WRIST).kind == "other_way"
    steady = [block(w, "baseline", -14 + 0.1 * (w % 3), swings=30) for w in range(8)]
    steady += [block(w, "retention", -14 + 0.1 * (w % 3), swings=30) for w in range(8, 20)]
    tight = replace(WRIST, worthwhile=4.0)
    assert verdict_on(steady, tight).kind == "as_before"


def test_balls_that_would_settle_it() -> None:
    v = verdict_on(lasting(4.9)[:4], WRIST)
    assert (v.kind, v.reasons) == ("not_yet", ("doubt",))
    assert v.settles_in == 1
    assert verdict_sentence(v) == "Not yet distinguishable, ten more cold balls would settle it."
    assert "would hardly" not in verdict_note(v)
    hopeless = verdict_on(lasting(0.5), WRIST)
    assert hopeless.settles_in is None
    assert "smaller than a cold test can show" in verdict_sentence(hopeless)


@pytest.mark.parametrize(
    ("blocks", "words"),
    [
        ([], "no baseline"),
        (lasting()[2:], "no baseline"),
        (lasting()[1:], "one baseline day"),
        ([block(0, "baseline", -14)], "one baseline day"),
        ([block(0, "baseline", -14, swings=2), block(1, "retention", -3, swings=2)], "no baseline"),
    ],
    ids=["nothing", "no baseline", "one baseline", "one lesson", "two swings"],
)
def test_thin_data_gives_words_and_no_number(blocks: list[Block], words: str) -> None:
    v = verdict_on(blocks, WRIST)
    assert v.kind == "not_yet"
    assert (v.change, v.smallest_real, v.practice) == (None, None, None)
    assert words in verdict_sentence(v)
    assert not any(c.isdigit() for c in verdict_sentence(v))


def test_clubs_mixed_and_small_blocks_are_left_aside_and_said() -> None:
    blocks = [*lasting(), block(2, "retention", 20, club="driver"), block(3, "practice", 9, swings=3)]
    parts = sort_blocks(blocks, WRIST)
    assert {r for _, r in parts.aside} == {"other_clubs", "small_blocks"}
    v = verdict_on(blocks, WRIST)
    plain = verdict_on(lasting(), WRIST)
    assert v.change == plain.change


def test_dates_out_of_order() -> None:
    blocks = lasting()
    assert verdict_on(blocks[::-1], WRIST).change == verdict_on(blocks, WRIST).change
    late_baseline = [*blocks, block(9, "baseline", 30)]
    v = verdict_on(late_baseline, WRIST)
    assert v.change == verdict_on(blocks, WRIST).change
    assert "dates do not fit" in verdict_note(v)
    # A "cold test" on the day practice began is no test of another day.
    early = [b if b.kind != "retention" else replace(b, on=START + timedelta(weeks=1)) for b in blocks]
    assert verdict_on(early, WRIST).tests == 0


def test_a_new_grip_refuses_the_change_since_address() -> None:
    blocks = [replace(b, grip="own" if b.kind == "baseline" else "stronger") for b in lasting()]
    v = verdict_on(blocks, WRIST)
    assert (v.kind, v.change) == ("not_comparable", None)
    assert "the grip changed" in verdict_sentence(v)
    assert "Compare the ball instead" in verdict_note(v)
    # The ball does not mind.
    ball = replace(WRIST, evidence="ball", quantity="start line")
    assert verdict_on(blocks, ball).kind == "real_and_lasts"


def test_absolute_angles_only_within_one_mounting() -> None:
    absolute = replace(WRIST, evidence="absolute")
    remounted = [replace(b, mount=f"day {b.on}") for b in lasting()]
    v = verdict_on(remounted, absolute)
    assert (v.kind, v.reasons[0]) == ("not_comparable", "mounting")
    assert "new mounting" in verdict_note(v)
    assert verdict_on(remounted, WRIST).kind == "real_and_lasts"
    kept = [replace(b, mount="left on") for b in lasting()]
    assert verdict_on(kept, absolute).kind == "real_and_lasts"


def test_another_device_needs_a_day_with_both() -> None:
    blocks = [replace(b, device="old" if b.kind == "baseline" else "new") for b in lasting()]
    v = verdict_on(blocks, WRIST)
    assert (v.kind, v.reasons[0], v.change) == ("not_yet", "device", None)
    assert "both devices on one day" in verdict_note(v)
    bridge = replace(block(1, "baseline", -13, seed=5), device="new")
    linked = verdict_on([*blocks, bridge], WRIST)
    assert linked.kind == "real_and_lasts"
    assert linked.change is not None
    same = verdict_on(lasting(), WRIST).change
    assert same is not None
    assert linked.change.high - linked.change.low > same.high - same.low
    # A bridge during practice links as well, and its offset is taken off.
    shifted = [replace(b, values=b.values + 5.0) if b.device == "new" else b for b in blocks]
    both = [*shifted, replace(block(2, "practice", -6, seed=6), device="old")]
    found = verdict_on(both, WRIST).change
    assert found is not None
    assert found.low < 8.0 < found.high


def test_drift_is_claimed_from_three_baselines_only() -> None:
    def rising(count: int) -> list[Block]:
        before = [block(w, "baseline", -14 + 3.0 * w, swings=20) for w in range(count)]
        return [*before, block(count, "retention", -14 + 3.0 * count)]

    assert verdict_on(rising(2), WRIST).drift is None
    v = verdict_on(rising(4), WRIST)
    assert v.drift is not None
    assert v.drift.value == pytest.approx(3.0, abs=0.3)
    assert v.kind == "not_yet"
    assert "already drifting" in verdict_note(v)
    assert v.overlap is not None
    assert v.overlap.trend.tau == pytest.approx(1.0)


def test_worse_with_the_driver() -> None:
    driver = [
        block(0, "baseline", -8, club="driver"),
        block(1, "baseline", -9, club="driver"),
        block(3, "transfer", -19, club="driver"),
        block(3, "transfer", -5, club="wedge"),
        block(3, "transfer", -5.5, where="the course"),
    ]
    v = verdict_on([*lasting(), *driver], WRIST)
    assert [(c.what, c.kind) for c in v.carry_over] == [
        ("the course", "carries_over"),
        ("driver", "worse"),
        ("wedge", "no_baseline"),
    ]
    assert verdict_sentence(v).endswith("; worse with the driver.")
    said = [carry_over_sentence(c, WRIST) for c in v.carry_over]
    assert said[0].startswith("It carries over: the course, 8° more bowed")
    assert said[1].startswith("Worse with the driver: 10° more cupped")
    assert said[2] == "Wedge: no two baseline days to compare with."
    assert "With the driver it still needs its own work" in verdict_for_golfer(v)


@settings(derandomize=True, max_examples=25, deadline=None)
@given(st.floats(-12, 12), st.floats(-40, 40), st.booleans())
def test_shift_and_mirror(gain: float, shift: float, down: bool) -> None:
    """Zero does not matter; the mirror image asks the mirrored question and gets the same kind."""
    blocks = lasting(gain)
    v = verdict_on(blocks, WRIST)
    moved = verdict_on([replace(b, values=b.values + shift) for b in blocks], WRIST)
    mirrored = verdict_on([replace(b, values=-b.values) for b in blocks], replace(WRIST, wanted="down"))
    assert v.kind == moved.kind == mirrored.kind
    assert v.change is not None
    assert mirrored.change is not None
    assert v.change.value == pytest.approx(-mirrored.change.value, abs=1e-9)
    assert moved.change is not None
    assert v.change.value == pytest.approx(moved.change.value, abs=1e-8)


def test_deterministic_and_points_for_drawing() -> None:
    one, two = verdict_on(lasting(), WRIST), verdict_on(lasting(), WRIST)
    assert (one.change, one.points, one.smallest_real) == (two.change, two.points, two.smallest_real)
    assert [p.on for p in one.points] == sorted(p.on for p in one.points)
    assert {p.counts for p in one.points if p.kind == "practice"} == {False}
    assert all(p.low < p.level < p.high for p in one.points)
    assert len(days_of(lasting())) == 4

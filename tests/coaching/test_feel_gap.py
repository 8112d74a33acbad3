"""Feel gap: the share is found with honest doubt, too few tries say so, a mounting's zero and the hand do not matter."""

import numpy as np
import pytest

from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading, Tried, mirrored
from ferrule.coaching.feel_gap import Cue, feel_gaps, tries_of
from ferrule.coaching.wording_windows import feel_gap_sentence
from ferrule.units import DEG

TOP, FEEL = "wrist.top.flexion_deg", "bow early"
CUES = {FEEL: Cue(TOP, 12.0), "swing out": Cue("delivery.path_deg", 4.0)}


def case_of(rng, share, tries, usual=6, amount=1.0, zero=0.0, scatter=3.0, key=TOP, feel=FEEL, asked=12.0):
    swings = []
    for i in range(usual + tries):
        tried = i >= usual
        value = -14 + zero + rng.normal(0, scatter) + (share * asked * amount if tried else 0.0)
        swings.append(
            CaseSwing(
                {key: Reading(float(value), 2.0, "sensor")},
                mount="a",
                tried=Tried(feel, amount) if tried else None,
            )
        )
    return Case(Golfer("right"), club_by_name("7-iron"), tuple(swings))


def gap_of(case, lesson=""):
    return feel_gaps(tries_of(case, CUES, lesson))[FEEL]


def test_the_share_is_found_and_its_doubt_is_honest():
    errors, inside = [], []
    for seed in range(300):
        rng = np.random.default_rng(seed)
        share = rng.normal(0.4, 0.4)
        got = gap_of(case_of(rng, share, 8)).share
        errors.append(got.value - share)
        low, high = got.interval()
        inside.append(low <= share <= high)
    assert np.sqrt(np.mean(np.square(errors))) < 0.17
    assert 0.85 <= np.mean(inside) <= 0.97


def test_too_few_tries_say_so():
    rng = np.random.default_rng(1)
    one = gap_of(case_of(rng, 0.4, 1))
    assert one.few and one.ask_for is None and one.needed >= 4
    assert feel_gap_sentence(one) == "“bow early”: 1 try is too few to say what comes of it: 3 more first."
    assert gap_of(case_of(rng, 0.4, 3)).few
    assert not gap_of(case_of(rng, 0.4, 10)).few
    # scatter alone can make ten too few
    assert gap_of(case_of(rng, 0.4, 5, scatter=14.0)).few


def test_ask_for_more_when_less_comes_but_never_beyond_three_times():
    rng = np.random.default_rng(3)
    half = gap_of(case_of(rng, 0.5, 14, usual=14))
    assert half.ask_for == pytest.approx(24 * DEG, rel=0.25)
    assert "ask for about" in feel_gap_sentence(half)
    small = gap_of(case_of(rng, 0.22, 40, usual=40, scatter=1.0))
    assert small.ask_for == pytest.approx(36 * DEG)
    none = gap_of(case_of(rng, 0.0, 12))
    assert none.ask_for is None and not none.few
    assert "try another" in feel_gap_sentence(none)


def test_the_zero_of_a_mounting_drops_out_and_lessons_add_up():
    a, b = (gap_of(case_of(np.random.default_rng(7), 0.5, 6, zero=z)) for z in (0.0, 9.0))
    assert a.share.value == pytest.approx(b.share.value)
    assert a.share.sd == pytest.approx(b.share.sd)
    rng = np.random.default_rng(8)
    lessons = [tries_of(case_of(rng, 0.5, 3, zero=z), CUES, str(z)) for z in (0.0, 5.0, -5.0)]
    alone = feel_gaps(lessons[0])[FEEL]
    together = feel_gaps([t for lesson in lessons for t in lesson])[FEEL]
    assert alone.few and not together.few
    assert together.tries == 9 and together.share.sd < alone.share.sd


def test_twice_the_amount_is_twice_asked_for():
    got = gap_of(case_of(np.random.default_rng(4), 0.5, 12, amount=2.0))
    assert got.asked == pytest.approx(24 * DEG)
    assert got.share.value == pytest.approx(0.5, abs=0.12)


def test_no_usual_swing_no_cue_or_no_reading_is_no_evidence():
    rng = np.random.default_rng(2)
    assert tries_of(case_of(rng, 0.5, 5, usual=0), CUES) == []
    assert tries_of(case_of(rng, 0.5, 5, feel="other words"), CUES) == []
    assert feel_gaps([]) == {}


def test_a_world_quantity_of_a_left_handed_golfer():
    """Asked to swing right by 4 in the world; the mirror image is asked to swing left by 4."""
    rng = np.random.default_rng(6)
    case = case_of(rng, 0.6, 9, key="delivery.path_deg", feel="swing out", asked=4.0)
    right = feel_gaps(tries_of(case, CUES))["swing out"]
    turned = {"swing out": Cue("delivery.path_deg", -4.0)}
    left = feel_gaps(tries_of(mirrored(case), turned))["swing out"]
    assert left.share.value == pytest.approx(right.share.value)
    assert left.came.value == pytest.approx(-right.came.value)


def test_order_of_tries_does_not_matter():
    tries = tries_of(case_of(np.random.default_rng(9), 0.5, 9), CUES)
    assert feel_gaps(tries[::-1])[FEEL].share.value == pytest.approx(feel_gaps(tries)[FEEL].share.value)

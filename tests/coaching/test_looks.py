"""The next look: its gain against plain sampling, its rank, and what it is worth on simulated golfers."""

from functools import partial

import numpy as np
import pytest

from cases import random_case
from ferrule.coaching.ball_evidence import predicted_curve, predicted_start, response_of
from ferrule.coaching.delivery_state import DeliveryModel, States
from ferrule.coaching.evidence import observations_of, swings_of_case
from ferrule.coaching.looks import LOOKS, SHOWN, SURENESS, WORTH, gains_of, next_looks, open_looks
from ferrule.coaching.posterior import posterior_of
from ferrule.coaching.quantities import GRIP_TURN, QUANTITIES
from ferrule.coaching.references import SCATTER, reference_of
from ferrule.coaching.shares import shares_of_face
from ferrule.simulator.golfers import simulate_golfers
from ferrule.simulator.looking import Looker
from ferrule.units import DEG

ALL = ("eye", "video", "sensor", "ball")


def known_of(case, points=160):
    model = DeliveryModel(reference_of(case.club))
    response = response_of(case, swings_of_case(case))
    observations = observations_of(case, model, response)
    posterior = posterior_of(model, observations, points)
    ball = {"ball_start": partial(predicted_start, response), "ball_curve": partial(predicted_curve, response)}
    states = States(model, posterior.x)
    return posterior, states, shares_of_face(model, posterior.x), ball, {o.name: o.sd for o in observations}


def gain_by_sampling(posterior, states, shares, look, ball, rng):
    """Plain form: draw a true state and a reading of it, weight the points by that reading, look again."""
    largest = np.argmax(np.abs(shares), axis=1)
    before = np.bincount(largest, posterior.weight, 8)
    after = []
    shown = [(SHOWN | ball)[name](states) for name, _ in look.shows]
    for i in rng.choice(len(posterior.weight), 300, p=posterior.weight):
        log = np.zeros(len(posterior.weight))
        for one, (_, sd) in zip(shown, look.shows, strict=True):
            log -= 0.5 * ((one[i] + rng.normal(0, sd * DEG) - one) / (sd * DEG)) ** 2
        weight = posterior.weight * np.exp(log - log.max())
        after.append(np.sum(np.bincount(largest, weight / weight.sum(), 8) ** SURENESS))
    return np.mean(after) - np.sum(before**SURENESS)


def test_gain_follows_plain_sampling():
    fast, plain = [], []
    rng = np.random.default_rng(4)
    golfers = [g.case for g in simulate_golfers(5, seed=5, kinds=["ball"])]
    for case in [*golfers, *(random_case(np.random.default_rng(s)) for s in range(5))]:
        posterior, states, shares, ball, read = known_of(case)
        looks = open_looks(LOOKS, ALL, read)
        fast += gains_of(posterior, states, shares, looks, ball)
        dense = known_of(case, 1000)
        plain += [gain_by_sampling(*dense[:3], look, ball, rng) for look in looks]
    a, b = np.array(fast), np.array(plain)
    assert np.corrcoef(a, b)[0, 1] > 0.9
    assert np.sqrt(np.mean((a - b) ** 2)) < 0.03
    assert abs(np.mean(a - b)) < 0.01


def test_a_look_that_tells_nothing_gains_nothing():
    posterior, states, shares, ball, _ = known_of(random_case(np.random.default_rng(3)))
    (look,) = [x for x in LOOKS if x.name == "grip"]
    blind = type(look)("blind", "eye", 10, 1e6, look.key, (("grip_turn", 1e6),), "", "")
    (gain,) = gains_of(posterior, states, shares, [blind], ball)
    assert gain == pytest.approx(0.0, abs=1e-9)


def test_a_sharper_look_gains_more_and_a_quicker_one_comes_first():
    posterior, states, shares, ball, _ = known_of(simulate_golfers(3, seed=9, kinds=["ball"])[0].case)
    gains = dict(zip([x.name for x in LOOKS], gains_of(posterior, states, shares, LOOKS, ball), strict=True))
    assert gains["grip_level"] > gains["grip_photo"] > gains["grip"] > 0.0
    assert gains["lead_wrist_with_care"] > gains["lead_wrist"] > gains["forearm_roll"] > 0.0
    ranked = next_looks(posterior, states, shares, ALL, {}, ball)
    assert [r.rate for r in ranked] == sorted((r.rate for r in ranked), reverse=True)
    assert all(r.gain >= WORTH for r in ranked)


def test_only_what_is_at_hand_and_not_yet_known_is_offered():
    read = {"impact_flexion": 2.0 * DEG, "aim": 5.0 * DEG}
    names = {look.name for look in open_looks(LOOKS, ("eye", "sensor"), read)}
    assert not names & {"lead_wrist", "lead_wrist_by_eye", "handle", "shaft_lean", "ball_start"}
    assert names >= {"aim", "grip", "forearm_roll"}
    # The sensors bring the roll along: it is no look of its own while they are still to be put on.
    assert "forearm_roll" not in {look.name for look in open_looks(LOOKS, ALL, {})}


def test_a_wrist_known_from_a_device_is_read_again_only_with_care():
    read = dict.fromkeys(("impact_flexion", "grip_address"), 3.0 * DEG) | {"impact_roll": 4.0 * DEG, "unset": 4.2 * DEG}
    names = {look.name for look in open_looks(LOOKS, ALL, read)}
    assert "lead_wrist_with_care" in names
    assert not names & {"lead_wrist", "forearm_roll", "lead_wrist_by_eye"}
    careful = next(look for look in LOOKS if look.name == "lead_wrist_with_care")
    after = read | {name: sd * DEG for name, sd in careful.shows}
    assert "lead_wrist_with_care" not in {look.name for look in open_looks(LOOKS, ALL, after)}


def test_careful_sensors_know_no_more_than_the_golfers_scatter_lets_them():
    (careful,) = [look for look in LOOKS if look.name == "lead_wrist_with_care"]
    rows = {"impact_flexion": "flexion", "impact_roll": "roll", "unset": "unset"}
    for name, sd in careful.shows[:3]:
        assert sd > SCATTER[rows[name]] / np.sqrt(5)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_table_of_looks(look):
    quantity = GRIP_TURN if look.key == GRIP_TURN.key else QUANTITIES[look.key]
    assert all(quantity.low <= value <= quantity.high for _, value in look.answers)
    assert look.cost_s > 0 and look.time_s > look.cost_s and look.question.endswith("?") and look.how_to.endswith(".")
    assert all(name in SHOWN or name.startswith("ball_") for name, _ in look.shows)


@pytest.mark.parametrize(
    ("kinds", "count", "called", "named"), [(("ball",), 50, 0.10, 0.10), (("ball", "wrist"), 100, 0.03, 0.05)]
)
def test_two_looks_beat_two_random_ones(kinds, count, called, named):
    """The page of validation has 2,000 golfers from either start (at least 10 points asked); here a hundred or fewer."""
    own, random = [], []
    for i, golfer in enumerate(simulate_golfers(count, seed=21, kinds=kinds)):
        rng = np.random.default_rng([7, i])
        looker = Looker(golfer, rng)
        done: list[str] = []
        for _ in range(2):
            done += [r.look.name for r in looker.looks(done)[:1]]
        own.append(looker.after(done))
        drawn: list[str] = []
        for _ in range(2):
            drawn.append(str(rng.choice([look.name for look in looker.open(drawn)])))
        random.append(looker.after(drawn))
    # By what is held of each golfer, which says the same as counting who was right, with less luck.
    claimed, by_chance = (np.array([k.probability.max() for k in known]) for known in (own, random))
    assert claimed.mean() >= by_chance.mean() + called
    assert np.mean(claimed * (claimed >= 0.5)) >= np.mean(by_chance * (by_chance >= 0.5)) + named
    # What it claims is what it reaches, within three standard errors.
    assert abs(np.mean([k.right for k in own]) - claimed.mean()) < 3 * np.sqrt(np.sum(claimed * (1 - claimed))) / count

"""Readings in columns against the sums written out reading by reading."""

from math import hypot, sqrt

import numpy as np
import pytest

from cases import random_case
from ferrule.coaching.ball_evidence import flights_of, seen_flight, strike_offsets
from ferrule.coaching.case import Swings
from ferrule.coaching.evidence import bend_lost
from ferrule.coaching.observation import SHARED, summary_of
from ferrule.coaching.quantities import QUANTITIES
from ferrule.coaching.references import SCATTER
from ferrule.units import DEG


def summary_plainly(swings, key, scatter):
    """Mean, its sd and the scatter, degrees, of one key: each sum as it stands on paper."""
    own, values, doubts, shared, weights = [], [], [], {}, []
    read = [(s, s.readings[key]) for s in swings if key in s.readings]
    for swing, reading in read:
        anew = reading.how != "sensor" and key.startswith(("delivery.", "ball."))
        part = 0.0 if anew or (swing.zeroed and key == "delivery.face_deg") else SHARED[reading.how]
        doubts.append((reading.doubt(QUANTITIES[key]), part, swing.mount if reading.how == "sensor" else "all"))
        own.append(doubts[-1][0] ** 2 * (1.0 - part**2))
        values.append(reading.value)
        weights.append(1.0 / (own[-1] + (scatter**2 if len(read) < len(swings) else 0.0)))
    weights = [w / sum(weights) for w in weights]
    for w, (doubt, part, source) in zip(weights, doubts, strict=True):
        shared[source] = shared.get(source, 0.0) + w * doubt * part
    variance = sum(w * w * v for w, v in zip(weights, own, strict=True)) + sum(s * s for s in shared.values())
    if len(read) < len(swings):
        variance += scatter**2 * max(sum(w * w for w in weights) - 1.0 / len(swings), 0.0)
    between = np.var(values, ddof=1) - np.mean(own) if len(values) > 2 else np.nan
    return sum(w * v for w, v in zip(weights, values, strict=True)), sqrt(variance), sqrt(max(between, 0.0))


def swings_of(seed, count=12):
    rng = np.random.default_rng(seed)
    case = random_case(rng, swings=count)
    marks = zip(case.swings, rng.choice(["a", "b"], count), rng.random(count) < 0.3, strict=True)
    return case, Swings(type(s)(s.readings, mount=m, strike=s.strike, zeroed=z) for s, m, z in marks)


@pytest.mark.parametrize("seed", range(8))
def test_a_column_is_summed_up_as_on_paper(seed):
    _, swings = swings_of(seed)
    keys = {
        "wrist.impact.flexion_deg": "flexion",
        "aim_deg": "aim",
        "delivery.face_deg": "face",
        "ball.start_deg": "start",
    }
    for key, scatter in keys.items():
        found = summary_of(swings, key, scatter)
        if found is None:
            assert not any(key in s.readings for s in swings)
            continue
        mean, sd, spread = summary_plainly(swings, key, SCATTER[scatter])
        assert found.value / DEG == pytest.approx(mean, rel=1e-6)
        assert found.sd / DEG == pytest.approx(sd, rel=1e-6)
        assert (found.spread is None) == (found.count < 3)
        if found.spread is not None:
            assert found.spread / DEG == pytest.approx(spread, abs=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_flights_in_columns_are_those_of_each_swing(seed):
    case, swings = swings_of(seed)
    found = flights_of(swings, case.club)
    for name, at in (("start", 0), ("curve", 2)):
        rows = []
        for swing in swings:
            reading, strike = getattr(seen_flight(swing), name), strike_offsets(case.club, swing.strike)
            if reading is not None:
                doubt = hypot(reading.doubt(QUANTITIES[f"ball.{name}_deg"]), strike[at + 1])
                rows.append((reading.value - strike[at], doubt))
        column = getattr(found, name)
        assert (column is None) == (not rows)
        if rows:
            well = column.well
            assert np.column_stack([well.value, well.doubt]) == pytest.approx(np.array(rows), rel=1e-12)


@pytest.mark.parametrize("seed", range(4))
def test_bend_lost_is_paired_within_each_swing(seed):
    _, swings = swings_of(seed)
    early, late = "posture.forward_bend_address_deg", "posture.forward_bend_impact_deg"
    pairs = [(s.readings[early], s.readings[late]) for s in swings if early in s.readings and late in s.readings]
    found = bend_lost(swings)
    assert (found is None) == (not pairs)
    if len(pairs) == len(swings):
        weight = [1.0 / (a.sd**2 + b.sd**2) for a, b in pairs]
        lost = sum(w * (a.value - b.value) for w, (a, b) in zip(weight, pairs, strict=True)) / sum(weight)
        assert found.value / DEG == pytest.approx(lost, rel=1e-6)


def test_a_thing_is_found_out_once():
    _, swings = swings_of(0)
    asked = []

    def count(these, more):
        asked.append(more)
        return len(these) + more

    assert [swings.once(count, 1), swings.once(count, 1), swings.once(count, 2)] == [13, 13, 14]
    assert asked == [1, 2]

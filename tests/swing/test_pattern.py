import numpy as np
import pytest

from ferrule.swing.events import Event, EventName
from ferrule.swing.pattern import wrist_pattern

EVENTS: dict[EventName, Event] = {
    "address": Event(0.0, 0.02),
    "top": Event(1.0, 0.002),
    "shaft_level_down": Event(1.2, 0.002),
    "impact": Event(1.27, 0.0006),
}


def pattern_of(*knots: tuple[float, float], roll: tuple[float, float] = (-40.0, 0.0)):
    t = np.arange(0.0, 1.272, 0.002)
    times, values = zip(*knots, strict=True)
    flexion = np.radians(np.interp(t, times, values))
    rolled = np.radians(np.interp(t, [0.0, 1.0, 1.2, 1.27], [0.0, -80.0, roll[0], roll[1]]))
    found = wrist_pattern(t, flexion, rolled, EVENTS)
    assert found is not None
    return found


def test_bowed_by_the_top_and_given_back() -> None:
    found = pattern_of((0.0, -14.0), (0.4, -14.0), (0.95, 10.0), (1.2, 12.0), (1.27, 5.0))
    assert found.name == "flexed_early"
    assert "released_late" in found.traits
    assert found.bowing_starts_s == pytest.approx(-0.6, abs=0.05)
    assert found.words.startswith("bowed by the top")


def test_bowed_in_transition() -> None:
    found = pattern_of((0.0, -14.0), (1.0, -12.0), (1.18, 9.0), (1.27, 8.0))
    assert found.name == "flexed_in_transition"
    assert found.bowing_starts_s == pytest.approx(0.0, abs=0.03)
    assert found.measures["shaft_level_less_top"] == pytest.approx(np.radians(21.0), abs=0.02)


def test_cupped_to_impact_with_a_flick() -> None:
    found = pattern_of((0.0, -14.0), (1.0, -18.0), (1.1, -26.0), (1.23, -10.0), (1.27, -24.0))
    assert found.name == "extended_to_impact"
    assert set(found.traits) == {"extending_in_transition", "flick_before_impact"}


def test_rolled_late() -> None:
    found = pattern_of((0.0, -14.0), (1.0, -12.0), (1.27, -4.0), roll=(-65.0, 3.0))
    assert found.name == "near_neutral"
    assert found.traits == ("rolled_late",)


def test_without_the_events_there_is_no_pattern() -> None:
    t = np.arange(0.0, 1.0, 0.01)
    assert wrist_pattern(t, t, t, {"address": Event(0.0, 0.0)}) is None

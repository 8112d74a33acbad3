import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.simulator.curves import Curve, Step, Wave, smooth_step, step_through

CURVE = Curve(0.3, (Step(1.2, 0.2, 0.9), Wave(0.4, 7.0, 0.5, 0.1, 1.1, 0.3), Step(-2.0, 0.7, 1.3)))


def test_derivatives_are_those_of_the_value() -> None:
    h = 1e-4
    t = np.arange(-0.1, 1.5, h)
    jet = CURVE.at(t)
    value = jet.value
    rate = (value[:-4] - 8 * value[1:-3] + 8 * value[3:-1] - value[4:]) / (12 * h)
    assert np.abs(rate - jet.rate[2:-2]).max() < 1e-7
    rate = jet.rate
    acceleration = (rate[:-4] - 8 * rate[1:-3] + 8 * rate[3:-1] - rate[4:]) / (12 * h)
    assert np.abs(acceleration - jet.acceleration[2:-2]).max() < 1e-4


def test_pieces_vanish_smoothly_at_their_ends() -> None:
    near = np.array([0.0, 0.1 - 1e-9, 0.1 + 1e-9, 1.1 - 1e-9, 1.1 + 1e-9])
    jet = Curve(0.0, (Wave(0.4, 7.0, 0.5, 0.1, 1.1, 0.3),)).at(near)
    assert np.abs(np.array([jet.value, jet.rate, jet.acceleration])).max() < 1e-6


@settings(derandomize=True, max_examples=30)
@given(st.floats(-2, 2), st.floats(-2, 2), st.floats(0.05, 0.95))
def test_a_step_goes_through_the_value_asked_for(start: float, value: float, share: float) -> None:
    step = step_through(start, value, 1.0, 1.0 + share, 2.0)
    reached = Curve(start, (step,)).at(np.array([0.0, 1.0 + share]))
    assert np.allclose(reached.value, [start, value], atol=1e-9 * (1 + abs(step.amplitude)))


def test_the_step_is_monotone_and_symmetric() -> None:
    s = np.linspace(-0.2, 1.2, 500)
    assert (np.diff(smooth_step(s)) >= 0.0).all()
    assert np.allclose(smooth_step(s) + smooth_step(1.0 - s), 1.0)


def test_scaling_a_curve() -> None:
    t = np.linspace(0.0, 1.5, 100)
    assert np.allclose(CURVE.scaled(-3.0).at(t).rate, -3.0 * CURVE.at(t).rate)

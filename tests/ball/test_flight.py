"""Flight against the reference trajectories D30-D45, closed forms, SciPy, and the laws it must keep."""

from math import exp, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.ball.air import SEA_LEVEL, Air, air
from ferrule.ball.coefficients import LYU, NARUO, Coefficients
from ferrule.ball.flight import fly, fly_many
from ferrule.ball.flight_reference import fly_reference
from ferrule.ball.golf_ball import AREA, MASS
from ferrule.ball.launch import Launch, Launches, launches_from_vectors
from ferrule.units import DEG, GRAVITY, MPH, RPM, YARD

VACUUM = Air(1e-12, 1.4607e-5)


class Constant(Coefficients):
    """C_D and C_L that never change."""

    def __init__(self, drag: float, lift: float = 0.0) -> None:
        super().__init__()
        object.__setattr__(self, "values", (drag, lift))

    __slots__ = ("values",)

    def drag_and_lift(self, spin_ratio, reynolds):  # type: ignore[no-untyped-def]
        return tuple(np.full(np.shape(spin_ratio), v) for v in self.values)


def shot(speed: float, launch: float, rpm: float = 0.0, tilt: float = 0.0, azimuth: float = 0.0) -> Launch:
    return Launch(speed, launch * DEG, azimuth * DEG, rpm * RPM, tilt * DEG)


D37 = shot(70.0, 12.0, 2600.0)
DECAY_BY_SPEED = Coefficients(0.0, "smits_smith")

CASES = [
    # id, launch, air, coefficients, carry, time, apex, landing, end speed, side
    ("D30", shot(50, 30), VACUUM, NARUO, 220.775, 5.0986, 31.866, 30.000, 50.000, 0.0),
    ("D31", shot(70, 12), SEA_LEVEL, Constant(0.25), 128.604, 2.6004, 8.373, 17.710, 38.663, 0.0),
    ("D31b", shot(70, 12), SEA_LEVEL, Constant(0.25, 0.15), 208.044, 5.4956, 23.188, 33.863, 29.735, 0.0),
    ("D31c", shot(70, 12, 0, 10), SEA_LEVEL, Constant(0.25, 0.15), 206.539, 5.4402, 22.813, 33.552, 29.796, 10.942),
    ("D32", shot(71.5, 6, 3000), SEA_LEVEL, NARUO, 221.445, 5.7927, 17.986, 29.203, 27.484, 0.0),
    ("D33", shot(71.5, 6, 3000), SEA_LEVEL, LYU, 262.219, 6.7261, 21.568, 29.412, 28.942, 0.0),
    ("D34", shot(78.67904, 10, 2520), SEA_LEVEL, NARUO, 260.068, 6.9818, 31.667, 38.568, 29.043, 0.0),
    ("D35", shot(78.67904, 10, 2520), SEA_LEVEL, LYU, 286.853, 7.4003, 31.898, 35.938, 30.096, 0.0),
    ("D36", shot(81.80832, 11, 2200), SEA_LEVEL, NARUO, 272.105, 7.1569, 34.842, 39.687, 29.945, 0.0),
    ("D37", D37, SEA_LEVEL, NARUO, 231.062, 6.5667, 28.927, 37.840, 28.399, 0.0),
    ("D38", D37, SEA_LEVEL, DECAY_BY_SPEED, 231.119, 6.5517, 28.728, 37.516, 28.355, 0.0),
    ("D39-right", shot(70, 12, 2600, 5), SEA_LEVEL, NARUO, 230.495, 6.5455, 28.780, 37.751, 28.410, 8.630),
    ("D39-left", shot(70, 12, 2600, -5), SEA_LEVEL, NARUO, 230.495, 6.5455, 28.780, 37.751, 28.410, -8.630),
    ("D40", shot(70, 12, 2600, 10), SEA_LEVEL, NARUO, 228.813, 6.4823, 28.341, 37.481, 28.443, 16.979),
    ("D41", D37, Air(1.00649, 1.7148e-5), NARUO, 244.714, 6.2134, 25.919, 32.264, 31.281, 0.0),
    ("D42", D37, Air(1.225, 1.4607e-5, (-5.0, 0.0, 0.0)), NARUO, 214.144, 6.9223, 31.851, 46.448, 25.103, 0.0),
    ("D43", D37, Air(1.225, 1.4607e-5, (5.0, 0.0, 0.0)), NARUO, 243.742, 6.2033, 26.196, 31.229, 32.160, 0.0),
    ("D44", shot(53, 18, 6500), SEA_LEVEL, NARUO, 148.659, 6.3236, 30.726, 48.917, 23.561, 0.0),
    ("D45", shot(70, 12, 2600, 0, 2), SEA_LEVEL, NARUO, 230.922, 6.5667, 28.927, 37.840, 28.399, 8.064),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=[c[0] for c in CASES])
def test_reference_trajectory(case: tuple) -> None:  # type: ignore[type-arg]
    name, launch, medium, coefficients, along, time, apex, landing, end_speed, side = case
    got = fly(launch, medium, coefficients)
    metres = 0.001 if name == "D30" else 0.01
    assert sqrt(got.carry**2 - got.side**2) == pytest.approx(along, abs=metres)
    assert got.side == pytest.approx(side, abs=metres)
    assert got.time == pytest.approx(time, abs=0.001)
    assert got.apex == pytest.approx(apex, abs=metres)
    assert got.landing / DEG == pytest.approx(landing, abs=0.01)
    assert got.end_speed == pytest.approx(end_speed, abs=0.01)
    assert got.issues == ()


@pytest.mark.parametrize(
    ("launch", "carry"),
    [
        pytest.param(shot(70, 12, 2600, 5), 230.656, id="D39"),
        pytest.param(shot(70, 12, 2600, 10), 229.442, id="D40"),
        pytest.param(shot(70, 12, 2600, 0, 2), 231.062, id="D45"),
    ],
)
def test_carry_is_the_level_distance(launch: Launch, carry: float) -> None:
    assert fly(launch).carry == pytest.approx(carry, abs=0.01)


def test_d11_terminal_speed() -> None:
    terminal = sqrt(2.0 * MASS * GRAVITY / (1.225 * AREA * 0.25))
    assert terminal == pytest.approx(45.354, abs=1e-2)
    # A ball shot straight up and long on its way down comes in near it, never faster.
    assert 0.8 * terminal < fly(shot(90, 89.99), coefficients=Constant(0.25)).end_speed < terminal


def test_d12_drag_along_a_line() -> None:
    k = 1.225 * AREA * 0.25 / (2.0 * MASS)
    assert 70.0 * exp(-k * 100.0) == pytest.approx(43.456, abs=1e-2)
    # The same in flight: a wind-free shot so fast that gravity hardly matters.
    fast = Launches.of([Launch(2000.0, 0.05 * DEG)])
    flat = fly_many(fast, coefficients=Constant(0.25), max_step=1e-3)[0]
    assert flat.end_speed == pytest.approx(2000.0 * exp(-k * flat.carry), rel=1e-3)


@pytest.mark.parametrize("coefficients", [NARUO, LYU], ids=["naruo", "lyu"])
@pytest.mark.parametrize(
    "launch", [pytest.param(shot(176 * MPH, 10, 2520), id="C44"), pytest.param(shot(183 * MPH, 11, 2200), id="C45")]
)
def test_overall_distance_standard_stays_under_its_limit(launch: Launch, coefficients: Coefficients) -> None:
    assert 250 * YARD < fly(launch, coefficients=coefficients).carry < 320 * YARD


def test_trends() -> None:
    calm = fly(D37)
    head, tail = (fly(D37, Air(1.225, 1.4607e-5, (w, 0.0, 0.0))) for w in (-5.0, 5.0))
    assert head.carry < calm.carry < tail.carry
    assert head.landing > calm.landing > tail.landing
    assert fly(D37, air(2000.0)).carry > calm.carry
    sheared = fly(D37, Air(1.225, 1.4607e-5, (5.0, 0.0, 0.0), 0.03))
    assert calm.carry < sheared.carry < tail.carry + 5.0


launches = st.builds(
    Launch,
    ball_speed=st.floats(5.0, 90.0),
    launch=st.floats(1.0 * DEG, 60.0 * DEG),
    azimuth=st.floats(-20.0 * DEG, 20.0 * DEG),
    spin_rate=st.floats(0.0, 11000.0 * RPM),
    axis_tilt=st.floats(-40.0 * DEG, 40.0 * DEG),
    axis_heading=st.floats(-10.0 * DEG, 10.0 * DEG),
)
winds = st.tuples(st.floats(-10, 10), st.floats(-0.5, 0.5), st.floats(-10, 10))


def mirrored(x: Launch) -> Launch:
    return Launch(x.ball_speed, x.launch, -x.azimuth, x.spin_rate, -x.axis_tilt, -x.axis_heading)


@given(launches, winds, st.sampled_from([0.0, 1.0, 0.4]), st.sampled_from([None, 0.03]))
@settings(max_examples=25, deadline=None, derandomize=True)
def test_left_and_right_are_mirror_images(
    launch: Launch, wind: tuple[float, float, float], weight: float, roughness: float | None
) -> None:
    there = fly(launch, Air(1.2, 1.5e-5, wind, roughness), Coefficients(weight))
    back = fly(mirrored(launch), Air(1.2, 1.5e-5, (wind[0], wind[1], -wind[2]), roughness), Coefficients(weight))
    assert (back.carry, back.apex, back.time) == pytest.approx((there.carry, there.apex, there.time), abs=1e-9)
    assert (back.side, back.curve) == pytest.approx((-there.side, -there.curve), abs=1e-9)


@given(launches, st.sampled_from([NARUO, LYU]))
@settings(max_examples=25, deadline=None, derandomize=True)
def test_energy_never_rises_in_still_air(launch: Launch, coefficients: Coefficients) -> None:
    got = fly(launch, coefficients=coefficients)
    assert got.end_speed <= launch.ball_speed + 1e-9
    # At the apex no more height than all of the energy could lift.
    assert got.apex <= launch.ball_speed**2 / (2.0 * GRAVITY) + 1e-9


@given(
    launches, winds, st.floats(0, 2500), st.sampled_from([NARUO, LYU, DECAY_BY_SPEED]), st.sampled_from([None, 0.03])
)
@settings(max_examples=25, deadline=None, derandomize=True)
def test_agrees_with_the_plain_reference(
    launch: Launch,
    wind: tuple[float, float, float],
    altitude: float,
    coefficients: Coefficients,
    roughness: float | None,
) -> None:
    medium = air(altitude, wind=wind, roughness=roughness)
    got, plain = fly(launch, medium, coefficients), fly_reference(launch, medium, coefficients)
    assert (got.carry, got.side, got.apex) == pytest.approx((plain.carry, plain.side, plain.apex), abs=0.05)
    assert got.time == pytest.approx(plain.time, abs=0.005)


def test_random_launches_against_scipy() -> None:
    """40 of the 500 of scripts/validation/ball.py: chips to 90 m/s, tilt, altitude, wind, both sets."""
    rng = np.random.default_rng(150)
    for i in range(40):
        launch = shot(
            float(rng.uniform(5, 90)),
            float(rng.uniform(2, 60)),
            float(rng.uniform(500, 11_000)),
            float(rng.normal(0, 15)),
            float(rng.normal(0, 5)),
        )
        wind = (float(rng.normal(0, 4)), 0.0, float(rng.normal(0, 4)))
        medium = air(float(rng.uniform(0, 2500)), wind=wind, roughness=0.03 if i % 4 == 0 else None)
        coefficients = (NARUO, LYU)[i % 2]
        got, plain = fly(launch, medium, coefficients), fly_reference(launch, medium, coefficients)
        assert (got.carry, got.side) == pytest.approx((plain.carry, plain.side), abs=0.05)
        assert got.time == pytest.approx(plain.time, abs=0.005)


def test_many_are_the_same_as_one_by_one() -> None:
    some = [shot(60 + i, 4.0 + 3 * i, 9000.0 - 800 * i, 4.0 * i - 10, i - 3.0) for i in range(9)]
    weights = np.linspace(0.0, 1.0, 9)
    many = fly_many(Launches.of(some), SEA_LEVEL, Coefficients(weights))
    for i, launch in enumerate(some):
        one = fly(launch, SEA_LEVEL, Coefficients(float(weights[i])))
        assert (one.carry, one.side, one.time) == pytest.approx((many[i].carry, many[i].side, many[i].time), abs=1e-9)


def test_more_than_a_chunk() -> None:
    n = 9000
    same = Launches(*(np.full(n, v) for v in (70.0, 12 * DEG, 0.0, 2600 * RPM, 0.0, 0.0)))
    many = fly_many(same, coefficients=Coefficients(np.zeros(n)))
    assert np.ptp(many.carry) < 1e-9
    assert many.carry[-1] == pytest.approx(231.062, abs=0.01)


def test_spin_beyond_the_coefficients_is_named() -> None:
    chip = fly(shot(8.0, 45.0, 6000.0))
    assert [i.code for i in chip.issues] == ["spin_ratio_clamped"]
    assert "1.13" in chip.issues[0].message


@pytest.mark.parametrize("launch", [shot(60, -3, 3000), shot(10, 0, 0)])
def test_a_ball_driven_down_stays_where_it_is(launch: Launch) -> None:
    got = fly(launch)
    assert (got.carry, got.time, got.apex) == (0.0, 0.0, 0.0)
    assert [i.code for i in got.issues] == ["no_flight"]


def test_a_level_ball_with_lift_flies() -> None:
    got = fly(shot(75, 0, 4000))
    plain = fly_reference(shot(75, 0, 4000))
    assert got.carry > 150.0
    assert got.carry == pytest.approx(plain.carry, abs=0.05)


def test_a_storm_that_never_lets_go_is_told() -> None:
    got = fly(shot(60, 45, 0), Air(1.225, 1.4607e-5, (0.0, 80.0, 0.0)))
    assert np.isnan(got.carry)
    assert [i.code for i in got.issues] == ["never_lands"]


def test_low_chips_are_not_stepped_over() -> None:
    got = fly(shot(6.0, 1.0))
    assert got.time == pytest.approx(fly_reference(shot(6.0, 1.0)).time, abs=1e-4)
    assert 0.1 < got.carry < 0.2


@given(launches)
@settings(max_examples=50, deadline=None, derandomize=True)
def test_vectors_and_angles_round_trip(launch: Launch) -> None:
    one = Launches.of([launch])
    back = launches_from_vectors(one.velocity(), launch.spin_rate * one.spin_axis())[0]
    if launch.spin_rate < 1e-6:
        assert (back.ball_speed, back.launch, back.azimuth) == pytest.approx(
            (launch.ball_speed, launch.launch, launch.azimuth)
        )
    else:
        for name in ("ball_speed", "launch", "azimuth", "spin_rate", "axis_tilt", "axis_heading"):
            assert getattr(back, name) == pytest.approx(getattr(launch, name), abs=1e-7)

"""Air against ISO 2533 (rows D01-D08 of the validation page) and common sense."""

import numpy as np
import pytest

from ferrule.ball.air import (
    SEA_LEVEL,
    air,
    air_density,
    dynamic_viscosity,
    speed_of_sound,
    standard_pressure,
    standard_temperature,
    wind_share,
)


def test_d01_sea_level() -> None:
    assert standard_temperature(0.0) == 288.15
    assert standard_pressure(0.0) == 101325.0
    assert air().density == pytest.approx(1.2250, abs=5e-5)
    assert SEA_LEVEL.density == 1.2250


def test_d02_viscosity_and_sound() -> None:
    assert dynamic_viscosity(288.15) == pytest.approx(1.7894e-5, rel=1e-4)
    assert air().viscosity == pytest.approx(1.4607e-5, rel=1e-4)
    assert SEA_LEVEL.viscosity == 1.4607e-5
    assert speed_of_sound(288.15) == pytest.approx(340.29, rel=1e-4)


@pytest.mark.parametrize(("metres", "ratio"), [(500, 0.9529), (1000, 0.9075), (1500, 0.8637), (2000, 0.8216)])
def test_d03_density_with_altitude(metres: float, ratio: float) -> None:
    assert air(metres).density / 1.225 == pytest.approx(ratio, abs=2e-4)


def test_d04_density_a_mile_up() -> None:
    assert air(1609.344).density == pytest.approx(1.04662, abs=1e-4)


def test_d05_a_kilometre_up() -> None:
    assert standard_temperature(1000.0) == pytest.approx(281.65, abs=0.1)
    assert standard_pressure(1000.0) == pytest.approx(89874.6, abs=5.0)


@pytest.mark.parametrize(("metres", "viscosity"), [(1000, 1.581e-5), (2000, 1.715e-5)])
def test_d06_viscosity_with_altitude(metres: float, viscosity: float) -> None:
    assert air(metres).viscosity == pytest.approx(viscosity, abs=1e-8)


@pytest.mark.parametrize(("celsius", "density"), [(0, 1.29225), (15, 1.22498), (30, 1.16437)])
def test_d07_dry_air(celsius: float, density: float) -> None:
    assert air_density(celsius + 273.15, 101325.0) == pytest.approx(density, abs=2e-4)


@pytest.mark.parametrize(("celsius", "humidity", "density"), [(30, 0.8, 1.14961), (20, 0.5, 1.19884)])
def test_d08_damp_air_is_lighter(celsius: float, humidity: float, density: float) -> None:
    assert air_density(celsius + 273.15, 101325.0, humidity) == pytest.approx(density, abs=5e-4)
    assert air_density(celsius + 273.15, 101325.0, humidity) < air_density(celsius + 273.15, 101325.0)


def test_wind_grows_from_the_ground_to_its_value_at_ten_metres() -> None:
    share = wind_share(np.array([-1.0, 0.0, 1.0, 10.0, 30.0]), 0.03)
    assert share[[0, 1]].tolist() == [0.0, 0.0]
    assert share[3] == pytest.approx(1.0, abs=1e-12)
    assert np.all(np.diff(share[1:]) > 0.0)

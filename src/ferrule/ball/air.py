"""The air a ball flies through: density and viscosity after ISO 2533, humidity, and wind with height."""

from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.units import GRAVITY

Floats = NDArray[np.float64]

# ISO 2533:1975, section 2: sea level and the troposphere's lapse rate; Sutherland's law with its two constants.
_T0: Final = 288.15
_P0: Final = 101325.0
_LAPSE: Final = 0.0065
_GAS: Final = 287.05287
_SUTHERLAND_BETA: Final = 1.458e-6
_SUTHERLAND_T: Final = 110.4
_GAMMA: Final = 1.4
_GAS_VAPOUR: Final = 461.495
_TURF_ROUGHNESS: Final = 0.03
_WIND_HEIGHT: Final = 10.0
_CELSIUS: Final = 273.15


@dataclass(frozen=True, slots=True)
class Air:
    """Air for one flight, the same at every height but for the wind.

    density kg/m^3; viscosity: kinematic, m^2/s; wind m/s in the target frame (X to the target, Y up, Z right: a wind
    from the left blows to +Z); roughness: None for a wind that is the same at every height, else the roughness length
    in metres of a logarithmic profile that reaches `wind` at 10 m (mown grass about 0.03 m).
    """

    density: float
    viscosity: float
    wind: tuple[float, float, float] = (0.0, 0.0, 0.0)
    roughness: float | None = None


def air(
    altitude: float = 0.0,
    temperature: float | None = None,
    pressure: float | None = None,
    humidity: float = 0.0,
    wind: tuple[float, float, float] = (0.0, 0.0, 0.0),
    roughness: float | None = None,
) -> Air:
    """Air at an altitude in metres, of the standard atmosphere where nothing else is known.

    temperature in kelvin, pressure in pascals (as measured there, not reduced to sea level), humidity relative, 0 to 1.
    """
    kelvin = standard_temperature(altitude) if temperature is None else temperature
    pascals = standard_pressure(altitude) if pressure is None else pressure
    density = air_density(kelvin, pascals, humidity)
    return Air(density, dynamic_viscosity(kelvin) / density, wind, roughness)


def standard_temperature(altitude: float) -> float:
    """Kelvin at an altitude (geopotential metres, up to 11 km) in the standard atmosphere."""
    return _T0 - _LAPSE * altitude


def standard_pressure(altitude: float) -> float:
    """Pascals at an altitude (geopotential metres, up to 11 km) in the standard atmosphere."""
    return float(_P0 * (standard_temperature(altitude) / _T0) ** (GRAVITY / (_LAPSE * _GAS)))


def air_density(kelvin: float, pascals: float, humidity: float = 0.0) -> float:
    """kg/m^3 of damp air: partial pressures of dry air and vapour, each an ideal gas."""
    vapour = humidity * saturation_pressure(kelvin)
    return (pascals - vapour) / (_GAS * kelvin) + vapour / (_GAS_VAPOUR * kelvin)


def saturation_pressure(kelvin: float) -> float:
    """Pascals of saturated vapour over water (Magnus form: within 0.4 % from -10 to 50 C)."""
    celsius = kelvin - _CELSIUS
    return 610.94 * exp(17.625 * celsius / (celsius + 243.04))


def dynamic_viscosity(kelvin: float) -> float:
    """Pa s, Sutherland's law as ISO 2533 writes it."""
    return _SUTHERLAND_BETA * kelvin * sqrt(kelvin) / (kelvin + _SUTHERLAND_T)


def speed_of_sound(kelvin: float) -> float:
    """m/s in dry air."""
    return sqrt(_GAMMA * _GAS * kelvin)


def wind_share(height: Floats, roughness: float) -> Floats:
    """Share of the wind at 10 m that blows at a height in metres: a logarithmic profile that is 0 on the ground."""
    scale = 1.0 / log(1.0 + _WIND_HEIGHT / roughness)
    return np.asarray(np.log1p(np.maximum(height, 0.0) / roughness) * scale)


SEA_LEVEL: Final = Air(1.2250, 1.4607e-5)
"""ISO 2533 at sea level, still (D01, D02)."""
TURF_ROUGHNESS: Final = _TURF_ROUGHNESS
"""Roughness length of an open practice ground in metres (common practice in wind work for mown grass)."""

"""LAUNCH.json in, the flight of that ball out: section `fly` of the machine interface, schema 1."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, cast

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.air import SEA_LEVEL, Air, air
from ferrule.ball.coefficients import LYU, NARUO, SETS, SetName
from ferrule.ball.flight import fly, fly_many
from ferrule.ball.golf_ball import RADIUS
from ferrule.ball.launch import Launch, Launches
from ferrule.errors import Issue
from ferrule.files.ballquantities import SCHEMA, Answer, Number, Reader, object_from_text, rounded, shown
from ferrule.units import DEG, RPM

Floats = NDArray[np.float64]

_TOP: Final = (
    "schema", "ball_speed_mps", "launch_deg", "azimuth_deg", "spin_rpm", "axis_tilt_deg", "axis_heading_deg", "air",
    "coefficients",
)  # fmt: skip
_AIR: Final = (
    "altitude_m", "temperature_c", "pressure_hpa", "humidity_percent", "density_kgpm3", "wind_mps", "wind_roughness_m",
)  # fmt: skip
_NUMBERS: Final = ("ball_speed_mps", "launch_deg", "azimuth_deg", "spin_rpm", "axis_tilt_deg")
_TO_SI: Final = (1.0, DEG, DEG, RPM, DEG)
_KELVIN: Final = 273.15
_GALE: Final = 15.0
_STRONGEST: Final = 25.0
_LEAST_SPIN_RATIO: Final = 0.03


@dataclass(frozen=True, slots=True)
class LaunchInput:
    """A checked launch: the launch and the sds of its five numbers (SI), the air, and the coefficients asked for."""

    launch: Launch
    sds: tuple[float, float, float, float, float]
    air: Air
    coefficients: SetName | None
    remarks: tuple[Issue, ...]


def read_launch(source: str | bytes | Mapping[str, Any]) -> LaunchInput:
    """A launch from JSON text or its parsed object. Raises InputError with every fault, unknown keys first."""
    reader = Reader()
    data = object_from_text(source, "launch")
    if not isinstance(data, Mapping):
        reader.fail("type", "launch", "an object with named values", shown(data))
        reader.finish()
    values = reader.object(data, "", _TOP)
    reader.schema(values)
    needed = ("ball_speed_mps", "launch_deg", "spin_rpm")
    numbers = [reader.number(values, key, required=key in needed) for key in _NUMBERS]
    heading = reader.number(values, "axis_heading_deg")
    medium = _read_air(values.get("air"), reader)
    chosen = reader.choice(values, "coefficients", "", tuple(SETS))
    reader.finish()
    for key, number in zip(_NUMBERS, numbers, strict=True):
        if number is None:
            reader.remark("taken_as_zero", key, f"{key} was not given: the ball is taken to be straight in that.")
    known = [n or Number(0.0) for n in numbers]
    si = [n.value * scale for n, scale in zip(known, _TO_SI, strict=True)]
    speed, up, azimuth, spin, tilt = si
    if 0.0 <= RADIUS * spin < _LEAST_SPIN_RATIO * speed:
        reader.remark(
            "spin_below_coefficients",
            "spin_rpm",
            "So little spin is below what drag and lift were measured for (spin ratio 0.03): the figures are rough.",
            warning=True,
        )
    sds = [n.sd * scale for n, scale in zip(known, _TO_SI, strict=True)]
    return LaunchInput(
        Launch(speed, up, azimuth, spin, tilt, 0.0 if heading is None else heading.value * DEG),
        cast("tuple[float, float, float, float, float]", tuple(sds)),
        medium,
        cast("SetName | None", chosen),
        tuple(reader.remarks),
    )


def launch_answer(source: str | bytes | Mapping[str, Any]) -> Answer:
    """The answer of `ferrule fly`: flight figures of one set and the range of carry over both.

    The range spans both coefficient sets and, where sds were given, one sd of the launch each way.
    """
    given = read_launch(source)
    flight = fly(given.launch, given.air, SETS[given.coefficients or "naruo2004"])
    low, high = _carry_range(given)
    issues = [*given.remarks, *flight.issues]
    return {
        "schema": SCHEMA,
        "carry_m": rounded(flight.carry),
        "side_m": rounded(flight.side),
        "apex_m": rounded(flight.apex),
        "time_s": rounded(flight.time),
        "landing_deg": rounded(flight.landing / DEG),
        "end_speed_mps": rounded(flight.end_speed),
        "carry_range_m": [rounded(low, 2), rounded(high, 2)],
        "issues": [i.to_json() for i in issues],
    }


def _carry_range(given: LaunchInput) -> tuple[float, float]:
    middle = np.array(
        [
            given.launch.ball_speed,
            given.launch.launch,
            given.launch.azimuth,
            given.launch.spin_rate,
            given.launch.axis_tilt,
        ]
    )
    steps = np.diag(given.sds)
    rows = middle + np.concatenate([np.zeros((1, 5)), steps, -steps])
    rows[:, 0] = np.maximum(rows[:, 0], 0.1)
    rows[:, 3] = np.maximum(rows[:, 3], 0.0)
    speed, up, azimuth, spin, tilt = rows.T
    launches = Launches(speed, up, azimuth, spin, tilt, np.full(len(rows), given.launch.axis_heading))
    ends: list[float] = []
    for coefficients in (NARUO, LYU):
        carry = fly_many(launches, given.air, coefficients).carry
        spread = float(np.sqrt(np.sum(((carry[1:6] - carry[6:]) / 2.0) ** 2)))
        ends += [float(carry[0]) - spread, float(carry[0]) + spread]
    return min(ends), max(ends)


def _read_air(raw: Any, reader: Reader) -> Air:
    if raw == "none":
        return Air(0.0, SEA_LEVEL.viscosity)
    values = reader.object(raw, "air", _AIR)

    def got(key: str) -> float | None:
        number = reader.number(values, key, "air")
        return None if number is None else number.value

    altitude, celsius, hpa = got("altitude_m"), got("temperature_c"), got("pressure_hpa")
    humidity, density, roughness = got("humidity_percent"), got("density_kgpm3"), got("wind_roughness_m")
    wind = _read_wind(values.get("wind_mps"), reader)
    if altitude is None and celsius is None and hpa is None and humidity is None:
        medium = Air(SEA_LEVEL.density, SEA_LEVEL.viscosity, wind, roughness)
    else:
        medium = air(
            altitude or 0.0,
            None if celsius is None else celsius + _KELVIN,
            None if hpa is None else hpa * 100.0,
            (humidity or 0.0) / 100.0,
            wind,
            roughness,
        )
    return medium if density is None else Air(density, medium.viscosity, wind, roughness)


def _read_wind(raw: Any, reader: Reader) -> tuple[float, float, float]:
    if raw is None:
        return (0.0, 0.0, 0.0)
    where = "air.wind_mps"
    if not isinstance(raw, list | tuple) or len(raw) != 3:
        reader.fail("type", where, "three numbers [towards the target, up, to the right] in m/s", shown(raw))
        return (0.0, 0.0, 0.0)
    parts = [reader.plain(value, f"{where}[{i}]") for i, value in enumerate(raw)]
    along, up, right = (0.0 if p is None else p for p in parts)
    level: float = float(np.hypot(along, right))
    kmh = "kilometres an hour typed as m/s"
    if level > _STRONGEST:
        reader.fail(
            "out_of_range",
            where,
            f"wind of at most {_STRONGEST:g} m/s (90 km/h)",
            f"{level:g} m/s",
            kmh,
            f"If it was km/h, {level:g} km/h is {level / 3.6:.1f} m/s.",
        )
    elif level > _GALE:
        reader.remark(
            "wind_unit_doubtful",
            where,
            f"Wind of {level:g} m/s is a gale ({level * 3.6:.0f} km/h). If it was {kmh}, divide by 3.6.",
            warning=True,
        )
    if abs(up) > 10.0:
        reader.fail("out_of_range", f"{where}[1]", "up or down draught of at most 10 m/s", f"{up:g} m/s", kmh)
    return (along, up, right)

"""What is known of kinds of sensors: ranges, filter delay, usual rate. Generic kinds, not products.

The ranges are those common to consumer motion sensors; the delays follow from a low-pass filter of the given bandwidth
(first order: 1 / (2 pi f)). A coach who knows his device better saves a mapping with his own figures.
"""

from dataclasses import dataclass
from math import pi
from types import MappingProxyType
from typing import Final

from ferrule.units import DEG, GRAVITY


@dataclass(frozen=True, slots=True)
class DeviceProfile:
    """One kind of sensor. gyr_range rad/s, acc_range m/s^2: full scale; filter_delay: s, of both sensors of a pair;
    rate_hz: usual sample rate.
    """

    gyr_range: float
    acc_range: float
    filter_delay: float
    rate_hz: float


PROFILES: Final = MappingProxyType(
    {
        "generic_500hz": DeviceProfile(2000.0 * DEG, 16.0 * GRAVITY, 1.0 / (2.0 * pi * 200.0), 500.0),
        "generic_1000hz": DeviceProfile(2000.0 * DEG, 16.0 * GRAVITY, 1.0 / (2.0 * pi * 400.0), 1000.0),
        "generic_200hz": DeviceProfile(2000.0 * DEG, 16.0 * GRAVITY, 1.0 / (2.0 * pi * 90.0), 200.0),
        "wide_range": DeviceProfile(4000.0 * DEG, 30.0 * GRAVITY, 1.0 / (2.0 * pi * 200.0), 800.0),
        "low_range": DeviceProfile(1000.0 * DEG, 8.0 * GRAVITY, 1.0 / (2.0 * pi * 90.0), 200.0),
    }
)

"""Drag, lift and the loss of spin of a golf ball: two published sets, which disagree by 10-20 % in carry.

Neither is the truth for the ball on the mat. Everything that depends on them is worked out with both, and the
difference is shown.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
SetName = Literal["naruo2004", "lyu2018"]
Decay = Literal["per_second", "smits_smith"]

SPIN_KEPT_PER_SECOND: Final = 0.96
"""Share of the spin left after a second (4 % lost: Lyu et al. 2018)."""
SMITS_SMITH: Final = 2.0e-5
"""d omega/dt = -2.0e-5 v omega / R (Smits & Smith 1994 as given by Nathan 2008, SI)."""

NARUO_SPIN_RATIO_LIMIT: Final = 1.13
LYU_SPIN_RATIO_LIMIT: Final = 0.306
_LYU_REYNOLDS: Final = (5.0e4, 2.0e5)
_LYU_BRANCH: Final = 8.12e4


def naruo2004(spin_ratio: Floats, reynolds: Floats) -> tuple[Floats, Floats]:  # noqa: ARG001
    """C_D and C_L by spin ratio, held at their value for S = 1.13 beyond it.

    Naruo, Mizota & Shimozono 2004, Trans JSME B 70:2371-2377; stated for S 0.03 to 1.13, Re 7.1e4 to 1.25e5.
    """
    s = np.minimum(spin_ratio, NARUO_SPIN_RATIO_LIMIT)
    drag = (((0.7510 * s - 1.760) * s + 1.098) * s + 0.2148) * s + 0.2049
    lift = (((-0.2158 * s + 1.006) * s - 1.644) * s + 1.250) * s + 0.0616
    return drag, lift


def lyu2018(spin_ratio: Floats, reynolds: Floats) -> tuple[Floats, Floats]:
    """C_D by Reynolds number in two branches that meet at 8.12e4, C_L by spin ratio.

    Lyu, Kensrud, Smith & Tosaya 2018, Proceedings 2:238, doi:10.3390/proceedings2060238 (13 balls, 18-91 m/s,
    1500-4500 rpm); the polynomials are from a secondary place. Held at Re 5e4 and 2e5 and at the lift's peak, S = 0.306.
    """
    s = np.minimum(spin_ratio, LYU_SPIN_RATIO_LIMIT)
    re = np.minimum(np.maximum(reynolds, _LYU_REYNOLDS[0]), _LYU_REYNOLDS[1])
    low = (1.29e-10 * re - 2.59e-5) * re + 1.50
    high = (1.91e-11 * re - 5.40e-6) * re + 0.56
    return np.where(re < _LYU_BRANCH, low, high), (-3.25 * s + 1.99) * s


@dataclass(frozen=True, slots=True, eq=False)
class Coefficients:
    """What flight needs to know of the ball's skin.

    lyu_weight: 0 for naruo2004, 1 for lyu2018, between them a blend; a float, or one for each flight, shape (n,).
    decay: how spin is lost.
    """

    lyu_weight: float | Floats = 0.0
    decay: Decay = "per_second"

    def drag_and_lift(self, spin_ratio: Floats, reynolds: Floats) -> tuple[Floats, Floats]:
        """C_D and C_L, shape of the input."""
        weight = self.lyu_weight
        if isinstance(weight, float):
            if weight == 0.0:
                return naruo2004(spin_ratio, reynolds)
            if weight == 1.0:
                return lyu2018(spin_ratio, reynolds)
        drag, lift = naruo2004(spin_ratio, reynolds)
        other_drag, other_lift = lyu2018(spin_ratio, reynolds)
        return drag + weight * (other_drag - drag), lift + weight * (other_lift - lift)


NARUO: Final = Coefficients(0.0)
LYU: Final = Coefficients(1.0)
SETS: Final[dict[SetName, Coefficients]] = {"naruo2004": NARUO, "lyu2018": LYU}

"""Face seen less the face that the other readings predict: information beside the causes, never one of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import Final

from ferrule.club.delivery import face_of
from ferrule.coaching.delivery_state import A, B, DeliveryModel, K, L, U
from ferrule.coaching.observation import Observation
from ferrule.coaching.posterior_fits import Fits, fits_of, moments_of
from ferrule.statistics.estimate import Estimate

_FACE_SEEN: Final = ("face", "face_since_address", "ball_start", "ball_curve", "ball_landing", "delivered_loft")


@dataclass(frozen=True, eq=False, slots=True)
class FitsBothSides:
    """Fits of all observations, then of those of face, path and ball alone, then of all others."""

    fits: Fits
    both: bool

    def unexplained(self, model: DeliveryModel) -> Estimate | None:
        """Face seen less face predicted from the other readings with κ = 0, radians; None when a side has no reading."""
        if not self.both:
            return None
        seen, others = self.fits.around(1), self.fits.around(2)
        x = others.x
        bare = face_of(model.reference.face, others.closing - x[:, K], x[:, L], x[:, B] + x[:, U], x[:, A])
        observed, predicted = moments_of(seen.face), moments_of(bare)
        return Estimate(observed.value - predicted.value, hypot(observed.sd, predicted.sd))


def fits_of_both_sides(model: DeliveryModel, observations: Sequence[Observation]) -> FitsBothSides:
    """The fits that posterior and `unexplained` need, worked out together."""
    seen = [o.name in _FACE_SEEN or o.name == "path" for o in observations]
    both = not all(seen) and any(o.name in _FACE_SEEN for o in observations)
    subsets = [seen, [not s for s in seen]] if both else []
    return FitsBothSides(fits_of(model, observations, subsets), both)

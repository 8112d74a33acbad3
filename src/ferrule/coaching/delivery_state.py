"""The unknowns of one golfer's delivery with one club, what they say about the ball's world, and what is likely of them
before anything is read.

State, radians, columns in this order: grip g, flexion Δf, unset ε_unset, roll Δσ, lean ℓ (total, beyond reference),
raised ε_body, aim, body κ, path (less aim), chi χ. The lean tie ℓ = c (Δf cos χ - Δσ sin χ) + a enters the prior at a
given slope c; the posterior takes several slopes.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ferrule.club.delivery import closing_about_shaft, closing_for_face, face_of, loft_of
from ferrule.coaching.references import PRIORS, Reference
from ferrule.units import DEG

Floats = NDArray[np.float64]

STATE: Final = ("grip", "flexion", "unset", "roll", "lean", "raised", "aim", "body", "path", "chi")
G, F, U, R, L, B, A, K, P, X = range(len(STATE))
SIZE: Final = len(STATE)

CAUSES: Final = (
    "grip",
    "lead_wrist_flexion",
    "lead_wrist_unset",
    "forearm_roll",
    "shaft_lean",
    "posture",
    "aim",
    "arm_and_body",
)
"""The players of the split, in the order of their state columns `CAUSE_COLUMNS`."""
CAUSE_COLUMNS: Final = (G, F, U, R, L, B, A, K)
_PRIOR_MEAN: Final = np.array([PRIORS[name][0] * DEG for name in STATE[:-1]] + [0.0])
_PRIOR_SD: Final = np.array([PRIORS[name][1] * DEG for name in STATE[:-1]] + [0.0])


@dataclass(frozen=True, slots=True)
class DeliveryModel:
    """Reference and priors of one club, and the forward functions on states of shape (n, 10)."""

    reference: Reference

    def face(self, x: Floats) -> Floats:
        """φ, radians, shape (n,)."""
        return face_of(self.reference.face, self.closing(x), x[:, L], x[:, B] + x[:, U], x[:, A])

    def closing(self, x: Floats) -> Floats:
        """ρ, radians, shape (n,)."""
        return closing_about_shaft(x[:, G], x[:, F], x[:, R], x[:, K], x[:, X], self.reference.flexion)

    def from_face_first(self, y: Floats) -> tuple["States", Floats]:
        """States from coordinates that hold φ in place of the grip, and log |dg/dφ|, shape (n,).

        What is seen of face and ball is straight in φ and curved in the grip, so the posterior is worked out in these.
        """
        x = y.copy()
        rho, per_face = closing_for_face(self.reference.face, y[:, G], y[:, L], y[:, B] + y[:, U], y[:, A])
        x[:, G] = 0.0
        x[:, G] = rho - self.closing(x)
        with np.errstate(divide="ignore"):
            # A face that no closing reaches has no volume: log 0, and so no weight.
            volume = np.log(np.abs(per_face))
        return States(self, x, rho, y[:, G] if per_face.all() else None), volume

    def path(self, x: Floats) -> Floats:
        """Path, radians, + right, shape (n,)."""
        return np.asarray(x[:, A] + x[:, P])

    def loft(self, x: Floats) -> Floats:
        """Delivered loft, radians, shape (n,)."""
        return loft_of(self.reference.face, self.closing(x), x[:, L], x[:, B] + x[:, U])

    def prior_mean(self) -> Floats:
        """Means of the independent normals before any reading; the lean entry is a placeholder for the tie."""
        mean = _PRIOR_MEAN.copy()
        mean[X] = self.reference.chi
        return mean

    def prior_sd(self) -> Floats:
        """Their standard deviations; the lean entry is the spread of a around the tie."""
        sd = _PRIOR_SD.copy()
        sd[X] = self.reference.spread["chi_deg"]
        return sd

    def lean_lever(self, x: Floats) -> Floats:
        """What the lean tie multiplies: Δf cos χ - Δσ sin χ, shape (n,)."""
        return np.asarray(x[:, F] * np.cos(x[:, X]) - x[:, R] * np.sin(x[:, X]))

    def log_prior(self, x: Floats, tie_slope: Floats | float) -> Floats:
        """Log density at slopes c of the lean tie, one or n, up to a constant, shape (n,)."""
        z = self.prior_residual(x, tie_slope)
        return np.asarray(-0.5 * np.einsum("ni,ni->n", z, z))

    def prior_residual(self, x: Floats, tie_slope: Floats | float) -> Floats:
        """Departures from the prior in units of its spread, shape (n, 10)."""
        sd = self.prior_sd()
        z = (x - self.prior_mean()) / sd
        z[:, L] = (x[:, L] - tie_slope * self.lean_lever(x)) / sd[L]
        return np.asarray(z)


class States:
    """States of one model with what they say of face, path and loft, each worked out once and only when asked for.

    x: shape (n, 10), radians; closing, face: ρ and φ where they are known already, shape (n,).
    """

    __slots__ = ("_closing", "_face", "_loft", "_path", "model", "x")

    def __init__(
        self, model: DeliveryModel, x: Floats, closing: Floats | None = None, face: Floats | None = None
    ) -> None:
        self.model, self.x = model, x
        self._closing, self._face = closing, face
        self._path: Floats | None = None
        self._loft: Floats | None = None

    @property
    def closing(self) -> Floats:
        """ρ, radians, shape (n,)."""
        if self._closing is None:
            self._closing = self.model.closing(self.x)
        return self._closing

    @property
    def face(self) -> Floats:
        """φ, radians, shape (n,)."""
        if self._face is None:
            x = self.x
            self._face = face_of(self.model.reference.face, self.closing, x[:, L], x[:, B] + x[:, U], x[:, A])
        return self._face

    @property
    def path(self) -> Floats:
        """Path, radians, shape (n,)."""
        if self._path is None:
            self._path = self.model.path(self.x)
        return self._path

    @property
    def loft(self) -> Floats:
        """Delivered loft, radians, shape (n,)."""
        if self._loft is None:
            x = self.x
            self._loft = loft_of(self.model.reference.face, self.closing, x[:, L], x[:, B] + x[:, U])
        return self._loft


def departures_present(x: Floats, member: NDArray[np.bool_]) -> Floats:
    """States with only some causes departing.

    x: shape (n, 10); member: coalitions, shape (m, 8), in the order of `CAUSES`. Absent causes are 0, never their prior
    mean. Returns shape (m, n, 10).
    """
    mask = np.ones((member.shape[0], SIZE))
    mask[:, list(CAUSE_COLUMNS)] = member
    return np.asarray(mask[:, None, :] * x[None, :, :])

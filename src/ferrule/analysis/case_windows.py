"""Windows of a case: target intervals per angle, place and club, from the explanation's delivery."""

from dataclasses import replace

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.analysis.options import delivered_now
from ferrule.club.clubs import Club
from ferrule.coaching.case import Case, as_right_handed, quantity_of
from ferrule.coaching.counterfactual import TOLERANCE
from ferrule.coaching.evidence import swings_of_case
from ferrule.coaching.references import reference_of
from ferrule.coaching.windows import Window, present_of, windows_of, with_club
from ferrule.frames.handedness import world_sign


def windows_of_case(
    case: Case,
    explanation: Explanation | None = None,
    *,
    wanted: float = 0.0,
    tolerance: float = TOLERANCE,
    club: Club | None = None,
) -> tuple[Window, ...]:
    """Windows of every angle known, radians (ball position: metres), world quantities + right of the target.

    wanted: face to arrive with, world, radians; tolerance: half-width of the face; club: another club than the case's, for
    what the same wrist would do there.
    """
    known = explanation or explain_case(case)
    world = world_sign(case.golfer.handedness)
    work = as_right_handed(known.set_right)
    reference = reference_of(work.club, work.reference)
    now = delivered_now(work, known, reference)
    if club is not None:
        other = reference_of(club)
        now = with_club(now, club, reference, other)
        reference = other
    mean = known.mean_state
    present = present_of(swings_of_case(work), now, reference, mean["roll"], mean["unset"], mean["grip"])
    found = windows_of(
        now,
        present,
        wanted=world * wanted,
        tolerance=tolerance,
        face_sd=known.face.sd,
        limits=work.golfer.wrist_range,
    )
    return tuple(w if world > 0 or quantity_of(w.key).frame != "world" else _mirrored(w) for w in found)


def _mirrored(window: Window) -> Window:
    low, high = window.low, window.high
    return replace(
        window,
        low=None if high is None else -high,
        high=None if low is None else -low,
        now=-window.now,
    )


__all__ = ["windows_of_case"]

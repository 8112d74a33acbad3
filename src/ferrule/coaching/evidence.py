"""From readings to likelihoods: every kind of evidence, each entering once.

A case speaks of the mean delivery of its untouched swings. The same quantity read on several swings becomes one
observation (see `observation`). Grip and address are one link; lean, flexion and roll are tied in the prior alone; a
camera's handle and the wrist's unsetting meet in their sum.
"""

from dataclasses import replace
from math import sin, sqrt

import numpy as np
from numpy.typing import NDArray

from ferrule.ball.response import ResponseByLoft
from ferrule.coaching.ball_evidence import ball_observations
from ferrule.coaching.case import Case, Swings
from ferrule.coaching.delivery_state import A, B, DeliveryModel, F, G, L, R, U, X
from ferrule.coaching.observation import (
    Column,
    Observation,
    Summary,
    column_of,
    summary_of,
    summary_of_column,
    summary_of_readings,
)
from ferrule.coaching.quantities import FACE, GRIP_TURN
from ferrule.coaching.references import (
    BEND_TO_HANDLE,
    DELIVERED_LOFT_EXTRA_DEG,
    FACE_ADDRESS_SD_DEG,
    GRIP_ADDRESS_SD_DEG,
    SCATTER,
    Reference,
)
from ferrule.units import DEG

Floats = NDArray[np.float64]


def swings_of_case(case: Case) -> Swings:
    """The swings a case is about: the untouched ones; when every swing was a try, all of them."""
    return Swings(case.untouched or case.swings)


def observations_of(
    case: Case, model: DeliveryModel, response: ResponseByLoft, swings: Swings | None = None
) -> list[Observation]:
    """All observations of a right-handed case (mirror a left-handed one first). swings: its own, if they are known already."""
    swings = swings_of_case(case) if swings is None else swings
    out: list[Observation] = []
    out += _grip(case, swings, model)
    out += _wrist(swings, model)
    out += _lean_and_handle(swings, model)
    out += _club(swings)
    out += ball_observations(swings, case.club, response)
    return out


def _grip(case: Case, swings: Swings, model: DeliveryModel) -> list[Observation]:
    out = []
    if case.grip_turn is not None:
        grip = summary_of_readings([case.grip_turn], GRIP_TURN, 0.0, 1)
        out.append(Observation("grip_turn", grip.value, grip.sd, lambda s: s.x[:, G], grip.how))
    link = grip_from_address(swings, model.reference)
    if link is not None:
        out.append(Observation("grip_address", link.value, link.sd, lambda s: s.x[:, G], link.how))
    return out


def grip_from_address(swings: Swings, reference: Reference) -> Summary | None:
    """Grip turn that the address shows: -(f_a - f_a,ref) sin χ_a - face_address / sin λ, with its doubt.

    None when the wrist at address was not read: the face at address alone says how the club was set down, not how it
    is held.
    """
    flexion = summary_of(swings, "wrist.address.flexion_deg", "flexion")
    if flexion is None:
        return None
    face = summary_of(swings, "face_address_deg", "face_address")
    face_value, face_sd = (face.value, face.sd) if face is not None else (0.0, FACE_ADDRESS_SD_DEG * DEG)
    lever, lie = sin(reference.chi_address), sin(reference.face.lie)
    value = -(flexion.value - reference.address_flexion) * lever - face_value / lie
    sd = sqrt((GRIP_ADDRESS_SD_DEG * DEG) ** 2 + (flexion.sd * lever) ** 2 + (face_sd / lie) ** 2)
    return Summary(value, sd, flexion.count, flexion.how, None)


def _wrist(swings: Swings, model: DeliveryModel) -> list[Observation]:
    out = []
    reference = model.reference
    flexion = summary_of(swings, "wrist.impact.flexion_deg", "flexion")
    if flexion is not None:
        out.append(
            Observation(
                "impact_flexion", flexion.value, flexion.sd, lambda s: s.x[:, F] + reference.flexion, flexion.how
            )
        )
    unset = unset_departure(swings, reference)
    if unset is not None:
        out.append(Observation("unset", unset.value, unset.sd, lambda s: s.x[:, U], unset.how))
    roll = summary_of(swings, "wrist.impact.forearm_roll_deg", "roll")
    if roll is not None:
        out.append(Observation("impact_roll", roll.value, roll.sd, lambda s: s.x[:, R] + reference.roll, roll.how))
    chi = summary_of(swings, "forearm_shaft_angle_impact_deg", "chi")
    if chi is not None:
        out.append(Observation("impact_chi", chi.value, chi.sd, lambda s: s.x[:, X], chi.how))
    return out


def unset_departure(swings: Swings, reference: Reference) -> Summary | None:
    """ε_unset: ulnar deviation at impact less at address, beyond reference.

    Pairs within a swing first, since a mounting's zero drops out of them; impact alone against the usual address is weak.
    """
    impact, address = "wrist.impact.ulnar_deviation_deg", "wrist.address.ulnar_deviation_deg"
    turn = _summary_of_difference(swings, impact, address, "unset")
    if turn is not None:
        return replace(turn, value=turn.value - reference.unset)
    alone = summary_of(swings, impact, "unset", more_sd=8.0)
    if alone is None:
        return None
    return replace(alone, value=alone.value - reference.address_ulnar - reference.unset)


def _lean_and_handle(swings: Swings, model: DeliveryModel) -> list[Observation]:
    out = []
    reference = model.reference
    lean = summary_of(swings, "shaft_lean_impact_deg", "lean")
    if lean is not None:
        # A camera face-on looks along Z: the lean in the plane at the lie shows as tan(seen) = tan(lean) / sin(lie).
        lie = sin(reference.face.lie)
        out.append(
            Observation(
                "shaft_lean",
                lean.value,
                lean.sd,
                lambda s: np.arctan(np.tan(s.x[:, L] + reference.lean) / lie),
                lean.how,
            )
        )
    handle = summary_of(swings, "handle_raise_deg", "handle")
    if handle is not None:
        out.append(
            Observation(
                "handle", handle.value, handle.sd, lambda s: s.x[:, B] + s.x[:, U] + reference.handle_raise, handle.how
            )
        )
    bend = bend_lost(swings)
    if bend is not None:
        slope, slope_sd, free, rest = BEND_TO_HANDLE
        beyond = bend.value - free * DEG
        sd = sqrt((slope * bend.sd) ** 2 + (slope_sd * beyond) ** 2 + (rest * DEG) ** 2)
        out.append(Observation("bend_lost", slope * beyond, sd, lambda s: s.x[:, B], bend.how))
    return out


def bend_lost(swings: Swings) -> Summary | None:
    """Forward bend at address less at impact, paired within each swing, radians."""
    address, impact = "posture.forward_bend_address_deg", "posture.forward_bend_impact_deg"
    lost = _summary_of_difference(swings, impact, address, "bend")
    return None if lost is None else replace(lost, value=-lost.value)


def _summary_of_difference(swings: Swings, late: str, early: str, scatter: str) -> Summary | None:
    """Late less early within each swing that has both: they share no doubt between swings, the zero of the mounting is gone."""
    after, before = column_of(swings, late), column_of(swings, early)
    if after is None or before is None:
        return None
    both = set(after.place) & set(before.place)
    last, first = after.some([i in both for i in after.place]), before.some([i in both for i in before.place])
    if last is None or first is None:
        return None
    doubt = np.hypot(last.doubt, first.doubt)
    turned = Column(last.quantity, last.hows, last.place, last.value - first.value, doubt)
    return replace(summary_of_column(turned, SCATTER[scatter], len(swings)), how=last.hows[0])


def _club(swings: Swings) -> list[Observation]:
    out = []
    aim = summary_of(swings, "aim_deg", "aim")
    if aim is not None:
        out.append(Observation("aim", aim.value, aim.sd, lambda s: s.x[:, A], aim.how))
    out += _face_readings(swings)
    path = summary_of(swings, "delivery.path_deg", "path")
    if path is not None:
        out.append(Observation("path", path.value, path.sd, lambda s: s.path, path.how))
    loft = summary_of(swings, "delivery.delivered_loft_deg", "loft", more_sd=DELIVERED_LOFT_EXTRA_DEG)
    if loft is not None:
        out.append(Observation("delivered_loft", loft.value, loft.sd, lambda s: s.loft, loft.how))
    return out


def _face_readings(swings: Swings) -> list[Observation]:
    """Face at impact: against the target, or by a wrist sensor against the face at address.

    A sensor's face already holds the grip; what it lacks is how the face stood at address, one doubt for all swings. A
    mounting whose offset was learned from balls does not lack it, and where nobody read the aim, the offset held that too:
    such a face is against the target.
    """
    out = []
    read = column_of(swings, FACE)
    if read is None:
        return []
    worn, seen = (read.some([(how == "sensor") is by_sensor for how in read.hows]) for by_sensor in (True, False))
    if seen is not None:
        face = summary_of_column(seen, SCATTER["face"], len(swings))
        out.append(Observation("face", face.value, face.sd, lambda s: s.face, face.how))
    if worn is not None:
        relative = summary_of_column(worn, SCATTER["face"], len(swings))
        address = summary_of(swings, "face_address_deg", "face_address")
        zeroed = [swings[i].zeroed for i in worn.place]
        unread = FACE_ADDRESS_SD_DEG * DEG * (1.0 - sum(zeroed) / len(zeroed))
        offset, offset_sd = (address.value, address.sd) if address is not None else (0.0, unread)
        held = 0.0 if all(zeroed) and column_of(swings, "aim_deg") is None else 1.0
        out.append(
            Observation(
                "face_since_address",
                relative.value,
                sqrt(relative.sd**2 + offset_sd**2),
                lambda s: s.face - held * s.x[:, A] - offset,
                "sensor",
            )
        )
    return out

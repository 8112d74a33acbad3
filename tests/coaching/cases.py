"""Random golfers drawn from the model's own priors, read with noise and random gaps, for the tests of this folder."""

import numpy as np

from ferrule.ball.response import ball_response
from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Case, CaseSwing, Golfer, Reading
from ferrule.coaching.delivery_state import A, B, DeliveryModel, F, G, L, P, R, U, X
from ferrule.coaching.references import SCATTER, reference_of
from ferrule.units import DEG


def random_case(rng: np.random.Generator, hand: str = "right", swings: int | None = None) -> Case:
    club = club_by_name(str(rng.choice(["7-iron", "driver", "5-iron", "pitching wedge"])))
    reference = reference_of(club)
    model = DeliveryModel(reference)
    x = rng.normal(model.prior_mean(), model.prior_sd())
    x[X] = np.clip(x[X], 10 * DEG, 45 * DEG)
    x[L] = rng.normal(0.3, 0.2) * float(model.lean_lever(x[None])[0]) + rng.normal(0, 4 * DEG)
    keep = rng.uniform(0.15, 0.9)
    count = int(rng.integers(1, 5)) if swings is None else swings
    ball = ball_response(club, 36.0, reference.face.delivered_loft)
    out = []
    for _ in range(count):
        one = x.copy()
        for column, name in ((F, "flexion"), (U, "unset"), (R, "roll"), (L, "lean"), (P, "path")):
            one[column] += rng.normal(0, 0.6 * SCATTER[name]) * DEG
        readings = {}
        for key, value, doubt in _truth(model, one, ball, rng):
            if rng.random() < keep:
                how = str(rng.choice(["typed", "sensor", "by_eye", "video"]))
                sd = doubt * float(rng.uniform(0.7, 1.8))
                readings[key] = Reading(
                    value / (DEG if key.endswith("_deg") else 1.0) + float(rng.normal(0, sd)), sd, how
                )
        strike = str(rng.choice(["centre", "centre", "thin", "low"])) if rng.random() < 0.5 else None
        out.append(CaseSwing(readings, mount="a", strike=strike))
    grip = Reading(float(x[G] / DEG + rng.normal(0, 7)), 7.0, "by_eye") if rng.random() < keep else None
    return Case(Golfer(hand), club, tuple(out), grip)


def _truth(model, x, ball, rng):
    """Key, true value in radians (or the key's unit), usual doubt in the key's unit."""
    ref = model.reference
    one = x[None, :]
    face, path = float(model.face(one)[0]), float(model.path(one)[0])
    address = ref.address_flexion - (x[G] + rng.normal(0, 5 * DEG)) / np.sin(ref.chi_address)
    bend = rng.normal(38, 4) * DEG
    lost = 5 * DEG + (x[B] - rng.normal(0, 2 * DEG)) / 0.4
    level = ref.shaft_level_flexion + rng.normal(0, 10 * DEG)
    return [
        ("wrist.address.flexion_deg", np.clip(address, -80 * DEG, 60 * DEG), 3),
        ("wrist.address.ulnar_deviation_deg", 15 * DEG, 3),
        ("wrist.top.flexion_deg", ref.top_flexion + rng.normal(0, 10 * DEG), 3),
        ("wrist.shaft_level_down.flexion_deg", level, 3),
        ("wrist.shaft_level_down.forearm_roll_deg", ref.shaft_level_roll + rng.normal(0, 10 * DEG), 4),
        ("wrist.impact.flexion_deg", ref.flexion + x[F], 3),
        ("wrist.impact.ulnar_deviation_deg", 15 * DEG + x[U], 3),
        ("wrist.impact.forearm_roll_deg", ref.roll + x[R], 4),
        ("forearm_shaft_angle_impact_deg", x[X], 4),
        ("shaft_lean_impact_deg", np.arctan(np.tan(x[L] + ref.lean) / np.sin(ref.face.lie)), 3),
        ("handle_raise_deg", ref.handle_raise + x[B] + x[U], 2),
        ("posture.forward_bend_address_deg", bend, 3),
        ("posture.forward_bend_impact_deg", bend - lost, 3),
        ("posture.forward_bend_shaft_level_deg", bend - 0.4 * lost, 3),
        ("body.chest_open_impact_deg", rng.normal(25, 10) * DEG, 5),
        ("leading_edge_tilt_shaft_level_deg", bend - rng.normal(5, 12) * DEG, 5),
        ("aim_deg", x[A], 1),
        ("face_address_deg", rng.normal(0, 2) * DEG, 2),
        ("delivery.face_deg", face, 1),
        ("delivery.path_deg", path, 1),
        ("delivery.delivered_loft_deg", float(model.loft(one)[0]), 2),
        ("ball.start_deg", ball.start(face, path), 1),
        ("ball.curve_deg", ball.curve(face - path), 2),
    ]

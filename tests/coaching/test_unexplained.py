"""What the other readings do not explain of the face: against plain posteriors of either side."""

import numpy as np
import pytest

from cases import random_case
from ferrule.coaching.ball_evidence import response_of
from ferrule.coaching.delivery_state import DeliveryModel, K
from ferrule.coaching.evidence import observations_of, swings_of_case
from ferrule.coaching.posterior import posterior_of
from ferrule.coaching.references import reference_of
from ferrule.coaching.unexplained import fits_of_both_sides
from ferrule.units import DEG

FACE_SIDE = ("face", "face_since_address", "ball_start", "ball_curve", "ball_landing", "delivered_loft", "path")


@pytest.mark.parametrize("seed", range(6))
def test_it_is_the_difference_of_two_posteriors(seed):
    case = random_case(np.random.default_rng(seed))
    model = DeliveryModel(reference_of(case.club))
    observations = observations_of(case, model, response_of(case, swings_of_case(case)))
    found = fits_of_both_sides(model, observations).unexplained(model)
    seen = [o for o in observations if o.name in FACE_SIDE]
    rest = [o for o in observations if o.name not in FACE_SIDE]
    if found is None:
        assert not rest or not [o for o in seen if o.name != "path"]
        return
    face, others = posterior_of(model, seen), posterior_of(model, rest)
    without = others.x.copy()
    without[:, K] = 0.0
    value = face.mean(model.face(face.x)) - others.mean(model.face(without))
    sd = np.hypot(face.sd(model.face(face.x)), others.sd(model.face(without)))
    # A figure beside the causes, with an sd of several degrees: worked out from the normals at the modes alone.
    assert found.value == pytest.approx(float(value), abs=0.75 * DEG)
    assert found.sd == pytest.approx(float(sd), rel=0.05)


def test_one_side_alone_says_nothing():
    model = DeliveryModel(reference_of(random_case(np.random.default_rng(0)).club))
    assert fits_of_both_sides(model, []).unexplained(model) is None

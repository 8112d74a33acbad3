"""Landing spread in two ways, what the next balls do, and the rough run after landing."""

from dataclasses import replace

import pytest

from ferrule.ball.flight import fly
from ferrule.ball.ground import bounce_and_roll
from ferrule.ball.impact import typical_attack
from ferrule.ball.landing import LandingSpread, Scatter, TypicalDelivery, landing_spread, next_ball
from ferrule.ball.launch import Launch
from ferrule.club.clubs import BAG, Club, typical_club_speed
from ferrule.units import DEG, RPM

LOFTS = {"driver": 12.0, "7-iron": 28.7, "sand wedge": 49.0}


def typical(club: Club, face: float = 0.0, path: float = 0.0) -> TypicalDelivery:
    return TypicalDelivery(
        face * DEG, path * DEG, typical_attack(club), LOFTS[club.name] * DEG, typical_club_speed(club)
    )


@pytest.mark.parametrize("name", LOFTS)
@pytest.mark.parametrize(("face", "path"), [(0.0, 0.0), (3.0, -2.0)])
def test_propagation_and_simulation_agree(name: str, face: float, path: float) -> None:
    club = BAG[name]
    plain = landing_spread(club, typical(club, face, path), Scatter())
    drawn = landing_spread(club, typical(club, face, path), Scatter(), draws=4096, seed=1)
    assert plain.side_sd == pytest.approx(drawn.side_sd, rel=0.03)
    assert plain.carry_sd == pytest.approx(drawn.carry_sd, rel=0.03)
    assert plain.side == pytest.approx(drawn.side, abs=0.1 * drawn.side_sd)
    assert plain.carry == pytest.approx(drawn.carry, abs=0.1 * drawn.carry_sd)


def test_no_scatter_no_spread() -> None:
    still = Scatter(0, 0, 0, 0, 0, 0, 0)
    got = landing_spread(BAG["7-iron"], typical(BAG["7-iron"]), still)
    assert (got.side_sd, got.carry_sd) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_left_handed_mirror() -> None:
    club = BAG["driver"]
    right = replace(typical(club, 2.0, -3.0), toe=0.008)
    left = replace(typical(club, -2.0, 3.0), toe=0.008, handed=-1)
    a, b = (landing_spread(club, t, Scatter()) for t in (right, left))
    assert isinstance(a, LandingSpread)
    assert (b.side, b.correlation) == pytest.approx((-a.side, -a.correlation), abs=1e-9)
    assert (b.side_sd, b.carry, b.carry_sd) == pytest.approx((a.side_sd, a.carry, a.carry_sd), abs=1e-9)


def test_what_the_next_balls_do_when_the_face_closes_but_the_path_stays() -> None:
    # Trade check: face 3 open, path 6 left. Closed by 3: still slices, starts about 1 left. By 6: starts about 3.6 left.
    club = BAG["driver"]
    before = next_ball(club, typical(club, 3.0, -6.0))
    by_three = next_ball(club, typical(club, 0.0, -6.0))
    by_six = next_ball(club, typical(club, -3.0, -6.0))
    assert before.start > 0.5 * DEG
    assert -1.6 * DEG < by_three.start < -0.7 * DEG
    assert by_three.curve > 5.0 * DEG
    assert by_six.start / DEG == pytest.approx(-3.6, abs=0.3)
    assert 0.0 < by_six.curve < by_three.curve < before.curve


def test_bounce_and_roll_is_rough_and_says_so() -> None:
    drive, wedge = fly(Launch(65, 12 * DEG, 0, 2700 * RPM)), fly(Launch(36, 30 * DEG, 0, 9000 * RPM))
    firm, soft = bounce_and_roll(drive, "firm"), bounce_and_roll(drive, "soft")
    assert firm.run.value > soft.run.value > 0.0
    assert bounce_and_roll(wedge).run.value < bounce_and_roll(drive).run.value
    assert firm.run.sd == 0.5 * firm.run.value
    assert firm.label == "rough estimate"

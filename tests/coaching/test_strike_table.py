"""The strike words of the case agree with the rigid head of the ball room, within the doubt they state."""

import pytest

from ferrule.ball.impact import typical_attack
from ferrule.ball.strike_spot import SPOTS, toe_effect
from ferrule.club.clubs import club_by_name, typical_club_speed
from ferrule.coaching.ball_evidence import strike_offsets
from ferrule.coaching.references import reference_of
from ferrule.units import DEG


@pytest.mark.parametrize("name", ["driver", "3-wood", "5-hybrid", "5-iron", "7-iron", "pitching wedge"])
@pytest.mark.parametrize("word", ["toe", "heel", "centre", "thin", "unknown"])
def test_strike_words_agree_with_the_ball_room(name, word):
    club = club_by_name(name)
    loft = reference_of(club).face.delivered_loft
    effect = toe_effect(club, typical_club_speed(club), loft, typical_attack(club))
    start, start_sd, curve, curve_sd = strike_offsets(club, None if word == "unknown" else word)
    spot = SPOTS[word].toe
    assert abs(start - effect.start * spot.value / DEG) < 0.6 * start_sd
    assert abs(curve - effect.curve * spot.value / DEG) < 0.6 * curve_sd
    # The doubt holds at least the spread of the spot itself.
    assert start_sd >= 0.95 * abs(effect.start) * spot.sd / DEG
    assert curve_sd >= 0.75 * abs(effect.curve) * spot.sd / DEG

"""Equipment Rules as data: every figure with its source, and the bag inside them."""

from dataclasses import replace

import pytest

from ferrule.ball import golf_ball
from ferrule.ball.impact import HEADS
from ferrule.club.clubs import BAG
from ferrule.club.rules import RULES, check_club
from ferrule.units import DEG


@pytest.mark.parametrize(
    ("id_", "values", "tolerance"),
    [
        ("C40", (0.0459262,), 1e-7),
        ("C41", (0.042672,), 1e-9),
        ("C42", (25, 100), 0),
        ("C43", (76.200, 77.724), 1e-9),
        ("C44", (53.6448, 10 * DEG, 2520, 78.6790), 5e-5),
        ("C45", (55.8800, 11 * DEG, 2200, 81.8083), 5e-5),
        ("C46", (1.4667, 1.4640), 5e-5),
        ("C47", (53.6448, 55.8800, 78.6790, 81.8083), 5e-5),
        ("C48", (289.865, 292.608), 5e-4),
        ("C49", (5.9e-4, 1.0e-5), 1e-12),
        ("C50", (460e-6, 10e-6), 1e-12),
        ("C51", (0.127, 0.07112), 1e-12),
        ("C52", (239e-6, 18e-6, 257e-6), 1e-12),
        ("C53", (0.822, 0.830), 0),
        ("C54", (0.78,), 0),
        ("C55", (0.4572, 1.2192, 1.1684), 1e-9),
        ("C56", (10 * DEG, 25 * DEG), 1e-12),
        ("C57", (20 * DEG, 10 * DEG), 1e-12),
        ("C58", (0.127,), 0),
        ("C59", (10 * DEG,), 1e-12),
    ],
)
def test_figures(id_: str, values: tuple[float, ...], tolerance: float) -> None:
    assert RULES[id_].value == pytest.approx(values, abs=tolerance)


def test_every_rule_has_words_unit_and_source() -> None:
    assert [f"C{n}" for n in range(40, 60)] == list(RULES)
    for rule in RULES.values():
        assert rule.text
        assert rule.unit
        assert rule.source
        assert rule.status in {"found", "computed", "from memory"}


def test_our_ball_and_heads_keep_the_rules() -> None:
    assert pytest.approx(RULES["C40"].value[0], abs=5e-6) == golf_ball.MASS
    assert pytest.approx(RULES["C41"].value[0], abs=5e-6) == golf_ball.DIAMETER
    assert all(head.inertia_up <= RULES["C49"].value[0] for head in HEADS.values())


def test_the_bag_keeps_the_rules_and_a_wrong_club_is_told() -> None:
    assert [i for club in BAG.values() for i in check_club(club)] == []
    long = replace(BAG["driver"], length=1.30, lie=85 * DEG)
    assert [i.code for i in check_club(long)] == ["club_length_outside_rules", "club_lie_outside_rules"]
    assert "0.457 to 1.219" in check_club(long)[0].message

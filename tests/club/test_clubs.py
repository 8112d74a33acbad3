"""The bag: names as people write them, the table's order, overrides."""

from itertools import pairwise

import pytest

from ferrule.club.clubs import (
    BAG,
    club_by_name,
    club_with,
    face_from_lie,
    face_from_sole_mark,
    known_name,
    typical_club_speed,
)
from ferrule.errors import InputError
from ferrule.units import DEG, INCH


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("7 iron", "7-iron"),
        ("7i", "7-iron"),
        ("i7", "7-iron"),
        ("seven iron", "7-iron"),
        ("7-IRON", "7-iron"),
        ("PW", "pitching wedge"),
        ("pitching_wedge", "pitching wedge"),
        ("Driver", "driver"),
        (" 1-wood ", "driver"),
        ("3w", "3-wood"),
        ("5 fairway wood", "5-wood"),
        ("hybrid 4", "4-hybrid"),
        ("SW", "sand wedge"),
    ],
)
def test_names_are_forgiving(typed: str, name: str) -> None:
    assert club_by_name(typed).name == name


@pytest.mark.parametrize("typed", ["putter", "", "12-iron", "seven", "7", "iron"])
def test_an_unknown_name_lists_the_known_ones(typed: str) -> None:
    assert known_name(typed) is None
    with pytest.raises(InputError, match=r"driver, 3-wood.*lob wedge.*give loft and length"):
        club_by_name(typed)


def test_seven_iron_and_driver_of_the_documented_case() -> None:
    seven, driver = BAG["7-iron"], BAG["driver"]
    assert (seven.loft, seven.lie, seven.length, seven.head_mass) == (34 * DEG, 62.5 * DEG, 0.94, 0.27)
    assert (driver.loft, driver.lie, driver.length, driver.head_mass) == (10.5 * DEG, 58 * DEG, 1.15, 0.2)
    assert seven.how == "assumed"


@pytest.mark.parametrize(
    ("name", "loft", "lie", "inches", "grams"),
    [
        ("driver", (9, 12.5), (56, 60), (44.5, 46), (195, 205)),
        ("3-wood", (15, 15), (56, 58), (42.5, 43.5), (205, 215)),
        ("5-iron", (25, 28), (60, 61.5), (37.5, 38.5), (250, 258)),
        ("7-iron", (29, 34), (62, 63), (36.5, 37.25), (265, 275)),
        ("pitching wedge", (44, 47), (63.5, 64.5), (35.5, 36), (284, 292)),
        ("sand wedge", (54, 56), (64, 64), (35, 35.5), (298, 305)),
    ],
)
def test_table_lies_in_the_ranges_of_the_trade(
    name: str,
    loft: tuple[float, float],
    lie: tuple[float, float],
    inches: tuple[float, float],
    grams: tuple[float, float],
) -> None:
    club = BAG[name]
    for value, (low, high) in [
        (club.loft / DEG, loft),
        (club.lie / DEG, lie),
        (club.length / INCH, inches),
        (club.head_mass * 1e3, grams),
    ]:
        assert low - 1e-9 <= value <= high + 1e-9


def test_irons_grow_shorter_heavier_and_slower_with_loft() -> None:
    irons = [c for c in BAG.values() if c.kind in {"iron", "wedge"}]
    assert len(irons) == 11
    for longer, shorter in pairwise(irons):
        assert longer.loft < shorter.loft
        assert longer.length > shorter.length
        assert longer.head_mass < shorter.head_mass
        assert typical_club_speed(longer) > typical_club_speed(shorter)


def test_what_a_case_gives_overrides_the_table() -> None:
    strong = club_with("7i", loft=29 * DEG)
    assert (strong.name, strong.loft, strong.length, strong.how) == ("7-iron", 29 * DEG, 0.94, "typed")
    assert club_with("7i") is BAG["7-iron"]


def test_a_club_of_ones_own_needs_loft_and_length() -> None:
    own = club_with("my chipper", loft=35 * DEG, length=0.94)
    assert (own.lie, own.head_mass) == pytest.approx((62.5 * DEG, 0.27))
    assert own.name == "my chipper"
    assert own.kind == "iron"
    with pytest.raises(InputError, match="give loft and length"):
        club_with("my chipper", loft=35 * DEG)


def test_typical_speed_depends_on_the_golfer() -> None:
    seven = BAG["7-iron"]
    assert typical_club_speed(seven) > typical_club_speed(seven, "senior") > typical_club_speed(seven, "child")
    assert typical_club_speed(club_with("own", loft=34 * DEG, length=0.94)) == pytest.approx(typical_club_speed(seven))
    with pytest.raises(InputError, match="adult, senior, junior, child"):
        typical_club_speed(seven, "toddler")  # type: ignore[arg-type]


def test_a_flat_lie_looks_right_more_with_loft() -> None:
    assert face_from_lie(BAG["7-iron"], DEG) / DEG == pytest.approx(0.6745, abs=2e-3)
    assert (
        face_from_lie(BAG["sand wedge"], DEG)
        > face_from_lie(BAG["7-iron"], DEG)
        > face_from_lie(BAG["driver"], DEG)
        > 0
    )
    assert face_from_lie(BAG["7-iron"], -DEG) == -face_from_lie(BAG["7-iron"], DEG)


def test_a_sole_mark_says_it_could_be_the_club() -> None:
    seven = BAG["7-iron"]
    flat, upright = face_from_sole_mark(seven, "toe"), face_from_sole_mark(seven, "heel")
    assert flat.value / DEG == pytest.approx(1.35, abs=0.02)
    assert upright.value == -flat.value
    assert face_from_sole_mark(seven, "toe", handed=-1).value == -flat.value
    assert face_from_sole_mark(seven, "centre").value == 0.0
    assert flat.sd > face_from_sole_mark(BAG["driver"], "toe").sd

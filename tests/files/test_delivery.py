"""DELIVERY.json: C06 and C16 through the interface, and every message of a bad one."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.errors import InputError
from ferrule.files.delivery import read_delivery, strike_answer
from ferrule.files.launch import launch_answer

BASE = {
    "face_deg": 2, "path_deg": 0, "attack_deg": 0, "delivered_loft_deg": 15, "club_speed_mps": 50,
    "club": {"head_mass_kg": 0.2}, "impact": {"model": "rolling", "restitution": 0.83},
}  # fmt: skip


def messages(source: Any) -> list[str]:
    with pytest.raises(InputError) as caught:
        strike_answer(source)
    return [f.message for f in caught.value.faults]


def test_c06_through_the_interface() -> None:
    answer = strike_answer({**BASE, "face_deg": 0, "delivered_loft_deg": 10})
    assert answer["ball_speed_mps"] == pytest.approx(73.318, abs=1e-3)
    assert answer["launch_deg"] == pytest.approx(8.180, abs=1e-3)
    assert answer["spin_rpm"] == pytest.approx(2604.9, abs=0.5)
    assert answer["azimuth_deg"] == 0.0
    assert answer["issues"] == []


def test_c16_through_the_interface() -> None:
    answer = strike_answer(json.dumps(BASE))
    assert set(answer) == {
        "schema", "ball_speed_mps", "launch_deg", "azimuth_deg", "spin_rpm", "axis_tilt_deg", "issues",
    }  # fmt: skip
    assert answer["azimuth_deg"] == pytest.approx(1.619, abs=1e-2)
    assert answer["axis_tilt_deg"] == pytest.approx(7.421, abs=1e-2)


def test_a_strike_can_be_flown() -> None:
    ball = {k: v for k, v in strike_answer(BASE).items() if k != "issues"}
    flown = launch_answer(ball)
    assert flown["side_m"] > 5.0


def test_club_by_name_and_default_model() -> None:
    named = {"face_deg": 0, "path_deg": 0, "delivered_loft_deg": 29, "club_speed_mps": 34, "club": {"name": "7i"}}
    answer = strike_answer(named)
    assert 40.0 < answer["ball_speed_mps"] < 50.0
    assert [i["code"] for i in answer["issues"]] == ["attack_assumed"]
    given_mass = read_delivery({**named, "club": {"name": "7i", "head_mass_kg": 0.3}})
    assert given_mass.delivery.head_mass == 0.3
    own = read_delivery({**named, "club": {"name": "chipper", "loft_deg": 35, "length_m": 0.9}})
    assert own.delivery.head_mass == pytest.approx(0.296, abs=0.002)


def test_strike_spot_and_hand() -> None:
    driver = {**BASE, "face_deg": 0, "club": {"name": "driver"}, "strike": "toe"}
    right = strike_answer({**driver, "handedness": "right"})
    left = strike_answer({**driver, "handedness": "left"})
    assert right["azimuth_deg"] > 1.5
    assert right["axis_tilt_deg"] < -3.0
    assert left["azimuth_deg"] == -right["azimuth_deg"]
    assert strike_answer({**driver, "strike": {"toe_mm": 12}, "handedness": "right"}) == right
    assert "taken_as_right_handed" in [i["code"] for i in strike_answer(driver)["issues"]]


def test_topspin_is_told() -> None:
    answer = strike_answer({**BASE, "face_deg": 0, "delivered_loft_deg": 2, "attack_deg": 8})
    assert [i["code"] for i in answer["issues"]] == ["topspin"]


def test_friction_and_spring_can_be_given() -> None:
    plain = {k: v for k, v in BASE.items() if k != "impact"}
    dry = strike_answer({**plain, "delivered_loft_deg": 60, "impact": {"friction": 1.0}})
    wet = strike_answer({**plain, "delivered_loft_deg": 60, "impact": {"friction": 0.05}})
    assert wet["spin_rpm"] < 0.5 * dry["spin_rpm"]
    assert wet["launch_deg"] > dry["launch_deg"]


def test_all_faults_at_once_unknown_keys_first() -> None:
    got = messages(
        {
            "delivered_loft_deg": 200,
            "club_speed_mps": -3,
            "loft": 3,
            "club": {"head_mass_kg": 200},
            "impact": {"model": "x"},
        }
    )
    assert got[0].startswith("loft: expected one of")
    text = "\n".join(got)
    assert "face_deg: expected a number in degrees, + right of the target, got nothing." in text
    assert "path_deg: expected a number" in text
    assert "delivered_loft_deg: expected -5 to 85 degrees, got 200" in text
    assert "club_speed_mps: expected 0.5 to 75 m/s, got -3. Likely cause: miles or kilometres an hour" in text
    assert "grams typed as kilograms" in text
    assert "rolling, grip_and_slip" in text


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"face_deg": 55, "path_deg": -40}, "within 80 degrees of the way the head moves, got 95"),
        ({"club": None}, 'a club with "name" or "head_mass_kg"'),
        ({"club": {"name": "shovel"}}, "a known club"),
        ({"club": {"name": 7}}, "the name of a club"),
        ({"club": "driver"}, "an object with named values"),
        ({"impact": {"model": "rolling", "friction": 0.3}}, "A ball that rolls has neither"),
        ({"strike": "shank"}, "centre, toe, heel"),
        ({"strike": {"toe_mm": 900}}, "millimetres"),
        ({"handedness": "both"}, "right, left"),
        ({"impact": {"restitution": 1.2}}, "0 to 1"),
    ],
)
def test_messages(change: dict[str, Any], says: str) -> None:
    assert says in "\n".join(messages({**BASE, **change}))


@given(
    st.fixed_dictionaries(
        {},
        optional={
            **{k: st.floats(-100, 100) | st.text(max_size=3) for k in BASE if k not in {"club", "impact"}},
            "club": st.fixed_dictionaries(
                {},
                optional={
                    "name": st.sampled_from(["driver", "sw", "?", 3]),
                    "head_mass_kg": st.floats(0, 1),
                    "loft_deg": st.floats(0, 90),
                    "length_m": st.floats(0, 2),
                },
            ),
            "impact": st.fixed_dictionaries(
                {}, optional={"model": st.sampled_from(["rolling", "grip_and_slip", "no"]), "restitution": st.floats()}
            ),
            "strike": st.sampled_from(["toe", "fat", "x", None, 4]),
        },
    )
)
@settings(max_examples=200, deadline=None, derandomize=True)
def test_fuzz(data: Any) -> None:
    try:
        answer = strike_answer(json.dumps(data))
    except InputError as error:
        assert str(error)
    else:
        json.dumps(answer, allow_nan=False)

"""LAUNCH.json: the answers of the flight tables, and every message of a bad one."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.ball.flight import fly
from ferrule.ball.impact import delivery_with, strike
from ferrule.club.clubs import BAG
from ferrule.errors import InputError
from ferrule.files.launch import launch_answer, read_launch
from ferrule.units import DEG, RPM

D37 = {"ball_speed_mps": 70, "launch_deg": 12, "azimuth_deg": 0, "spin_rpm": 2600, "axis_tilt_deg": 0}
KEYS = {
    "schema", "carry_m", "side_m", "apex_m", "time_s", "landing_deg", "end_speed_mps", "carry_range_m", "issues",
}  # fmt: skip


def messages(source: Any) -> list[str]:
    with pytest.raises(InputError) as caught:
        launch_answer(source)
    return [f.message for f in caught.value.faults]


def test_d37_through_the_interface() -> None:
    answer = launch_answer(json.dumps(D37))
    assert set(answer) == KEYS
    assert answer["schema"] == 1
    assert answer["carry_m"] == pytest.approx(231.062, abs=0.01)
    assert answer["time_s"] == pytest.approx(6.5667, abs=0.001)
    assert answer["landing_deg"] == pytest.approx(37.840, abs=0.01)
    assert answer["carry_range_m"][0] == pytest.approx(231.06, abs=0.02)
    assert answer["carry_range_m"][1] > 255.0
    assert answer["issues"] == []
    assert json.loads(json.dumps(answer)) == answer
    assert launch_answer(D37) == launch_answer(json.dumps(D37).encode())


@pytest.mark.parametrize("air", ["none", {"density_kgpm3": 0}])
def test_d30_without_air(air: Any) -> None:
    answer = launch_answer({"ball_speed_mps": 50, "launch_deg": 30, "spin_rpm": 0, "air": air})
    assert answer["carry_m"] == pytest.approx(220.775, abs=0.001)
    assert answer["carry_range_m"] == [220.78, 220.78]


def test_d35_with_the_other_set_and_d42_with_wind() -> None:
    launch = {"ball_speed_mps": 78.67904, "launch_deg": 10, "spin_rpm": 2520, "coefficients": "lyu2018"}
    answer = launch_answer(launch)
    assert answer["carry_m"] == pytest.approx(286.853, abs=0.02)
    assert answer["carry_range_m"] == pytest.approx([260.07, 286.85], abs=0.03)
    assert launch_answer({**D37, "air": {"wind_mps": [-5, 0, 0]}})["carry_m"] == pytest.approx(214.144, abs=0.01)


def test_thin_warm_and_damp_air() -> None:
    high = launch_answer({**D37, "air": {"altitude_m": 2000}})["carry_m"]
    assert high == pytest.approx(244.714, abs=0.05)
    warm = launch_answer({**D37, "air": {"temperature_c": 35, "humidity_percent": 80}})["carry_m"]
    assert warm > 231.1
    assert launch_answer({**D37, "air": {"pressure_hpa": 980}})["carry_m"] > 231.1


def test_doubt_of_the_launch_widens_the_range() -> None:
    plain = launch_answer(D37)["carry_range_m"]
    doubtful = launch_answer({**D37, "ball_speed_mps": {"value": 70, "sd": 2, "how": "by_eye"}})["carry_range_m"]
    assert doubtful[0] < plain[0] - 5.0
    assert doubtful[1] > plain[1] + 5.0


def test_clamped_spin_ratio_is_named() -> None:
    answer = launch_answer({"ball_speed_mps": 8, "launch_deg": 45, "spin_rpm": 6000})
    codes = [i["code"] for i in answer["issues"]]
    assert "spin_ratio_clamped" in codes
    assert "1.13" in " ".join(i["message"] for i in answer["issues"])


def test_missing_sides_are_named_not_silent() -> None:
    answer = launch_answer({"ball_speed_mps": 70, "launch_deg": 12, "spin_rpm": 2600})
    assert [(i["code"], i["where"]) for i in answer["issues"]] == [
        ("taken_as_zero", "azimuth_deg"),
        ("taken_as_zero", "axis_tilt_deg"),
    ]


def test_all_faults_at_once_unknown_keys_first() -> None:
    bad = {
        "ball_speed_mps": -70,
        "launch_deg": 200,
        "spin_rpm": 1e9,
        "axis_tilt": 3,
        "azimuth_deg": True,
        "air": {"windspeed": 1, "wind_mps": [30, 0, 0]},
    }
    got = messages(bad)
    assert got[0].startswith("axis_tilt: ")
    assert "Did you mean 'axis_tilt_deg'?" in got[0]
    assert got[1].startswith("air.windspeed: ")
    assert "ball_speed_mps: expected 0.5 to 110 m/s, got -70. Likely cause: miles" in got[2]
    assert "launch_deg: expected -20 to 89 degrees, got 200." in got[3]
    assert "azimuth_deg: expected a number, got True." in got[4]
    assert "spin_rpm: expected 0 to 20000 revolutions a minute, got 1e+09." in got[5]
    assert "30 km/h is 8.3 m/s" in got[6]
    assert len(got) == 7


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("", "got nothing"),
        ("{", "cannot be read as JSON"),
        ("[1, 2]", "an object with named values"),
        ('{"spin_rpm": 1, "spin_rpm": 2}', "stands twice"),
        ('{"ball_speed_mps": NaN, "launch_deg": 12, "spin_rpm": 1}', "leave the key out"),
        ('{"ball_speed_mps": 1e999, "launch_deg": 12, "spin_rpm": 1}', "a finite number"),
        ('{"ball_speed_mps": "70", "launch_deg": 12, "spin_rpm": 1}', "a number in quotes"),
        ('{"launch_deg": 12, "spin_rpm": 1}', "ball_speed_mps: expected a number in m/s, got nothing"),
        (json.dumps({**D37, "schema": 2}), "schema 1"),
        (json.dumps({**D37, "coefficients": "mine"}), "naruo2004, lyu2018"),
        (json.dumps({**D37, "spin_rpm": {"value": 1, "how": "guess"}}), "by_eye, assumed"),
        (json.dumps({**D37, "spin_rpm": {"value": 1, "sd": -1}}), "a spread of 0 or more"),
        (json.dumps({**D37, "air": {"wind_mps": 5}}), "three numbers"),
        (json.dumps({**D37, "air": {"temperature_c": 95}}), "Fahrenheit"),
        (json.dumps({**D37, "air": {"altitude_m": 20000}}), "feet typed as metres"),
        ("x" * 1_000_001, "1 MB"),
        ("[" * 100_000, "cannot be read as JSON"),
    ],
)
def test_messages(source: str, says: str) -> None:
    assert says in "\n".join(messages(source))


def test_a_gale_is_doubted_but_flown() -> None:
    answer = launch_answer({**D37, "air": {"wind_mps": [0, 0, 18]}})
    assert [i["code"] for i in answer["issues"]] == ["wind_unit_doubtful"]
    assert "65 km/h" in answer["issues"][0]["message"]
    assert answer["side_m"] > 20


def test_heading_of_the_axis_carries_a_struck_ball_over_exactly() -> None:
    # A face rolls the ball about an axis square to its flight, which points a little forward of square over the ground.
    launch = strike(delivery_with(BAG["7-iron"], 38.0, 4 * DEG, 0.0, -3 * DEG, 29 * DEG))
    keys = {
        "ball_speed_mps": launch.ball_speed,
        "launch_deg": launch.launch / DEG,
        "azimuth_deg": launch.azimuth / DEG,
        "spin_rpm": launch.spin_rate / RPM,
        "axis_tilt_deg": launch.axis_tilt / DEG,
    }
    whole = launch_answer({**keys, "axis_heading_deg": launch.axis_heading / DEG})
    assert whole["side_m"] == pytest.approx(fly(launch).side, abs=1e-3)
    assert 0.85 * whole["side_m"] < launch_answer(keys)["side_m"] < whole["side_m"]


def test_read_launch_is_si() -> None:
    got = read_launch(D37)
    assert got.launch.launch == pytest.approx(0.20944, abs=1e-5)
    assert got.launch.spin_rate == pytest.approx(272.27, abs=0.01)


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=8,
)
PLAUSIBLE = st.fixed_dictionaries(
    {},
    optional={
        **{k: st.floats(-300, 300) | ANYTHING for k in D37},
        "air": st.fixed_dictionaries(
            {},
            optional={
                "altitude_m": st.floats(-1000, 9000) | ANYTHING,
                "temperature_c": st.floats(-50, 70),
                "wind_mps": st.lists(st.floats(-30, 30), min_size=2, max_size=4) | ANYTHING,
                "wind_roughness_m": st.floats(0, 1),
            },
        )
        | ANYTHING,
        "coefficients": st.sampled_from(["naruo2004", "lyu2018", "x"]),
        "more": ANYTHING,
    },
)


@given(PLAUSIBLE | ANYTHING)
@settings(max_examples=150, deadline=None, derandomize=True)
def test_fuzz_objects(data: Any) -> None:
    """Whatever comes in: an answer without NaN, or an InputError with words."""
    try:
        text = json.dumps(data)
        answer = launch_answer(text)
    except InputError as error:
        assert str(error)
    else:
        json.dumps(answer, allow_nan=False)


@given(st.text(max_size=60) | st.binary(max_size=60))
@settings(max_examples=150, deadline=None, derandomize=True)
def test_fuzz_text(source: str | bytes) -> None:
    with pytest.raises(InputError):
        launch_answer(source)

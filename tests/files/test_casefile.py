"""CASE.json in: everything the interface names, and a clear word for everything wrong."""

import copy
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.errors import InputError
from ferrule.files.casefile import case_from_data, read_case
from ferrule.units import DEG

FULL = {
    "schema": 1,
    "golfer": {
        "handedness": "right",
        "misses": {"big": "right", "other": "left"},
        "pain": [],
        "age_group": "adult",
        "wrist_range_deg": {"flexion": 70, "extension": 60, "radial": 20, "ulnar": 30},
    },
    "setting": {"surface": "mat", "flight_seen_m": 200, "ball": "range", "at_hand": ["eye", "video", "sensor", "ball"]},
    "club": {"name": "7-iron", "loft_deg": 34, "lie_deg": 62.5, "length_m": 0.94, "head_mass_kg": 0.27},
    "reference": {"flexion_deg": 6, "lean_deg": 6, "forearm_roll_deg": 0, "chi_deg": 25, "handle_raise_deg": 2},
    "grip_turn_deg": {"value": -4, "sd": 7, "how": "by_eye"},
    "swings": [
        {
            "mount": "a",
            "wrist": {
                "address": {"flexion_deg": -15, "ulnar_deviation_deg": 15},
                "top": {"flexion_deg": -17},
                "shaft_level_down": {"flexion_deg": -14},
                "impact": {"flexion_deg": -4, "ulnar_deviation_deg": 16, "forearm_roll_deg": 3},
            },
            "trail_wrist": {"top": {"flexion_deg": -40}},
            "forearm_shaft_angle_impact_deg": 25,
            "shaft_lean_impact_deg": 4,
            "handle_raise_deg": 3,
            "posture": {
                "forward_bend_address_deg": 38,
                "forward_bend_shaft_level_deg": 36,
                "forward_bend_impact_deg": 31,
            },
            "body": {"chest_open_impact_deg": 20, "pelvis_open_impact_deg": 30},
            "leading_edge_tilt_shaft_level_deg": 15,
            "aim_deg": 0,
            "face_address_deg": 0,
            "ball_position_m": 0.0,
            "delivery": {
                "face_deg": 4,
                "path_deg": -1,
                "attack_deg": -3,
                "delivered_loft_deg": 33,
                "club_speed_mps": 36,
            },
            "ball": {"start_deg": 3, "curve_deg": 3.4, "carry_m": 119, "side_m": 13.3, "shape": "push-fade"},
            "strike": "centre",
            "tried": {"feel": "bow early", "amount": 2},
        }
    ],
}


def changed(**paths):
    data = copy.deepcopy(FULL)
    for path, value in paths.items():
        *way, last = path.split("__")
        place = data
        for step in way:
            place = place[int(step)] if step.isdigit() else place[step]
        place[last] = value
    return data


def faults_of(data) -> list:
    with pytest.raises(InputError) as caught:
        case_from_data(data)
    return list(caught.value.faults)


def test_everything_of_the_interface_is_read():
    case, remarks = read_case(json.dumps(FULL))
    swing = case.swings[0]
    assert remarks == []
    assert case.golfer.handedness == "right"
    assert (case.golfer.big_miss, case.golfer.other_miss) == ("right", "left")
    assert case.club.loft == pytest.approx(34 * DEG)
    assert case.reference["lean_deg"] == 6
    assert case.grip_turn is not None
    assert (case.grip_turn.value, case.grip_turn.sd, case.grip_turn.how) == (-4, 7, "by_eye")
    assert swing.readings["wrist.impact.forearm_roll_deg"].value == 3
    assert swing.readings["trail_wrist.top.flexion_deg"].value == -40
    assert swing.readings["delivery.club_speed_mps"].value == 36
    assert swing.readings["ball.side_m"].value == 13.3
    assert (swing.shape, swing.strike, swing.mount) == ("push-fade", "centre", "a")
    assert swing.tried is not None
    assert (swing.tried.feel, swing.tried.amount) == ("bow early", 2)
    assert case.untouched == []


def test_only_handedness_and_club_are_needed():
    case, _ = case_from_data({"golfer": {"handedness": "left"}, "club": {"name": "driver"}})
    assert case.swings == ()
    assert case.club.name == "driver"


def test_unknown_key_is_refused_by_name_with_the_nearest():
    faults = faults_of(changed(swings__0__shaft_lean_impct_deg=4))
    assert faults[0].code == "unknown_key"
    assert "'shaft_lean_impct_deg'" in faults[0].message
    assert "'shaft_lean_impact_deg' is meant" in faults[0].message


def test_all_faults_together_unknown_keys_first():
    data = changed(golfer__handedness="both", swings__0__aim_deg="three", zzz=1)
    data["swings"][0]["wrist"]["impact"]["flexoin_deg"] = 3
    faults = faults_of(data)
    codes = [f.code for f in faults]
    assert codes[:2] == ["unknown_key", "unknown_key"]
    assert set(codes[2:]) == {"choice", "type"}


@pytest.mark.parametrize("value", [150, -120])
def test_angle_outside_anatomy(value):
    fault = faults_of(changed(swings__0__wrist__impact__flexion_deg=value))[0]
    assert fault.code == "beyond_anatomy"
    assert "no wrist goes" in fault.message
    assert "sign or the zero of the device" in fault.message
    assert fault.where == "swings[0].wrist.impact.flexion_deg"


def test_angle_beyond_the_usual_is_taken_and_remarked_on():
    _, remarks = case_from_data(changed(swings__0__wrist__impact__flexion_deg=88))
    assert [r.code for r in remarks] == ["unusual_angle"]


@pytest.mark.parametrize(
    "value", ["NaN", "Infinity", True, "4", [4], {"sd": 2}, {"value": 4, "how": "felt"}, {"value": 4, "sd": -1}]
)
def test_values_that_are_no_numbers(value):
    text = json.dumps(changed(swings__0__aim_deg=value)).replace('"NaN"', "NaN").replace('"Infinity"', "Infinity")
    with pytest.raises(InputError) as caught:
        read_case(text)
    assert "swings[0].aim_deg" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "got nothing"),
        ("{", "cannot be read as JSON"),
        ("[1, 2]", "expected an object"),
        ('{"golfer": 1, "golfer": 2}', "stands twice"),
    ],
)
def test_text_that_is_no_case(text, words):
    with pytest.raises(InputError, match=words):
        read_case(text)


def test_a_recording_given_in_place_of_a_case():
    with pytest.raises(InputError, match="ferrule analyse"):
        read_case(b"1,2,3\n" * 1_000_000)


def test_deeply_nested_text_is_refused():
    with pytest.raises(InputError, match="JSON"):
        read_case("[" * 100_000 + "]" * 100_000)


def test_missing_handedness_and_club_are_said_together():
    faults = faults_of({"golfer": {}})
    assert {f.where for f in faults} == {"golfer.handedness", "club"}


def test_schema_of_a_newer_program():
    assert "newer Ferrule" in faults_of(changed(schema=2))[0].message


json_values = st.recursive(
    st.none() | st.booleans() | st.integers(-1000, 1000) | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from([*FULL, *FULL["swings"][0], "value", "sd", "x"]), inner, max_size=5)
    ),
    max_leaves=25,
)


@given(json_values)
@settings(max_examples=300, derandomize=True, deadline=None)
def test_only_the_stated_error_escapes(data):
    try:
        case_from_data(data)
    except InputError as error:
        assert error.faults
        assert str(error)


@given(st.binary(max_size=200))
@settings(max_examples=200, derandomize=True, deadline=None)
def test_bytes_never_crash_the_reader(raw):
    try:
        read_case(raw)
    except InputError as error:
        assert str(error)

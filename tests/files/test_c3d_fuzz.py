"""Whatever happens to a C3D file or a mapping, only our own errors come out (warnings are errors here)."""

import json

import marker_lab as lab
import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from ferrule.analysis.markers import analyse_markers
from ferrule.club.clubs import club_by_name
from ferrule.errors import InputError
from ferrule.files.c3d import read_c3d
from ferrule.files.markermapping import mapped_markers, read_marker_mapping
from ferrule.files.xdf import read_xdf_mapping

FUZZ = settings(derandomize=True, max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
CLUB = club_by_name("7-iron")
NUMBERED = read_marker_mapping(
    {
        "axes": {"up": "z", "target": "x"},
        "forearm": {"proximal": 1, "radial": 2, "ulnar": 3},
        "hand": {"radial": 4, "ulnar": 5},
        "club": {"grip": 6, "head": 7, "toe": 8},
    }
)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    table = np.random.default_rng(0).normal(0.0, 0.3, (120, 8, 3))
    return lab.write(tmp_path_factory.mktemp("fuzz") / "small.c3d", table, 200.0).read_bytes()


def attempt(content):
    try:
        markers, _ = read_c3d(content)
        roles, _ = mapped_markers(markers, NUMBERED)
        analyse_markers(markers.time_s, roles, club=CLUB)
    except InputError as error:
        assert error.faults


@FUZZ
@given(st.lists(st.tuples(st.integers(0, 2047), st.integers(0, 255)), max_size=12), st.integers(0, 20_000))
def test_a_file_with_bytes_changed_or_cut(small, changes, length):
    content = bytearray(small)
    for place, value in changes:
        content[place] = value
    attempt(bytes(content))
    attempt(bytes(content[:length]))


@FUZZ
@given(st.integers(0, 255), st.integers(0, 4), st.binary(max_size=508), st.binary(max_size=2000))
@example(2, 84, b"", b"")
def test_any_bytes_behind_the_mark_of_a_file(first, kind, head, rest):
    attempt(bytes([first, 0x50]) + head.ljust(510, b"\x00") + bytes([0, 0, 1, 83 + kind]) + rest)


WORDS = (
    "axes",
    "up",
    "target",
    "forearm",
    "hand",
    "club",
    "proximal",
    "grip",
    "unit",
    "neutral_s",
    "columns",
    "stream",
)
JSON = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.floats(), st.integers(), st.sampled_from(["x", "-z", "mm", "A", "", *WORDS])
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.sampled_from([*WORDS, "forearm_acc_x_mps2", "phase", "kind", "schema"]), inner, max_size=6),
    ),
    max_leaves=20,
)


@FUZZ
@given(JSON.map(json.dumps))
@example('{"axes": {"up": [], "target": {}}, "unit": [], "neutral_s": [1, 1e999]}')
@example('{"columns": {"forearm_acc_x_mps2": {"stream": "a", "channel": 1, "unit": [], "sign": []}}}')
def test_any_mapping(text):
    for read in (read_marker_mapping, read_xdf_mapping):
        try:
            read(text)
        except InputError as error:
            assert error.faults

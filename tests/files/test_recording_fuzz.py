"""Whatever bytes come in, only InputError comes out."""

import io
import json
from typing import Any

import numpy as np
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from ferrule.errors import InputError
from ferrule.files.mapping import read_mapping
from ferrule.files.native import KNOWN, REQUIRED
from ferrule.files.recording import read_recording

HEADER = ",".join(REQUIRED)
CELL = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True).map(repr),
    st.integers(-(10**40), 10**40).map(str),
    st.sampled_from(["", "nan", "-inf", "1e999", "0", "9.81", "x", '"', "\x00", "1,2", "é", "١"]),
)
FUZZ = settings(derandomize=True, max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))


def attempt(content: bytes, **more: Any) -> None:
    try:
        read_recording(content, **more)
    except InputError as error:
        assert str(error)
        assert all(f.message for f in error.faults)


@FUZZ
@given(st.binary(max_size=400))
@example(b"\xff\xfe")
@example(b"\xff\xfe1")
@example(b"PAR1PAR1")
@example(b'"')
@example(b"time_s\r\r\r")
def test_any_bytes(content: bytes) -> None:
    attempt(content)
    attempt(HEADER.encode() + b"\n" + content)


@FUZZ
@given(st.lists(st.lists(CELL, max_size=15), max_size=80), st.sampled_from([",", ";", "\t"]), st.booleans())
def test_any_cells_under_a_right_header(rows: list[list[str]], delimiter: str, phase: bool) -> None:
    header = delimiter.join(KNOWN if phase else REQUIRED)
    attempt("\n".join([header, *(delimiter.join(row) for row in rows)]).encode("utf-8", "surrogatepass"))


@FUZZ
@given(st.integers(0, 2**32 - 1), st.sampled_from(["value", "column", "time", "huge"]), st.floats(width=64))
def test_a_whole_table_with_one_thing_broken(seed: int, what: str, value: float) -> None:
    rng = np.random.default_rng(seed)
    table = rng.normal(size=(400, 13))
    table[:, 0] = np.arange(400) * 0.005
    table[:, [2, 8]] += 9.81
    if what == "value":
        table[rng.integers(400), rng.integers(13)] = value
    elif what == "column":
        table[:, rng.integers(13)] = value
    elif what == "time":
        table[rng.integers(400) :, 0] += value
    else:
        with np.errstate(over="ignore", invalid="ignore"):
            table[:, 1 + rng.integers(12)] *= value
    out = io.StringIO()
    out.write(HEADER + "\n")
    np.savetxt(out, table, fmt="%.17g", delimiter=",")
    attempt(out.getvalue().encode())


JSON = st.recursive(
    st.one_of(st.none(), st.booleans(), st.floats(), st.integers(), st.text(max_size=8), st.sampled_from(KNOWN)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(
            st.one_of(
                st.text(max_size=6),
                st.sampled_from([*KNOWN, "columns", "from", "unit", "sign", "file", "rate_hz", "header_lines"]),
            ),
            inner,
            max_size=6,
        ),
    ),
    max_leaves=25,
)


@FUZZ
@given(st.one_of(st.text(max_size=60), JSON.map(json.dumps)))
@example("[" * 100_000)
@example('{"columns": {"time_s": {"from": "t", "sign": []}}}')
@example('{"rate_hz": 1e400, "columns": {}}')
def test_any_mapping(text: str) -> None:
    try:
        read_mapping(text)
    except InputError as error:
        assert error.faults


@FUZZ
@given(
    st.fixed_dictionaries(
        {},
        optional={
            "header_lines": st.integers(1, 50),
            "delimiter": st.sampled_from([",", ";", " ", "|"]),
            "decimal": st.sampled_from([",", "."]),
            "rate_hz": st.floats(1e-300, 1e9),
        },
    ),
    st.text(st.sampled_from('acgt_xyz,;. \n"#1-e'), max_size=300),
)
def test_any_text_under_any_mapping(more: dict[str, Any], content: str) -> None:
    columns = {name: {"from": name} for name in REQUIRED}
    head = more.get("delimiter", ",").join(REQUIRED)
    attempt((head + "\n" + content).encode(), mapping=more | {"columns": columns})

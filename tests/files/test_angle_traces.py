"""Ready-made angles: declared ones come out right, undeclared ones are guessed aloud and refused until confirmed."""

import json
from functools import cache

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from ferrule.analysis.angles import AngleTrace, analyse_angles
from ferrule.cli import app
from ferrule.errors import InputError
from ferrule.files.angle_traces import read_angle_mapping, read_angle_trace
from ferrule.files.fingerprint import fingerprint, recognise
from ferrule.simulator import PATTERNS, CalibrationPlan, Faults, SwingPlan, simulate_lesson
from ferrule.units import DEG

runner = CliRunner()
FUZZ = settings(derandomize=True, max_examples=50, deadline=None, suppress_health_check=list(HealthCheck))
DECLARED = {
    "schema": 1,
    "kind": "angles",
    "columns": {
        "time_s": {"from": "Time", "unit": "ms"},
        "flexion": {"from": "FE", "unit": "deg", "rises_when": "cups", "zero_deg": 4.0},
        "ulnar_deviation": {"from": "RUD", "unit": "deg", "rises_when": "sets", "zero_deg": 0.0},
        "forearm_roll": {"from": "PS", "unit": "deg", "rises_when": "pronates"},
    },
}
BARE = {
    "kind": "angles",
    "columns": {
        "time_s": {"from": "Time", "unit": "ms"},
        "flexion": "FE",
        "ulnar_deviation": "RUD",
        "forearm_roll": "PS",
    },
}


@cache
def lesson(seed=3, pattern="cupped_and_flipped", swings=1):
    return simulate_lesson(
        seed=seed,
        pattern=pattern,
        rate_hz=200.0,
        faults=Faults.none(),
        swings=[SwingPlan()] * swings,
        calibration=CalibrationPlan.none(),
    )


@pytest.fixture(scope="module")
def one():
    return lesson()


def as_csv(made, labels=False):
    """As a device would show it: cupped, set and pronated are positive, 4 degrees at a straight wrist."""
    truth = made.truth
    rows = ["Time;FE;RUD;PS;Label"]
    marks = {}
    for swing in truth.swings:
        marks |= {int(np.searchsorted(truth.time_s, when)): name for name, when in swing.events.items()}
    for i, t in enumerate(truth.time_s):
        angles = (
            4.0 - truth.wrist.flexion[i] / DEG,
            -truth.wrist.ulnar_deviation[i] / DEG,
            -truth.forearm_roll[i] / DEG,
        )
        label = marks.get(i, "").replace("_", " ").title() if labels else ""
        rows.append(f"{1000 * t:.3f};" + ";".join(f"{a:.4f}" for a in angles) + f";{label}")
    return "\n".join(rows).encode()


def test_declared_angles_at_labelled_events(one, tmp_path):
    path, mapping = tmp_path / "angles.csv", tmp_path / "mapping.json"
    path.write_bytes(as_csv(one, labels=True))
    given = DECLARED | {"columns": DECLARED["columns"] | {"event": "Label"}}
    mapping.write_text(json.dumps(given))
    result = runner.invoke(app, ["analyse", str(path), "--mapping", str(mapping), "--json"])
    assert result.exit_code == 0, result.output
    data = json.loads(result.stdout)
    assert not data["issues"]
    (swing,) = data["swings"]
    truth = one.truth.swings[0]
    assert set(swing["events"]) == set(truth.events)
    for event, wrist in swing["wrist"].items():
        exact = truth.at[event]
        near = 2.0 if event == "impact" else 1.0
        assert wrist["flexion_deg"]["value"] == pytest.approx(exact.flexion / DEG, abs=near)
        assert wrist["ulnar_deviation_deg"]["value"] == pytest.approx(exact.ulnar_deviation / DEG, abs=4.0)
        assert wrist["forearm_roll_deg"]["value"] == pytest.approx(exact.forearm_roll / DEG, abs=6.0)
    assert swing["face"] == {}
    assert "impact" in runner.invoke(app, ["analyse", str(path), "--mapping", str(mapping)]).stdout


def test_undeclared_is_refused_with_the_guess_and_its_reason(one):
    with pytest.raises(InputError) as caught:
        read_angle_trace(as_csv(one), BARE | {"delimiter": ";"})
    codes = [(f.code, f.where) for f in caught.value.faults]
    for angle in ("flexion", "ulnar_deviation", "forearm_roll"):
        assert ("unit_guessed", angle) in codes
        assert ("sign_guessed", angle) in codes
    words = str(caught.value)
    for part in (
        "Guessed deg, because",
        "wrist cups, because",
        "wrist sets, because",
        "forearm pronates, because",
        "confirm",
    ):
        assert part in words


def test_confirmed_guesses_are_shown_and_widen_the_doubt(one):
    sure, none = read_angle_trace(as_csv(one), DECLARED)
    guessed, issues = read_angle_trace(as_csv(one), BARE | {"confirm": True})
    assert not none
    assert {i.severity for i in issues} == {"warning"}
    assert guessed.angles["ulnar_deviation"] == pytest.approx(sure.angles["ulnar_deviation"])
    assert guessed.angles["flexion"] == pytest.approx(
        sure.angles["flexion"] - 4 * DEG
    )  # the zero guessed is not the true one
    first, second = (analyse_angles(t).swings[0].readings["impact"]["flexion"] for t in (sure, guessed))
    assert second.sd > first.sd


def test_sign_alone_is_enough_to_refuse(one):
    columns = {k: dict(v) for k, v in DECLARED["columns"].items()}
    del columns["flexion"]["rises_when"]
    with pytest.raises(InputError) as caught:
        read_angle_trace(as_csv(one), {"columns": columns})
    assert [(f.code, f.where) for f in caught.value.faults] == [("sign_guessed", "flexion")]


@pytest.mark.parametrize("kept", [("flexion", "ulnar_deviation", "forearm_roll"), ("flexion", "ulnar_deviation")])
def test_events_from_the_trace_itself_lie_within_their_doubt(kept):
    off = []
    for seed in range(2):
        for pattern in PATTERNS:
            made = lesson(seed, pattern)
            columns = {k: v for k, v in DECLARED["columns"].items() if k in (*kept, "time_s")}
            trace, _ = read_angle_trace(as_csv(made), {"columns": columns})
            (swing,) = analyse_angles(trace).swings
            for event in ("top", "impact"):
                exact = made.truth.swings[0].at[event]
                off.append(abs(swing.events[event].value - exact.time_s) / swing.events[event].sd)
                read = swing.readings[event]["flexion"]
                assert abs(read.value - exact.flexion) < 3.0 * read.sd
    assert max(off) < 2.5
    assert np.mean(np.array(off) < 1.645) > 0.85


def test_several_swings_are_found():
    made = lesson(swings=2)
    trace, _ = read_angle_trace(as_csv(made), DECLARED)
    assert len(analyse_angles(trace).swings) == 2
    labelled = DECLARED | {"columns": DECLARED["columns"] | {"event": "Label"}}
    trace, _ = read_angle_trace(as_csv(made, labels=True), labelled)
    assert len(trace.events) == 2


def test_flexion_alone_needs_events(one):
    columns = {k: v for k, v in DECLARED["columns"].items() if k in ("flexion", "time_s")}
    trace, _ = read_angle_trace(as_csv(one), {"columns": columns})
    with pytest.raises(InputError, match="flexion alone"):
        analyse_angles(trace)
    when = one.truth.swings[0].events["impact"]
    trace, _ = read_angle_trace(as_csv(one), {"columns": columns, "events": {"impact": when, "top": -5}})
    answer = analyse_angles(trace)
    assert [i.code for i in answer.issues] == ["event_outside"]
    assert list(answer.swings[0].readings) == ["impact"]


def test_parquet_reads_the_same(one, tmp_path):
    import pyarrow
    from pyarrow import parquet

    lines = [line.split(";") for line in as_csv(one).decode().splitlines()]
    columns = {name: [float(row[k]) for row in lines[1:]] for k, name in enumerate(lines[0][:4])}
    path = tmp_path / "angles.parquet"
    parquet.write_table(pyarrow.table(columns), path)
    a, b = (read_angle_trace(s, DECLARED)[0] for s in (path, as_csv(one)))
    assert a.angles["flexion"] == pytest.approx(b.angles["flexion"])


def test_missing_stretch_is_not_read_across(one):
    trace, _ = read_angle_trace(as_csv(one), DECLARED)
    impact = one.truth.swings[0].events["impact"]
    hole = np.abs(trace.time_s - impact) < 0.08
    angles = {a: np.where(hole, np.nan, v) for a, v in trace.angles.items()}
    holed = AngleTrace(trace.time_s, angles, ({"impact": impact, "top": one.truth.swings[0].events["top"]},))
    readings = analyse_angles(holed).swings[0].readings
    assert not readings["impact"]
    assert readings["top"]


def test_fingerprint_knows_a_layout_again():
    saved = {fingerprint(["Time", "FE", "RUD"]): "mine"}
    assert recognise([" time ", "fe", "RUD"], saved) == "mine"
    assert recognise(["RUD", "FE", "Time"], saved) == "mine"
    assert recognise(["Time", "FE"], saved) is None
    assert recognise(["Time", "FE", "RUD", "RUD"], saved) is None
    assert len(fingerprint([])) == 32


@FUZZ
@given(st.one_of(st.binary(max_size=300), st.text('Timeflx0123456789.,;-\n#"', max_size=400).map(str.encode)))
@example(b"FE\n" + b"1e400\n" * 30)
def test_any_content(content):
    for mapping in (BARE | {"confirm": True}, {"columns": {"flexion": "FE"}, "rate_hz": 100, "confirm": True}):
        for text in (content, b"Time,FE,RUD,PS\n" + content, b"FE\n" + content):
            try:
                trace, _ = read_angle_trace(text, mapping)
                analyse_angles(trace)
            except InputError as error:
                assert error.faults


JSON = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.floats(), st.integers(), st.text(max_size=6), st.sampled_from(["deg", "cups"])
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(
            st.sampled_from(
                ["columns", "flexion", "time_s", "from", "unit", "rises_when", "zero_deg", "events", "top"]
            ),
            inner,
            max_size=5,
        ),
    ),
    max_leaves=20,
)


@FUZZ
@given(JSON.map(json.dumps))
@example('{"columns": {"flexion": {"from": "a", "unit": []}}, "delimiter": []}')
@example('{"header_lines": {}, "decimal": {}, "kind": []}')
def test_any_mapping(text):
    try:
        read_angle_mapping(text)
    except InputError as error:
        assert error.faults

"""The mapping page: each field with its guess and reason; answers become the mapping they were made from."""

import re
from typing import Any

import pytest

from ferrule.app import golfers, lessons, mappings, recordings
from ferrule.app.mappings import LayoutView
from ferrule.app.sources import check_mapping
from ferrule.errors import InputError
from ferrule.files.native import sensor_columns
from ferrule.web.lesson.evidence import working_out
from ferrule.web.mapping_form import answers_of_mapping, mapping_of_answers
from ferrule.web.pages.mapping import layout_html

AXES = [c for s in ("forearm", "hand") for c in sensor_columns(s)]
MAPPINGS: dict[str, dict[str, Any]] = {
    "sensors": {
        "schema": 1, "delimiter": ";", "decimal": ",", "gyr_range_degps": 2000.0,
        "columns": {"time_s": {"from": "t", "unit": "ms"}, "phase": {"from": "part"}}
        | {c: {"from": c.upper(), "unit": "g" if "acc" in c else "deg/s", "sign": -1 if "hand_gyr" in c else 1} for c in AXES},
    },
    "xdf": {
        "schema": 1, "kind": "xdf",
        "columns": {"phase": {"stream": "Labels"}}
        | {c: {"stream": "A / B", "channel": i % 6 + 1, "unit": "g" if "acc" in c else "rad/s", "sign": 1} for i, c in enumerate(AXES)},
    },
    "angles": {
        "schema": 1, "kind": "angles", "rate_hz": 200.0,
        "columns": {
            "flexion": {"from": "FE", "unit": "deg", "rises_when": "cups", "zero_deg": 4.0},
            "forearm_roll": {"from": "PS", "unit": "rad", "rises_when": "pronates"}, "event": "Label",
        },
    },
    "markers": {
        "schema": 1, "kind": "markers", "axes": {"up": "z", "target": "-x"}, "unit": "mm",
        "forearm": {"proximal": ["A", "B"], "radial": "C", "ulnar": 4}, "hand": {"radial": "E", "ulnar": "F"}, "neutral_s": [1.0, 2.0],
    },
}  # fmt: skip


@pytest.mark.parametrize("kind", MAPPINGS)
def test_answers_give_back_the_mapping_they_came_from(kind: str) -> None:
    mapping = MAPPINGS[kind]
    check_mapping(mapping)
    assert mapping_of_answers(kind, mapping, answers_of_mapping(kind, mapping)) == mapping


@pytest.mark.parametrize(
    ("kind", "wrong"),
    [
        ("sensors", {"time_s", "hand_gyr.unit", "forearm_acc_x_mps2"}),
        ("xdf", {"hand_gyr.unit"}),
        ("angles", {"columns.time_s.from", "columns.flexion.from"}),
        ("markers", {"axes.up", "axes.target"}),
    ],
)
def test_what_is_not_answered_is_told_by_field(kind: str, wrong: set[str]) -> None:
    with pytest.raises(InputError) as error:
        mapping_of_answers(kind, {}, {})
    assert wrong <= {f.where for f in error.value.faults}


def test_sign_zero_and_unit_are_never_filled_in_behind_the_back() -> None:
    with pytest.raises(InputError) as error:
        mapping_of_answers("angles", {}, {"columns.time_s.from": "t", "columns.flexion.from": "FE"})
    assert {f.where.rsplit(".", 1)[1] for f in error.value.faults} == {"unit", "rises_when", "zero_deg"}


def test_over_http_from_the_file_to_the_answer(ask: Any, workspace: Any) -> None:
    golfer = golfers.add_golfer(workspace, name="Ida", handedness="right")
    lesson = lessons.start_lesson(workspace, golfer.id)
    rows = ["t;FE <b>;RUD", *(f"{i * 0.005:.3f};{10 + (i % 40) / 10};{-5 - i % 30}" for i in range(600))]
    dropped = ask("POST", f"/api/v1/lessons/{lesson.id}/recordings?name=x.csv", content="\n".join(rows).encode())
    assert dropped.status_code == 201
    assert dropped.json()["asks"] == "angles"
    # Nothing is under way: the case sends the coach to the question.
    assert working_out(workspace, lessons.lesson(workspace, lesson.id)) == (
        "A recording of this lesson asks what is in it: answer under every ball."
    )
    where = f"/api/v1/recordings/{dropped.json()['id']}/layout"
    asked = ask("GET", where).json()
    assert asked["mapping"]["columns"]["flexion"]["rises_when"] == "cups"
    html = str(layout_html(mappings.layout(workspace, dropped.json()["id"]), "Ida"))
    assert "<b>;" not in html
    assert "FE &lt;b&gt;" in html
    for part in ("unit", "rises_when", "zero_deg"):
        assert f'data-why="columns.flexion.{part}"' in html
    answers = {"name": "My device", **answers_of_mapping("angles", asked["mapping"])}
    refused = ask("POST", f"{where}/answers", json={**answers, "columns.flexion.zero_deg": ""})
    assert refused.status_code == 422
    assert [f["where"] for f in refused.json()["error"]["faults"]] == ["columns.flexion.zero_deg"]
    assert ask("GET", where).json()["name"] == ""
    done = ask("POST", f"{where}/answers", json=answers)
    assert (done.status_code, done.json()["asks"], done.json()["mapping"]) == (200, None, "My device")
    assert [m["name"] for m in ask("GET", "/api/v1/mappings").json()] == ["My device"]
    said = ask("GET", f"/recordings/{dropped.json()['id']}/layout")
    assert said.status_code == 200
    assert recordings.recording(workspace, dropped.json()["id"]).asks is None
    assert "still being worked out" in working_out(workspace, lessons.lesson(workspace, lesson.id))
    recordings.cancel_jobs(workspace, lesson.id)
    assert "was not worked out" in working_out(workspace, lessons.lesson(workspace, lesson.id))


def test_every_field_of_the_page_has_a_place_for_its_fault() -> None:
    from ferrule.app.views import RecordingView

    for kind, mapping in MAPPINGS.items():
        view = RecordingView(1, 1, "7-iron", "x", "swings", "a", None, 9, "0", "waiting", None, (), 0, None, None, kind)  # type: ignore[arg-type]
        html = str(layout_html(LayoutView(view, kind, ("A", "B", "C", "t", "FE"), mapping, {}, {}, "", 0), "Ida"))
        names = set(re.findall(r'name="([^"]+)"', html)) - {"neutral_from", "neutral_to"}
        assert names - set(re.findall(r'data-fault="([^"]*)"', html)) == set()

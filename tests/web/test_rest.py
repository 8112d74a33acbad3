"""The HTTP interface: words beside fields, nothing twice, the sign of a device asked once, described offline."""

from collections.abc import Callable
from typing import Any

import httpx
import pytest

Ask = Callable[..., httpx.Response]


@pytest.fixture(scope="module")
def lesson(ask: Ask) -> dict[str, Any]:
    golfer = ask("POST", "/api/v1/golfers", json={"name": "Rea", "handedness": "right"}).json()
    made: dict[str, Any] = ask("POST", f"/api/v1/golfers/{golfer['id']}/lessons", json={}).json()
    return made


def faults(answer: httpx.Response) -> dict[str, str]:
    return {f["where"]: f["message"] for f in answer.json()["error"]["faults"]}


def test_health_and_description(ask: Ask) -> None:
    assert ask("GET", "/healthz").json()["status"] == "ok"
    described = ask("GET", "/openapi.json").json()
    assert described["info"]["title"] == "Ferrule"
    assert "/api/v1/golfers/{golfer_id}/explain" in described["paths"]
    for path, methods in described["paths"].items():
        for method, operation in methods.items():
            assert operation.get("summary"), f"{method} {path}"
    assert ask("GET", "/docs").status_code == 404


def test_faults_are_named_by_their_fields(ask: Ask) -> None:
    answer = ask("POST", "/api/v1/golfers", json={"name": " "})
    assert answer.status_code == 422
    assert set(faults(answer)) == {"name", "handedness"}
    golfer = ask("POST", "/api/v1/golfers", json={"name": "Faulty", "handedness": "right"}).json()["id"]
    answer = ask("PATCH", f"/api/v1/golfers/{golfer}", json={"balls_a_week": "many", "next_event_on": "soon"})
    assert set(faults(answer)) == {"balls_a_week", "next_event_on"}
    assert "expected a number such as 14" in faults(answer)["balls_a_week"]


@pytest.mark.parametrize(("body", "status"), [(b"{", 422), (b"[]", 422), (b'{"nmae": "x"}', 422), (b"", 422)])
def test_a_body_that_cannot_be_read(ask: Ask, body: bytes, status: int) -> None:
    answer = ask("POST", "/api/v1/golfers", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == status
    assert answer.json()["error"]["message"]


def test_what_is_not_there_is_said(ask: Ask) -> None:
    answer = ask("GET", "/api/v1/golfers/999999")
    assert answer.status_code == 404
    assert "not there any more" in answer.json()["error"]["message"]


def test_the_same_request_counts_once(ask: Ask, lesson: dict[str, Any]) -> None:
    before = len(ask("GET", f"/api/v1/lessons/{lesson['id']}").json()["swings"])
    answers = [
        ask(
            "POST",
            f"/api/v1/lessons/{lesson['id']}/balls",
            json={"start": "right", "bend": "right"},
            headers={"idempotency-key": "once"},
        )
        for _ in range(3)
    ]
    assert [a.status_code for a in answers] == [201, 201, 201]
    assert len({a.json()["id"] for a in answers}) == 1
    assert len(ask("GET", f"/api/v1/lessons/{lesson['id']}").json()["swings"]) == before + 1


def enter(ask: Ask, lesson: dict[str, Any], **body: Any) -> httpx.Response:
    given = {"measure": "wrist.flexion_deg", "at": "shaft_level_down", **body}
    return ask("POST", f"/api/v1/lessons/{lesson['id']}/readings", json=given)


def flexion(answer: httpx.Response) -> float:
    found: float = next(
        r["value"] for r in answer.json()["readings"] if r["key"] == "wrist.shaft_level_down.flexion_deg"
    )
    return found


def test_a_device_is_asked_once_and_14_means_cupped(ask: Ask, lesson: dict[str, Any]) -> None:
    first = enter(ask, lesson, value="14", device="new", device_name="Wrist clip", swing="new")
    assert first.status_code == 422
    assert set(faults(first)) == {"rises_when"}
    device = next(d for d in ask("GET", "/api/v1/devices").json() if d["name"] == "Wrist clip")["id"]
    second = enter(ask, lesson, value="14", device=str(device), rises_when="cups", swing="new")
    assert second.status_code == 201
    assert flexion(second) == -14.0
    third = enter(ask, lesson, value="9", device=str(device), swing="new")
    assert flexion(third) == -9.0
    # Corrected later, everything kept from the device turns with it.
    ask("PUT", f"/api/v1/devices/{device}/sign", json={"measure": "wrist.flexion_deg", "rises_when": "bows"})
    assert flexion(ask("GET", f"/api/v1/swings/{second.json()['id']}")) == 14.0


def test_by_eye_the_side_is_a_word(ask: Ask, lesson: dict[str, Any]) -> None:
    assert flexion(enter(ask, lesson, value="14", way="cupped", swing="new")) == -14.0
    assert flexion(enter(ask, lesson, value="6", way="bowed", device="typed", swing="new")) == 6.0
    assert set(faults(enter(ask, lesson, value="14"))) == {"way"}
    assert set(faults(enter(ask, lesson, value="-14", way="cupped"))) == {"value"}


def test_every_fault_of_a_reading_is_beside_its_field(ask: Ask, lesson: dict[str, Any]) -> None:
    assert set(faults(enter(ask, lesson, measure="", value=""))) == {"measure", "value"}
    assert set(faults(enter(ask, lesson, at="", value="4", way="cupped"))) == {"at"}
    assert set(faults(enter(ask, lesson, value="140", way="cupped", swing="new"))) == {"value"}
    assert set(faults(enter(ask, lesson, value="fourteen", way="cupped"))) == {"value"}
    assert set(faults(enter(ask, lesson, value="4", device="77"))) == {"device"}


def test_speeds_and_lengths_come_in_the_unit_they_were_typed_in(ask: Ask, lesson: dict[str, Any]) -> None:
    answer = enter(ask, lesson, measure="delivery.club_speed_mps", at=None, value="80", unit="mph", swing="new")
    assert answer.json()["readings"][0]["value"] == pytest.approx(35.76, abs=0.01)
    answer = enter(ask, lesson, measure="ball.carry_m", at=None, value="130", unit="yd", swing="new")
    assert answer.json()["readings"][0]["value"] == pytest.approx(118.9, abs=0.1)


def test_undo_takes_back_and_redo_brings_back(ask: Ask, lesson: dict[str, Any]) -> None:
    made = enter(ask, lesson, value="3", way="cupped", swing="new").json()["id"]
    ask("POST", f"/api/v1/lessons/{lesson['id']}/undo", json={})
    assert ask("GET", f"/api/v1/swings/{made}").status_code == 404
    ask("POST", f"/api/v1/lessons/{lesson['id']}/redo", json={})
    assert ask("GET", f"/api/v1/swings/{made}").status_code == 200


@pytest.mark.parametrize(
    ("content", "name", "words"),
    [
        (b"", "empty.csv", "empty file"),
        (b"\x00\x01\x02" * 50, "noise.csv", ""),
        (b"a,b\n1,2\n", "other.csv", ""),
        (b"x", "..\\..\\evil\x00.csv", ""),
    ],
    ids=["empty", "noise", "other columns", "strange name"],
)
def test_a_file_that_is_no_recording(ask: Ask, lesson: dict[str, Any], content: bytes, name: str, words: str) -> None:
    answer = ask("POST", f"/api/v1/lessons/{lesson['id']}/recordings", params={"name": name}, content=content)
    assert answer.status_code == 422
    assert words in answer.json()["error"]["message"]
    assert ask("GET", f"/api/v1/lessons/{lesson['id']}").json()["recordings"] == []


def test_a_huge_file_is_refused_before_it_is_read(ask: Ask, lesson: dict[str, Any]) -> None:
    answer = ask(
        "POST",
        f"/api/v1/lessons/{lesson['id']}/recordings",
        params={"name": "a.csv"},
        content=b"x",
        headers={"content-length": str(10**10)},
    )
    assert answer.status_code == 422
    assert "at most 200 MB" in answer.json()["error"]["message"]


def test_a_child_is_not_recorded_without_consent(ask: Ask) -> None:
    child = ask("POST", "/api/v1/golfers", json={"name": "Kid", "handedness": "right", "age_group": "junior"}).json()[
        "id"
    ]
    lesson_id = ask("POST", f"/api/v1/golfers/{child}/lessons", json={}).json()["id"]
    answer = ask("POST", f"/api/v1/lessons/{lesson_id}/recordings", params={"name": "a.csv"}, content=b"time_s\n1\n")
    assert "consent" in answer.json()["error"]["message"]

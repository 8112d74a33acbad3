"""Ball data through the HTTP interface: once, its faults beside their fields."""

from collections.abc import Callable
from typing import Any

import httpx
import pytest

Ask = Callable[..., httpx.Response]
TABLE = "Start (deg),Carry,Side\n2,130,12\n-1,128,-8\n"
SAID = {"table": TABLE, "lengths": "yd", "speeds": "mph", "plus": "right"}


@pytest.fixture(scope="module")
def route(ask: Ask) -> str:
    golfer = ask("POST", "/api/v1/golfers", json={"name": "Bea", "handedness": "left"}).json()
    lesson: dict[str, Any] = ask("POST", f"/api/v1/golfers/{golfer['id']}/lessons", json={}).json()
    return f"/api/v1/lessons/{lesson['id']}/ball-data"


def test_a_table_once(ask: Ask, route: str) -> None:
    taken = ask("POST", route, json=SAID)
    assert taken.status_code == 201, taken.text
    assert len(taken.json()["swings"]) == 2
    again = ask("POST", route, json=SAID)
    assert again.status_code == 422
    assert "same table again" in again.text


def test_a_table_like_one_before_asks_nothing_again(ask: Ask, route: str) -> None:
    first = {**SAID, "table": "Start (deg),Carry yards,Curve\n2,130,12\n", "plus": "left", "mirrored": "yes"}
    like = "curve ;START (deg);Carry yards\n-8;-1;128\n"
    known = "/api/v1/ball-data/known"
    assert ask("POST", known, json={"table": like}).json() is None
    assert ask("POST", route, json={"table": like}).status_code == 422
    assert ask("POST", known, json={"table": like}).json() is None  # what was refused is not remembered
    assert ask("POST", route, json=first).status_code == 201
    layout = ask("POST", known, json={"table": like}).json()
    assert layout["said"] == {"lengths": "yd", "speeds": "mph", "plus": "left", "mirrored": "yes"}
    taken = ask("POST", route, json={"table": like})
    assert taken.status_code == 201, taken.text
    swing = ask("GET", f"/api/v1/swings/{taken.json()['swings'][0]}").json()
    assert {r["key"]: r["value"] for r in swing["readings"]}["ball.start_deg"] == -1.0  # left, mirrored
    # Said otherwise, it is so from then on.
    assert ask("POST", route, json={"table": like.replace("-8", "-7"), "plus": "right"}).status_code == 201
    assert ask("POST", known, json={"table": like}).json()["said"]["plus"] == "right"
    kept = ask("GET", "/api/v1/mappings").json()
    ours = next(line for line in kept if line["name"] == layout["name"])
    assert (ours["kind"], ours["recordings"]) == ("balls", 0)
    assert layout["name"] in ask("GET", "/settings").text
    assert ask("DELETE", f"/api/v1/mappings/{ours['id']}").status_code < 300
    assert ask("POST", known, json={"table": like}).json() is None


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"table": " "}, "table"),
        ({"lengths": "", "table": "Start (deg),Carry\n1,120\n"}, "lengths"),
        ({"plus": "up"}, "plus"),
        ({"table": "a,b\n1,2"}, "table"),
    ],
)
def test_faults_stand_beside_their_field(ask: Ask, route: str, change: dict[str, str], where: str) -> None:
    answer = ask("POST", route, json=SAID | change)
    assert answer.status_code == 422
    assert where in [f["where"] for f in answer.json()["error"]["faults"]]

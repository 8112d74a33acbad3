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


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"table": " "}, "table"),
        ({"lengths": ""}, "lengths"),
        ({"plus": "up"}, "plus"),
        ({"table": "a,b\n1,2"}, "header"),
    ],
)
def test_faults_stand_beside_their_field(ask: Ask, route: str, change: dict[str, str], where: str) -> None:
    answer = ask("POST", route, json=SAID | change)
    assert answer.status_code == 422
    assert where in [f["where"] for f in answer.json()["error"]["faults"]]

"""The one gate: everything passes it, and what would not is found."""

from collections.abc import Callable
from typing import Any

import httpx
import pytest
from fastapi import FastAPI
from nicegui import Client, ui
from nicegui.page import page as nicegui_page

from ferrule.web import gate, shell
from ferrule.web.gate import RefusedError, admit, doors, guarded, is_guarded, unguarded_listeners

Ask = Callable[..., httpx.Response]
FAR = ("203.0.113.7", 50123)


@pytest.mark.parametrize("address", ["127.0.0.1", "127.8.0.1", "::1", "::ffff:127.0.0.1"])
def test_this_machine_is_let_in(address: str) -> None:
    assert admit({"type": "http", "client": (address, 1)}).address == address


@pytest.mark.parametrize(
    "client", [("192.168.1.20", 1), ("203.0.113.7", 1), ("::ffff:10.0.0.1", 1), ("testclient", 1), None]
)
def test_anybody_else_is_not(client: tuple[str, int] | None) -> None:
    with pytest.raises(RefusedError, match="its own machine"):
        admit({"type": "http", "client": client})


def everywhere(app: Any) -> list[tuple[str, str]]:
    """Every door of the application as method and a path that leads through it."""
    found = []
    for door in doors(app.routes):
        path = door.path
        while "{" in path:
            start, end = path.index("{"), path.index("}")
            path = f"{path[:start]}1{path[end + 1 :]}"
        found += [(method, path) for method in door.methods]
    return found


def bypassing(app: Any, ask: Ask) -> list[str]:
    """Doors that answer a foreign machine."""
    return [f"{m} {p}" for m, p in everywhere(app) if ask(m, p).status_code != 403]


def test_every_route_is_behind_the_gate(application: Any, ask_from_afar: Ask) -> None:
    found = everywhere(application)
    paths = {path for _, path in found}
    # The enumeration sees pages, REST routes, fonts, static files and the inner workings of the page framework alike.
    assert {
        "/",
        "/golfers/1",
        "/lessons/1",
        "/swings/1",
        "/settings",
        "/golfers/1/screen",
        "/golfers/1/progress",
    } <= paths
    assert {"/api/v1/golfers/1/sheet.1", "/api/v1/golfers/1/progress", "/api/v1/cold-tests/1/balls"} <= paths
    assert {"/healthz", "/openapi.json", "/fonts/1", "/api/v1/golfers", "/api/v1/lessons/1/balls"} <= paths
    assert any(path.startswith("/_nicegui/") for path in paths)
    assert len(found) > 50
    assert bypassing(application, ask_from_afar) == []


def test_the_check_is_asked_once_for_each_request(application: Any, ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []
    monkeypatch.setattr(gate, "admit", lambda scope: asked.append(scope["path"]) or admit(scope))
    ask("GET", "/api/v1/golfers")
    assert asked == ["/api/v1/golfers"]


def test_a_route_beside_the_gate_would_be_found(application: Any, asker: Any) -> None:
    async def with_a_back_door(scope: Any, receive: Any, send: Any) -> None:
        if scope.get("path") == "/healthz":
            await send({"type": "http.response.start", "status": 200, "headers": []})
            await send({"type": "http.response.body", "body": b"hello"})
            return
        await application(scope, receive, send)

    assert bypassing(application, asker(with_a_back_door, FAR)) == ["GET /healthz"]


def test_a_route_added_later_is_behind_the_gate_as_well(asker: Any) -> None:
    late = FastAPI()

    @late.get("/late")
    def late_route() -> str:
        return "late"

    late.add_middleware(gate.Gate)
    assert asker(late)("GET", "/late").status_code == 200
    assert asker(late, FAR)("GET", "/late").status_code == 403


def test_every_handler_of_every_page_asks_the_gate(application: Any, ask: Ask) -> None:
    ask("POST", "/api/v1/golfers", json={"name": "Handled", "handedness": "right"})
    golfer = ask("GET", "/api/v1/golfers?search=handled").json()[0]["id"]
    lesson = ask("POST", f"/api/v1/golfers/{golfer}/lessons", json={}).json()["id"]
    swing = ask("POST", f"/api/v1/lessons/{lesson}/balls", json={"start": "left", "bend": "left"}).json()["id"]
    table = "\n".join(["t,FE,RUD", *(f"{i * 0.005:.3f},{10 + i % 7},{i % 30}" for i in range(100))])
    dropped = ask("POST", f"/api/v1/lessons/{lesson}/recordings?name=x.csv", content=table.encode()).json()["id"]
    ids = {"golfer_id": golfer, "lesson_id": lesson, "swing_id": swing, "recording_id": dropped}
    for path in shell.PAGES:
        before = set(Client.instances)
        assert ask("GET", path.format(**ids)).status_code == 200, path
        (made,) = set(Client.instances) - before
        elements = Client.instances[made].elements
        assert len(elements) > 1
        assert unguarded_listeners(elements) == [], path


def test_a_handler_that_bypasses_the_gate_would_be_found(application: Any, running: Any) -> None:
    async def build() -> list[str]:
        with Client(nicegui_page("")) as client:
            ui.element("button").on("click", lambda: None)
            ui.element("a").on("click", guarded(lambda: {"type": "http", "client": ("127.0.0.1", 1)}, lambda: None))
        return unguarded_listeners(client.elements)

    found = running.do(build())
    assert "button: click" in found  # and those of the page framework, for nobody guarded them here
    assert "a: click" not in found


def test_a_guarded_handler_asks_again_each_time() -> None:
    scope: dict[str, Any] = {"type": "websocket", "client": ("127.0.0.1", 1)}
    done = []
    handler = guarded(lambda: scope, done.append)
    assert is_guarded(handler)
    handler("now")
    scope["client"] = ("203.0.113.7", 1)
    handler("after the permission ended")
    assert done == ["now"]


def test_a_foreign_host_gets_400(ask: Ask) -> None:
    answer = ask("GET", "/healthz", headers={"host": "evil.example"})
    assert answer.status_code == 400
    assert answer.headers["x-frame-options"] == "DENY"


@pytest.mark.parametrize(
    "headers", [{"origin": "http://evil.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"}]
)
def test_a_foreign_post_gets_403(ask: Ask, headers: dict[str, str]) -> None:
    answer = ask("POST", "/api/v1/golfers", json={"name": "Smuggled", "handedness": "right"}, headers=headers)
    assert answer.status_code == 403
    assert ask("GET", "/api/v1/golfers?search=smuggled").json() == []


def test_our_own_page_may_post(ask: Ask) -> None:
    headers = {"origin": "http://127.0.0.1", "sec-fetch-site": "same-origin"}
    assert (
        ask("POST", "/api/v1/golfers", json={"name": "Own", "handedness": "left"}, headers=headers).status_code == 201
    )


def socket_answer(
    running: Any, application: Any, headers: list[tuple[bytes, bytes]], client: tuple[str, int]
) -> list[dict[str, Any]]:
    sent: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        return {"type": "websocket.connect"}

    async def send(message: dict[str, Any]) -> None:
        sent.append(message)

    scope = {
        "type": "websocket", "path": "/_nicegui_ws/socket.io/", "raw_path": b"", "query_string": b"", "root_path": "",
        "scheme": "ws", "headers": headers, "client": client, "server": ("127.0.0.1", 80), "subprotocols": [], "state": {},
    }  # fmt: skip
    running.do(application(scope, receive, send))
    return sent


@pytest.mark.parametrize(
    ("origin", "client"),
    [(b"http://evil.example", ("127.0.0.1", 1)), (b"http://127.0.0.1", ("203.0.113.7", 1))],
    ids=["foreign page", "foreign machine"],
)
def test_a_foreign_socket_is_refused(running: Any, application: Any, origin: bytes, client: tuple[str, int]) -> None:
    headers = [(b"host", b"127.0.0.1"), (b"origin", origin), (b"upgrade", b"websocket")]
    assert socket_answer(running, application, headers, client) == [{"type": "websocket.close", "code": 1008}]


def test_headers_are_on_every_answer(ask: Ask) -> None:
    for path in ("/", "/healthz", "/fonts/none", "/static/ferrule.css", "/nowhere"):
        headers = ask("GET", path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'self'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "http:" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"

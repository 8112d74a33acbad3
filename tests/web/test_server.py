"""The server: its secret, its port, when it opens a browser."""

import socket
import stat
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest

from ferrule.errors import InputError, NotFoundError, StoreError
from ferrule.web import answers, server, shell


def test_the_secret_is_made_once_and_is_the_owner_s_alone(tmp_path: Path) -> None:
    first = server.session_secret(tmp_path)
    assert len(first) >= 40
    assert server.session_secret(tmp_path) == first
    assert stat.S_IMODE((tmp_path / "session.key").stat().st_mode) == 0o600


def test_a_port_that_is_taken_is_said_in_words(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(InputError, match="another port with --port"):
            server.serve(tmp_path, taken.getsockname()[1], browser=False)


def test_a_browser_opens_only_where_there_is_a_desktop() -> None:
    assert server.has_desktop({}, "darwin")
    assert server.has_desktop({"DISPLAY": ":0"}, "linux")
    assert server.has_desktop({"WAYLAND_DISPLAY": "wayland-0"}, "linux")
    assert not server.has_desktop({}, "linux")


def test_error_families_have_their_status() -> None:
    assert answers.status_of(InputError([])) == 422
    assert answers.status_of(NotFoundError("x")) == 404
    assert answers.status_of(StoreError("x")) == 503
    assert answers.body_of(NotFoundError("gone")) == {"error": {"code": "not_found", "message": "gone"}}


def test_a_page_that_breaks_says_so_and_shows_nothing_of_the_inside(caplog: pytest.LogCaptureFixture) -> None:
    def breaks(*_: object) -> shell.Drawn:
        raise RuntimeError("secret detail")

    made = shell.drawn(None, breaks, {})  # type: ignore[arg-type]
    assert made.status == 500
    assert "nothing you entered is lost" in made.html
    assert "secret detail" not in made.html
    assert "secret detail" in caplog.text


def test_a_page_of_something_that_is_gone() -> None:
    def gone(*_: object) -> shell.Drawn:
        raise NotFoundError("This golfer is not there any more.")

    made = shell.drawn(None, gone, {})  # type: ignore[arg-type]
    assert made.status == 404
    assert "not there any more" in made.html


@pytest.mark.parametrize("path", ["/nothing", "/golfers/abc", "/swings/0x9", "/lessons/-1/hello", "/golfers/%C2%B2"])
def test_an_address_that_leads_nowhere_says_so(ask: Callable[..., httpx.Response], path: str) -> None:
    answer = ask("GET", path)
    assert answer.status_code == 404
    assert "Not here" in answer.text


def test_the_icon_is_still_found(ask: Callable[..., httpx.Response]) -> None:
    assert ask("GET", "/favicon.ico").headers["content-type"].startswith("image/svg")

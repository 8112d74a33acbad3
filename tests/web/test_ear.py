"""When a page is drawn again: after a change that concerns it, and only while somebody has it open."""

import asyncio
from collections.abc import Callable
from types import SimpleNamespace, TracebackType
from typing import Any

from ferrule.app.feed import Change, ChangeFeed
from ferrule.web.markup import Markup
from ferrule.web.shell import Drawn, Ear

REQUEST: Any = SimpleNamespace(scope={"client": ("127.0.0.1", 50123)})


class Tablet:
    """The framework's end of an open page: tells who asked that it came or went."""

    def __init__(self) -> None:
        self.has_socket_connection = False
        self.came: list[Callable[[], Any]] = []
        self.gone: list[Callable[[], Any]] = []

    def on_connect(self, handler: Callable[[], Any]) -> None:
        self.came.append(handler)

    def on_disconnect(self, handler: Callable[[], Any]) -> None:
        self.gone.append(handler)

    def turn(self, on: bool) -> None:
        self.has_socket_connection = on
        for handler in self.came if on else self.gone:
            handler()

    def __enter__(self) -> None: ...

    def __exit__(self, *_: type[BaseException] | BaseException | TracebackType | None) -> None: ...


async def stays(shown: list[str], wanted: list[str]) -> None:
    """So it must come to be, however busy the machine, and so it must stay."""
    async with asyncio.timeout(30):
        while shown != wanted:
            await asyncio.sleep(0.01)
    await asyncio.sleep(0.1)
    assert shown == wanted


async def test_a_page_is_drawn_again_only_while_it_is_open() -> None:
    workspace: Any = SimpleNamespace(feed=ChangeFeed())
    tablet: Any = Tablet()
    shown: list[str] = []
    paper: Any = SimpleNamespace(show=shown.append)
    told = 0

    def publish(golfer_id: int | None = 1) -> None:
        nonlocal told
        told += 1
        workspace.feed.publish(Change(None, 0, golfer_id, "test"))

    ear = Ear(workspace)
    ear.golfer_id = 1
    publish()  # while the page was drawn: it must not be missed
    ear.follow(tablet, paper, lambda: Drawn("", Markup(str(told))), REQUEST)
    await stays(shown, [])
    tablet.turn(on=True)
    await stays(shown, ["1"])
    publish()
    await stays(shown, ["1", "2"])
    publish(golfer_id=2)
    await stays(shown, ["1", "2"])
    tablet.turn(on=False)
    publish()
    publish()
    await stays(shown, ["1", "2"])
    tablet.turn(on=True)
    await stays(shown, ["1", "2", "5"])
    tablet.turn(on=False)
    tablet.turn(on=True)
    await stays(shown, ["1", "2", "5"])
    ear.close()
    publish()
    await stays(shown, ["1", "2", "5"])

"""One workbench for the fast tests: the real application on a fresh folder, asked over ASGI without a network."""

import asyncio
from collections.abc import Callable, Coroutine, Iterator
from threading import Thread
from typing import Any, TypeVar

import httpx
import pytest
from nicegui import Client
from nicegui.testing.general import nicegui_reset_globals

from ferrule.app.workspace import Workspace
from ferrule.web.server import build

T = TypeVar("T")
HERE = ("127.0.0.1", 50123)
FAR = ("203.0.113.7", 50123)


class Running:
    """An event loop in a thread of its own, in which an application has started up."""

    def __init__(self) -> None:
        self.loop = asyncio.new_event_loop()
        self.thread = Thread(target=self.loop.run_forever, daemon=True)
        self.thread.start()

    def do(self, work: Coroutine[Any, Any, T]) -> T:
        return asyncio.run_coroutine_threadsafe(work, self.loop).result(30)

    async def _end(self) -> None:
        for client in list(Client.instances.values()):
            client.delete()
        rest = [t for t in asyncio.all_tasks() if t is not asyncio.current_task()]
        for task in rest:
            task.cancel()
        await asyncio.gather(*rest, return_exceptions=True)
        await self.loop.shutdown_default_executor()

    def end(self) -> None:
        self.do(self._end())
        self.loop.call_soon_threadsafe(self.loop.stop)
        self.thread.join(10)
        self.loop.close()


class Asker:
    """Asks an application as a browser on some machine would."""

    running: Running

    def __init__(self, app: Any, client: tuple[str, int] = HERE) -> None:
        self.app, self.client = app, client

    def __call__(self, method: str, path: str, **more: Any) -> httpx.Response:
        return self.running.do(self._ask(method, path, **more))

    async def _ask(self, method: str, path: str, **more: Any) -> httpx.Response:
        transport = httpx.ASGITransport(self.app, client=self.client, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://127.0.0.1") as client:
            return await client.request(method, path, **more)


@pytest.fixture(scope="module")
def workspace(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workspace]:
    with Workspace(tmp_path_factory.mktemp("folder")) as ws:
        yield ws


@pytest.fixture(scope="module")
def running() -> Iterator[Running]:
    loop = Running()
    Asker.running = loop
    yield loop
    loop.end()


@pytest.fixture(scope="module")
def application(workspace: Workspace, running: Running) -> Iterator[Any]:
    with nicegui_reset_globals():
        api = build(workspace)
        lifespan = api.router.lifespan_context(api)
        running.do(lifespan.__aenter__())
        yield api
        running.do(lifespan.__aexit__(None, None, None))
        Client.page_routes.clear()  # or else the reset would throw our modules out of the interpreter


@pytest.fixture(scope="module")
def ask(application: Any) -> Callable[..., httpx.Response]:
    return Asker(application)


@pytest.fixture(scope="module")
def ask_from_afar(application: Any) -> Callable[..., httpx.Response]:
    return Asker(application, FAR)


@pytest.fixture
def asker(running: Running) -> type[Asker]:
    return Asker

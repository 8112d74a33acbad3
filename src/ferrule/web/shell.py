"""Pages on the sheet of paper: each is a pure drawing of what `app` says, drawn again when the change feed speaks.

A page function takes the open workspace and the parts of its address and gives a `Drawn`. All state is in the address
and the database, so a page may be reloaded, opened twice or come back after a restart.
"""

import asyncio
import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from fastapi import Request
from nicegui import Client, ui

from ferrule.app.feed import Change
from ferrule.app.workspace import Workspace
from ferrule.errors import FerruleError, NotFoundError
from ferrule.web import gate, look
from ferrule.web.markup import Markup, tag
from ferrule.web.paper import Paper

log = logging.getLogger(__name__)
Parts = Mapping[str, str]
PATIENCE_S: Final = 60.0
"""A machine that is busy with recordings may take its time over a page; giving up would show a fault where there is none."""
VIEWPORT: Final = "width=device-width, initial-scale=1, viewport-fit=cover"


@dataclass(frozen=True, slots=True)
class Drawn:
    """One page as it should look now. golfer_id: whose changes it must follow; None follows all of them."""

    title: str
    html: Markup
    golfer_id: int | None = None
    status: int = 200


PageFunction = Callable[[Workspace, Parts], Drawn]
PAGES: dict[str, PageFunction] = {}
"""Every page by its path. `page` fills it; `register_pages` puts them behind the gate."""


def page(path: str) -> Callable[[PageFunction], PageFunction]:
    """Declare a page under a path such as `/golfers/{golfer_id}`."""

    def declare(function: PageFunction) -> PageFunction:
        PAGES[path] = function
        return function

    return declare


def drawn(workspace: Workspace, draw: PageFunction, parts: Parts) -> Drawn:
    """The page, or a page that says in words why there is none."""
    try:
        for name, part in parts.items():
            if name.endswith("_id") and not (part.isascii() and part.isdigit() and len(part) < 19):
                raise NotFoundError(f"There is nothing with the number {part[:40]!r}. Check the address.")
        return draw(workspace, parts)
    except NotFoundError as error:
        return _instead("Not here", str(error), 404)
    except FerruleError as error:
        return _instead("This page cannot be shown", str(error), 503)
    except Exception:
        log.exception("a page could not be drawn")
        return _instead(
            "Something broke here",
            "That is Ferrule’s fault, and nothing you entered is lost. Go back and try again.",
            500,
        )


def _instead(title: str, said: str, status: int) -> Drawn:
    # The parts stand on this module.
    from ferrule.web.parts import sheet, top

    body = tag(
        "main",
        tag("section", tag("h1", title, class_="calm"), tag("p", said, class_="lead")),
        tag("p", tag("a", "Back to the golfers", href="/", class_="do"), class_="tools"),
    )
    return Drawn(title, sheet(top(), body), status=status)


def word_line() -> Markup:
    """The line in which short words appear and go; read out by screen readers."""
    return tag("p", id="word-line", class_="word-line", role="status", aria_live="polite", data_keep=True)


def register_pages(workspace: Workspace, version: str) -> None:
    """Put every declared page into the application."""
    # Importing the package declares the pages.
    from ferrule.web import pages  # noqa: F401

    head = look.head(version)
    for path, draw in PAGES.items():
        _register(path, draw, workspace, head)


def register_not_here(workspace: Workspace, version: str) -> None:
    """What is shown at any other address; after everything else, since it takes all that is left."""

    def nowhere(_workspace: Workspace, parts: Parts) -> Drawn:
        raise NotFoundError(f"There is no page at /{parts['missing'][:60]}. Check the address.")

    _register("/{missing:path}", nowhere, workspace, look.head(version))


def _register(path: str, draw: PageFunction, workspace: Workspace, head: Markup) -> None:
    @ui.page(path, title="Ferrule", viewport=VIEWPORT, response_timeout=PATIENCE_S)
    async def show(request: Request) -> None:
        gate.admit(request.scope)
        client = ui.context.client
        parts: dict[str, str] = {**request.query_params, **{k: str(v) for k, v in request.path_params.items()}}
        # Listen first and draw then: what is committed while the page is drawn must not be missed.
        ear = Ear(workspace)
        client.on_delete(ear.close)
        now = await asyncio.to_thread(drawn, workspace, draw, parts)
        ear.golfer_id = now.golfer_id
        client.status_code = now.status
        ui.page_title(f"{now.title} · Ferrule")
        ui.add_head_html(str(head))
        # The framework would wrap the page in a <main> of its own; there is one already.
        if client.content.parent_slot is not None:
            client.content.parent_slot.parent.tag = "div"
        paper = Paper(now.html)
        gate.guard_listeners(client.elements, lambda: request.scope)
        ear.follow(client, paper, lambda: drawn(workspace, draw, parts), request)


class Ear:
    """Hears of commits from the moment it is made, and draws a page again after those that concern it.

    golfer_id: whose changes count; None counts all of them. Commits in a row are drawn once, and a page that nobody has
    open any more (it is kept for a while, the tablet may come back) is drawn when it is there again.
    """

    def __init__(self, workspace: Workspace) -> None:
        self.golfer_id: int | None = None
        self._loop = asyncio.get_running_loop()
        self._waiting = asyncio.Event()
        self._there = asyncio.Event()
        self._task: asyncio.Task[None] | None = None
        self._end = workspace.feed.subscribe(self._heard)

    def _heard(self, change: Change) -> None:
        if self.golfer_id is None or change.golfer_id in (None, self.golfer_id):
            self._loop.call_soon_threadsafe(self._waiting.set)

    def follow(self, client: Client, paper: Paper, again: Callable[[], Drawn], request: Request) -> None:
        """Begin to draw again; what was heard before counts."""
        client.on_connect(self._there.set)
        client.on_disconnect(lambda: None if client.has_socket_connection else self._there.clear())
        self._task = self._loop.create_task(self._redraw(client, paper, again, request))

    def close(self) -> None:
        """The page is gone."""
        self._end()
        if self._task is not None:
            self._task.cancel()

    async def _redraw(self, client: Client, paper: Paper, again: Callable[[], Drawn], request: Request) -> None:
        while True:
            await self._waiting.wait()
            await self._there.wait()
            self._waiting.clear()
            try:
                gate.admit(request.scope)
                now = await asyncio.to_thread(again)
            except gate.RefusedError:
                return
            except Exception:
                log.exception("a page could not be drawn again")
                continue
            with client:
                paper.show(now.html)

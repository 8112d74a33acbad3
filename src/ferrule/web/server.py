"""The one server process: our FastAPI application with the pages mounted on it, behind the gate.

`build` puts the application together, `serve` runs it for a data folder and opens a browser where there is a desktop.
"""

import hashlib
import os
import secrets
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, Final

import uvicorn
from fastapi import FastAPI
from fastapi.responses import FileResponse, JSONResponse, Response
from nicegui import core, ui
from nicegui.storage import Storage
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.staticfiles import StaticFiles

from ferrule import __version__
from ferrule.app.demo import DemoGround
from ferrule.app.jobs import JobRunner
from ferrule.app.watched import Watcher
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError
from ferrule.web import gate, look, rest, shell
from ferrule.web.answers import use_our_answers

HOST: Final = "127.0.0.1"
PORT: Final = 8765
HOSTS: Final = ("127.0.0.1", "localhost", "[::1]")
SESSION: Final = "session"
RECONNECT_S: Final = 30.0


def build(workspace: Workspace) -> FastAPI:
    """The application for an open data folder: pages, REST routes, fonts; everything behind `gate.Gate`."""
    api = FastAPI(
        title="Ferrule",
        version=__version__,
        description="What a coach does, over HTTP. Angles in degrees, lengths in metres, the unit in the key.",
        docs_url=None,
        redoc_url=None,
        swagger_ui_oauth2_redirect_url=None,
    )
    use_our_answers(api)

    @api.get("/healthz", tags=["server"], summary="Whether the server is up, and its version")
    def healthz() -> dict[str, str]:
        return {"status": "ok", "version": __version__}

    @api.get("/fonts/{name}", include_in_schema=False)
    def font(name: str) -> Response:
        path = look.font_path(name)
        if path is None:
            return JSONResponse({"error": {"code": "not_found", "message": "There is no such font."}}, 404)
        return FileResponse(
            path, media_type="font/otf", headers={"cache-control": "public, max-age=31536000, immutable"}
        )

    api.include_router(rest.routes(workspace))
    api.mount("/static", StaticFiles(directory=look.STATIC), name="static")
    shell.register_pages(workspace, static_version())
    _mount_pages(api, workspace)
    # The framework adds routes of its own when it starts; what is left over comes after them.
    core.app.on_startup(lambda: shell.register_not_here(workspace, static_version()))
    # The last one added is the outermost.
    api.add_middleware(gate.Gate)
    api.add_middleware(gate.SameOriginOnly)
    api.add_middleware(TrustedHostMiddleware, allowed_hosts=list(HOSTS), www_redirect=False)
    api.add_middleware(gate.PlainHeaders)
    return api


def _mount_pages(api: FastAPI, workspace: Workspace) -> None:
    Storage.path = workspace.folder.path / SESSION
    ui.run_with(
        api,
        title="Ferrule",
        favicon=look.STATIC / "ferrule.svg",
        language="en-GB",
        tailwind=False,
        dark=False,
        reconnect_timeout=RECONNECT_S,
        show_welcome_message=False,
        storage_secret=session_secret(workspace.folder.path),
        session_middleware_kwargs={"same_site": "lax", "https_only": False, "max_age": 14 * 86400},
    )
    core.app.storage._general = Storage._create_persistent_dict("general")


def session_secret(folder: Path) -> str:
    """The key that signs session cookies: made once, kept in the data folder, readable by its owner only."""
    path = folder / "session.key"
    try:
        return path.read_text(encoding="ascii").strip()
    except FileNotFoundError:
        made = secrets.token_urlsafe(32)
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(made)
        return made


@cache
def static_version() -> str:
    """A short hash of our own style sheets and scripts, so that a browser takes the new ones after an update."""
    sums = hashlib.sha256()
    for path in sorted(look.STATIC.iterdir()):
        sums.update(path.read_bytes())
    return sums.hexdigest()[:10]


def serve(
    folder: Path,
    port: int = PORT,
    browser: bool = True,
    *,
    with_demo: bool = False,
    ready: Callable[[str], None] | None = None,
) -> None:
    """Serve the workbench for a data folder until interrupted. port 0: any free one.

    with_demo: lay out the invented practice ground first; its recordings follow in the background.
    ready: called with the address once the port is ours (the default prints it).
    Raises StoreError when the folder cannot be opened, InputError when the port is taken.
    """
    listener = _listen(port)
    try:
        with Workspace(folder) as workspace:
            address = f"http://{HOST}:{listener.getsockname()[1]}/"
            config = uvicorn.Config(
                build(workspace),
                log_level="warning",
                ws_per_message_deflate=False,
                timeout_graceful_shutdown=2,
                server_header=False,
                date_header=False,
            )
            server = _Announcing(
                config, lambda: (ready or _say)(address), address if browser and has_desktop() else None
            )
            ground = DemoGround(workspace) if with_demo else None
            if ground is not None:
                ground.lay_out()
            work = JobRunner(workspace)
            work.start()
            watcher = Watcher(workspace)
            watcher.start()
            if ground is not None:
                ground.start()
            try:
                server.run(sockets=[listener])
            finally:
                if ground is not None:
                    ground.stop()
                watcher.stop()
                work.stop()
    finally:
        listener.close()


class _Announcing(uvicorn.Server):
    """Says its address when it answers, not before."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None], to_open: str | None) -> None:
        super().__init__(config)
        self._ready, self._to_open = ready, to_open

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if not self.started:
            return
        self._ready()
        if self._to_open:
            threading.Thread(target=webbrowser.open, args=(self._to_open,), daemon=True).start()


def _listen(port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name != "nt":
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((HOST, port))
    except OSError as error:
        listener.close()
        raise InputError.of(
            "port_taken",
            "port",
            expected="a free port on this machine",
            got=f"{port} ({error.strerror})",
            cause="Ferrule or another program uses it already",
            do="Open the page that is running, or choose another port with --port",
        ) from None
    return listener


def has_desktop(environment: dict[str, str] | None = None, platform: str = sys.platform) -> bool:
    """Whether a browser window could appear: always on Windows and macOS, elsewhere when a display is set."""
    known: Any = os.environ if environment is None else environment
    return platform in ("win32", "darwin") or bool(known.get("DISPLAY") or known.get("WAYLAND_DISPLAY"))


def _say(address: str) -> None:
    sys.stdout.write(f"Ferrule is at {address}\nStop it with Ctrl+C.\n")
    sys.stdout.flush()

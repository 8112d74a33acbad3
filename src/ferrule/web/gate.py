"""The one gate: every request, page, socket and event handler passes `admit` before anything is read or changed.

Today it lets in this machine alone, as the one coach. Accounts and paired devices come here and nowhere else.
`Gate` stands in front of the whole application, so a route that is added later is behind it without anybody thinking of
it; `Threshold.handler` asks again when an open page sends an event, because a socket outlives a permission.
"""

import functools
import ipaddress
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, ParamSpec, TypeVar
from urllib.parse import urlsplit

from starlette.types import ASGIApp, Message, Receive, Scope, Send

P = ParamSpec("P")
R = TypeVar("R")
GUARDED: Final = "__ferrule_guarded__"
SAFE_METHODS: Final = ("GET", "HEAD", "OPTIONS")
SOCKET_PATH: Final = "/_nicegui_ws"
CONTENT_SECURITY: Final = (
    "default-src 'self'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; font-src 'self' data:; connect-src 'self'; worker-src 'self' blob:; "
    "object-src 'none'; base-uri 'self'; form-action 'self'; frame-ancestors 'none'"
)
HEADERS: Final[Mapping[str, str]] = {
    "content-security-policy": CONTENT_SECURITY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(), microphone=(), payment=(), usb=(), camera=(self)",
}


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who is let in. One coach today."""

    name: str = "coach"
    address: str = ""


class RefusedError(Exception):
    """The gate does not let this in. The message is for a person."""


def admit(scope: Scope) -> Visitor:
    """The one authorisation check. Raises RefusedError unless the connection comes from this machine.

    scope: the ASGI scope of an HTTP request or a web socket.
    """
    client = scope.get("client")
    address = str(client[0]) if client else ""
    try:
        ip = ipaddress.ip_address(address)
        local = ip.is_loopback or (isinstance(ip, ipaddress.IPv6Address) and _mapped_loopback(ip))
    except ValueError:
        local = False
    if not local:
        raise RefusedError("This workbench answers to its own machine only.")
    return Visitor(address=address)


def _mapped_loopback(ip: ipaddress.IPv6Address) -> bool:
    return ip.ipv4_mapped is not None and ip.ipv4_mapped.is_loopback


class Gate:
    """ASGI middleware: `admit` for every HTTP request and web socket. Who was let in is `scope["visitor"]`."""

    def __init__(self, app: ASGIApp, check: Callable[[Scope], Visitor] | None = None) -> None:
        self.app = app
        self.check = check

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] in ("http", "websocket"):
            try:
                scope["visitor"] = (self.check or admit)(scope)
            except RefusedError as refused:
                await refuse(scope, receive, send, 403, str(refused))
                return
        await self.app(scope, receive, send)


class SameOriginOnly:
    """ASGI middleware: a page of another site can neither post here nor open a socket here."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""
        if scope["type"] in ("http", "websocket") and _risky(scope) and _foreign(scope):
            await refuse(scope, receive, send, 403, "This came from another site and was not accepted.")
            return
        await self.app(scope, receive, send)


def _risky(scope: Scope) -> bool:
    if scope["type"] == "websocket":
        return True
    return scope["method"] not in SAFE_METHODS or str(scope["path"]).startswith(SOCKET_PATH)


def _foreign(scope: Scope) -> bool:
    headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
    origin = headers.get("origin")
    if origin:
        return bool(urlsplit(origin).netloc != headers.get("host"))
    return headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none")


class PlainHeaders:
    """ASGI middleware: the security headers on every answer, refusals included."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one connection."""

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                present = {name.lower() for name, _ in message.get("headers", [])}
                added = [(k.encode(), v.encode()) for k, v in HEADERS.items() if k.encode() not in present]
                message["headers"] = [*message.get("headers", []), *added]
            await send(message)

        await self.app(scope, receive, with_headers if scope["type"] == "http" else send)


async def refuse(scope: Scope, receive: Receive, send: Send, status: int, words: str) -> None:
    """Answer a request with a status and words, or close a socket before it opens."""
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008})
        return
    body = words.encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})


def guarded(scope_of: Callable[[], Scope], handler: Callable[P, R]) -> Callable[P, R | None]:
    """An event handler that asks the gate again, with the scope of the page it lives on. Refused: nothing happens."""

    @functools.wraps(handler)
    def asked(*args: P.args, **kwargs: P.kwargs) -> R | None:
        try:
            admit(scope_of())
        except RefusedError:
            return None
        return handler(*args, **kwargs)

    setattr(asked, GUARDED, True)
    return asked


def is_guarded(handler: object) -> bool:
    """Whether a handler was made by `guarded`."""
    return bool(getattr(handler, GUARDED, False))


def guard_listeners(elements: Mapping[int, Any], scope_of: Callable[[], Scope]) -> None:
    """Make every event handler of a page ask the gate, those of the page framework included."""
    for element in elements.values():
        for listener in element._event_listeners.values():
            if listener.handler is not None and not is_guarded(listener.handler):
                listener.handler = guarded(scope_of, listener.handler)


def unguarded_listeners(elements: Mapping[int, Any]) -> list[str]:
    """Event handlers on the elements of a page that would not ask the gate, as "tag: event"."""
    return [
        f"{element.tag}: {listener.type}"
        for element in elements.values()
        for listener in element._event_listeners.values()
        if listener.handler is not None and not is_guarded(listener.handler)
    ]


@dataclass(frozen=True, slots=True)
class Door:
    """One way in: a path that some router of the application answers."""

    path: str
    methods: tuple[str, ...]


def doors(routes: Sequence[Any], prefix: str = "") -> list[Door]:
    """Every route of an application, those of mounted applications included, in the order of the routers."""
    found: list[Door] = []
    for route in routes:
        included = getattr(route, "effective_candidates", None)
        if included is not None:
            # FastAPI keeps an included router as one route, and knows the full paths inside it.
            found.extend(doors(included(), prefix))
            continue
        path = prefix + (getattr(route, "path", None) or "")
        below = getattr(route, "routes", None)
        if below:
            found.extend(doors(below, path.rstrip("/")))
            continue
        methods = tuple(sorted(getattr(route, "methods", None) or ()))
        found.append(Door(path or "/", methods or ("GET",)))
    return found

"""What every request passes: host, size, origin, session; and the headers of every response.

One plain ASGI middleware, so that a body is counted while it arrives and nothing is read before
it may be.
"""

import logging
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from typing import Any
from urllib.parse import urlsplit

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from ringland.web.devices import Devices

LOG = logging.getLogger("ringland.web")
POLICY = (
    "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; "
    "form-action 'self'; img-src 'self' blob: data:"
)
HEADERS = {
    b"content-security-policy": POLICY.encode(),
    b"x-content-type-options": b"nosniff",
    b"referrer-policy": b"same-origin",
    b"cross-origin-opener-policy": b"same-origin",
    b"cross-origin-resource-policy": b"same-origin",
}
SAFE = ("GET", "HEAD", "OPTIONS")
FORM_BYTES = 1_000_000
FILE_BYTES = 40_000_000  # a photo straight from a camera, a job's file with its photos
FILE_ENDS = ("/photo", "/import", "/take-in")
OPEN = ("/static/", "/pair", "/trust", "/sw.js", "/manifest.webmanifest")


class TooLarge(Exception):
    """The body grew beyond what its path may take."""


@dataclass
class Guard:
    """The middleware.

    hosts : names under which this server may be called, without port
    devices : the paired devices; None where only this machine can reach the server
    """

    app: ASGIApp
    hosts: frozenset[str]
    devices: Devices | None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        sender = _with_headers(send)
        refused = self._refusal(scope, headers)
        if refused is not None:
            code, why = refused
            LOG.warning("%s %s from %s: %s", scope["method"], scope["path"], _client(scope), why)
            await PlainTextResponse(why, code)(scope, receive, sender)
            return
        away = self._not_paired(scope, headers)
        if away is not None:
            await away(scope, receive, sender)
            return
        try:
            await self.app(scope, _counted(receive, _most(scope["path"])), sender)
        except TooLarge:
            LOG.warning("%s from %s: too large", scope["path"], _client(scope))
            why = "That is too large. Nothing was kept. Send a smaller file or text."
            await PlainTextResponse(why, 413)(scope, receive, sender)

    def _refusal(self, scope: Scope, headers: Headers) -> tuple[int, str] | None:
        host = headers.get("host", "")
        if _name(host) not in self.hosts:
            return 400, "This server is not called by that name. Use the address it printed."
        length = headers.get("content-length", "0")
        if length.isdigit() and int(length) > _most(scope["path"]):
            return 413, "That is too large. Nothing was kept. Send a smaller file or text."
        if scope["method"] not in SAFE and not _own(headers, scope["scheme"], host):
            return 403, "This came from another site. Nothing was kept."
        return None

    def _not_paired(self, scope: Scope, headers: Headers) -> Response | None:
        """Send a device that was never paired to the pairing page; this machine itself is trusted."""
        scope["state"] = {**scope.get("state", {}), "device": None}
        if self.devices is None or _client(scope) in ("127.0.0.1", "::1"):
            return None
        token = cookies(headers).get(self.devices.cookie, "")
        device = self.devices.known(token)
        scope["state"]["device"] = device
        if device is not None or scope["path"].startswith(OPEN):
            return None
        if scope["method"] in ("GET", "HEAD") and not scope["path"].startswith("/api"):
            return RedirectResponse("/pair", 303)
        return PlainTextResponse("This device is not paired yet: open /pair", 401)


def cookies(headers: Headers) -> dict[str, str]:
    """Return the cookies of a request; a damaged header has none."""
    try:
        jar = SimpleCookie(headers.get("cookie", ""))
    except CookieError:
        return {}
    return {name: morsel.value for name, morsel in jar.items()}


def _own(headers: Headers, scheme: str, host: str) -> bool:
    """Say whether a writing request comes from a page of this server, or from no page at all.

    Browsers send Sec-Fetch-Site only where the origin is trustworthy; on plain http in a local
    network Origin must name this server.
    """
    site = headers.get("sec-fetch-site")
    origin = headers.get("origin")
    if site is not None:
        return site in ("same-origin", "none")
    if origin is not None:
        return urlsplit(origin).netloc == host and urlsplit(origin).scheme == scheme
    # no browser sends a form without Origin; a program has no ambient session to abuse
    return headers.get("cookie") is None


def _name(host: str) -> str:
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.rpartition(":")[0].casefold() if ":" in host else host.casefold()


def _client(scope: Scope) -> str:
    client: Any = scope.get("client")
    return str(client[0]) if client else "127.0.0.1"


def _most(path: str) -> int:
    return FILE_BYTES if path.endswith(FILE_ENDS) else FORM_BYTES


def _counted(receive: Receive, most: int) -> Receive:
    total = 0

    async def counting() -> Message:
        nonlocal total
        message = await receive()
        total += len(message.get("body", b""))
        if total > most:
            raise TooLarge
        return message

    return counting


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = {name.lower() for name, _ in message.get("headers", [])}
            extra = [(name, value) for name, value in HEADERS.items() if name not in given]
            message = {**message, "headers": [*message.get("headers", []), *extra]}
        await send(message)

    return sending

"""What stands before every request: who may ask, how much, how often. Nothing behind it runs for anybody else.

A page of another site can make a browser send requests here, and a name of its own can be made to point here. So the
Host must be ours, an Origin that is named must be ours, every call of the interface carries a token that only the
page knows, and there is no cookie that a browser would add by itself.
"""

from __future__ import annotations

import hmac
import time
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_BYTES = 64 * 1024  #: of a request's body: far more than any edit
MOST_PER_SECOND = 120.0
BURST = 240.0
TOKEN_HEADER = b"x-braces-token"

_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; connect-src 'self'; "
    "img-src 'self' blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = (
    (b"content-security-policy", _POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"x-frame-options", b"DENY"),
    (b"cache-control", b"no-store"),
)


class Guard:
    """An ASGI application round another."""

    def __init__(self, inner: App, port: int, token: str, clock: Callable[[], float] = time.monotonic) -> None:
        self.inner, self.token, self.clock = inner, token.encode(), clock
        names = [f"{name}:{port}" for name in ("127.0.0.1", "localhost")]
        self.hosts = {n.encode() for n in names}
        self.origins = {f"http://{n}".encode() for n in names}
        self._left, self._at = BURST, clock()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or answer why not."""
        if scope["type"] == "lifespan":
            await self.inner(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        refused = self._refused(scope)
        if refused is not None:
            await _answer(send, *refused)
            return
        await self.inner(scope, _limited(receive), _with_headers(send))

    def _refused(self, scope: Scope) -> tuple[int, str] | None:
        headers: dict[bytes, list[bytes]] = {}
        for name, value in scope["headers"]:
            headers.setdefault(name, []).append(value)
        if len(headers.get(b"host", [])) != 1 or headers[b"host"][0] not in self.hosts:
            return 421, "this server answers to its own name only"
        origins = headers.get(b"origin", [])
        posted = scope["method"] not in ("GET", "HEAD")
        if any(o not in self.origins for o in origins) or (posted and not origins):
            return 403, "a page from elsewhere may not ask here"
        if any(s not in (b"same-origin", b"none") for s in headers.get(b"sec-fetch-site", [])):
            return 403, "a page from elsewhere may not ask here"
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return 405, "not that way"
        if scope["path"].startswith("/api/") and scope["path"] != "/api/enter":
            tokens = headers.get(TOKEN_HEADER, [])
            if len(tokens) != 1 or not hmac.compare_digest(tokens[0], self.token):
                return 401, "open the page by the address that the program printed"
        length = headers.get(b"content-length", [b"0"])[0]
        if not length.isdigit() or int(length) > MOST_BYTES:
            return 413, "that is too long"
        if posted and headers.get(b"content-type", [b""])[0].split(b";")[0].strip() != b"application/json":
            return 415, "only JSON is read here"
        return None if self._in_time() else (429, "too many requests: wait a moment")

    def _in_time(self) -> bool:
        now = self.clock()
        self._left = min(BURST, self._left + (now - self._at) * MOST_PER_SECOND)
        self._at = now
        if self._left < 1.0:
            return False
        self._left -= 1.0
        return True


def _limited(receive: Receive) -> Receive:
    """A body that does not say its length is cut off where it becomes too long."""
    read = 0

    async def inner() -> Message:
        nonlocal read
        message = await receive()
        if message["type"] == "http.request":
            read += len(message.get("body", b""))
            if read > MOST_BYTES:
                return {"type": "http.disconnect"}
        return message

    return inner


def _with_headers(send: Send) -> Send:
    async def inner(message: Message) -> None:
        if message["type"] == "http.response.start":
            own = list(message.get("headers", []))
            given = {name.lower() for name, _ in own}
            message["headers"] = [*own, *((n, v) for n, v in HEADERS if n not in given)]
        await send(message)

    return inner


async def _answer(send: Send, status: int, why: str) -> None:
    body = why.encode()
    await send(
        {
            "type": "http.response.start",
            "status": status,
            "headers": [
                (b"content-type", b"text/plain; charset=utf-8"),
                (b"content-length", str(len(body)).encode()),
                *HEADERS,
            ],
        }
    )
    await send({"type": "http.response.body", "body": body})

"""The guard by itself, with a clock of the test's own."""

from __future__ import annotations

import asyncio
from typing import Any

from braces.web.guard import BURST, MOST_PER_SECOND, Guard


def answers(guard: Guard, count: int, path: str = "/") -> list[int]:
    """The status of ``count`` requests one after the other."""
    codes: list[int] = []

    async def send(message: Any) -> None:
        if message["type"] == "http.response.start":
            codes.append(message["status"])

    async def receive() -> Any:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def go() -> None:
        for _ in range(count):
            headers = [(b"host", b"127.0.0.1:5000")]
            await guard({"type": "http", "method": "GET", "path": path, "headers": headers}, receive, send)

    asyncio.run(go())
    return codes


async def fine(_scope: Any, _receive: Any, send: Any) -> None:
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": b""})


def test_a_flood_is_refused_and_a_moment_later_not() -> None:
    now = [0.0]
    guard = Guard(fine, 5000, "token", lambda: now[0])
    codes = answers(guard, int(BURST) + 10)
    assert codes == [200] * int(BURST) + [429] * 10
    now[0] += 0.5
    codes = answers(guard, int(MOST_PER_SECOND))
    assert codes.count(200) == int(MOST_PER_SECOND / 2)


def test_a_host_named_twice_is_refused() -> None:
    guard = Guard(fine, 5000, "token")
    codes: list[int] = []

    async def send(message: Any) -> None:
        codes.append(message.get("status", 0))

    headers = [(b"host", b"127.0.0.1:5000"), (b"host", b"evil.example")]
    asyncio.run(guard({"type": "http", "method": "GET", "path": "/", "headers": headers}, fine, send))
    assert codes[0] == 421

"""Opening a design: a server on this machine alone, and the browser at its door."""

from __future__ import annotations

import asyncio
import secrets
import socket
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from braces.web.desk import Desk


def listen(port: int) -> socket.socket:
    """Return a socket on the loopback address; port 0 takes a free one. Raises OSError."""
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind(("127.0.0.1", port))
        made.listen(128)  # whoever takes the printed address at once waits a moment, and is not sent away
    except OSError:
        made.close()
        raise
    return made


def open_page(path: Path, out: Path, port: int, browser: bool, solve: bool, say: Callable[[str], None]) -> None:
    """Serve a design until interrupted. Raises BadFile, or OSError if there is no port."""
    door = listen(port)
    desk = Desk(path, out)

    import uvicorn

    from braces.web.hub import Hub
    from braces.web.server import application

    number = door.getsockname()[1]
    hub = Hub(desk, secrets.token_urlsafe(32))
    hub.automatic = solve
    app = application(hub, number)
    say(f"{path.name} is open at http://127.0.0.1:{number}/#token={hub.token}\nClose it here with Ctrl-C.")
    server = uvicorn.Server(
        uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            http="h11",
            ws="none",
            loop="asyncio",
            timeout_graceful_shutdown=2,
            limit_concurrency=64,
        )
    )
    hub.ends = lambda: server.should_exit
    if browser:
        # The browser's own command line can be read by others on a shared machine: what stands there works once.
        webbrowser.open(f"http://127.0.0.1:{number}/#once={hub.once}")
    with suppress(KeyboardInterrupt):
        asyncio.run(server.serve(sockets=[door]))

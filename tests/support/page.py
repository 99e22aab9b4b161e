"""A page of the program in a real browser: the server in a process of its own, a design in a folder of its own."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from support.designs import text_of

START = "from braces.cli.main import run; run()"


@dataclass(frozen=True, slots=True)
class Opened:
    """A running server."""

    process: subprocess.Popen[str]
    design: Path
    port: int
    token: str

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/#token={self.token}"

    @property
    def root(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def headers(self) -> dict[str, str]:
        """What the page itself sends with a call."""
        return {"x-braces-token": self.token, "origin": self.root, "content-type": "application/json"}


def environment(folder: Path) -> dict[str, str]:
    return {**os.environ, "XDG_STATE_HOME": str(folder / "state")}


def start(design: Path, folder: Path, *options: str) -> Opened:
    """Open a design; the state folder lies below ``folder``."""
    process = subprocess.Popen(
        [sys.executable, "-c", START, "open", str(design), "--no-browser", *options],
        cwd=folder, env=environment(folder), stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
    )  # fmt: skip
    assert process.stdout is not None
    line = process.stdout.readline()
    found = re.search(r"http://127\.0\.0\.1:(\d+)/#token=(\S+)", line)
    assert found, line + process.stdout.read()
    return Opened(process, design, int(found[1]), found[2])


def stop(opened: Opened, how: int = signal.SIGTERM) -> str:
    """End the server and return what it printed since."""
    if opened.process.poll() is None:
        opened.process.send_signal(how)
    return opened.process.communicate(timeout=20)[0]


@contextmanager
def open_design(folder: Path, *options: str, name: str = "fieldfare") -> Iterator[Opened]:
    """A copy of a preset, opened; whatever the server prints beyond its address is a fault."""
    design = folder / f"my-{name}.toml"
    if not design.exists():
        design.write_text(text_of(name), encoding="utf-8")
    opened = start(design, folder, *options)
    try:
        yield opened
    finally:
        said = stop(opened)
    assert said.replace("Close it here with Ctrl-C.", "").strip() == ""


def chromium() -> str:
    """Return the browser's program. It is installed by the check; without it the tests of the page fail."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    assert found, "install the browser that the tests of the page need: apt-get install chromium"
    return found


def centre(locator: Any) -> tuple[float, float]:
    """Return the middle of an element, in px of the page."""
    locator.scroll_into_view_if_needed()
    box = locator.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def settled(page: Any) -> None:
    """Wait until no call is under way, so that what is shown is the newest."""
    page.wait_for_timeout(30)
    page.wait_for_selector('body[data-busy="no"]')


def drag(page: Any, handle: str, by: tuple[float, float], picture: str = "side") -> None:
    """Drag a handle of a picture by so many px."""
    x, y = centre(page.locator(f'#{picture} [data-handle="{handle}"]'))
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + by[0] / 2, y + by[1] / 2, steps=4)
    page.mouse.move(x + by[0], y + by[1], steps=4)
    page.mouse.up()
    settled(page)


def mass(page: Any, brace: str) -> str:
    return str(page.locator(f'[data-mass="{brace}"]').text_content())

"""A browser for all tests of the page, and a page of its own for each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from support.page import Opened, chromium, open_design, settled

SIZES = {"desk": {"width": 1400, "height": 1000}, "tablet": {"width": 820, "height": 1180}}


@pytest.fixture(scope="module")  # the driver's event loop must not be there when other tests want one
def browser() -> Iterator[Browser]:
    with sync_playwright() as engine:
        made = engine.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        yield made
        made.close()


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Opened]:
    with open_design(tmp_path, "--no-solve") as server:
        yield server


Visit = Callable[..., Page]


@pytest.fixture
def visit(browser: Browser) -> Iterator[Visit]:
    """Visit a server; what the page's own code does wrong fails the test."""
    contexts: list[Any] = []
    faults: list[str] = []

    def go(server: Opened, size: str = "desk", **how: Any) -> Page:
        context = browser.new_context(viewport=SIZES[size], **how)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda said: faults.append(said.text) if said.type in ("error", "warning") else None)
        page.goto(server.address)
        page.wait_for_selector("#plan .brace")
        page.wait_for_selector("#fields .field")
        settled(page)
        return page

    yield go
    for context in contexts:
        context.close()
    assert not [f for f in faults if "ERR_CONNECTION" not in f and "ERR_INCOMPLETE" not in f]

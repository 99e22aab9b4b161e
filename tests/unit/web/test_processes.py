"""Work in other processes: what is said of it, how it ends, and that the newest state is the one answered."""

from __future__ import annotations

import asyncio
import json
import os
import subprocess
import sys
import time
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest
from support.designs import text_of

from braces.web import hub as hubs
from braces.web.desk import Desk
from braces.web.hub import Hub
from braces.web.processes import Standing, work

BROKEN = text_of("wren").replace('name = "Wren"', 'name = ""')


async def said(job: dict[str, Any]) -> list[dict[str, Any]]:
    return [table async for table in work(job)]


def test_a_make_tells_its_steps_and_its_files(tmp_path: Path) -> None:
    job = {"do": "make", "path": "wren.toml", "text": text_of("wren"), "products": ["tables"], "paper": "a4"}
    answers = asyncio.run(said(job | {"out": str(tmp_path)}))
    assert answers[0]["step"]
    assert answers[-1]["done"]["files"] == ["cutlist.csv", "stations.csv"]
    assert (tmp_path / "wren" / "cutlist.csv").is_file()


def test_what_cannot_be_made_says_why(tmp_path: Path) -> None:
    job = {"do": "make", "path": "wren.toml", "text": text_of("wren"), "products": ["tables"], "paper": "a4"}
    (tmp_path / "out").write_text("in the way")
    assert "failed" in asyncio.run(said(job | {"out": str(tmp_path / "out")}))[-1]
    unsound = asyncio.run(said(job | {"text": BROKEN, "out": str(tmp_path)}))
    assert "write at least 1 character" in unsound[-1]["failed"]


def test_a_standing_process_answers_again_and_again() -> None:
    async def go() -> list[str]:
        standing = Standing()
        got = []
        for _ in range(2):
            async for table in standing.ask({"do": "live", "number": 1, "path": "w.toml", "text": BROKEN}):
                got.append(str(table))
        await standing.end()
        return got

    answers = asyncio.run(go())
    assert len(answers) == 2
    assert all("failed" in a for a in answers)


def test_a_process_ends_when_nobody_is_left_to_ask() -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "braces.web.worker"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert process.stdin is not None
    job = {"do": "live", "number": 1, "path": "w.toml", "text": BROKEN}
    process.stdin.write(json.dumps(job) + "\n")
    process.stdin.flush()
    assert process.stdout is not None
    assert "failed" in process.stdout.readline()
    process.stdin.close()
    begun = time.monotonic()
    while process.poll() is None and time.monotonic() - begun < 20:
        time.sleep(0.05)
    assert process.returncode == 3
    process.stdout.close()


def test_the_newest_state_is_answered_and_older_answers_are_marked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three changes come while the live model thinks about the first: it is asked twice, not four times."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    path = tmp_path / "wren.toml"
    path.write_text(text_of("wren"), encoding="utf-8")
    asked: list[int] = []
    gate = asyncio.Event()

    class Slow:
        async def ask(self, job: dict[str, Any]) -> AsyncIterator[dict[str, Any]]:
            asked.append(job["number"])
            await gate.wait()
            yield {"done": {"number": job["number"], "plates": {"top": {}}}}

        async def end(self) -> None:
            return

    async def go() -> Hub:
        hub = Hub(Desk(path, tmp_path), "token")
        hub.standing = Slow()  # type: ignore[assignment]
        monkeypatch.setattr(hubs, "_SOLVE_AFTER_S", 1e6)
        for height in ("5.1 mm", "5.2 mm", "5.3 mm"):
            await hub.change(lambda desk, h=height: desk.write(("top", "braces", 0, "height"), h))
            await asyncio.sleep(0.05)
        gate.set()
        while hub.live["number"] != hub.desk.number:
            await asyncio.sleep(0.05)
        await hub.end()
        return hub

    hub = asyncio.run(go())
    assert asked == [1, 3]
    assert hub.live["number"] == 3
    assert os.path.exists(hub.desk.kept.path), "the draft was kept on the way out"

"""How long the page's server takes: start, first paint, an edit's picture, an edit's numbers."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright
from support.command import run
from support.designs import text_of
from support.page import chromium, environment, start, stop

from braces.web.desk import Desk, Looking
from braces.web.handles import Drag
from braces.web.plan_picture import plan_picture
from braces.web.side_picture import side_picture
from braces.web.views import view


def told(capsys, text):
    with capsys.disabled():
        print(f"\n{text}")


def test_an_edits_picture_and_numbers(capsys, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Processor time, which does not depend on what else the machine does; both sides in one run."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    path = tmp_path / "fieldfare.toml"
    path.write_text(text_of("fieldfare"), encoding="utf-8")
    desk, looking = Desk(path, tmp_path), Looking("top", "x-treble")
    handle = next(h for h in desk.handles(looking, "side") if h.key == "valley/end")
    pictures, whole = [], []
    for k in range(24):
        to = (handle.at[0], handle.at[1] + 0.1 * (1 + k))
        begun = time.process_time()
        desk.drag(looking, "side", "valley/end", Drag(to, fine=True), "hand")
        brace = next(b for b in desk.carved.braces if b.name == "x-treble")
        plan_picture(desk.carved, "top"), side_picture(desk.carved, brace), desk.handles(looking, "side")
        pictures.append(time.process_time() - begun)
        begun = time.process_time()
        view(desk, looking)
        whole.append(pictures[-1] + time.process_time() - begun)
    picture, numbers = sorted(pictures)[2], sorted(whole)[2]
    told(
        capsys, f"an edit's picture {picture * 1e3:.0f} ms (asked: 50), its numbers {numbers * 1e3:.0f} ms (asked: 150)"
    )
    plain = min(run("check", str(path)).seconds for _ in range(3))
    assert picture <= 0.25 * plain, "an edit costs a small part of what a whole check does"
    assert numbers <= 0.6 * plain


def first_line(command, folder) -> float:
    begun = time.perf_counter()
    with subprocess.Popen(command, cwd=folder, env=environment(folder), stdout=subprocess.PIPE, text=True) as process:
        process.stdout.readline()
        took = time.perf_counter() - begun
        process.terminate()
        process.communicate()
    return took


def test_start_against_check_and_first_paint(capsys, tmp_path: Path) -> None:
    design = tmp_path / "fieldfare.toml"
    design.write_text(text_of("fieldfare"), encoding="utf-8")
    begin = [sys.executable, "-c", "from braces.cli.main import run; run()"]
    opened, checked = [], []
    for _ in range(5):
        opened.append(first_line([*begin, "open", str(design), "--no-browser", "--no-solve"], tmp_path))
        checked.append(first_line([*begin, "check", str(design)], tmp_path))
    told(
        capsys,
        f"open is ready after {min(opened):.2f} s, check says its piece after {min(checked):.2f} s: "
        f"{min(opened) / min(checked):.2f} times (asked: at most 2)",
    )
    server = start(design, tmp_path, "--no-solve")
    try:
        with sync_playwright() as engine:
            browser = engine.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
            paints = []
            for _ in range(3):
                page = browser.new_page()
                begun = time.perf_counter()
                page.goto(server.address)
                page.wait_for_selector("#plan .brace")
                paints.append(time.perf_counter() - begun)
                page.close()
            browser.close()
        loaded = Path(f"/proc/{server.process.pid}/maps").read_text(encoding="utf-8")
        assert "OCP" not in loaded, "the CAD kernel is loaded only for solids, in a process of its own"
    finally:
        stop(server)
    told(capsys, f"the plate is painted {min(paints):.2f} s after the page is asked for (asked: 1)")
    assert min(opened) <= 2 * min(checked)

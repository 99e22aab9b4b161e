"""What a maker sees: every view at two sizes, light and dark, at twice the size of letters, for a screen reader.

Set BRACES_PICTURES to a folder to keep the pictures and look at them.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from support.page import Opened, drag, open_design, settled


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory):
    with open_design(tmp_path_factory.mktemp("looks"), "--no-solve") as opened:
        yield opened


def kept(page: Page, name: str, folder: Path) -> None:
    """Keep a picture, and see that nothing runs out of the page sideways."""
    where = Path(os.environ.get("BRACES_PICTURES", folder))
    where.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=where / f"{name}.png", full_page=True)
    wide = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert wide[0] <= wide[1], f"{name} is wider than its window"


def faults(page: Page) -> list[str]:
    """What the accessibility checker finds serious or critical."""
    found = Axe().run(page).response["violations"]
    return [
        f"{v['id']}: {n['html'][:120]}" for v in found if v["impact"] in ("serious", "critical") for n in v["nodes"]
    ]


@pytest.mark.parametrize("size", ["desk", "tablet"])
def test_every_view(server: Opened, visit, size: str, tmp_path: Path) -> None:
    page = visit(server, size, color_scheme="light" if size == "desk" else "dark", has_touch=size == "tablet")
    kept(page, f"{size}-top", tmp_path)
    assert not faults(page)
    page.click("#show-back")
    settled(page)
    kept(page, f"{size}-back", tmp_path)
    page.click("#show-top")
    settled(page)
    page.locator("#plan .ground").click(position={"x": 8, "y": 200})
    settled(page)
    kept(page, f"{size}-plate-parts", tmp_path)
    page.select_option("#brace", "tone bar 1")
    page.select_option("#compare", "preset linnet")
    page.select_option("#sheet-of", "brace-tone-bar-1")
    settled(page)
    page.wait_for_timeout(500)
    settled(page)
    kept(page, f"{size}-compared", tmp_path)
    assert page.locator("#sheet").evaluate("i => i.complete && i.naturalWidth > 100")
    page.locator('[id="field-top/braces/1/height"]').fill("3 mm")
    page.locator('[id="field-top/braces/1/height"]').press("Enter")
    settled(page)
    assert page.locator("#problems li").count() > 0
    kept(page, f"{size}-problems", tmp_path)
    assert not faults(page)
    page.click("#undo")
    settled(page)


def test_twice_the_size_of_letters(server: Opened, visit, browser, tmp_path: Path) -> None:
    """WCAG 2.2, 1.4.4 and 1.4.10: 200 % of a window 1280 wide is a window of 640."""
    page = visit(server)
    page.set_viewport_size({"width": 640, "height": 512})
    settled(page)
    kept(page, "letters-200", tmp_path)
    page.set_viewport_size({"width": 320, "height": 512})
    kept(page, "letters-400", tmp_path)


def test_print_view_shows_the_work_and_no_controls(server: Opened, visit, tmp_path: Path) -> None:
    page = visit(server)
    page.emulate_media(media="print")
    kept(page, "print", tmp_path)
    assert not page.locator("#save").is_visible()
    assert not page.locator("#make-now").is_visible()
    assert page.locator("#plan").is_visible()
    assert page.locator("#numbers table").is_visible()


def test_everything_can_be_reached_by_keys(server: Opened, visit) -> None:
    page = visit(server)
    seen = set()
    for _ in range(90):
        page.keyboard.press("Tab")
        seen.add(
            page.evaluate(
                "(() => { const e = document.activeElement; return e.dataset.handle || e.id || e.textContent })()"
            )
        )
    wanted = {"show-top", "overlay", "compare", "larger", "plan", "brace", "at", "side", "valley/end", "x-bass/foot"}
    assert wanted <= seen
    assert "upper transverse" in seen
    assert any("field-top" in s for s in seen)


def test_a_finger_drags_and_two_fingers_zoom(server: Opened, visit) -> None:
    page = visit(server, "tablet", has_touch=True, is_mobile=False)
    before = page.locator("#side").get_attribute("viewBox")
    box = page.locator("#side").bounding_box()
    assert box is not None
    page.evaluate(
        """([x, y]) => {
          const svg = document.getElementById("side");
          const send = (type, id, px, py) => svg.dispatchEvent(new PointerEvent(type, {
            pointerId: id, pointerType: "touch", clientX: px, clientY: py, bubbles: true, button: 0 }));
          svg.setPointerCapture = () => {};
          send("pointerdown", 11, x, y); send("pointerdown", 12, x + 40, y);
          send("pointermove", 12, x + 160, y); send("pointerup", 12, x + 160, y); send("pointerup", 11, x, y);
        }""",
        [box["x"] + 60, box["y"] + 20],
    )
    after = page.locator("#side").get_attribute("viewBox")
    assert float(str(after).split()[2]) < 0.6 * float(str(before).split()[2])


def test_a_drag_shows_the_hollow_against_the_tool(server: Opened, visit) -> None:
    page = visit(server)
    drag(page, "valley/end", (0, 8))
    assert "tool 25 mm" in str(page.locator("#side .word").first.text_content()) + str(
        page.locator("#side").text_content()
    )
    assert page.locator("#side .tool").count() == 1
    assert page.locator("#section path").count() == 1
    page.click("#undo")
    settled(page)

"""A hand drags, the numbers follow, the file changes by that one value and nothing else."""

from __future__ import annotations

import json
import signal
from pathlib import Path

from playwright.sync_api import expect
from support.command import run
from support.designs import text_of
from support.page import Opened, drag, mass, open_design, settled, start, stop


def valley(text: str, name: str = "x") -> str:
    """The text of the valley's height in the entry of a brace."""
    entry = text[text.index(f'name = "{name}"') :]
    return entry[entry.index("valley = {") :].split('height = "', 1)[1].split('"', 1)[0]


def test_a_dragged_valley_weighs_what_the_command_line_says(opened: Opened, visit, tmp_path: Path) -> None:
    page = visit(opened)
    page.select_option("#brace", "x-treble")
    settled(page)
    before = mass(page, "x-treble")
    drag(page, "valley/end", (0, 12))
    after = mass(page, "x-treble")
    assert float(after) < float(before)
    page.click("#save")
    expect(page.locator("#saved")).to_have_text("saved")
    made = run("make", opened.design, "--only", "summary", "--out", tmp_path / "made")
    assert made.code == 0, made.text
    summary = json.loads((tmp_path / "made" / "my-fieldfare" / "summary.json").read_text(encoding="utf-8"))
    told = {b["name"]: f"{b['mass']:.2f}" for b in summary["braces"]}
    shown = {b["name"]: mass(page, b["name"]) for b in summary["braces"] if b["plate"] == "top"}
    assert shown == {n: told[n] for n in shown}
    assert shown["x-treble"] == after


def test_drag_undo_save_reload_leaves_one_value_changed(opened: Opened, visit) -> None:
    page = visit(opened)
    drag(page, "valley/end", (0, 10))
    drag(page, "peak/end", (0, 6))
    page.click("#undo")
    settled(page)
    page.keyboard.press("Control+s")
    expect(page.locator("#saved")).to_have_text("saved")
    old, new = text_of("fieldfare"), opened.design.read_text(encoding="utf-8")
    assert valley(new) != valley(old)
    assert new == old.replace(f'"40 %", height = "{valley(old)}"', f'"40 %", height = "{valley(new)}"', 1)
    page.reload()
    page.wait_for_selector("#plan .brace")
    settled(page)
    assert page.locator("#saved").text_content() == "saved"


def test_a_place_stays_a_rule(opened: Opened, visit) -> None:
    page = visit(opened)
    page.select_option("#brace", "upper transverse")
    settled(page)
    drag(page, "upper transverse/at", (0, -12), "plan")
    page.click("#save")
    expect(page.locator("#saved")).to_have_text("saved")
    lines = list(zip(text_of("fieldfare").splitlines(), opened.design.read_text().splitlines(), strict=True))
    ((was, now),) = [(a, b) for a, b in lines if a != b]
    assert was == 'at = "38 mm above the soundhole"'
    distance = float(now.removeprefix('at = "').removesuffix(' mm above the soundhole"'))
    assert distance > 38


def test_what_cannot_move_says_why_and_a_rule_stops_a_hand(opened: Opened, visit) -> None:
    page = visit(opened)
    page.locator("#plan .ground").click(position={"x": 20, "y": 300})
    settled(page)
    page.locator('#plan [data-handle="saddle"]').focus()
    assert "follows from the scale length" in str(page.locator("#said").text_content())
    page.select_option("#brace", "x-bass")
    settled(page)
    drag(page, "valley/end", (0, 60))
    assert "mm high where" in str(page.locator("#said").text_content())
    assert page.locator("#problems li").count() == 0
    assert "1 value" in str(page.locator("#saved").text_content())


def test_keys_move_by_a_tenth_and_by_one(opened: Opened, visit) -> None:
    page = visit(opened)
    handle = page.locator('#side [data-handle="peak/end"]')
    handle.focus()
    page.keyboard.press("ArrowUp")
    settled(page)
    assert "13.1 mm" in str(handle.get_attribute("aria-label"))
    page.keyboard.press("Shift+ArrowDown")
    settled(page)
    assert "12.1 mm" in str(handle.get_attribute("aria-label"))
    page.keyboard.press("Control+z")
    settled(page)
    assert "13.1 mm" in str(handle.get_attribute("aria-label"))


def test_a_typed_value_keeps_its_unit_and_a_wrong_one_is_pointed_at(opened: Opened, visit) -> None:
    page = visit(opened)
    field = page.locator('[id="field-top/braces/0/width"]')
    field.fill("5/16 in")
    field.press("Enter")
    settled(page)
    page.locator('[id="field-top/braces/0/height"]').fill("2 parsecs")
    page.locator('[id="field-top/braces/0/height"]').press("Enter")
    settled(page)
    assert page.locator("#problems li").count() == 1
    assert "V02" in str(page.locator("#problems").text_content())
    page.locator("#problems button").click()
    settled(page)
    assert page.evaluate("document.activeElement.id") == "field-top/braces/0/height"
    page.click("#undo")
    settled(page)
    page.click("#save")
    expect(page.locator("#saved")).to_have_text("saved")
    assert 'width = "5/16 in"' in opened.design.read_text(encoding="utf-8").split("tone bar 1")[0]


def test_a_file_changed_meanwhile_is_merged_not_overwritten(opened: Opened, visit) -> None:
    page = visit(opened)
    drag(page, "valley/end", (0, 10))
    text = opened.design.read_text(encoding="utf-8")
    opened.design.write_text(text.replace('depth      = { tail = "104 mm"', 'depth      = { tail = "105 mm"'))
    page.wait_for_selector("#bars [role=alert]")
    page.click("#save")
    settled(page)
    assert 'tail = "105 mm"' in opened.design.read_text(encoding="utf-8")
    assert valley(opened.design.read_text(encoding="utf-8")) == valley(text)
    page.get_by_role("button", name="Merge", exact=True).click()
    settled(page)
    page.click("#save")
    expect(page.locator("#saved")).to_have_text("saved")
    both = opened.design.read_text(encoding="utf-8")
    assert 'tail = "105 mm"' in both
    assert valley(both) != valley(text)


def test_the_same_value_changed_on_both_sides_is_asked_about(opened: Opened, visit) -> None:
    page = visit(opened)
    drag(page, "valley/end", (0, 10))
    text = opened.design.read_text(encoding="utf-8")
    opened.design.write_text(text.replace('height = "8.5 mm"', 'height = "9 mm"', 1))
    page.get_by_role("button", name="Merge, take the file's").click()
    settled(page)
    assert valley(opened.design.read_text(encoding="utf-8")) == "9 mm"
    assert "9 mm" in str(page.locator('#side [data-handle="valley/end"]').get_attribute("aria-label"))


def test_two_pages_see_each_other_and_a_killed_server_loses_nothing(tmp_path: Path, visit) -> None:
    with open_design(tmp_path, "--no-solve") as opened:
        one, two = visit(opened), visit(opened)
        drag(one, "valley/end", (0, 10))
        shown = mass(one, "x-bass")
        expect(two.locator('[data-mass="x-bass"]')).to_have_text(shown)
        one.wait_for_timeout(700)
        stop(opened, signal.SIGKILL)
        one.wait_for_selector("body.gone")
        again = start(opened.design, tmp_path, "--no-solve")
        try:
            three = visit(again)
            assert "Taken up again" in str(three.locator("#bars").text_content())
            assert mass(three, "x-bass") == shown
            three.get_by_role("button", name="Go back to the file").click()
            settled(three)
            assert three.locator("#saved").text_content() == "saved"
            assert opened.design.read_text(encoding="utf-8") == text_of("fieldfare")
        finally:
            stop(again)


def test_a_preset_is_saved_as_a_file_of_ones_own(tmp_path: Path, visit) -> None:
    opened = start(Path("fieldfare"), tmp_path, "--no-solve")
    try:
        page = visit(opened)
        drag(page, "valley/end", (0, 10))
        page.click("#save")
        expect(page.locator("#saved")).to_have_text("saved")
        own = (tmp_path / "fieldfare.toml").read_text(encoding="utf-8")
        assert valley(own) != valley(text_of("fieldfare"))
    finally:
        stop(opened)


def test_the_program_ends_quietly_while_a_page_is_open(tmp_path: Path, visit) -> None:
    opened = start(Path("fieldfare"), tmp_path, "--no-solve")
    page = visit(opened)
    assert stop(opened, signal.SIGINT).replace("Close it here with Ctrl-C.", "").strip() == ""
    assert opened.process.returncode == 0
    page.wait_for_selector("body.gone")
    assert "The program has stopped" in str(page.locator("#said").text_content())

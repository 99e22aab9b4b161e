"""Many edits in order, memory that stays flat, and what is made from the page."""

from __future__ import annotations

import http.client
import json
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from playwright.sync_api import expect
from support.page import Opened, settled

from braces.design.load import parse


def resident_kb(pid: int) -> int:
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return int(status.split("VmRSS:", 1)[1].split()[0])


def sent(opened: Opened, table: object) -> http.client.HTTPConnection:
    link = http.client.HTTPConnection("127.0.0.1", opened.port, timeout=60)
    link.request("POST", "/api/edit", json.dumps(table), opened.headers)
    return link


def answered(link: http.client.HTTPConnection) -> dict:
    answer = json.loads(link.getresponse().read())
    link.close()
    return answer


def edit(opened: Opened, table: object) -> dict:
    return answered(sent(opened, table))


def test_twenty_edits_a_second_stay_in_order_and_memory_stays_flat(opened: Opened) -> None:
    count, pause_s = 200, 0.05
    view = edit(opened, {"kind": "write", "where": ["name"], "text": "Fieldfare", "brace": "x-bass"})
    handle = next(h for h in view["side"]["handles"] if h["key"] == "valley/end")

    def drag(k: int) -> http.client.HTTPConnection:
        table = {"kind": "drag", "picture": "side", "key": "valley/end", "gesture": f"g{k // 20}", "fine": True}
        place = {"u": handle["at"][0], "v": handle["at"][1] - 0.1 * (k % 30), "plate": "top", "brace": "x-bass"}
        return sent(opened, table | place)

    def burst() -> list[dict]:
        with ThreadPoolExecutor(48) as hands:
            waiting = []
            begun = time.perf_counter()
            for k in range(count):
                time.sleep(max(0.0, begun + k * pause_s - time.perf_counter()))
                waiting.append(hands.submit(answered, drag(k)))  # sent by this thread, in order
            return [w.result() for w in waiting]

    edit(opened, {"kind": "write", "where": ["name"], "text": "Fieldfare two", "brace": "x-bass"})
    for k in range(60):  # what is kept is kept by now
        answered(drag(k))
    before = resident_kb(opened.process.pid)
    answers = burst()
    after = resident_kb(opened.process.pid)
    assert [a["refusal"] for a in answers] == [""] * count
    numbers = [a["number"] for a in answers]
    assert numbers == sorted(numbers)
    last = edit(opened, {"kind": "write", "where": ["name"], "text": "Fieldfare", "brace": "x-bass"})
    label = next(h["label"] for h in last["side"]["handles"] if h["key"] == "valley/end")
    assert label.startswith(f"valley: {8.5 + 0.1 * ((count - 1) % 30):g} mm")
    assert after - before < 8_000, f"{before} kB before, {after} kB after {count} edits"


def test_products_are_made_from_the_saved_file_and_linked(opened: Opened, visit) -> None:
    page = visit(opened)
    page.get_by_label("templates", exact=True).uncheck()
    page.get_by_label("numbers", exact=True).check()
    page.get_by_label("drawings", exact=True).check()
    page.locator('[id="field-top/braces/0/height"]').fill("15.8")
    page.locator('[id="field-top/braces/0/height"]').press("Enter")
    settled(page)
    assert page.locator("#make-now").is_disabled()
    assert "save first" in str(page.locator("#make-said").text_content())
    page.click("#save")
    expect(page.locator("#saved")).to_have_text("saved")
    page.click("#make-now")
    link = page.get_by_role("link", name="summary.json")
    link.wait_for(timeout=60_000)
    made = opened.design.parent / "out" / "my-fieldfare"
    address = str(link.get_attribute("href"))
    answer = page.request.get(f"{opened.root}{address}")
    assert answer.body() == (made / "summary.json").read_bytes()
    drawing = page.request.get(
        f"{opened.root}{page.get_by_role('link', name='drawings/plan-top.svg').get_attribute('href')}"
    )
    assert "sandbox" in drawing.headers["content-security-policy"]
    design = parse(opened.design.read_text(encoding="utf-8")).design
    assert design.top.braces[0].height_mm == 15.8
    assert page.request.get(f"{opened.root}/made/{'0' * 32}/summary.json").status == 404

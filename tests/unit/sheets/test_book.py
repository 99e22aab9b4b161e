"""Whole sets of sheets as data: every sheet says what it is, no words are cut, lost or laid on each other's places."""

import re
from dataclasses import replace

import numpy as np
import pytest
from sheet_samples import all_drawings, plan, side_view

from braces.sheets.book import full_size_pages, tiled_pages
from braces.sheets.drawing import Label, Stroke
from braces.sheets.paper import PAPERS, PrinterScale
from braces.sheets.print_job import PrintJob
from braces.sheets.title_strip import SENTENCE

STRETCHED = PrinterScale(1.004, 0.9985)


@pytest.fixture(scope="module", params=[*PAPERS, "a4 corrected"])
def pages(request):
    name, *corrected = request.param.split()
    printer = STRETCHED if corrected else PrinterScale()
    return tiled_pages(all_drawings(), PrintJob("Wren 04", "3f9a1c2", PAPERS[name], printer))


def texts(page):
    return [m.text for m in page.labels]


def test_every_sheet_says_what_it_is(pages):
    for k, page in enumerate(pages, start=1):
        said = " ".join(texts(page))
        for part in ("Wren 04", "revision 3f9a1c2", f"sheet {k} of {len(pages)}", SENTENCE):
            assert part in said, (k, part)
        assert said.count("100 mm") >= 2
        if k > 1:
            assert "scale 1:1" in said


def test_letters_are_large_enough_and_on_the_paper(pages):
    for page in pages:
        for mark in page.marks:
            if isinstance(mark, Label):
                assert mark.height_mm >= 2.5
            x0, y0, x1, y1 = mark.ink
            assert min(x0, y0) > 5, mark
            assert x1 < page.width_mm - 5, mark
            assert y1 < page.height_mm - 5, mark


def test_pages_have_the_paper_s_size_in_the_file(pages):
    sizes = {tuple(np.round(p.file_size_mm, 9)) for p in pages}
    known = {(p.width_mm, p.height_mm) for p in PAPERS.values()}
    assert {tuple(sorted(s)) for s in sizes} <= known
    assert len({tuple(sorted(s)) for s in sizes}) == 1


def test_all_words_of_all_drawings_are_printed(pages):
    printed = {t for page in pages for t in texts(page)}
    for drawing in all_drawings():
        for label in drawing.labels:
            assert label.text in printed, (drawing.key, label.text)


def test_content_stays_off_the_strip_and_the_bars(pages):
    for page in pages[1:]:
        furniture = [m for m in page.marks if isinstance(m, Label) and m.layer == "sheet"]
        strip = [m for m in furniture if m.text in (SENTENCE, "100 mm", "4 in") or m.text.startswith("Wren 04")]
        for placement in page.placements:
            x0, y0, x1, y1 = placement.window
            for mark in strip:
                a, b, c, d = mark.ink
                assert c <= x0 or a >= x1 or d <= y0 or b >= y1


def test_pieces_on_a_sheet_do_not_overlap(pages):
    for page in pages:
        windows = [p.window for p in page.placements]
        for k, a in enumerate(windows):
            for b in windows[k + 1 :]:
                assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_the_cover_lists_every_sheet_and_names_every_tile(pages):
    said = texts(pages[0])
    numbers = {int(t) for t in said if re.fullmatch(r"\d+", t)}
    assert set(range(2, len(pages) + 1)) <= numbers
    tiles = [re.search(r"tile (\w+)$", p.title) for p in pages]
    for k, found in enumerate(tiles, start=1):
        if found:
            assert found[1] in said
            assert f"sheet {k}" in said


def test_neighbours_named_on_an_edge_are_the_ones_on_that_sheet(pages):
    for page in pages[1:]:
        for text in texts(page):
            found = re.fullmatch(r"(?:trim, over|under) (\w+) \(sheet (\d+)\)", text)
            if found:
                assert pages[int(found[2]) - 1].title.endswith(f"tile {found[1]}")


def register_marks(page):
    """Centres of the circles, in the drawing's mm."""
    (placement,) = page.placements
    circles = [m.points for m in page.marks if isinstance(m, Stroke) and m.layer == "sheet" and len(m.points) == 48]
    return {tuple(np.round(c.mean(axis=0) - (placement.x_mm, placement.y_mm), 6)) for c in circles}


def test_neighbours_have_the_same_register_marks_in_their_overlap(pages):
    tiles = [p for p in pages if ", tile " in p.title]
    assert len(tiles) > 1
    shared = 0
    for k, a in enumerate(tiles):
        for b in tiles[k + 1 :]:
            both = register_marks(a) & register_marks(b)
            named = any(t.split(" (")[0].endswith(" " + b.title.split()[-1]) and "(sheet" in t for t in texts(a))
            assert len(both) == (2 if named else 0)
            shared += named
    assert shared >= len(tiles) - 1


def test_full_size_pages_are_cut_to_their_drawing():
    pages = full_size_pages(all_drawings(), "Wren 04", "3f9a1c2")
    assert [p.title for p in pages] == [d.title for d in all_drawings()]
    for page, drawing in zip(pages, all_drawings(), strict=True):
        x0, y0, x1, y1 = drawing.ink
        assert page.width_mm - (x1 - x0) < 40 or page.width_mm == 210.0
        assert page.height_mm - (y1 - y0) < 60 or page.height_mm < 165
        (placement,) = page.placements
        a, b, c, d = placement.window
        assert a <= x0 + placement.x_mm
        assert x1 + placement.x_mm <= c
        assert b <= y0 + placement.y_mm
        assert y1 + placement.y_mm <= d


def test_only_plans_or_only_strips_are_fine():
    job = PrintJob("Wren 04", "3f9a1c2", PAPERS["a4"], PrinterScale())
    assert len(tiled_pages([plan()], job)) > 2
    assert len(tiled_pages([side_view("bar", 200, 15)], job)) == 2
    assert not any("join letter" in t for t in texts(tiled_pages([side_view("bar", 200, 15)], job)[0]))


def test_the_cover_says_how_to_correct_and_what_is_corrected_already():
    plain, corrected = (
        " ".join(texts(tiled_pages([plan(2)], PrintJob("Wren 04", "3f9a1c2", PAPERS["a4"], printer))[0]))
        for printer in (PrinterScale(), PrinterScale.measured(99.6, 100.15))
    )
    assert "across for the lower bar" in plain
    assert "corrected for" not in plain
    assert "across = 99.60, up = 100.15 mm" in corrected


def test_a_long_list_goes_on_on_a_second_cover_sheet():
    plans = [replace(plan(6), key=f"plan-{k}", title=f"plan number {k} of a very long set") for k in range(12)]
    pages = tiled_pages(plans, PrintJob("Wren 04", "3f9a1c2", PAPERS["a4"], PrinterScale()))
    covers = [p for p in pages if p.title == pages[0].title]
    assert len(covers) > 1
    listed = {int(t) for p in covers for t in texts(p) if re.fullmatch(r"\d+", t)}
    assert set(range(len(covers) + 1, len(pages) + 1)) <= listed

"""The shop book on paper, read back and looked at by another library (PDFium): words, numbers, margins, room."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from itertools import combinations

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from support.designs import carved_of

from braces.app.workshop import bench_of, rim_drawings
from braces.reports.shop_book import book_page
from braces.sheets.paper import paper
from braces.sheets.shopbook.bench import deck_picture
from braces.sheets.shopbook.book_pdf import FOOT_MM, SIDE_MM, book_pdf
from braces.sheets.shopbook.figures import Figures
from braces.sheets.strength_plan import Plate
from braces.workshop.book.blocks import Book, Checks, Figure, Table, Warned, Words
from braces.workshop.book.book import shop_book

MM = 25.4 / 72
Box = tuple[float, float, float, float]
#: Every kind of book once: with laps and fingers, of short braces, with many braces, in inches, on both papers.
BOOKS = [
    ("fieldfare", "a4", False),
    ("fieldfare", "letter", True),
    ("wren", "letter", False),
    ("goshawk", "a4", False),
    ("redstart", "a4", True),
]
each_book = pytest.mark.parametrize(("name", "sheet", "inches"), BOOKS)


@cache
def made(name: str, sheet: str, inches: bool = False) -> tuple[Book, bytes]:
    carved = carved_of(name)
    work = bench_of(carved)
    book = shop_book(carved, work, "A 12345678", inches=inches)
    return book, book_pdf(book, Figures(carved, work.bars, rim_drawings(carved, work)), paper(sheet))


@cache
def opened(name: str, sheet: str, inches: bool = False) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(made(name, sheet, inches)[1])


def words_of(document: pypdfium2.PdfDocument) -> list[str]:
    """All words in their order, the feet of the pages left out."""
    words: list[str] = []
    for page in document:
        text = page.get_textpage().get_text_range()
        lines = [line for line in text.splitlines() if not re.search(r" · |page \d+ of \d+$", line)]
        words += " ".join(lines).split()
    return words


def text_boxes(page: pypdfium2.PdfPage) -> list[Box]:
    """Left, bottom, right and top in mm of every line of words."""
    found = page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT])
    return [tuple(v * MM for v in o.get_bounds()) for o in found]


def large_words(page: pypdfium2.PdfPage) -> list[str]:
    """The words in the letters of a chapter's heading: capitals of 5 mm."""
    text = page.get_textpage()
    return [
        text.get_text_bounded(*((v + s) / MM for v, s in zip(box, (-0.2, -0.2, 0.2, 0.2), strict=True))).strip()
        for box in text_boxes(page)
        if box[3] - box[1] > 4.5
    ]


def ink(page: pypdfium2.PdfPage) -> Box:
    """Left, bottom, right and top in mm of what is printed, at 144 dpi."""
    dark = np.array(page.render(scale=2, grayscale=True).to_pil()) < 160
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    k = MM / 2
    high = dark.shape[0]
    return columns[0] * k, (high - 1 - rows[-1]) * k, (columns[-1] + 1) * k, (high - rows[0]) * k


@each_book
def test_the_words_of_every_step_are_in_it_in_order(name: str, sheet: str, inches: bool) -> None:
    book, _ = made(name, sheet, inches)
    told = " " + " ".join(words_of(opened(name, sheet, inches))) + " "
    at = 0
    steps = next(c for c in book.chapters if c.anchor == "job").sections
    assert len(steps) > 15
    for step in steps:
        at = told.index(f" {step.title} ", at)
        for block in step.blocks:
            if isinstance(block, Words | Warned):
                assert f" {block.text} " in told[at:]
            elif isinstance(block, Checks):
                assert all(f" {item} " in told[at:] for item in block.items)


@each_book
def test_every_cell_of_every_table_is_in_it(name: str, sheet: str, inches: bool) -> None:
    book, _ = made(name, sheet, inches)
    there = Counter(words_of(opened(name, sheet, inches)))
    wanted: Counter[str] = Counter()
    for chapter in book.chapters:
        for block in chapter.every_block:
            if isinstance(block, Table):
                wanted.update(word for row in block.rows for cell in row for word in cell.split())
    assert sum(wanted.values()) > 500
    assert not wanted - there


def test_both_books_say_the_same() -> None:
    book, _ = made("fieldfare", "a4")
    html = re.sub(r"<(style|svg)\b.*?</\1>", " ", book_page(book, {}), flags=re.DOTALL)
    there = set(words_of(opened("fieldfare", "a4")))
    for chapter in book.chapters:
        assert chapter.title in html
        for block in chapter.every_block:
            if isinstance(block, Words):
                assert set(block.text.split()) <= there
    assert len(re.findall(r"<h3\b", html)) == sum(len(c.sections) for c in book.chapters)


@each_book
def test_pages_are_numbered_and_carry_the_revision(name: str, sheet: str, inches: bool) -> None:
    document = opened(name, sheet, inches)
    for number, page in enumerate(document, 1):
        text = page.get_textpage().get_text_range()
        assert f"page {number} of {len(document)}" in text
        assert "revision A 12345678" in text


@each_book
def test_the_page_numbers_told_are_right(name: str, sheet: str, inches: bool) -> None:
    """The list of chapters on the front page, and the braces that a step names."""
    book, _ = made(name, sheet, inches)
    document = opened(name, sheet, inches)
    texts = [" ".join(page.get_textpage().get_text_range().split()) for page in document]
    for chapter in book.chapters:
        told = re.search(rf"{chapter.title} (\d+)\b", texts[0])
        assert told is not None
        assert chapter.title in large_words(document[int(told.group(1)) - 1])
    for title, number in re.findall(r"([a-z][\w ]*(?:-\w+)? \((?:top|back)\)), page (\d+)", " ".join(texts)):
        assert title.removeprefix("book: ") in texts[int(number) - 1]


@each_book
def test_nothing_is_outside_the_margins(name: str, sheet: str, inches: bool) -> None:
    for page in opened(name, sheet, inches):
        wide, high = (v * MM for v in page.get_size())
        left, low, right, top = ink(page)
        assert left >= SIDE_MM - 0.4
        assert right <= wide - SIDE_MM + 0.4
        assert top <= high - SIDE_MM + 0.6
        assert low >= 7.5  # the foot's words
        for box in text_boxes(page):
            assert box[1] >= FOOT_MM - 0.3 or box[3] < FOOT_MM - 3.0, "words run into the foot"


@each_book
def test_no_words_lie_over_others(name: str, sheet: str, inches: bool) -> None:
    for number, page in enumerate(opened(name, sheet, inches), 1):
        for a, b in combinations(text_boxes(page), 2):
            over = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            assert not (over[0] > 0.15 and over[1] > 0.15), (number, a, b)


@each_book
def test_no_page_is_only_half_useful(name: str, sheet: str, inches: bool) -> None:
    for number, page in enumerate(opened(name, sheet, inches), 1):
        high = page.get_size()[1] * MM
        body = np.array(page.render(scale=1, grayscale=True).to_pil()) < 200
        rows = np.flatnonzero(body.any(axis=1)) * MM
        lowest = rows[rows < high - FOOT_MM].max()
        assert (lowest - SIDE_MM) / (high - SIDE_MM - FOOT_MM) > 0.6, number


@each_book
def test_it_is_small_and_nothing_in_it_is_a_raster(name: str, sheet: str, inches: bool) -> None:
    assert len(made(name, sheet, inches)[1]) < 1_000_000  # asked: 5 MB
    for page in opened(name, sheet, inches):
        assert not list(page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE]))


def test_every_picture_of_the_book_is_made() -> None:
    carved = carved_of("fieldfare")
    work = bench_of(carved)
    figures = Figures(carved, work.bars, rim_drawings(carved, work))
    book, _ = made("fieldfare", "a4")
    keys = [b.key for c in book.chapters for b in c.every_block if isinstance(b, Figure)]
    assert len(keys) == 2 * 13 + 2 + 2 + 1  # side view and cut-out of each brace, tapes, decks, the side
    assert all(figures.has(k) for k in keys)
    assert not figures.has("side-brace-of-another")


def test_each_brace_stands_on_one_page() -> None:
    document = opened("fieldfare", "a4")
    texts = [page.get_textpage().get_text_range() for page in document]
    for brace in carved_of("fieldfare").braces:
        title = f"{brace.name} ({brace.plate})"
        pages = [t for t in texts if title in t.splitlines()]
        assert len(pages) == 1
        assert "Carving in stages" in pages[0]
        assert "where it lies" in pages[0]


def test_a_larger_sheet_shows_the_same_larger() -> None:
    small, large = opened("wren", "a4"), opened("wren", "a3")
    assert len(small) <= len(large) + 1  # the layout is as high as the shorter of A4 and Letter, or higher
    assert large[0].get_size()[0] * MM == pytest.approx(297.0, abs=0.01)  # ISO 216
    heights = [max(b[3] - b[1] for b in text_boxes(d[0])) for d in (small, large)]
    assert heights[1] / heights[0] == pytest.approx(2**0.5, rel=0.02)  # A3 over A4


def test_the_same_bytes_twice() -> None:
    first = made("wren", "a4")[1]
    made.cache_clear()
    assert made("wren", "a4")[1] == first


@pytest.mark.parametrize(("name", "sheet", "inches"), [("whimbrel", "letter", True), ("whimbrel", "a4", False)])
def test_bars_in_the_deck_are_never_too_small_for_their_numbers(name: str, sheet: str, inches: bool) -> None:
    """At the scale that is printed, at least 19 of 20 bars have their number: squeezed to 1:7 a third had none."""
    carved = carved_of(name)
    text = " ".join(words_of(opened(name, sheet, inches)))
    scales = [float(s) for s in re.findall(r"bars in the deck.{0,120}?scale 1:(\d+\.\d)", text)]
    work = bench_of(carved)
    assert len(scales) == len(work.bars) == 2
    for bars, scale in zip(work.bars, scales, strict=True):
        high_mm = carved.placed.design.body.length_mm / scale + 2.0
        shown = deck_picture(Plate(carved, bars.plate), bars, 200.0, high_mm).drawing.labels
        assert len(shown) >= 0.95 * len(bars.places), scale


@pytest.mark.parametrize(("name", "sheet"), [("fieldfare", "a4"), ("wren", "letter")])
def test_bookmarks_lead_to_the_pages_of_their_headings(name: str, sheet: str) -> None:
    """Read back by PDFium: every chapter and section, in the book's order, on the page where its heading is printed."""
    book, _ = made(name, sheet)
    document = opened(name, sheet)
    marks = list(document.get_toc())
    assert [m.get_title() for m in marks] == [
        t for c in book.chapters for t in (c.title, *(s.title for s in c.sections))
    ]
    for mark in marks:
        place = mark.get_dest()
        assert place is not None
        text = document[place.get_index()].get_textpage().get_text_bounded()
        words = re.sub(r"\s+", "", text)
        assert re.sub(r"\s+", "", mark.get_title()) in words

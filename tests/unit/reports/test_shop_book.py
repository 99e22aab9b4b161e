"""The shop book: one whole file, everything in it from the design, links that lead somewhere."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from functools import cache
from html.parser import HTMLParser

import pytest
from support.designs import carved_of

from braces.reports.book_html import picture, table
from braces.reports.shop_book import book_page
from braces.sheets.content import drawings
from braces.sheets.svg import svg
from braces.workshop.bench import BenchSpec, bench
from braces.workshop.book.blocks import Book, Checks, Warned, Words
from braces.workshop.book.book import shop_book
from braces.workshop.order import steps
from braces.workshop.props import PropSpec
from braces.workshop.rim import FlatBout, RimSpec

VOID = {"meta", "input"}


class Reader(HTMLParser):
    """Checks that every tag is closed in order; keeps ids, links, words and boxes."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.sources: list[str] = []
        self.words: list[str] = []
        self.boxes = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if "id" in found:
            self.ids.append(str(found["id"]))
        if tag == "a":
            self.links.append(str(found["href"]))
        self.sources += [str(v) for k, v in attrs if k in ("src", "srcset", "data", "xlink:href")]
        self.boxes += tag == "input"
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        pass

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)


@cache
def made(name: str, inches: bool = False) -> tuple[Book, str]:
    carved = carved_of(name)
    work = bench(carved, BenchSpec(props=(PropSpec(100.0, 380.0),) if name == "fieldfare" else ()))
    book = shop_book(carved, work, "A 12345678", inches=inches)
    svgs = {
        f"{kind}-brace-{d.key.removeprefix('brace-')}": (svg(d), d.face)
        for d in drawings(carved)
        for kind in ("side", "cut")
        if d.key.startswith("brace-")
    }
    return book, book_page(book, svgs)


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    reader.close()
    assert reader.open == []
    return reader


@pytest.mark.parametrize("name", ["fieldfare", "dunnock", "goshawk", "linnet", "wren"])
def test_one_whole_file_with_live_links(name: str) -> None:
    _, text = made(name)
    reader = read(text)
    assert len(set(reader.ids)) == len(reader.ids)
    assert {link.removeprefix("#") for link in reader.links} <= set(reader.ids)
    assert all(link.startswith("#") for link in reader.links)
    assert reader.sources == []  # nothing is fetched from elsewhere
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
    assert len(text.encode()) < 5e6


def test_every_step_check_and_brace_is_in_it() -> None:
    carved = carved_of("fieldfare")
    book, text = made("fieldfare")
    reader = read(text)
    words = " ".join(reader.words)
    steps = book.chapters[0].sections
    boxes = 0
    for step in steps:
        assert step.title in words
        for block in step.blocks:
            match block:
                case Words(said, _) | Warned(said):
                    assert said in words
                case Checks(items):
                    boxes += len(items)
                    assert all(i in words for i in items)
    assert reader.boxes == boxes > 20
    for b in carved.braces:
        assert f"{b.name} ({b.plate})" in words
        assert f"{b.length_mm:.1f}".rstrip("0").rstrip(".") in words
    assert text.count("<svg") == 2 * len(carved.braces)  # a side view and a cut-out for each
    assert "revision A 12345678" in words
    assert "drawn out through the soundhole" in words


def test_first_warning_in_full_then_a_line_that_leads_back() -> None:
    carved = carved_of("fieldfare")
    text = made("fieldfare")[1]
    job = text[text.index('id="job"') : text.index('id="stock"')]
    dust = next(c for s in steps(carved, bench(carved)) for c in s.cautions if c.key == "dust")
    assert job.count(dust.text) == 1
    assert job.count(": dust.") >= 3


def test_inches_stand_beside_mm_if_asked() -> None:
    assert "(16 1/16 in)" in made("fieldfare", inches=True)[1]  # the X brace: 407.9 mm
    assert " in)" not in made("fieldfare")[1]


def test_the_same_book_twice() -> None:
    carved = carved_of("dunnock")
    first, again = (book_page(shop_book(carved, bench(carved), "A"), {}) for _ in range(2))
    assert first == again


def test_a_book_without_pictures_and_with_a_part_missing() -> None:
    carved = carved_of("fieldfare")
    work = bench(carved, BenchSpec(rim=RimSpec(flat_bout=FlatBout(900.0))))
    text = book_page(shop_book(carved, work, "A"), {})
    assert "<svg" not in text
    assert "Not worked out: rim" in " ".join(read(text).words)


def test_fonts_travel_in_the_file() -> None:
    carved = carved_of("dunnock")
    book = shop_book(carved, bench(carved), "A")
    text = book_page(book, {}, fonts={"400": b"abc", "700": b"def"})
    assert "data:font/ttf;base64,YWJj" in text
    assert text.count("@font-face") == 2
    assert "@font-face" not in book_page(book, {})


def test_a_picture_keeps_its_drawing_but_neither_size_nor_check_bar() -> None:
    drawing = drawings(carved_of("dunnock"))[2]
    whole = svg(drawing)
    inside = picture(whole, 'a "brace" & more')
    root = ET.fromstring(inside[inside.index("<svg") : inside.index("</svg>") + 6])
    assert "width" not in root.attrib
    assert root.attrib["style"].startswith("max-width:")
    assert root.attrib["aria-label"] == 'a "brace" & more'
    paths = len(ET.fromstring(whole).findall(".//{*}path"))
    assert len(root.findall(".//{*}path")) == paths - 3  # the bar and its two ends
    assert ">100 mm<" not in inside
    assert 'id="' not in inside


def test_tables_set_numbers_flush_and_escape_words() -> None:
    text = table("a < b", ("name", "long"), [["x & y", "12"]])
    assert "a &lt; b" in text
    assert '<td>x &amp; y</td><td class="n">12</td>' in text

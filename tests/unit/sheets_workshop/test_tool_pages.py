"""Pages of shop tools: a page for each, nothing clipped, no words over other words, dimensions true to the part."""

import io
import itertools
from functools import cache
from math import hypot

import pikepdf
import pytest
from support.designs import carved_of
from support.tool_parts import SETTINGS

from braces.app.tool_cards import cards_of as tool_cards
from braces.sheets.drawing import Box, Label, Stroke
from braces.sheets.paper import PrinterScale, paper
from braces.sheets.print_job import Pose, PrintJob
from braces.sheets.tool_card import ToolCard, ToolDim
from braces.sheets.tool_contents import contents
from braces.sheets.tool_dims import dimension
from braces.sheets.tool_pages import FACE, page_marks, tools_pdf
from braces.solids.tools.registry import TOOLS, tool_rows
from braces.solids.tools.settings import ToolSettings


@cache
def cards_of(name: str) -> list[ToolCard]:
    settings = SETTINGS if name == "fieldfare" else ToolSettings(mark="ab12cd34")
    found: list[ToolCard] = []
    for tool in TOOLS:
        parts = tool.make(carved_of(name), settings)
        found += tool_cards(tool.title, parts, tool_rows(parts, settings), settings)
    return found


def job(size: str) -> PrintJob:
    return PrintJob("Fieldfare", "A ab12cd34", paper(size), PrinterScale())


def room(size: str) -> Box:
    return job(size).window(Pose(landscape=True), "shop tools", FACE)


def over(a: Box, b: Box) -> bool:
    e = 0.15
    return a[0] < b[2] - e and b[0] < a[2] - e and a[1] < b[3] - e and b[1] < a[3] - e


def faults(marks, where: Box) -> list[str]:
    found = []
    for m in marks:
        x0, y0, x1, y1 = m.ink
        if x0 < where[0] - 0.2 or y0 < where[1] - 0.2 or x1 > where[2] + 0.2 or y1 > where[3] + 0.2:
            found.append(f"outside: {getattr(m, 'text', 'a line')}")
    labels = [m for m in marks if isinstance(m, Label)]
    found += [f"{a.text} over {b.text}" for a, b in itertools.combinations(labels, 2) if over(a.ink, b.ink)]
    return found


@pytest.mark.parametrize(("name", "size"), [("fieldfare", "a4"), ("fieldfare", "letter"), ("wren", "letter")])
def test_nothing_is_clipped_and_no_words_lie_on_others(name, size):
    where = room(size)
    for card in cards_of(name):
        marks, scale = page_marks(card, where)
        assert not faults(marks, where), card.title
        assert scale in ("2:1", "1:1", "1:2", "1:5", "1:10")


def test_the_check_does_find_faults():
    where = room("a4")
    marks = [Label(where[0] - 5, where[1] + 5, "left"), Label(where[0] - 4, where[1] + 5.5, "over it")]
    assert len(faults(marks, where)) == 3


def test_a_page_for_each_and_the_contents_name_it():
    cards = cards_of("wren")
    with pikepdf.open(io.BytesIO(tools_pdf(cards, job("a4")))) as pdf:
        pages = len(pdf.pages)
    tables = contents(cards, room("a4"))
    assert pages == len(cards) + len(tables)
    words = [m.text for page in tables for m in page if isinstance(m, Label)]
    for sheet in range(len(tables) + 1, pages + 1):
        assert str(sheet) in words
    for page in tables:
        assert not faults(page, room("a4"))


def test_bars_cut_from_stock_share_a_page():
    parts = next(t for t in TOOLS if t.key == "go-bar").make(carved_of("fieldfare"), SETTINGS)
    (bars,) = [c for c in cards_of("fieldfare") if c.title.startswith("go-bars")]
    stock = [p for p in parts if not p.printed]
    assert len(bars.facts) == len(stock) + 1 > 2
    assert bars.count == sum(p.count for p in stock)


def test_the_contents_add_up():
    cards = cards_of("wren")
    grams = sum(c.count * c.filament_g for c in cards)
    words = [m.text for page in contents(cards, room("a4")) for m in page if isinstance(m, Label)]
    assert f"{grams:.0f}" in words


def test_figures_are_the_lengths_between_their_arrows():
    for card in cards_of("fieldfare"):
        for view in (card.above, card.front, card.left, card.under):
            for dim in view.dims if view else ():
                if isinstance(dim, ToolDim):
                    length = hypot(dim.b[0] - dim.a[0], dim.b[1] - dim.a[1])
                    assert float(dim.text.split()[-1]) == pytest.approx(length, abs=0.0051)


@pytest.mark.parametrize(("b", "lines"), [((60.0, 0.0), 1), ((2.0, 0.0), 2)])
def test_short_dimensions_are_pointed_at_from_outside(b, lines):
    marks = dimension((0.0, 0.0), b, "12.5")
    strokes = [m for m in marks if isinstance(m, Stroke)]
    assert len(strokes) == lines + 2  # and two arrows
    xs = [float(x) for s in strokes for x in s.points[:, 0]]
    assert (min(xs) < 0) == (lines == 2)

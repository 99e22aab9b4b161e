"""The shop book of a design: its pictures, and the two files it is written to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from braces.app.study import Study
from braces.app.tools import tool_names
from braces.app.workshop import fonts, rim_drawings
from braces.carved.values import Carved
from braces.workshop.bench import Bench
from braces.workshop.book.blocks import Block, Book, Figure
from braces.workshop.book.tools import Tools

_PAGE_MM, _COLUMN_MM = 186.0, 88.5  #: widths of pictures in the HTML book: those of an A4 page
_HIGH_MM, _CUT_OUT_MM = 150.0, 90.0


def told_tools(study: Study, rows: Sequence[dict[str, Any]] | None) -> Tools:
    """Return what the book says of tools: those that were made, else what there is to be made."""
    if rows is not None:
        return Tools(tuple((str(r["title"]), str(r["count"]), str(r["note"])) for r in rows), made=True)
    wanted = study.loaded.design.tools if study.loaded else None
    named = {k: what for k, what in tool_names().items() if wanted is None or not wanted.make or k in wanted.make}
    return Tools(tuple((key.replace("-", " "), "", what) for key, what in named.items()), made=False)


def book_files(book: Book, carved: Carved, bench: Bench, paper_name: str) -> dict[str, bytes]:
    """Return the book as HTML and as PDF on sheets of a paper."""
    from braces.reports.shop_book import book_page
    from braces.sheets.paper import paper
    from braces.sheets.shopbook.book_pdf import book_pdf
    from braces.sheets.shopbook.figures import Figures
    from braces.sheets.svg import picture_svg

    figures = Figures(carved, bench.bars, rim_drawings(carved, bench))
    svgs: dict[str, tuple[str | bytes, str]] = {}
    for key in (f.key for f in _figures(book) if figures.has(f.key)):
        wide = _PAGE_MM if figures.is_wide(key) else _COLUMN_MM
        high = _CUT_OUT_MM if figures.is_cut_out(key) else _HIGH_MM
        drawing = figures.picture(key, wide, high).drawing
        svgs[key] = (picture_svg(drawing), drawing.face)
    return {
        "shop-book.html": book_page(book, svgs, fonts()).encode(),
        "shop-book.pdf": book_pdf(book, figures, paper(paper_name)),
    }


def _figures(book: Book) -> list[Figure]:
    blocks: list[Block] = [*book.pictures]
    blocks += [b for chapter in book.chapters for b in chapter.every_block]
    return [b for b in blocks if isinstance(b, Figure)]

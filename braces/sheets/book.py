"""The two PDFs of templates: each drawing on a page of its own size, and all on sheets of one paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from braces.sheets.check_bars import LENGTH_MM
from braces.sheets.cover import Entry, cover_drafts, steps
from braces.sheets.drawing import Drawing
from braces.sheets.page import Page, shown
from braces.sheets.paper import MARGIN_MM, Paper, PrinterScale
from braces.sheets.pdf import pdf
from braces.sheets.print_job import PrintJob
from braces.sheets.strip_pages import contents, nest_drafts, nested
from braces.sheets.tile_map import TileMap
from braces.sheets.tile_pages import plan_drafts, plan_layout
from braces.sheets.title_strip import StripWords, frame

_TRUE = PrinterScale()
#: The narrowest full-size page, so that the strip has room.
_NARROWEST_MM = 210.0
_CLEAR_MM = 2.0


def full_size_pdf(drawings: Sequence[Drawing], instrument: str, revision: str, printer: PrinterScale = _TRUE) -> bytes:
    """Return a PDF with one page per drawing, cut to the drawing and its strip."""
    return pdf(full_size_pages(drawings, instrument, revision, printer), f"{instrument}: full-size templates")


def tiled_pdf(
    drawings: Sequence[Drawing], paper: Paper, instrument: str, revision: str, printer: PrinterScale = _TRUE
) -> bytes:
    """Return a PDF on sheets of ``paper``: a cover, the tiles of every plan, the side views nested."""
    pages = tiled_pages(drawings, PrintJob(instrument, revision, paper, printer))
    return pdf(pages, f"{instrument}: templates on {paper.title}")


def full_size_pages(
    drawings: Sequence[Drawing], instrument: str, revision: str, printer: PrinterScale = _TRUE
) -> tuple[Page, ...]:
    """Return the pages of ``full_size_pdf``."""
    return tuple(
        _full_page(d, instrument, revision, printer, f"sheet {k} of {len(drawings)}")
        for k, d in enumerate(drawings, start=1)
    )


def _full_page(drawing: Drawing, instrument: str, revision: str, printer: PrinterScale, sheet: str) -> Page:
    words = StripWords(instrument, revision, drawing.title, drawing.face, sheet, "page 8888 × 8888 mm")
    x0, y0, x1, y1 = drawing.ink
    # The strip's height depends on the page's width only, so a high page tells how much it takes.
    left = frame(_NARROWEST_MM, 1000.0, words).window[0]
    width = max(_NARROWEST_MM, x1 - x0 + left + MARGIN_MM + 2 * _CLEAR_MM)
    low = frame(width, 1000.0, words).window[1]
    height = low + max(LENGTH_MM + 1, y1 - y0 + 2 * _CLEAR_MM) + MARGIN_MM
    strip = frame(width, height, replace(words, paper=f"page {width:.0f} × {height:.0f} mm"))
    room = strip.window
    placement, labels = shown(drawing, (room[0] + room[2] - x0 - x1) / 2, (room[1] + room[3] - y0 - y1) / 2, room)
    x_ratio, y_ratio = printer.on(width > height)
    return Page(drawing.title, width, height, labels + strip.marks, (placement,), x_ratio, y_ratio)


def tiled_pages(drawings: Sequence[Drawing], job: PrintJob) -> tuple[Page, ...]:
    """Return the pages of ``tiled_pdf``."""
    plans = [(d, plan_layout(d, job)) for d in drawings if d.kind == "plan"]
    nest = nested([d for d in drawings if d.kind == "strip"], job)
    content_count = sum(len(layout.tiles) for _, layout in plans) + nest.page_count
    todo = steps(any(len(layout.tiles) > 1 for _, layout in plans), nest.join_count > 0, job.printer)

    # The list may need more than one cover sheet, which shifts all numbers.
    cover_count = 1
    while True:
        maps, entries = [], []
        number = cover_count + 1
        for drawing, layout in plans:
            maps.append(TileMap(drawing, layout, number))
            for tile in layout.tiles:
                entries.append(Entry(number, f"{drawing.title}, tile {tile.name}"))
                number += 1
        for page in range(nest.page_count):
            entries.append(Entry(number, contents(nest, page)))
            number += 1
        covers = cover_drafts(job, todo, maps, entries, cover_count + content_count)
        if len(covers) == cover_count:
            break
        cover_count = len(covers)
    drafts = [*covers]
    for plan in maps:
        drafts += plan_drafts(plan.drawing, plan.layout, job, plan.first_sheet)
    drafts += nest_drafts(nest, job)
    return tuple(job.page(d, k, len(drafts)) for k, d in enumerate(drafts, start=1))

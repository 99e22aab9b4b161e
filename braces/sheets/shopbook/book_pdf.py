"""The shop book as a PDF: laid out as often as its page numbers ask, then numbered."""

from __future__ import annotations

from typing import Final

from braces.sheets.drawing import Box, Label, Mark, polyline
from braces.sheets.page import Page
from braces.sheets.paper import Paper
from braces.sheets.pdf import Bookmark, pdf
from braces.sheets.shopbook.figures import Figures
from braces.sheets.shopbook.flow import Flow, column_width_mm
from braces.sheets.shopbook.layout import laid_out
from braces.sheets.shopbook.pieces import Piece
from braces.sheets.shopbook.setting import Setting
from braces.sheets.strength_leaf import Folder, magnified
from braces.workshop.book.blocks import Book

SIDE_MM: Final = 12.0  #: margin left, right and above
FOOT_MM: Final = 16.5  #: margin below, the line of the foot in it
_RULE_MM, _WORDS_MM, _TEXT_MM = 13.0, 8.8, 2.1
_ROUNDS = 4
_PICTURE_MM = 116.0  #: height of pictures in columns; they shrink at the foot of a page


def book_pdf(book: Book, figures: Figures, paper: Paper) -> bytes:
    """Return the book on sheets of a paper, always the same bytes; a larger sheet than A4 shows it magnified."""
    folder = Folder(book.name, book.revision, paper)
    wide, high = folder.size_mm(landscape=False)
    flow = _settled(book, figures, (SIDE_MM, FOOT_MM, wide - SIDE_MM, high - SIDE_MM))
    pages = [_page(book, flow, k, folder) for k in range(len(flow.pages))]
    return pdf(pages, f"{book.name}: shop book", _bookmarks(book, flow))


def _bookmarks(book: Book, flow: Flow) -> list[Bookmark]:
    """Chapters, and under them their sections."""
    on = _pages_of(flow)
    return [
        Bookmark(c.title, on[c.anchor], tuple(Bookmark(s.title, on[s.anchor]) for s in c.sections if s.anchor in on))
        for c in book.chapters
        if c.anchor in on
    ]


def _pages_of(flow: Flow) -> dict[str, int]:
    """The page, from 0, on which each heading stands."""
    return {s.piece.anchor: k for k, page in enumerate(flow.pages) for s in page if s.piece.anchor}


def _settled(book: Book, figures: Figures, window: Box) -> Flow:
    """The book laid out again until every page that it names is right."""
    units: dict[tuple[str, float], list[Piece]] = {}
    pages: dict[str, int] = {}
    for _ in range(_ROUNDS):
        width = window[2] - window[0]
        setting = Setting(width, column_width_mm(window), figures, pages, _PICTURE_MM, False, units)
        flow = laid_out(book, setting, window)
        found = {anchor: k + 1 for anchor, k in _pages_of(flow).items()}
        if found == pages:
            break
        pages = found
    return flow


def _page(book: Book, flow: Flow, index: int, folder: Folder) -> Page:
    wide, high = folder.size_mm(landscape=False)
    k = folder.magnification_ratio
    marks: list[Mark] = [m for s in flow.pages[index] for m in s.piece.at(s.x_mm, s.y_mm)]
    title = _chapter_on(book, flow, index)
    left, right = SIDE_MM, wide - SIDE_MM
    marks.append(polyline([(left, _RULE_MM), (right, _RULE_MM)], "sheet"))
    marks.append(Label(left, _WORDS_MM, f"{book.name} · {title}", _TEXT_MM, layer="sheet"))
    words = f"revision {book.revision} · page {index + 1} of {len(flow.pages)}"
    marks.append(Label(right, _WORDS_MM, words, _TEXT_MM, anchor="end", layer="sheet"))
    return Page(title, wide * k, high * k, tuple(magnified(m, k) for m in marks))


def _chapter_on(book: Book, flow: Flow, index: int) -> str:
    """The chapter that a page is in where it ends."""
    titles = {c.anchor: c.title for c in book.chapters}
    title = "shop book"
    for page in flow.pages[: index + 1]:
        for s in page:
            title = titles.get(s.piece.anchor, title)
    return title

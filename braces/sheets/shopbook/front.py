"""The front page: what it is, both braced plates, what is in it."""

from __future__ import annotations

from dataclasses import replace

from braces.sheets.drawing import Box, Label, Mark, polyline
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm, wrapped
from braces.sheets.shopbook import pieces as p
from braces.sheets.shopbook.pieces import Piece
from braces.sheets.shopbook.setting import Setting
from braces.sheets.strength_block import Block, lines
from braces.workshop.book.blocks import Book

_NAME_MM, _ABOUT_MM = 12.0, 3.4
_LINE_MM = 5.2
_TALLEST_MM = 150.0
_CAPTION_MM = 9.0


def front_pieces(book: Book, setting: Setting, window: Box) -> list[Piece]:
    """Return the pieces of the front page, its pictures as large as the rest leaves room for."""
    wide = setting.page_mm
    title = [_title(book, wide)]
    rest = [_contents(book, setting), *(q for block in book.front for q in setting.block(block, wide=True))]
    rest = [replace(q, wide=True) for q in rest]
    used = sum(q.height_mm + q.gap_mm for q in (*title, *rest))
    room = window[3] - window[1] - used - _CAPTION_MM - 10.0
    pictures: list[Piece] = []
    for figure in book.pictures:
        if setting.figures.has(figure.key) and room > 0:
            pictures += setting.figure(figure, setting.column_mm, min(room, _TALLEST_MM), wide=False)
    return [*title, *pictures, *rest]


def _title(book: Book, width_mm: float) -> Piece:
    marks: list[Mark] = []
    y = 0.0
    for row in wrapped(book.name, width_mm, _NAME_MM, bold=True):
        y -= ABOVE_RATIO * _NAME_MM
        marks.append(Label(0.0, y, row, _NAME_MM, bold=True))
        y -= BELOW_RATIO * _NAME_MM
    words = lines([f"{book.about}, revision {book.revision}"], width_mm, _ABOUT_MM)
    marks += words.at(0.0, y)
    return p.piece(Block(tuple(marks), width_mm, words.height_mm - y), wide=True)


def _contents(book: Book, setting: Setting) -> Piece:
    """Chapters with their pages, in two columns."""
    size = p.TEXT_MM
    count = len(book.chapters)
    deep = -(-count // 2)
    marks: list[Mark] = []
    step = setting.page_mm - setting.column_mm
    for k, chapter in enumerate(book.chapters):
        x, y = (k // deep) * step, -ABOVE_RATIO * size - (k % deep) * _LINE_MM
        page = str(setting.pages.get(chapter.anchor, 0))
        marks.append(Label(x, y, chapter.title, size))
        marks.append(Label(x + setting.column_mm, y, page, size, anchor="end"))
        left = x + text_width_mm(chapter.title, size) + 2.0
        right = x + setting.column_mm - text_width_mm(page, size) - 2.0
        marks.append(polyline([(left, y + 0.2), (right, y + 0.2)], "dim"))
    high = (ABOVE_RATIO + BELOW_RATIO) * size + (deep - 1) * _LINE_MM
    return p.piece(Block(tuple(marks), setting.page_mm, high), 6.0, wide=True)

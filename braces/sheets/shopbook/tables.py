"""Tables as pieces: words are broken where the column is too narrow for them, the heading stands above every part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from braces.sheets.drawing import Label, Mark, moved_mark, polyline
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm, wrapped
from braces.sheets.shopbook.pieces import SMALL_MM, Piece, piece
from braces.sheets.strength_block import PITCH_RATIO, Block
from braces.workshop.book.blocks import Table

_GAP_MM = 2.6  #: between columns, at least
_WIDEST_GAP_MM = 14.0
_ROW_GAP_MM = 0.5
_FIRST_GAP_MM = 3.5  #: above a table without heading
_WRITING_MM = 1.7  #: more height of a row to write in
_RULE_MM = 1.0
_LEAST_COLUMN_MM = 14.0  #: words are not broken to less than this
_SHORT_ROWS, _WHOLE_ROWS = 5, 12  #: rows of a table that is not broken in a column
_SENTENCE_MM = 32.0  #: a column with longer cells holds sentences, not names


def natural_width_mm(table: Table) -> float:
    """Return how wide a table is with no cell broken."""
    return sum(_natural(table)) + _GAP_MM * (len(table.head) - 1)


@lru_cache(maxsize=512)
def fits_column(table: Table, width_mm: float) -> bool:
    """Return whether a table can stand in a column of a width: only cells of sentences may be broken."""
    if not any(table.head):
        return True
    words = _natural(table)[: len(table.head) - table.numbers_count]
    return natural_width_mm(table) - sum(max(0.0, w - _SENTENCE_MM) for w in words) <= width_mm


@lru_cache(maxsize=512)  # a book is laid out more than once
def table_pieces(table: Table, width_mm: float, wide: bool, whole: bool = False) -> tuple[Piece, ...]:
    """Return caption, heading and rows; rows stay with the heading and the last two together.

    A short table in a column is not broken at all, and with ``whole`` neither is a longer one.
    """
    widths, gap = _widths(table, width_mm)
    full = min(width_mm, sum(widths) + gap * (len(widths) - 1))
    head = _heading(table, widths, gap, full, width_mm, wide)
    rows = [_row(table, r, widths, gap, SMALL_MM + 0.1) for r in table.rows]
    if table.written:
        rows = [_ruled(block, full) for block in rows]
    out: list[Piece] = [] if head is None else [head]
    most = _WHOLE_ROWS if whole else _SHORT_ROWS
    for k, block in enumerate(rows):
        held = k == 0 or k == len(rows) - 2 or (len(rows) <= most and not wide)
        first = _FIRST_GAP_MM if head is None and k == 0 else _ROW_GAP_MM
        out.append(replace(piece(block, first, wide, keep_next=held and k < len(rows) - 1), head=head))
    return tuple(out)


def _ruled(row: Block, width_mm: float) -> Block:
    """A row to be written in: higher, over a line."""
    y = -row.height_mm - _WRITING_MM
    marks = (*(moved_mark(m, 0.0, -_WRITING_MM) for m in row.marks), polyline([(0.0, y), (width_mm, y)], "dim"))
    return Block(marks, row.width_mm, -y)


def _natural(table: Table) -> list[float]:
    """The width of every column with no cell broken, headings broken to two lines where they can be."""
    size = SMALL_MM + 0.1
    widths = []
    for i, title in enumerate(table.head):
        own = max((text_width_mm(row[i], size) for row in table.rows), default=0.0)
        words = max((text_width_mm(w, size, bold=True) for w in title.split()), default=0.0)
        half = text_width_mm(title, size, bold=True) * 0.62 if len(title.split()) > 1 else 0.0
        widths.append(max(own, words, half))
    return widths


def _widths(table: Table, width_mm: float) -> tuple[list[float], float]:
    """Column widths and the gap between: the widest columns of words give way until all fit."""
    widths = _natural(table)
    count = len(widths)
    room = width_mm - _GAP_MM * (count - 1)
    if table.written:
        even = (room - widths[0]) / (count - 1)
        return [widths[0], *[even] * (count - 1)], _GAP_MM
    words = list(range(count - table.numbers_count)) or list(range(count))
    while sum(widths) > room + 1e-6:
        most = max(widths[i] for i in words)
        widest = [i for i in words if widths[i] > most - 1e-6]
        lower = max((widths[i] for i in words if widths[i] <= most - 1e-6), default=0.0)
        cut = min((sum(widths) - room) / len(widest), most - lower)
        if most - cut < _LEAST_COLUMN_MM / 2:
            break
        for i in widest:
            widths[i] -= cut
    spare = (width_mm - sum(widths)) / max(1, count - 1)
    return widths, min(max(_GAP_MM, spare), _WIDEST_GAP_MM)


def _heading(
    table: Table, widths: Sequence[float], gap: float, full: float, width_mm: float, wide: bool
) -> Piece | None:
    marks: list[Mark] = []
    y = 0.0
    if table.caption:
        rows = wrapped(table.caption, width_mm, SMALL_MM + 0.1, bold=True)
        for k, text in enumerate(rows):
            at = -ABOVE_RATIO * SMALL_MM - k * PITCH_RATIO * SMALL_MM
            marks.append(Label(0.0, at, text, SMALL_MM + 0.1, bold=True))
        y = -(ABOVE_RATIO + BELOW_RATIO + (len(rows) - 1) * PITCH_RATIO) * SMALL_MM - 0.8
    if any(table.head):
        block = _row(table, table.head, widths, gap, SMALL_MM + 0.1, bold=True)
        marks += block.at(0.0, y)
        y -= block.height_mm + _RULE_MM / 2
        marks.append(polyline([(0.0, y), (full, y)], "note"))
        y -= _RULE_MM / 2 - _ROW_GAP_MM / 2
    if not marks:
        return None
    return piece(Block(tuple(marks), width_mm, -y), 2.6, wide, keep_next=True)


def _row(
    table: Table, cells: Sequence[str], widths: Sequence[float], gap: float, size: float, bold: bool = False
) -> Block:
    """One row of cells, words broken to their columns; a heading's last lines stand level."""
    broken = [wrapped(text, wide + 0.01, size, bold) for text, wide in zip(cells, widths, strict=True)]
    high = max(1, *(len(b) for b in broken))
    first_number = len(cells) - table.numbers_count
    marks: list[Mark] = []
    x = 0.0
    for i, (rows, wide) in enumerate(zip(broken, widths, strict=True)):
        right = i >= first_number
        down = high - len(rows) if bold else 0
        for k, text in enumerate(rows):
            y = -ABOVE_RATIO * size - (k + down) * (PITCH_RATIO - 0.1) * size
            marks.append(Label(x + wide if right else x, y, text, size, anchor="end" if right else "start", bold=bold))
        x += wide + gap
    high_mm = (ABOVE_RATIO + BELOW_RATIO + (high - 1) * (PITCH_RATIO - 0.1)) * size
    return Block(tuple(marks), x - gap, high_mm)

"""Words, tables and rules laid out in boxes that a page is stacked from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from braces.sheets.drawing import Label, Mark, moved_mark, polyline
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm, wrapped

TEXT_MM = 2.5
HEAD_MM = 3.5
#: From one baseline to the next, in letter heights.
PITCH_RATIO = 1.7
_RULE_GAP_MM = 1.0
_LEAST_GAP_MM = 2.2


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Marks in a box: x from 0 to the width, y from minus the height up to 0."""

    marks: tuple[Mark, ...]
    width_mm: float
    height_mm: float

    def at(self, x_mm: float, y_mm: float) -> tuple[Mark, ...]:
        """Return the marks with the box's upper left corner at (x, y)."""
        return tuple(moved_mark(m, x_mm, y_mm) for m in self.marks)


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: the lines of its heading, and whether it is set flush left or right."""

    heading: tuple[str, ...]
    left: bool = False


def paragraph(text: str, width_mm: float, height_mm: float = TEXT_MM, bold: bool = False) -> Block:
    """Return words broken into lines of a width."""
    return lines(wrapped(text, width_mm, height_mm, bold), width_mm, height_mm, bold)


def lines(rows: Sequence[str], width_mm: float, height_mm: float = TEXT_MM, bold: bool = False) -> Block:
    """Return lines of words, one under the other."""
    top, pitch = ABOVE_RATIO * height_mm, PITCH_RATIO * height_mm
    labels = tuple(Label(0.0, -top - k * pitch, text, height_mm, bold=bold) for k, text in enumerate(rows) if text)
    return Block(labels, width_mm, top + (len(rows) - 1) * pitch + BELOW_RATIO * height_mm)


def heading(text: str, width_mm: float) -> Block:
    """Return a heading."""
    return paragraph(text, width_mm, HEAD_MM, bold=True)


def listing(items: Iterable[str], width_mm: float) -> Block:
    """Return paragraphs, each behind a dash."""
    indent = text_width_mm("– ", TEXT_MM)
    parts = []
    for text in items:
        body = paragraph(text, width_mm - indent)
        dash = Label(0.0, -ABOVE_RATIO * TEXT_MM, "–", TEXT_MM)
        parts.append(Block((dash, *body.at(indent, 0.0)), width_mm, body.height_mm))
    return stacked(parts, 1.4)


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], width_mm: float) -> Block:
    """Return a table with a rule under its heading, spread over a width or as wide as it must be."""
    high = max(len(c.heading) for c in columns)
    above = [("",) * (high - len(c.heading)) + c.heading for c in columns]
    cells = [tuple(a[k] for a in above) for k in range(high)] + [tuple(r) for r in rows]
    widths = [max(text_width_mm(r[i], TEXT_MM) for r in cells) for i in range(len(columns))]
    gap = max(_LEAST_GAP_MM, (width_mm - sum(widths)) / max(1, len(columns) - 1))
    top, pitch = ABOVE_RATIO * TEXT_MM, PITCH_RATIO * TEXT_MM
    marks: list[Mark] = []
    for k, row in enumerate(cells):
        y = -top - k * pitch - (2 * _RULE_GAP_MM if k >= high else 0.0)
        x = 0.0
        for column, wide, text in zip(columns, widths, row, strict=True):
            if text:
                at = x if column.left else x + wide
                marks.append(Label(at, y, text, TEXT_MM, anchor="start" if column.left else "end"))
            x += wide + gap
    full = sum(widths) + gap * (len(columns) - 1)
    rule = -top - (high - 1) * pitch - BELOW_RATIO * TEXT_MM - _RULE_GAP_MM
    marks.append(polyline([(0.0, rule), (full, rule)], "note"))
    return Block(tuple(marks), full, top + (len(cells) - 1) * pitch + 2 * _RULE_GAP_MM + BELOW_RATIO * TEXT_MM)


def table_height_mm(columns: Sequence[Column], count: int) -> float:
    """Return how high a table of ``count`` rows is."""
    lines_count = count + max(len(c.heading) for c in columns)
    return (ABOVE_RATIO + BELOW_RATIO + (lines_count - 1) * PITCH_RATIO) * TEXT_MM + 2 * _RULE_GAP_MM


def stacked(blocks: Sequence[Block], gap_mm: float) -> Block:
    """Return blocks one under the other."""
    marks: list[Mark] = []
    y = 0.0
    for block in blocks:
        marks += block.at(0.0, y)
        y -= block.height_mm + gap_mm
    return Block(tuple(marks), max((b.width_mm for b in blocks), default=0.0), max(0.0, -y - gap_mm))


def row(blocks: Sequence[Block], width_mm: float) -> Block:
    """Return blocks side by side at even distances."""
    step = width_mm / len(blocks)
    marks = tuple(m for k, b in enumerate(blocks) for m in b.at(k * step, 0.0))
    return Block(marks, width_mm, max(b.height_mm for b in blocks))


def in_columns(blocks: Sequence[Block], gap_mm: float, width_mm: float, between_mm: float, room_mm: float) -> Block:
    """Return blocks in two columns, the order kept, broken where the longer column is shortest.

    Every block is as wide as a column, (width - between) / 2. Gaps grow, to three times their size at most, so that
    both columns fill the room.
    """
    heights = [b.height_mm for b in blocks]

    def length(part: Sequence[float]) -> float:
        return sum(part) + gap_mm * max(0, len(part) - 1)

    cut = min(range(1, len(blocks) + 1), key=lambda k: max(length(heights[:k]), length(heights[k:])))
    marks: list[Mark] = []
    high = 0.0
    for part, x in ((blocks[:cut], 0.0), (blocks[cut:], (width_mm + between_mm) / 2)):
        spare = room_mm - sum(b.height_mm for b in part)
        column = stacked(part, min(max(gap_mm, spare / max(1, len(part) - 1)), 3 * gap_mm))
        marks += column.at(x, 0.0)
        high = max(high, column.height_mm)
    return Block(tuple(marks), width_mm, high)

"""Pages filled from the top down with blocks; a table goes on over the page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from braces.sheets.drawing import Box, Mark
from braces.sheets.strength_block import Block, Column, table, table_height_mm

GAP_MM: Final = 5.0
#: A table is not begun with fewer rows than this at the foot of a page.
LEAST_ROWS: Final = 4
_WIDER_MM = 10.0  #: a page with room to spare has its gaps wider by this at most


class Pile:
    """Blocks one under the other, page after page; ``y_mm`` is how far the last page has come."""

    def __init__(self, window: Box) -> None:
        self.window = window
        self.pages: list[list[tuple[float, Block]]] = []  #: the gap above each block, and the block
        self.turn()

    def turn(self) -> None:
        """Begin a page."""
        self.pages.append([])
        self.y_mm = self.window[3]

    @property
    def left_mm(self) -> float:
        """What is left of the page below a gap."""
        return self.y_mm - self.window[1] - (GAP_MM if self.pages[-1] else 0.0)

    def add(self, block: Block, gap_mm: float = GAP_MM) -> None:
        """Set a block below the last one."""
        gap = gap_mm if self.pages[-1] else 0.0
        if self.y_mm - gap - block.height_mm < self.window[1]:
            self.turn()
            gap = 0.0
        self.pages[-1].append((gap, block))
        self.y_mm -= gap + block.height_mm

    def add_table(self, columns: Sequence[Column], rows: Sequence[Sequence[str]], gap_mm: float = GAP_MM) -> None:
        """Set a table, broken between pages if it must be."""
        wide = self.window[2] - self.window[0]
        empty = table_height_mm(columns, 0)
        pitch = table_height_mm(columns, 1) - empty
        while rows:
            fit = int((self.left_mm - empty) / pitch + 1e-9)
            if fit < min(LEAST_ROWS, len(rows)) and self.pages[-1]:
                self.turn()
                continue
            fit = max(1, fit)
            self.add(table(columns, rows[:fit], wide), gap_mm)
            rows = rows[fit:]

    def marks(self, last_is_full: bool) -> list[tuple[Mark, ...]]:
        """Return the marks of every page; a page that is not full has its wide gaps wider."""
        out = []
        for k, page in enumerate(self.pages):
            used = sum(gap + block.height_mm for gap, block in page)
            wide = [gap >= GAP_MM for gap, _ in page]
            spare = self.window[3] - self.window[1] - used
            full = last_is_full and k == len(self.pages) - 1
            more = 0.0 if full or not any(wide) else min(_WIDER_MM, spare / sum(wide))
            marks: list[Mark] = []
            y = self.window[3]
            for (gap, block), grows in zip(page, wide, strict=True):
                y -= gap + (more if grows else 0.0)
                marks += block.at(self.window[0], y)
                y -= block.height_mm
            out.append(tuple(marks))
        return out

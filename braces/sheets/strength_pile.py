"""Pages filled from the top down with blocks; a table goes on over the page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from braces.sheets.drawing import Box, Mark
from braces.sheets.page import Placement
from braces.sheets.strength_block import Block, Column, table, table_height_mm

GAP_MM: Final = 5.0
#: A table is not begun with fewer rows than this at the foot of a page.
LEAST_ROWS: Final = 4


class Pile:
    """Blocks one under the other, page after page; ``y_mm`` is how far the last page has come."""

    def __init__(self, window: Box) -> None:
        self.window = window
        self.leaves: list[tuple[list[Mark], list[Placement]]] = []
        self.turn()

    def turn(self) -> None:
        """Begin a page."""
        self.leaves.append(([], []))
        self.y_mm = self.window[3]

    @property
    def left_mm(self) -> float:
        """What is left of the page below a gap."""
        return self.y_mm - self.window[1] - (GAP_MM if self.leaves[-1][0] else 0.0)

    def add(self, block: Block, gap_mm: float = GAP_MM) -> None:
        """Set a block below the last one."""
        gap = gap_mm if self.leaves[-1][0] else 0.0
        if self.y_mm - gap - block.height_mm < self.window[1]:
            self.turn()
            gap = 0.0
        self.y_mm -= gap
        self.leaves[-1][0].extend(block.at(self.window[0], self.y_mm))
        self.y_mm -= block.height_mm

    def add_table(self, columns: Sequence[Column], rows: Sequence[Sequence[str]], gap_mm: float = GAP_MM) -> None:
        """Set a table, broken between pages if it must be."""
        wide = self.window[2] - self.window[0]
        empty = table_height_mm(columns, 0)
        pitch = table_height_mm(columns, 1) - empty
        while rows:
            fit = int((self.left_mm - empty) / pitch + 1e-9)
            if fit < min(LEAST_ROWS, len(rows)) and self.leaves[-1][0]:
                self.turn()
                continue
            fit = max(1, fit)
            self.add(table(columns, rows[:fit], wide), gap_mm)
            rows = rows[fit:]

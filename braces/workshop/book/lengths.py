"""Lengths as the book writes them: in sentences with their unit, in tables under a heading that has it."""

from __future__ import annotations

from dataclasses import dataclass

from braces.base.units import inch_text, mm_text
from braces.workshop.order import length_words


@dataclass(frozen=True, slots=True)
class Lengths:
    """With ``inches``, inches to 1/64 stand beside mm.

    >>> Lengths(True).say(98.84), Lengths(True).cell(98.84), Lengths(True).unit
    ('98.8 mm (3 57/64 in)', '98.8 (3 57/64)', 'mm (in)')
    """

    inches: bool = False

    @property
    def unit(self) -> str:
        """What a table's heading says."""
        return "mm (in)" if self.inches else "mm"

    def say(self, value_mm: float, digits: int = 1) -> str:
        """Return a length in a sentence."""
        return length_words(value_mm, self.inches, digits)

    def cell(self, value_mm: float, digits: int = 1) -> str:
        """Return a length in a table: every number of a column with the same decimals."""
        text = f"{value_mm:.{digits}f}"
        text = text.removeprefix("-") if float(text) == 0 else text
        return f"{text} ({inch_text(value_mm)})" if self.inches else text

    def sizes(self, *values_mm: float) -> str:
        """Return length × width × height in a table."""
        text = " × ".join(mm_text(v) for v in values_mm)
        return f"{text} ({' × '.join(inch_text(v) for v in values_mm)})" if self.inches else text

"""Which unit a drawing is in: as asked, as the file says, or a question with both answers worked out."""

from __future__ import annotations

from math import hypot

from braces.base.problems import DesignError
from braces.base.units import MM_PER_UNIT, inch_text, mm_text
from braces.traced.pieces import refusal

#: Exact mm per unit: 1 in = 25.4 mm (ISO 80000-3); CSS: 96 px = 72 pt = 6 pc = 1 in, 1 q = 1/4 mm.
MM_PER_DRAWN_UNIT = {
    **MM_PER_UNIT,
    "px": 25.4 / 96,
    "pt": 25.4 / 72,
    "pc": 25.4 / 6,
    "q": 0.25,
    "yd": 914.4,
    "mil": 0.0254,
    "um": 0.001,
    "dm": 100.0,
}
#: $INSUNITS of a DXF header (DXF reference, HEADER section); what is missing here is no unit of a workshop.
DXF_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 9: "mil", 10: "yd", 13: "um", 14: "dm"}
_SAME = {"inch": "in", "inches": "in", "feet": "ft", "foot": "ft", "millimetre": "mm", "millimeter": "mm", '"': "in"}


def unit_named(text: str, name: str) -> str:
    """Return the unit a maker asked for. Raises DesignError if it is none.

    >>> unit_named("Inches", "file")
    'in'
    """
    unit = _SAME.get(text.strip().lower(), text.strip().lower())
    if unit not in MM_PER_DRAWN_UNIT:
        raise refusal("T16", name, f'"{text[:40]}" is no unit', f"use one of {', '.join(MM_PER_DRAWN_UNIT)}")
    return unit


def size_text(width_mm: float, height_mm: float) -> str:
    """Write a size in mm and in inches.

    >>> size_text(392.0, 495.3)
    '392 × 495.3 mm (15 7/16 × 19 1/2 in)'
    """
    return f"{mm_text(width_mm)} × {mm_text(height_mm)} mm ({inch_text(width_mm)} × {inch_text(height_mm)} in)"


def unit_question(name: str, width: float, height: float, why: str) -> DesignError:
    """Return the error that asks for --unit; ``width`` and ``height`` are what is drawn, in its unknown unit."""
    likely = [u for u in ("mm", "in") if 200 <= hypot(width, height) * MM_PER_DRAWN_UNIT[u] <= 1200]
    hint = f"; as a guitar's body only {likely[0]} makes sense" if len(likely) == 1 else ""
    as_mm, as_in = size_text(width, height), size_text(width * 25.4, height * 25.4)
    return refusal(
        "T03",
        name,
        f"{why}, so its size is not known",
        f"add --unit mm if all that is drawn measures {as_mm}, or --unit in if it measures {as_in}{hint}",
    )

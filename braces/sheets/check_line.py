"""The line of 100 mm that SVG and DXF files carry below the drawing, to check the units they open in."""

from __future__ import annotations

from typing import Final

from braces.sheets.drawing import Box

LENGTH_MM: Final = 100.0
WORDS: Final = "100 mm"
TEXT_MM: Final = 2.5
LAYER: Final = "check"
_CLEAR_MM, _TICK_MM = 8.0, 1.5
#: Room of the line and its words, along and across.
ROOM_MM: Final = (LENGTH_MM + 16.0, _CLEAR_MM + 2.0)

Line = tuple[tuple[float, float], tuple[float, float]]


def check_line(ink: Box) -> tuple[tuple[Line, ...], tuple[float, float]]:
    """Return the lines (the bar, its end ticks) below the ``ink`` of a drawing, and where its words start."""
    x, y = ink[0], ink[1] - _CLEAR_MM
    ends = (x, x + LENGTH_MM)
    bar = ((ends[0], y), (ends[1], y))
    ticks = tuple(((e, y - _TICK_MM), (e, y + _TICK_MM)) for e in ends)
    return (bar, *ticks), (ends[1] + 3, y - TEXT_MM / 2)

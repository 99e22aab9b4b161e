"""The bars that prove a print true: along each axis ticks exactly 100 mm apart and exactly 4 in apart."""

from __future__ import annotations

from typing import Final, Literal

from braces.sheets.drawing import Label, Mark, polyline

MM_BAR_MM: Final = 100.0
INCH_MM: Final = 25.4
INCH_BAR_MM: Final = 4 * INCH_MM
#: Room of a bar with its words, along and across.
LENGTH_MM: Final = 119.0
DEPTH_MM: Final = 6.6
_MM_LINE_MM, _INCH_LINE_MM = 5.2, 1.4
_END_MM, _MINOR_MM = 1.3, 0.8

Axis = Literal["across", "up"]


def check_bar(x_mm: float, y_mm: float, axis: Axis) -> tuple[Mark, ...]:
    """Return the two bars of one axis; (``x_mm``, ``y_mm``) is the lower left corner of the room they take.

    Ends are marked by ticks: measure from the middle of one line to the middle of the other.
    """
    marks: list[Mark] = []

    def point(along: float, aside: float) -> tuple[float, float]:
        if axis == "across":
            return x_mm + along, y_mm + aside
        return x_mm + DEPTH_MM - aside, y_mm + along

    def line(a: tuple[float, float], b: tuple[float, float]) -> None:
        marks.append(polyline([point(*a), point(*b)], "sheet"))

    def bar(aside: float, length: float, step: float, words: str) -> None:
        line((0, aside), (length, aside))
        for end in (0.0, length):
            line((end, aside - _END_MM), (end, aside + _END_MM))
        for k in range(1, round(length / step)):
            line((k * step, aside), (k * step, aside + _MINOR_MM))
        x, y = point(INCH_BAR_MM + 2.2, aside - 1.25)
        marks.append(Label(x, y, words, angle_deg=0 if axis == "across" else 90, layer="sheet"))

    bar(_MM_LINE_MM, MM_BAR_MM, 10.0, "100 mm")
    bar(_INCH_LINE_MM, INCH_BAR_MM, INCH_MM, "4 in")
    return tuple(marks)

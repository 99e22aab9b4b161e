"""Dimension lines on the views of a shop tool: arrows at the ends, the figure where there is room for it."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np

from braces.base.arrays import frozen_points
from braces.sheets.drawing import Label, Mark, Stroke, polyline
from braces.sheets.lettering import text_width_mm
from braces.sheets.tool_card import XY

TEXT_MM = 2.5
_ARROW_MM = 1.8
_HALF_ARROW_MM = 0.35
_ABOVE_MM = 0.9  #: of the figure over its line
_TAIL_MM = 2.4  #: of a line that comes from outside
_GAP_MM = 1.0


def dimension(a: XY, b: XY, text: str) -> list[Mark]:
    """Return the marks of a dimension from ``a`` to ``b`` on the page; short ones are pointed at from outside."""
    length = hypot(b[0] - a[0], b[1] - a[1])
    if length < 1e-6:
        return []
    d = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    wide = text_width_mm(text, TEXT_MM)
    marks: list[Mark]
    if length >= 3 * _ARROW_MM:
        marks = [polyline([a, b], "dim"), *_arrow(a, d), *_arrow(b, (-d[0], -d[1]))]
        if length >= wide + 1.0:
            return [*marks, _along(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), d, text)]
        end = b
    else:
        end = _moved(b, d, _TAIL_MM)
        marks = [polyline([_moved(a, d, -_TAIL_MM), a], "dim"), polyline([b, end], "dim")]
        marks += [*_arrow(a, (-d[0], -d[1])), *_arrow(b, d)]
    return [*marks, _beyond(end, d, text)]


def angle(at: XY, from_deg: float, to_deg: float, radius_mm: float, text: str) -> list[Mark]:
    """Return the marks of an angle about ``at`` on the page: its legs, an arc, the figure outside the arc."""
    turns = np.radians(np.linspace(from_deg, to_deg, 25))
    arc = np.array(at) + radius_mm * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    sense = 1.0 if to_deg > from_deg else -1.0
    first, last = radians(from_deg), radians(to_deg)
    middle = radians((from_deg + to_deg) / 2)
    reach = radius_mm + 1.2 + text_width_mm(text, TEXT_MM) / 2 * abs(cos(middle)) + TEXT_MM / 2 * abs(sin(middle))
    legs = [_moved(at, (cos(t), sin(t)), radius_mm + 1.5) for t in (first, last)]
    return [
        *(polyline([at, leg], "dim") for leg in legs),
        Stroke(frozen_points(arc), "dim"),
        *_arrow((float(arc[0, 0]), float(arc[0, 1])), (-sense * sin(first), sense * cos(first))),
        *_arrow((float(arc[-1, 0]), float(arc[-1, 1])), (sense * sin(last), -sense * cos(last))),
        Label(
            at[0] + reach * cos(middle), at[1] + reach * sin(middle) - TEXT_MM / 2, text, TEXT_MM,
            anchor="middle", layer="dim",
        ),
    ]  # fmt: skip


def beside(a: XY, b: XY, off: XY, text: str) -> list[Mark]:
    """Return a dimension moved away from what it measures by ``off``, with lines that lead to it."""
    far = [(p[0] + off[0], p[1] + off[1]) for p in (a, b)]
    reach = hypot(*off)
    d = (off[0] / reach, off[1] / reach)
    leads: list[Mark] = [
        polyline([_moved(p, d, _GAP_MM), _moved(q, d, _GAP_MM)], "dim") for p, q in zip((a, b), far, strict=True)
    ]
    return [*leads, *dimension(far[0], far[1], text)]


def _moved(p: XY, d: XY, by_mm: float) -> XY:
    return p[0] + by_mm * d[0], p[1] + by_mm * d[1]


def _arrow(tip: XY, d: XY) -> list[Mark]:
    """Return an arrowhead at ``tip`` whose line goes on in direction ``d``."""
    back, n = _moved(tip, d, _ARROW_MM), (-d[1], d[0])
    return [polyline([_moved(back, n, _HALF_ARROW_MM), tip, _moved(back, n, -_HALF_ARROW_MM)], "dim")]


def _along(middle: XY, d: XY, text: str) -> Label:
    turn = degrees(atan2(d[1], d[0]))
    if not -89.0 < turn <= 91.0:  # read from below or from the right
        turn += 180.0 if turn < 0 else -180.0
    n = (-sin(radians(turn)), cos(radians(turn)))
    x, y = _moved(middle, n, _ABOVE_MM)
    return Label(x, y, text, TEXT_MM, turn, anchor="middle", layer="dim")


def _beyond(end: XY, d: XY, text: str) -> Label:
    """Return the figure past the end of a line, level."""
    x, y = _moved(end, d, _GAP_MM)
    if abs(d[0]) < 0.5:  # an upright line
        y = end[1] + (_GAP_MM if d[1] > 0 else -_GAP_MM - TEXT_MM)
        return Label(end[0], y, text, TEXT_MM, anchor="middle", layer="dim")
    return Label(x, y - TEXT_MM / 2, text, TEXT_MM, anchor="start" if d[0] > 0 else "end", layer="dim")

"""What is added to a tile so that sheets can be put together: trim lines, register marks, neighbours' names.

A sheet is trimmed along its left and lower lines and laid over its neighbours there, so that its title strip
goes and nothing of the drawing does. Lines and marks lie at the same plan points on both sheets.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from braces.base.arrays import frozen_points
from braces.sheets.drawing import Label, Mark, Stroke, polyline
from braces.sheets.lettering import text_width_mm
from braces.sheets.tiling import OVERLAP_MM, Side, Tile
from braces.sheets.windows import Segments, crossing, outline_segments

_CROSS_MM, _CIRCLE_MM = 4.0, 2.0
_STEP_MM = 2.0
_WORDS_STEP_MM = 4.0
_TEXT_MM = 2.5
#: Where along a seam the two register marks would best be.
_STATIONS = (0.2, 0.8)


def seam(tile: Tile, side: Side) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the ends, in plan mm, of the line where ``tile`` meets its neighbour on ``side``."""
    x0, y0, x1, y1 = tile.region.window
    half = OVERLAP_MM / 2
    return {
        "left": ((x0 + half, y0), (x0 + half, y1)),
        "right": ((x1 - half, y0), (x1 - half, y1)),
        "below": ((x0, y0 + half), (x1, y0 + half)),
        "above": ((x0, y1 - half), (x1, y1 - half)),
    }[side]


def register_points(tile: Tile, side: Side, ink: Segments) -> tuple[tuple[float, float], ...]:
    """Return the plan points of the two register marks on a seam; neighbours get the same ones.

    They keep off the (n, 4) ``ink`` segments where there is room.
    """
    (ax, ay), (bx, by) = seam(tile, side)
    length = bx - ax + by - ay
    near = ink[crossing(ink, (ax - _CROSS_MM, ay - _CROSS_MM, bx + _CROSS_MM, by + _CROSS_MM))]
    ux, uy = (bx - ax) / length, (by - ay) / length
    points = []
    for station in _STATIONS:
        # Each mark stays in its half, and out of the bands that a third sheet covers.
        low, high = (OVERLAP_MM, length / 2 - 6) if station < 0.5 else (length / 2 + 6, length - OVERLAP_MM)
        tries = np.arange(low, high + 1e-9, _STEP_MM)
        best = min(tries, key=lambda t: (_busy(near, ax + t * ux, ay + t * uy), abs(t - station * length)))
        points.append((float(ax + best * ux), float(ay + best * uy)))
    return tuple(points)


def _busy(ink: Segments, x: float, y: float) -> int:
    r = _CROSS_MM + 0.5
    return int(crossing(ink, (x - r, y - r, x + r, y + r)).sum())


def tile_marks(tile: Tile, ink: Segments, sheet_of: dict[str, int]) -> tuple[Mark, ...]:
    """Return the marks of ``tile`` in plan mm; ``sheet_of`` maps the names of tiles to sheet numbers."""
    marks: list[Mark] = []
    points: list[tuple[float, float]] = []
    for side, _ in tile.neighbours:
        marks.append(polyline(seam(tile, side), "trim"))
        points += register_points(tile, side, ink)
    for x, y in points:
        marks += register_mark(x, y)
    busy = [outline_segments(m.points, m.closed) for m in marks if isinstance(m, Stroke) and m.layer == "sheet"]
    taken = np.vstack([ink, *busy])
    for side, name in tile.neighbours:
        lead = "trim, over" if side in ("left", "below") else "under"
        marks.append(_edge_words(tile, side, f"{lead} {name} (sheet {sheet_of[name]})", taken))
    return tuple(marks)


def register_mark(x_mm: float, y_mm: float) -> tuple[Stroke, ...]:
    """Return a cross in a circle at a plan point."""
    turn = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    circle = np.column_stack([x_mm + _CIRCLE_MM * np.cos(turn), y_mm + _CIRCLE_MM * np.sin(turn)])
    return (
        polyline([(x_mm - _CROSS_MM, y_mm), (x_mm + _CROSS_MM, y_mm)], "sheet"),
        polyline([(x_mm, y_mm - _CROSS_MM), (x_mm, y_mm + _CROSS_MM)], "sheet"),
        Stroke(frozen_points(circle), "sheet", closed=True),
    )


def _edge_words(tile: Tile, side: Side, text: str, taken: Segments) -> Label:
    """Return the words between the trim line and the edge of the window, where least is in the way."""
    (ax, ay), (bx, by) = seam(tile, side)
    upright = side in ("left", "right")
    length = (by - ay) if upright else (bx - ax)
    half = OVERLAP_MM / 2
    near = taken[crossing(taken, (ax - half, ay - half, bx + half, by + half))]
    width = text_width_mm(text, _TEXT_MM)
    low, high = OVERLAP_MM + width / 2, length - OVERLAP_MM - width / 2
    quarter = OVERLAP_MM / 4
    away = -quarter if side in ("left", "below") else quarter
    candidates = []
    for t in _from_the_middle(low, max(low, high)):
        if upright:
            candidates.append(Label(ax + away + _TEXT_MM / 2, ay + t, text, _TEXT_MM, 90, "middle", "sheet"))
        else:
            candidates.append(Label(ax + t, ay + away - _TEXT_MM / 2, text, _TEXT_MM, 0, "middle", "sheet"))
    return min(candidates, key=lambda c: int(crossing(near, c.ink).sum()))


def _from_the_middle(low: float, high: float) -> Sequence[float]:
    tries = np.arange(low, high + 1e-9, _WORDS_STEP_MM)
    return [float(t) for t in sorted(tries, key=lambda t: abs(t - (low + high) / 2))]

"""A small map of a plan that shows which tile goes where."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from braces.sheets.drawing import Box, Drawing, Label, Mark, polyline
from braces.sheets.lettering import BELOW_RATIO, text_width_mm, wrapped
from braces.sheets.page import Placement
from braces.sheets.tiling import Layout, Tile
from braces.sheets.windows import Segments, crossing, stroke_segments

#: Lines of the plan that its map shows.
_LAYERS = ("cut", "edge", "glue")
_NAME_MM, _TEXT_MM, _PITCH_MM = 3.5, 2.5, 4.3
_CLEAR_MM = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class TileMap:
    """A plan, its tiles, and the number of the sheet that the first is on."""

    drawing: Drawing
    layout: Layout
    first_sheet: int


def tile_map(plan: TileMap, box: Box) -> tuple[tuple[Mark, ...], Placement]:
    """Return the map in the upper part of ``box`` (page mm), its title below, and the small plan."""
    windows = [tile.region.window for tile in plan.layout.tiles]
    x0, y0 = min(w[0] for w in windows), min(w[1] for w in windows)
    x1, y1 = max(w[2] for w in windows), max(w[3] for w in windows)
    scale = min((box[2] - box[0]) / (x1 - x0), (box[3] - box[1]) / (y1 - y0))
    dx, dy = box[0] - scale * x0, box[3] - scale * y1
    lines = stroke_segments(s for s in plan.drawing.strokes if s.layer in _LAYERS)
    small = lines * scale + np.array((dx, dy, dx, dy))
    marks: list[Mark] = []
    for k, tile in enumerate(plan.layout.tiles):
        marks += _tile(tile, plan.first_sheet + k, scale, dx, dy, small)
    y = box[3] - scale * (y1 - y0) - 1.0
    rows = [(plan.drawing.title, True), (plan.drawing.face, False)]
    for text, bold in rows:
        for line in wrapped(text, box[2] - box[0], _TEXT_MM, bold):
            y -= _PITCH_MM
            marks.append(Label(box[0], y, line, _TEXT_MM, bold=bold, layer="sheet"))
    return tuple(marks), Placement(plan.drawing, dx, dy, box, scale, _LAYERS)


def _tile(tile: Tile, sheet: int, scale: float, dx: float, dy: float, lines: Segments) -> list[Mark]:
    x0, y0, x1, y1 = (v * scale + d for v, d in zip(tile.region.kept, (dx, dy, dx, dy), strict=True))
    frame = polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], "sheet", closed=True)
    lines = lines[crossing(lines, (x0, y0, x1, y1))]
    number = f"sheet {sheet}"
    width = text_width_mm(number, _TEXT_MM)
    if width + 2 * _CLEAR_MM > x1 - x0:  # the list below the map gives the number too
        number, width = "", text_width_mm(tile.name, _NAME_MM, True)
    height = _NAME_MM + 1.6 + _TEXT_MM * (1 + BELOW_RATIO)
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)

    def cost(at: tuple[float, float]) -> tuple[int, float]:
        across, up = width / 2 + _CLEAR_MM, height / 2 + _CLEAR_MM
        room = (at[0] - across, at[1] - up, at[0] + across, at[1] + up)
        return int(crossing(lines, room).sum()), abs(at[0] - middle[0]) + abs(at[1] - middle[1])

    xs = np.linspace(x0 + width / 2 + 1, max(x0 + width / 2 + 1, x1 - width / 2 - 1), 9)
    ys = np.linspace(y0 + height / 2 + 1, max(y0 + height / 2 + 1, y1 - height / 2 - 1), 9)
    x, y = min(((float(a), float(b)) for a, b in itertools.product(xs, ys)), key=cost)
    top = y + height / 2
    marks: list[Mark] = [frame]
    marks.append(Label(x, top - _NAME_MM, tile.name, _NAME_MM, anchor="middle", layer="sheet", bold=True))
    if number:
        low = top - _NAME_MM - 1.6 - _TEXT_MM
        marks.append(Label(x, low, number, _TEXT_MM, anchor="middle", layer="sheet"))
    return marks

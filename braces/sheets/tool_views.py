"""The true views of a shop tool on its page, at a scale of the standard series, and its pictures at a slant.

Scales are those of ISO 5455 (from memory): 2:1, 1:1, 1:2, 1:5, 1:10. The view from above stands under the view
from the front, the view from the left at its right, as first-angle projection has it (ISO 5456-2, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.base.units import mm_text
from braces.sheets.drawing import Box, Label, Mark, Stroke
from braces.sheets.tool_card import ToolAngle, ToolCard, ToolDim, ToolView
from braces.sheets.tool_dims import TEXT_MM, angle, beside, dimension

SCALES: Final = ((2.0, "2:1"), (1.0, "1:1"), (0.5, "1:2"), (0.2, "1:5"), (0.1, "1:10"))
_CAPTION_MM = 5.0
_LEFT_MM, _RIGHT_MM, _BELOW_MM = 12.0, 6.0, 11.0  #: beside the views, for their dimensions
_BETWEEN_MM = 11.0
_FIGURE_MM = 4.0
_OFF_MM = 6.4  #: of overall dimensions from the part


@dataclass(frozen=True, slots=True)
class Sheaf:
    """The three true views at one scale: how much room they take."""

    width_mm: float
    height_mm: float


def sheaf(card: ToolCard, scale: float) -> Sheaf:
    """Return the room that the true views of a tool take at a scale."""
    level, upright = _level(card), _upright(card)
    wide = max(v.room[2] for v in level) - min(v.room[0] for v in level)
    across = _BETWEEN_MM + scale * (card.left.room[2] - card.left.room[0]) if card.left else 0.0
    high = max(v.room[3] for v in upright) - min(v.room[1] for v in upright)
    high += sum(v.room[3] - v.room[1] for v in level[1:])
    rows = len(level)
    head = _head_mm(card)
    return Sheaf(_LEFT_MM + scale * wide + across + _RIGHT_MM, head + rows * (_CAPTION_MM + _BELOW_MM) + scale * high)


def _head_mm(card: ToolCard) -> float:
    """Return what figures over the upper views take."""
    return _FIGURE_MM if card.left is not None and card.left.dims else 0.0


def _level(card: ToolCard) -> list[ToolView]:
    """Return the views that lie under each other."""
    return [v for v in (card.front, card.above, card.under) if v]


def _upright(card: ToolCard) -> list[ToolView]:
    return [v for v in (card.front, card.left) if v]


def true_views(card: ToolCard, room: Box, scale: float) -> list[Mark]:
    """Return the true views from the upper left corner of a room, with dimensions and captions."""
    left, y = room[0], room[3]
    x0 = left + _LEFT_MM - scale * min(v.room[0] for v in _level(card))
    highest, lowest = max(v.room[3] for v in _upright(card)), min(v.room[1] for v in _upright(card))
    marks: list[Mark] = [Label(left, y - TEXT_MM, "from the front", TEXT_MM)]
    y -= _CAPTION_MM + _head_mm(card) + scale * highest
    marks += _drawn(card.front, (x0, y), scale) + _high(card.front, (x0, y), scale)
    if card.left:
        x1 = x0 + scale * max(v.room[2] for v in _level(card)) + _BETWEEN_MM - scale * card.left.room[0]
        marks.append(Label(x1 + scale * card.left.room[0], room[3] - TEXT_MM, "from its left end", TEXT_MM))
        marks += _drawn(card.left, (x1, y), scale)
    y += scale * lowest
    for view, caption in ((card.above, "from above"), (card.under, "from below")):
        if view is None:
            continue
        y -= _BELOW_MM + _CAPTION_MM + scale * view.room[3]
        marks.append(Label(left, y + scale * view.room[3] + TEXT_MM, caption, TEXT_MM))
        marks += _drawn(view, (x0, y), scale)
        if view is card.above:
            marks += _high(view, (x0, y), scale) + _wide(view, (x0, y), scale)
        y += scale * view.room[1]
    return marks


def _high(view: ToolView, origin: tuple[float, float], scale: float) -> list[Mark]:
    """Return the overall dimension up a view, at its left, clear of other dimensions."""
    x0, y0, _, y1 = view.size
    off = _OFF_MM + scale * (x0 - view.room[0])
    low, high = ((origin[0] + scale * x0, origin[1] + scale * y) for y in (y0, y1))
    return beside(high, low, (-off, 0.0), mm_text(y1 - y0, 2))


def _wide(view: ToolView, origin: tuple[float, float], scale: float) -> list[Mark]:
    """Return the overall dimension along a view, under it."""
    x0, y0, x1, _ = view.size
    off = _OFF_MM + scale * (y0 - view.room[1])
    left, right = ((origin[0] + scale * x, origin[1] + scale * y0) for x in (x0, x1))
    return beside(left, right, (0.0, -off), mm_text(x1 - x0, 2))


def slanting(view: ToolView, room: Box, most: float = 2.0) -> list[Mark]:
    """Return a picture as large as a room allows, in its middle."""
    x0, y0, x1, y1 = view.size
    scale = min((room[2] - room[0]) / max(x1 - x0, 1e-6), (room[3] - room[1]) / max(y1 - y0, 1e-6), most)
    origin = (
        (room[0] + room[2] - scale * (x0 + x1)) / 2,
        (room[1] + room[3] - scale * (y0 + y1)) / 2,
    )
    return _drawn(view, origin, scale)


def _drawn(view: ToolView, origin: tuple[float, float], scale: float) -> list[Mark]:
    marks: list[Mark] = [Stroke(_placed(line, origin, scale), "edge") for line in view.edges]
    marks += [Stroke(_placed(line, origin, scale), "note") for line in view.words]
    for dim in view.dims:
        if isinstance(dim, ToolAngle):
            at = (origin[0] + scale * dim.at[0], origin[1] + scale * dim.at[1])
            marks += angle(at, dim.from_deg, dim.to_deg, max(scale * dim.radius_mm, 6.0), dim.text)
        elif isinstance(dim, ToolDim):
            a, b = ((origin[0] + scale * p[0], origin[1] + scale * p[1]) for p in (dim.a, dim.b))
            marks += dimension(a, b, dim.text)
    return marks


def _placed(line: Points, origin: tuple[float, float], scale: float) -> Points:
    return frozen_points(line * scale + np.array(origin))

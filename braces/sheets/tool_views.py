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
_LEFT_MM, _RIGHT_MM, _BELOW_MM = 12.0, 8.0, 11.0  #: beside the views, for their dimensions
_BETWEEN_MM = 11.0
_OFF_MM = 7.0  #: of overall dimensions from the part


@dataclass(frozen=True, slots=True)
class Sheaf:
    """The three true views at one scale: how much room they take."""

    width_mm: float
    height_mm: float


def sheaf(card: ToolCard, scale: float) -> Sheaf:
    """Return the room that the true views of a tool take at a scale."""
    (x0, y0, x1, y1), (fx0, z0, fx1, z1) = card.above.room, card.front.room
    wide = max(x1, fx1) - min(x0, fx0)
    across = _BETWEEN_MM + scale * (card.left.room[2] - card.left.room[0]) if card.left else 0.0
    if card.left:
        z0, z1 = min(z0, card.left.room[1]), max(z1, card.left.room[3])
    return Sheaf(
        _LEFT_MM + scale * wide + across + _RIGHT_MM,
        2 * _CAPTION_MM + scale * (z1 - z0 + y1 - y0) + 2 * _BELOW_MM,
    )


def true_views(card: ToolCard, room: Box, scale: float) -> list[Mark]:
    """Return the true views from the upper left corner of a room, with dimensions and captions."""
    left, top = room[0], room[3]
    x_low = min(card.above.room[0], card.front.room[0])
    x0 = left + _LEFT_MM - scale * x_low
    upright = [view.room for view in (card.front, card.left) if view]
    highest, lowest = max(r[3] for r in upright), min(r[1] for r in upright)
    y0 = top - _CAPTION_MM - scale * highest
    marks: list[Mark] = [Label(left, top - TEXT_MM, "from the front", TEXT_MM)]
    marks += _drawn(card.front, (x0, y0), scale)
    sx0, sy0, _, sy1 = (scale * v for v in card.front.size)
    high = mm_text(card.front.size[3] - card.front.size[1], 2)
    marks += beside((x0 + sx0, y0 + sy0), (x0 + sx0, y0 + sy1), (-_OFF_MM, 0.0), high)
    if card.left:
        x1 = x0 + scale * max(card.front.room[2], card.above.room[2]) + _BETWEEN_MM - scale * card.left.room[0]
        marks.append(Label(x1 + scale * card.left.room[0], top - TEXT_MM, "from its left end", TEXT_MM))
        marks += _drawn(card.left, (x1, y0), scale)
    y1 = y0 + scale * lowest - _BELOW_MM - _CAPTION_MM - scale * card.above.room[3]
    marks.append(Label(left, y1 + scale * card.above.room[3] + TEXT_MM, "from above", TEXT_MM))
    marks += _drawn(card.above, (x0, y1), scale)
    ax0, ay0, ax1, ay1 = (scale * v for v in card.above.size)
    marks += beside((x0 + ax0, y1 + ay0), (x0 + ax1, y1 + ay0), (0.0, -_OFF_MM), mm_text((ax1 - ax0) / scale, 2))
    marks += beside((x0 + ax0, y1 + ay0), (x0 + ax0, y1 + ay1), (-_OFF_MM, 0.0), mm_text((ay1 - ay0) / scale, 2))
    return marks


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

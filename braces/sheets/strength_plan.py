"""A plate seen from inside, small, as the ground of pictures: its outline, its braces in thin lines."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.carved.values import Carved
from braces.curves.path import Path
from braces.placed.footprint import footprint
from braces.placed.values import PlacedBrace
from braces.sheets.drawing import Box, Drawing, Mark, Stroke
from braces.sheets.plan_view import PlanView, circle, plan_view
from braces.sheets.words import PlateName

#: Lines on this layer of a placed drawing are drawn with the thinnest pen.
THIN: Final = ("edge",)
_OUTLINE_COUNT = 320  #: points round a rim: chords within 0.1 mm of the curve on a page
_HOLE_COUNT = 120


@dataclass(frozen=True, slots=True, eq=False)
class PlateMap:
    """Where a plate lies on a page: body axes times the scale, mirrored as seen from inside, then moved."""

    view: PlanView
    scale_ratio: float
    x_mm: float  #: of the body's centre line
    y_mm: float  #: of the tail end of the body

    def on_page(self, points: Points) -> Points:
        """Return plan points (n, 2) on the page."""
        seen = np.asarray(points) * (self.view.flip * self.scale_ratio, self.scale_ratio)
        return frozen_points(seen + np.array((self.x_mm, self.y_mm)))

    def stroke(self, points: Points, layer: str, closed: bool = False) -> Stroke:
        """Return a line of the plan on the page."""
        return Stroke(self.on_page(points), layer, closed)


class Plate:
    """The shapes of one plate that its pictures share."""

    def __init__(self, carved: Carved, name: PlateName) -> None:
        self.name = name
        self.view = plan_view(carved, name)
        self.outline: Points = _round(self.view.placed.outline)
        self.lining: Points = _round(self.view.placed.lining)
        self.braces: tuple[PlacedBrace, ...] = self.view.placed.braces

    @cached_property
    def hole(self) -> Points | None:
        """The soundhole's edge, or None."""
        placed = self.view.carved.placed
        if self.name == "back" or placed.soundhole_y_mm is None or placed.soundhole_radius_mm is None:
            return None
        return circle((0.0, placed.soundhole_y_mm), placed.soundhole_radius_mm, "edge", _HOLE_COUNT).points

    @cached_property
    def thin(self) -> tuple[Points, ...]:
        """The closed lines that stand on the plate: braces, bridge, bridge plate, flat pieces."""
        own = [footprint(b) for b in self.braces]
        own += [loop for loop in (self.view.placed.bridge, self.view.plate.bridge_plate) if loop is not None]
        own += [patch.outline for patch in self.view.placed.patches]
        return tuple(own)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and length of the outline."""
        x0, y0, x1, y1 = self.box
        return x1 - x0, y1 - y0

    @property
    def box(self) -> Box:
        """The box of the outline as it is seen."""
        x, y = self.view.all_seen(self.outline).T
        return float(x.min()), float(y.min()), float(x.max()), float(y.max())

    def region(self, to_lining: bool, less_braces: bool = False) -> Any:
        """Return the polygon of the plate without its soundhole, whole or inside the linings, or between braces."""
        import shapely

        area = shapely.Polygon(self.lining if to_lining else self.outline)
        if self.hole is not None:
            area = area.difference(shapely.Polygon(self.hole))
        if less_braces:
            area = area.difference(shapely.union_all([shapely.Polygon(footprint(b)) for b in self.braces]))
        return area

    def fitted(self, box: Box) -> PlateMap:
        """Return the plate as large as a box of the page allows, in its middle."""
        x0, y0, x1, y1 = self.box
        scale = min((box[2] - box[0]) / (x1 - x0), (box[3] - box[1]) / (y1 - y0))
        dx = (box[0] + box[2]) / 2 - scale * (x0 + x1) / 2
        dy = (box[1] + box[3]) / 2 - scale * (y0 + y1) / 2
        return PlateMap(self.view, scale, dx, dy)

    def edges(self, where: PlateMap) -> list[Mark]:
        """Return the outline and the soundhole."""
        marks: list[Mark] = [where.stroke(self.outline, "edge", closed=True)]
        if self.hole is not None:
            marks.append(where.stroke(self.hole, "edge", closed=True))
        return marks

    def ground(self, where: PlateMap) -> Drawing:
        """Return what stands on the plate, to be placed with the thinnest pen."""
        loops = [*self.thin, self.lining]
        return thin_drawing(f"ground-{self.name}", [where.stroke(loop, THIN[0], closed=True) for loop in loops])


def thin_drawing(key: str, strokes: list[Stroke]) -> Drawing:
    """Return strokes of the thin layer as a drawing."""
    return Drawing(key, key, "", "plan", tuple(strokes))


def _round(rim: Path) -> Points:
    return rim.dense(-(-_OUTLINE_COUNT // rim.count))

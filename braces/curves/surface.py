"""The few surfaces a plate's inner face can be, seen from a brace standing on it.

All give z(x, y) in a right-handed frame whose z points into the room: a dome rises away from its lowest point.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from braces.base.arrays import Floats
from braces.curves.course import Course


@dataclass(frozen=True, slots=True)
class Surface:
    """A sphere, a cylinder or a plane: the room side of a plate.

    sphere: centre (x, y, z) and radius; the surface is the lower half.
    cylinder: the axis runs level through the centre along ``axis`` (unit, in plan).
    plane: z = centre z.
    """

    kind: Literal["sphere", "cylinder", "plane"]
    radius_mm: float  #: inf for a plane
    x_mm: float
    y_mm: float
    z_mm: float
    axis: tuple[float, float] = (0.0, 1.0)

    def _offset2(self, x: Floats, y: Floats) -> Floats:
        dx, dy = x - self.x_mm, y - self.y_mm
        if self.kind == "sphere":
            return dx**2 + dy**2
        across = dx * self.axis[1] - dy * self.axis[0]
        return across**2

    def z(self, x: float | Floats, y: float | Floats) -> Floats:
        """Height of the surface above (x, y); shapes broadcast."""
        xs, ys = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
        if self.kind == "plane":
            return np.full(np.broadcast(xs, ys).shape, self.z_mm)
        return self.z_mm - np.sqrt(self.radius_mm**2 - self._offset2(xs, ys))

    def at(self, x_mm: float, y_mm: float) -> float:
        """Height at one place as a plain number."""
        return float(self.z(x_mm, y_mm))

    def slope(self, x: float | Floats, y: float | Floats) -> tuple[Floats, Floats]:
        """(dz/dx, dz/dy); shapes broadcast."""
        xs, ys = np.broadcast_arrays(np.asarray(x, dtype=float), np.asarray(y, dtype=float))
        if self.kind == "plane":
            return np.zeros(xs.shape), np.zeros(xs.shape)
        root = np.sqrt(self.radius_mm**2 - self._offset2(xs, ys))
        dx, dy = xs - self.x_mm, ys - self.y_mm
        if self.kind == "sphere":
            return dx / root, dy / root
        across = dx * self.axis[1] - dy * self.axis[0]
        return across * self.axis[1] / root, -across * self.axis[0] / root


@dataclass(frozen=True, slots=True)
class Along:
    """A surface seen along a course: its coordinates are the station on the course and the distance to its left."""

    surface: Surface
    course: Course
    along_ratio: float = 1.0  #: of the coordinate along to the station: not 1 where a side is laid flat

    def z(self, s: float | Floats, y: float | Floats) -> Floats:
        """Height of the surface at stations ``s`` and distances ``y``; shapes broadcast."""
        p = self.course.point(np.asarray(s) / self.along_ratio, y)
        return self.surface.z(p[..., 0], p[..., 1])

    def at(self, s_mm: float, y_mm: float) -> float:
        """Height at one place as a plain number."""
        return float(self.z(s_mm, y_mm))

    def slope(self, s: float | Floats, y: float | Floats) -> tuple[Floats, Floats]:
        """(dz/ds, dz/dy); shapes broadcast."""
        s = np.asarray(s) / self.along_ratio
        p, t = self.course.point(s, y), self.course.tangent(s)
        zx, zy = self.surface.slope(p[..., 0], p[..., 1])
        along = (zx * t[..., 0] + zy * t[..., 1]) * self.course.stretch(y) / self.along_ratio
        return along, zy * t[..., 0] - zx * t[..., 1]


Face = Surface | Along  #: a glue face over station and distance aside; along a straight course a surface itself

"""The arch of a plate, in its own frame: plan axes, and w into the room from the outer face's apex plane."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal

from braces.curves.surface import Surface


@dataclass(frozen=True, slots=True)
class Dome:
    """A plate between two parallel faces: concentric spheres, coaxial cylinders, or planes.

    The dish's radius is the outer face's; the braces are glued to the inner face, whose radius is smaller by the
    plate's thickness.
    """

    shape: Literal["sphere", "cylinder", "flat"]
    radius_mm: float  #: of the outer face, inf if flat
    thickness_mm: float
    apex_y_mm: float

    @property
    def inner_radius_mm(self) -> float:
        """Radius of the glue side."""
        return self.radius_mm - self.thickness_mm

    def _face(self, depth_mm: float) -> Surface:
        if self.shape == "flat":
            return Surface("plane", inf, 0.0, self.apex_y_mm, depth_mm)
        return Surface(self.shape, self.radius_mm - depth_mm, 0.0, self.apex_y_mm, self.radius_mm)

    @property
    def outer(self) -> Surface:
        """Outer face: w over the plan."""
        return self._face(0.0)

    @property
    def inner(self) -> Surface:
        """Glue side: w over the plan."""
        return self._face(self.thickness_mm)


def on_bench(
    face: Surface,
    origin: tuple[float, float],
    heading: tuple[float, float],
    lateral: tuple[float, float],
    w_mm: float,
) -> Surface:
    """Return ``face`` (over the plan) seen from a bench frame.

    The frame's origin lies at ``origin`` in plan and at depth ``w_mm``; X and Y run along ``heading`` and
    ``lateral`` (unit, square to each other).
    """
    dx, dy = face.x_mm - origin[0], face.y_mm - origin[1]
    along = dx * heading[0] + dy * heading[1]
    across = dx * lateral[0] + dy * lateral[1]
    axis = (
        face.axis[0] * heading[0] + face.axis[1] * heading[1],
        face.axis[0] * lateral[0] + face.axis[1] * lateral[1],
    )
    return Surface(face.kind, face.radius_mm, along, across, face.z_mm - w_mm, axis)

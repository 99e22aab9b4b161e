"""The room inside a box as a stick finds it: two faces, a wall, a hole in the top, and what stands in the way.

A stick is a round rod that its own section fits into. It is free where it touches nothing; how far it may move in any
direction before it could touch something is its *clearance*. Everything errs on the safe side: the section is drawn
round its corners, braces are boxes as high as their highest place nearby, notches are filled, the soundhole's edge
is as sharp as a knife, and the rod's round ends beside a brace reach a radius further than the flat ones do.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import ceil, cos, hypot, pi, sqrt

import numpy as np

from braces.base.arrays import Array, Floats, Points
from braces.curves.frames import Placement
from braces.curves.surface import Surface

_CORNER_COUNT = 16  #: a rod's end as a polygon round its circle
_SWELL_MM = 0.12  #: balls along a rod are so much thicker than the rod, to leave no gaps between them
FAR_MM = 25.0  #: clearances beyond this are not told apart
_SLOPE_RATIO = 0.99  #: a face's height over a point, times this, is no more than its distance (slopes below 8 degrees)


def _seen_from(pose: Placement, points: Array) -> Array:
    """Return body points (..., 3) in the frame that ``pose`` takes to the body."""
    rotation, shift = _axes(pose)
    return np.asarray((points - shift) @ rotation)


@lru_cache(maxsize=1024)
def _axes(pose: Placement) -> tuple[Array, Array]:
    """A pose as arrays: a search asks for the same few some ten thousand times."""
    return np.array(pose.rotation), np.array(pose.shift)


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """The inner face of a plate: ``surface`` in the plate's frame, w into the room."""

    surface: Surface
    pose: Placement

    def clearance(self, points: Array) -> Array:
        """Distance (...) of body points (..., 3) from the face into the room, negative beyond it; never too great."""
        local = _seen_from(self.pose, points)
        height = local[..., 2] - self.surface.z(local[..., 0], local[..., 1])
        return np.asarray(np.where(height > 0, _SLOPE_RATIO * height, height))


@dataclass(frozen=True, slots=True, eq=False)
class Boxes:
    """Boxes that share a frame: rows (x0, y0, z0, x1, y1, z1) in it, (n, 6)."""

    name: str
    pose: Placement  #: from their frame to the body's
    rows: Array

    def clearance(self, points: Points) -> Floats:
        """Distance (m,) of body points (m, 3) from the nearest box, 0 inside; at most ``FAR_MM`` is told."""
        local = _seen_from(self.pose, points)
        low, high = self.rows[:, :3].min(axis=0), self.rows[:, 3:].max(axis=0)
        rough = np.linalg.norm(np.maximum(np.maximum(low - local, local - high), 0.0), axis=1)
        out = np.minimum(rough, FAR_MM)
        near = np.flatnonzero(rough < FAR_MM)
        if len(near) and len(self.rows) > 1:
            p = local[near, None, :]
            beyond = np.maximum(np.maximum(self.rows[None, :, :3] - p, p - self.rows[None, :, 3:]), 0.0)
            out[near] = np.minimum(np.sqrt((beyond**2).sum(axis=2)).min(axis=1), FAR_MM)
        return np.asarray(out)


@dataclass(frozen=True, slots=True, eq=False)
class Space:
    """The inside of a body with its way out."""

    top: Face
    back: Face
    wall: Points  #: (n, 2) closed polygon that the plan of everything inside stays in, body axes
    hole_at: tuple[float, float]
    hole_radius_mm: float
    outside_z_mm: float  #: everything higher is out of the box
    obstacles: tuple[Boxes, ...]


@dataclass(frozen=True, slots=True)
class Rod:
    """A straight stick of one section."""

    length_mm: float
    radius_mm: float  #: of the circle round its section


def rod_round(length_mm: float, width_mm: float, thickness_mm: float) -> Rod:
    """Return the rod that holds a stick with a rectangular section."""
    return Rod(length_mm, hypot(width_mm, thickness_mm) / 2)


def clearances(space: Space, rod: Rod, middles: Array, ways: Array) -> Floats:
    """Return the clearance (m,) of a rod with its middle at (m, 3) along unit vectors (m, 3).

    It is negative if the rod touches, and never told greater than it is nor than ``FAR_MM``.
    """
    back = _ends(rod, middles, ways, space.back)
    inside = _ends(rod, middles, ways, space.top)
    balls, radius = _balls(rod, middles, ways)
    shape = balls.shape[:2]
    points = balls.reshape(-1, 3)
    column = space.hole_radius_mm - np.hypot(points[:, 0] - space.hole_at[0], points[:, 1] - space.hole_at[1])
    above = points[:, 2] - space.outside_z_mm
    through = np.maximum(np.maximum(space.top.clearance(points), column), above) - radius
    top = np.maximum(inside, through.reshape(shape).min(axis=1))
    free = np.minimum(top, back)
    # Nothing but the top's own hole stands outside the box.
    around = np.maximum(_off_the_wall(space.wall, points), above)
    for boxes in space.obstacles:
        around = np.minimum(around, np.maximum(boxes.clearance(points), above))
    around = around - radius
    return np.asarray(np.minimum(np.minimum(free, around.reshape(shape).min(axis=1)), FAR_MM))


def _ends(rod: Rod, middles: Array, ways: Array, face: Face) -> Floats:
    """Least clearance (m,) of both flat ends from a face. The room is convex towards it, so the rest is further off."""
    a, b = _square_to(ways)
    turn = 2 * pi * np.arange(_CORNER_COUNT) / _CORNER_COUNT
    r = rod.radius_mm / cos(pi / _CORNER_COUNT)
    ring = r * (np.cos(turn)[:, None, None] * a + np.sin(turn)[:, None, None] * b)  # (corners, m, 3)
    reach = rod.length_mm / 2 * ways
    corners = np.concatenate([middles + reach + ring, middles - reach + ring])
    return np.asarray(face.clearance(corners).min(axis=0))


def _square_to(ways: Array) -> tuple[Array, Array]:
    """Two unit vectors (m, 3) square to each of (m, 3) and to each other (Duff and others, 2017, branchless basis)."""
    x, y, z = ways.T
    sign = np.where(z >= 0, 1.0, -1.0)
    a = -1 / (sign + z)
    b = x * y * a
    first = np.column_stack([1 + sign * x * x * a, sign * b, -sign * x])
    return first, np.column_stack([b, sign + y * y * a, -y])


def _balls(rod: Rod, middles: Array, ways: Array) -> tuple[Array, float]:
    """Return the middles (m, k, 3) and the radius of balls that leave no part of the rod uncovered."""
    radius = rod.radius_mm + _SWELL_MM
    step = 2 * sqrt(radius**2 - rod.radius_mm**2)
    count = max(1, ceil(rod.length_mm / step))
    at = (np.arange(count) + 0.5) / count * rod.length_mm - rod.length_mm / 2
    return middles[:, None, :] + at[None, :, None] * ways[:, None, :], radius


def _off_the_wall(wall: Points, points: Array) -> Floats:
    """Distance (m,) of points (m, 3) in plan from the wall, negative outside."""
    x, y = points[:, 0], points[:, 1]
    a, b = wall, np.roll(wall, -1, axis=0)
    d = b - a
    px, py = x[:, None] - a[:, 0], y[:, None] - a[:, 1]
    t = np.clip((px * d[:, 0] + py * d[:, 1]) / (d**2).sum(axis=1), 0.0, 1.0)
    off = np.sqrt(((px - t * d[:, 0]) ** 2 + (py - t * d[:, 1]) ** 2).min(axis=1))
    straddles = (a[:, 1] > y[:, None]) != (b[:, 1] > y[:, None])
    with np.errstate(divide="ignore", invalid="ignore"):
        cut = a[:, 0] + (y[:, None] - a[:, 1]) * d[:, 0] / d[:, 1]
    inside = (straddles & (cut > x[:, None])).sum(axis=1) % 2 == 1
    return np.asarray(np.where(inside, off, -off))

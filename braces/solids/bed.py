"""What a glue face lies on: the plate's own sphere, cylinder or plane, and the edges that run on it.

Every edge gets its image on the surface from here. The kernel can find one by itself, but takes an edge that
runs nearly along a line of constant parameter for one, which has been seen to be 1e-5 mm out and to make the
solid invalid.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, ceil, pi, sqrt

import numpy as np
from OCP.Geom import Geom_Curve, Geom_Surface
from OCP.TopoDS import TopoDS_Edge, TopoDS_Vertex

from braces.base.arrays import Floats, Points
from braces.curves.course import Course
from braces.curves.hermite import from_knots
from braces.curves.spline import Spline, from_pieces, hermite_pieces
from braces.curves.surface import Along, Surface
from braces.solids.kernel import (
    TOLERANCE_MM,
    circle,
    curve_edge,
    cylinder,
    lay_on,
    line_edge,
    plan_curve,
    plane,
    sphere,
    spline_curve,
    vertex,
)
from braces.solids.rails import along_glue, arc_step_mm, plan_pieces

Plan = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Bed:
    """A face of a plate, as numbers and as the kernel's surface."""

    shape: Surface
    surface: Geom_Surface  #: its normal away from the room

    def corner(self, p: Plan, tolerance_mm: float = TOLERANCE_MM) -> TopoDS_Vertex:
        """Return the vertex above a place in plan."""
        return vertex((*p, self.shape.at(*p)), tolerance_mm)

    def edge(self, p: Plan, q: Plan, a: TopoDS_Vertex, b: TopoDS_Vertex) -> TopoDS_Edge:
        """Return the edge above the straight plan segment from ``p`` (at a) to ``q`` (at b)."""
        if self.shape.kind == "plane":
            return line_edge(a, b)
        run = _arc(self.shape, p, q) if self.shape.kind == "sphere" else _spline(self.shape, p, q)
        made = curve_edge(run.curve, a, b, float(run.knots[0]), float(run.knots[-1]))
        self.lay(made, run.knots, run.plan, run.rates)
        return made

    def along(
        self, course: Course, y_mm: float, s_mm: tuple[float, float], a: TopoDS_Vertex, b: TopoDS_Vertex
    ) -> TopoDS_Edge:
        """Return the edge above the parallel of a course at a distance aside, from one station to another."""
        if course.is_straight:
            return self.edge((s_mm[0], y_mm), (s_mm[1], y_mm), a, b)
        step = arc_step_mm(Along(self.shape, course))
        knots = np.linspace(*s_mm, 1 + ceil((s_mm[1] - s_mm[0]) / step))
        plan, rates = course.point(knots, y_mm), course.tangent(knots) * course.stretch(y_mm)
        zx, zy = self.shape.slope(plan[:, 0], plan[:, 1])
        z = from_knots(knots, self.shape.z(plan[:, 0], plan[:, 1]), zx * rates[:, 0] + zy * rates[:, 1])
        pieces = np.concatenate([plan_pieces(course, knots, y_mm), hermite_pieces(z)[..., None]], axis=-1)
        made = curve_edge(spline_curve(from_pieces(knots, pieces)), a, b, *s_mm)
        self.lay(made, knots, plan, rates)
        return made

    def lay(self, edge: TopoDS_Edge, knots: Floats, plan: Points, rates: Points) -> None:
        """Give an edge its image: at parameters ``knots`` it is above ``plan`` (n, 2), with derivatives ``rates``.

        A plane needs none.
        """
        if self.shape.kind != "plane":
            lay_on(edge, self.surface, plan_curve(image_on(self.shape, knots, plan, rates)))


def bed_of(shape: Surface) -> Bed:
    """Return the bed that a face of a plate or of a brace is a patch of."""
    centre = (shape.x_mm, shape.y_mm, shape.z_mm)
    if shape.kind == "sphere":
        return Bed(shape, sphere(centre, shape.radius_mm))
    if shape.kind == "cylinder":
        return Bed(shape, cylinder(centre, (*shape.axis, 0.0), (0.0, 0.0, 1.0), shape.radius_mm))
    return Bed(shape, plane(centre, (0.0, 0.0, -1.0)))


def image_on(shape: Surface, knots: Floats, plan: Points, rates: Points) -> Spline:
    """Return a curve above the plan in the parameters of its bed, poles (m, 2).

    It is the cubic Hermite spline through plan places (n, 2) at parameters ``knots`` (n,) with derivatives
    ``rates`` (n, 2). The first parameter of a bed is the angle about its axis, pi at the bottom; the second
    is the latitude on a sphere, rad, and the distance along the axis of a cylinder, mm.
    """
    ax, ay = (0.0, 1.0) if shape.kind == "sphere" else shape.axis
    (x, y), (dx, dy) = plan.T, rates.T
    zx, zy = shape.slope(x, y)
    down, d_down = shape.z_mm - shape.z(x, y), -(zx * dx + zy * dy)
    across, d_across = (x - shape.x_mm) * ay - (y - shape.y_mm) * ax, dx * ay - dy * ax
    along, d_along = (x - shape.x_mm) * ax + (y - shape.y_mm) * ay, dx * ax + dy * ay
    u, du = pi - np.arctan2(across, down), (across * d_down - d_across * down) / (across**2 + down**2)
    v, dv = along, d_along
    if shape.kind == "sphere":
        v, dv = np.arcsin(along / shape.radius_mm), d_along / np.sqrt(shape.radius_mm**2 - along**2)
    curves = (from_knots(knots, u, du), from_knots(knots, v, dv))
    return from_pieces(knots, np.stack([hermite_pieces(c) for c in curves], axis=-1))


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """A curve above a straight plan segment, with its plan places and their derivatives at some parameters."""

    curve: Geom_Curve
    knots: Floats
    plan: Points
    rates: Points


def _spline(shape: Surface, p: Plan, q: Plan) -> _Run:
    spline = along_glue(shape, p, q)
    length = spline.knots[-1]
    d = np.subtract(q, p) / length
    rates = np.tile(d, (len(spline.knots), 1))
    return _Run(spline_curve(spline), spline.knots, p + spline.knots[:, None] * d, rates)


def _arc(shape: Surface, p: Plan, q: Plan) -> _Run:
    """Return the circle in which an upright plane cuts a sphere."""
    length = float(np.hypot(*np.subtract(q, p)))
    dx, dy = (q[0] - p[0]) / length, (q[1] - p[1]) / length
    # Its centre is the foot of the perpendicular from the sphere's.
    to_foot = (shape.x_mm - p[0]) * dx + (shape.y_mm - p[1]) * dy
    foot = p[0] + to_foot * dx, p[1] + to_foot * dy
    off = np.hypot(shape.x_mm - foot[0], shape.y_mm - foot[1])
    radius = sqrt(shape.radius_mm**2 - off**2)
    ring = circle((*foot, shape.z_mm), (dx, dy), radius)
    first, last = pi + asin(-to_foot / radius), pi + asin((length - to_foot) / radius)
    angles = np.linspace(first, last, 1 + ceil(length / arc_step_mm(shape)))
    plan = foot + np.outer(radius * np.sin(angles - pi), (dx, dy))
    return _Run(ring, angles, plan, np.outer(radius * np.cos(angles - pi), (dx, dy)))

"""The underside of a brace as faces: patches of the plate's own sphere, cylinder or plane."""

from __future__ import annotations

from math import asin, hypot, pi, sqrt

from OCP.Geom import Geom_Surface
from OCP.TopoDS import TopoDS_Edge, TopoDS_Vertex

from braces.curves.surface import Surface
from braces.solids.chain import Post, Side, Skin
from braces.solids.kernel import (
    circle,
    curve_edge,
    cylinder,
    face,
    line_edge,
    plane,
    sphere,
    spline_curve,
    vertex,
)
from braces.solids.layout import Layout, Line
from braces.solids.rails import along_glue

Plan = tuple[float, float]


def under_side(glue: Surface, layout: Layout) -> Side:
    """Return how the underside of a brace is made."""
    bed = bed_surface(glue)
    flat = glue.kind == "plane"
    half = layout.half_mm

    def edge(p: Plan, q: Plan, a: TopoDS_Vertex, b: TopoDS_Vertex) -> TopoDS_Edge:
        return bed_edge(glue, p, q, a, b)

    def post(line: Line) -> Post:
        plan = [(line.x(y), y) for y in (-half, half)]
        corners = tuple(vertex((x, y, glue.at(x, y))) for x, y in plan)
        return Post(line, corners, (edge(plan[0], plan[1], *corners),))

    def skin(a: Post, b: Post) -> Skin:
        right, left = (
            edge((a.line.x(y), y), (b.line.x(y), y), a.corners[i], b.corners[i]) for i, y in ((0, -half), (1, half))
        )
        loop = (*a.across, left, b.across[0].Reversed(), right.Reversed())
        return Skin((face(bed, loop, project=not flat),), right, left)

    return Side(False, half, post, skin)


def bed_surface(glue: Surface) -> Geom_Surface:
    """Return the surface that a glue face is a patch of, its normal away from the room."""
    centre = (glue.x_mm, glue.y_mm, glue.z_mm)
    if glue.kind == "sphere":
        return sphere(centre, glue.radius_mm)
    if glue.kind == "cylinder":
        return cylinder(centre, (*glue.axis, 0.0), (0.0, 0.0, 1.0), glue.radius_mm)
    return plane(centre, (0.0, 0.0, -1.0))


def bed_edge(glue: Surface, p: Plan, q: Plan, a: TopoDS_Vertex, b: TopoDS_Vertex) -> TopoDS_Edge:
    """Return the edge on a glue face above the straight plan segment from ``p`` (at a) to ``q`` (at b)."""
    if glue.kind == "plane":
        return line_edge(a, b)
    if glue.kind == "cylinder":
        curve = spline_curve(along_glue(glue, p, q))
        return curve_edge(curve, a, b, curve.FirstParameter(), curve.LastParameter())
    length = hypot(q[0] - p[0], q[1] - p[1])
    d = (q[0] - p[0]) / length, (q[1] - p[1]) / length
    # An upright plane cuts a sphere in a circle about the foot of the perpendicular from the sphere's
    # centre.
    to_foot = (glue.x_mm - p[0]) * d[0] + (glue.y_mm - p[1]) * d[1]
    foot = p[0] + to_foot * d[0], p[1] + to_foot * d[1]
    off = hypot(glue.x_mm - foot[0], glue.y_mm - foot[1])
    radius = sqrt(glue.radius_mm**2 - off**2)
    ring = circle((*foot, glue.z_mm), d, radius)
    return curve_edge(ring, a, b, pi + asin(-to_foot / radius), pi + asin((length - to_foot) / radius))

"""The top of a brace as faces: ruled or curved strips between rails."""

from __future__ import annotations

from OCP.TopoDS import TopoDS_Edge, TopoDS_Face

from braces.solids.chain import Post, Side, Skin
from braces.solids.kernel import (
    along_u,
    curve_edge,
    face,
    lay_on,
    plan_curve,
    plan_line,
    spline_curve,
    spline_surface,
    vertex,
)
from braces.solids.layout import Layout, Line
from braces.solids.rails import Top, across, image_across, rail, strip_surface


def upper_side(top: Top, layout: Layout) -> Side:
    """Return how the top of a brace is made."""
    stations = top.shape.y_mm.tolist()

    def post(line: Line) -> Post:
        plan = [(line.x(y), y) for y in stations]
        corners = tuple(vertex((*top.course.at(x, y), float(top.z(x, y)))) for x, y in plan)
        edges = []
        for i in range(len(stations) - 1):
            curve = spline_curve(across(top, plan[i], plan[i + 1]))
            edges.append(curve_edge(curve, corners[i], corners[i + 1], curve.FirstParameter(), curve.LastParameter()))
        return Post(line, corners, tuple(edges))

    def skin(a: Post, b: Post) -> Skin:
        lo = min(a.line.x(y) for y in (stations[0], stations[-1]))
        hi = max(b.line.x(y) for y in (stations[0], stations[-1]))
        rails = [
            curve_edge(spline_curve(rail(top, i, lo, hi)), a.corners[i], b.corners[i], a.line.x(y), b.line.x(y))
            for i, y in enumerate(stations)
        ]
        strips = tuple(_strip(top, i, (lo, hi), rails, a, b) for i in range(len(stations) - 1))
        return Skin(strips, (rails[0],), (rails[-1],))

    return Side(True, layout.course, layout.half_mm, post, skin)


def _strip(top: Top, i: int, reach: tuple[float, float], rails: list[TopoDS_Edge], a: Post, b: Post) -> TopoDS_Face:
    s = strip_surface(top, i, *reach)
    surface = spline_surface(s.along, s.lines, s.y_mm)
    y0, y1 = s.y_mm
    # The surface's parameters are X and Y, so every edge's image on it is its own plan view, unrolled.
    lay_on(rails[i], surface, along_u(y0))
    lay_on(rails[i + 1], surface, along_u(y1))
    for post in (a, b):
        p, q = (post.line.x(y0), y0), (post.line.x(y1), y1)
        lay_on(
            post.across[i], surface, plan_line(p, q) if top.course.is_straight else plan_curve(image_across(top, p, q))
        )
    return face(surface, (rails[i], b.across[i], rails[i + 1].Reversed(), a.across[i].Reversed()))

"""The few things asked of the CAD kernel, in plain words.

Faces share their edges and edges their vertices from the start, so a solid is closed by construction and
needs no sewing. Every surface is laid so that its own normal points out of the wood; loops run
anticlockwise about it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeVertex
from OCP.Geom import (
    Geom_BSplineCurve,
    Geom_BSplineSurface,
    Geom_Circle,
    Geom_Curve,
    Geom_CylindricalSurface,
    Geom_Plane,
    Geom_SphericalSurface,
    Geom_Surface,
)
from OCP.Geom2d import Geom2d_BSplineCurve, Geom2d_Curve, Geom2d_Line
from OCP.gp import gp_Ax2, gp_Ax3, gp_Dir, gp_Dir2d, gp_Pnt, gp_Pnt2d
from OCP.ShapeFix import ShapeFix_Edge
from OCP.TColgp import TColgp_Array1OfPnt, TColgp_Array1OfPnt2d, TColgp_Array2OfPnt
from OCP.TColStd import TColStd_Array1OfInteger, TColStd_Array1OfReal
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import (
    TopoDS,
    TopoDS_Edge,
    TopoDS_Face,
    TopoDS_Shell,
    TopoDS_Solid,
    TopoDS_Vertex,
    TopoDS_Wire,
)

from braces.curves.spline import Spline

Xyz = tuple[float, float, float]

TOLERANCE_MM = 1e-6  #: what vertices and edges may be off the surfaces that they bound


class SolidError(Exception):
    """A solid did not come out as the numbers say: our mistake, never the maker's."""


def vertex(at: Xyz, tolerance_mm: float = TOLERANCE_MM) -> TopoDS_Vertex:
    """Return a vertex."""
    v = BRepBuilderAPI_MakeVertex(gp_Pnt(*at)).Vertex()
    BRep_Builder().UpdateVertex(v, tolerance_mm)
    return v


def line_edge(a: TopoDS_Vertex, b: TopoDS_Vertex) -> TopoDS_Edge:
    """Return the straight edge between two vertices.

    Raises:
        SolidError: if they coincide.
    """
    if BRep_Tool.Pnt_s(a).Distance(BRep_Tool.Pnt_s(b)) < 10 * TOLERANCE_MM:
        raise SolidError("an edge would have no length")
    return _made(BRepBuilderAPI_MakeEdge(a, b))


def curve_edge(
    curve: Geom_Curve,
    a: TopoDS_Vertex,
    b: TopoDS_Vertex,
    from_: float,
    to: float,
    tolerance_mm: float = TOLERANCE_MM,
) -> TopoDS_Edge:
    """Return the edge on a curve from parameter ``from_`` at ``a`` to ``to`` at ``b``.

    Raises:
        SolidError: if a vertex does not lie on the curve there.
    """
    return _made(BRepBuilderAPI_MakeEdge(curve, a, b, from_, to), tolerance_mm)


def _made(maker: BRepBuilderAPI_MakeEdge, tolerance_mm: float = TOLERANCE_MM) -> TopoDS_Edge:
    if not maker.IsDone():
        raise SolidError(f"an edge could not be made: {maker.Error().name}")
    edge = maker.Edge()
    BRep_Builder().UpdateEdge(edge, tolerance_mm)
    return edge


def backward(edges: Sequence[TopoDS_Edge]) -> tuple[TopoDS_Edge, ...]:
    """Return a run of edges walked the other way."""
    return tuple(e.Reversed() for e in reversed(edges))


def face(
    surface: Geom_Surface, *loops: Iterable[TopoDS_Edge], flipped: bool = False, project: bool = False
) -> TopoDS_Face:
    """Return the face inside the first loop and outside the others.

    Loops run anticlockwise (holes clockwise) about the normal that points out of the wood. ``flipped``: the
    surface's own normal points into the wood. ``project``: let the kernel find the image of those edges
    that have none on the surface yet (planes need none).
    """
    builder = BRep_Builder()
    made = TopoDS_Face()
    builder.MakeFace(made, surface, TOLERANCE_MM)
    for loop in loops:
        wire = TopoDS_Wire()
        builder.MakeWire(wire)
        for edge in loop:
            builder.Add(wire, edge)
            if project:
                ShapeFix_Edge().FixAddPCurve(TopoDS.Edge_s(edge), made, False, TOLERANCE_MM / 10)
        wire.Closed(True)
        builder.Add(made, wire.Reversed() if flipped else wire)
    return made.Reversed() if flipped else made


def lay_on(edge: TopoDS_Edge, surface: Geom_Surface, image: Geom2d_Curve) -> None:
    """Give an edge its image on a surface; it must be traced at the same parameters as the edge."""
    BRep_Builder().UpdateEdge(edge, image, surface, TopLoc_Location(), TOLERANCE_MM)


def solid(faces: Iterable[TopoDS_Face]) -> TopoDS_Solid:
    """Return the solid that the faces enclose."""
    builder = BRep_Builder()
    shell, made = TopoDS_Shell(), TopoDS_Solid()
    builder.MakeShell(shell)
    for f in faces:
        builder.Add(shell, f)
    shell.Closed(True)
    builder.MakeSolid(made)
    builder.Add(made, shell)
    return made


def plan_line(p: tuple[float, float], q: tuple[float, float]) -> Geom2d_Line:
    """Return the straight line from p towards q, its parameter the distance from p."""
    return Geom2d_Line(gp_Pnt2d(*p), gp_Dir2d(q[0] - p[0], q[1] - p[1]))


def along_u(v: float) -> Geom2d_Line:
    """Return the line of constant v, its parameter u itself."""
    return Geom2d_Line(gp_Pnt2d(0.0, v), gp_Dir2d(1.0, 0.0))


def plane(at: Xyz, normal: Xyz) -> Geom_Plane:
    """Return a plane."""
    return Geom_Plane(gp_Pnt(*at), gp_Dir(*normal))


def sphere(centre: Xyz, radius_mm: float) -> Geom_SphericalSurface:
    """Return a sphere, normal outwards, whose poles lie level with its centre and whose seam is at its top.

    A dome's patch is small and at the bottom, so neither comes near it; a pole inside a face makes a solid
    that passes every check of the kernel and still cannot be meshed.
    """
    return Geom_SphericalSurface(gp_Ax3(gp_Pnt(*centre), gp_Dir(0, 1, 0), gp_Dir(0, 0, 1)), radius_mm)


def cylinder(centre: Xyz, axis: Xyz, up: Xyz, radius_mm: float) -> Geom_CylindricalSurface:
    """Return a cylinder, normal outwards, its seam in the direction ``up``."""
    return Geom_CylindricalSurface(gp_Ax3(gp_Pnt(*centre), gp_Dir(*axis), gp_Dir(*up)), radius_mm)


def circle(centre: Xyz, forward: tuple[float, float], radius_mm: float) -> Geom_Circle:
    """Return an upright circle; its angle is pi at the bottom and grows towards ``forward`` (in plan)."""
    normal = gp_Dir(forward[1], -forward[0], 0.0)
    return Geom_Circle(gp_Ax2(gp_Pnt(*centre), normal, gp_Dir(0, 0, 1)), radius_mm)


def _knots(s: Spline) -> tuple[TColStd_Array1OfReal, TColStd_Array1OfInteger]:
    n = len(s.knots)
    knots, multiplicities = TColStd_Array1OfReal(1, n), TColStd_Array1OfInteger(1, n)
    for i, (u, m) in enumerate(zip(s.knots.tolist(), s.multiplicities, strict=True), 1):
        knots.SetValue(i, u)
        multiplicities.SetValue(i, m)
    return knots, multiplicities


def spline_curve(s: Spline) -> Geom_BSplineCurve:
    """Return a space curve from a spline with three-dimensional poles."""
    poles = TColgp_Array1OfPnt(1, len(s.poles))
    for i, p in enumerate(s.poles.tolist(), 1):
        poles.SetValue(i, gp_Pnt(*p))
    return Geom_BSplineCurve(poles, *_knots(s), s.degree)


def plan_curve(s: Spline) -> Geom2d_BSplineCurve:
    """Return a curve in the parameters of a surface from a spline with two-dimensional poles."""
    poles = TColgp_Array1OfPnt2d(1, len(s.poles))
    for i, p in enumerate(s.poles.tolist(), 1):
        poles.SetValue(i, gp_Pnt2d(*p))
    return Geom2d_BSplineCurve(poles, *_knots(s), s.degree)


def spline_surface(along: Spline, lines: Sequence[NDArray[np.float64]], v: tuple[float, float]) -> Geom_BSplineSurface:
    """Return the surface whose lines of poles (each (m, 3)) share the knots of ``along``.

    u is the parameter of ``along``; v runs over one polynomial piece, v[0] at the first line, v[1] at the
    last.
    """
    poles = TColgp_Array2OfPnt(1, len(lines[0]), 1, len(lines))
    for j, line in enumerate(lines, 1):
        for i, p in enumerate(line.tolist(), 1):
            poles.SetValue(i, j, gp_Pnt(*p))
    u_knots, u_multiplicities = _knots(along)
    v_knots, v_multiplicities = TColStd_Array1OfReal(1, 2), TColStd_Array1OfInteger(1, 2)
    for i in (1, 2):
        v_knots.SetValue(i, v[i - 1])
        v_multiplicities.SetValue(i, len(lines))
    return Geom_BSplineSurface(
        poles, u_knots, v_knots, u_multiplicities, v_multiplicities, along.degree, len(lines) - 1
    )

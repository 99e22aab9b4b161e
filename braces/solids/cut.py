"""Notches that run into one another, over an end or out of the wood: the rare ones, left to the kernel's booleans."""

from __future__ import annotations

from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopoDS import TopoDS, TopoDS_Solid

from braces.carved.values import CarvedBrace, Notch
from braces.curves.course import STRAIGHT, Course
from braces.solids.check import parts_of
from braces.solids.kernel import SolidError, face, line_edge, plane, solid, vertex
from braces.solids.layout import Line, reach_of

OVER_MM = 5.0  #: how far a cutter stands out of the wood


def cut_notch(body: TopoDS_Solid, notch: Notch, brace: CarvedBrace) -> TopoDS_Solid:
    """Return the body less one notch.

    Raises:
        SolidError: if the cut does not leave exactly one solid.
    """
    rise = float(max(brace.height.y_mm)) + max(brace.glue.at(x, 0.0) for x in (0.0, brace.length_mm))
    if notch.opens == "room":
        low, high = notch.floor_z_mm, rise + OVER_MM
    else:
        low, high = -OVER_MM, notch.floor_z_mm
    half = brace.width_mm / 2
    reach = reach_of(notch, half)
    y = max(reach.low_y_mm, -half - OVER_MM), min(reach.high_y_mm, half + OVER_MM)
    cut = BRepAlgoAPI_Cut(body, prism(reach.gap.first, reach.gap.last, y, (low, high), brace.course))
    found = [TopoDS.Solid_s(s) for s in parts_of(cut.Shape(), TopAbs_SOLID)]
    if not cut.IsDone() or len(found) != 1:
        raise SolidError(f"{brace.name}: the notch for {notch.with_} left {len(found)} pieces")
    return found[0]


def prism(
    first: Line, last: Line, y_mm: tuple[float, float], z_mm: tuple[float, float], course: Course = STRAIGHT
) -> TopoDS_Solid:
    """Return the upright block between two parallel cuts, two sides and two levels."""
    right, left = y_mm
    places = [(first.x(right), right), (last.x(right), right), (last.x(left), left), (first.x(left), left)]
    plan = [course.at(*p) for p in places]
    low, high = ([vertex((x, y, z)) for x, y in plan] for z in z_mm)
    turn = [(i, (i + 1) % 4) for i in range(4)]
    foot, head = ([line_edge(ring[i], ring[j]) for i, j in turn] for ring in (low, high))
    posts = [line_edge(a, b) for a, b in zip(low, high, strict=True)]
    nx, ny, _ = first.normal_on(course)
    outward = [_out(plan[0], plan[1]), (nx, ny, 0.0), _out(plan[2], plan[3]), (-nx, -ny, 0.0)]
    walls = [
        face(
            plane((*plan[i], z_mm[0]), outward[i]),
            (foot[i], posts[j], head[i].Reversed(), posts[i].Reversed()),
        )
        for i, j in turn
    ]
    return solid(
        [
            *walls,
            face(plane((0, 0, z_mm[0]), (0, 0, -1)), [e.Reversed() for e in reversed(foot)]),
            face(plane((0, 0, z_mm[1]), (0, 0, 1)), head),
        ]
    )


def _out(p: tuple[float, float], q: tuple[float, float]) -> tuple[float, float, float]:
    """To the right of the way from p to q, which is out of a block whose plan runs anticlockwise."""
    return q[1] - p[1], p[0] - q[0], 0.0

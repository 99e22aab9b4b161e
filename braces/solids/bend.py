"""What a curved brace has that a straight one has not: level arcs, and sides that are cylinders."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Vertex

from braces.curves.course import Course
from braces.curves.spline import from_pieces
from braces.solids.kernel import curve_edge, cylinder, face, line_edge, plane, spline_curve
from braces.solids.rails import bend_step_mm, plan_pieces


def level_edge(
    course: Course, y_mm: float, s_mm: tuple[float, float], ends: tuple[TopoDS_Vertex, TopoDS_Vertex], z_mm: float
) -> TopoDS_Edge:
    """Return the level edge along a course at a distance aside, from one station to another."""
    if course.is_straight:
        return line_edge(*ends)
    knots = np.linspace(*s_mm, 1 + ceil((s_mm[1] - s_mm[0]) / bend_step_mm(course)))
    plan = plan_pieces(course, knots, y_mm)
    spline = from_pieces(knots, np.concatenate([plan, np.full((*plan.shape[:2], 1), z_mm)], axis=-1))
    return curve_edge(spline_curve(spline), *ends, *s_mm)


def side_face(course: Course, y_mm: float, loop: Sequence[TopoDS_Edge]) -> TopoDS_Face:
    """Return an upright side of a brace: a plane, or a cylinder about the centre of the bend.

    The loop runs anticlockwise seen from outside the wood.
    """
    if course.is_straight:
        return face(plane((0, y_mm, 0), (0, 1 if y_mm > 0 else -1, 0)), loop)
    x, y = course.centre
    mx, my = course.at(course.length_mm / 2)
    # The seam lies on the far side of the axis, away from the wood.
    surface = cylinder((x, y, 0.0), (0.0, 0.0, 1.0), (x - mx, y - my, 0.0), abs(course.radius_mm - y_mm))
    is_inside = y_mm * course.radius_mm > 0
    return face(surface, loop, flipped=is_inside, project=True)

"""A brace as a STEP solid in its bench frame, made face by face from shared edges: exact, and quick."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Solid

from braces.carved.values import CarvedBrace
from braces.solids.bend import side_face
from braces.solids.chain import Chain, Post, build_chain
from braces.solids.check import check_brace
from braces.solids.cut import cut_notch
from braces.solids.kernel import SolidError, backward, face, line_edge, plane, solid
from braces.solids.layout import Gap, Layout, Line, layout_of
from braces.solids.rails import Top, top_of
from braces.solids.under import under_side
from braces.solids.upper import upper_side

LEAST_WOOD_MM = 0.01  #: less than this at a side makes faces too thin to be valid


def brace_solid(brace: CarvedBrace) -> TopoDS_Solid:
    """Return one brace as a checked solid in its bench frame, mm.

    Raises:
        SolidError: if the solid is not one closed valid body of the volume and glue face the brace states.
    """
    made = build_brace(brace)
    check_brace(made, brace)
    return made


def build_brace(brace: CarvedBrace) -> TopoDS_Solid:
    """Return one brace as a solid without checking it."""
    layout = layout_of(brace)
    made = _plain(brace, layout)
    for notch in layout.tangled:
        made = cut_notch(made, notch, brace)
    return made


def _plain(brace: CarvedBrace, layout: Layout) -> TopoDS_Solid:
    """Return the brace with every notch that stands clear."""
    top = _top(brace, layout)
    _require_wood(brace, layout, top)
    upper = build_chain(upper_side(top, layout), _runs(layout, layout.room, layout.creases), layout.room)
    under = build_chain(under_side(brace.bed, layout), _runs(layout, layout.plate, ()), layout.plate)
    return solid((*upper.faces, *under.faces, *_upright(layout, upper, under)))


def _top(brace: CarvedBrace, layout: Layout) -> Top:
    lines = [layout.start, layout.end, *layout.creases]
    lines += [line for gap in layout.room for line in (gap.first, gap.last)]
    cuts = [line.x(y) for line in lines for y in (-layout.half_mm, layout.half_mm)]
    return top_of(brace, min(cuts), max(cuts), cuts)


def _require_wood(brace: CarvedBrace, layout: Layout, top: Top) -> None:
    """Refuse a brace whose sides, its lowest part, come down to the glue face anywhere."""
    for y in (-layout.half_mm, layout.half_mm):
        x = np.linspace(layout.start.x(y), layout.end.x(y), 301)
        wood = top.z(x, y) - brace.glue.z(x, y)
        if wood.min() < LEAST_WOOD_MM:
            raise SolidError(f"{brace.name}: no wood left on one side at X = {x[wood.argmin()]:.1f} mm")


def _runs(layout: Layout, gaps: Sequence[Gap], creases: Sequence[Line]) -> list[list[Line]]:
    """Return the stretches between gaps, each as its lines in order: its limits and the creases within."""
    limits = [layout.start, *(line for gap in gaps for line in (gap.first, gap.last)), layout.end]
    return [
        [a, *(c for c in creases if a.at_mm < c.at_mm < b.at_mm), b]
        for a, b in zip(limits[::2], limits[1::2], strict=True)
    ]


def _stiles(low: Post, high: Post) -> tuple[TopoDS_Edge, TopoDS_Edge]:
    """Return the upright edges of an end face, right and left, glue face to top."""
    return line_edge(low.corners[0], high.corners[0]), line_edge(low.corners[-1], high.corners[-1])


def _upright(layout: Layout, upper: Chain, under: Chain) -> tuple[TopoDS_Face, ...]:
    """Return the two sides and the two end faces between a top and an underside."""
    start, end = _stiles(under.start, upper.start), _stiles(under.end, upper.end)
    right = (*under.right, end[0], *backward(upper.right), start[0].Reversed())
    left = backward((*under.left, end[1], *backward(upper.left), start[1].Reversed()))
    foot = (*under.end.across, end[1], *backward(upper.end.across), end[0].Reversed())
    head = backward((*under.start.across, start[1], *backward(upper.start.across), start[0].Reversed()))
    half = layout.half_mm
    course = layout.course
    nx, ny, _ = layout.start.normal_on(course)
    return (
        side_face(course, -half, right),
        side_face(course, half, left),
        face(plane((*course.at(layout.start.at_mm), 0.0), (-nx, -ny, 0)), head),
        face(plane((*course.at(layout.end.at_mm), 0.0), layout.end.normal_on(course)), foot),
    )

"""A domed plate as a solid, and the plate with all its braces in place as one assembly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Solid, TopoDS_Vertex

from braces.base.arrays import Points
from braces.carved.values import CarvedBrace
from braces.curves.frames import Placement
from braces.curves.ring import Ring, circle, fitting, raised, ring_through, stretches_through
from braces.curves.spline import Spline, from_pieces
from braces.curves.surface import Surface
from braces.solids.bed import Bed, bed_of
from braces.solids.check import check_solid
from braces.solids.kernel import (
    along_u,
    backward,
    curve_edge,
    cylinder,
    face,
    lay_on,
    line_edge,
    solid,
    spline_curve,
    spline_surface,
)
from braces.solids.step import Part, assembly_bytes

RIM_MM = 1e-5  #: how closely the edges round a plate follow its faces


@dataclass(frozen=True, slots=True, eq=False)
class PlateShape:
    """A bare plate: two faces over the plan, an outline, a hole. Plan in body axes, depth w into the room."""

    name: str
    facing: int  #: -1 for a top, whose inside looks down; +1 for a back
    outline: Points  #: (n, 2) close points of a closed curve, smooth but at its ``corners``
    outer: Surface
    inner: Surface
    hole: tuple[float, float, float] | None = None  #: x, y, radius of the soundhole, mm
    corners: tuple[int, ...] = ()  #: which of the outline's points are true corners

    def __post_init__(self) -> None:
        if self.facing not in (-1, 1):
            raise ValueError("a plate faces down (-1) or up (+1)")


def plate_assembly(
    name: str, plate: PlateShape, braces: Sequence[tuple[CarvedBrace, TopoDS_Solid]], placement: Placement
) -> bytes:
    """Return a plate and its braces, each in its place, as a STEP file.

    ``placement`` takes the plate's frame (u to the right and v to the neck as seen from inside, w into the
    room, w = 0 at the apex of the outer face) to the frame of the body.

    Raises:
        SolidError: if the plate does not come out as one closed valid solid of the right volume.
    """
    parts = [Part(plate.name, plate_solid(plate), placement)]
    parts += [Part(b.name, s, placement.after(brace_placement(b, plate.facing))) for b, s in braces]
    return assembly_bytes(name, parts)


def brace_placement(brace: CarvedBrace, facing: int) -> Placement:
    """Return the motion from a brace's bench frame to its plate's frame.

    ``facing`` is -1 for a top (u = -x) and +1 for a back (u = +x).
    """
    (hx, hy), (x, y) = brace.heading_xy, brace.origin_xy_mm
    hu = facing * hx
    # Columns are bench X, Y = Z x X and Z.
    rotation = ((hu, -hy, 0.0), (hy, hu, 0.0), (0.0, 0.0, 1.0))
    return Placement(rotation, (facing * x, y, brace.glue_depth_mm))


def plate_solid(plate: PlateShape) -> TopoDS_Solid:
    """Return the bare plate as a checked solid in its own frame.

    Raises:
        SolidError: if it is not one closed valid solid of the right volume.
    """
    outer, inner = (_seen(f, plate.facing) for f in (plate.outer, plate.inner))
    loops = [_round_the_outline(plate, inner)]
    if plate.hole:
        x, y, radius = plate.hole
        loops.append(_halves(fitting(circle(plate.facing * x, y, radius), inner, RIM_MM / 2)))
    beds = bed_of(outer), bed_of(inner)
    rims = [_rim(loop, beds) for loop in loops]
    walls = [_outline_wall(part) for part in rims[0]]
    if plate.hole:
        walls += [_hole_wall(part, plate.facing * x, y, radius) for part in rims[1]]

    made = solid([*walls, *_faces(rims, beds)])
    volumes = [sum(part.integral(lambda x, y: inner.z(x, y) - outer.z(x, y)) for part in loop) for loop in loops]
    check_solid(made, plate.name, volumes[0] - sum(volumes[1:]))
    return made


def _seen(surface: Surface, facing: int) -> Surface:
    """Return a face over the body's plan as the plate's own frame has it."""
    return replace(surface, x_mm=facing * surface.x_mm, axis=(facing * surface.axis[0], surface.axis[1]))


def _round_the_outline(plate: PlateShape, surface: Surface) -> tuple[Ring, ...]:
    """Return the outline as seen from inside in smooth stretches, two at least, so that no face needs a seam."""
    points = plate.outline * np.array([plate.facing, 1.0])
    if not plate.corners:
        return _halves(fitting(ring_through(points), surface, RIM_MM / 2))
    fine = tuple(fitting(part, surface, RIM_MM / 2) for part in stretches_through(points, plate.corners))
    return fine if len(fine) > 1 else _halves(fine[0])


def _halves(ring: Ring) -> tuple[Ring, Ring]:
    last = len(ring.s_mm) - 1
    return ring.part(0, last // 2), ring.part(last // 2, last)


@dataclass(frozen=True, slots=True)
class _RimPart:
    """A stretch of a closed rim: its edges on both faces of the plate and the upright ones at its ends."""

    outer: TopoDS_Edge
    inner: TopoDS_Edge
    start: TopoDS_Edge  #: from the outer to the inner face
    end: TopoDS_Edge
    outer_spline: Spline
    inner_spline: Spline


def _rim(loop: tuple[Ring, ...], beds: tuple[Bed, Bed]) -> tuple[_RimPart, ...]:
    """Return a closed rim, a part for every stretch of it."""
    tops, feet = ([b.corner(tuple(part.points[0].tolist()), RIM_MM) for part in loop] for b in beds)
    posts = [line_edge(a, b) for a, b in zip(tops, feet, strict=True)]

    def part(a: int, stretch: Ring) -> _RimPart:
        z = (a + 1) % len(loop)
        splines = [_lifted(stretch, b.shape) for b in beds]
        edges = [_rim_edge(c, v[a], v[z]) for c, v in zip(splines, (tops, feet), strict=True)]
        for edge, b in zip(edges, beds, strict=True):
            b.lay(edge, stretch.s_mm, stretch.points, stretch.tangents)
        return _RimPart(edges[0], edges[1], posts[a], posts[z], splines[0], splines[1])

    return tuple(part(a, stretch) for a, stretch in enumerate(loop))


def _rim_edge(spline: Spline, a: TopoDS_Vertex, b: TopoDS_Vertex) -> TopoDS_Edge:
    return curve_edge(spline_curve(spline), a, b, float(spline.knots[0]), float(spline.knots[-1]), RIM_MM)


def _lifted(ring: Ring, surface: Surface) -> Spline:
    """Return a stretch of plan curve raised onto a surface, poles (m, 3)."""
    z, dz = raised(ring, surface)
    points, tangents = np.column_stack([ring.points, z]), np.column_stack([ring.tangents, dz])
    third = np.diff(ring.s_mm)[:, None] / 3
    pieces = [points[:-1], points[:-1] + third * tangents[:-1], points[1:] - third * tangents[1:], points[1:]]
    return from_pieces(ring.s_mm, np.stack(pieces, axis=1))


def _loop(part: _RimPart) -> tuple[TopoDS_Edge, ...]:
    """Return the edges round a rim part, anticlockwise seen from outside the ring."""
    return part.outer, part.end, part.inner.Reversed(), part.start.Reversed()


def _outline_wall(part: _RimPart) -> TopoDS_Face:
    surface = spline_surface(part.outer_spline, (part.outer_spline.poles, part.inner_spline.poles), (0.0, 1.0))
    lay_on(part.outer, surface, along_u(0.0))
    lay_on(part.inner, surface, along_u(1.0))
    return face(surface, _loop(part), project=True)


def _hole_wall(part: _RimPart, x_mm: float, y_mm: float, radius_mm: float) -> TopoDS_Face:
    """Return half the wall of a round hole, on a cylinder whose seam is on the other half."""
    middle = part.outer_spline.poles[len(part.outer_spline.poles) // 2]
    away = (x_mm - float(middle[0]), y_mm - float(middle[1]), 0.0)
    surface = cylinder((x_mm, y_mm, 0.0), (0.0, 0.0, 1.0), away, radius_mm)
    return face(surface, backward(_loop(part)), flipped=True, project=True)


def _faces(rims: Sequence[tuple[_RimPart, ...]], beds: tuple[Bed, Bed]) -> list[TopoDS_Face]:
    """Return the outer and the inner face inside the first rim and outside the others."""
    below, above = ([tuple(getattr(p, f) for p in rim) for rim in rims] for f in ("outer", "inner"))
    # Seen from inside, the first rim runs anticlockwise; holes must run the other way, as must all seen
    # from outside.
    inside = [above[0], *(backward(loop) for loop in above[1:])]
    outside = [backward(below[0]), *below[1:]]
    outer, inner = beds
    return [face(outer.surface, *outside), face(inner.surface, *inside, flipped=True)]

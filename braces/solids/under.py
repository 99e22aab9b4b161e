"""The underside of a brace as faces: patches of the plate's own sphere, cylinder or plane, inlets let into them."""

from __future__ import annotations

from dataclasses import dataclass

from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Vertex

from braces.curves.surface import Surface
from braces.solids.bed import Bed, bed_of
from braces.solids.chain import Post, Side, Skin
from braces.solids.kernel import SolidError, backward, face, line_edge, plane, vertex
from braces.solids.layout import Inlet, Layout, Line


def under_side(glue: Surface, layout: Layout) -> Side:
    """Return how the underside of a brace is made."""
    bed = bed_of(glue)
    half = layout.half_mm

    def post(line: Line) -> Post:
        plan = [layout.course.at(line.x(y), y) for y in (-half, half)]
        corners = tuple(bed.corner(p) for p in plan)
        return Post(line, corners, (bed.edge(plan[0], plan[1], *corners),))

    def skin(a: Post, b: Post) -> Skin:
        right, left = (
            _margin(bed, (a.line.x(y), b.line.x(y)), y, (a.corners[i], b.corners[i]), layout)
            for i, y in ((0, -half), (1, half))
        )
        loop = (*a.across, *left.border, b.across[0].Reversed(), *backward(right.border))
        return Skin((face(bed.surface, loop), *right.faces, *left.faces), right.outline, left.outline)

    return Side(False, layout.course, half, post, skin)


@dataclass(frozen=True, slots=True)
class _Margin:
    """One side of a stretch of underside, towards +X."""

    outline: tuple[TopoDS_Edge, ...]  #: of the upright side, up into the inlets
    border: tuple[TopoDS_Edge, ...]  #: of the glue face, round the inlets
    faces: tuple[TopoDS_Face, ...]  #: of the inlets


def _margin(
    bed: Bed,
    x_mm: tuple[float, float],
    y_mm: float,
    corners: tuple[TopoDS_Vertex, TopoDS_Vertex],
    layout: Layout,
) -> _Margin:
    """Return the side at ``y_mm`` between two corners at ``x_mm``, with the inlets that open to it there."""
    mine = [i for i in layout.inlets if i.outer_y_mm == y_mm and x_mm[0] < i.gap.first.x(y_mm) < x_mm[1]]
    outline: list[TopoDS_Edge] = []
    border: list[TopoDS_Edge] = []
    faces: list[TopoDS_Face] = []

    x, corner = x_mm[0], corners[0]
    for inlet in sorted(mine, key=lambda i: i.gap.first.x(y_mm)):
        if not layout.course.is_straight:
            raise SolidError("an inlet in a curved brace")
        made = _inlet(bed, inlet)
        before = bed.along(layout.course, y_mm, (x, inlet.gap.first.x(y_mm)), corner, made.near)
        outline += [before, *made.margin.outline]
        border += [before, *made.margin.border]
        faces += made.margin.faces
        x, corner = inlet.gap.last.x(y_mm), made.far
    rest = bed.along(layout.course, y_mm, (x, x_mm[1]), corner, corners[1])
    return _Margin((*outline, rest), (*border, rest), tuple(faces))


@dataclass(frozen=True, slots=True)
class _Let:
    """An inlet and its two corners where the side meets the glue face."""

    near: TopoDS_Vertex
    far: TopoDS_Vertex
    margin: _Margin


def _inlet(bed: Bed, inlet: Inlet) -> _Let:
    """Return two walls, an end wall and a floor: a box open to the plate and to one side.

    Loops are written for an inlet from the right (-Y); one from the left is the same with every loop turned round.
    No brace is let into a curved one, so stations are places in plan here.
    """
    first, last, floor_z = inlet.gap.first, inlet.gap.last, inlet.gap.floor_z_mm
    outer, inner = inlet.outer_y_mm, inlet.inner_y_mm
    plan = [(first.x(outer), outer), (first.x(inner), inner), (last.x(inner), inner), (last.x(outer), outer)]
    feet, heads = [bed.corner(p) for p in plan], [vertex((*p, floor_z)) for p in plan]
    turn = ((0, 1), (1, 2), (2, 3))  # in along the near wall, along the end wall, out along the far one
    low = [bed.edge(plan[i], plan[j], feet[i], feet[j]) for i, j in turn]
    high = [line_edge(heads[i], heads[j]) for i, j in turn]
    up = [line_edge(foot, head) for foot, head in zip(feet, heads, strict=True)]
    mouth = line_edge(heads[0], heads[3])

    turned = backward if outer > 0 else tuple
    loops = [turned((low[i], up[j], high[i].Reversed(), up[i].Reversed())) for i, j in turn]
    nx, ny, _ = first.normal
    outward = ((nx, ny, 0.0), (0.0, 1.0 if outer > 0 else -1.0, 0.0), (-nx, -ny, 0.0))
    walls = [face(plane((*plan[i], floor_z), outward[i]), loops[i]) for i in range(3)]
    floor = face(plane((*plan[0], floor_z), (0, 0, -1)), turned((*high, mouth.Reversed())))
    return _Let(feet[0], feet[3], _Margin((up[0], mouth, up[3].Reversed()), tuple(low), (*walls, floor)))

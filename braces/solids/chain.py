"""One side of a brace, its top or its underside, as a chain of faces from end to end, notches let into it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Vertex

from braces.curves.course import Course
from braces.solids.bend import level_edge
from braces.solids.kernel import backward, face, line_edge, plane, vertex
from braces.solids.layout import Gap, Line


@dataclass(frozen=True, slots=True)
class Post:
    """Where a line crosses a side: its corners from right (-Y) to left and the edges between them."""

    line: Line
    corners: tuple[TopoDS_Vertex, ...]
    across: tuple[TopoDS_Edge, ...]


@dataclass(frozen=True, slots=True)
class Skin:
    """The faces of a side between two posts, and its outermost edges towards +X."""

    faces: tuple[TopoDS_Face, ...]
    right: tuple[TopoDS_Edge, ...]
    left: tuple[TopoDS_Edge, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """How one side of a brace is made: a post at a line, a skin between two posts."""

    is_top: bool
    course: Course
    half_mm: float
    post: Callable[[Line], Post]
    skin: Callable[[Post, Post], Skin]


@dataclass(frozen=True, slots=True)
class Chain:
    """A finished side and the edges it shares with the upright faces."""

    faces: tuple[TopoDS_Face, ...]
    right: tuple[TopoDS_Edge, ...]  #: towards +X
    left: tuple[TopoDS_Edge, ...]  #: towards +X
    start: Post
    end: Post


def build_chain(side: Side, runs: Sequence[Sequence[Line]], gaps: Sequence[Gap]) -> Chain:
    """Return a side made of ``runs`` of skin, each along its lines, with ``gaps`` between them."""
    faces: list[TopoDS_Face] = []
    right: list[TopoDS_Edge] = []
    left: list[TopoDS_Edge] = []

    posts = [[side.post(line) for line in run] for run in runs]
    for i, run in enumerate(posts):
        if i:
            notch = _notch(side, posts[i - 1][-1], run[0], gaps[i - 1].floor_z_mm)
            faces += notch.faces
            right += notch.right
            left += notch.left
        for a, b in pairwise(run):
            skin = side.skin(a, b)
            faces += skin.faces
            right += skin.right
            left += skin.left
    return Chain(tuple(faces), tuple(right), tuple(left), posts[0][0], posts[-1][-1])


@dataclass(frozen=True, slots=True)
class _Notch:
    faces: tuple[TopoDS_Face, ...]
    right: tuple[TopoDS_Edge, ...]
    left: tuple[TopoDS_Edge, ...]


def _notch(side: Side, before: Post, after: Post, floor_z_mm: float) -> _Notch:
    """Return two walls and a floor between the last post before a notch and the first one after it.

    Loops are written for a notch in the top; one in the underside is the same with every loop turned round.
    """
    y = (-side.half_mm, side.half_mm)
    course = side.course
    near, far = (tuple(vertex((*course.at(p.line.x(yi), yi), floor_z_mm)) for yi in y) for p in (before, after))
    near_across, far_across = line_edge(*near), line_edge(*far)
    right, left = (
        level_edge(course, yi, (before.line.x(yi), after.line.x(yi)), (near[i], far[i]), floor_z_mm)
        for i, yi in enumerate(y)
    )
    down = [line_edge(before.corners[i], n) for i, n in zip((0, -1), near, strict=True)]
    up = [line_edge(f, after.corners[i]) for i, f in zip((0, -1), far, strict=True)]

    near_loop = (near_across, down[1].Reversed(), *backward(before.across), down[0])
    far_loop = (*after.across, up[1].Reversed(), far_across.Reversed(), up[0])
    floor_loop = (right, far_across, left.Reversed(), near_across.Reversed())
    sign = 1.0
    if not side.is_top:
        near_loop, far_loop, floor_loop = backward(near_loop), backward(far_loop), backward(floor_loop)
        sign = -1.0
    (nx, ny, _), (mx, my, _) = before.line.normal_on(course), after.line.normal_on(course)
    at, beyond = ((*course.at(p.line.at_mm), floor_z_mm) for p in (before, after))
    # A wall looks into the notch on either side of the brace; only the floor turns over.
    faces = (
        face(plane(at, (nx, ny, 0)), near_loop),
        face(plane(at, (0, 0, sign)), floor_loop),
        face(plane(beyond, (-mx, -my, 0)), far_loop),
    )
    return _Notch(faces, (down[0], right, up[0]), (down[1], left, up[1]))

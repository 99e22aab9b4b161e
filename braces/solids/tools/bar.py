"""A straight bar between two square ends, whose section may lie on a dome or on the top of a brace somewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Solid, TopoDS_Vertex

from braces.curves.surface import Surface
from braces.solids.bed import bed_of
from braces.solids.chain import Chain, Post
from braces.solids.kernel import SolidError, Xyz, backward, face, line_edge, plane, solid, vertex
from braces.solids.layout import Line

Corner = tuple[float, float]  #: (y, z) of a straight edge along X
Span = tuple[float, float]  #: X of the two ends
LEAST_MM2 = 1e-9


@dataclass(frozen=True, slots=True)
class Pit:
    """A pyramid of eight sides sunk at 45 degrees into a level flat, to take a tip."""

    x_mm: float
    y_mm: float
    half_mm: float  #: half its width over flats, and its depth


@dataclass(frozen=True, slots=True)
class _Rail:
    """One corner of the section, drawn along X."""

    start: TopoDS_Vertex
    end: TopoDS_Vertex
    edges: tuple[TopoDS_Edge, ...]  #: towards +X


def dome_patch(surface: Surface, half_mm: float, span: Span) -> Chain:
    """Return the patch of a dome over a strip of the plan, looking down out of the wood above it."""
    bed = bed_of(surface)
    posts = []
    for x in span:
        right, left = (x, -half_mm), (x, half_mm)
        corners = (bed.corner(right), bed.corner(left))
        posts.append(Post(Line(x), corners, (bed.edge(right, left, *corners),)))
    a, b = posts
    rails = [bed.edge((span[0], y), (span[1], y), a.corners[i], b.corners[i]) for i, y in ((0, -half_mm), (1, half_mm))]
    patch = face(bed.surface, (a.across[0], rails[1], b.across[0].Reversed(), rails[0].Reversed()))
    return Chain((patch,), (rails[0],), (rails[1],), a, b)


def both_sides(left: Sequence[Corner]) -> list[Corner]:
    """Return the corners of the left side (Y > 0) and, after them, their mirror images back again."""
    return [*left, *((-y, z) for y, z in reversed(left))]


def turned_over(chain: Chain) -> Chain:
    """Return the same faces, looking the other way."""
    return replace(chain, faces=tuple(f.Reversed() for f in chain.faces))


def bar_solid(
    border: Sequence[Chain | Corner], span: Span, pits: Sequence[Pit] = (), pits_after: int = -1
) -> TopoDS_Solid:
    """Return the bar whose section runs once round ``border``.

    Chains look down and are walked from -Y to +Y; whichever way the whole border runs, the solid comes out with
    its faces outwards. ``pits`` are sunk into the flat that leaves the corner ``border[pits_after]``.

    Raises:
        SolidError: if a face cannot be made.
    """
    rails, chains = _rails(border, span)
    pitted = _rail_index(border, pits_after) if pits else -1
    faces: list[TopoDS_Face] = []
    head: list[TopoDS_Edge] = []
    foot: list[TopoDS_Edge] = []
    for i, chain in enumerate(chains):
        j = (i + 1) % len(rails)
        if chain is not None:
            faces += chain.faces
            head += chain.start.across
            foot += chain.end.across
            continue
        near, far = line_edge(rails[i].start, rails[j].start), line_edge(rails[i].end, rails[j].end)
        loop = (*backward(rails[i].edges), near, *rails[j].edges, far.Reversed())
        corners = [rails[i].end, rails[i].start, rails[j].start, rails[j].end]
        if i == pitted:
            faces += _pitted(corners, loop, pits, float(np.mean([_xyz(r.start)[2] for r in rails])))
        else:
            faces.append(_flat(corners, loop))
        head.append(near)
        foot.append(far)
    faces.append(_flat([r.start for r in reversed(rails)], backward(head)))
    faces.append(_flat([r.end for r in rails], foot))
    return outward(faces)


def _rails(border: Sequence[Chain | Corner], span: Span) -> tuple[list[_Rail], list[Chain | None]]:
    rails: list[_Rail] = []
    chains: list[Chain | None] = []
    for item in border:
        if isinstance(item, Chain):
            rails.append(_Rail(item.start.corners[0], item.end.corners[0], item.right))
            rails.append(_Rail(item.start.corners[-1], item.end.corners[-1], item.left))
            chains += [item, None]
        else:
            a, b = (vertex((x, *item)) for x in span)
            rails.append(_Rail(a, b, (line_edge(a, b),)))
            chains.append(None)
    return rails, chains


def _rail_index(border: Sequence[Chain | Corner], index: int) -> int:
    place = index % len(border)
    return sum(2 if isinstance(item, Chain) else 1 for item in border[:place])


def _xyz(v: TopoDS_Vertex) -> Xyz:
    p = BRep_Tool.Pnt_s(v)
    return p.X(), p.Y(), p.Z()


def normal_of(corners: Sequence[TopoDS_Vertex]) -> Xyz:
    """Return the normal about which the corners run anticlockwise (Newell's sum); its length is twice the area.

    Raises:
        SolidError: if they enclose no area.
    """
    p = np.array([_xyz(v) for v in corners])
    p = p - p[0]
    n = np.cross(p, np.roll(p, -1, axis=0)).sum(axis=0)
    if np.linalg.norm(n) < LEAST_MM2:
        raise SolidError("a face of a bar has no area")
    return float(n[0]), float(n[1]), float(n[2])


def _flat(corners: Sequence[TopoDS_Vertex], loop: Sequence[TopoDS_Edge], *holes: Sequence[TopoDS_Edge]) -> TopoDS_Face:
    return face(plane(_xyz(corners[0]), normal_of(corners)), loop, *holes)


def _pitted(
    corners: Sequence[TopoDS_Vertex], loop: Sequence[TopoDS_Edge], pits: Sequence[Pit], wood_z_mm: float
) -> Iterator[TopoDS_Face]:
    """Yield a level flat with its pits and the walls of each; the wood lies on the side of ``wood_z_mm``."""
    up = 1.0 if normal_of(corners)[2] > 0 else -1.0
    level = _xyz(corners[0])[2]
    sink = 1.0 if wood_z_mm > level else -1.0
    holes = []
    for pit in pits:
        angles = (np.arange(8) + 0.5) * np.pi / 4 * up
        radius = pit.half_mm / np.cos(np.pi / 8)
        rim = [
            vertex((float(pit.x_mm + radius * np.cos(a)), float(pit.y_mm + radius * np.sin(a)), level)) for a in angles
        ]
        apex = vertex((pit.x_mm, pit.y_mm, level + sink * pit.half_mm))
        around = [line_edge(rim[k], rim[(k + 1) % 8]) for k in range(8)]
        down = [line_edge(v, apex) for v in rim]
        holes.append(backward(around))
        for k in range(8):
            j = (k + 1) % 8
            yield _flat([rim[k], rim[j], apex], (around[k], down[j], down[k].Reversed()))
    yield _flat(corners, loop, *holes)


def outward(faces: Sequence[TopoDS_Face]) -> TopoDS_Solid:
    """Return the solid that the faces enclose, all of them turned over if they look inwards.

    Raises:
        SolidError: if they enclose nothing.
    """
    made = solid(faces)
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(made, found)
    if abs(found.Mass()) < 1e-6:
        raise SolidError("the faces of a bar enclose nothing")
    return made if found.Mass() > 0 else solid([f.Reversed() for f in faces])

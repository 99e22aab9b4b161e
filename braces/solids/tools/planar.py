"""A closed mesh of flat faces as an exact solid: triangles in one plane become one face again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Solid, TopoDS_Vertex

from braces.solids.kernel import SolidError, face, line_edge, plane, solid, vertex
from braces.solids.mesh import Triangles, Vertices

_FLAT_MM = 1e-6  #: how far the corners of one face may be off its plane
_PARALLEL = 1 - 1e-9  #: cosine of the angle between neighbours that are one face


def planar_solid(vertices: Vertices, faces: Triangles) -> TopoDS_Solid:
    """Return the solid that a closed mesh bounds, one face to each set of neighbours in a plane.

    Raises:
        SolidError: if a face does not come out flat.
    """
    normals = _normals(vertices, faces)
    group = _groups(vertices, faces, normals)
    loops = _loops(faces, group)
    kept = _corners(loops, group, faces)
    corner: dict[int, TopoDS_Vertex] = {}
    edges: dict[tuple[int, int], TopoDS_Edge] = {}

    def edge(a: int, b: int) -> TopoDS_Edge:
        for v in (a, b):
            if v not in corner:
                x, y, z = vertices[v].tolist()
                corner[v] = vertex((x, y, z))
        if (b, a) in edges:
            return edges[b, a].Reversed()
        return edges.setdefault((a, b), line_edge(corner[a], corner[b]))

    made: list[TopoDS_Face] = []
    for g in sorted(loops):
        rings = [[v for v in ring if v in kept] for ring in loops[g]]
        if len(rings) > 1:  # the outer one first
            rings.sort(key=lambda ring: -abs(_area(vertices[ring], normals[g])))
        n, at = normals[g], vertices[rings[0][0]]
        if np.abs((vertices[[v for r in rings for v in r]] - at) @ n).max() > _FLAT_MM:
            raise SolidError("a face of a flat-sided tool is not flat")
        wires = [[edge(a, b) for a, b in pairwise([*ring, ring[0]])] for ring in rings]
        x, y, z = at.tolist()
        made.append(face(plane((x, y, z), (float(n[0]), float(n[1]), float(n[2]))), *wires))
    return solid(made)


def _normals(vertices: Vertices, faces: Triangles) -> Vertices:
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    n = np.cross(b - a, c - a)
    return np.asarray(n / np.linalg.norm(n, axis=1, keepdims=True))


def _groups(vertices: Vertices, faces: Triangles, normals: Vertices) -> list[int]:
    """Return for each triangle the first triangle of its face: neighbours in one plane belong together."""
    owner: dict[tuple[int, int], int] = {}
    for t, (a, b, c) in enumerate(faces.tolist()):
        owner.update({(a, b): t, (b, c): t, (c, a): t})
    group = [-1] * len(faces)
    by_size = np.argsort(-_sizes(vertices, faces), kind="stable").tolist()
    for seed in by_size:  # the largest triangle of a face gives the truest normal
        if group[seed] >= 0:
            continue
        group[seed] = seed
        todo = [seed]
        while todo:
            a, b, c = faces[todo.pop()].tolist()
            for there in ((b, a), (c, b), (a, c)):
                t = owner[there]
                if group[t] >= 0 or normals[t] @ normals[seed] <= _PARALLEL:
                    continue
                if np.abs((vertices[faces[t]] - vertices[faces[seed, 0]]) @ normals[seed]).max() < _FLAT_MM:
                    group[t] = seed
                    todo.append(t)
    return group


def _sizes(vertices: Vertices, faces: Triangles) -> Vertices:
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1))


def _loops(faces: Triangles, group: list[int]) -> dict[int, list[list[int]]]:
    """Return the border rings of every face, outer ones anticlockwise."""
    ways: dict[tuple[int, int], int] = {}
    for t, (a, b, c) in enumerate(faces.tolist()):
        ways.update({(a, b): group[t], (b, c): group[t], (c, a): group[t]})
    border: dict[int, dict[int, list[int]]] = defaultdict(lambda: defaultdict(list))
    for (a, b), g in ways.items():
        if ways[b, a] != g:
            border[g][a].append(b)
    loops: dict[int, list[list[int]]] = {}
    for g, after in border.items():
        loops[g] = []
        while any(after.values()):
            first = next(v for v, nexts in after.items() if nexts)
            ring = [first]
            while (there := after[ring[-1]].pop()) != first:
                ring.append(there)
            loops[g].append(ring)
    return loops


def _corners(loops: dict[int, list[list[int]]], group: list[int], faces: Triangles) -> set[int]:
    """Return the vertices at which three faces meet: others lie within a straight edge."""
    met: dict[int, set[int]] = defaultdict(set)
    for t, corners in enumerate(faces.tolist()):
        for v in corners:
            met[v].add(group[t])
    on_border: Iterable[int] = (v for rings in loops.values() for ring in rings for v in ring)
    return {v for v in on_border if len(met[v]) >= 3}


def _area(ring: Vertices, normal: Vertices) -> float:
    return float(np.cross(ring - ring[0], np.roll(ring, -1, axis=0) - ring[0]).sum(axis=0) @ normal)

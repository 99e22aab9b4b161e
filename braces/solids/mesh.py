"""A solid as triangles, to an absolute tolerance, joined along shared edges without rounding."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from braces.solids.check import faces_of
from braces.solids.kernel import SolidError

Vertices = NDArray[np.float64]  #: (n, 3), mm
Triangles = NDArray[np.int64]  #: (m, 3) rows of vertices, anticlockwise seen from outside


def mesh(shape: TopoDS_Shape, tolerance_mm: float = 0.01) -> tuple[Vertices, Triangles]:
    """Return the surface of a solid as a closed net of triangles.

    The tolerance is absolute: relative ones leave long braces coarse. The kernel gives the faces on both
    sides of an edge the same points on it, bit for bit, so equal points are one vertex and nothing needs
    rounding.

    Raises:
        SolidError: if the net is not closed.
    """
    BRepTools.Clean_s(shape)
    BRepMesh_IncrementalMesh(shape, tolerance_mm, False, 0.3, False)
    points: list[tuple[float, float, float]] = []
    corners: list[tuple[int, int, int]] = []
    for face in faces_of(shape):
        first = len(points)
        nodes, triangles = _triangulation(face)
        points += nodes
        corners += [(first + i, first + j, first + k) for i, j, k in triangles]
    vertices, index = np.unique(np.array(points), axis=0, return_inverse=True)
    faces = index.reshape(-1)[np.array(corners)]
    if not is_closed(faces):
        raise SolidError("the mesh of a solid is not closed")
    return vertices, faces


def _triangulation(
    face: TopoDS_Face,
) -> tuple[list[tuple[float, float, float]], Iterator[tuple[int, int, int]]]:
    """Return a face's points and its triangles by index into them, turned to look outwards."""
    place = TopLoc_Location()
    net = BRep_Tool.Triangulation_s(face, place)
    motion = place.Transformation()
    nodes = [net.Node(i).Transformed(motion) for i in range(1, net.NbNodes() + 1)]
    turned = face.Orientation() == TopAbs_REVERSED
    rows = (net.Triangle(i).Get() for i in range(1, net.NbTriangles() + 1))
    triangles = ((i - 1, k - 1, j - 1) if turned else (i - 1, j - 1, k - 1) for i, j, k in rows)
    return [(p.X(), p.Y(), p.Z()) for p in nodes], triangles


def is_closed(faces: Triangles) -> bool:
    """Return whether every edge is walked exactly once each way."""
    ways = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    there = np.unique(ways, axis=0)
    return len(there) == len(ways) and bool(np.array_equal(there, np.unique(ways[:, ::-1], axis=0)))

"""Whether a mesh can be printed as it stands: closed, no overhang, no wall too thin."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from braces.solids.mesh import Triangles, Vertices

STEEPEST = -(0.5**0.5) - 1e-4  #: upward part of the normal of a face that leans out by 45 degrees
_ON_BED_MM = 1e-3
_SLIVER_MM = 2e-4


def overhangs(vertices: Vertices, faces: Triangles) -> NDArray[np.int64]:
    """Return the triangles that lean out by more than 45 degrees and do not lie on the bed."""
    corners = vertices[faces]
    n = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(n, axis=1)
    longest = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2).max(axis=1)
    # A sliver's normal says nothing: its corners are rounded to about a tenth of its height.
    up = np.divide(n[:, 2], size, out=np.zeros(len(n)), where=size > _SLIVER_MM * longest)
    raised = corners[:, :, 2].max(axis=1) > vertices[:, 2].min() + _ON_BED_MM
    return np.flatnonzero((up < STEEPEST) & raised)


def thinnest_mm(vertices: Vertices, faces: Triangles, least_mm: float) -> float:
    """Return the thinnest wall between two faces that look away from each other within 25 degrees.

    Measured from the middle of every triangle straight into the wood; walls of ``least_mm`` and more need not
    be told apart. Rays are cast against all triangles, so this is for meshes of some thousands.
    """
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    n = np.cross(b - a, c - a)
    size = np.linalg.norm(n, axis=1)
    fat = size > 1e-6
    n = np.divide(n, size[:, None], out=np.zeros_like(n), where=fat[:, None])
    found = least_mm
    for i in np.flatnonzero(fat):
        start, way = (a[i] + b[i] + c[i]) / 3, -n[i]
        facing = fat & (n @ way > np.cos(np.radians(25)))
        facing[i] = False
        t = _hits(start, way, a[facing], b[facing], c[facing])
        if len(t):
            found = min(found, float(t.min()))
    return found


def _hits(start: Vertices, way: Vertices, a: Vertices, b: Vertices, c: Vertices) -> NDArray[np.float64]:
    """Return the distances at which a ray meets triangles (Moeller and Trumbore's test)."""
    e1, e2 = b - a, c - a
    p = np.cross(way, e2)
    det = np.einsum("ij,ij->i", e1, p)
    with np.errstate(divide="ignore", invalid="ignore"):
        s = start - a
        u = np.einsum("ij,ij->i", s, p) / det
        q = np.cross(s, e1)
        v = q @ way / det
        t = np.einsum("ij,ij->i", e2, q) / det
    return np.asarray(t[(np.abs(det) > 1e-12) & (u >= 0) & (v >= 0) & (u + v <= 1) & (t > 1e-6)])

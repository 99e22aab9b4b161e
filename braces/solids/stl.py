"""Binary STL: 80 bytes of header, a count, and 50 bytes for each triangle, little-endian, in mm by custom."""

from __future__ import annotations

import numpy as np

from braces.solids.mesh import Triangles, Vertices

_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
HEADER = b"braces; millimetres"  # must not begin with "solid", by which readers know the text form


def stl_bytes(vertices: Vertices, faces: Triangles) -> bytes:
    """Return a closed net of triangles as a binary STL file; normals point out of the solid."""
    corners = vertices[faces]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    facets = np.zeros(len(faces), dtype=_FACET)
    facets["normal"] = np.divide(normals, lengths, out=np.zeros_like(normals), where=lengths > 0)
    facets["corners"] = corners
    return HEADER.ljust(80, b"\0") + np.uint32(len(faces)).tobytes() + facets.tobytes()

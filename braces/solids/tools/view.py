"""A part as a line drawing: its edges that a viewer would see, projected on a plane."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Points
from braces.solids.tools.part import Part, Piece

Lines = tuple[Points, ...]

SHARP_DEG = 20.0  #: faces that meet at less than this are one smooth face
_APART_MM = 6.0
_STEP_MM = 1.0  #: along an edge, between the places at which it is tried whether it can be seen
_RIGHT = np.array([1.0, 1.0, 0.0]) / np.sqrt(2)
_TOWARDS_VIEWER = np.array([1.0, -1.0, 1.0]) / np.sqrt(3)
_UP = np.cross(_TOWARDS_VIEWER, _RIGHT)


def outline_view(part: Part) -> Lines:
    """Return the isometric drawing of a part's pieces, side by side: polylines (n, 2) in mm, y up.

    Lengths along the three axes are all shortened by the same sqrt(2/3).
    """
    found: list[Points] = []
    y_mm = 0.0
    for piece in part.pieces:
        low = piece.vertices.min(axis=0)
        shift = np.array([-low[0], y_mm - low[1], -low[2]])
        y_mm -= piece.size_mm[1] + _APART_MM
        found += piece_view(piece, shift)
    return tuple(found)


def piece_view(piece: Piece, shift: NDArray[np.float64]) -> list[Points]:
    """Return the visible edges of one piece after a move."""
    vertices = piece.vertices + shift
    flat = np.stack([vertices @ _RIGHT, vertices @ _UP], axis=1)
    depth = vertices @ _TOWARDS_VIEWER
    cover = _Cover(flat, depth, piece.faces)
    edges = _drawn_edges(vertices, piece.faces)
    a, b = flat[edges[:, 0]], flat[edges[:, 1]]
    counts = np.maximum(2, np.ceil(np.linalg.norm(b - a, axis=1) / _STEP_MM).astype(int) + 1)
    first = np.concatenate([[0], np.cumsum(counts)])
    row = np.repeat(np.arange(len(edges)), counts)
    t = ((np.arange(first[-1]) - first[row]) / (counts[row] - 1))[:, None]
    tried = a[row] + t * (b[row] - a[row])
    near = depth[edges[:, 0]][row] + t[:, 0] * (depth[edges[:, 1]] - depth[edges[:, 0]])[row]
    seen = ~cover.hides(tried, near)
    return _chained([run for i, j in pairwise(first.tolist()) for run in _seen_runs(tried[i:j], seen[i:j])])


def _drawn_edges(vertices: NDArray[np.float64], faces: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return the edges (n, 2) at which the surface bends or turns away from the viewer."""
    corners = vertices[faces]
    n = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    n = n / np.maximum(np.linalg.norm(n, axis=1, keepdims=True), 1e-12)
    front = n @ _TOWARDS_VIEWER > 1e-9
    ways = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    owner = np.tile(np.arange(len(faces)), 3)
    first, second = ways.min(axis=1), ways.max(axis=1)
    order = np.lexsort((second, first))
    ways, owner = np.stack([first, second], axis=1)[order], owner[order]
    a, b = owner[::2], owner[1::2]  # a closed mesh has two triangles at every edge
    bent = np.einsum("ij,ij->i", n[a], n[b]) < np.cos(np.radians(SHARP_DEG))
    drawn = (bent & (front[a] | front[b])) | (front[a] != front[b])
    return np.asarray(ways[::2][drawn])


class _Cover:
    """The picture of the front faces as a grid of depths, to tell what lies behind them."""

    def __init__(self, flat: Points, depth: NDArray[np.float64], faces: NDArray[np.int64]) -> None:
        self.low = flat.min(axis=0) - 1.0
        size = flat.max(axis=0) + 1.0 - self.low
        self.cell_mm = max(0.4, float(size.max()) / 300)
        nx, ny = (np.ceil(size / self.cell_mm).astype(int) + 1).tolist()
        self.grid = np.full((nx, ny), -np.inf)
        corners = flat[faces]
        low, high = ((corners.min(axis=1) - self.low) / self.cell_mm, (corners.max(axis=1) - self.low) / self.cell_mm)
        holds_a_node = np.all(np.floor(high) > np.floor(low), axis=1)  # others, such as those of marks, cover nothing
        e1, e2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
        faces_viewer = e1[:, 0] * e2[:, 1] - e1[:, 1] * e2[:, 0] > 1e-9
        for tri in faces[holds_a_node & faces_viewer]:
            self._fill(flat[tri], depth[tri])

    def _fill(self, p: Points, z: NDArray[np.float64]) -> None:
        e1, e2 = p[1] - p[0], p[2] - p[0]
        det = float(e1[0] * e2[1] - e1[1] * e2[0])
        low = np.maximum(np.floor((p.min(axis=0) - self.low) / self.cell_mm).astype(int), 0)
        high = np.ceil((p.max(axis=0) - self.low) / self.cell_mm).astype(int) + 1
        gx = self.low[0] + np.arange(low[0], high[0])[:, None] * self.cell_mm - p[0, 0]
        gy = self.low[1] + np.arange(low[1], high[1])[None, :] * self.cell_mm - p[0, 1]
        u = (gx * e2[1] - gy * e2[0]) / det
        v = (gy * e1[0] - gx * e1[1]) / det
        inside = (u >= 0) & (v >= 0) & (u + v <= 1)
        here = z[0] + u * (z[1] - z[0]) + v * (z[2] - z[0])
        part = self.grid[low[0] : high[0], low[1] : high[1]]
        inside, here = inside[: part.shape[0], : part.shape[1]], here[: part.shape[0], : part.shape[1]]
        np.copyto(part, here, where=inside & (here > part))

    def hides(self, places: Points, depth: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Return whether something clearly nearer covers each place on every side of it."""
        at = (places - self.low) / self.cell_mm
        i, j = np.floor(at).astype(int).T
        nearest = np.full(len(places), np.inf)
        for dx, dy in ((0, 0), (1, 0), (0, 1), (1, 1)):
            x = np.clip(i + dx, 0, self.grid.shape[0] - 1)
            y = np.clip(j + dy, 0, self.grid.shape[1] - 1)
            nearest = np.minimum(nearest, self.grid[x, y])
        return np.asarray(nearest > depth + 3 * self.cell_mm)


def _seen_runs(tried: Points, seen: NDArray[np.bool_]) -> list[Points]:
    """Return the stretches of one edge that can be seen, as their ends."""
    steps = np.flatnonzero(np.diff(np.concatenate([[False], seen, [False]]).astype(int)))
    return [tried[[i, j - 1]] for i, j in zip(steps[::2], steps[1::2], strict=True) if j - i > 1]


def _chained(runs: list[Points]) -> list[Points]:
    """Join runs that end where another begins, so that a curve is one line."""
    ends: dict[tuple[float, float], list[int]] = {}
    for k, run in enumerate(runs):
        for p in (run[0], run[-1]):
            ends.setdefault(_key(p), []).append(k)
    used = [False] * len(runs)
    found: list[Points] = []
    for k, run in enumerate(runs):
        if used[k]:
            continue
        used[k] = True
        line = [run[0], run[-1]]
        for _ in range(2):
            while (nxt := _next(line[-1], ends, used)) is not None:
                used[nxt] = True
                a, b = runs[nxt][0], runs[nxt][-1]
                line.append(b if _key(a) == _key(line[-1]) else a)
            line.reverse()
        found.append(np.array(line))
    return found


def _key(p: Points) -> tuple[float, float]:
    return round(float(p[0]), 4), round(float(p[1]), 4)


def _next(p: Points, ends: dict[tuple[float, float], list[int]], used: list[bool]) -> int | None:
    there = ends[_key(p)]
    free = [k for k in there if not used[k]]
    return free[0] if len(there) == 2 and free else None

"""Which parts of straight edges a viewer sees, worked out exactly: no grid of pixels, no steps along an edge.

An edge lies behind a triangle where four linear conditions hold together: on the inner side of each of the three
sides, and further off than the triangle's plane. Each bounds the parameter of the edge from one side, so the hidden
piece is an interval, found for all pairs of edge and triangle at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Array
from braces.solids.mesh import Triangles, Vertices

SHARP_DEG = 30.0  #: faces that meet at less than this are one smooth face
_DEEPER_MM = 0.08  #: an edge on the surface itself, or on a coarse mesh of it, is not behind it
_BESIDE_MM = 1e-4  #: triangles reach so far over their borders that no edge shows between two of them
_LEAST_MM = 0.05  #: shorter pieces are not drawn
_EDGE_ON = 1e-6  #: a face whose normal has no more than this towards the viewer is seen from the side


@dataclass(frozen=True, slots=True)
class Gaze:
    """From where a part is looked at: unit vectors of the picture's right, its upward edge and the viewer."""

    right: tuple[float, float, float]
    up: tuple[float, float, float]
    viewer: tuple[float, float, float]

    def seen(self, places: Array) -> Array:
        """Return places (n, 3) as right, up and towards the viewer (n, 3)."""
        return np.asarray(places @ np.array([self.right, self.up, self.viewer]).T)


@dataclass(frozen=True, slots=True, eq=False)
class Skin:
    """A closed net with what does not depend on the viewer: its edges, once each, and the triangles beside them."""

    vertices: Vertices
    faces: Triangles
    normals: Array  #: (m, 3), of length 1
    edges: NDArray[np.int64]  #: (n, 2) rows of vertices
    beside: NDArray[np.int64]  #: (n, 2) rows of triangles
    bent: NDArray[np.bool_]  #: whether the net bends at an edge


def skin_of(vertices: Vertices, faces: Triangles) -> Skin:
    """Return the skin of a closed net."""
    corners = vertices[faces]
    n = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    n = n / np.maximum(np.linalg.norm(n, axis=1, keepdims=True), 1e-12)
    ways = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    owner = np.tile(np.arange(len(faces)), 3)
    first, second = ways.min(axis=1), ways.max(axis=1)
    order = np.argsort(first * len(vertices) + second, kind="stable")
    beside = owner[order].reshape(-1, 2)  # a closed net has two triangles at every edge
    bent = np.einsum("ij,ij->i", n[beside[:, 0]], n[beside[:, 1]]) < np.cos(np.radians(SHARP_DEG))
    kept = order[::2]
    return Skin(vertices, faces, n, np.stack([first[kept], second[kept]], axis=1), beside, bent)


def drawn_edges(skin: Skin, gaze: Gaze) -> NDArray[np.int64]:
    """Return the edges (n, 2) of a net at which it bends or turns away from the viewer."""
    front = skin.normals @ np.array(gaze.viewer) > _EDGE_ON
    a, b = front[skin.beside[:, 0]], front[skin.beside[:, 1]]
    return np.asarray(skin.edges[(skin.bent & (a | b)) | (a != b)])


def visible(edges: Array, corners: Array) -> Array:
    """Return the visible pieces (k, 2, 2) of edges (n, 2, 3) among triangles (m, 3, 3), all as a viewer sees them."""
    if not len(edges):
        return np.zeros((0, 2, 2))
    e1, e2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    twice = e1[:, 0] * e2[:, 1] - e1[:, 1] * e2[:, 0]
    longest = np.abs(corners[:, :, :2] - np.roll(corners[:, :, :2], 1, axis=1)).max(axis=(1, 2))
    corners = corners[twice > 1e-4 * longest]  # those that face the viewer
    row, col = _near(edges, corners)
    low, high = _behind(edges[row], corners[col])
    kept = high - low > 1e-9
    lengths = np.linalg.norm(edges[:, 1, :2] - edges[:, 0, :2], axis=1)
    row, low, high = _rest(row[kept], low[kept], high[kept], lengths)
    start, way = edges[row, 0, :2], edges[row, 1, :2] - edges[row, 0, :2]
    return np.stack([start + low[:, None] * way, start + high[:, None] * way], axis=1)


def _near(edges: Array, corners: Array) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the pairs of edge and triangle whose boxes meet, the triangle not wholly behind."""
    lo, hi = edges.min(axis=1), edges.max(axis=1)
    tlo, thi = corners.min(axis=1), corners.max(axis=1)
    meet = lo[:, None, 2] + _DEEPER_MM < thi[None, :, 2]
    for k in (0, 1):
        meet &= lo[:, None, k] < thi[None, :, k] + _BESIDE_MM
        meet &= hi[:, None, k] > tlo[None, :, k] - _BESIDE_MM
    row, col = np.nonzero(meet)
    return row, col


def _behind(edges: Array, corners: Array) -> tuple[Array, Array]:
    """Return from and to which share of each edge (n, 2, 3) it lies behind its triangle (n, 3, 3)."""
    low, high = np.zeros(len(edges)), np.ones(len(edges))
    for k in range(3):
        a, b = corners[:, k, :2], corners[:, (k + 1) % 3, :2]
        side = b - a
        # Distance inside the side, at both ends of the edge.
        d = [side[:, 0] * (e[:, 1] - a[:, 1]) - side[:, 1] * (e[:, 0] - a[:, 0]) for e in (edges[:, 0], edges[:, 1])]
        reach = _BESIDE_MM * np.maximum(np.abs(side).max(axis=1), 1e-9)
        _narrow(low, high, d[0] + reach, d[1] + reach)
    n = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    over = []
    for e in (edges[:, 0], edges[:, 1]):
        off = e - corners[:, 0]
        over.append(-(off[:, 0] * n[:, 0] + off[:, 1] * n[:, 1]) / n[:, 2] - off[:, 2] - _DEEPER_MM)
    _narrow(low, high, over[0], over[1])
    return low, high


def _narrow(low: Array, high: Array, at_start: Array, at_end: Array) -> None:
    """Narrow intervals to where a linear function with these end values is positive."""
    rise = at_end - at_start
    flat = np.abs(rise) < 1e-12
    t = np.divide(-at_start, rise, out=np.zeros_like(rise), where=~flat)
    np.maximum(low, t, out=low, where=~flat & (rise > 0))
    np.minimum(high, t, out=high, where=~flat & (rise < 0))
    low[flat & (at_start < 0)] = 2.0


def _rest(row: NDArray[np.int64], low: Array, high: Array, lengths: Array) -> tuple[NDArray[np.int64], Array, Array]:
    """Return what the hidden intervals leave of every edge: its row, from and to."""
    every = np.arange(len(lengths))
    row = np.concatenate([every, row, every])
    low = np.concatenate([np.full(len(every), -1.0), low, np.ones(len(every))])
    high = np.concatenate([np.zeros(len(every)), high, np.ones(len(every))])
    order = np.lexsort((low, row))
    row, low, high = row[order], low[order], high[order]
    reached = np.maximum.accumulate(4.0 * row + high) - 4.0 * row
    left = np.flatnonzero((row[1:] == row[:-1]) & ((low[1:] - reached[:-1]) * lengths[row[1:]] > _LEAST_MM))
    return row[left], reached[left], low[left + 1]

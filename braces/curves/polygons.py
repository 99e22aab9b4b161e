"""Convex polygons: clipping by a half-plane, and how far two of them overlap."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Array, Points, frozen_points


def rectangle(half_width_mm: float, y0_mm: float, y1_mm: float) -> Points:
    """Return an anticlockwise rectangle about x = 0, (4, 2)."""
    w = half_width_mm
    return frozen_points([(-w, y0_mm), (w, y0_mm), (w, y1_mm), (-w, y1_mm)])


def clipped(polygon: Points, point: Array, inward: Array) -> Points:
    """Return the part of a convex polygon on the ``inward`` side of the line through ``point`` (Sutherland-Hodgman)."""
    if len(polygon) == 0:
        return polygon
    side = (polygon - point) @ inward
    out: list[Array] = []
    for a, b, sa, sb in zip(polygon, np.roll(polygon, -1, axis=0), side, np.roll(side, -1), strict=True):
        if sa >= 0:
            out.append(a)
        if (sa > 0 > sb) or (sa < 0 < sb):
            out.append(a + (b - a) * sa / (sa - sb))
    return np.array(out).reshape(-1, 2)


def area_mm2(polygon: Points) -> float:
    """Signed area, positive if anticlockwise (shoelace formula)."""
    x, y = polygon[:, 0], polygon[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def common(a: Points, b: Points) -> Points:
    """Return what two convex anticlockwise polygons have in common; no rows if nothing."""
    for p, q in zip(b, np.roll(b, -1, axis=0), strict=True):
        d = q - p
        a = clipped(a, p, np.array([-d[1], d[0]]))
        if len(a) < 3:
            return np.zeros((0, 2))
    return a


def overlap_depth_mm(a: Points, b: Points) -> float:
    """Return how far two convex polygons reach into each other; negative if they are apart (separating axes)."""
    depth = np.inf
    for polygon in (a, b):
        edges = np.roll(polygon, -1, axis=0) - polygon
        normals = np.column_stack([edges[:, 1], -edges[:, 0]]) / np.linalg.norm(edges, axis=1, keepdims=True)
        pa, pb = a @ normals.T, b @ normals.T
        gaps = np.minimum(pa.max(0) - pb.min(0), pb.max(0) - pa.min(0))
        depth = min(depth, float(gaps.min()))
    return depth


def distance_mm(point: tuple[float, float], polygon: Points) -> float:
    """Return the distance from a point to a convex anticlockwise polygon; 0 inside."""
    p = np.asarray(point)
    a, b = polygon, np.roll(polygon, -1, axis=0)
    d = b - a
    cross = d[:, 0] * (p[1] - a[:, 1]) - d[:, 1] * (p[0] - a[:, 0])
    if np.all(cross >= 0):
        return 0.0
    t = np.clip(np.einsum("ij,ij->i", p - a, d) / np.einsum("ij,ij->i", d, d), 0, 1)
    return float(np.min(np.linalg.norm(a + t[:, None] * d - p, axis=1)))


def line_inside(
    polygon: Points, origin: tuple[float, float], direction: tuple[float, float]
) -> tuple[float, float] | None:
    """Return from where to where the line origin + t * direction lies in a convex anticlockwise polygon, or None."""
    low, high = -np.inf, np.inf
    for p, q in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        inward = np.array([-(q - p)[1], (q - p)[0]])
        offset, rate = float((np.asarray(origin) - p) @ inward), float(np.asarray(direction) @ inward)
        if abs(rate) < 1e-12:
            if offset < 0:
                return None
            continue
        t = -offset / rate
        low, high = (max(low, t), high) if rate > 0 else (low, min(high, t))
    return (float(low), float(high)) if low < high else None


def gap_mm(a: Points, b: Points) -> float:
    """Return the distance between two convex anticlockwise polygons; 0 if they touch or overlap."""
    nearest = min(distance_mm((float(x), float(y)), q) for p, q in ((a, b), (b, a)) for x, y in p)
    return 0.0 if overlap_depth_mm(a, b) >= 0 else nearest

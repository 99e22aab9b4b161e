"""A closed plane curve as cubic pieces with exact points and tangents, and what lies inside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from math import pi, tan

import numpy as np

from braces.base.arrays import Floats, Points
from braces.curves.surface import Surface


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A closed curve, anticlockwise; the last knot is the first one again."""

    s_mm: Floats  #: (n + 1,) parameter at the knots, about the length run
    points: Points  #: (n + 1, 2)
    tangents: Points  #: (n + 1, 2) derivatives by s

    def at(self, s: Floats) -> tuple[Points, Points]:
        """Points and derivatives (k, 2) at parameters (k,) between the first and the last knot."""
        i = np.clip(np.searchsorted(self.s_mm, s, side="right") - 1, 0, len(self.s_mm) - 2)
        h = (self.s_mm[i + 1] - self.s_mm[i])[:, None]
        t = (s - self.s_mm[i])[:, None] / h
        p0, p1, m0, m1 = self.points[i], self.points[i + 1], h * self.tangents[i], h * self.tangents[i + 1]
        c2, c3 = 3 * (p1 - p0) - 2 * m0 - m1, 2 * (p0 - p1) + m0 + m1
        return p0 + t * (m0 + t * (c2 + t * c3)), (m0 + t * (2 * c2 + t * 3 * c3)) / h

    def part(self, first: int, last: int) -> Ring:
        """Return the open stretch from knot ``first`` to knot ``last``."""
        cut = slice(first, last + 1)
        return Ring(self.s_mm[cut], self.points[cut], self.tangents[cut])

    def split(self, count: int) -> Ring:
        """Return the same curve with every piece cut into ``count`` equal ones."""
        knot = np.arange(len(self.s_mm))
        s = np.interp(np.arange(count * knot[-1] + 1) / count, knot, self.s_mm)
        points, tangents = self.at(s)
        points[::count], tangents[::count] = self.points, self.tangents
        return Ring(s, points, tangents)

    def integral(self, f: Callable[[Floats, Floats], Floats], gauss_count: int = 8) -> float:
        """Return the integral of f(x, y) over the inside, by Green's theorem and Gauss quadrature.

        The curve must be such that ``f`` is smooth everywhere between x = 0 and the curve.
        """
        t, w = np.polynomial.legendre.leggauss(gauss_count)
        h = np.diff(self.s_mm)[:, None]
        s = (self.s_mm[:-1, None] + h * (t + 1) / 2).ravel()
        (x, y), (_, dy) = (a.T for a in self.at(s))
        inner = np.sum(f(np.outer(x, (t + 1) / 2), np.repeat(y[:, None], len(t), axis=1)) * w / 2, axis=1) * x
        return float(np.sum((h / 2 * w).ravel() * inner * dy))


def fitting(ring: Ring, surface: Surface, within_mm: float) -> Ring:
    """Return the ring in pieces so short that, raised onto a surface, they follow it within ``within_mm``."""
    for count in range(1, 20):
        fine = ring.split(count)
        h = np.diff(fine.s_mm)
        z, dz = raised(fine, surface)
        middle, _ = fine.at(fine.s_mm[:-1] + h / 2)
        off = (z[:-1] + z[1:]) / 2 + h * (dz[:-1] - dz[1:]) / 8 - surface.z(middle[:, 0], middle[:, 1])
        if np.max(np.abs(off)) < within_mm:
            return fine
    raise ValueError("the curve is too coarse to follow the surface")


def raised(ring: Ring, surface: Surface) -> tuple[Floats, Floats]:
    """Return the heights of a surface at a ring's knots and their derivatives by s."""
    x, y = ring.points.T
    zx, zy = surface.slope(x, y)
    return surface.z(x, y), zx * ring.tangents[:, 0] + zy * ring.tangents[:, 1]


def circle(x_mm: float, y_mm: float, radius_mm: float, piece_count: int = 24) -> Ring:
    """Return a circle; with 24 pieces it is true to 1e-8 of its radius.

    The handles of each cubic are (4/3) tan(angle / 4) of the radius, with which it meets the arc at both
    ends and in the middle (the usual rule of drawing programs).
    """
    step = 2 * pi / piece_count
    a = step * np.arange(piece_count + 1)
    a[-1] = 0.0  # so that the last point is the first one, bit for bit
    out = np.column_stack([np.cos(a), np.sin(a)])
    along = np.column_stack([-out[:, 1], out[:, 0]]) * (4 * tan(step / 4) / step)
    s = np.arange(piece_count + 1, dtype=np.float64) * (radius_mm * step)
    return Ring(s, np.array([x_mm, y_mm]) + radius_mm * out, along)


def ring_through(points: Points, within_mm: float = 0.002) -> Ring:
    """Return a smooth closed curve that passes within ``within_mm`` of every one of close points (n, 2).

    It is the periodic cubic spline through every 8th point; through every 4th, 2nd or each where that is
    too coarse.
    """
    if not _anticlockwise(points):
        points = np.concatenate([points[:1], points[:0:-1]])
    closed = np.concatenate([points, points[:1]])
    return _sparse(_lengths(closed), closed, within_mm, _spline_ring)


def stretches_through(points: Points, corners: tuple[int, ...], within_mm: float = 0.002) -> tuple[Ring, ...]:
    """Return smooth stretches that together run round a closed curve, from corner to corner.

    ``points`` (n, 2) are close; ``corners`` are the indices of those at which the curve's direction jumps, one at
    least. Each stretch passes within ``within_mm`` of its points and begins exactly where the one before ends.
    """
    if not _anticlockwise(points):
        points, corners = points[::-1], tuple(len(points) - 1 - i for i in corners)
    first = min(corners)
    points = np.roll(points, -first, axis=0)
    ends = [*sorted(i - first for i in corners), len(points)]
    closed = np.concatenate([points, points[:1]])
    made = []
    for a, b in pairwise(ends):
        run = closed[a : b + 1]
        s = _lengths(run)
        tangents = _end_tangent(s, run), _end_tangent(s[::-1], run[::-1])
        made.append(_sparse(s, run, within_mm, partial(_clamped, ends=tangents)))
    return tuple(made)


def _anticlockwise(points: Points) -> bool:
    x, y = points.T
    return bool(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) >= 0)


def _lengths(points: Points) -> Floats:
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])


def _sparse(s: Floats, points: Points, within_mm: float, through: Callable[[Floats, Points], Ring]) -> Ring:
    """The curve through every 8th point, or more where that strays too far from the others."""
    last = len(points) - 1
    for skip in (8, 4, 2):
        keep = np.unique(np.append(np.arange(0, last, skip), last))
        ring = through(s[keep], points[keep])
        at, along = ring.at(s)
        off = points - at
        if np.max(np.abs(off[:, 0] * along[:, 1] - off[:, 1] * along[:, 0])) < within_mm:
            return ring
    return through(s, points)


def _end_tangent(s: Floats, points: Points) -> Points:
    """Derivative by s at the first of close points, from the polynomial through the first five or all there are."""
    n = min(5, len(s))
    scale = s[n - 1] - s[0]
    powers = np.vander((s[:n] - s[0]) / scale, n, increasing=True)
    return np.asarray(np.linalg.solve(powers, points[:n])[1] / scale)


def _clamped(s: Floats, points: Points, ends: tuple[Points, Points]) -> Ring:
    """Return the twice smooth open spline through points (n + 1, 2) with given derivatives at its ends."""
    h = np.diff(s)
    n = len(h)
    chord = np.diff(points, axis=0) / h[:, None]
    matrix, right = np.zeros((n + 1, n + 1)), np.zeros((n + 1, 2))
    matrix[0, 0] = matrix[n, n] = 1.0
    right[0], right[n] = ends
    i = np.arange(1, n)
    matrix[i, i - 1], matrix[i, i], matrix[i, i + 1] = h[1:], 2 * (h[:-1] + h[1:]), h[:-1]
    right[1:n] = 3 * (h[1:, None] * chord[:-1] + h[:-1, None] * chord[1:])
    return Ring(s, points, np.asarray(np.linalg.solve(matrix, right), dtype=np.float64))


def _spline_ring(s: Floats, points: Points) -> Ring:
    """Return the twice smooth periodic spline through points (n + 1, 2), the last being the first again."""
    h = np.diff(s)
    n = len(h)
    before = np.roll(h, 1)
    chord = np.diff(points, axis=0) / h[:, None]
    matrix = np.diag(2 * (before + h))
    i = np.arange(n)
    # Each row says that the second derivative does not jump at its knot.
    matrix[i, i - 1] += h
    matrix[i, (i + 1) % n] += before
    right = 3 * (h[:, None] * np.roll(chord, 1, axis=0) + before[:, None] * chord)
    m = np.linalg.solve(matrix, right)
    return Ring(s, points, np.concatenate([m, m[:1]]))

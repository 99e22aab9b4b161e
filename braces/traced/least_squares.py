"""Quintics through stations that come nearest to points, with a little stiffness where points are few.

Unknown at each station are the place and its first and second derivative by length; neighbours share them, except the
derivatives at a corner. With the length along the curve to each point fixed the problem is linear.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Floats, Points
from braces.curves.path import Path
from braces.curves.polynomial import QUINTIC, quintic_pieces

Array = NDArray[np.float64]
#: Waves much shorter than 2 pi times this are taken for scatter of the points: 4 mm lets a bend of 15 mm radius pass.
STIFF_MM = 4.0


@dataclass(frozen=True, slots=True, eq=False)
class Stations:
    """Where the quintics meet."""

    s_mm: Floats  #: (n + 1,) length along the curve, from 0
    corners: frozenset[int]  #: stations whose derivatives may jump
    closed: bool  #: the last station is the first one again
    on_axis: frozenset[int]  #: stations with x = 0
    level: frozenset[int] = field(default_factory=frozenset)  #: stations where the curve crosses the axis squarely

    @property
    def spans(self) -> NDArray[np.int64]:
        """(n, 6) unknowns of each span: place, first, second derivative at its start and at its end."""
        n = len(self.s_mm) - 1
        nodes = n if self.closed else n + 1
        arrive, leave = np.zeros((nodes, 3), dtype=np.int64), np.zeros((nodes, 3), dtype=np.int64)
        at = 0
        for i in range(nodes):
            leave[i] = arrive[i] = (at, at + 1, at + 2)
            at += 3
            if i in self.corners and (self.closed or 0 < i < n):  # an open end has only one side
                arrive[i, 1:] = (at, at + 1)
                at += 2
        return np.array([[*leave[i], *arrive[(i + 1) % nodes]] for i in range(n)])

    def halved(self, which: NDArray[np.bool_]) -> Stations:
        """Return stations with a further one in the middle of each run that ``which`` (n,) names."""
        moved = np.concatenate([[0], np.cumsum(1 + which)])

        def there(these: frozenset[int]) -> frozenset[int]:
            return frozenset(int(moved[i]) for i in these)

        middles = (self.s_mm[:-1] + self.s_mm[1:])[which] / 2
        finer = np.insert(self.s_mm, np.flatnonzero(which) + 1, middles)
        return Stations(finer, there(self.corners), self.closed, there(self.on_axis), there(self.level))

    def fixed(self, axis: int) -> set[int]:
        """Unknowns that are zero in x (axis 0) or y (axis 1)."""
        spans = self.spans
        n = len(spans)
        zero: set[int] = set()
        for i in self.on_axis | self.level:
            rows = ([spans[i][:3]] if i < n else []) + ([spans[i - 1][3:]] if i > 0 or self.closed else [])
            for row in rows:
                if axis == 0 and i in self.on_axis:
                    zero.add(int(row[0]))
                if i in self.level:  # x odd and y even across the axis
                    zero.add(int(row[2] if axis == 0 else row[1]))
        return zero


def _energy(order: int) -> Array:
    """(6, 6) form of the integral over [0, 1] of the square of a derivative, in values at the ends."""
    c = QUINTIC.copy()
    for _ in range(order):
        c = c[1:] * np.arange(1, len(c))[:, None]
    k = np.arange(len(c))
    return np.asarray(c.T @ (1 / (k[:, None] + k[None, :] + 1)) @ c)


_ENERGIES = ((3, STIFF_MM**6, _energy(3)), (2, 1.0, _energy(2)))  # the second keeps a side without points straight


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """The curve, and how much freedom it took."""

    places: Array  #: (n, 2, 2) of each span's start and end
    first: Array  #: (n, 2, 2) derivatives by length
    second: Array  #: (n, 2, 2)
    freedom_count: float  #: effective number of parameters to each coordinate, 0 if not asked for

    def path(self, s_mm: Floats) -> Path:
        """Return the pieces, one to a span."""
        h = np.diff(s_mm)
        return Path(
            np.concatenate(
                [
                    quintic_pieces(self.places[i], self.first[i] * h[i], self.second[i] * h[i] ** 2)
                    for i in range(len(h))
                ]
            )
        )


def solved(points: Points, s: Floats, weights: Floats, stations: Stations, count_freedom: bool = False) -> Solution:
    """Return the nearest curve to ``points`` (n, 2) that stand at lengths ``s`` (n,) along it."""
    from scipy.sparse import csc_matrix
    from scipy.sparse.linalg import splu

    knots, spans = stations.s_mm, stations.spans
    h = np.diff(knots)
    size = int(spans.max()) + 1
    normal, stiff, right = np.zeros((size, size)), np.zeros((size, size)), np.zeros((size, 2))
    which = np.clip(np.searchsorted(knots, s, side="right") - 1, 0, len(h) - 1)
    order = np.argsort(which, kind="stable")
    cuts = np.searchsorted(which[order], np.arange(len(h) + 1))
    for i, idx in enumerate(spans):
        mine = order[cuts[i] : cuts[i + 1]]
        scale = np.array([1, h[i], h[i] ** 2] * 2)
        rows = np.vander((s[mine] - knots[i]) / h[i], 6, increasing=True) @ QUINTIC * scale
        weighted = rows * weights[mine, None]
        block = np.ix_(idx, idx)
        normal[block] += weighted.T @ rows
        right[idx] += weighted.T @ points[mine]
        for derivative, weight, form in _ENERGIES:
            stiff[block] += weight * form * np.outer(scale, scale) / h[i] ** (2 * derivative - 1)
    unknown = np.zeros((size, 2))
    freedom = 0.0
    for axis in (0, 1):
        free = np.setdiff1d(np.arange(size), sorted(stations.fixed(axis)))
        block = np.ix_(free, free)
        matrix = normal[block] + stiff[block]
        # Scaled to a unit diagonal: derivatives differ from places by powers of the span.
        d = 1 / np.sqrt(np.diag(matrix))
        # Few unknowns meet in one span: a sparse solver is quick, and the same on any number of cores.
        factors = splu(csc_matrix(matrix * np.outer(d, d)))
        unknown[free, axis] = d * factors.solve(d * right[free, axis])
        if count_freedom:
            freedom += float(np.trace(factors.solve(normal[block] * np.outer(d, d)))) / 2
    ends = unknown[spans].reshape(len(h), 2, 3, 2)
    return Solution(ends[:, :, 0], ends[:, :, 1], ends[:, :, 2], freedom)

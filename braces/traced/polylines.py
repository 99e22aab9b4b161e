"""Lines through points: lengths, even spacing, distances, thinning."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Floats, Points


def ring(points: Points, closed: bool) -> Points:
    """Return the points with the first repeated at the end if the line is closed."""
    return np.concatenate([points, points[:1]]) if closed else points


def run_lengths(points: Points, closed: bool = False) -> Floats:
    """Length from the start to every point, (n,) or, if closed, (n + 1,) with the whole length last."""
    steps = np.hypot(*np.diff(ring(points, closed), axis=0).T)
    return np.concatenate([[0.0], np.cumsum(steps)])


def length_mm(points: Points, closed: bool = False) -> float:
    """Whole length."""
    return float(run_lengths(points, closed)[-1])


def points_at(points: Points, s: Floats, closed: bool = False) -> Points:
    """Points (k, 2) at lengths (k,) from the start; a closed line goes round, an open one stops at its ends."""
    run, line = run_lengths(points, closed), ring(points, closed)
    s = np.mod(s, run[-1]) if closed else s
    return np.column_stack([np.interp(s, run, line[:, k]) for k in (0, 1)])


def resampled(points: Points, step_mm: float, closed: bool = False) -> Points:
    """Evenly spaced points, at most ``step_mm`` apart; a closed line does not repeat its first."""
    whole = length_mm(points, closed)
    n = max(int(np.ceil(whole / step_mm)), 1)
    return points_at(points, np.linspace(0, whole, n + 1)[: n if closed else n + 1], closed)


class Nearest:
    """Distance from points to a line, by a search tree over close samples of it."""

    def __init__(self, points: Points, closed: bool = False, step_mm: float = 2.0) -> None:
        from scipy.spatial import cKDTree

        line = ring(points, closed)
        steps = np.hypot(*np.diff(line, axis=0).T)
        parts = np.maximum(np.ceil(steps / step_mm).astype(int), 1)
        # Every drawn point is kept; long sides get points in between, so that a nearest sample lies on the
        # nearest side or next to it.
        first = np.repeat(np.arange(len(steps)), parts)
        share = (np.arange(len(first)) - np.repeat(np.cumsum(parts) - parts, parts)) / parts[first]
        self._at = np.concatenate([line[first] + share[:, None] * (line[first + 1] - line[first]), line[-1:]])
        self._tree = cKDTree(self._at)
        self._closed = closed

    def __call__(self, points: Points) -> tuple[Floats, Points, Points]:
        """Return distances (k,), feet (k, 2) and unit directions (k, 2) of the line there."""
        _, i = self._tree.query(points)
        best = np.full(len(points), np.inf)
        foot, along = np.zeros((len(points), 2)), np.zeros((len(points), 2))
        for side in (-1, 0):
            last = len(self._at) - 1
            a = (i + side) % last if self._closed else np.clip(i + side, 0, last - 1)
            p, d = self._at[a], self._at[a + 1] - self._at[a]
            square = np.maximum(np.einsum("ij,ij->i", d, d), 1e-30)
            t = np.clip(np.einsum("ij,ij->i", points - p, d) / square, 0, 1)
            at = p + t[:, None] * d
            off = np.hypot(*(points - at).T)
            better = off < best
            best[better], foot[better] = off[better], at[better]
            along[better] = (d / np.sqrt(square)[:, None])[better]
        return best, foot, along


def coarse_lengths(points: Points, step_mm: float, keep: frozenset[int] = frozenset()) -> Floats:
    """Length along the line to each of its points (n,), measured in strides of ``step_mm``.

    Strides step over the zigzag of closely measured points, whose own steps would add up to too long a way. They never
    step over the points in ``keep``.
    """
    picks = [0]
    last = points[0]
    for i in range(1, len(points)):
        dx, dy = points[i] - last
        if dx * dx + dy * dy >= step_mm * step_mm or i in keep:
            picks.append(i)
            last = points[i]
    if picks[-1] != len(points) - 1:
        if len(picks) > 1 and picks[-1] not in keep and np.hypot(*(points[-1] - last)) < step_mm / 2:
            picks.pop()
        picks.append(len(points) - 1)
    picked = np.array(picks)
    run = run_lengths(points[picked])
    side = np.clip(np.searchsorted(picked, np.arange(len(points)), side="right") - 1, 0, len(picked) - 2)
    p, d = points[picked[side]], points[picked[side + 1]] - points[picked[side]]
    square = np.maximum(np.einsum("ij,ij->i", d, d), 1e-30)
    t = np.clip(np.einsum("ij,ij->i", points - p, d) / square, 0, 1)
    return np.asarray(run[side] + t * (run[side + 1] - run[side]))


def calmed(points: Points, closed: bool, step_mm: float = 4.0) -> Points:
    """Return a line whose zigzag is averaged out, stride by stride; one without zigzag is returned as it is."""
    s = coarse_lengths(ring(points, closed), step_mm)
    if length_mm(points, closed) < 1.02 * s[-1]:
        return points
    stride = np.floor(s[: len(points)] / step_mm).astype(int)
    count = np.bincount(stride)
    mean = np.column_stack([np.bincount(stride, points[:, k]) for k in (0, 1)])
    return np.asarray(mean[count > 0] / count[count > 0][:, None])


def with_straights_filled(points: Points, closed: bool) -> tuple[Points, float]:
    """Give long straight sides points of their own, and return them with the length of the longest such side.

    A side is taken as drawn straight, and not as the step between two points of a curve, if it is longer than 10 mm
    and than four times the usual step. Without points of its own a smooth curve would bulge there.
    """
    line = ring(points, closed)
    steps = np.hypot(*np.diff(line, axis=0).T)
    usual = float(np.median(steps))
    straight = steps > max(10.0, 4 * usual)
    if not np.any(straight):
        return points, 0.0
    spacing = max(usual, 2.0)
    out: list[NDArray[np.float64]] = []
    for i in range(len(steps)):
        parts = int(np.ceil(steps[i] / spacing)) if straight[i] else 1
        t = np.arange(parts)[:, None] / parts
        out.append(line[i] + t * (line[i + 1] - line[i]))
    if not closed:
        out.append(line[-1:])
    return np.concatenate(out), float(steps[straight].max())


def crosses_itself(points: Points, closed: bool = True) -> tuple[float, float] | None:
    """Return a place where the line (n, 2) crosses itself, or None."""
    line = ring(points, closed)
    a, d = line[:-1], np.diff(line, axis=0)
    n = len(a)
    lo, hi = np.minimum(a, line[1:]), np.maximum(a, line[1:])
    for i in range(n - 2):
        j = np.arange(i + 2, n - (1 if closed and i == 0 else 0))
        j = j[np.all((lo[j] <= hi[i]) & (hi[j] >= lo[i]), axis=1)]
        if len(j) == 0:
            continue
        cross = d[i, 0] * d[j, 1] - d[i, 1] * d[j, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            w = a[j] - a[i]
            t = (w[:, 0] * d[j, 1] - w[:, 1] * d[j, 0]) / cross
            u = (w[:, 0] * d[i, 1] - w[:, 1] * d[i, 0]) / cross
        hit = np.flatnonzero((t > 1e-9) & (t < 1 - 1e-9) & (u > 1e-9) & (u < 1 - 1e-9))
        if len(hit):
            x, y = a[i] + t[hit[0]] * d[i]
            return float(x), float(y)
    return None

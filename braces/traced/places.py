"""The named places of an outline: where it is widest and narrowest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Floats, Points
from braces.curves.path import Path, line_hits

_PER_PIECE = 60


@dataclass(frozen=True, slots=True)
class Place:
    """A widest or narrowest place."""

    at_mm: float  #: from the tail along the axis
    width_mm: float  #: full width there, side to side


@dataclass(frozen=True, slots=True)
class Places:
    """What a design measures from; a body without a waist has only a lower bout."""

    length_mm: float  #: tail to neck end along the axis
    lower_bout: Place
    waist: Place | None
    upper_bout: Place | None


def places(path: Path) -> Places:
    """Return the named places of a closed path that starts at the tail and has the neck end at its middle knot.

    Each side has extremes of its own; a place is the mean of both sides' if both have it, else that of the side that
    does, as a cutaway leaves it.
    """
    half = path.count // 2
    neck = path.point(np.array([float(half)]))[0]
    sides = [_side(path, 0, half, 1.0), _side(path, half, path.count, -1.0)]
    both = [s for s in sides if s is not None]
    lower = [_widest(path, 0, half, 1.0), _widest(path, half, path.count, -1.0)]
    if not both:
        return Places(float(neck[1]), _place(path, [p[1] for p in lower]), None, None)
    found = [_place(path, [s[k] for s in both]) for k in range(3)]
    return Places(float(neck[1]), *found)


def _grid(path: Path, first: int, last: int) -> Floats:
    return first + np.linspace(0, last - first, (last - first) * _PER_PIECE + 1)[1:-1]


def _widest(path: Path, first: int, last: int, sign: float) -> tuple[float, float]:
    u = _grid(path, first, last)
    p = path.point(u)
    k = int(np.argmax(p[:, 0] * sign))
    return float(p[k, 0]), float(p[k, 1])


def _side(path: Path, first: int, last: int, sign: float) -> tuple[float, float, float] | None:
    """Heights of one side's lower bout, waist and upper bout, or None if it has no waist."""
    u = _grid(path, first, last)
    p = path.point(u)
    x = p[:, 0] * sign
    if sign < 0:  # from the tail on
        u, x = u[::-1], x[::-1]
    low = np.flatnonzero((x[1:-1] < x[:-2]) & (x[1:-1] <= x[2:])) + 1
    depth = [(min(x[:k].max(), x[k:].max()) - x[k], int(k)) for k in low]
    if not depth or max(depth)[0] < 1.0:  # a waist less than a millimetre deep is a wobble
        return None
    k = max(depth)[1]
    marks = (int(np.argmax(x[:k])), k, k + int(np.argmax(x[k:])))
    step = 1.0 / _PER_PIECE
    return tuple(_polished(path, float(u[m]), step) for m in marks)  # type: ignore[return-value]  # three of them


def _polished(path: Path, u: float, step: float) -> float:
    """Height of the place near ``u`` where the curve runs along the axis, by halving; ``u``'s own at a corner."""
    lo, hi = u - step, u + step

    def across(v: float) -> float:
        return float(path.tangent(v)[..., 0])

    a, b = across(lo), across(hi)
    if a * b > 0:
        return float(path.point(u)[..., 1])
    for _ in range(48):
        middle = (lo + hi) / 2
        value = across(middle)
        if value * a > 0:
            lo = middle
        else:
            hi = middle
    return float(path.point((lo + hi) / 2)[..., 1])


def _place(path: Path, heights: list[float]) -> Place:
    y = float(np.mean(heights))
    return Place(y, width_mm(path, y))


def width_mm(path: Path, y_mm: float) -> float:
    """Return the full width across the axis at a height, outermost to outermost; 0 off the body."""
    hits = line_hits(path, (0.0, y_mm), (1.0, 0.0))
    return hits[-1].t_mm - hits[0].t_mm if len(hits) > 1 else 0.0


def dense_points(path: Path, per_piece: int = 24) -> Points:
    """Return points round the curve, (n, 2), without repeating the first."""
    return path.dense(per_piece)

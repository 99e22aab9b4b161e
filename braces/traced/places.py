"""The named places of an outline: where it is widest and narrowest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from braces.base.arrays import Floats
from braces.curves.hits import line_hits
from braces.curves.path import Path

_PER_PIECE = 60


@dataclass(frozen=True, slots=True)
class Place:
    """A widest or narrowest place."""

    at_mm: float  #: from the tail along the axis
    width_mm: float  #: full width there, side to side


class Found(NamedTuple):
    """A widest or narrowest place of one side."""

    y_mm: float  #: height
    out_mm: float  #: distance from the axis
    at_corner: bool


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
    does, as a cutaway leaves it. The tip of a horn counts only if the other side has none better.
    """
    half = path.count // 2
    neck = path.point(np.array([float(half)]))[0]
    spans = ((0, half, 1.0), (half, path.count, -1.0))
    sides = [s for s in (_side(path, *span) for span in spans) if s is not None]
    if not sides:
        return Places(float(neck[1]), _place(path, [_widest(path, *span) for span in spans]), None, None)
    lower, waist, upper = (_place(path, [s[k] for s in sides]) for k in range(3))
    return Places(float(neck[1]), lower, waist, upper)


def _grid(path: Path, first: int, last: int) -> Floats:
    return first + np.linspace(0, last - first, (last - first) * _PER_PIECE + 1)[1:-1]


def _widest(path: Path, first: int, last: int, sign: float) -> Found:
    """Height of one side's widest place, and its distance from the axis."""
    u = _grid(path, first, last)
    k = int(np.argmax(path.point(u)[:, 0] * sign))
    return _polished(path, float(u[k]))


def _side(path: Path, first: int, last: int, sign: float) -> tuple[Found, ...] | None:
    """Height and distance from the axis of one side's lower bout, waist and upper bout, or None if it has no waist."""
    u = _grid(path, first, last)
    if sign < 0:  # from the tail on
        u = u[::-1]
    x = path.point(u)[:, 0] * sign
    low = np.flatnonzero((x[1:-1] < x[:-2]) & (x[1:-1] <= x[2:])) + 1
    depth = [(min(x[:k].max(), x[k:].max()) - x[k], int(k)) for k in low]
    if not depth or max(depth)[0] < 1.0:  # a waist less than a millimetre deep is a wobble
        return None
    k = max(depth)[1]
    marks = (int(np.argmax(x[:k])), k, k + int(np.argmax(x[k:])))
    return tuple(_polished(path, float(u[m])) for m in marks)


def _polished(path: Path, u: float) -> Found:
    """Where the curve runs along the axis near ``u``; at a corner, the corner."""
    corner = next((c for c in path.corners if abs(c - u) < 1.5 / _PER_PIECE), None)
    if corner is not None:
        x, y = path.point(float(corner))
        return Found(float(y), abs(float(x)), True)
    lo, hi = u - 1.0 / _PER_PIECE, u + 1.0 / _PER_PIECE

    def across(v: float) -> float:
        return float(path.tangent(v)[..., 0])

    start = across(lo)
    if start * across(hi) <= 0:
        for _ in range(48):
            middle = (lo + hi) / 2
            if across(middle) * start > 0:
                lo = middle
            else:
                hi = middle
        u = (lo + hi) / 2
    x, y = path.point(u)
    return Found(float(y), abs(float(x)), False)


def _place(path: Path, found: list[Found]) -> Place:
    """One place of the one or two sides that have it.

    Sides that disagree by more than a centimetre are no pair: a horn's tip is no bout. Then the wider one counts.
    """
    found = [f for f in found if not f.at_corner] or found
    heights = [f.y_mm for f in found]
    y = float(np.mean(heights)) if max(heights) - min(heights) < 10.0 else max(found, key=lambda f: f.out_mm).y_mm
    return Place(y, width_mm(path, y))


def width_mm(path: Path, y_mm: float) -> float:
    """Return the full width across the axis at a height, outermost to outermost; 0 off the body."""
    hits = line_hits(path, (0.0, y_mm), (1.0, 0.0))
    return hits[-1].t_mm - hits[0].t_mm if len(hits) > 1 else 0.0

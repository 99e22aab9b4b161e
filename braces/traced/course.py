"""The drawn line in body axes, run through from the tail: what the curve is fitted to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Floats, Points
from braces.traced.corners import corners
from braces.traced.polylines import coarse_lengths

_STRIDE_MM = 4.0
_BY_AXIS_MM = 5.0  #: a corner nearer than this to the axis is one on the axis


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """A line from the tail, anticlockwise: all round, or as far as the neck."""

    points: Points  #: (n, 2) body axes, mm; for a whole course the tail's crossing of the axis is at y = 0
    s_mm: Floats  #: (n,) length from the tail, ascending
    whole_mm: float  #: length of it all
    neck_s_mm: float  #: length at the neck's crossing of the axis; the whole for a half
    corners_s_mm: tuple[float, ...]  #: lengths at corners; 0 is the tail
    tail_mm: float = 0.0  #: where the tail lay along the axis before it was moved to y = 0


def whole_course(points: Points, angle_deg: float) -> Course | None:
    """Return a closed anticlockwise line (n, 2), x = 0 on the axis, run from the tail; None if it misses the axis."""
    tail, neck = _crossing(points, 1), _crossing(points, -1)
    if tail is None or neck is None:
        return None
    (i, at_tail), (j, at_neck) = tail, neck
    n = len(points)
    order = np.arange(i + 1, i + 1 + n) % n
    neck_index = (j - i - 1) % n + 1  # how many points come before the neck's crossing
    ordered = points[order]
    # The crossings stand on chords, a little inside a curve: they give lengths, but are no points to fit.
    line = np.concatenate([at_tail[None], ordered[:neck_index], at_neck[None], ordered[neck_index:], at_tail[None]])
    s, found = _paced(line, angle_deg)
    drawn = np.delete(np.arange(1, n + 2), neck_index)
    return Course(
        line[drawn] - [0.0, at_tail[1]], s[drawn], float(s[-1]), float(s[neck_index + 1]), found, float(at_tail[1])
    )


def half_course(points: Points, angle_deg: float) -> Course:
    """Return an open line (n, 2) from the tail (0, 0) to the neck on the treble side, to be mirrored."""
    line = np.concatenate([points, (points * [-1.0, 1.0])[::-1][1:-1]])
    around, found = _paced(np.concatenate([line, line[:1]]), angle_deg)
    s = around[: len(points)]
    end = float(s[-1])
    # What the mirror image shows beyond the tail or the neck is the same corner again.
    whole = float(around[-1])
    here = sorted({min(c, whole - c) for c in found if c < end + _BY_AXIS_MM or c > whole - _BY_AXIS_MM})
    return Course(points, s, end, end, tuple(min(c, end) for c in here))


def _paced(line: Points, angle_deg: float) -> tuple[Floats, tuple[float, ...]]:
    """Lengths along a line that ends where it begins, and those at its corners; strides do not cut the corners."""
    s = coarse_lengths(line, _STRIDE_MM)
    found = corners(line[:-1], s[:-1], float(s[-1]), angle_deg)
    if not found:
        return s, found
    n = np.arange(len(line))
    place = np.interp(found, s + n * 1e-9, n)
    keep = np.concatenate([np.floor(place), np.ceil(place)]).astype(int)
    s = coarse_lengths(line, _STRIDE_MM, frozenset(keep.tolist()))
    return s, tuple(np.interp(place, n, s).tolist())


def folded(course: Course) -> Course:
    """Return a whole course as a half: the bass side laid over the treble side."""
    from scipy.spatial import cKDTree

    treble = course.s_mm <= course.neck_s_mm
    over = course.points[~treble] * [-1.0, 1.0]
    grid = np.linspace(0, course.neck_s_mm, int(course.neck_s_mm / 0.5) + 2)
    dense = np.column_stack([np.interp(grid, course.s_mm[treble], course.points[treble][:, k]) for k in (0, 1)])
    s_over = grid[cKDTree(dense).query(over)[1]]
    s = np.concatenate([course.s_mm[treble], s_over])
    order = np.argsort(s, kind="stable")
    share = course.neck_s_mm / (course.whole_mm - course.neck_s_mm)
    both = sorted(c if c <= course.neck_s_mm else (course.whole_mm - c) * share for c in course.corners_s_mm)
    return Course(
        np.concatenate([course.points[treble], over])[order],
        s[order],
        course.neck_s_mm,
        course.neck_s_mm,
        _merged(both),
        course.tail_mm,
    )


def _merged(lengths: list[float]) -> tuple[float, ...]:
    """One of each pair of corners that the two sides have in common."""
    groups: list[list[float]] = []
    for s in lengths:
        if groups and s - groups[-1][-1] < 2 * _BY_AXIS_MM:
            groups[-1].append(s)
        else:
            groups.append([s])
    return tuple(float(np.mean(g)) for g in groups)


def _crossing(points: Points, way: int) -> tuple[int, Points] | None:
    """Where the line crosses x = 0 to the right at the lowest place (way 1), or to the left at the highest (-1)."""
    x = points[:, 0] * way
    after = np.roll(x, -1)
    sides = np.flatnonzero((x < 0) & (after >= 0))
    if len(sides) == 0:
        return None
    share = x[sides] / (x[sides] - after[sides])
    following = points[(sides + 1) % len(points)]
    y = points[sides, 1] + share * (following[:, 1] - points[sides, 1])
    k = int(np.argmin(y * way))
    return int(sides[k]), np.array([0.0, y[k]])


def fixed_lengths(course: Course, closed: bool) -> tuple[Floats, frozenset[float], frozenset[float]]:
    """Return the lengths at which a knot must stand (ascending), and which of them are corners and on the axis."""
    ends = [0.0, course.neck_s_mm] + ([course.whole_mm] if closed else [])
    at_axis = {0.0, course.neck_s_mm}
    corner: set[float] = set()
    between: list[float] = []
    for s in course.corners_s_mm:
        nearest = min(ends, key=lambda e: abs(e - s))
        if abs(nearest - s) < _BY_AXIS_MM:
            corner.add(0.0 if nearest == course.whole_mm and closed else nearest)
        else:
            corner.add(s)
            between.append(s)
    return np.array(sorted([*ends, *between])), frozenset(corner), frozenset(at_axis)

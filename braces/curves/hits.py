"""Where straight lines and arcs meet a path."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import atan2, copysign, cos, pi, sin

import numpy as np

from braces.base.arrays import Floats, Points
from braces.curves.course import Course, meeting_points
from braces.curves.parallel import Turn
from braces.curves.path import JUST_BEFORE, Path, joins, place_and_derivative


@dataclass(frozen=True, slots=True)
class Hit:
    """Where a straight line, or an arc, meets a path."""

    u_count: float  #: parameter on the path
    t_mm: float  #: distance along the line, station on the arc
    at: tuple[float, float]
    along: tuple[float, float]  #: unit vector along the path there


_SAMPLES = 480  #: points round a path between which a line can meet it at most once


@lru_cache(maxsize=64)
def _samples(path: Path) -> tuple[Floats, Points]:
    u = np.append(path.grid(max(4, _SAMPLES // path.count)), path.count)
    u = path.kept(u) if path.is_joined else u
    return u, path.point(u)


def line_hits(path: Path, origin: tuple[float, float], direction: tuple[float, float]) -> tuple[Hit, ...]:
    """Return every meeting of the line origin + t * direction (unit) with the path, by ascending t.

    Signs of the distance to the line are sampled, then each crossing is polished by Newton's method.
    """
    o, d = np.asarray(origin), np.asarray(direction)
    n = np.array([-d[1], d[0]])
    u, points = _samples(path)
    side = (points - o) @ n
    hits = [h for arc in joins(path).turns for h in _arc_hits(arc, o, d)]
    for i in np.flatnonzero((side[:-1] > 0) != (side[1:] > 0)):
        span = _span_after(path, u[i], u[i + 1])
        if span is not None:
            hits.append(_polished(path, o, d, n, *span, side[i], side[i + 1]))
    return tuple(sorted(hits, key=lambda h: h.t_mm))


def _span_after(path: Path, lo: float, hi: float) -> tuple[float, float] | None:
    """Return where to look between two neighbouring samples: behind a mitre, and nowhere on an arc."""
    found = joins(path)
    if hi - lo < 2 * JUST_BEFORE and any(hi % path.count == arc.corner_count for arc in found.turns):
        return None
    for trim in found.trims:
        if abs((lo - trim.from_count) % path.count) < JUST_BEFORE:
            return lo + trim.to_count - trim.from_count, hi
    return lo, hi


def _arc_hits(arc: Turn, o: Floats, d: Floats) -> list[Hit]:
    """Where a line meets an arc about a corner, all at the corner's parameter."""
    gap = np.asarray(arc.at) - o
    middle, off = float(gap @ d), float(d[0] * gap[1] - d[1] * gap[0])
    if abs(off) >= arc.radius_mm:
        return []
    hits = []
    for t in (middle - (arc.radius_mm**2 - off**2) ** 0.5, middle + (arc.radius_mm**2 - off**2) ** 0.5):
        x, y = (o + t * d - arc.at).tolist()
        share = ((atan2(y, x) - arc.from_rad) / arc.turn_rad) % (2 * pi / abs(arc.turn_rad))
        if share <= 1:
            sign = 1 if arc.turn_rad > 0 else -1
            along = (-sign * y / arc.radius_mm, sign * x / arc.radius_mm)
            hits.append(Hit(float(arc.corner_count), t, (arc.at[0] + x, arc.at[1] + y), along))
    return hits


def _polished(path: Path, o: Floats, d: Floats, n: Floats, lo: float, hi: float, f_lo: float, f_hi: float) -> Hit:
    """Return the meeting between the parameters ``lo`` and ``hi``, on opposite sides of the line.

    Plane points are complex numbers here: single ones are far quicker so than as little arrays.
    """
    origin, along, normal = complex(*o), complex(*d), complex(*n)
    x = float(lo + (hi - lo) * f_lo / (f_lo - f_hi))
    point = origin
    for _ in range(12):
        point, speed = place_and_derivative(path, min(x, path.count - 1e-12))
        slope = (speed * normal.conjugate()).real
        step = ((point - origin) * normal.conjugate()).real / slope if slope else 0.0
        x = min(max(x - step, lo), hi)
        if abs(step) < 1e-11:  # of a piece some 100 mm long
            break
    heading = speed / abs(speed)
    t = float(((point - origin) * along.conjugate()).real)
    return Hit(x % path.count, t, (point.real, point.imag), (heading.real, heading.imag))


def course_hits(path: Path, course: Course) -> tuple[Hit, ...]:
    """Return every meeting of the line or whole circle of a course with the path, by ascending station.

    Signs of the distance to it are sampled, then each crossing is closed in on by secants and bisection in turn.
    """
    u, points = _samples(path)
    side = course.project(points)[1]
    hits = [h for arc in joins(path).turns for h in _bent_hits(arc, course)]
    for i in np.flatnonzero((side[:-1] > 0) != (side[1:] > 0)):
        span = _span_after(path, u[i], u[i + 1])
        if span is not None:
            at = _root(lambda v: course.where(_place(path, v))[1], float(span[0]), float(span[1]))
            _, speed = place_and_derivative(path, min(at, path.count - 1e-12))
            there, heading = _place(path, at), speed / abs(speed)
            hits.append(Hit(at % path.count, course.where(there)[0], there, (heading.real, heading.imag)))
    return tuple(sorted(hits, key=lambda h: h.t_mm))


def _bent_hits(arc: Turn, course: Course) -> list[Hit]:
    """Where a course meets an arc about a corner."""
    sign, r = copysign(1.0, arc.turn_rad), arc.radius_mm
    start = (arc.at[0] + r * cos(arc.from_rad), arc.at[1] + r * sin(arc.from_rad))
    heading = (-sign * sin(arc.from_rad), sign * cos(arc.from_rad))
    hits = []
    for x, y in meeting_points(course, Course(start, heading, arc.length_mm, sign * r)):
        share = ((atan2(y - arc.at[1], x - arc.at[0]) - arc.from_rad) / arc.turn_rad) % (2 * pi / abs(arc.turn_rad))
        if share <= 1:
            along = (-sign * (y - arc.at[1]) / r, sign * (x - arc.at[0]) / r)
            hits.append(Hit(float(arc.corner_count), course.where((x, y))[0], (x, y), along))
    return hits


def _place(path: Path, u: float) -> tuple[float, float]:
    point = place_and_derivative(path, min(u, path.count - 1e-12))[0]
    return point.real, point.imag


def _root(f: Callable[[float], float], low: float, high: float) -> float:
    """Return a root of ``f``, which changes sign between ``low`` and ``high``, to 1e-12 of a piece."""
    at_low, at_high = f(low), f(high)
    for step in range(100):
        if high - low < 1e-12 or at_high == at_low:
            break
        middle = (low + high) / 2 if step % 3 == 2 else low + (high - low) * at_low / (at_low - at_high)
        at = f(middle)
        if at == 0:
            return middle
        if (at > 0) == (at_low > 0):
            low, at_low = middle, at
        else:
            high, at_high = middle, at
    return low if abs(at_low) < abs(at_high) else high

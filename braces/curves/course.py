"""The centre line of a stick in plan: straight, or an arc of a circle; what lies along it and beside it.

Places are told by their station ``s`` along the line and their distance ``y`` to its left. A straight line is the arc
whose bend (1 / radius) is nothing: one set of formulas holds for both, written so that none divides by the bend.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, ceil, cos, hypot, inf, isinf, pi, sin, sqrt

import numpy as np

from braces.base.arrays import Floats, Points, frozen_points

XY = tuple[float, float]
FINE_MM = 0.0009  #: chords so near to a centre line stay within 0.001 mm of the arcs some widths aside


@dataclass(frozen=True, slots=True)
class Course:
    """A run of ``length_mm`` from ``start``, leaving it along ``heading`` (unit).

    >>> quarter = Course((0.0, 0.0), (1.0, 0.0), 100 * pi / 2, 100.0)
    >>> [round(float(v), 9) for v in quarter.point(quarter.length_mm)]
    [100.0, 100.0]
    """

    start: XY
    heading: XY
    length_mm: float
    radius_mm: float = inf  #: + if it turns left (anticlockwise), - if right, inf if it is straight

    @property
    def is_straight(self) -> bool:
        """Whether it does not turn."""
        return isinf(self.radius_mm)

    @property
    def _bend(self) -> float:
        return 1.0 / self.radius_mm  # nothing if the radius is infinite

    def point(self, s: float | Floats, y: float | Floats = 0.0) -> Points:
        """Return places in plan, shape of the broadcast of ``s`` and ``y`` + (2,), mm."""
        s, y = np.broadcast_arrays(np.asarray(s, dtype=float), np.asarray(y, dtype=float))
        turn = s * self._bend
        along = s * np.sinc(turn / pi) - y * np.sin(turn)
        aside = s * turn / 2 * np.sinc(turn / (2 * pi)) ** 2 + y * np.cos(turn)
        (hx, hy), (x, z) = self.heading, self.start
        return np.stack([x + along * hx - aside * hy, z + along * hy + aside * hx], axis=-1)

    def at(self, s_mm: float, y_mm: float = 0.0) -> XY:
        """Return one place as plain numbers."""
        x, y = self.point(s_mm, y_mm)
        return float(x), float(y)

    def tangent(self, s: float | Floats) -> Points:
        """Unit vectors along travel, shape of ``s`` + (2,)."""
        turn = np.asarray(s, dtype=float) * self._bend
        (hx, hy), c, n = self.heading, np.cos(turn), np.sin(turn)
        return np.stack([c * hx - n * hy, c * hy + n * hx], axis=-1)

    def heading_at(self, s_mm: float) -> XY:
        """Return the unit vector along travel at one station."""
        x, y = self.tangent(s_mm)
        return float(x), float(y)

    def stretch(self, y: float | Floats) -> Floats:
        """Return how much longer than the centre line the parallel line at ``y`` is: 1 - y / radius."""
        return 1.0 - np.asarray(y, dtype=float) * self._bend

    def project(self, points: Points) -> tuple[Floats, Floats]:
        """Return (s, y) of plan places (..., 2); on an arc s lies within half a turn of the start."""
        v = np.asarray(points, dtype=float) - np.asarray(self.start)
        (hx, hy), k = self.heading, self._bend
        a, b = v[..., 0] * hx + v[..., 1] * hy, v[..., 1] * hx - v[..., 0] * hy
        if k == 0.0:
            return a, b
        away = np.hypot(a * k, 1 - b * k)
        return np.arctan2(a * k, 1 - b * k) / k, (2 * b - (a * a + b * b) * k) / (1 + away)

    def where(self, point: XY) -> tuple[float, float]:
        """Return (s, y) of one place as plain numbers."""
        s, y = self.project(np.asarray(point))
        return float(s), float(y)

    def line_meets(self, point: XY, direction: XY, y_mm: float = 0.0) -> tuple[float, ...]:
        """Return the distances along a line (unit) from ``point`` to the parallel at ``y_mm``, the nearest first.

        None if they do not meet, one if the course is straight, two on the whole circle of an arc.
        """
        (hx, hy), k = self.heading, self._bend
        vx, vy = point[0] - self.start[0], point[1] - self.start[1]
        a, b = vx * hx + vy * hy, vy * hx - vx * hy
        da, db = direction[0] * hx + direction[1] * hy, direction[1] * hx - direction[0] * hy
        # k t^2 + 2 half t + rest = 0 says that the distance to the arc's centre is the parallel's radius.
        half = k * (a * da + b * db) - db
        rest = k * (a * a + b * b) - 2 * b + y_mm * (2 - y_mm * k)
        square = half * half - k * rest
        if square < 0 or (half == 0 and k == 0):
            return ()
        root = half + (sqrt(square) if half >= 0 else -sqrt(square))
        if root == 0:
            return (0.0,)
        near = -rest / root
        return (near,) if k == 0.0 else (near, -root / k)

    def slice_at(self, point: XY, direction: XY, y_mm: float) -> float:
        """Return the station at which a line through ``point``, near the course, meets the parallel at ``y_mm``.

        Raises:
            ValueError: if it does not meet it.
        """
        found = self.line_meets(point, direction, y_mm)
        if not found:
            raise ValueError("the line runs beside the course")
        t = found[0]
        return self.where((point[0] + t * direction[0], point[1] + t * direction[1]))[0]

    @property
    def centre(self) -> XY:
        """The centre of an arc; a straight line has none, ``ValueError``."""
        if self.is_straight:
            raise ValueError("a straight line has no centre")
        (x, y), (hx, hy), r = self.start, self.heading, self.radius_mm
        return x - r * hy, y + r * hx

    def strip(self, low_s: XY, high_s: XY, half_mm: float, within_mm: float = FINE_MM) -> Points:
        """Return the band between the parallels at -half and +half as a closed polygon, anticlockwise, (n, 2).

        ``low_s`` and ``high_s`` are the stations at which it begins and ends at (-half, +half). Chords stay within
        ``within_mm`` of the arcs; a straight band has its four corners, the right one at the start first.
        """
        right = self.point(self.stations(low_s[0], high_s[0], within_mm), -half_mm)
        left = self.point(self.stations(low_s[1], high_s[1], within_mm), half_mm)
        return frozen_points(np.concatenate([right, left[::-1]]))

    def stations(self, low_mm: float, high_mm: float, within_mm: float = FINE_MM) -> Floats:
        """Return stations from low to high so close that chords stay within ``within_mm`` of an arc."""
        if self.is_straight:
            return np.array([low_mm, high_mm])
        step = sqrt(8 * within_mm * abs(self.radius_mm))  # the rise of a chord c is c^2 / 8 r
        return np.linspace(low_mm, high_mm, 1 + max(1, ceil(abs(high_mm - low_mm) / step)))


#: The axis X, on from the origin.
STRAIGHT = Course((0.0, 0.0), (1.0, 0.0), 0.0)


def between(start: XY, end: XY, radius_mm: float = inf) -> Course:
    """Return the course from one point to another: straight, or the shorter arc of a signed radius.

    Raises:
        ValueError: if the points are further apart than the circle is wide, or the same.
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    chord = hypot(dx, dy)
    if chord == 0 or chord > 2 * abs(radius_mm):
        raise ValueError("no such arc")
    half = 0.0 if isinf(radius_mm) else _asin(chord / (2 * radius_mm))
    length = chord if half == 0.0 else 2 * radius_mm * half
    c, s = cos(half), sin(half)
    hx, hy = dx / chord, dy / chord
    return Course(start, (c * hx + s * hy, c * hy - s * hx), length, radius_mm)


def _asin(x: float) -> float:
    return atan2(x, sqrt(max(0.0, 1 - x * x)))


def cut_station(lean_ratio: float, y_mm: float, radius_mm: float = inf, off_mm: float = 0.0) -> float:
    """Return the station, from that of its middle, at which an upright cut meets the parallel at ``y_mm``.

    ``lean_ratio`` is the cotangent of its angle to the course at its middle; ``off_mm`` moves it square to itself.
    """
    n = hypot(1.0, lean_ratio)
    if isinf(radius_mm):
        return off_mm * n + y_mm * lean_ratio
    local = Course((0.0, 0.0), (1.0, 0.0), 0.0, radius_mm)
    return local.slice_at((off_mm / n, -off_mm * lean_ratio / n), (lean_ratio / n, 1 / n), y_mm)


def meetings(a: Course, b: Course, beyond_mm: float = 1e-9) -> Iterator[tuple[float, float]]:
    """Yield (station on a, station on b) of every place at which two courses meet, in order along a."""
    found = ((a.where(p)[0], b.where(p)[0]) for p in meeting_points(a, b))
    yield from sorted(
        (s, t)
        for s, t in found
        if -beyond_mm <= s <= a.length_mm + beyond_mm and -beyond_mm <= t <= b.length_mm + beyond_mm
    )


def meeting_points(a: Course, b: Course) -> list[XY]:
    """Return where the whole lines or circles of two courses meet."""
    if a.is_straight:
        return [_along(a.start, a.heading, t) for t in b.line_meets(a.start, a.heading)]
    if b.is_straight:
        return [_along(b.start, b.heading, t) for t in a.line_meets(b.start, b.heading)]
    return _circles_meet(a, b)


def _along(p: XY, d: XY, t: float) -> XY:
    return p[0] + t * d[0], p[1] + t * d[1]


def _circles_meet(a: Course, b: Course) -> list[XY]:
    """Return where two circles meet: both on the line square to that between their centres (the radical line)."""
    (ax, ay), (bx, by) = a.centre, b.centre
    apart = hypot(bx - ax, by - ay)
    if apart == 0:
        return []
    ux, uy = (bx - ax) / apart, (by - ay) / apart
    along = (apart**2 + a.radius_mm**2 - b.radius_mm**2) / (2 * apart)
    square = a.radius_mm**2 - along**2
    if square < 0:
        return []
    foot = (ax + along * ux, ay + along * uy)
    return [_along(foot, (-uy, ux), t) for t in (-sqrt(square), sqrt(square))]

"""From a drawn line to an outline: whole as it is, or one half and its mirror image."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Floats, Points, frozen_floats, frozen_points
from braces.traced.course import Course, fixed_lengths
from braces.traced.fit import Target, finer, fitted, refitted, stations_between
from braces.traced.least_squares import Stations
from braces.traced.outline import Outline, closed_from_half

_ROUNDS = 4  #: of making the two sides' knots as many and the curve as near again


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """An outline with how near it comes to what it was drawn from."""

    outline: Outline
    points: Points  #: (m, 2) the drawn points in the outline's axes
    u: Floats  #: (m,) parameters of the places on the outline's path nearest to them
    rise_mm: float  #: how far above the course's own y = 0 the curve's tail came to lie; taken off everything
    settled: bool  #: more knots would only follow the scatter of the points


def whole_curve(course: Course, within_mm: float) -> Drawn:
    """Return the closed curve along a whole course, with as many knots on the bass side as on the treble side."""
    fixed, corner, axis = fixed_lengths(course, closed=True)
    stations = stations_between(fixed, corner, True, axis, frozenset())
    target = _target(course)
    made = fitted(target, stations, within_mm)
    for _ in range(_ROUNDS):
        made = refitted(target, made, _balanced(made.stations))
        more = None if made.settled else finer(made, within_mm)
        if more is None:
            break
        made = refitted(target, made, more)
    made = refitted(target, made, _balanced(made.stations))
    rise = made.points[0, 1]
    points = made.points - [0.0, rise]
    points[0] = 0.0
    n = len(made.runs_mm)
    points[n // 2, 0] = 0.0
    headings = np.column_stack([np.roll(made.headings_rad[:, 1], 1), made.headings_rad[:, 0]])
    bends = np.column_stack([np.roll(made.bends[:, 1], 1), made.bends[:, 0]])
    smooth = [i for i in range(n) if i not in made.stations.corners]
    headings[smooth, 0], bends[smooth, 0] = headings[smooth, 1], bends[smooth, 1]
    outline = Outline(
        frozen_points(points[:-1]),
        _frozen(np.mod(np.degrees(headings), 360.0)),
        _frozen(bends * 1000),
        frozen_floats(made.runs_mm),
    )
    return Drawn(outline, frozen_points(course.points - [0.0, rise]), frozen_floats(made.u), float(rise), made.settled)


def mirrored_curve(course: Course, within_mm: float) -> Drawn:
    """Return the curve along a half course with its mirror image."""
    fixed, corner, axis = fixed_lengths(course, closed=False)
    level = axis - corner
    stations = stations_between(fixed, corner, False, axis, level)
    made = fitted(_target(course), stations, within_mm)
    n = len(made.runs_mm)
    rise = made.points[0, 1]
    points = made.points - [0.0, rise]
    points[[0, -1], 0] = 0.0
    headings, bends = np.zeros((n + 1, 2)), np.zeros((n + 1, 2))
    headings[:-1, 1], headings[1:, 0] = made.headings_rad[:, 0], made.headings_rad[:, 1]
    bends[:-1, 1], bends[1:, 0] = made.bends[:, 0], made.bends[:, 1]
    smooth = [i for i in range(1, n) if i not in made.stations.corners]
    headings[smooth, 0], bends[smooth, 0] = headings[smooth, 1], bends[smooth, 1]
    degrees = np.degrees(headings)
    for end, square in ((0, 0.0), (n, 180.0)):
        if end not in made.stations.corners:  # exactly, not only within rounding
            degrees[end] = square
    outline = closed_from_half(points, degrees, bends * 1000, made.runs_mm)
    outline = replace(
        outline,
        points=frozen_points(outline.points),
        headings_deg=_frozen(outline.headings_deg),
        bends_per_m=_frozen(outline.bends_per_m),
    )
    return Drawn(outline, frozen_points(course.points - [0.0, rise]), frozen_floats(made.u), float(rise), made.settled)


def _frozen(a: NDArray[np.float64]) -> NDArray[np.float64]:
    a = np.array(a, dtype=float)
    a.setflags(write=False)
    return a


def _target(course: Course) -> Target:
    s = course.s_mm
    weights = np.gradient(s) if len(s) > 1 else np.ones(1)
    return Target(course.points, s, np.maximum(weights, 1e-6))


def _balanced(stations: Stations) -> Stations:
    """Halve the longest runs of the side with fewer, until the neck's knot is the middle one."""
    while True:
        n = len(stations.s_mm) - 1
        neck = max(stations.on_axis)
        if 2 * neck == n:
            return stations
        runs = np.diff(stations.s_mm)
        few = slice(0, neck) if 2 * neck < n else slice(neck, n)
        halve = np.zeros(n, dtype=bool)
        halve[few.start + int(np.argmax(runs[few]))] = True
        stations = stations.halved(halve)

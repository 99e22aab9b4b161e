"""The true plan of a brace: two parallel sides, straight or curved, cut by its end faces."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.placed.values import PlacedBrace, PlacedEnd

Corner = tuple[float, float]
_APART_MM = 0.005


def end_skew(heading: tuple[float, float], end: PlacedEnd, lateral: tuple[float, float]) -> float:
    """Return how far an end face runs along the brace for each mm across it, towards ``lateral``."""
    fx, fy = end.face
    return (fx * heading[0] + fy * heading[1]) / (fx * lateral[0] + fy * lateral[1])


def end_stations(brace: PlacedBrace, left_mm: float) -> tuple[float, float]:
    """Return the stations at which the start and the end face meet the line ``left_mm`` to the left of the centre line.

    Left is as one looks along the plan from above the front.
    """
    course = brace.course
    return (
        course.slice_at(brace.start.at, brace.start.face, left_mm),
        course.slice_at(brace.end.at, brace.end.face, left_mm),
    )


def corners(brace: PlacedBrace) -> tuple[Corner, Corner, Corner, Corner]:
    """Return the four plan corners, anticlockwise: start right, end right, end left, start left."""
    half, course = brace.width_mm / 2, brace.course
    (s_right, e_right), (s_left, e_left) = end_stations(brace, -half), end_stations(brace, half)
    return (
        course.at(s_right, -half),
        course.at(e_right, -half),
        course.at(e_left, half),
        course.at(s_left, half),
    )


def footprint(brace: PlacedBrace) -> Points:
    """Return the plan of a brace, closed, anticlockwise, (n, 2): the four corners if it is straight.

    The sides of a curved one are chords within 0.001 mm of the arcs.
    """
    if not brace.is_straight:
        half = brace.width_mm / 2
        (s_right, e_right), (s_left, e_left) = end_stations(brace, -half), end_stations(brace, half)
        return brace.course.strip((s_right, s_left), (e_right, e_left), half)
    h = np.array(brace.heading)
    left = np.array([-h[1], h[0]])
    lateral = (float(left[0]), float(left[1]))
    half = brace.width_mm / 2
    a, b = end_skew(brace.heading, brace.start, lateral), end_skew(brace.heading, brace.end, lateral)
    s, e = np.array(brace.start.at), np.array(brace.end.at)
    return frozen_points(
        [
            s - half * (left + a * h),
            e - half * (left + b * h),
            e + half * (left + b * h),
            s + half * (left + a * h),
        ]
    )


def convex_parts(brace: PlacedBrace) -> tuple[Points, ...]:
    """Return convex pieces, each anticlockwise, that make up the plan of a brace: one if it is straight.

    Chords stay within 0.005 mm of the arcs of a curved one: enough to tell how far things are apart.
    """
    course, half = brace.course, brace.width_mm / 2
    if course.is_straight:
        return (footprint(brace),)
    (s_right, e_right), (s_left, e_left) = end_stations(brace, -half), end_stations(brace, half)
    count = max(len(course.stations(*ends, _APART_MM)) for ends in ((s_right, e_right), (s_left, e_left)))
    right = course.point(np.linspace(s_right, e_right, count), -half)
    left = course.point(np.linspace(s_left, e_left, count), half)
    return tuple(
        frozen_points([r0, r1, l1, l0]) for (r0, r1), (l0, l1) in zip(pairwise(right), pairwise(left), strict=True)
    )

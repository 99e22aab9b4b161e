"""The true plan of a brace: two parallel sides, cut by its end faces."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.placed.values import PlacedBrace, PlacedEnd


def end_skew(heading: tuple[float, float], end: PlacedEnd, lateral: tuple[float, float]) -> float:
    """Return how far an end face runs along the brace for each mm across it, towards ``lateral``."""
    fx, fy = end.face
    return (fx * heading[0] + fy * heading[1]) / (fx * lateral[0] + fy * lateral[1])


def footprint(brace: PlacedBrace) -> Points:
    """Return the four plan corners, anticlockwise, (4, 2): start right, end right, end left, start left."""
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

"""Dense polylines turned into chains of circular arcs: tens of arcs for a cutter, not hundreds of lines.

Greedy: from each point, the longest run of points that one arc through its first, middle and last point
follows. The tangent may break by a little where arcs meet.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from braces.base.arrays import Points

TOLERANCE_MM: Final = 0.02
#: x, y in mm and the bulge to the next vertex.
Vertex = tuple[float, float, float]

#: No arc of a chain turns further than this.
_FURTHEST_RAD = math.radians(170)


def arcs(points: Points, closed: bool, tolerance_mm: float = TOLERANCE_MM) -> list[Vertex]:
    """Return vertices (x, y, bulge) of a polyline that stays within ``tolerance_mm`` of (n, 2) ``points``.

    The bulge is the tangent of a quarter of the angle that the arc to the next vertex turns, anticlockwise
    positive. A closed chain does not repeat its first vertex.
    """
    line = np.vstack([points, points[:1]]) if closed else points
    last = len(line) - 1
    chain: list[Vertex] = []
    start = 0
    while start < last:
        end, bulge = _longest(line, start, last, tolerance_mm)
        chain.append((float(line[start, 0]), float(line[start, 1]), bulge))
        start = end
    if not closed:
        chain.append((float(line[-1, 0]), float(line[-1, 1]), 0.0))
    return chain


def _longest(line: Points, start: int, last: int, tolerance: float) -> tuple[int, float]:
    """Return the end of the longest run from ``start`` that one arc follows, and its bulge."""
    good, bulge = start + 1, 0.0
    reach = 2
    bad = last + 1
    while start + reach <= last:
        fitted = _bulge(line[start : start + reach + 1], tolerance)
        if fitted is None:
            bad = start + reach
            break
        good, bulge = start + reach, fitted
        reach = min(2 * reach, last - start) if start + reach < last else last + 1
    while bad - good > 1:
        middle = (good + bad) // 2
        fitted = _bulge(line[start : middle + 1], tolerance)
        if fitted is None:
            bad = middle
        else:
            good, bulge = middle, fitted
    return good, bulge


def _bulge(run: Points, tolerance: float) -> float | None:
    """Return the bulge of the arc through a run's first, middle and last point if it follows all of it."""
    a, m, b = run[0], run[len(run) // 2], run[-1]
    to_m, to_b, chord = m - a, b - m, b - a
    length = math.hypot(*chord)
    if length < 1e-9:
        return None
    turn = math.atan2(to_m[0] * to_b[1] - to_m[1] * to_b[0], float(to_m @ to_b))
    # The chord's ends are seen from the middle point under pi - turn, so the arc turns by 2 turn.
    if abs(2 * turn) > _FURTHEST_RAD:
        return None
    # Middles of the lines too: three corners of a square also lie on a circle.
    seen = np.vstack([run, (run[:-1] + run[1:]) / 2]) - a
    along = seen @ chord / length
    aside = (chord[0] * seen[:, 1] - chord[1] * seen[:, 0]) / length
    if along.min() < -tolerance or along.max() > length + tolerance:
        return None
    off = np.abs(aside - _arc_aside(along, length, turn))
    return math.tan(turn / 2) if off.max() <= tolerance else None


def _arc_aside(along: Points, length: float, turn: float) -> Points:
    """Return how far left of its chord an arc that turns by 2 ``turn`` lies, at places along the chord."""
    if abs(turn) < 1e-9:
        return np.zeros_like(along)
    radius = length / (2 * math.sin(abs(turn)))
    inside = np.maximum(radius**2 - (along - length / 2) ** 2, 0.0)
    arc = np.sqrt(inside) - radius * math.cos(turn)
    # An arc that turns left bulges to the right of its chord.
    return -math.copysign(1.0, turn) * arc

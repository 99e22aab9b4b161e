"""Curves of drawings as close points, within a given stand-off of the chords."""

from __future__ import annotations

from math import acos, atan, ceil, pi, sqrt

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
MAX_PER_CURVE = 20_000


def turn_count(radius: float, turn_rad: float, within: float) -> int:
    """Number of equal steps in which an arc's chords stay ``within`` of it."""
    if radius <= within:
        return 4
    step = 2 * acos(1 - within / radius)
    return min(max(ceil(abs(turn_rad) / step), 2), MAX_PER_CURVE)


def arc(centre: Array, u: Array, v: Array, start_rad: float, turn_rad: float, within: float) -> Array:
    """Points (n, d) of centre + u cos a + v sin a; circle or ellipse, depending on the two vectors."""
    radius = float(max(np.linalg.norm(u), np.linalg.norm(v)))
    # For an ellipse the chord error of even parameter steps is at most that of the circle round it.
    a = start_rad + turn_rad * np.linspace(0, 1, turn_count(radius, turn_rad, within) + 1)[:, None]
    return np.asarray(centre + np.cos(a) * u + np.sin(a) * v)


def bulged(points: Array, bulges: Array, closed: bool, within: float) -> Array:
    """Points (m, 2) of a polyline (n, 2) whose sides bulge (tan of a quarter of the turn, + to the right of travel)."""
    ends = np.concatenate([points, points[:1]]) if closed else points
    out = [ends[:1]]
    for p, q, bulge in zip(ends[:-1], ends[1:], bulges, strict=False):
        chord = q - p
        length = float(np.hypot(*chord))
        if abs(bulge) < 1e-9 or length == 0.0:
            out.append(q[None])
            continue
        turn = 4 * atan(bulge)
        # The centre lies to the left of an anticlockwise arc, at chord/2 / tan(turn/2) from the chord's middle.
        left = np.array([-chord[1], chord[0]])
        centre = (p + q) / 2 + left * (1 - bulge**2) / (4 * bulge)
        u = p - centre
        out.append(arc(centre, u, np.array([-u[1], u[0]]), 0.0, turn, within)[1:-1])
        out.append(q[None])
    return np.concatenate(out)


def bezier(poles: Array, within: float) -> Array:
    """Points (m, 2) of one Bezier curve with poles (k, 2), k = 3 or 4."""
    k = len(poles) - 1
    bend = k * (k - 1) * float(np.max(np.linalg.norm(np.diff(poles, 2, axis=0), axis=1)))
    # A chord over a parameter step h stands off by at most h^2/8 times the second derivative.
    n = min(max(ceil(sqrt(bend / (8 * within))), 1), MAX_PER_CURVE)
    t = np.linspace(0, 1, n + 1)[:, None]
    rows = poles[:, None, :]
    while len(rows) > 1:  # de Casteljau
        rows = rows[:-1] * (1 - t) + rows[1:] * t
    return np.asarray(rows[0])


def bspline(degree: int, knots: Array, poles: Array, weights: Array | None, within: float) -> Array:
    """Points (m, d) of a (rational) B-spline over its whole domain.

    Each span is halved until the curve's middle lies within the limit of every chord's.
    """
    from scipy.interpolate import BSpline

    w = np.ones(len(poles)) if weights is None else weights
    curve = BSpline(knots, np.column_stack([poles * w[:, None], w]), degree)

    def at(u: Array) -> Array:
        h = curve(u)
        return np.asarray(h[:, :-1] / h[:, -1:])

    u = np.unique(knots[degree : len(knots) - degree])
    u = np.unique(np.concatenate([u[:-1] + np.diff(u) * k / 4 for k in range(4)] + [u[-1:]]))
    points = at(u)
    for _ in range(12):
        middle = (u[:-1] + u[1:]) / 2
        mid_points = at(middle)
        off = np.linalg.norm(mid_points - (points[:-1] + points[1:]) / 2, axis=1)
        coarse = np.flatnonzero(off > within)
        if len(coarse) == 0 or len(u) > MAX_PER_CURVE:
            break
        u = np.insert(u, coarse + 1, middle[coarse])
        points = np.insert(points, coarse + 1, mid_points[coarse], axis=0)
    return points


def full_turn(start_rad: float, end_rad: float) -> float:
    """Return the anticlockwise turn from one angle to another, 0 < turn <= 2 pi."""
    turn = (end_rad - start_rad) % (2 * pi)
    return turn if turn > 1e-12 else 2 * pi

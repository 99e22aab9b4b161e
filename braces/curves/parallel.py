"""Where a curve parallel to another has to be cut short or carried round: at corners and where it turns too tightly.

A parallel curve on the inner side of a corner runs past itself: both its branches end where they cross, in a mitre.
On the outer side it leaves a gap, which an arc about the corner closes: every point of it is then as far from the
curve as it should be.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, sin, sqrt

import numpy as np

from braces.base.arrays import Floats, Points

LEAST_TURN_RAD = 1e-3  #: less is rounding, no corner: at 10 mm off it opens a gap of 0.01 mm
_REACH_RATIO = 15.0  #: how far from a corner its mitre may lie, as a multiple of the distance between the curves
_STEPS = 64  #: samples of each piece when a crossing is looked for
_CHORD_MM = 0.005  #: how far chords may stand off an arc
_NEWTON_ROUNDS = 20


@dataclass(frozen=True, slots=True)
class Trim:
    """A stretch of a parallel curve that is left out because its ends are the same point."""

    from_count: float  #: parameter, may lie below 0 where the stretch straddles it
    corner_count: float  #: where the curve itself turns
    to_count: float


@dataclass(frozen=True, slots=True)
class Turn:
    """An arc about a corner that closes a gap of a parallel curve."""

    corner_count: int
    at: tuple[float, float]  #: the corner
    radius_mm: float
    from_rad: float  #: direction from the corner to the arc's first point
    turn_rad: float  #: how far it goes round, + anticlockwise

    @property
    def length_mm(self) -> float:
        """Length of the arc."""
        return self.radius_mm * abs(self.turn_rad)

    def points(self) -> Points:
        """Points (n, 2) along the arc, both ends included."""
        step = sqrt(8 * _CHORD_MM / self.radius_mm)  # the sagitta of a small angle a is r a^2 / 8
        a = self.from_rad + self.turn_rad * np.linspace(0, 1, 2 + int(abs(self.turn_rad) / step))
        return np.asarray(self.at) + self.radius_mm * np.column_stack([np.cos(a), np.sin(a)])

    def sector_mm2(self) -> float:
        """What the arc adds to the integral of (x dy - y dx) / 2 along the curve."""
        ends = self.from_rad, self.from_rad + self.turn_rad
        x, y = self.at
        across = x * (sin(ends[1]) - sin(ends[0])) - y * (cos(ends[1]) - cos(ends[0]))
        return (self.radius_mm * across + self.radius_mm**2 * self.turn_rad) / 2


@dataclass(frozen=True, slots=True)
class Joins:
    """Everything of it on one parallel curve."""

    trims: tuple[Trim, ...] = ()
    turns: tuple[Turn, ...] = ()


def trim_between(
    point: Callable[[Floats], Points], first: float, last: float, count: int, offset_mm: float
) -> Trim | None:
    """Return the stretch to leave out round the parameters ``first`` to ``last``, where a parallel curve goes wrong.

    ``point`` gives the curve as it would run untrimmed, for parameters of any period. None if its branches on either
    side do not cross within reach.
    """
    before = _branch(point, first - 1e-9, -1, count, offset_mm)
    after = _branch(point, last + 1e-9, 1, count, offset_mm)
    found = _first_crossing(point(before), point(after))
    if found is None:
        return None
    i, j, s, t = found
    u = np.array([before[i] + s * (before[i + 1] - before[i]), after[j] + t * (after[j + 1] - after[j])])
    step = 1e-6
    for _ in range(_NEWTON_ROUNDS):
        here, ahead = point(u), point(u + step)
        off, slopes = here[0] - here[1], (ahead - here) / step
        matrix = np.column_stack([slopes[0], -slopes[1]])
        move = np.linalg.solve(matrix, -off)
        u = u + np.clip(move, -0.2, 0.2)
        if np.max(np.abs(move)) < 1e-12:
            break
    if not (u[0] < first and u[1] > last and u[1] - u[0] < count / 2):
        return None
    return Trim(float(u[0]), (first + last) / 2, float(u[1]))


def _branch(point: Callable[[Floats], Points], start: float, way: int, count: int, offset_mm: float) -> Floats:
    """Parameters from ``start`` on, one way, as far as a mitre may lie."""
    u = start + way * np.arange(int(count / 2 * _STEPS)) / _STEPS
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(point(u), axis=0).T))])
    return np.asarray(u[: max(2, int(np.searchsorted(run, _REACH_RATIO * abs(offset_mm))) + 1)])


def _first_crossing(a: Points, b: Points) -> tuple[int, int, float, float] | None:
    """Where two polylines first cross, counted from their beginnings: segment numbers and shares of them."""
    p, r, q, s = a[:-1, None], np.diff(a, axis=0)[:, None], b[None, :-1], np.diff(b, axis=0)[None]
    cross = r[..., 0] * s[..., 1] - r[..., 1] * s[..., 0]
    gap = q - p
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (gap[..., 0] * s[..., 1] - gap[..., 1] * s[..., 0]) / cross
        v = (gap[..., 0] * r[..., 1] - gap[..., 1] * r[..., 0]) / cross
    hit = (t >= 0) & (t <= 1) & (v >= 0) & (v <= 1)
    if not hit.any():
        return None
    i, j = np.nonzero(hit)
    k = int(np.argmin(i + j))
    return int(i[k]), int(j[k]), float(t[i[k], j[k]]), float(v[i[k], j[k]])

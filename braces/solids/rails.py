"""The top of a brace as exact polynomials: rails along X, strips, and the edges that cut across them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Array, Floats, frozen_floats
from braces.carved.values import CarvedBrace
from braces.curves.course import Course
from braces.curves.hermite import Hermite, from_knots, joined
from braces.curves.section import Shape
from braces.curves.spline import Spline, from_pieces, hermite_pieces, place_pieces, sampled_pieces
from braces.curves.surface import Along, Face, Surface

FOLLOW_MM = 1e-7  #: how closely piecewise cubics follow the arc of the glue line


@dataclass(frozen=True, slots=True, eq=False)
class Top:
    """z = ridge(x) - drop(x) * sigma(y) along a course; ridge and drop share their knots."""

    ridge: Hermite
    drop: Hermite
    shape: Shape
    course: Course

    def z(self, x: float | Floats, y: float | Floats) -> Floats:
        """Height of the top above the bench; shapes broadcast."""
        return self.ridge(x) - self.drop(x) * self.shape(y)


def arc_step_mm(surface: Face) -> float:
    """Longest span over which a cubic Hermite piece follows the surface's arc within ``FOLLOW_MM``.

    The error of cubic Hermite interpolation is at most h^4 / 384 * max |f''''| (any text on numerical
    analysis), and the fourth derivative of a circle of radius R is 3 / R^3 at its lowest point; a fifth is
    kept in hand. Along a curved brace the plan is followed too, beside whose bend that of the dome is small.
    """
    if isinstance(surface, Along):
        return min(arc_step_mm(surface.surface), bend_step_mm(surface.course))
    return float(0.8 * (FOLLOW_MM * 384 / 3 * surface.radius_mm**3) ** 0.25)


def bend_step_mm(course: Course) -> float:
    """Longest span over which a cubic Hermite piece follows a course: its fourth derivative is 1 / radius^3."""
    return float(0.8 * (FOLLOW_MM * 384 * abs(course.radius_mm) ** 3) ** 0.25)


def top_of(brace: CarvedBrace, lo_mm: float, hi_mm: float, cuts: Iterable[float]) -> Top:
    """Return the top of a brace over [lo, hi], with knots also at ``cuts``."""
    height = _level_beyond(brace.height, lo_mm, hi_mm)
    drop = _level_beyond(brace.drop, lo_mm, hi_mm)
    knots = np.unique(np.concatenate([height.x_mm, drop.x_mm, [x for x in cuts if lo_mm < x < hi_mm]]))
    spans = np.ceil(np.diff(knots) / arc_step_mm(brace.glue)).astype(int)
    steps = [np.linspace(a, b, n + 1)[1:-1] for a, b, n in zip(knots[:-1], knots[1:], spans, strict=True) if n > 1]
    extra = np.concatenate([knots, *steps])
    height, drop = height.refined(extra), drop.refined(extra)
    glue_z, (glue_slope, _) = brace.glue.z(height.x_mm, 0.0), brace.glue.slope(height.x_mm, 0.0)
    ridge = Hermite(
        height.x_mm,
        frozen_floats(height.y_mm + glue_z),
        frozen_floats(height.slope_in + glue_slope[:-1]),
        frozen_floats(height.slope_out + glue_slope[1:]),
    )
    return Top(ridge, drop, brace.shape, brace.course)


def _level_beyond(curve: Hermite, lo_mm: float, hi_mm: float) -> Hermite:
    """Return the curve carried on level so that it reaches at least from lo to hi."""
    parts = [curve]
    if lo_mm < curve.lo_mm - 1e-9:
        parts.insert(0, from_knots([lo_mm, curve.lo_mm], [curve.y_mm[0]] * 2))
    if hi_mm > curve.hi_mm + 1e-9:
        parts.append(from_knots([curve.hi_mm, hi_mm], [curve.y_mm[-1]] * 2))
    return joined(parts)


def _between(curve: Hermite, lo_mm: float, hi_mm: float) -> Hermite:
    """Return the whole spans of a curve that cover [lo, hi]."""
    i = max(int(np.searchsorted(curve.x_mm, lo_mm + 1e-9)) - 1, 0)
    j = int(np.searchsorted(curve.x_mm, hi_mm - 1e-9))
    return Hermite(curve.x_mm[i : j + 1], curve.y_mm[i : j + 1], curve.slope_in[i:j], curve.slope_out[i:j])


def _cubic(top: Top, lo_mm: float, hi_mm: float) -> Spline:
    """Return poles (m, 6) over [lo, hi]: course x, y, its left x, y, ridge, drop; the parameter is the station."""
    ridge, drop = _between(top.ridge, lo_mm, hi_mm), _between(top.drop, lo_mm, hi_mm)
    middle, beside = (plan_pieces(top.course, ridge.x_mm, y) for y in (0.0, 1.0))
    heights = np.stack([hermite_pieces(ridge), hermite_pieces(drop)], axis=-1)
    return from_pieces(ridge.x_mm, np.concatenate([middle, beside - middle, heights], axis=-1))


def plan_pieces(course: Course, s: Floats, y_mm: float) -> Array:
    """Return the Bezier poles (n, 4, 2) of the parallel at ``y_mm`` between stations: exact if it is straight."""
    if course.is_straight:
        along = place_pieces(s)
        return np.stack([along, np.full(along.shape, y_mm)], axis=-1)
    at, rate = course.point(s, y_mm), course.tangent(s) * course.stretch(y_mm)
    return np.stack([hermite_pieces(from_knots(s, at[:, i], rate[:, i])) for i in (0, 1)], axis=-1)


def _line_of_poles(cubic: Spline, y_mm: float, sigma: float) -> NDArray[np.float64]:
    x, y, left_x, left_y, ridge, drop = cubic.poles.T
    return np.stack([x + y_mm * left_x, y + y_mm * left_y, ridge - sigma * drop], axis=-1)


def rail(top: Top, station: int, lo_mm: float, hi_mm: float) -> Spline:
    """Return the curve along X on one strip border, poles (m, 3); its parameter is X."""
    cubic = _cubic(top, lo_mm, hi_mm)
    y, sigma = top.shape.y_mm[station], top.shape.border[station]
    return Spline(3, cubic.knots, cubic.multiplicities, _line_of_poles(cubic, float(y), float(sigma)))


@dataclass(frozen=True, slots=True, eq=False)
class StripSurface:
    """A surface of degree 3 along X and 1 or 2 across; its parameters are X and Y themselves."""

    along: Spline  #: knots and multiplicities along X; its poles are those of the first line
    y_mm: tuple[float, float]
    lines: tuple[NDArray[np.float64], ...]  #: two or three lines of poles, each (m, 3)


def strip_surface(top: Top, strip: int, lo_mm: float, hi_mm: float) -> StripSurface:
    """Return the surface of one strip over [lo, hi]."""
    cubic = _cubic(top, lo_mm, hi_mm)
    shape = top.shape
    y = np.linspace(shape.y_mm[strip], shape.y_mm[strip + 1], shape.degree + 1)
    a, b = shape.border[strip], shape.border[strip + 1]
    sigma = [a, b] if shape.degree == 1 else [a, 2 * shape.middle[strip] - (a + b) / 2, b]
    lines = tuple(_line_of_poles(cubic, float(yi), float(si)) for yi, si in zip(y, sigma, strict=True))
    along = Spline(3, cubic.knots, cubic.multiplicities, lines[0])
    return StripSurface(along, (float(y[0]), float(y[-1])), lines)


def across(top: Top, p: tuple[float, float], q: tuple[float, float]) -> Spline:
    """Return the edge on the top above a straight plan segment inside one strip, poles (m, 3).

    ``p`` and ``q`` are stations and places aside; the segment is straight in plan. Its parameter is the distance
    from ``p`` there, so on a straight brace the segment itself is its image on the strip. Along such a segment the
    top is a polynomial between knots: its degree is at most 3 from X and that of sigma from Y.
    """
    if not top.course.is_straight:
        return _across_a_bend(top, p, q)[0]
    a, b = np.asarray(p), np.asarray(q)
    length = float(np.hypot(*(b - a)))
    dx = float(b[0] - a[0])
    cuts = (top.ridge.x_mm - a[0]) / dx * length if dx else np.zeros(0)
    inside = np.sort(cuts[(cuts > 1e-6) & (cuts < length - 1e-6)])
    knots = np.concatenate([[0.0], inside, [length]])

    def point(s: Floats) -> NDArray[np.float64]:
        xy = a + np.outer(s / length, b - a)
        return np.column_stack([xy, top.z(xy[:, 0], np.clip(xy[:, 1], p[1], q[1]))])

    degree = top.shape.degree + (3 if dx else 0)
    return from_pieces(knots, sampled_pieces(point, knots, degree))


def image_across(top: Top, p: tuple[float, float], q: tuple[float, float]) -> Spline:
    """Return the image of such an edge of a curved brace on its strip: (station, aside) over the distance in plan."""
    return _across_a_bend(top, p, q)[1]


_BENT_DEGREE = 7  #: of what is no polynomial, but so near to one over a brace's width that under 1e-9 mm is left


def _across_a_bend(top: Top, p: tuple[float, float], q: tuple[float, float]) -> tuple[Spline, Spline]:
    course = top.course
    a, b = (np.asarray(course.at(*place)) for place in (p, q))
    length = float(np.hypot(*(b - a)))
    low, high = sorted((p[0], q[0]))
    # Knots of the profile cut the segment where their radial lines do.
    knots = [x for x in top.ridge.x_mm if low + 1e-6 < x < high - 1e-6]
    cuts = [float((course.point(x) - a) @ t / ((b - a) / length @ t)) for x in knots for t in [course.tangent(x)]]
    places = np.concatenate([[0.0], np.sort(cuts), [length]])

    def unrolled(t: Floats) -> NDArray[np.float64]:
        s, y = course.project(a + np.outer(t / length, b - a))
        return np.stack([s, np.clip(y, p[1], q[1])], axis=-1)

    def point(t: Floats) -> NDArray[np.float64]:
        s, y = unrolled(t).T
        return np.column_stack([a + np.outer(t / length, b - a), top.z(s, y)])

    image = from_pieces(places, sampled_pieces(unrolled, places, _BENT_DEGREE))
    return from_pieces(places, sampled_pieces(point, places, _BENT_DEGREE)), image


def along_glue(surface: Surface, p: tuple[float, float], q: tuple[float, float]) -> Spline:
    """Return the edge on a glue face above a straight plan segment, within ``FOLLOW_MM``, poles (m, 3).

    Its parameter is the distance from ``p`` in plan.
    """
    a, b = np.asarray(p), np.asarray(q)
    length = float(np.hypot(*(b - a)))
    d = (b - a) / length
    s = np.linspace(0, length, 1 + max(1, int(np.ceil(length / arc_step_mm(surface)))))
    xy = a + np.outer(s, d)
    zx, zy = surface.slope(xy[:, 0], xy[:, 1])
    z = from_knots(s, surface.z(xy[:, 0], xy[:, 1]), zx * d[0] + zy * d[1])
    place = place_pieces(s)
    plan = a + place[..., None] * d
    return from_pieces(s, np.concatenate([plan, hermite_pieces(z)[..., None]], axis=-1))

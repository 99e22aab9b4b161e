"""How much wood is left in a carved brace: quadrature of its height over its plan, notches taken out."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import inf, isinf

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import Notch
from braces.curves.course import cut_station
from braces.curves.hermite import Hermite
from braces.curves.section import Shape
from braces.curves.surface import Face

_X, _W = (np.asarray(a) for a in np.polynomial.legendre.leggauss(6))


def volume_mm3(
    glue: Face,
    height: Hermite,
    drop: Hermite,
    shape: Shape,
    length_mm: float,
    start_skew: float,
    end_skew: float,
    notches: Iterable[Notch],
    radius_mm: float = inf,
) -> float:
    """Return the finished volume.

    Lines along the brace at Gauss stations across it; on each, Gauss points between all places where the integrand
    changes: knots, notch walls, the end faces (which move by ``start_skew`` and ``end_skew`` mm per mm across, seen
    square to a curved centre line). A line beside an arc is longer or shorter than the centre line.
    """
    cuts = tuple(notches)
    total = 0.0
    sides = [y for n in cuts for y in (n.y_from_mm, n.y_to_mm) if shape.y_mm[0] < y < shape.y_mm[-1]]
    for y0, y1 in pairwise(np.unique(np.concatenate([shape.y_mm, sides]))):
        for t, w in zip(_X, _W, strict=True):
            y = (y0 + y1) / 2 + (y1 - y0) / 2 * t
            low = cut_station(start_skew, float(y), radius_mm)
            high = length_mm + cut_station(end_skew, float(y), radius_mm)
            area = _area_along(glue, height, drop, float(shape(y)), float(y), low, high, cuts)
            stretch = 1.0 if isinf(radius_mm) else 1 - float(y) / radius_mm
            total += w * (y1 - y0) / 2 * area * stretch
    return total


def _area_along(
    glue: Face,
    height: Hermite,
    drop: Hermite,
    sigma: float,
    y: float,
    low: float,
    high: float,
    cuts: tuple[Notch, ...],
) -> float:
    """Area of the upright cut along the line Y = y, from ``low`` to ``high``, over the stations."""
    cuts = tuple(n for n in cuts if n.y_from_mm < y < n.y_to_mm)
    walls = [w for n in cuts for w in n.walls(y)]
    edges = np.unique(np.concatenate([[low, high], height.x_mm, walls]))
    edges = edges[(edges >= low) & (edges <= high)]
    half = np.diff(edges) / 2
    x = (edges[:-1] + half)[:, None] + half[:, None] * _X
    bottom = glue.z(x, y)
    top = glue.z(x, 0.0) + height(x) - drop(x) * sigma
    for notch in cuts:
        a, b = notch.walls(y)
        inside: Floats = (x > a) & (x < b)  # type: ignore[assignment]
        if notch.opens == "room":
            top = np.where(inside, np.minimum(top, notch.floor_z_mm), top)
        else:
            bottom = np.where(inside, np.maximum(bottom, notch.floor_z_mm), bottom)
    return float(np.sum(half[:, None] * _W * np.maximum(top - bottom, 0.0)))

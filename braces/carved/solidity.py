"""How much wood is left in a carved brace: quadrature of its height over its plan, notches taken out."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import radians, tan

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import Notch
from braces.curves.hermite import Hermite
from braces.curves.section import Shape
from braces.curves.surface import Surface

_X, _W = (np.asarray(a) for a in np.polynomial.legendre.leggauss(6))


def volume_mm3(
    glue: Surface,
    height: Hermite,
    drop: Hermite,
    shape: Shape,
    length_mm: float,
    start_skew: float,
    end_skew: float,
    notches: Iterable[Notch],
) -> float:
    """Return the finished volume.

    Lines along the brace at Gauss stations across it; on each, Gauss points between all places where the integrand
    changes: knots, notch walls, the end faces (which move by ``start_skew`` and ``end_skew`` mm per mm across).
    """
    cuts = tuple(notches)
    total = 0.0
    sides = [y for n in cuts for y in (n.y_from_mm, n.y_to_mm) if shape.y_mm[0] < y < shape.y_mm[-1]]
    for y0, y1 in pairwise(np.unique(np.concatenate([shape.y_mm, sides]))):
        for t, w in zip(_X, _W, strict=True):
            y = (y0 + y1) / 2 + (y1 - y0) / 2 * t
            total += (
                w
                * (y1 - y0)
                / 2
                * _area_along(glue, height, drop, float(shape(y)), float(y), length_mm, start_skew, end_skew, cuts)
            )
    return total


def _walls(notch: Notch, y: float) -> tuple[float, float]:
    """X of a notch's two walls on the line Y = y."""
    middle = notch.at_mm + y / tan(radians(notch.angle_deg)) if notch.angle_deg != 90 else notch.at_mm
    return middle - notch.width_mm / 2, middle + notch.width_mm / 2


def _area_along(
    glue: Surface,
    height: Hermite,
    drop: Hermite,
    sigma: float,
    y: float,
    length_mm: float,
    start_skew: float,
    end_skew: float,
    cuts: tuple[Notch, ...],
) -> float:
    low, high = start_skew * y, length_mm + end_skew * y
    cuts = tuple(n for n in cuts if n.y_from_mm < y < n.y_to_mm)
    walls = [w for n in cuts for w in _walls(n, y)]
    edges = np.unique(np.concatenate([[low, high], height.x_mm, walls]))
    edges = edges[(edges >= low) & (edges <= high)]
    half = np.diff(edges) / 2
    x = (edges[:-1] + half)[:, None] + half[:, None] * _X
    bottom = glue.z(x, y)
    top = glue.z(x, 0.0) + height(x) - drop(x) * sigma
    for notch in cuts:
        a, b = _walls(notch, y)
        inside: Floats = (x > a) & (x < b)  # type: ignore[assignment]
        if notch.opens == "room":
            top = np.where(inside, np.minimum(top, notch.floor_z_mm), top)
        else:
            bottom = np.where(inside, np.maximum(bottom, notch.floor_z_mm), bottom)
    return float(np.sum(half[:, None] * _W * np.maximum(top - bottom, 0.0)))

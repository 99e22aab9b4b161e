"""A field over the plan as lines: contours, and hatching where it is above or below nought."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, cos, floor, hypot, log10, radians, sin
from typing import Any

import numpy as np

from braces.base.arrays import Array, Floats, Points, frozen_floats, frozen_points
from braces.mechanics.values import Shape

_FINER = 3  #: grid steps that one step of the field becomes
_RINGS = 4  #: grid points that a field is carried on beyond the plate, so that its lines reach the edge
_LEAST_RUN_COUNT = 2


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """A smooth field: ``value[i, j]`` at (x[i], y[j]), carried on a little beyond the plate, then nought."""

    x_mm: Floats
    y_mm: Floats
    value: Array


def field(shape: Shape) -> Field:
    """Return the field on a finer grid, smooth enough to be drawn."""
    fine = _finer(_finer(carried_on(shape.value)).T).T
    return Field(frozen_floats(_finer(shape.x_mm)), frozen_floats(_finer(shape.y_mm)), fine)


def carried_on(value: Array) -> Array:
    """Return the values with nan replaced, ring by ring, by straight lines from the two next points inward."""
    out = np.pad(value, 2, constant_values=np.nan)
    for _ in range(_RINGS):
        total, count = np.zeros_like(out), np.zeros_like(out)
        for i, j in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)):
            guess = 2 * np.roll(out, (i, j), (0, 1)) - np.roll(out, (2 * i, 2 * j), (0, 1))
            known = np.isfinite(guess)
            total[known] += guess[known]
            count += known
        new = np.isnan(out) & (count > 0)
        out[new] = total[new] / count[new]
    return np.nan_to_num(out[2:-2, 2:-2])


def _finer(value: Array) -> Array:
    """Return values on a finer grid along axis 0: the cubic through four neighbours (Catmull and Rom)."""
    # A point beyond either end lies on the straight line through the last two.
    long = np.concatenate([[2 * value[0] - value[1]], value, [2 * value[-1] - value[-2]]])
    at = np.arange((len(value) - 1) * _FINER + 1) / _FINER
    left = np.minimum(at.astype(int), len(value) - 2)
    t = (at - left).reshape(-1, *(1,) * (value.ndim - 1))
    cubic = (-t + 2 * t**2 - t**3, 2 - 5 * t**2 + 3 * t**3, t + 4 * t**2 - 3 * t**3, t**3 - t**2)
    return np.asarray(sum(w / 2 * long[left + k] for k, w in enumerate(cubic)))


def contours(of: Field, level: float, region: Any) -> list[Points]:
    """Return the lines of one level inside a polygon, (n, 2) each in plan mm, the longest first."""
    import shapely
    from contourpy import LineType, contour_generator

    maker = contour_generator(of.x_mm, of.y_mm, of.value.T, line_type=LineType.Separate)
    found = [shapely.LineString(np.asarray(line)) for line in maker.lines(level) if len(line) > 1]
    inside = [part for line in found for part in lines_of(line.intersection(region))]
    inside.sort(key=lambda part: (-part.length, part.coords[0]))
    return [frozen_points(part.coords) for part in inside]


def lines_of(shape: Any) -> list[Any]:
    """Return the lines that a geometry consists of, those that follow each other joined."""
    import shapely

    parts = [g for g in getattr(shape, "geoms", [shape]) if g.geom_type in ("LineString", "LinearRing")]
    if len(parts) < 2:
        return [g for g in parts if not g.is_empty]
    merged = shapely.line_merge(shapely.MultiLineString(parts))
    return list(getattr(merged, "geoms", [merged]))


def nice_step(low: float, high: float, most: int = 15) -> float:
    """Return the smallest of 1, 2, 5 times a power of ten that divides a range into at most ``most`` steps.

    >>> nice_step(-0.21, 0.60)
    0.1
    """
    rough = (high - low) / most
    power = floor(log10(rough))
    for factor in (1, 2, 5, 10):
        step = factor * 10.0**power
        if step >= rough * (1 - 1e-9):
            return round(step, 12)
    raise AssertionError("ten times a power of ten exceeds any number below it")


def levels(low: float, high: float, step: float) -> list[float]:
    """Return the multiples of ``step`` strictly between two values."""
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    found = [round(k * step, 12) for k in range(first, last + 1)]
    return [level for level in found if low < level < high]


def clear_cut(of: Field, line: Points, aside_mm: float, least: float) -> bool:
    """Return whether the field reaches ``least`` in size somewhere within ``aside_mm`` of a line (n, 2)."""
    along = np.diff(line, axis=0)
    aside = np.column_stack([-along[:, 1], along[:, 0]]) * (aside_mm / np.hypot(*along.T))[:, None]
    middle = (line[:-1] + line[1:]) / 2
    return bool(np.abs(at(of, np.vstack([middle + aside, middle - aside]))).max() >= least)


@dataclass(frozen=True, slots=True, eq=False)
class Hatch:
    """Places along parallel lines that lie on a plate: ``points[i]`` (n, 2) are those of line i, nan off the plate."""

    points: Array  #: (lines, n, 2), plan mm


def hatch(region: Any, pitch_mm: float, angle_deg: float, step_mm: float) -> Hatch:
    """Return the places of lines ``pitch_mm`` apart that fill a polygon, ``step_mm`` apart along them."""
    import shapely

    x0, y0, x1, y1 = region.bounds
    reach = hypot(x1 - x0, y1 - y0) / 2
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    along = np.arange(-ceil(reach / step_mm), ceil(reach / step_mm) + 1) * step_mm
    aside = np.arange(-ceil(reach / pitch_mm), ceil(reach / pitch_mm) + 1) * pitch_mm
    u, v = np.meshgrid(along, aside)
    points = np.stack([(x0 + x1) / 2 + u * c - v * s, (y0 + y1) / 2 + u * s + v * c], axis=-1)
    shapely.prepare(region)
    points[~shapely.contains_xy(region, points[..., 0], points[..., 1])] = np.nan
    return Hatch(points)


def hatched(of: Field, places: Hatch, least: float, sign: int) -> list[Points]:
    """Return the stretches of hatching, two ends each in plan mm, where sign times the field exceeds ``least``."""
    p = places.points
    inside = np.isfinite(p[..., 0])
    value = np.full(inside.shape, -np.inf)
    value[inside] = sign * at(of, p[inside]) - least
    on = np.pad(value > 0, ((0, 0), (1, 1)))
    row, first = np.nonzero(on[:, 1:-1] & ~on[:, :-2])
    _, last = np.nonzero(on[:, 1:-1] & ~on[:, 2:])
    long = last - first >= _LEAST_RUN_COUNT
    ends = np.stack([p[row, first], p[row, last]], axis=1)
    return [frozen_points(pair) for pair in ends[long]]


def at(of: Field, points: Points) -> Floats:
    """Return the field at points (n, 2), straight between grid points."""
    i, s = _cell(of.x_mm, points[:, 0])
    j, t = _cell(of.y_mm, points[:, 1])
    v = of.value
    low = v[i, j] * (1 - s) + v[i + 1, j] * s
    high = v[i, j + 1] * (1 - s) + v[i + 1, j + 1] * s
    return np.asarray(low * (1 - t) + high * t)


def _cell(grid: Floats, where: Floats) -> tuple[Any, Floats]:
    step = grid[1] - grid[0]
    u = np.clip((where - grid[0]) / step, 0.0, len(grid) - 1 - 1e-9)
    k = u.astype(int)
    return k, u - k


def ends(of: Shape) -> tuple[tuple[float, Points], tuple[float, Points]]:
    """Return the least and the greatest value of a field, each with its place (2,) in plan mm."""
    found = []
    for index in (np.nanargmin(of.value), np.nanargmax(of.value)):
        i, j = np.unravel_index(int(index), of.value.shape)
        found.append((float(of.value[i, j]), np.array([of.x_mm[i], of.y_mm[j]])))
    return found[0], found[1]


def cut_out(lines: Iterable[Points], closed: bool, boxes: Sequence[Any]) -> list[Points]:
    """Return what is left of lines outside polygons, for words to stand there."""
    import shapely

    holes = shapely.union_all(list(boxes))
    left = []
    for line in lines:
        ring = np.vstack([line, line[:1]]) if closed else line
        left += [frozen_points(part.coords) for part in lines_of(shapely.LineString(ring).difference(holes))]
    return left

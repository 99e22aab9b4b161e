"""What gauges of a finished brace are cut from: its top edge as one curve, the stations worth looking at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import radians, tan

import numpy as np

from braces.base.arrays import Array, frozen_floats
from braces.carved.values import CarvedBrace, CarvedPlate, EndCut
from braces.curves.spline import hermite_pieces, place_pieces
from braces.solids.rails import Top, top_of
from braces.solids.tools.prism import Cubic, cubic

SAME_MM = 0.005  #: braces nearer to each other than this everywhere are alike
NEAR_MM = 8.0  #: stations nearer to each other than this are one


@dataclass(frozen=True, slots=True)
class Alike:
    """Braces of one finished shape."""

    brace: CarvedBrace  #: the first of them
    names: tuple[str, ...]


def alike(plate: CarvedPlate) -> Iterator[Alike]:
    """Yield the braces of a plate, those with the same profile and section, or their mirror images, together."""
    groups: list[list[CarvedBrace]] = []
    for brace in plate.braces:
        same = next((g for g in groups if _are_alike(g[0], brace)), None)
        if same is None:
            groups.append([brace])
        else:
            same.append(brace)
    for same in groups:
        yield Alike(same[0], tuple(b.name for b in same))


def _are_alike(a: CarvedBrace, b: CarvedBrace) -> bool:
    """Whether one gauge fits both."""
    p, q = _figures(a), _figures(b)
    kinds = [[(e.kind, bool(e.meets), e.meets == "lining") for e in (x.start, x.end)] for x in (a, b)]
    return kinds[0] == kinds[1] and p.shape == q.shape and bool(np.abs(p - q).max() < SAME_MM)


def _figures(brace: CarvedBrace) -> Array:
    x = np.linspace(0, brace.length_mm, 41)
    sizes = [brace.length_mm, brace.width_mm, abs(brace.bevel_deg) / 10, abs(100 / brace.radius_mm)]
    reach = [end_overhang_mm(e, 1.0) for e in (brace.start, brace.end)]
    curves = [brace.height(x), brace.drop(x), brace.glue.z(x, 0.0), brace.shape(brace.shape.y_mm)]
    notches = sorted(v for n in brace.notches for v in (n.at_mm, n.width_mm))
    return np.concatenate([sizes, reach, *curves, notches])


def end_overhang_mm(end: EndCut, half_mm: float) -> float:
    """Return how far an oblique end face runs past its middle within ``half_mm`` of the centre line."""
    return 0.0 if abs(end.face_angle_deg - 90) < 1e-9 else half_mm * abs(1 / tan(radians(end.face_angle_deg)))


def ridge_curve(top: Top, lo_mm: float, hi_mm: float, lift_mm: float) -> Cubic:
    """Return the ridge between two knots of ``top``, lifted, as a curve of (x, z)."""
    i, j = (int(np.argmin(abs(top.ridge.x_mm - x))) for x in (lo_mm, hi_mm))
    x = top.ridge.x_mm[i : j + 1]
    z = hermite_pieces(top.ridge)[i:j] + lift_mm
    return cubic(frozen_floats(x), np.stack([place_pieces(x), z], axis=-1))


def edge_of(brace: CarvedBrace, lo_mm: float, hi_mm: float) -> Top:
    """Return the top of a brace with knots at two ends, carried on level beyond the wood."""
    return top_of(brace, lo_mm - 1.0, hi_mm + 1.0, (lo_mm, hi_mm))


def stations_of(brace: CarvedBrace) -> list[float]:
    """Return up to four places along a brace whose sections tell its shape, clear of its notches and ends."""
    ends = [8.0, brace.length_mm - 8.0]
    wanted = [min(max(f.at_mm, ends[0]), ends[1]) for f in brace.features if f.kind in ("top", "valley", "peak")]
    middle = wanted[0] if wanted else brace.length_mm / 2
    wanted += [(middle + end) / 2 for end in ends]
    wanted = [_beside_notches(brace, x) for x in wanted]
    found: list[float] = []
    for x in wanted:
        if ends[0] <= x <= ends[1] and all(abs(x - other) > NEAR_MM for other in found):
            found.append(x)
    return sorted(found[:4])


def _beside_notches(brace: CarvedBrace, x_mm: float) -> float:
    for notch in brace.notches:
        reach = notch.width_mm / 2 + brace.width_mm / 2 * abs(1 / tan(radians(notch.angle_deg))) + 3
        if abs(x_mm - notch.at_mm) < reach:
            return notch.at_mm + reach
    return x_mm


def section_at(brace: CarvedBrace, x_mm: float) -> Array:
    """Return strip poles of the section (k, degree + 1, 2): (y, z) from the glue face, level with it.

    The section is turned so that the glue face lies level; its sides then lean by the bevel.
    """
    shape = brace.shape
    height, drop = brace.height.at(x_mm), brace.drop.at(x_mm)
    y = place_pieces(shape.y_mm, shape.degree)
    a, m, b = shape.border[:-1], shape.middle, shape.border[1:]
    columns = [a, b] if shape.degree == 1 else [a, 2 * m - (a + b) / 2, b]
    z = height - drop * np.stack(columns, axis=1)
    return levelled(np.stack([y, z], axis=-1), float(brace.glue.slope(x_mm, 0.0)[1]))


def levelled(points: Array, slope: float) -> Array:
    """Return points (..., 2) turned about (0, 0) so that a line of that slope becomes level."""
    c, s = 1 / np.hypot(1, slope), slope / np.hypot(1, slope)
    return np.asarray(points @ np.array([[c, -s], [s, c]]))

"""Braces put together by hand for the tests of the solids, and a quadrature of their volumes.

The instruments of the workshop in these tests are named after birds; every number is invented.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from math import inf, radians, sin, tan
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import Blank, CarvedBrace, EndCut, Notch
from braces.curves.hermite import Hermite, from_knots
from braces.curves.section import Shape, gabled
from braces.curves.surface import Surface

RADIUS_MM = 8534.0


def dome(radius_mm: float = RADIUS_MM, x_mm: float = 250.0, y_mm: float = 0.0) -> Surface:
    """A sphere that touches the bench at its lowest point along Y = 0."""
    return Surface("sphere", radius_mm, x_mm, y_mm, float(np.sqrt(radius_mm**2 - y_mm**2)))


def barrel(axis_deg: float, radius_mm: float = 5000.0, x_mm: float = 250.0) -> Surface:
    """A cylinder whose axis makes an angle with X."""
    a = radians(axis_deg)
    return Surface("cylinder", radius_mm, x_mm, 0.0, radius_mm, (float(np.cos(a)), float(np.sin(a))))


def flat() -> Surface:
    return Surface("plane", inf, 0.0, 0.0, 0.0)


def scalloped(length_mm: float, low: float = 2.5, scale: float = 1.0) -> Hermite:
    """Low ends, peaks, valleys and a level stretch in the middle, as shares of the length."""
    x = np.array([-0.02, 0.03, 0.2, 0.33, 0.45, 0.55, 0.67, 0.8, 0.97, 1.02]) * length_mm
    y = np.array([low, low, 12.5, 8.5, 16, 16, 8.5, 12.5, low, low])
    return from_knots(x, np.where(y == low, low, y * scale))


def straight_taper(length_mm: float, low: float = 3.0, high: float = 15.0) -> Hermite:
    """Level ends, straight slopes, a level middle: four kinks."""
    x = np.array([-0.05, 0.05, 0.4, 0.6, 0.95, 1.05]) * length_mm
    y = np.array([low, low, high, high, low, low])
    m = np.diff(y) / np.diff(x)
    return Hermite(x, y, m, m)


def falling(height: Hermite, share: float = 0.4, keep_mm: float = 3.0, square: tuple[float, float] = (0, 0)) -> Hermite:
    """A drop on the knots of ``height``: a share of what stands above ``keep_mm``, none within ``square``."""
    y = np.maximum(height.y_mm - keep_mm, 0) * share
    y[(height.x_mm >= square[0]) & (height.x_mm <= square[1])] = 0
    return from_knots(height.x_mm, y)


def level(height: Hermite, drop: float = 0.0) -> Hermite:
    return from_knots(height.x_mm, np.full(len(height.x_mm), drop))


def end(angle_deg: float = 90.0, height_mm: float = 2.5) -> EndCut:
    return EndCut("free", height_mm, 10.0, 0.0, angle_deg, "")


def notch(
    at_mm: float,
    floor_z_mm: float,
    opens: str = "room",
    angle_deg: float = 65.0,
    across_mm: float = 8.1,
    with_: str = "other",
    kind: str = "half-lap",
    y: tuple[float, float] = (-inf, inf),
) -> Notch:
    width = across_mm / sin(radians(angle_deg))
    return Notch(with_, kind, opens, at_mm, angle_deg, across_mm, width, 0.0, floor_z_mm, 0.0, *y)  # type: ignore[arg-type]


def inlet(
    at_mm: float, floor_z_mm: float, y: tuple[float, float], angle_deg: float = 65.0, across_mm: float = 6.1
) -> Notch:
    """A cut into one side, for the end of another brace."""
    return notch(at_mm, floor_z_mm, "plate", angle_deg, across_mm, kind="inlet", y=y)


def brace(
    height: Hermite,
    drop: Hermite,
    shape: Shape,
    glue: Surface,
    length_mm: float,
    name: str = "x-bass",
    ends: tuple[float, float] = (90.0, 90.0),
    notches: Sequence[Notch] = (),
    origin: tuple[float, float] = (0.0, 0.0),
    heading: tuple[float, float] = (1.0, 0.0),
    depth_mm: float = 0.0,
) -> CarvedBrace:
    """A carved brace whose volume is found by quadrature here."""
    width = float(shape.y_mm[-1] - shape.y_mm[0])
    made = CarvedBrace(
        name=name,
        plate="top",
        wood="spruce, Engelmann",
        width_mm=width,
        length_mm=length_mm,
        glue=glue,
        height=height,
        drop=drop,
        shape=shape,
        start=end(ends[0]),
        end=end(ends[1]),
        notches=tuple(notches),
        features=(),
        relief_cuts=(),
        hollows=(),
        blank=Blank(length_mm + 20, width, 20.0),
        glue_arc_radius_mm=glue.radius_mm,
        bevel_deg=0.0,
        volume_mm3=0.0,
        density_kg_m3=390.0,
        origin_xy_mm=origin,
        heading_xy=heading,
        glue_depth_mm=depth_mm,
    )
    return replace(made, volume_mm3=quadrature_mm3(made))


def x_bass(**changes: object) -> CarvedBrace:
    """The long scalloped brace of the Fieldfare: gabled, square at its lap, skewed ends, off the apex."""
    height = scalloped(500.0)
    usual: dict[str, Any] = {
        "height": height,
        "drop": falling(height, square=(220, 280)),
        "shape": gabled(8.0, 2.0),
        "glue": dome(y_mm=40.0),
        "length_mm": 500.0,
        "ends": (62.0, 118.0),
        "notches": [notch(250.0, 9.0)],
    }
    return brace(**{**usual, **changes})


def _line_x(at: float, angle_deg: float, y: float) -> float:
    return at + y / tan(radians(angle_deg))


def column_mm(b: CarvedBrace, x: Floats, y: float) -> Floats:
    """Height of wood left standing over (x, y), notches taken out, by the words of the contract."""
    top = b.glue.z(x, 0.0) + b.height(x) - b.drop(x) * b.shape(y)
    low = b.glue.z(x, y)
    for n in b.notches:
        a = radians(n.angle_deg)
        inside = np.abs((x - n.at_mm) * sin(a) - y * np.cos(a)) < n.across_mm / 2
        inside &= n.y_from_mm < y < n.y_to_mm
        if n.opens == "room":
            top = np.where(inside, np.minimum(top, n.floor_z_mm), top)
        else:
            low = np.where(inside, np.maximum(low, n.floor_z_mm), low)
    return np.maximum(top - low, 0.0)


def quadrature_mm3(b: CarvedBrace, per_strip: int = 12) -> float:
    """Volume by Gauss quadrature: over Y within each strip, parted where inlets end, over X between all breaks."""
    t, w = np.polynomial.legendre.leggauss(8)
    ty, wy = np.polynomial.legendre.leggauss(per_strip)
    total = 0.0
    ends = [y for n in b.notches for y in (n.y_from_mm, n.y_to_mm) if abs(y) < b.width_mm / 2]
    for y0, y1 in pairwise(np.unique([*b.shape.y_mm, *ends])):
        for yi, wi in zip((y0 + y1) / 2 + (y1 - y0) / 2 * ty, (y1 - y0) / 2 * wy, strict=True):
            lo, hi = _line_x(0.0, b.start.face_angle_deg, yi), _line_x(b.length_mm, b.end.face_angle_deg, yi)
            cuts = [lo, hi, *b.height.x_mm, *b.drop.x_mm]
            for n in b.notches:
                half = n.across_mm / 2 / sin(radians(n.angle_deg))
                cuts += [_line_x(n.at_mm + d, n.angle_deg, yi) for d in (-half, half)]
            x = np.unique(np.clip(cuts, lo, hi))
            x = np.unique(np.concatenate([np.linspace(a, c, 4) for a, c in pairwise(x)]))
            a, c = x[:-1, None], x[1:, None]
            wood = column_mm(b, (a + c) / 2 + (c - a) / 2 * t, float(yi))
            total += wi * float(np.sum((c - a) / 2 * w * wood))
    return total

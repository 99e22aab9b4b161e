"""The near side of a curved brace laid flat, as a template stuck round it lies.

It is longer than the centre line outside the bend and shorter inside it. A drawing of it is true to size on that
side; the places it names are still the stations of the centre line, as everywhere else.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from braces.base.arrays import frozen_floats
from braces.carved.values import CarvedBrace
from braces.curves.hermite import Hermite
from braces.curves.surface import Along


@dataclass(frozen=True, slots=True, eq=False)
class Unrolled(CarvedBrace):
    """A brace whose X is measured along its near side."""

    along_ratio: float = 1.0  #: of X to the stations of the centre line


def near_side(brace: CarvedBrace) -> CarvedBrace:
    """Return a curved brace with its near side (Y = -width / 2) laid flat; a straight one as it is."""
    if not brace.is_curved:
        return brace
    ratio = float(brace.course.stretch(-brace.width_mm / 2))
    assert isinstance(brace.glue, Along)
    changed = {
        "length_mm": ratio * brace.length_mm,
        "glue": replace(brace.glue, along_ratio=ratio),
        "height": _stretched(brace.height, ratio),
        "drop": _stretched(brace.drop, ratio),
        "start": replace(brace.start, flat_mm=ratio * brace.start.flat_mm),
        "end": replace(brace.end, flat_mm=ratio * brace.end.flat_mm),
    }
    for name in ("notches", "features", "relief_cuts", "hollows"):
        changed[name] = tuple(replace(v, at_mm=ratio * v.at_mm) for v in getattr(brace, name))
    whole = {f.name: getattr(brace, f.name) for f in fields(CarvedBrace)}
    return Unrolled(**(whole | changed), along_ratio=ratio)


def _stretched(curve: Hermite, ratio: float) -> Hermite:
    x, a, b = curve.x_mm * ratio, curve.slope_in / ratio, curve.slope_out / ratio
    return Hermite(frozen_floats(x), curve.y_mm, frozen_floats(a), frozen_floats(b))


def ratio_of(brace: CarvedBrace) -> float:
    """Return how much longer the drawing of a brace is than its centre line."""
    return brace.along_ratio if isinstance(brace, Unrolled) else 1.0


def station_mm(brace: CarvedBrace, x_mm: float) -> float:
    """Return the station on the centre line of a place in the drawing."""
    return x_mm / ratio_of(brace)

"""Sections of a brace, true size, at the few places that tell most."""

from __future__ import annotations

from math import pi, radians, tan

import numpy as np

from braces.base.arrays import Points
from braces.carved.values import CarvedBrace
from braces.sheets.side_shape import notch_span_mm

_APART_MM = 8.0
_MOST = 4
_PER_SECTION_COUNT = 33


def section_places(brace: CarvedBrace) -> tuple[float, ...]:
    """Return up to four X: the high place, a valley, a peak and a low end; half way down if there is no valley."""
    low, high = _full_width_span(brace)
    peak_x = next((f.at_mm for f in brace.features if f.kind == "top"), _highest(brace))
    if mostly_level(brace):
        peak_x = brace.length_mm / 2
    towards_end = brace.height.at(high) <= brace.height.at(low)
    flats = [f.at_mm for f in brace.features if f.kind == "flat"]
    foot = (max(flats) if towards_end else min(flats)) if flats else (high if towards_end else low)
    foot = min(max(foot, low), high)
    wanted = [peak_x, foot]
    for kind in ("valley", "peak"):
        found = [f.at_mm for f in brace.features if f.kind == kind]
        wanted += found[-1:] if towards_end else found[:1]
    if len(wanted) == 2:
        wanted.append((peak_x + foot) / 2)
    kept: list[float] = []
    for x in wanted:
        x = min(max(_beside_notches(brace, x, towards_end), low), high)
        if all(abs(x - k) > _APART_MM for k in kept) and len(kept) < _MOST:
            kept.append(x)
    return tuple(sorted(kept))


def mostly_level(brace: CarvedBrace) -> bool:
    """Return whether most of a brace is at full height, so that no place is its high place."""
    heights = brace.height(np.linspace(0.0, brace.length_mm, 101))
    return int(np.count_nonzero(heights > heights.max() - 0.05)) > 60


def _highest(brace: CarvedBrace) -> float:
    x = np.linspace(*_full_width_span(brace), 201)
    return float(x[int(np.argmax(brace.height(x)))])


def _full_width_span(brace: CarvedBrace) -> tuple[float, float]:
    """Where oblique ends leave the brace its whole width."""
    half = brace.width_mm / 2
    lean = [abs(tan(pi / 2 - radians(e.face_angle_deg))) * half for e in (brace.start, brace.end)]
    return lean[0], brace.length_mm - lean[1]


def _beside_notches(brace: CarvedBrace, x: float, towards_end: bool) -> float:
    """``x``, or just beyond the notch it falls in."""
    for notch in brace.notches:
        spans = [notch_span_mm(brace, notch, face) for face in ("near", "far")]
        a, b = min(s[0] for s in spans) - 2, max(s[1] for s in spans) + 2
        if a < x < b:
            return b if towards_end else a
    return x


def section(brace: CarvedBrace, x_mm: float) -> Points:
    """Return a section's outline (n, 2), convex, anticlockwise: looking from the start, so the near face is right.

    Its (0, 0) is on the centre line at the level Z = 0.
    """
    half = brace.width_mm / 2
    y = np.unique(np.concatenate([np.linspace(-half, half, _PER_SECTION_COUNT), brace.shape.y_mm]))
    under = brace.glue.z(x_mm, y)
    top = brace.glue.at(x_mm, 0.0) + brace.height.at(x_mm) - brace.drop.at(x_mm) * brace.shape(y)
    return np.vstack([np.column_stack([-y[::-1], under[::-1]]), np.column_stack([-y, top])])

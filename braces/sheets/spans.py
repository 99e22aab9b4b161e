"""Which part of a straight line lies inside a convex polygon: for hidden edges and hatching."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from braces.base.arrays import Points
from braces.sheets.drawing import Stroke, polyline

XY = tuple[float, float]
_LEAST_MM = 0.02  #: shorter pieces are not drawn
_LEAST_HATCH_MM = 0.3


def inside_span(a: XY, b: XY, polygon: Points) -> tuple[float, float] | None:
    """Return the part of the line a-b, as shares from 0 to 1, inside a convex polygon of either sense, or None."""
    p, d = np.array(a), np.array(b) - np.array(a)
    middle = polygon.mean(axis=0)
    low, high = 0.0, 1.0
    for q, r in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        n = np.array([-(r - q)[1], (r - q)[0]])
        n = n if (middle - q) @ n > 0 else -n
        at, slope = float((p - q) @ n), float(d @ n)
        if abs(slope) < 1e-12:
            if at < 0:
                return None
        elif slope > 0:
            low = max(low, -at / slope)
        else:
            high = min(high, -at / slope)
    return (low, high) if high - low > 1e-9 else None


def split_line(a: XY, b: XY, covers: Sequence[Points], layer: str) -> list[Stroke]:
    """Return the line a-b in ``layer``, hidden where it runs under one of the convex ``covers``."""
    under = sorted(span for c in covers if (span := inside_span(a, b, c)) is not None)
    runs: list[tuple[float, float, str]] = []
    at = 0.0
    for low, high in under:
        runs += [(at, low, layer), (max(at, low), high, "hidden")]
        at = max(at, high)
    runs.append((at, 1.0, layer))
    length = float(np.hypot(b[0] - a[0], b[1] - a[1]))
    return [
        polyline([_between(a, b, low), _between(a, b, high)], on)
        for low, high, on in runs
        if (high - low) * length > _LEAST_MM
    ]


def hatching(polygon: Points, pitch_mm: float, layer: str) -> list[Stroke]:
    """Return lines at 45 degrees, ``pitch_mm`` apart, that fill a convex polygon."""
    step = pitch_mm * 2**0.5
    a, b = polygon, np.roll(polygon, -1, axis=0)
    offset_a, offset_b = a[:, 1] - a[:, 0], b[:, 1] - b[:, 0]
    strokes = []
    for k in range(int(np.floor(offset_a.min() / step)) + 1, int(np.ceil(offset_a.max() / step))):
        cut = (offset_a > k * step) != (offset_b > k * step)
        share = (k * step - offset_a[cut]) / (offset_b[cut] - offset_a[cut])
        x = a[cut, 0] + share * (b[cut, 0] - a[cut, 0])
        low, high = float(x.min()), float(x.max())
        if high - low > _LEAST_HATCH_MM:
            strokes.append(polyline([(low, low + k * step), (high, high + k * step)], layer))
    return strokes


def _between(a: XY, b: XY, share: float) -> XY:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])

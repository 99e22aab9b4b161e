"""Which part of a straight line lies inside a convex polygon: for hidden edges and hatching."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from braces.base.arrays import Points
from braces.sheets.drawing import Stroke, polyline

XY = tuple[float, float]
_LEAST_MM = 0.02  #: shorter pieces are not drawn


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
    return [polyline([_between(a, b, low), _between(a, b, high)], on)
            for low, high, on in runs if (high - low) * length > _LEAST_MM]


def hatching(polygon: Points, pitch_mm: float, layer: str) -> list[Stroke]:
    """Return lines at 45 degrees, ``pitch_mm`` apart, that fill a convex polygon."""
    offsets = polygon[:, 1] - polygon[:, 0]
    step = pitch_mm * 2**0.5
    first = int(np.floor(offsets.min() / step)) + 1
    x0, x1 = float(polygon[:, 0].min()) - 1, float(polygon[:, 0].max()) + 1
    strokes = []
    for k in range(first, int(np.ceil(offsets.max() / step))):
        a, b = (x0, x0 + k * step), (x1, x1 + k * step)
        span = inside_span(a, b, polygon)
        if span is not None and (span[1] - span[0]) * (x1 - x0) > 0.3:
            strokes.append(polyline([_between(a, b, span[0]), _between(a, b, span[1])], layer))
    return strokes


def _between(a: XY, b: XY, share: float) -> XY:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])

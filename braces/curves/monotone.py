"""Slopes for a cubic through given points that never overshoots them."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Floats


def monotone_slopes(x: Floats, y: Floats) -> Floats:
    """Return a slope for each knot: zero at local extremes, else the weighted harmonic mean of the chords.

    The rule of Fritsch and Butland, as published for piecewise cubic Hermite interpolation; at the two ends the
    one-sided three-point slope, limited so that the curve stays monotone.
    """
    h, d = np.diff(x), np.diff(y) / np.diff(x)
    m = np.zeros(len(x))
    if len(x) == 2:
        return np.full(2, d[0])
    same = d[:-1] * d[1:] > 0
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    m[1:-1][same] = ((w1 + w2)[same]) / (w1[same] / d[:-1][same] + w2[same] / d[1:][same])
    m[0], m[-1] = _end(h[0], h[1], d[0], d[1]), _end(h[-1], h[-2], d[-1], d[-2])
    return m


def _end(h0: float, h1: float, d0: float, d1: float) -> float:
    m = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
    if m * d0 <= 0:
        return 0.0
    if d0 * d1 <= 0 and abs(m) > 3 * abs(d0):
        return 3 * d0
    return float(m)

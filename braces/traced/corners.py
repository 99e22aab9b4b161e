"""Corners of a drawn line: where its direction really jumps, and does not only turn tightly."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Floats, Points

_WINDOW_MM = 6.0  #: length of line on either side whose directions are compared
_SHARP_DEG = 70.0  #: a vertex of a widely spaced line that turns more than this is a corner whatever its neighbours do
_STANDS_OUT = 2.5  #: times the turn beside it: less is a curve through widely spaced points


def corners(points: Points, s: Floats, whole_mm: float | None, angle_deg: float) -> tuple[float, ...]:
    """Return the lengths along a line at which it has corners of more than ``angle_deg``, ascending.

    ``s`` (n,) is the length along the line at each point; ``whole_mm`` the length all round if it is closed. A corner
    keeps its turn however closely one looks; a tight round does not. It may lie between two points.
    """
    if len(points) < 5:
        return ()
    s = s + np.arange(len(s)) * 1e-9  # strictly ascending
    near, scatter = _steps(s, whole_mm), _scatter_mm(points)
    # Directions over a window of w points scattered by d are uncertain by about d / w: both windows grow with it.
    window, least = float(np.clip(35 * scatter, _WINDOW_MM, 20.0)), max(1.5, 17 * scatter)
    wide = _turns(points, s, whole_mm, np.full(len(points), window))
    close = _turns(points, s, whole_mm, np.maximum(least, 1.5 * near))
    vertex = _vertex_turns(points)
    beside, other, beyond = _pairs(vertex)
    pair = vertex + beside
    dense = (near <= window / 2) & (wide > angle_deg) & (close > 0.7 * wide)
    alone = (vertex > angle_deg) & ((vertex > _STANDS_OUT * beside) | (vertex > _SHARP_DEG))
    split = (pair > angle_deg) & (pair > 2 * _STANDS_OUT * beyond) & (vertex >= beside)
    sparse = (near > window / 2) & (alone | split)
    strength = np.where(dense, close, np.where(sparse, pair, 0.0))
    if whole_mm is None:
        strength[[0, -1]] = 0.0
    # Points seldom hit a corner: where two neighbours share its turn it lies between them, nearer the greater turn.
    between = (least <= np.maximum(1.5, 1.5 * near)) & (beside > 0.05 * vertex) & (beside > 2 * _STANDS_OUT * beyond)
    gap = s[other] - s
    if whole_mm is not None:
        gap = (gap + whole_mm / 2) % whole_mm - whole_mm / 2
    at = s + np.where(between, gap * beside / np.maximum(pair, 1e-9), 0.0)
    return _peaks(strength, at, whole_mm)


def _pairs(vertex: Floats) -> tuple[Floats, np.ndarray, Floats]:
    """The greater turn of each point's two neighbours, that neighbour, and the greater turn beyond the two."""
    n = np.arange(len(vertex))
    before, after = np.roll(vertex, 1), np.roll(vertex, -1)
    forward = after >= before
    other = np.where(forward, n + 1, n - 1) % len(vertex)
    beyond = np.where(forward, np.maximum(before, np.roll(vertex, -2)), np.maximum(after, np.roll(vertex, 2)))
    return np.maximum(before, after), other, beyond


def _steps(s: Floats, whole_mm: float | None) -> Floats:
    """The longer of the two sides at each point."""
    before = np.diff(s, prepend=s[-1] - whole_mm if whole_mm is not None else s[0])
    return np.maximum(before, np.roll(before, -1))


def _scatter_mm(points: Points) -> float:
    """Standard deviation of the points off a smooth line, estimated from neighbours.

    A point's distance from the chord of its neighbours changes slowly along a smooth line; what changes from point to
    point is scatter: the weights 1/4, -1, 3/2, -1, 1/4 give 2.09 times its standard deviation, half of it below 1.41.
    """
    chord = points[2:] - points[:-2]
    off = points[1:-1] - points[:-2]
    aside = (chord[:, 0] * off[:, 1] - chord[:, 1] * off[:, 0]) / np.maximum(np.hypot(*chord.T), 1e-9)
    return float(np.median(np.abs(aside[1:-1] - (aside[:-2] + aside[2:]) / 2)) / 1.41)


def _vertex_turns(points: Points) -> Floats:
    """Angle between the two sides at each point of a closed line, degrees."""
    d = np.roll(points, -1, axis=0) - points
    heading = np.degrees(np.arctan2(d[:, 1], d[:, 0]))
    return np.asarray(np.abs((heading - np.roll(heading, 1) + 180) % 360 - 180))


def _turns(points: Points, s: Floats, whole_mm: float | None, window: Floats) -> Floats:
    """Angle between the line's directions over a window before and a window after each point, degrees."""
    if whole_mm is not None:
        s_all = np.concatenate([s - whole_mm, s, s + whole_mm])
        p_all = np.concatenate([points] * 3)
    else:
        s_all, p_all = s, points
    share = np.arange(9) / 8
    slopes = []
    for sign in (-1, 1):
        at = s[:, None] + sign * window[:, None] * share
        run = np.stack([np.interp(at, s_all, p_all[:, k]) for k in (0, 1)], axis=-1)
        along = share - share.mean()
        slopes.append(sign * np.einsum("k,nkd->nd", along, run))
    a, b = slopes
    angle = np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], np.einsum("ij,ij->i", a, b))
    return np.asarray(np.degrees(np.abs(angle)))


def _peaks(strength: Floats, at: Floats, whole_mm: float | None) -> tuple[float, ...]:
    """The strongest of each cluster, in order along the line."""
    chosen: list[float] = []
    for i in np.argsort(-strength, kind="stable"):
        if strength[i] <= 0:
            break
        apart = np.abs(np.array(chosen) - at[i])
        if whole_mm is not None:
            apart = np.minimum(apart, whole_mm - apart)
        if np.all(apart > _WINDOW_MM):
            chosen.append(float(at[i]))
    return tuple(sorted(chosen if whole_mm is None else [c % whole_mm for c in chosen]))

"""Corners of a drawn line: where its direction really jumps, and does not only turn tightly."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Floats, Points

_WINDOW_MM = 6.0  #: length of line on either side whose directions are compared
_SHARP_DEG = 70.0  #: a vertex of a widely spaced line that turns more than this is a corner whatever its neighbours do


def corners(points: Points, s: Floats, whole_mm: float | None, angle_deg: float) -> tuple[int, ...]:
    """Return which points of a line are corners of more than ``angle_deg``.

    ``s`` (n,) is the length along the line at each point, ascending; ``whole_mm`` the length all round if it is closed.
    A corner keeps its turn however closely one looks; a tight round does not.
    """
    if len(points) < 3:
        return ()
    s = s + np.arange(len(s)) * 1e-9  # strictly ascending
    near = _steps(s, whole_mm)
    wide = _turns(points, s, whole_mm, np.full(len(points), _WINDOW_MM))
    close = _turns(points, s, whole_mm, np.maximum(max(1.5, 12 * _scatter(points)), 1.5 * near))
    dense = (near <= _WINDOW_MM / 2) & (wide > angle_deg) & (close > 0.7 * wide)
    vertex = _turns(points, s, whole_mm, near)
    beside = np.maximum(np.roll(vertex, 1), np.roll(vertex, -1))
    sparse = (near > _WINDOW_MM / 2) & (vertex > angle_deg) & ((vertex > 2.5 * beside) | (vertex > _SHARP_DEG))
    strength = np.where(dense, close, np.where(sparse, vertex, 0.0))
    if whole_mm is None:
        strength[[0, -1]] = 0.0
    return _peaks(strength, s, whole_mm)


def _steps(s: Floats, whole_mm: float | None) -> Floats:
    """The longer of the two sides at each point."""
    before = np.diff(s, prepend=s[-1] - whole_mm if whole_mm is not None else s[0])
    return np.maximum(before, np.roll(before, -1))


def _scatter(points: Points) -> float:
    """How far points usually stand off the middle of their neighbours, mm."""
    off = points[1:-1] - (points[:-2] + points[2:]) / 2
    return float(np.median(np.hypot(*off.T)))


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


def _peaks(strength: Floats, s: Floats, whole_mm: float | None) -> tuple[int, ...]:
    """The strongest of each cluster, in order along the line."""
    chosen: list[int] = []
    for i in np.argsort(-strength, kind="stable"):
        if strength[i] <= 0:
            break
        apart = np.abs(s[np.array(chosen, dtype=int)] - s[i]) if chosen else np.zeros(0)
        if whole_mm is not None:
            apart = np.minimum(apart, whole_mm - apart)
        if np.all(apart > _WINDOW_MM):
            chosen.append(int(i))
    return tuple(sorted(chosen))

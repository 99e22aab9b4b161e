"""Drawings made smaller: their lines shrink, and what is written on them is set anew."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.sheets.drawing import Box, Drawing, Mark, Stroke, polyline

TEXT_MM = 2.2  #: height of a capital in the words of a picture
_FENCE_COUNT, _FENCE_MM = 40, 2.5  #: rings of a fence: closer than any word is high, further out than any leader goes


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """A picture at the size it is to be shown, and what one of its mm stands for."""

    drawing: Drawing
    scale_ratio: float

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of everything drawn."""
        x0, y0, x1, y1 = self.drawing.ink
        return x1 - x0, y1 - y0

    @property
    def scale(self) -> str:
        """The scale in words.

        A picture is no template, so one decimal will do.
        """
        return "full size" if self.scale_ratio == 1.0 else f"scale 1:{1 / self.scale_ratio:.1f}"


def round_ratio(ratio: float) -> float:
    """Return the next smaller scale that can be told with one decimal, never above full size.

    >>> round_ratio(0.3), round_ratio(1.7)
    (0.29411764705882354, 1.0)
    """
    return min(1.0, 10 / ceil(10 / ratio - 1e-9))


def picture(key: str, title: str, face: str, marks: Sequence[Mark], scale_ratio: float) -> Picture:
    """Return marks that are already small as a picture."""
    return Picture(Drawing(key, title, face, "plan", tuple(marks)), scale_ratio)


def shrunk(strokes: Iterable[Stroke], ratio: float, layer: str | None = None) -> list[Stroke]:
    """Return strokes times a ratio about the origin, all on one layer if named."""
    return [Stroke(s.points * ratio, layer or s.layer, s.closed) for s in strokes]


def clipped(stroke: Stroke, box: Box) -> list[Stroke]:
    """Return what of a stroke lies in a box (Liang and Barsky's clipping of every chord)."""
    points = np.vstack([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
    low, high = points.min(axis=0), points.max(axis=0)
    if low[0] >= box[0] and low[1] >= box[1] and high[0] <= box[2] and high[1] <= box[3]:
        return [stroke]
    first, last = _inside(points, box)
    runs: list[list[Points]] = []
    for k in np.flatnonzero(first < last):
        a, d = points[k], points[k + 1] - points[k]
        ends = [a + first[k] * d, a + last[k] * d]
        joined = runs and k > 0 and first[k] == 0 and last[k - 1] == 1 and first[k - 1] < 1
        if joined:
            runs[-1].append(ends[1])
        else:
            runs.append(ends)
    return [Stroke(frozen_points(run), stroke.layer) for run in runs]


def fence(box: Box) -> list[Stroke]:
    """Return lines, not to be drawn, that keep words from being placed outside a box."""
    x0, y0, x1, y1 = box
    rings = []
    for k in range(_FENCE_COUNT):
        far = 0.3 + k * _FENCE_MM
        corners = [(x0 - far, y0 - far), (x1 + far, y0 - far), (x1 + far, y1 + far), (x0 - far, y1 + far)]
        rings.append(polyline(corners, "note", closed=True))
    return rings


def _inside(points: Points, box: Box) -> tuple[Points, Points]:
    """Shares of every chord at which it enters and leaves a box; the first is the greater one where it never does."""
    start, along = points[:-1], np.diff(points, axis=0)
    first, last = np.zeros(len(along)), np.ones(len(along))
    for axis, (low, high) in enumerate(((box[0], box[2]), (box[1], box[3]))):
        still = np.abs(along[:, axis]) < 1e-12
        step = np.where(still, 1.0, along[:, axis])
        a, b = (low - start[:, axis]) / step, (high - start[:, axis]) / step
        out = (start[:, axis] < low) | (start[:, axis] > high)
        first = np.maximum(first, np.where(still, np.where(out, 2.0, 0.0), np.minimum(a, b)))
        last = np.minimum(last, np.where(still, 1.0, np.maximum(a, b)))
    return first, last

"""What of a drawing shows through a rectangle: its lines, and the words that are whole."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Points
from braces.sheets.drawing import Box, Label, Stroke

Segments = NDArray[np.float64]  #: (n, 4): x0 y0 x1 y1 in mm

#: Words stay this far from the edge they were slid away from.
_CLEAR_MM = 1.2
#: Words that leave their baseline may have left what they name; this much longer a way along it is better.
_STRAIGHT_COST = 3.0
#: From one line of words to the next, in heights of a capital.
_LINE_RATIO = 1.72
#: Words on a line are worse to read than words this many mm further away.
_ON_LINES_COST = 120.0
#: Words slid up to other words stay this far from them.
_BESIDE_MM = 2.0


@dataclass(frozen=True, slots=True)
class Region:
    """A rectangle that shows a part of a drawing: ``window`` is printed, ``kept`` is left after trimming."""

    window: Box
    kept: Box


def outline_segments(points: Points, closed: bool) -> Segments:
    """Return the (n, 4) segments of a polyline of (m, 2) points."""
    ends = np.roll(points, -1, axis=0) if closed else points[1:]
    return np.hstack([points if closed else points[:-1], ends])


def stroke_segments(strokes: Iterable[Stroke]) -> Segments:
    """Return the (n, 4) segments of all strokes."""
    return np.vstack([np.empty((0, 4)), *(outline_segments(s.points, s.closed) for s in strokes)])


def with_labels(segments: Segments, labels: Iterable[Label]) -> Segments:
    """Return the (n, 4) segments and the outlines of the room that labels take."""
    return np.vstack([segments, *(outline_segments(label.corners, True) for label in labels)])


def crossing(segments: Segments, box: Box) -> NDArray[np.bool_]:
    """Return which of the (n, 4) ``segments`` have a point in the closed ``box``."""
    start, way = segments[:, :2], segments[:, 2:] - segments[:, :2]
    low, high = np.array(box[:2]), np.array(box[2:])
    with np.errstate(divide="ignore", invalid="ignore"):
        a, b = (low - start) / way, (high - start) / way
    # A segment that runs along an axis is inside that axis' slab for good or never.
    still = way == 0
    inside = (start >= low) & (start <= high)
    enter = np.where(still, np.where(inside, -np.inf, np.inf), np.minimum(a, b)).max(axis=1)
    leave = np.where(still, np.where(inside, np.inf, -np.inf), np.maximum(a, b)).min(axis=1)
    hit: NDArray[np.bool_] = np.maximum(enter, 0.0) <= np.minimum(leave, 1.0)
    return hit


def is_whole(label: Label, box: Box) -> bool:
    """Return whether all of the label lies in ``box``."""
    x0, y0, x1, y1 = label.ink
    return x0 >= box[0] and y0 >= box[1] and x1 <= box[2] and y1 <= box[3]


def is_shown(label: Label, region: Region) -> bool:
    """Return whether a sheet lists the label: it is whole there, and not only on what is trimmed off or covered."""
    return is_whole(label, region.window) and touches(label, region.kept)


def touches(label: Label, box: Box) -> bool:
    """Return whether a part of the label lies in ``box``."""
    x0, y0, x1, y1 = label.ink
    if x1 < box[0] or x0 > box[2] or y1 < box[1] or y0 > box[3]:
        return False
    return bool(crossing(outline_segments(label.corners, True), box).any())


def settled(labels: Sequence[Label], regions: Sequence[Region], lines: Segments | None = None) -> tuple[Label, ...]:
    """Return ``labels`` with those that would be cut slid, along their baseline if that helps.

    A label is cut if some region keeps a part of it without showing it whole. Once slid it lies in one kept
    rectangle, clear of other words and, if it can, of ``lines`` (n, 4). One that fits in none stays where it is.
    """
    drawn = np.empty((0, 4)) if lines is None else lines
    done = list(labels)
    room = np.array([label.ink for label in labels]).reshape(-1, 4)
    for k, label in enumerate(labels):
        near = [r for r in regions if touches(label, r.kept)]
        if near and all(is_whole(label, r.window) for r in near):
            continue
        others = np.delete(room, k, axis=0)
        tries: list[tuple[int, float, int, Label]] = []
        for way, dx, dy in (m for r in near or regions for m in _moves(label, r.kept, others)):
            slid = replace(label, x_mm=label.x_mm + dx, y_mm=label.y_mm + dy)
            through = _ON_LINES_COST * bool(crossing(drawn, slid.ink).any())
            tries.append((_covered(slid.ink, others), way + through, len(tries), slid))
        if tries:
            done[k] = min(tries)[3]
            room[k] = done[k].ink
    return tuple(done)


def _covered(box: Box, others: Segments) -> int:
    """Return how many of the boxes ``others`` (n, 4) share ground with ``box``."""
    apart = (others[:, 2] <= box[0]) | (others[:, 0] >= box[2]) | (others[:, 3] <= box[1]) | (others[:, 1] >= box[3])
    return int((~apart).sum())


def _moves(label: Label, box: Box, others: Segments) -> list[tuple[float, float, float]]:
    """Return shifts into ``box``: cost, dx, dy in mm.

    The least one straight, the least one along the baseline, and those along it to the ends of ``others``.
    """
    x0, y0, x1, y1 = label.ink
    need = ((box[0] - x0, box[2] - x1), (box[1] - y0, box[3] - y1))
    if any(low > high for low, high in need):
        return []
    dx, dy = (_least(low, high) for low, high in need)
    moves = [(_STRAIGHT_COST * math.hypot(dx, dy), dx, dy)]
    along = (math.cos(math.radians(label.angle_deg)), math.sin(math.radians(label.angle_deg)))
    low, high = -math.inf, math.inf
    for (a, b), way in zip(need, along, strict=True):
        if abs(way) > 1e-9:
            low, high = max(low, min(a / way, b / way)), min(high, max(a / way, b / way))
        elif a > 0 or b < 0:
            low, high = math.inf, -math.inf
    if low <= high:
        beside = np.hstack(
            [(others[:, 2] + _BESIDE_MM - x0) / (along[0] or 1.0), (others[:, 0] - _BESIDE_MM - x1) / (along[0] or 1.0)]
        )
        for t in (_least(low, high), *beside[(beside >= low) & (beside <= high)].tolist()):
            moves.append((abs(t), t * along[0], t * along[1]))
            moves += _other_lines(label, t, along, need)
    return moves


def _other_lines(
    label: Label, t: float, along: tuple[float, float], need: tuple[tuple[float, float], tuple[float, float]]
) -> Iterator[tuple[float, float, float]]:
    """Yield shifts to the lines above and below, for words that find no free ground on their own."""
    for k in (1, -1, 2, -2, 3, -3, 4, -4, -5, -6):
        off = k * _LINE_RATIO * label.height_mm
        dx, dy = t * along[0] - off * along[1], t * along[1] + off * along[0]
        if all(low <= d <= high for d, (low, high) in zip((dx, dy), need, strict=True)):
            yield abs(t) + _STRAIGHT_COST * abs(off), dx, dy


def _least(low: float, high: float) -> float:
    """Return the shift nearest to none in [low, high], clear of its ends where there is room."""
    clear = min(_CLEAR_MM, (high - low) / 2)
    if low <= 0 <= high:
        return 0.0
    return low + clear if low > 0 else high - clear

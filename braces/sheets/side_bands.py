"""Blocks of words and sections above a side view, each as near as can be to the place it is about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from braces.base.arrays import frozen_points
from braces.sheets.drawing import Box, Mark, Stroke, moved_mark

XY = tuple[float, float]
RISE_MM = 3.0  #: leaders rise straight to this far under the lowest row, then lean to their blocks
_GAP_MM = 2.6
_SLOT_MM = 1.2  #: what a leader to a higher row takes in the rows below it
_ROW_GAP_MM = 1.6
_FURTHEST_MM = 34.0  #: words that would lie further aside go to another row
_ASIDE_COST_RATIO = 0.4  #: a section rather lies this much higher than 1 mm aside
_SECTION_GAP_MM = 2.0
_OVER_MM = 14.0


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Marks about a place ``at``: their lower left corner is at (0, 0)."""

    marks: tuple[Mark, ...]
    width_mm: float
    height_mm: float
    at: XY


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """Placed marks and the boxes that their blocks take."""

    marks: tuple[Mark, ...]
    boxes: tuple[Box, ...]

    @property
    def top_mm(self) -> float:
        """The highest of it."""
        return max(b[3] for b in self.boxes)


def spread(wanted: Sequence[float], widths: Sequence[float], low: float, high: float) -> list[float]:
    """Return left edges of intervals in order, not overlapping, inside [low, high], nearest to ``wanted``.

    Nearest in the sum of squares: pooling of neighbours that push each other (isotonic regression). If they do not
    fit between ``low`` and ``high`` they run over ``high``.
    """
    steps = np.concatenate([[0.0], np.cumsum(widths)[:-1]])
    pools: list[tuple[float, int]] = []
    for value in np.array(wanted) - steps:
        mean, count = float(value), 1
        while pools and pools[-1][0] > mean:
            before, n = pools.pop()
            mean, count = (before * n + mean * count) / (n + count), n + count
        pools.append((mean, count))
    even = np.array([mean for mean, count in pools for _ in range(count)])
    total = float(np.sum(widths))
    return [float(v) for v in np.maximum(np.minimum(even, high - total), low) + steps]


def band(blocks: Sequence[Block], low_mm: float, high_mm: float, base_mm: float) -> Band:
    """Return blocks with leaders, set above ``base_mm`` in as few rows as keep them near their places.

    Leaders keep the order of the blocks, so no two cross; one to a higher row passes between the words below.
    """
    order = sorted(blocks, key=lambda b: b.at[0])
    rows, low_mm, high_mm = _rows(order, low_mm, high_mm)
    marks: list[Mark] = []
    boxes: list[Box] = []
    paths: dict[int, list[XY]] = {id(b): [b.at, (b.at[0], base_mm - RISE_MM)] for b in order}
    floor = base_mm
    for k, row in enumerate(rows):
        later = [b for r in rows[k + 1 :] for b in r]
        here = sorted([*row, *later], key=lambda b: b.at[0])
        ceiling = floor + max(b.height_mm for b in row)
        for block, left in zip(here, _row_lefts(here, row, paths, low_mm, high_mm), strict=True):
            path = paths[id(block)]
            if block in row:
                foot = min(max(path[-1][0], left + 1), left + max(1, block.width_mm - 1))
                path.append((foot, floor))
                marks += [moved_mark(m, left, floor) for m in block.marks]
                boxes.append((left, floor, left + block.width_mm, floor + block.height_mm))
            else:
                slot = left + _SLOT_MM / 2
                path += [(slot, floor), (slot, ceiling + _ROW_GAP_MM / 2)]
                boxes.append((left, floor, left + _SLOT_MM, ceiling + _ROW_GAP_MM))
        floor = ceiling + _ROW_GAP_MM
    leaders = [Stroke(frozen_points(paths[id(b)]), "note") for b in order]
    return Band((*leaders, *marks), tuple(boxes))


def _row_lefts(
    here: Sequence[Block], row: Sequence[Block], paths: dict[int, list[XY]], low: float, high: float
) -> list[float]:
    """Left edges in one row of its blocks and of the leaders that pass through it."""
    widths = [b.width_mm if b in row else _SLOT_MM for b in here]
    wanted = [paths[id(b)][-1][0] - width / 2 for b, width in zip(here, widths, strict=True)]
    return spread(wanted, [w + _GAP_MM for w in widths], low, high + _GAP_MM)


def _rows(order: list[Block], low: float, high: float) -> tuple[list[list[Block]], float, float]:
    """The fewest rows, dealt out in turn, in which every block stays near its place, and how wide they may be.

    Rather than take a third row they run over both ends.
    """
    rows: list[list[Block]] = []
    for count, over in ((1, 0.0), (2, 0.0), (2, _OVER_MM), (3, 0.0), (3, _OVER_MM), (4, _OVER_MM)):
        rows = [order[k::count] for k in range(count) if order[k::count]]
        later = [[b for r in rows[k + 1 :] for b in r] for k in range(len(rows))]
        if all(_close(r, through, low - over, high + over) for r, through in zip(rows, later, strict=True)):
            return rows, low - over, high + over
    return rows, low, high


def _close(row: Sequence[Block], through: Sequence[Block], low: float, high: float) -> bool:
    here = sorted([*row, *through], key=lambda b: b.at[0])
    lefts = _row_lefts(here, row, {id(b): [b.at] for b in here}, low, high)
    rights = [left + (b.width_mm if b in row else _SLOT_MM) for b, left in zip(here, lefts, strict=True)]
    aside = [max(left - b.at[0], b.at[0] - right, 0.0) for b, left, right in zip(here, lefts, rights, strict=True)]
    return rights[-1] <= high + 1e-6 and max(aside) <= _FURTHEST_MM


def settled(blocks: Sequence[Block], taken: Sequence[Box], low_mm: float, high_mm: float, base_mm: float) -> Band:
    """Return blocks without leaders, each in the lowest gap over its place that ``taken`` boxes leave."""
    boxes = list(taken)
    own: list[Box] = []
    marks: list[Mark] = []
    for block in blocks:
        box = min(_gaps(block, boxes, low_mm, high_mm, base_mm), key=lambda b: _cost(block, b))
        boxes.append(box)
        own.append(box)
        marks += [moved_mark(m, box[0], box[1]) for m in block.marks]
    return Band(tuple(marks), tuple(own))


def _cost(block: Block, box: Box) -> float:
    return box[3] + _ASIDE_COST_RATIO * abs((box[0] + box[2]) / 2 - block.at[0])


def _gaps(block: Block, boxes: Sequence[Box], low: float, high: float, base: float) -> Iterator[Box]:
    """For places from the block's own outwards, the lowest free box."""
    gap = _SECTION_GAP_MM
    levels = sorted({base, *(b[3] + gap for b in boxes)})
    for k in range(41):
        left = block.at[0] - block.width_mm / 2 + 1.5 * ((k + 1) // 2) * (1 if k % 2 else -1)
        left = min(max(left, low), max(low, high - block.width_mm))
        right = left + block.width_mm
        over = [b for b in boxes if b[0] - gap < right and left < b[2] + gap]
        for level in levels:
            if all(level >= b[3] + gap - 1e-9 or level + block.height_mm <= b[1] - gap for b in over):
                yield left, level, right, level + block.height_mm
                break

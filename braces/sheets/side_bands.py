"""Blocks of words and sections in rows above a side view, each as near as can be to the place it is about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from braces.base.arrays import frozen_points
from braces.sheets.drawing import Mark, Stroke, moved_mark

XY = tuple[float, float]
_GAP_MM = 2.6
_SLOT_MM = 1.2  #: what a leader to a higher row takes in the rows below it
_ROW_GAP_MM = 1.6
RISE_MM = 3.0  #: leaders rise straight to this far under the lowest row, then lean to their blocks
_FURTHEST_MM = 22.0  #: a block that would lie further aside goes to the next row


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Marks about a place: their lower left corner is at (0, 0), the leader starts at (foot_mm, 0).

    ``upper`` blocks are the first to go to a higher row.
    """

    marks: tuple[Mark, ...]
    width_mm: float
    height_mm: float
    at: XY
    feet_mm: tuple[float, float]  #: the leader starts anywhere between these
    upper: bool = False
    leader: str = "note"


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """Placed blocks."""

    marks: tuple[Mark, ...]
    top_mm: float
    spans: tuple[tuple[float, float], ...]  #: x taken by each block


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
    """Return blocks set above ``base_mm`` in as few rows as do."""
    order = sorted(blocks, key=lambda b: (b.at[0], b.upper))
    rows = _rows(order, low_mm, high_mm)
    marks: list[Mark] = []
    spans: list[tuple[float, float]] = []
    floor = base_mm
    floors = []
    for row in rows:
        floors.append(floor)
        floor += max(b.height_mm for b in row) + _ROW_GAP_MM
    paths: dict[int, list[XY]] = {id(b): [b.at, (b.at[0], base_mm - RISE_MM)] for b in order}
    for k, row in enumerate(rows):
        here = sorted([*row, *(b for later in rows[k + 1:] for b in later)], key=lambda b: (b.at[0], b.upper))
        lefts = _row_lefts(here, row, paths, low_mm, high_mm)
        ceiling = floors[k] + max(b.height_mm for b in row) + _ROW_GAP_MM / 2
        for block, left in zip(here, lefts, strict=True):
            path = paths[id(block)]
            if any(block is b for b in row):
                foot = min(max(path[-1][0], left + block.feet_mm[0]), left + block.feet_mm[1])
                path.append((foot, floors[k]))
                marks += [moved_mark(m, left, floors[k]) for m in block.marks]
                spans.append((left, left + block.width_mm))
            else:
                slot = left + _SLOT_MM / 2
                path += [(slot, floors[k]), (slot, ceiling)]
    leaders = [Stroke(frozen_points(paths[id(b)]), b.leader) for b in order]
    return Band((*leaders, *marks), floor - _ROW_GAP_MM, tuple(spans))


def _row_lefts(here: Sequence[Block], row: Sequence[Block], paths: dict[int, list[XY]], low: float,
               high: float) -> list[float]:
    """Left edges in one row of its blocks and of the leaders that pass through it."""
    wanted, widths = [], []
    for block in here:
        x = paths[id(block)][-1][0]
        settled = any(block is b for b in row)
        width = block.width_mm if settled else _SLOT_MM
        wanted.append(x - (sum(block.feet_mm) / 2 if settled else width / 2))
        widths.append(width + _GAP_MM)
    return spread(wanted, widths, low, high + _GAP_MM)


def _rows(order: Sequence[Block], low: float, high: float) -> list[list[Block]]:
    """One row if all fit close to their places, else the upper blocks above the others, then every other one."""
    for rows in (
        [list(order)],
        [[b for b in order if not b.upper], [b for b in order if b.upper]],
        [[b for b in order if not b.upper][::2], [b for b in order if not b.upper][1::2], [b for b in order if b.upper]],
    ):
        rows = [r for r in rows if r]
        if all(_close(r, [b for later in rows[k + 1:] for b in later], low, high) for k, r in enumerate(rows)):
            return rows
    return rows


def _close(row: Sequence[Block], through: Sequence[Block], low: float, high: float) -> bool:
    here = sorted([*row, *through], key=lambda b: (b.at[0], b.upper))
    paths = {id(b): [b.at] for b in here}
    lefts = _row_lefts(here, row, paths, low, high)
    last = lefts[-1] + (here[-1].width_mm if any(here[-1] is b for b in row) else _SLOT_MM)
    aside = [max(left + b.feet_mm[0] - b.at[0], b.at[0] - left - b.feet_mm[1], 0.0)
             for b, left in zip(here, lefts, strict=True) if any(b is r for r in row)]
    return last <= high + 1e-6 and max(aside) <= _FURTHEST_MM

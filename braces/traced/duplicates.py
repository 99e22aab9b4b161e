"""Lines drawn twice: those that lie wholly on another."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from braces.traced.pieces import Piece
from braces.traced.polylines import Nearest, length_mm, points_at, ring

SAME_WITHIN_MM = 0.05  #: closer than this two lines are one
_SAMPLES = 25


def duplicates(pieces: Sequence[Piece]) -> tuple[int, ...]:
    """Return which pieces lie wholly on another one; of two alike the first stays.

    A piece shorter than a millimetre is never a duplicate: it may be all that closes a gap.
    """
    lengths = [length_mm(p.points, p.closed) for p in pieces]
    samples = [
        points_at(p.points, np.linspace(0, n, _SAMPLES, endpoint=not p.closed), p.closed)
        for p, n in zip(pieces, lengths, strict=True)
    ]
    boxes = np.array([[*p.points.min(axis=0), *p.points.max(axis=0)] for p in pieces])
    gone: set[int] = set()
    measured: dict[int, Nearest] = {}
    # Short ones first: a piece can only lie on a longer one, or on an equal one that stays.
    for i in sorted(range(len(pieces)), key=lambda k: (lengths[k], -k)):
        if lengths[i] < 1.0:
            continue
        holds = np.all(boxes[:, :2] <= boxes[i, :2] + SAME_WITHIN_MM, axis=1) & np.all(
            boxes[:, 2:] >= boxes[i, 2:] - SAME_WITHIN_MM, axis=1
        )
        for j in map(int, np.flatnonzero(holds)):
            if j == i or j in gone or lengths[j] < lengths[i] - SAME_WITHIN_MM:
                continue
            if j not in measured:
                measured[j] = Nearest(pieces[j].points, pieces[j].closed)
            if _lies_on(samples[i], pieces[i], measured[j]):
                gone.add(i)
                break
    return tuple(sorted(gone))


def _lies_on(samples: np.ndarray, piece: Piece, other: Nearest) -> bool:
    if float(other(samples)[0].max()) > SAME_WITHIN_MM:
        return False
    return float(other(ring(piece.points, piece.closed))[0].max()) <= SAME_WITHIN_MM

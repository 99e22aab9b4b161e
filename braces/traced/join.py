"""Pieces chained end to end, and the outline picked out; nothing is dropped without saying so."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Points, frozen_points
from braces.curves.polygons import area_mm2
from braces.traced.duplicates import duplicates
from braces.traced.pieces import Piece
from braces.traced.polylines import length_mm

TOUCH_MM = 0.02  #: ends nearer than this meet; the drawing program's rounding, no gap worth a line


@dataclass(frozen=True, slots=True)
class Gap:
    """A place where two ends did not meet."""

    at: tuple[float, float]  #: its middle
    size_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """Pieces run together."""

    points: Points  #: (n, 2); a closed one does not repeat its first point
    closed: bool
    labels: tuple[str, ...]  #: of its pieces, in order
    gaps: tuple[Gap, ...] = ()  #: bridged

    @property
    def length_mm(self) -> float:
        """Length all along."""
        return length_mm(self.points, self.closed)

    @property
    def area_mm2(self) -> float:
        """What it encloses; 0 if it is open."""
        return abs(area_mm2(self.points)) if self.closed else 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """Everything drawn, sorted into what it is."""

    outline: Chain  #: the largest loop that is no sheet's frame, or an open chain if none encloses more
    others: tuple[Chain, ...]  #: further loops, e.g. a soundhole, largest first
    leftovers: tuple[Chain, ...]  #: what belongs to no loop, longest first
    duplicates: tuple[Piece, ...]  #: drawn twice, left out


def joined(pieces: tuple[Piece, ...], gap_mm: float) -> Joined:
    """Chain pieces whose ends lie within ``gap_mm`` and pick the outline.

    Ends are paired nearest first; of equally near ones those that run on straightest.
    """
    # Touching pieces first: what is drawn twice in different cuts shows only when its cuts are run together.
    twice: list[Piece] = []
    single = _without(pieces, twice)
    chains = _chained([Chain(p.points, p.closed, (p.label,)) for p in single], TOUCH_MM)
    kept = _chains_without(chains, twice)
    chains = _chained(kept, gap_mm)
    loops = sorted((c for c in chains if c.closed), key=lambda c: (_is_frame(c), -c.area_mm2))
    opened = sorted((c for c in chains if not c.closed), key=lambda c: -c.length_mm)
    if opened and (not loops or _spans_more(opened[0], loops[0])):
        return Joined(opened[0], tuple(loops), tuple(opened[1:]), tuple(twice))
    return Joined(loops[0], tuple(loops[1:]), tuple(opened), tuple(twice))


def _spans_more(opened: Chain, loop: Chain) -> bool:
    """An open chain that reaches beyond the largest loop in both directions is the outline, not the loop."""
    return bool(np.all(_extent(opened.points) > _extent(loop.points)) and bends(opened))


def _is_frame(chain: Chain) -> bool:
    """A level rectangle is the frame of a sheet as long as there is any other loop."""
    return chain.area_mm2 > 0.9999 * float(np.prod(_extent(chain.points)))


def bends(chain: Chain) -> bool:
    """Whether a chain is more than a straight line, such as a centre line."""
    ends = chain.points[-1] - chain.points[0]
    return chain.length_mm > 1.02 * float(np.hypot(*ends))


def _extent(points: Points) -> NDArray[np.float64]:
    return np.asarray(np.ptp(points, axis=0))


def _without(pieces: tuple[Piece, ...], twice: list[Piece]) -> list[Piece]:
    gone = set(duplicates(pieces))
    twice.extend(p for i, p in enumerate(pieces) if i in gone)
    return [p for i, p in enumerate(pieces) if i not in gone]


def _chains_without(chains: list[Chain], twice: list[Piece]) -> list[Chain]:
    found = duplicates([Piece(c.points, ", ".join(dict.fromkeys(c.labels)), c.closed) for c in chains])
    twice.extend(Piece(chains[i].points, ", ".join(dict.fromkeys(chains[i].labels)), chains[i].closed) for i in found)
    return [c for i, c in enumerate(chains) if i not in set(found)]


def _chained(chains: list[Chain], gap_mm: float) -> list[Chain]:
    """Pair open ends, then walk the pairs."""
    opened = [c for c in chains if not c.closed]
    partner = _partners(opened, gap_mm)
    done = [c for c in chains if c.closed]
    seen: set[int] = set()
    starts = [k for k in range(2 * len(opened)) if k not in partner] + list(range(0, 2 * len(opened), 2))
    for start in starts:  # open runs from their free ends, then what goes round
        if start // 2 not in seen:
            done.append(_walk(opened, partner, start, seen))
    return done


def _partners(chains: list[Chain], gap_mm: float) -> dict[int, int]:
    """Which end meets which; end 2 i is the start of chain i, end 2 i + 1 its finish."""
    if not chains:
        return {}
    from scipy.spatial import cKDTree

    ends = np.array([c.points[k] for c in chains for k in (0, -1)])
    outward = np.array([_direction(c, k) for c in chains for k in (0, -1)])
    pairs = cKDTree(ends).query_pairs(gap_mm, output_type="ndarray")
    if len(pairs) == 0:
        return {}
    a, b = pairs.T
    size = np.hypot(*(ends[a] - ends[b]).T)
    straightness = np.einsum("ij,ij->i", outward[a], outward[b])  # -1: runs on straight
    step = np.ceil(size / TOUCH_MM)
    lengths = np.array([c.length_mm for c in chains])
    partner: dict[int, int] = {}
    for k in np.lexsort((b, a, straightness, step)):
        i, j = int(a[k]), int(b[k])
        # A short stroke must not close on itself only because it is shorter than the gap allowed.
        if i in partner or j in partner or (i // 2 == j // 2 and lengths[i // 2] < 4 * gap_mm):
            continue
        partner[i], partner[j] = j, i
    return partner


def _direction(chain: Chain, end: int) -> NDArray[np.float64]:
    """Unit vector out of an end."""
    p = chain.points if end == -1 else chain.points[::-1]
    d = p[-1] - p[-2]
    return np.asarray(d / np.hypot(*d))


def _walk(chains: list[Chain], partner: dict[int, int], start: int, seen: set[int]) -> Chain:
    runs: list[Points] = []
    labels: list[str] = []
    gaps: list[Gap] = []
    end, closed = start, False
    while True:
        chain = chains[end // 2]
        seen.add(end // 2)
        forward = end % 2 == 0
        points = chain.points if forward else chain.points[::-1]
        if runs:
            points = _met(runs[-1][-1], points, gaps)
        runs.append(points)
        labels.extend(chain.labels if forward else chain.labels[::-1])
        gaps.extend(chain.gaps)
        leave = end ^ 1
        if leave not in partner:
            break
        end = partner[leave]
        if end == start:
            closed = True
            break
    line = np.concatenate(runs)
    if closed:
        line = _met(line[-1], line, gaps)
    return Chain(frozen_points(line), closed, tuple(labels), tuple(gaps))


def _met(last: NDArray[np.float64], points: Points, gaps: list[Gap]) -> Points:
    """Note the gap from the end of one run to the start of the next; ends that touch become one point."""
    size = float(np.hypot(*(points[0] - last)))
    if size <= TOUCH_MM:
        return points[1:]
    x, y = (points[0] + last) / 2
    gaps.append(Gap((float(x), float(y)), size))
    return points


def missing(joined: Joined, within_mm: float = inf) -> Gap | None:
    """Return the smallest gap that keeps the outline's chain open, or None if none is so small as ``within_mm``.

    It lies between an end of the chain and its other end, or an end of a bent run left over.
    """
    chain = joined.outline
    if chain.closed:
        return None
    others = [c.points[k] for c in joined.leftovers if bends(c) for k in (0, -1)]
    gaps = [(chain.points[0], chain.points[-1])] + [(chain.points[k], p) for k in (0, -1) for p in others]
    a, b = min(gaps, key=lambda pair: float(np.hypot(*(pair[0] - pair[1]))))
    size = float(np.hypot(*(a - b)))
    x, y = (a + b) / 2
    return Gap((float(x), float(y)), size) if size <= within_mm else None

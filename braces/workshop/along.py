"""Lengths along a closed path, and the places on it that a maker marks."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from braces.base.arrays import Floats
from braces.curves.hits import line_hits
from braces.curves.path import Path
from braces.design.model import BodySpec

_GAUSS_T, _GAUSS_W = (np.asarray(a) for a in np.polynomial.legendre.leggauss(8))
PlaceKind = Literal["tail", "tail block", "lower bout", "waist", "upper bout", "corner", "neck block", "neck end"]


def lengths_mm(path: Path, u: Floats) -> Floats:
    """Return the lengths (n,) along ``path`` from u[0] to each of ascending parameters (n,), mm.

    No stretch between two neighbours may pass from one piece of the path to the next: give every whole number, but
    for those that a trimmed path leaves out.
    """
    if path.is_joined:
        return np.concatenate([[0.0], np.cumsum([path.length(a, b) for a, b in pairwise(u.tolist())])])
    half = np.diff(u)[:, None] / 2
    at = u[:-1, None] + half * (_GAUSS_T + 1)
    steps = np.sum(half * _GAUSS_W * path.speed(at), axis=1)
    return np.concatenate([[0.0], np.cumsum(steps)])


def half_grid(path: Path, per_piece_count: int) -> Floats:
    """Return evenly spread parameters from the tail to the neck end on the +x side, both ends included."""
    half = path.count // 2
    return np.arange(half * per_piece_count + 1) / per_piece_count


def from_tail_mm(path: Path, u: float) -> float:
    """Return the length along ``path`` from the tail to ``u``, the shorter way round (never past the neck end)."""
    u = u % path.count
    along = path.length(0.0, u)
    return along if u <= path.count / 2 else path.perimeter_mm - along


def parameter_at(path: Path, along_mm: float) -> float:
    """Return the parameter at a length from the tail along travel, by Newton's method within its piece."""
    ends = lengths_mm(path, np.arange(path.count + 1.0))
    i = min(max(bisect_right(ends.tolist(), along_mm) - 1, 0), path.count - 1)
    if path.is_joined:
        return _halved(path, along_mm, i)
    u = i + (along_mm - float(ends[i])) / float(ends[i + 1] - ends[i])
    for _ in range(12):
        step = (along_mm - path.length(0.0, u)) / float(path.speed(min(u, path.count - 1e-12)))
        u = min(max(u + step, float(i)), i + 1.0)
        if abs(step) < 1e-13:
            break
    return u


def _halved(path: Path, along_mm: float, piece: int) -> float:
    """The parameter within a piece at a length from the tail, by halving: a trimmed path stands still in places."""
    low, high = float(piece), piece + 1.0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if path.length(0.0, middle) < along_mm else (low, middle)
    return high


@dataclass(frozen=True, slots=True)
class Place:
    """A place on one side of the outline."""

    kind: PlaceKind
    u_count: float  #: parameter on the outline
    x_mm: float
    y_mm: float


def places(outline: Path, body: BodySpec, sign: int) -> tuple[Place, ...]:
    """Return the marked places of the side at x > 0 (``sign`` 1) or x < 0 (-1), from the tail to the neck.

    Bouts and waist are where the outline itself is widest and narrowest, which a traced one may say otherwise than
    the file. A block is marked where its side face meets the outline.
    """
    half = outline.count / 2
    span = (0.0, half) if sign > 0 else (half, float(outline.count))
    found: list[tuple[PlaceKind, float]] = [("tail", 0.0), ("neck end", half)]
    u = np.linspace(*span, 2001)
    xy = outline.point(u)
    out, y = sign * xy[:, 0], xy[:, 1]
    low = int(np.argmax(np.where(y < body.waist.at_mm, out, -np.inf)))
    high = int(np.argmax(np.where(y > body.waist.at_mm, out, -np.inf)))
    first, last = min(low, high), max(low, high)
    middle = first + int(np.argmin(out[first : last + 1]))
    wanted: tuple[tuple[PlaceKind, int], ...] = (("lower bout", low), ("waist", middle), ("upper bout", high))
    found += [(kind, _level(outline, u, k)) for kind, k in wanted]
    found += _block_places(outline, body, sign)
    found += [("corner", float(i)) for i in outline.corners if span[0] < i < span[1]]
    made = []
    for kind, at in found:
        px, py = (float(v) for v in outline.point(at % outline.count))
        made.append(Place(kind, at % outline.count, px, py))
    return tuple(sorted(made, key=lambda p: from_tail_mm(outline, p.u_count)))


def _block_places(outline: Path, body: BodySpec, sign: int) -> list[tuple[PlaceKind, float]]:
    rows: tuple[tuple[PlaceKind, float, float], ...] = (
        ("tail block", body.tail_block_mm, body.tail_block_width_mm),
        ("neck block", body.neck_block_mm, body.neck_block_width_mm),
    )
    found: list[tuple[PlaceKind, float]] = []
    for kind, thick, width in rows:
        if thick > 0 and width > 0:
            hits = line_hits(outline, (sign * width / 2, -1e4), (0.0, 1.0))
            if hits:
                found.append((kind, (hits[0] if kind == "tail block" else hits[-1]).u_count))
    return found


def _level(outline: Path, u: Floats, k: int) -> float:
    """Return the parameter near u[k] where the outline runs along y, by halving; u[k] itself at an end."""
    if k in (0, len(u) - 1):
        return float(u[k])
    low, high = float(u[k - 1]), float(u[k + 1])
    below = float(outline.tangent(low)[0])
    if below * float(outline.tangent(high)[0]) > 0:
        return float(u[k])
    for _ in range(60):
        middle = (low + high) / 2
        if float(outline.tangent(middle)[0]) * below > 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2

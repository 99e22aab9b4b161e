"""A closed plane curve made of polynomial pieces, smooth but for its corners, and the curves parallel to it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import atan2, ceil, degrees, floor

import numpy as np

from braces.base.arrays import Array, Floats, Points
from braces.curves.parallel import LEAST_TURN_RAD, Joins, Trim, Turn, trim_between
from braces.curves.polynomial import quintic_pieces

JUST_BEFORE = 1e-9  #: of a corner: still on the piece before it
_TIGHT_STEPS = 64  #: samples of each piece in which too tight a turn is looked for
_GAUSS_T, _GAUSS_W = (np.asarray(a) for a in np.polynomial.legendre.leggauss(12))


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """A closed curve r(u), 0 <= u < n, one polynomial piece per whole number of u; anticlockwise.

    ``inset_mm`` moves every point to the left of travel, which is inwards: the curve parallel to the pieces. Where
    that would run past itself, at a corner or in too tight a turn, it is trimmed to a mitre: parameters between the
    mitre's two give the mitre itself. On the outer side of a corner it goes round in an arc, all at one parameter.
    """

    pieces: Array  #: (n, k, 2) coefficients in t = u - floor(u), lowest power first, mm
    inset_mm: float = 0.0

    @property
    def count(self) -> int:
        """Number of pieces, and the period of u."""
        return len(self.pieces)

    def inside(self, inset_mm: float) -> Path:
        """Return the parallel curve that lies ``inset_mm`` further in."""
        return _inside(self, inset_mm)

    @property
    def corners(self) -> tuple[int, ...]:
        """Parameters at which the pieces meet in a corner."""
        return _corners(self)

    def turn_deg(self, corner: int) -> float:
        """Return by how much the direction turns to the left where piece ``corner`` begins."""
        return degrees(float(_piece_turns(self)[corner]))

    def _live(self, u: float | Floats) -> float | Floats:
        """Return parameters moved to the near end of the trimmed stretch in which they lie."""
        trims = joins(self).trims if self.inset_mm else ()
        if not trims:
            return u
        at: Floats = np.mod(np.asarray(u, dtype=float), self.count)
        for trim in trims:
            for turn in (-self.count, 0, self.count):
                low, middle, high = (v + turn for v in (trim.from_count, trim.corner_count, trim.to_count))
                at = np.where((at > low) & (at < middle), low, np.where((at >= middle) & (at < high), high, at))
        return at

    def _base(self, u: float | Floats, order: int) -> Points:
        at = np.mod(np.asarray(u, dtype=float), self.count)
        i = np.minimum(at.astype(int), self.count - 1)
        t = (at - i)[..., None]
        c = self.pieces[i]
        for _ in range(order):
            c = c[..., 1:, :] * np.arange(1, c.shape[-2])[:, None]
        out = np.zeros((*at.shape, 2))
        for k in range(c.shape[-2] - 1, -1, -1):
            out = out * t + c[..., k, :]
        return out

    def point(self, u: float | Floats) -> Points:
        """Points, shape of ``u`` + (2,), mm."""
        return _untrimmed(self, self._live(u))

    def tangent(self, u: float | Floats) -> Points:
        """Unit vectors along travel."""
        d = self._base(self._live(u), 1)
        return np.asarray(d / np.linalg.norm(d, axis=-1, keepdims=True))

    def left(self, u: float | Floats) -> Points:
        """Unit vectors to the left of travel: inwards."""
        d = self.tangent(u)
        return np.stack([-d[..., 1], d[..., 0]], axis=-1)

    def _base_curvature(self, u: float | Floats) -> Floats:
        a, b = self._base(u, 1), self._base(u, 2)
        return np.asarray((a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]) / np.linalg.norm(a, axis=-1) ** 3)

    def curvature(self, u: float | Floats) -> Floats:
        """1/radius, positive where the curve turns left, 1/mm."""
        k = self._base_curvature(self._live(u))
        return np.asarray(k / (1 - self.inset_mm * k))

    def speed(self, u: float | Floats) -> Floats:
        """|dr/du|, mm; 0 where the curve is trimmed."""
        speed = np.linalg.norm(self._base(u, 1), axis=-1) * (1 - self.inset_mm * self._base_curvature(u))
        live = self._live(u)
        return np.asarray(speed if live is u else np.where(live == np.mod(u, self.count), speed, 0.0))

    def length(self, u0: float, u1: float) -> float:
        """Arc length from u0 on to u1 >= u0, mm (Gauss quadrature within each piece)."""
        return _gauss_length(self, u0, u1)

    @property
    def perimeter_mm(self) -> float:
        """Length all the way round."""
        return _perimeter(self)

    def area_mm2(self) -> float:
        """Enclosed area by Green's theorem, mm2."""
        spans = self.spans(1)
        half = np.diff(spans, axis=1) / 2
        u = spans[:, :1] + half * (_GAUSS_T + 1)
        p, d, s = _untrimmed(self, u), self.tangent(u), self.speed(u)
        whole = np.sum(half * _GAUSS_W / 2 * (p[..., 0] * d[..., 1] - p[..., 1] * d[..., 0]) * s)
        return float(whole) + sum(turn.sector_mm2() for turn in joins(self).turns)

    @property
    def is_joined(self) -> bool:
        """Whether the curve is trimmed anywhere or goes round a corner in an arc."""
        found = joins(self)
        return bool(found.trims or found.turns)

    def spans(self, per_piece: int) -> Floats:
        """Return stretches of parameters (n, 2) all round, ``per_piece`` to each piece, trimmed ones left out."""
        cuts = np.arange(self.count * per_piece + 1) / per_piece
        return np.array([s for a, b in pairwise(cuts.tolist()) for s in _live_spans(self, a, b)])

    def grid(self, per_piece: int) -> Floats:
        """Evenly spaced u, ``per_piece`` to each piece, without the closing one."""
        return np.arange(self.count * per_piece) / per_piece

    def dense(self, per_piece: int = 40) -> Points:
        """Points all round without repeating the first: ``per_piece`` to each piece where nothing is trimmed."""
        return self.along(np.append(self.grid(per_piece), self.count))[:-1]

    def kept(self, u: Floats) -> Floats:
        """Return ascending parameters (n,) without trimmed ones, but with mitres and with both ends of arcs."""
        found = joins(self)
        for shift in (-self.count, 0, self.count):
            for trim in found.trims:
                low, high = trim.from_count + shift, trim.to_count + shift
                mitre = next(([m] for m in (low, high) if u[0] <= m <= u[-1]), [])
                u = np.sort(np.concatenate([u[(u < low) | (u > high)], mitre]))
            ends = [a.corner_count + shift for a in found.turns if u[0] < a.corner_count + shift <= u[-1]]
            u = np.sort(np.concatenate([u, np.array(ends) - JUST_BEFORE])) if ends else u
        return u

    def along(self, u: Floats) -> Points:
        """Return points in the order of ascending or descending parameters (n,): mitres once, arcs in full."""
        down = u[0] > u[-1]
        u = self.kept(u[::-1] if down else u)
        points = self.point(u)
        for arc in joins(self).turns:
            for corner in (arc.corner_count, arc.corner_count + self.count):
                if u[0] < corner <= u[-1]:
                    at = int(np.searchsorted(u, corner))
                    inner = arc.points()[1:-1]
                    points, u = np.insert(points, at, inner, axis=0), np.insert(u, at, np.full(len(inner), corner))
        return points[::-1] if down else points

    def mapped(self, move: Callable[[Points], Points], per_piece: int = 4) -> Path:
        """Return the curve that ``move`` (smooth, points to points) makes of this one.

        Each piece is replaced by ``per_piece`` quintics with the exact values and (by differences) derivatives of
        the moved curve at their ends.
        """
        step = 1e-3
        t = np.arange(per_piece + 1) / per_piece
        inner = np.clip(t, 2 * step, 1 - 2 * step)  # speed may jump between pieces: differences stay within one
        made = []
        for i in range(self.count):
            m, z, p = (move(self.point(i + inner + k * step)) for k in (-1, 0, 1))
            m2, p2 = (move(self.point(i + inner + k * step)) for k in (-2, 2))
            # Fourth-order central differences, then a Taylor step back to the piece's very ends.
            first = (m2 - 8 * m + 8 * p - p2) / (12 * step)
            second = (-m2 + 16 * m - 30 * z + 16 * p - p2) / (12 * step**2)
            third = (p2 - 2 * p + 2 * m - m2) / (2 * step**3)
            back = (t - inner)[:, None]
            first = first + back * second + back**2 / 2 * third
            second = second + back * third
            ends = move(self.point(i + np.clip(t, 0, 1 - 1e-12)))
            made.append(quintic_pieces(ends, first / per_piece, second / per_piece**2))
        return Path(np.concatenate(made))


def _untrimmed(path: Path, u: float | Floats) -> Points:
    """Points of the pieces moved to the left, wherever that leads."""
    d = path._base(u, 1)
    p = path._base(u, 0)
    if not path.inset_mm:
        return p
    left = np.stack([-d[..., 1], d[..., 0]], axis=-1) / np.linalg.norm(d, axis=-1, keepdims=True)
    return np.asarray(p + path.inset_mm * left)


@lru_cache(maxsize=64)
def _corners(path: Path) -> tuple[int, ...]:
    return tuple(int(i) for i in np.flatnonzero(np.abs(_piece_turns(path)) > LEAST_TURN_RAD))


def _piece_turns(path: Path) -> Floats:
    """Angle in radians, + to the left, by which each piece sets off from the end of the one before, (count,)."""
    powers = np.arange(path.pieces.shape[1])
    start = path.pieces[:, 1]
    end = np.roll(np.einsum("k,nkd->nd", powers.astype(float), path.pieces), 1, axis=0)
    cross = end[:, 0] * start[:, 1] - end[:, 1] * start[:, 0]
    return np.asarray(np.arctan2(cross, np.einsum("ij,ij->i", end, start)))


@lru_cache(maxsize=64)
def joins(path: Path) -> Joins:
    """Where a parallel curve is trimmed and where it goes round a corner."""
    turns, inset = _piece_turns(path), path.inset_mm
    bad = _too_tight(path) if inset else []
    arcs = []
    for i in path.corners if inset else ():
        if turns[i] * inset > 0:
            bad.append((float(i), float(i)))
            continue
        (x, y), (dx, dy) = path._base(float(i), 0), path._base(i - 1e-12 * path.count, 1)
        arcs.append(Turn(i, (float(x), float(y)), abs(inset), atan2(inset * dx, -inset * dy), float(turns[i])))
    trims: list[Trim] = []
    for first, last in sorted(bad, key=lambda b: b[0] - b[1]):  # what a wide one swallows needs none of its own
        if not any(t.from_count < first and last < t.to_count for t in trims):
            trim = trim_between(lambda u: _untrimmed(path, u), first, last, path.count, inset)
            trims += [trim] if trim is not None else []
    return Joins(tuple(trims), tuple(arcs))


def _too_tight(path: Path) -> list[tuple[float, float]]:
    """Stretches of parameters on which the pieces turn more tightly than the distance to the parallel curve."""
    u = path.grid(_TIGHT_STEPS)
    tight = np.flatnonzero(path.inset_mm * path._base_curvature(u) >= 1)
    runs = np.split(tight, np.flatnonzero(np.diff(tight) > 1) + 1)
    return [(float(u[r[0]]), float(u[r[-1]])) for r in runs if len(r) > 1]


def _live_spans(path: Path, u0: float, u1: float) -> list[tuple[float, float]]:
    """What trimming leaves of the parameters from u0 to u1."""
    spans = [(u0, u1)]
    for trim in joins(path).trims:
        for turn in range(floor(u0 / path.count) - 1, floor(u1 / path.count) + 2):
            low, high = trim.from_count + turn * path.count, trim.to_count + turn * path.count
            spans = [s for a, b in spans for s in ((a, min(b, low)), (max(a, high), b)) if s[1] > s[0]]
    return spans


def _gauss_length(path: Path, u0: float, u1: float) -> float:
    """Sum whole pieces, which are remembered, and what is left of the first and the last."""
    first, last = floor(u0), floor(u1)
    if first == last:
        return _part_length(path, u0, u1)
    whole = _piece_lengths(path)
    middle = sum(whole[k % path.count] for k in range(ceil(u0), last))
    round_ = sum(
        turn.length_mm * (floor((u1 - turn.corner_count) / path.count) - floor((u0 - turn.corner_count) / path.count))
        for turn in joins(path).turns
    )
    return _part_length(path, u0, float(ceil(u0))) + middle + _part_length(path, float(last), u1) + round_


def _part_length(path: Path, u0: float, u1: float) -> float:
    """Length within one piece, from u0 on to u1."""
    if path.inset_mm and joins(path).trims:
        return sum(_smooth_length(path, a, b) for a, b in _live_spans(path, u0, u1))
    return _smooth_length(path, u0, u1)


def _smooth_length(path: Path, u0: float, u1: float) -> float:
    half = (u1 - u0) / 2
    if half <= 0:
        return 0.0
    places = (
        ((u0 + half + half * t) % path.count, w) for t, w in zip(_GAUSS_T.tolist(), _GAUSS_W.tolist(), strict=True)
    )
    return half * float(sum(w * abs(place_and_derivative(path, u)[1]) for u, w in places))


@lru_cache(maxsize=64)
def _piece_lengths(path: Path) -> list[float]:
    return [_part_length(path, float(i), i + 1.0) for i in range(path.count)]


@lru_cache(maxsize=64)
def _perimeter(path: Path) -> float:
    return _gauss_length(path, 0.0, float(path.count))


@lru_cache(maxsize=64)
def _inside(path: Path, inset_mm: float) -> Path:
    """One value for one curve, so that what is known of it (its samples) is found again."""
    return replace(path, inset_mm=path.inset_mm + inset_mm)


@lru_cache(maxsize=64)
def _complex_pieces(path: Path) -> list[list[complex]]:
    return [[complex(*c) for c in piece[::-1]] for piece in path.pieces]


def place_and_derivative(path: Path, u: float) -> tuple[complex, complex]:
    """Return r(u) and dr/du of one place, by Horner's rule."""
    i = int(u)
    t = u - i
    r = first = half_second = 0j
    for c in _complex_pieces(path)[i]:
        half_second = half_second * t + first
        first = first * t + r
        r = r * t + c
    size = abs(first)
    bend = 2 * (first.conjugate() * half_second).imag / size**3
    return r + path.inset_mm * 1j * first / size, first * (1 - path.inset_mm * bend)

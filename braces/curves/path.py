"""A smooth closed plane curve made of polynomial pieces, and the curves parallel to it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil, floor

import numpy as np

from braces.base.arrays import Array, Floats, Points
from braces.curves.course import Course
from braces.curves.polynomial import quintic_pieces

_GAUSS_T, _GAUSS_W = (np.asarray(a) for a in np.polynomial.legendre.leggauss(12))


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """A closed curve r(u), 0 <= u < n, one polynomial piece per whole number of u; anticlockwise.

    ``inset_mm`` moves every point to the left of travel, which is inwards: the curve parallel to the pieces.
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
        p = self._base(u, 0)
        return p + self.inset_mm * self.left(u) if self.inset_mm else p

    def tangent(self, u: float | Floats) -> Points:
        """Unit vectors along travel."""
        d = self._base(u, 1)
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
        k = self._base_curvature(u)
        return np.asarray(k / (1 - self.inset_mm * k))

    def speed(self, u: float | Floats) -> Floats:
        """|dr/du|, mm."""
        return np.asarray(np.linalg.norm(self._base(u, 1), axis=-1) * (1 - self.inset_mm * self._base_curvature(u)))

    def length(self, u0: float, u1: float) -> float:
        """Arc length from u0 on to u1 >= u0, mm (Gauss quadrature within each piece)."""
        return _gauss_length(self, u0, u1)

    @property
    def perimeter_mm(self) -> float:
        """Length all the way round."""
        return _perimeter(self)

    def area_mm2(self) -> float:
        """Enclosed area by Green's theorem, mm2."""
        u = np.arange(self.count)[:, None] + (_GAUSS_T + 1) / 2
        p, d, s = self.point(u), self.tangent(u), self.speed(u)
        return float(np.sum(_GAUSS_W / 4 * (p[..., 0] * d[..., 1] - p[..., 1] * d[..., 0]) * s))

    def grid(self, per_piece: int) -> Floats:
        """Evenly spaced u, ``per_piece`` to each piece, without the closing one."""
        return np.arange(self.count * per_piece) / per_piece

    def dense(self, per_piece: int = 40) -> Points:
        """Points all round, (count * per_piece, 2), without repeating the first."""
        return self.point(self.grid(per_piece))

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


def _gauss_length(path: Path, u0: float, u1: float) -> float:
    """Sum whole pieces, which are remembered, and what is left of the first and the last."""
    first, last = floor(u0), floor(u1)
    if first == last:
        return _part_length(path, u0, u1)
    whole = _piece_lengths(path)
    middle = sum(whole[k % path.count] for k in range(ceil(u0), last))
    return _part_length(path, u0, float(ceil(u0))) + middle + _part_length(path, float(last), u1)


def _part_length(path: Path, u0: float, u1: float) -> float:
    """Length within one piece, from u0 on to u1."""
    half = (u1 - u0) / 2
    if half <= 0:
        return 0.0
    places = (
        ((u0 + half + half * t) % path.count, w) for t, w in zip(_GAUSS_T.tolist(), _GAUSS_W.tolist(), strict=True)
    )
    return half * float(sum(w * abs(_point_and_derivative(path, u)[1]) for u, w in places))


@lru_cache(maxsize=64)
def _piece_lengths(path: Path) -> list[float]:
    u = np.arange(path.count)[:, None] + (_GAUSS_T + 1) / 2
    return [float(v) for v in np.asarray(path.speed(u)) @ _GAUSS_W / 2]


@lru_cache(maxsize=64)
def _perimeter(path: Path) -> float:
    return _gauss_length(path, 0.0, float(path.count))


@lru_cache(maxsize=64)
def _inside(path: Path, inset_mm: float) -> Path:
    """One value for one curve, so that what is known of it (its samples) is found again."""
    return replace(path, inset_mm=path.inset_mm + inset_mm)


@dataclass(frozen=True, slots=True)
class Hit:
    """Where a straight line meets a path."""

    u_count: float  #: parameter on the path
    t_mm: float  #: distance along the line
    at: tuple[float, float]


_SAMPLES = 480  #: points round a path between which a line can meet it at most once


@lru_cache(maxsize=64)
def _samples(path: Path) -> tuple[Floats, Points]:
    u = np.append(path.grid(max(4, _SAMPLES // path.count)), path.count)
    return u, path.point(u)


def line_hits(path: Path, origin: tuple[float, float], direction: tuple[float, float]) -> tuple[Hit, ...]:
    """Return every meeting of the line origin + t * direction (unit) with the path, by ascending t.

    Signs of the distance to the line are sampled, then each crossing is polished by Newton's method.
    """
    o, d = np.asarray(origin), np.asarray(direction)
    n = np.array([-d[1], d[0]])
    u, points = _samples(path)
    side = (points - o) @ n
    hits = [
        _polished(path, o, d, n, u[i], u[i + 1], side[i], side[i + 1])
        for i in np.flatnonzero((side[:-1] > 0) != (side[1:] > 0))
    ]
    return tuple(sorted(hits, key=lambda h: h.t_mm))


def _polished(path: Path, o: Floats, d: Floats, n: Floats, lo: float, hi: float, f_lo: float, f_hi: float) -> Hit:
    """Return the meeting between the parameters ``lo`` and ``hi``, on opposite sides of the line.

    Plane points are complex numbers here: single ones are far quicker so than as little arrays.
    """
    origin, along, normal = complex(*o), complex(*d), complex(*n)
    x = float(lo + (hi - lo) * f_lo / (f_lo - f_hi))
    point = origin
    for _ in range(12):
        point, speed = _point_and_derivative(path, min(x, path.count - 1e-12))
        slope = (speed * normal.conjugate()).real
        step = ((point - origin) * normal.conjugate()).real / slope if slope else 0.0
        x = min(max(x - step, lo), hi)
        if abs(step) < 1e-11:  # of a piece some 100 mm long
            break
    return Hit(x % path.count, float(((point - origin) * along.conjugate()).real), (point.real, point.imag))


def course_hits(path: Path, course: Course) -> tuple[tuple[float, float], ...]:
    """Return (station, u) of every place at which the line or whole circle of a course meets the path, by station.

    Signs of the distance to it are sampled, then each crossing is closed in on by bisection and secants in turn.
    """
    u, points = _samples(path)
    side = course.project(points)[1]
    found = []
    for i in np.flatnonzero((side[:-1] > 0) != (side[1:] > 0)):
        at = _root(lambda v: course.where(_place(path, v))[1], float(u[i]), float(u[i + 1]))
        found.append((course.where(_place(path, at))[0], at % path.count))
    return tuple(sorted(found))


def _place(path: Path, u: float) -> tuple[float, float]:
    point = _point_and_derivative(path, min(u, path.count - 1e-12))[0]
    return point.real, point.imag


def _root(f: Callable[[float], float], low: float, high: float) -> float:
    """Return a root of ``f``, which changes sign between ``low`` and ``high``, to 1e-12 of a piece."""
    at_low, at_high = f(low), f(high)
    for step in range(100):
        if high - low < 1e-12 or at_high == at_low:
            break
        middle = (low + high) / 2 if step % 3 == 2 else low + (high - low) * at_low / (at_low - at_high)
        at = f(middle)
        if at == 0:
            return middle
        if (at > 0) == (at_low > 0):
            low, at_low = middle, at
        else:
            high, at_high = middle, at
    return low if abs(at_low) < abs(at_high) else high


@lru_cache(maxsize=64)
def _complex_pieces(path: Path) -> list[list[complex]]:
    return [[complex(*c) for c in piece[::-1]] for piece in path.pieces]


def _point_and_derivative(path: Path, u: float) -> tuple[complex, complex]:
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

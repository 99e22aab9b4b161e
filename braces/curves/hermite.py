"""Piecewise cubic curves y(x) given by values and slopes: the one form of every brace profile.

A cubic through (x0, y0, m0) and (x1, y1, m1) is the cubic Hermite interpolant. Between knots whose slopes are
zero it is monotone, so a profile built from peaks and valleys never overshoots them. Slopes belong to spans, not
to knots: two neighbouring spans that disagree make an intended kink.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from braces.base.arrays import Floats, frozen_floats


@dataclass(frozen=True, slots=True, eq=False)
class Hermite:
    """y(x) on [x[0], x[-1]]; outside it the end values continue level."""

    x_mm: Floats  #: (n + 1,) knots, strictly ascending
    y_mm: Floats  #: (n + 1,) values at the knots
    slope_in: Floats  #: (n,) slope at the left end of each span
    slope_out: Floats  #: (n,) slope at the right end of each span

    def __post_init__(self) -> None:
        n = len(self.x_mm) - 1
        if n < 1 or len(self.y_mm) != n + 1 or len(self.slope_in) != n or len(self.slope_out) != n:
            raise ValueError("a piecewise cubic needs n + 1 knots and values, and n slopes on either side")
        if not np.all(np.diff(self.x_mm) > 0):
            raise ValueError("knots must ascend")

    @property
    def lo_mm(self) -> float:
        """Where the curve starts."""
        return float(self.x_mm[0])

    @property
    def hi_mm(self) -> float:
        """Where the curve ends."""
        return float(self.x_mm[-1])

    def coefficients(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Return c0..c3, each (n,): y = c0 + c1 t + c2 t^2 + c3 t^3 with t = x - x[i], mm."""
        h = np.diff(self.x_mm)
        dy = np.diff(self.y_mm) / h
        m0, m1 = self.slope_in, self.slope_out
        return self.y_mm[:-1], m0, (3 * dy - 2 * m0 - m1) / h, (m0 + m1 - 2 * dy) / h**2

    def _locate(self, x: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        c0, c1, c2, c3 = self.coefficients()
        i = np.clip(np.searchsorted(self.x_mm, x, side="right") - 1, 0, len(c0) - 1)
        return x - self.x_mm[i], c0[i], c1[i], c2[i], c3[i]

    def __call__(self, x: float | Floats) -> Floats:
        """Value(s) at ``x``; level beyond the ends."""
        t, c0, c1, c2, c3 = self._locate(np.clip(np.asarray(x, dtype=float), self.lo_mm, self.hi_mm))
        return c0 + t * (c1 + t * (c2 + t * c3))

    def at(self, x_mm: float) -> float:
        """Value at one place as a plain number."""
        return float(self(x_mm))

    def slope(self, x: float | Floats) -> Floats:
        """First derivative (right-hand at a kink); zero beyond the ends."""
        x = np.asarray(x, dtype=float)
        t, _, c1, c2, c3 = self._locate(np.clip(x, self.lo_mm, self.hi_mm))
        inside = (x >= self.lo_mm) & (x <= self.hi_mm)
        return np.where(inside, c1 + t * (2 * c2 + 3 * t * c3), 0.0)

    def second(self, x: float | Floats) -> Floats:
        """Second derivative (right-hand at a knot), 1/mm."""
        t, _, _, c2, c3 = self._locate(np.clip(np.asarray(x, dtype=float), self.lo_mm, self.hi_mm))
        return 2 * c2 + 6 * c3 * t

    def refined(self, extra: Iterable[float]) -> Hermite:
        """Return the same curve with further knots at ``extra`` (those inside and not already knots)."""
        more = [x for x in extra if self.lo_mm < x < self.hi_mm]
        x = np.unique(np.concatenate([self.x_mm, np.asarray(more, dtype=float)]))
        x = x[np.concatenate([[True], np.diff(x) > 1e-9])]
        i = np.clip(np.searchsorted(self.x_mm, x[:-1] + 1e-9, side="right") - 1, 0, len(self.slope_in) - 1)
        _, c1, c2, c3 = self.coefficients()
        t0, t1 = x[:-1] - self.x_mm[i], x[1:] - self.x_mm[i]
        return Hermite(
            frozen_floats(x),
            frozen_floats(self(x)),
            frozen_floats(c1[i] + t0 * (2 * c2[i] + 3 * t0 * c3[i])),
            frozen_floats(c1[i] + t1 * (2 * c2[i] + 3 * t1 * c3[i])),
        )

    def integral(self) -> float:
        """Area under the curve between its ends, mm2."""
        c0, c1, c2, c3 = self.coefficients()
        t = np.diff(self.x_mm)
        return float(np.sum(t * (c0 + t * (c1 / 2 + t * (c2 / 3 + t * c3 / 4)))))


def from_knots(x: Iterable[float], y: Iterable[float], slopes: Iterable[float] | None = None) -> Hermite:
    """Return the smooth curve through knots with the given slopes (all zero if none are given)."""
    xs, ys = frozen_floats(list(x)), frozen_floats(list(y))
    m = np.zeros(len(xs)) if slopes is None else np.asarray(list(slopes), dtype=float)
    return Hermite(xs, ys, frozen_floats(m[:-1]), frozen_floats(m[1:]))


def sampled(f: Callable[[Floats], Floats], df: Callable[[Floats], Floats], x: Floats) -> Hermite:
    """Return the piecewise cubic that takes the values of ``f`` and the slopes ``df`` at the knots ``x``."""
    return from_knots(x, f(x), df(x))


def joined(parts: Iterable[Hermite]) -> Hermite:
    """Return the curve that runs through ``parts`` one after the other; each must start where the last ended."""
    run = list(parts)
    for a, b in pairwise(run):
        if abs(a.hi_mm - b.lo_mm) > 1e-9 or abs(a.y_mm[-1] - b.y_mm[0]) > 1e-9:
            raise ValueError("the parts of a joined curve must meet")
    return Hermite(
        frozen_floats(np.concatenate([run[0].x_mm[:1], *(p.x_mm[1:] for p in run)])),
        frozen_floats(np.concatenate([run[0].y_mm[:1], *(p.y_mm[1:] for p in run)])),
        frozen_floats(np.concatenate([p.slope_in for p in run])),
        frozen_floats(np.concatenate([p.slope_out for p in run])),
    )

"""Piecewise polynomials as B-splines: knots, multiplicities and poles, without any CAD kernel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from math import comb

import numpy as np

from braces.base.arrays import Array, Floats, frozen_floats
from braces.curves.hermite import Hermite

Pieces = Array  #: (n, degree + 1, d) Bezier poles of n pieces in d dimensions


@dataclass(frozen=True, slots=True, eq=False)
class Spline:
    """A clamped B-spline in d dimensions; its parameter runs from the first to the last knot."""

    degree: int
    knots: Floats  #: (n + 1,) strictly ascending
    multiplicities: tuple[int, ...]  #: one to each knot
    poles: Array  #: (m, d)


def from_pieces(knots: Floats, pieces: Pieces, kink: float = 1e-9) -> Spline:
    """Return the B-spline through Bezier pieces that meet end to end.

    Where the derivatives on both sides of a knot agree within ``kink``, the shared pole is dropped and the
    spline is formally smooth there, so that no reader has to split it; elsewhere it keeps its intended kink.
    """
    degree = pieces.shape[1] - 1
    h = np.diff(knots)[:, None]
    arrives = (pieces[:-1, -1] - pieces[:-1, -2]) * degree / h[:-1]
    leaves = (pieces[1:, 1] - pieces[1:, 0]) * degree / h[1:]
    smooth = (np.abs(arrives - leaves).max(axis=1) < kink) & (degree > 1)
    poles = [pieces[0, :-1]]
    for piece, is_smooth in zip(pieces[1:], smooth, strict=True):
        poles.append(piece[1:-1] if is_smooth else piece[:-1])
    poles.append(pieces[-1, -1:])
    inner = (degree - 1 if is_smooth else degree for is_smooth in smooth)
    return Spline(degree, frozen_floats(knots), (degree + 1, *inner, degree + 1), np.concatenate(poles))


def hermite_pieces(curve: Hermite) -> Array:
    """Return the Bezier poles (n, 4) of a piecewise cubic's values."""
    third = np.diff(curve.x_mm) / 3
    y0, y1 = curve.y_mm[:-1], curve.y_mm[1:]
    return np.stack([y0, y0 + third * curve.slope_in, y1 - third * curve.slope_out, y1], axis=1)


def place_pieces(knots: Floats, degree: int = 3) -> Array:
    """Return the Bezier poles (n, degree + 1) of the parameter itself: evenly spaced in every piece."""
    return np.asarray(np.linspace(knots[:-1], knots[1:], degree + 1, axis=1))


@cache
def _bezier_from_samples(degree: int) -> tuple[Array, Array]:
    """Return where to sample on [0, 1] and the matrix that turns the samples into Bezier poles."""
    t = (1 - np.cos(np.pi * np.arange(degree + 1) / degree)) / 2
    bernstein = [comb(degree, k) * t**k * (1 - t) ** (degree - k) for k in range(degree + 1)]
    return t, np.linalg.inv(np.stack(bernstein, axis=1))


def sampled_pieces(f: Callable[[Floats], Array], knots: Floats, degree: int) -> Pieces:
    """Return the Bezier poles of ``f``, which must be a polynomial of that degree between neighbouring knots.

    ``f`` takes parameters (k,) and gives points (k, d).
    """
    t, matrix = _bezier_from_samples(degree)
    s = knots[:-1, None] + np.diff(knots)[:, None] * t
    samples = f(s.ravel()).reshape(len(knots) - 1, degree + 1, -1)
    pieces = np.einsum("ij,njd->nid", matrix, samples)
    pieces[:, 0], pieces[:, -1] = samples[:, 0], samples[:, -1]
    return np.asarray(pieces)

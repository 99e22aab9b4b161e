"""Quintic pieces through points with given first and second derivatives."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Array

# Power-basis rows of the quintic Hermite interpolant on [0, 1] for (p0, d0, e0, p1, d1, e1):
# value, first and second derivative at either end. Textbook form, rederived in the tests.
QUINTIC = np.array(
    [
        [1, 0, 0, 0, 0, 0],
        [0, 1, 0, 0, 0, 0],
        [0, 0, 0.5, 0, 0, 0],
        [-10, -6, -1.5, 10, -4, 0.5],
        [15, 8, 1.5, -15, 7, -1.0],
        [-6, -3, -0.5, 6, -3, 0.5],
    ]
)


def quintic_pieces(points: Array, first: Array, second: Array) -> Array:
    """Return coefficients (n, 6, 2), lowest power first, of n pieces each over t in [0, 1].

    ``points``, ``first`` and ``second`` have shape (n + 1, 2); derivatives are with respect to the piece number.
    """
    ends = np.stack([points[:-1], first[:-1], second[:-1], points[1:], first[1:], second[1:]], axis=1)
    return np.asarray(np.einsum("ij,njk->nik", QUINTIC, ends))

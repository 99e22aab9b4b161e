"""The shape across a brace: how far the top falls from the ridge to the sides.

``sigma(y)`` is 0 on the land in the middle and 1 at the sides; the top of a brace is its ridge less drop * sigma.
Each shape is a chain of strips between fixed ``y`` stations, on which sigma is a polynomial of degree 1 or 2, so
areas, volumes and the surfaces of the solid come from the same few numbers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Floats, frozen_floats


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """sigma(y) over [-b/2, b/2]."""

    y_mm: Floats  #: (k + 1,) strip borders, ascending, first and last the sides
    middle: Floats  #: (k,) sigma in the middle of each strip
    border: Floats  #: (k + 1,) sigma at the borders
    degree: int  #: 1 or 2, in y, of every strip

    def __call__(self, y: float | Floats) -> Floats:
        """sigma at ``y``, held at the sides beyond them."""
        y = np.clip(np.asarray(y, dtype=float), self.y_mm[0], self.y_mm[-1])
        i = np.clip(np.searchsorted(self.y_mm, y, side="right") - 1, 0, len(self.middle) - 1)
        t = (y - self.y_mm[i]) / (self.y_mm[i + 1] - self.y_mm[i])
        a, m, b = self.border[i], self.middle[i], self.border[i + 1]
        return a + t * (4 * m - 3 * a - b) + t * t * (2 * a + 2 * b - 4 * m)

    def integral(self) -> float:
        """Integral of sigma across the brace, mm (Simpson's rule, exact for these degrees)."""
        w = np.diff(self.y_mm)
        return float(np.sum(w * (self.border[:-1] + 4 * self.middle + self.border[1:]) / 6))


def gabled(width_mm: float, land_mm: float) -> Shape:
    """Return a level land in the middle, straight shoulders to the sides. A land as wide as the brace is square."""
    half, land = width_mm / 2, land_mm / 2
    if not 0 <= land <= half:
        raise ValueError("the land must be between nothing and the width")
    if half - land < 1e-9:
        return Shape(frozen_floats([-half, half]), frozen_floats([0]), frozen_floats([0, 0]), 1)
    if land < 1e-9:
        return Shape(frozen_floats([-half, 0, half]), frozen_floats([0.5, 0.5]), frozen_floats([1, 0, 1]), 1)
    return Shape(
        frozen_floats([-half, -land, land, half]),
        frozen_floats([0.5, 0, 0.5]),
        frozen_floats([1, 0, 0, 1]),
        1,
    )


def rounded(width_mm: float) -> Shape:
    """Return a parabolic cap: sigma = (2 y / b)^2."""
    half = width_mm / 2
    return Shape(frozen_floats([-half, half]), frozen_floats([0]), frozen_floats([1, 1]), 2)

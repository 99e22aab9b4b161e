"""Means over patches of a plate: where strings pull, and how far the bridge turns."""

from __future__ import annotations

from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.plate_model import B, V, W
from braces.mechanics.space import Space
from braces.mechanics.spline_grid import cell_weights

Terms = list[tuple[int, int, int, Any]]


def patch_mean(space: Space, polygon: Any, terms: Terms) -> Floats:
    """Return the vector (plate unknowns,) whose product with a solution is the mean of ``terms`` over a patch."""
    grid = space.grid
    w = cell_weights(polygon, grid.step_mm, grid.x0_mm, grid.y0_mm, grid.cell_i, grid.cell_j)
    cells = np.abs(w).sum(axis=1) > 0
    x, y = grid.gauss_points()
    rows = space.rows(x[cells].ravel(), y[cells].ravel(), terms)
    flat = w[cells].ravel()
    return np.asarray(rows.T @ flat / flat.sum())


def tip_forward(space: Space, bridge: Any) -> Floats:
    """Return the functional of the bridge's turn: radians, positive when its neck side sinks."""
    return patch_mean(space, bridge, [(W, 0, 1, -1.0)])


def string_pull(space: Space, bridge: Any, total_n: float, height_mm: float, thickness_mm: float) -> Floats:
    """Return the load of strings that pull towards the neck at ``height_mm`` above the outer face.

    The bridge is taken to pass it on evenly over its foot: a drag on the outer face and a torque that turns the foot.
    """
    drag = patch_mean(space, bridge, [(V, 0, 0, 1.0), (B, 0, 0, thickness_mm / 2)])
    return total_n * (drag + height_mm * tip_forward(space, bridge))


def pressure(space: Space, polygon: Any, total_n: float) -> Floats:
    """Return the load of an even outward pressure on a patch."""
    return total_n * patch_mean(space, polygon, [(W, 0, 0, 1.0)])

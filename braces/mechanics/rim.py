"""What holds the edge of a plate: springs along lines and under strips."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from braces.base.arrays import Floats, Points
from braces.mechanics.plate_model import FIELDS, A, B, U, V, W, scalar_matrix
from braces.mechanics.space import WARP, Space
from braces.mechanics.spline_grid import cell_weights


@dataclass(frozen=True, slots=True, eq=False)
class LineSpring:
    """Springs along a line, for each mm of it."""

    line: Points  #: (n, 2), mm; repeat the first point to close it
    outward_n_mm2: float = 0.0  #: against w
    in_plane_n_mm2: float = 0.0  #: against u and v
    turn_n: float = 0.0  #: against both turns of the normal
    warp_n_mm2: float = 0.0  #: against the warp fields


@dataclass(frozen=True, slots=True, eq=False)
class StripSpring:
    """A bed of springs under a part of the plate: a lining with a stated stiffness."""

    polygon: Any
    outward_mpa_mm: tuple[float, ...]  #: one number, N/mm3: against w
    in_plane_mpa_mm: tuple[float, ...]  #: one number, N/mm3: against the inner face moving in the plane
    thickness_mm: float  #: of the plate, whose inner face the bed holds


@dataclass(frozen=True, slots=True, eq=False)
class Rim:
    """All that holds a plate; nothing for a free one."""

    name: str
    lines: tuple[LineSpring, ...] = ()
    strips: tuple[StripSpring, ...] = ()


_T, _TW = np.polynomial.legendre.leggauss(4)


def line_points(line: Points, step_mm: float) -> tuple[Floats, Floats, Floats]:
    """Return x, y and weights (mm) of points along a polyline, four to each stretch of at most a step."""
    a, d = line[:-1], np.diff(line, axis=0)
    long = np.hypot(d[:, 0], d[:, 1])
    a, d, long = a[long > 1e-12], d[long > 1e-12], long[long > 1e-12]
    n = np.maximum(1, np.ceil(long / step_mm).astype(int))
    owner = np.repeat(np.arange(len(long)), n)
    part = np.concatenate([np.arange(k) for k in n])
    t = (part[:, None] + (_T + 1) / 2) / n[owner][:, None]
    p = a[owner][:, None, :] + d[owner][:, None, :] * t[..., None]
    w = (long / n)[owner][:, None] * _TW / 2
    return p[..., 0].ravel(), p[..., 1].ravel(), w.ravel()


def rim_stiffness(rim: Rim, space: Space) -> Any:
    """Return the springs' stiffness in the plate's unknowns, sparse."""
    import scipy.sparse as sp

    total = sp.csr_matrix((space.count, space.count))
    for spring in rim.lines:
        x, y, w = line_points(spring.line, space.grid.step_mm)
        for field, k in (
            (W, spring.outward_n_mm2),
            (U, spring.in_plane_n_mm2),
            (V, spring.in_plane_n_mm2),
            (A, spring.turn_n),
            (B, spring.turn_n),
            (WARP, spring.warp_n_mm2),
            (WARP + 1, spring.warp_n_mm2),
        ):
            if k:
                rows = space.rows(x, y, [(field, 0, 0, 1.0)])
                total = total + rows.T @ sp.diags(k * w) @ rows
    for strip in rim.strips:
        total = total + _bed(strip, space)
    return total


def _bed(strip: StripSpring, space: Space) -> Any:
    grid = space.grid
    w = cell_weights(strip.polygon, grid.step_mm, grid.x0_mm, grid.y0_mm, grid.cell_i, grid.cell_j)
    cells = np.nonzero(np.abs(w).sum(axis=1) > 0)[0]
    down = -strip.thickness_mm / 2
    fields = np.zeros((FIELDS, FIELDS))
    fields[W, W] = strip.outward_mpa_mm[0]
    for flat, turn in ((U, A), (V, B)):  # the inner face moves by u + down a
        lever = np.array([1.0, down])
        fields[np.ix_((flat, turn), (flat, turn))] = strip.in_plane_mpa_mm[0] * np.outer(lever, lever)
    return space.of_fields(scalar_matrix(grid, cells, w[cells]), fields)

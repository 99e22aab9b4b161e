"""A uniform grid of cubic B-splines over a plate of any outline.

The plate's outline cuts the grid's cells; integrals over a cut cell use weights fitted to the moments of what is
left of it (moment fitting; Mueller, Kummer and Oberlack 2013, from memory), so no mesh is needed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

from braces.base.arrays import Floats

Ints = NDArray[np.int64]
DEGREE = 3
_POINTS = 2 * DEGREE + 1  #: Gauss points each way: exact for products of cubics, and a basis for the fitted weights
_G, _GW = legendre.leggauss(_POINTS)
GAUSS: Floats = np.asarray((_G + 1) / 2, dtype=np.float64)  #: on the unit cell
GAUSS_WEIGHT: Floats = np.asarray(_GW / 2, dtype=np.float64)
#: Cubic cardinal B-spline pieces on the unit cell, lowest power first, function 0 to 3 from the left (textbook).
_PIECES = np.array([[1, -3, 3, -1], [4, 0, -6, 3], [1, 3, 3, -3], [0, 0, 0, 1]]) / 6.0
_LOCAL_X, _LOCAL_Y = (a.ravel() for a in np.meshgrid(np.arange(4), np.arange(4), indexing="ij"))
#: Orthonormal Legendre polynomials at the Gauss points, (degree, point).
_LEGENDRE = np.array([legendre.legval(_G, np.eye(_POINTS)[i]) * np.sqrt(2 * i + 1) for i in range(_POINTS)])


def pieces(t: Floats, order: int) -> Floats:
    """Return the four B-splines, differentiated ``order`` times, at ``t`` in a unit cell: (n, 4)."""
    c = _PIECES.copy()
    for _ in range(order):
        c = np.concatenate([c[:, 1:] * np.arange(1, 4), np.zeros((4, 1))], axis=1)
    return np.asarray((t[:, None] ** np.arange(4)) @ c.T)


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Which cells and functions are alive, and the fitted weights of every living cell."""

    step_mm: float
    x0_mm: float
    y0_mm: float
    cells: tuple[int, int]  #: along x and y
    cell_i: Ints  #: (c,) living cells
    cell_j: Ints
    weights: Floats  #: (c, 49), mm2
    number: Ints  #: (nx + 3, ny + 3) number of each function, -1 if it lives on no cell
    count: int  #: living functions

    @property
    def cell_functions(self) -> Ints:
        """(c, 16) functions of each living cell."""
        return np.asarray(self.number[self.cell_i[:, None] + _LOCAL_X, self.cell_j[:, None] + _LOCAL_Y])

    def places(self) -> tuple[Ints, Ints]:
        """Return the (i, j) of every living function, in the order of their numbers."""
        i, j = np.nonzero(self.number >= 0)
        order = np.argsort(self.number[i, j], kind="stable")
        return i[order], j[order]

    def gauss_points(self) -> tuple[Floats, Floats]:
        """Return x and y of the cells' points, both (c, 49), mm."""
        x = self.x0_mm + (self.cell_i[:, None] + np.repeat(GAUSS, _POINTS)) * self.step_mm
        y = self.y0_mm + (self.cell_j[:, None] + np.tile(GAUSS, _POINTS)) * self.step_mm
        return np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)

    def at(self, x: Floats, y: Floats, dx: int, dy: int) -> tuple[Ints, Floats]:
        """Return (functions (n, 16), values (n, 16)) of a derivative at points (n,).

        Raises ValueError if a point lies on no living cell.
        """
        fx, fy = (x - self.x0_mm) / self.step_mm, (y - self.y0_mm) / self.step_mm
        i = np.clip(np.floor(fx).astype(np.int64), 0, self.cells[0] - 1)
        j = np.clip(np.floor(fy).astype(np.int64), 0, self.cells[1] - 1)
        f = self.number[i[:, None] + _LOCAL_X, j[:, None] + _LOCAL_Y]
        if (f < 0).any():
            k = int(np.nonzero((f < 0).any(axis=1))[0][0])
            raise ValueError(f"the point ({x[k]:.1f}, {y[k]:.1f}) lies off the plate")
        v = pieces(fx - i, dx)[:, _LOCAL_X] * pieces(fy - j, dy)[:, _LOCAL_Y] / self.step_mm ** (dx + dy)
        return f, v


def reference(dx: int, dy: int, step_mm: float) -> Floats:
    """Return the 16 functions at the 49 points of a cell, differentiated: (49, 16)."""
    bx, by = pieces(GAUSS, dx), pieces(GAUSS, dy)
    v = bx[:, None, :, None] * by[None, :, None, :]
    return v.reshape(_POINTS**2, 16) / step_mm ** (dx + dy)


def make_grid(polygon: Any, step_mm: float, offset_mm: tuple[float, float] = (0.0, 0.0)) -> Grid:
    """Return the grid over a shapely polygon (holes allowed). ``offset_mm`` shifts its corner down and left.

    Cells of which less than 1e-9 is plate are left out.
    """
    left, low, right, high = polygon.bounds
    x0, y0 = left - offset_mm[0], low - offset_mm[1]
    nx, ny = (int(np.ceil((b - a) / step_mm - 1e-9)) for a, b in ((x0, right), (y0, high)))
    i, j = (a.ravel() for a in np.meshgrid(np.arange(nx), np.arange(ny), indexing="ij"))
    w = cell_weights(polygon, step_mm, x0, y0, i, j)
    alive = w.sum(axis=1) > 1e-9 * step_mm**2
    i, j, w = i[alive], j[alive], w[alive]
    used = np.zeros((nx + DEGREE, ny + DEGREE), dtype=bool)
    for a, b in zip(_LOCAL_X, _LOCAL_Y, strict=True):
        used[i + a, j + b] = True
    number = np.full(used.shape, -1, dtype=np.int64)
    number[used] = np.arange(int(used.sum()))
    return Grid(step_mm, x0, y0, (nx, ny), i, j, w, number, int(used.sum()))


def cell_weights(polygon: Any, step_mm: float, x0: float, y0: float, i: Ints, j: Ints) -> Floats:
    """Return the weights (c, 49) with which sums over each cell's points are integrals over the polygon's part of it.

    Exact for polynomials of degree 6 each way. Moments of the clipped polygons come from Green's theorem.
    """
    import shapely

    boxes = shapely.box(x0 + i * step_mm, y0 + j * step_mm, x0 + (i + 1) * step_mm, y0 + (j + 1) * step_mm)
    shapely.prepare(polygon)
    full = shapely.covers(polygon, boxes)
    w = np.zeros((len(i), _POINTS**2))
    w[full] = np.outer(GAUSS_WEIGHT, GAUSS_WEIGHT).ravel() * step_mm**2
    cut = np.nonzero(shapely.intersects(polygon, boxes) & ~full)[0]
    if len(cut):
        left, low = (np.asarray(a, dtype=np.float64) for a in (x0 + i[cut] * step_mm, y0 + j[cut] * step_mm))
        w[cut] = _fitted(shapely.intersection(polygon, boxes[cut]), left, low, step_mm)
    return w


def _fitted(parts: NDArray[Any], left: Floats, low: Floats, step_mm: float) -> Floats:
    import shapely

    pieces_, owner = shapely.get_parts(parts, return_index=True)
    flat = shapely.get_type_id(pieces_) == 3
    pieces_, owner = shapely.orient_polygons(pieces_[flat], exterior_cw=False), owner[flat]
    rings, ring_of = shapely.get_rings(pieces_, return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    e = np.nonzero(ring[1:] == ring[:-1])[0]
    c = owner[ring_of[ring[e]]]
    a = np.stack([(xy[e, 0] - left[c]) / step_mm, (xy[e, 1] - low[c]) / step_mm], axis=1)
    d = np.stack([(xy[e + 1, 0] - left[c]) / step_mm, (xy[e + 1, 1] - low[c]) / step_mm], axis=1) - a
    t, wt = legendre.leggauss(_POINTS + 1)
    t, wt = (t + 1) / 2, wt / 2
    x, y = a[:, 0, None] + d[:, 0, None] * t, a[:, 1, None] + d[:, 1, None] * t
    one = np.eye(_POINTS)
    psi = np.stack([legendre.legval(2 * y - 1, one[k]) * np.sqrt(2 * k + 1) for k in range(_POINTS)], axis=-1)
    upto = np.stack(
        [
            (legendre.legval(2 * x - 1, legendre.legint(one[k])) - legendre.legval(-1.0, legendre.legint(one[k])))
            / 2
            * np.sqrt(2 * k + 1)
            for k in range(_POINTS)
        ],
        axis=-1,
    )
    m = np.matmul((upto * (wt * d[:, 1, None])[..., None]).transpose(0, 2, 1), psi)
    moments = np.zeros((len(left), _POINTS, _POINTS))
    np.add.at(moments, c, m)
    full = np.outer(GAUSS_WEIGHT, GAUSS_WEIGHT).ravel() * step_mm**2
    return np.asarray(full * (_LEGENDRE.T @ moments @ _LEGENDRE).reshape(len(left), -1))

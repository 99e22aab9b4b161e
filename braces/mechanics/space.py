"""The unknowns of a plate: which functions are kept where, and rows that evaluate fields at points.

Full numbering on the fine grid: five fields at each function, then two warp fields at each function. The kept
unknowns are combinations of these: fine functions near the braces and the bridge, coarse ones (twice the step) where
nothing happens, after the rule of Kraft for hierarchical splines: a function gives way to finer ones when all of its
support is marked.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Floats
from braces.mechanics.plate_model import FIELDS, A, B, U, V, W
from braces.mechanics.spline_grid import Grid, Ints

Near = Callable[[Floats, Floats], NDArray[np.bool_]]  #: which points (x, y) lie where detail is wanted
_TWO_SCALE = np.array([1.0, 4.0, 6.0, 4.0, 1.0]) / 8.0  #: a cubic B-spline from those of half the step (textbook)
WARP = FIELDS  #: number of the first warp field


@dataclass(frozen=True, slots=True, eq=False)
class Space:
    """A grid and the kept combinations of its functions."""

    grid: Grid
    keep: Any  #: sparse, (7 x functions, unknowns)
    scalar: Any  #: sparse, (functions, kept functions): the part of ``keep`` that all five fields share
    warped: Ints  #: functions that carry warp fields
    cluster: Ints  #: (unknowns,) which belong to one function

    @property
    def count(self) -> int:
        """Number of unknowns."""
        return int(self.keep.shape[1])

    def of_fields(self, scalar: Any, fields: Floats) -> Any:
        """Return the matrix (unknowns, unknowns) of a scalar one (functions, functions) between pairs of fields.

        ``fields`` (5, 5) says how much of it stands between which two; warp fields have no part in it.
        """
        import scipy.sparse as sp

        small = sp.kron(self.scalar.T @ scalar @ self.scalar, fields, format="csr")
        return beside(small, sp.csr_matrix((2 * len(self.warped),) * 2))

    def whole(self, plate: Any, warp: Any) -> Any:
        """Return the matrix (unknowns, unknowns) of one of the five fields, and one of the two warp fields."""
        import scipy.sparse as sp

        five = sp.kron(self.scalar, sp.identity(FIELDS), format="csr")
        pick = (2 * self.warped[:, None] + np.arange(2)).ravel()
        return beside(five.T @ plate @ five, warp[pick][:, pick])

    def warp_only(self, scalar: Any) -> Any:
        """Return the matrix (unknowns, unknowns) of a scalar one (functions, functions) in both warp fields."""
        import scipy.sparse as sp

        own = sp.kron(scalar[self.warped][:, self.warped], sp.identity(2), format="csr")
        return beside(sp.csr_matrix((FIELDS * self.scalar.shape[1],) * 2), own)

    def rows(self, x: Floats, y: Floats, terms: list[tuple[int, int, int, Any]]) -> Any:
        """Return sparse rows (points, unknowns): the sum of field derivatives (field, dx, dy, factor).

        A factor is a number or an array (points,).
        """
        import scipy.sparse as sp

        n, size = len(x), self.grid.count
        cols, vals = [], []
        known: dict[tuple[int, int], tuple[Any, Floats]] = {}
        for field, dx, dy, factor in terms:
            if (dx, dy) not in known:
                known[dx, dy] = self.grid.at(x, y, dx, dy)
            f, v = known[dx, dy]
            cols.append(FIELDS * f + field if field < WARP else FIELDS * size + 2 * f + field - WARP)
            vals.append(v * np.reshape(np.broadcast_to(factor, (n,)), (n, 1)))
        width = 16 * len(terms)
        m = sp.csr_matrix(
            (np.concatenate(vals, axis=1).ravel(), np.concatenate(cols, axis=1).ravel(), np.arange(n + 1) * width),
            shape=(n, (FIELDS + 2) * size),
        )
        return m @ self.keep


def beside(a: Any, b: Any) -> Any:
    """Return two sparse matrices as the blocks of one diagonal, CSR: scipy's own way through triplets is slow."""
    import scipy.sparse as sp

    a, b = a.tocsr(), b.tocsr()
    return sp.csr_matrix(
        (
            np.concatenate([a.data, b.data]),
            np.concatenate([a.indices, b.indices + a.shape[1]]),
            np.concatenate([a.indptr, a.indptr[-1] + b.indptr[1:]]),
        ),
        shape=(a.shape[0] + b.shape[0], a.shape[1] + b.shape[1]),
    )


def face_terms(component: str, height: Any) -> list[tuple[int, int, int, Any]]:
    """Return the terms of a displacement ("x", "y" or "z") at ``height`` above the mid-plane; the warp is left out."""
    return {"x": [(U, 0, 0, 1.0), (A, 0, 0, height)], "y": [(V, 0, 0, 1.0), (B, 0, 0, height)], "z": [(W, 0, 0, 1.0)]}[
        component
    ]


def make_space(grid: Grid, detail: Near | None, warp: Near | None) -> Space:
    """Return the unknowns: fine where ``detail`` says so (everywhere if None), warp fields where ``warp`` says so."""
    import scipy.sparse as sp

    fine = np.arange(grid.count)  # the column of each fine function, -1 if it gave way to coarse ones
    scalar = sp.identity(grid.count, format="csr")
    if detail is not None:
        scalar, fine = _hierarchy(grid, detail)
    plate = sp.kron(scalar, sp.identity(FIELDS), format="csr")
    i, j = grid.places()
    on = np.zeros(grid.count, dtype=bool)
    if warp is not None:
        middle = [np.asarray(a, dtype=np.float64) for a in (i, j)]
        on = warp(grid.x0_mm + (middle[0] - 1) * grid.step_mm, grid.y0_mm + (middle[1] - 1) * grid.step_mm)
    chosen = np.nonzero(on)[0]
    pick = (2 * chosen[:, None] + np.arange(2)).ravel()
    extra = sp.csr_matrix((np.ones(len(pick)), (pick, np.arange(len(pick)))), shape=(2 * grid.count, len(pick)))
    own = np.where(fine[chosen] >= 0, fine[chosen], scalar.shape[1] + np.arange(len(chosen)))
    cluster = np.concatenate([np.repeat(np.arange(scalar.shape[1]), FIELDS), np.repeat(own, 2)])
    return Space(grid, sp.block_diag([plate, extra], format="csr"), scalar, chosen, cluster)


def _hierarchy(grid: Grid, detail: Near) -> tuple[Any, Ints]:
    """Return (functions, kept) and the column of each fine function, -1 where it is not kept.

    Coarse functions where some of their support is unmarked, fine ones where none is.
    """
    import scipy.sparse as sp

    nx, ny = (-(-n // 2) for n in grid.cells)
    living = np.zeros((nx, ny), dtype=bool)
    living[grid.cell_i // 2, grid.cell_j // 2] = True
    cx, cy = np.meshgrid(
        grid.x0_mm + (2 * np.arange(nx) + 1) * grid.step_mm,
        grid.y0_mm + (2 * np.arange(ny) + 1) * grid.step_mm,
        indexing="ij",
    )
    open_ = living & ~detail(cx.ravel(), cy.ravel()).reshape(nx, ny)
    # A coarse function (i, j) lives on the coarse cells i-3..i, j-3..j; a fine one on the fine cells likewise.
    coarse = _any_in_support(open_)
    fine_open = np.repeat(np.repeat(open_, 2, axis=0), 2, axis=1)[: grid.cells[0], : grid.cells[1]]
    fine_cells = np.zeros(grid.cells, dtype=bool)
    fine_cells[grid.cell_i, grid.cell_j] = True
    fine = ~_any_in_support(fine_open & fine_cells) & (grid.number >= 0)
    one_x, one_y = (_two_scale(n, m) for n, m in zip((nx, ny), grid.cells, strict=True))
    big = sp.kron(one_x, one_y, format="csc")[:, np.nonzero(coarse.ravel())[0]]
    number = grid.number.ravel()
    rows = np.nonzero(number >= 0)[0]
    order = rows[np.argsort(number[rows], kind="stable")]
    kept = number[np.nonzero(fine.ravel())[0]]
    small = sp.csc_matrix((np.ones(len(kept)), (kept, np.arange(len(kept)))), shape=(grid.count, len(kept)))
    column = np.full(grid.count, -1, dtype=np.int64)
    column[kept] = big.shape[1] + np.arange(len(kept))
    return sp.hstack([big.tocsr()[order], small], format="csr"), column


def _any_in_support(cells: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """(nx + 3, ny + 3): does a function's 4 x 4 support hold any of ``cells``?"""
    padded = np.pad(cells, 3)
    n, m = cells.shape[0] + 3, cells.shape[1] + 3
    out = np.zeros((n, m), dtype=bool)
    for a in range(4):
        for b in range(4):
            out |= padded[a : a + n, b : b + m]
    return out


def _two_scale(coarse_cells: int, fine_cells: int) -> Any:
    """(fine functions, coarse functions) of one direction; coarse function i starts where fine function 2i - 3 does."""
    import scipy.sparse as sp

    i = np.repeat(np.arange(coarse_cells + 3), 5)
    j = 2 * i - 3 + np.tile(np.arange(5), coarse_cells + 3)
    ok = (j >= 0) & (j < fine_cells + 3)
    v = np.tile(_TWO_SCALE, coarse_cells + 3)
    return sp.csr_matrix((v[ok], (j[ok], i[ok])), shape=(fine_cells + 3, coarse_cells + 3))

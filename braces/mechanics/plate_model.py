"""A plate as a shear-flexible shallow shell on a spline grid: stiffness and mass of the bare plate.

Fields at each function: u, v, w (in-plane and outward, of the mid-plane) and a, b (turn of the normal:
u(z) = u + z a, v(z) = v + z b). Reissner-Mindlin theory with shear correction 5/6, so rolling shear is in it.
Membrane strain of a shallow shell: sym grad(u) - w grad grad(w0) (Donnell, Mushtari, Vlasov). Units mm, N, tonne.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.spline_grid import GAUSS_WEIGHT, Grid, Ints, cell_weights, reference

FIELDS = 5
U, V, W, A, B = range(FIELDS)
SHEAR_CORRECTION = 5 / 6  #: homogeneous rectangle (Reissner 1945)
_GHOST = 1e-7  #: stiffness of the air beside a cut cell, of the wood's, so that no function floats
_CHUNK = 512

Thickness = float | Callable[[Floats, Floats], Floats]


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """The plate's own wood."""

    polygon: Any  #: shapely, in plan
    thickness: Thickness  #: mm, or a function of x and y
    stiffness: Floats  #: (3, 3) plane stress, MPa
    shear: Floats  #: (2, 2) of (xz, yz), MPa
    density_kg_m3: float
    curvature: tuple[float, float, float] = (0.0, 0.0, 0.0)  #: w0,xx w0,yy and 2 w0,xy of the dome, 1/mm

    def thickness_at(self, x: Floats, y: Floats) -> Floats:
        """Thickness at points, mm."""
        return (
            np.full(np.shape(x), self.thickness) if isinstance(self.thickness, (int, float)) else self.thickness(x, y)
        )


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """A patch glued on the plate between the levels ``low_mm`` and ``high_mm`` above the plate's mid-plane."""

    polygon: Any
    stiffness: Floats
    shear: Floats
    density_kg_m3: float
    low_mm: float
    high_mm: float


def _strains(step: float, curvature: tuple[float, float, float]) -> Floats:
    """(49, 8, 80): membrane xx yy xy, bending xx yy xy, shear xz yz at each point of a cell."""
    f, fx, fy = (reference(dx, dy, step) for dx, dy in ((0, 0), (1, 0), (0, 1)))
    z = np.zeros((len(f), 8, 16, FIELDS))
    z[:, 0, :, U], z[:, 1, :, V], z[:, 2, :, U], z[:, 2, :, V] = fx, fy, fy, fx
    for k in range(3):
        z[:, k, :, W] -= curvature[k] * f
    z[:, 3, :, A], z[:, 4, :, B], z[:, 5, :, A], z[:, 5, :, B] = fx, fy, fy, fx
    z[:, 6, :, A], z[:, 6, :, W], z[:, 7, :, B], z[:, 7, :, W] = f, fx, f, fy
    return z.reshape(len(f), 8, 16 * FIELDS)


def _energy(strain: Floats, law: Floats) -> Floats:
    """(49, 6400) strain^T law strain at each point."""
    return np.asarray((strain.transpose(0, 2, 1) @ (law @ strain)).reshape(len(strain), -1))


class Stencil:
    """Sums cell matrices into a block matrix whose rows reach three functions either way."""

    def __init__(self, grid: Grid, fields: int = FIELDS) -> None:
        self._grid = grid
        self._at = grid.cell_functions
        self.blocks = np.zeros((grid.count, 49, fields, fields))

    def add(self, cells: Ints, local: Floats) -> None:
        """Add matrices (c, 16, F, 16, F) of ``cells``; one of shape (1, ...) is shared by all."""
        here = self._at[cells]
        inside = np.zeros(self._grid.count, dtype=bool)
        if len(local) == 1:
            # A function on sixteen equal cells has the same row wherever it stands: it is summed once.
            inside = np.bincount(here.ravel(), minlength=self._grid.count) == 16
        same = np.zeros(self.blocks.shape[1:])
        for p in range(16):
            open_ = ~inside[here[:, p]]
            rows = here[open_, p]
            own = local[:, p] if len(local) == 1 else local[open_, p]
            for q in range(16):
                reach = (q // 4 - p // 4 + 3) * 7 + (q % 4 - p % 4 + 3)
                self.blocks[rows, reach] += own[:, :, q, :]
                if len(local) == 1:
                    same[reach] += local[0, p, :, q, :]
        self.blocks[inside] += same

    def matrix(self) -> Any:
        """Return the sum as a scipy CSR matrix."""
        import scipy.sparse as sp

        i, j = self._grid.places()
        d = np.arange(49)
        padded = np.full((self._grid.number.shape[0] + 6, self._grid.number.shape[1] + 6), -1, dtype=np.int64)
        padded[3:-3, 3:-3] = self._grid.number
        near = padded[i[:, None] + d // 7, j[:, None] + d % 7]
        keep = near >= 0
        start = np.concatenate([[0], np.cumsum(keep.sum(axis=1))])
        n = self._grid.count * self.blocks.shape[2]
        m = sp.bsr_matrix((self.blocks[keep], near[keep], start), shape=(n, n)).tocsr()
        m.eliminate_zeros()
        return m


def scalar_matrix(grid: Grid, cells: Ints, weights: Floats) -> Any:
    """Return the integral of products of two functions, CSR (functions, functions), with weights (c, 49) of cells."""
    f = reference(0, 0, grid.step_mm)
    pair = (f[:, :, None] * f[:, None, :]).reshape(len(f), -1)
    made = Stencil(grid, 1)
    made.add(cells, (weights @ pair).reshape(-1, 16, 1, 16, 1))
    return made.matrix()


#: Which fields a mass moves: by itself, by its lever about the mid-plane, and by that squared.
_MOVED = (np.diag([1.0, 1.0, 1.0, 0.0, 0.0]), np.zeros((FIELDS, FIELDS)), np.diag([0.0, 0.0, 0.0, 1.0, 1.0]))
for _f, _g in ((U, A), (V, B)):
    _MOVED[1][_f, _g] = _MOVED[1][_g, _f] = 1.0


def plate_mass(grid: Grid, sheet: Sheet, layers: tuple[Layer, ...]) -> tuple[tuple[Any, Floats], ...]:
    """Return the mass (tonne) of the bare plate with its patches as (scalar matrix, which fields it couples)."""
    thick = sheet.thickness_at(*grid.gauss_points())
    rho = sheet.density_kg_m3 * 1e-12 * grid.weights
    cells = np.arange(len(thick))
    sums = [scalar_matrix(grid, cells, rho * thick), None, scalar_matrix(grid, cells, rho * thick**3 / 12)]
    for layer in layers:
        own, w = _layer_cells(grid, layer)
        scalar = scalar_matrix(grid, own, layer.density_kg_m3 * 1e-12 * w)
        for k, moment in enumerate(_layer_moments(layer)):
            sums[k] = moment * scalar if sums[k] is None else sums[k] + moment * scalar
    return tuple((s, fields) for s, fields in zip(sums, _MOVED, strict=True) if s is not None)


def plate_stiffness(grid: Grid, sheet: Sheet, layers: tuple[Layer, ...]) -> Any:
    """Return the stiffness (N/mm) of the bare plate with its patches, CSR, 5 x functions each way."""
    stiff = Stencil(grid)
    strain = _strains(grid.step_mm, sheet.curvature)
    laws = [np.zeros((8, 8)) for _ in range(3)]
    laws[0][:3, :3], laws[1][3:6, 3:6], laws[2][6:, 6:] = (
        sheet.stiffness,
        sheet.stiffness,
        sheet.shear * SHEAR_CORRECTION,
    )
    parts = [_energy(strain, law) for law in laws]
    thick = sheet.thickness_at(*grid.gauss_points())
    for cells, one in _alike(grid, thick):
        t, ws = thick[one], _with_ghost(grid, one)
        local = (ws * t) @ parts[0] + (ws * t**3 / 12) @ parts[1] + (ws * t) @ parts[2]
        stiff.add(cells, local.reshape(-1, 16, FIELDS, 16, FIELDS))
    for layer in layers:
        _add_layer(grid, layer, strain, stiff)
    return stiff.matrix()


def warp_mass(grid: Grid, sheet: Sheet) -> Any:
    """Return the mass (tonne) of either warp field, CSR (functions, functions)."""
    thick = sheet.thickness_at(*grid.gauss_points())
    cells = np.arange(len(thick))
    return scalar_matrix(grid, cells, sheet.density_kg_m3 * 1e-12 / 5 * _with_ghost(grid, cells) * thick)


def warp_stiffness(grid: Grid, sheet: Sheet) -> Any:
    """Return the stiffness of an in-plane displacement that goes as P2(2 z / t) through the plate.

    Two fields at each function. It lets the shear that a brace feeds into one face die out over a thickness or so;
    being orthogonal to the other fields in a homogeneous plate it couples to them only through the braces.
    """
    stiff = Stencil(grid, 2)
    f, fx, fy = (reference(dx, dy, grid.step_mm) for dx, dy in ((0, 0), (1, 0), (0, 1)))
    z = np.zeros((len(f), 5, 16, 2))
    z[:, 0, :, 0], z[:, 1, :, 1], z[:, 2, :, 0], z[:, 2, :, 1] = fx, fy, fy, fx
    z[:, 3, :, 0], z[:, 4, :, 1] = f, f
    strain = z.reshape(len(f), 5, 32)
    flat, through = np.zeros((5, 5)), np.zeros((5, 5))
    flat[:3, :3], through[3:, 3:] = sheet.stiffness, sheet.shear
    parts = _energy(strain, flat), _energy(strain, through)
    thick = sheet.thickness_at(*grid.gauss_points())
    for cells, one in _alike(grid, thick):
        t, w = thick[one], _with_ghost(grid, one)
        stiff.add(cells, ((w * t / 5) @ parts[0] + (w * 12 / t) @ parts[1]).reshape(-1, 16, 2, 16, 2))
    return stiff.matrix()


def _with_ghost(grid: Grid, cells: Ints) -> Floats:
    """Weights of cells with a trace of stiffness where they hold no plate."""
    full = np.outer(GAUSS_WEIGHT, GAUSS_WEIGHT).ravel() * grid.step_mm**2
    return grid.weights[cells] + _GHOST * (full - grid.weights[cells])


def _alike(grid: Grid, thick: Floats) -> list[tuple[Ints, Ints]]:
    """Group the cells as (cells, those to compute): whole cells of one thickness share one matrix."""
    area = grid.step_mm**2
    whole = np.abs(grid.weights.sum(axis=1) - area) < 1e-12 * area
    shared = [(np.nonzero(whole)[0], np.nonzero(whole)[0][:1])] if np.ptp(thick) < 1e-12 and whole.any() else []
    rest = np.nonzero(~whole)[0] if shared else np.arange(len(whole))
    chunks = [rest[k : k + _CHUNK] for k in range(0, len(rest), _CHUNK)]
    return shared + [(c, c) for c in chunks]


def _layer_cells(grid: Grid, layer: Layer) -> tuple[Ints, Floats]:
    w = cell_weights(layer.polygon, grid.step_mm, grid.x0_mm, grid.y0_mm, grid.cell_i, grid.cell_j)
    cells = np.nonzero(np.abs(w).sum(axis=1) > 0)[0]
    return cells, w[cells]


def _layer_moments(layer: Layer) -> list[float]:
    low, high = layer.low_mm, layer.high_mm
    return [(high ** (k + 1) - low ** (k + 1)) / (k + 1) for k in range(3)]


def _add_layer(grid: Grid, layer: Layer, strain: Floats, stiff: Stencil) -> None:
    """Classical lamination: stretching, coupling and bending of a patch off the mid-plane (Jones)."""
    cells, w = _layer_cells(grid, layer)
    moments = _layer_moments(layer)
    law = np.zeros((8, 8))
    law[:3, :3] = layer.stiffness * moments[0]
    law[:3, 3:6] = law[3:6, :3] = layer.stiffness * moments[1]
    law[3:6, 3:6] = layer.stiffness * moments[2]
    law[6:, 6:] = layer.shear * moments[0] * SHEAR_CORRECTION
    stiff.add(cells, (w @ _energy(strain, law)).reshape(-1, 16, FIELDS, 16, FIELDS))

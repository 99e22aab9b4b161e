"""A plate with its bars and its rim put together, and solved."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.bar import Bar, Numbering, element_matrices, numbering
from braces.mechanics.bar_ties import Lap, foot_rows, lap_rows
from braces.mechanics.plate_model import Layer, Sheet, plate_matrices, warp_matrices
from braces.mechanics.rim import Rim, rim_stiffness
from braces.mechanics.space import Near, Space, make_space
from braces.mechanics.spline_grid import make_grid


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """How finely a plate is resolved."""

    step_mm: float = 6.0
    coarse: bool = True  #: twice the step where there is no detail
    detail_mm: float = 14.0  #: fine within so much of a brace's side, and of the bridge
    warp_mm: float = 6.0  #: warp fields within so much of a brace's side; negative: none
    element_mm: float = 16.0  #: longest element of a bar
    offset: tuple[float, float] = (0.3, 0.4)  #: of the grid's corner, in steps


@dataclass(frozen=True, slots=True, eq=False)
class BracedPlate:
    """What is to be solved. Lengths mm, forces N."""

    sheet: Sheet
    layers: tuple[Layer, ...]
    bars: tuple[Bar, ...]
    laps: tuple[Lap, ...]
    rim: Rim


@dataclass(frozen=True, slots=True, eq=False)
class Bound:
    """Everything about a plate that does not depend on the heights of its braces."""

    plate: BracedPlate
    space: Space
    base_stiffness: Any  #: plate, patches and rim, in the plate's unknowns
    base_mass: Any
    numbers: tuple[Numbering, ...]
    link: Any  #: sparse (all bars' unknowns, all unknowns): feet follow the plate, the rest stand for themselves


@dataclass(frozen=True, slots=True, eq=False)
class System:
    """Assembled stiffness (N/mm) and mass (tonne), with what made them."""

    bound: Bound
    stiffness: Any
    mass: Any

    @property
    def count(self) -> int:
        """Number of unknowns."""
        return int(self.stiffness.shape[0])


def near_bars(bars: tuple[Bar, ...], reach_mm: float, also: Any = None) -> Near:
    """Return which points lie within ``reach_mm`` of a bar's foot, ends included, or inside the polygon ``also``."""

    def near(x: Floats, y: Floats) -> Any:
        import shapely

        hit = np.zeros(len(x), dtype=bool)
        for bar in bars:
            dx, dy = x - bar.origin_xy_mm[0], y - bar.origin_xy_mm[1]
            s = dx * bar.heading_xy[0] + dy * bar.heading_xy[1]
            n = -dx * bar.heading_xy[1] + dy * bar.heading_xy[0]
            beyond = np.maximum(np.maximum(bar.stations_mm[0] - s, s - bar.stations_mm[-1]), 0)
            hit |= np.hypot(np.maximum(np.abs(n) - bar.width_mm / 2, 0), beyond) < reach_mm
        if also is not None:
            hit |= shapely.contains_xy(also, x, y)
        return hit

    return near


def bind(plate: BracedPlate, mesh: Mesh, also: Any = None) -> Bound:
    """Return the plate without its bars' wood, and how the bars hang on it. ``also``: a polygon to keep fine."""
    import scipy.sparse as sp

    offset = (mesh.offset[0] * mesh.step_mm, mesh.offset[1] * mesh.step_mm)
    grid = make_grid(plate.sheet.polygon, mesh.step_mm, offset)
    detail = near_bars(plate.bars, mesh.detail_mm, also) if mesh.coarse else None
    warp = near_bars(plate.bars, mesh.warp_mm) if mesh.warp_mm >= 0 and plate.bars else None
    space = make_space(grid, detail, warp)
    stiff, mass = plate_matrices(grid, plate.sheet, plate.layers)
    if warp is None:
        none = sp.csr_matrix((2 * grid.count, 2 * grid.count))
        warped = none, none
    else:
        warped = warp_matrices(grid, plate.sheet)
    keep = space.keep
    stiff = keep.T @ sp.block_diag([stiff, warped[0]], format="csr") @ keep
    mass = keep.T @ sp.block_diag([mass, warped[1]], format="csr") @ keep
    stiff = stiff + rim_stiffness(plate.rim, space)
    numbers = tuple(numbering(b) for b in plate.bars)
    feet = [foot_rows(b, plate.sheet, space) for b in plate.bars]
    inner = sum(n.total - n.foot for n in numbers)
    rows, at = [], space.count
    total = space.count + inner
    for foot, n in zip(feet, numbers, strict=True):
        k = n.total - n.foot
        rows.append(sp.csr_matrix((foot.data, foot.indices, foot.indptr), shape=(n.foot, total)))
        rows.append(sp.csr_matrix((np.ones(k), (np.arange(k), at + np.arange(k))), shape=(k, total)))
        at += k
    link = sp.vstack(rows, format="csr") if rows else sp.csr_matrix((0, total))
    return Bound(plate, space, stiff.tocsr(), mass.tocsr(), numbers, link)


def with_bars(bound: Bound, bars: tuple[Bar, ...], laps: tuple[Lap, ...] | None = None) -> Bound:
    """Return the same plate with bars of other heights on the same feet and stations."""
    return replace(bound, plate=replace(bound.plate, bars=bars, laps=bound.plate.laps if laps is None else laps))


def bar_matrices(bound: Bound) -> tuple[Any, Any]:
    """Return (stiffness, mass) of all bars and their glued laps, in the bars' unknowns, sparse."""
    import scipy.sparse as sp

    total = sum(n.total for n in bound.numbers)
    rows, cols, stiff, mass, at = [], [], [], [], 0
    starts = []
    for bar, n in zip(bound.plate.bars, bound.numbers, strict=True):
        k, m = element_matrices(bar)
        e = n.element + at
        rows.append(np.repeat(e, e.shape[1], axis=1).ravel())
        cols.append(np.tile(e, (1, e.shape[1])).ravel())
        stiff.append(k.ravel())
        mass.append(m.ravel())
        starts.append(at)
        at += n.total
    where = (np.concatenate(rows), np.concatenate(cols))
    big = sp.csr_matrix((np.concatenate(stiff), where), shape=(total, total))
    heavy = sp.csr_matrix((np.concatenate(mass), where), shape=(total, total))
    for lap in bound.plate.laps:
        low, up, springs = lap_rows(lap, bound.plate.bars, bound.numbers)
        gap = _placed(low, starts[lap.below], total) - _placed(up, starts[lap.above], total)
        big = big + gap.T @ sp.diags(springs) @ gap
    return big, heavy


def _placed(m: Any, at: int, total: int) -> Any:
    import scipy.sparse as sp

    return sp.csr_matrix((m.data, m.indices + at, m.indptr), shape=(m.shape[0], total))


def assemble(bound: Bound) -> System:
    """Return the assembled system."""
    import scipy.sparse as sp

    n = bound.link.shape[1]
    grow = n - bound.space.count
    empty = sp.csr_matrix((grow, grow))
    stiff = sp.block_diag([bound.base_stiffness, empty], format="csr")
    mass = sp.block_diag([bound.base_mass, empty], format="csr")
    if bound.plate.bars:
        k, m = bar_matrices(bound)
        stiff = stiff + bound.link.T @ (k @ bound.link)
        mass = mass + bound.link.T @ (m @ bound.link)
    return System(bound, stiff.tocsc(), mass.tocsc())


class Factor:
    """A symmetric sparse factorisation, scaled to unit diagonal."""

    def __init__(self, matrix: Any) -> None:
        import scipy.sparse as sp
        import scipy.sparse.linalg as sla

        self._scale = 1 / np.sqrt(matrix.diagonal())
        d = sp.diags(self._scale)
        self._lu = sla.splu(
            (d @ matrix @ d).tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
        )

    def solve(self, b: Floats) -> Floats:
        """Return the solution(s) of matrix x = b."""
        s = self._scale if b.ndim == 1 else self._scale[:, None]
        return np.asarray(s * self._lu.solve(s * b))


def modes(system: System, count: int, rigid: int = 0, factor: Factor | None = None) -> tuple[Floats, Floats]:
    """Return (frequencies Hz ascending (count,), shapes (unknowns, count)), mass-normalised.

    ``rigid`` motions without stiffness are found first and dropped; a plate that is held has none.
    """
    import scipy.sparse.linalg as sla

    shift = -((2 * pi * 20.0) ** 2) if rigid else 0.0
    solver = factor if factor is not None and not rigid else Factor(system.stiffness - shift * system.mass)
    inverse = sla.LinearOperator(
        system.stiffness.shape, matvec=lambda b: solver.solve(np.asarray(b).ravel()), dtype=float
    )
    start = np.ones(system.count)  # a fixed start: results are the same on every run
    k = count + rigid
    values, shapes = sla.eigsh(
        system.stiffness, k=k, M=system.mass, sigma=shift, OPinv=inverse, v0=start, ncv=2 * k + 8
    )
    order = np.argsort(values)[rigid:]
    return np.sqrt(np.maximum(values[order], 0)) / (2 * pi), np.asarray(shapes[:, order])

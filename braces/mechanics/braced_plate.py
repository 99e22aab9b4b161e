"""A plate with its bars and its rim put together, and solved."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.bar import Bar, Numbering, element_parts, numbering
from braces.mechanics.bar_moments import element_matrices
from braces.mechanics.bar_ties import Lap, foot_rows, lap_rows
from braces.mechanics.built import Built, Hanging, hang
from braces.mechanics.cholesky import Cholesky, number_clusters
from braces.mechanics.eigen import lowest
from braces.mechanics.plate_model import Layer, Sheet, plate_mass, plate_stiffness, warp_mass, warp_stiffness
from braces.mechanics.rim import Rim, rim_stiffness
from braces.mechanics.space import Near, Space, beside, make_space
from braces.mechanics.spline_grid import Ints, make_grid


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
    base_stiffness: Any  #: plate, patches and rim, in all unknowns
    base_mass: Any
    numbers: tuple[Numbering, ...]
    link: Any  #: sparse (all bars' unknowns, all unknowns): feet follow the plate, the rest stand for themselves
    hanging: Hanging


@dataclass(frozen=True, slots=True, eq=False)
class System:
    """Stiffness (N/mm) and mass (tonne), with what made them."""

    bound: Bound
    stiffness: Built
    mass: Built

    @property
    def count(self) -> int:
        """Number of unknowns."""
        return self.stiffness.shape[0]


def near_bars(bars: tuple[Bar, ...], reach_mm: float, also: Any = None) -> Near:
    """Return which points lie within ``reach_mm`` of a bar's foot, ends included, or inside the polygon ``also``."""

    def near(x: Floats, y: Floats) -> Any:
        import shapely

        hit = np.zeros(len(x), dtype=bool)
        for bar in bars:
            s, n = bar.course.project(np.stack([x, y], axis=-1))
            beyond = np.maximum(np.maximum(bar.stations_mm[0] - s, s - bar.stations_mm[-1]), 0)
            hit |= np.hypot(np.maximum(np.abs(n) - bar.width_mm / 2, 0), beyond) < reach_mm
        if also is not None:
            hit |= shapely.contains_xy(also, x, y)
        return hit

    return near


def bind(plate: BracedPlate, mesh: Mesh, also: Any = None) -> Bound:
    """Return the plate without its bars' wood, and how the bars hang on it. ``also``: a polygon to keep fine."""

    offset = (mesh.offset[0] * mesh.step_mm, mesh.offset[1] * mesh.step_mm)
    grid = make_grid(plate.sheet.polygon, mesh.step_mm, offset)
    detail = near_bars(plate.bars, mesh.detail_mm, also) if mesh.coarse else None
    warp = near_bars(plate.bars, mesh.warp_mm) if mesh.warp_mm >= 0 and plate.bars else None
    space = make_space(grid, detail, warp)
    stiff, mass = sheet_matrices(space, plate.sheet, plate.layers)
    stiff = stiff + rim_stiffness(plate.rim, space)
    numbers = tuple(numbering(b) for b in plate.bars)
    link = _link(plate, space, numbers)
    total = link.shape[1]
    stiff, mass = _grown(stiff, total), _grown(mass, total)
    element = np.concatenate([n.element + at for n, at in zip(numbers, _starts(numbers), strict=True)] or [_NONE])
    gaps, _ = _laps(plate, numbers, link)
    hanging = hang(
        stiff,
        number_clusters(np.concatenate([space.cluster, _bar_clusters(plate, numbers) + space.count])),
        link[element.ravel()],
        element_parts(),
        len(element),
        gaps,
    )
    return Bound(plate, space, stiff, mass, numbers, link, hanging)


_NONE = np.zeros((0, 1), dtype=np.int64)


def _grown(matrix: Any, total: int) -> Any:
    import scipy.sparse as sp

    more = total - matrix.shape[0]
    return beside(matrix, sp.csr_matrix((more, more)))


def _starts(numbers: tuple[Numbering, ...]) -> list[int]:
    """Where each bar's unknowns start among those of all bars."""
    return [0, *np.cumsum([n.total for n in numbers]).tolist()][: len(numbers)]


def _link(plate: BracedPlate, space: Space, numbers: tuple[Numbering, ...]) -> Any:
    import scipy.sparse as sp

    feet = [foot_rows(b, plate.sheet, space) for b in plate.bars]
    total = space.count + sum(n.total - n.foot for n in numbers)
    rows, at = [], space.count
    for foot, n in zip(feet, numbers, strict=True):
        k = n.total - n.foot
        rows.append(sp.csr_matrix((foot.data, foot.indices, foot.indptr), shape=(n.foot, total)))
        rows.append(sp.csr_matrix((np.ones(k), (np.arange(k), at + np.arange(k))), shape=(k, total)))
        at += k
    return sp.vstack(rows, format="csr") if rows else sp.csr_matrix((0, total))


def _bar_clusters(plate: BracedPlate, numbers: tuple[Numbering, ...]) -> Ints:
    """Return a number for each inner unknown of all bars, the same for all that stand at one station."""
    out, at = [np.zeros(0, dtype=np.int64)], 0
    for bar, n in zip(plate.bars, numbers, strict=True):
        count = len(bar.stations_mm)
        one = np.concatenate([np.arange(count), np.arange(count), np.array(bar.breaks, dtype=np.int64)])
        out.append(at + np.tile(one, (n.total - n.foot) // len(one)))
        at += count
    return np.concatenate(out)


def sheet_matrices(space: Space, sheet: Sheet, layers: tuple[Layer, ...]) -> tuple[Any, Any]:
    """Return (stiffness N/mm, mass tonne) of a plate and its patches in the plate's unknowns, sparse."""
    import scipy.sparse as sp

    grid, many = space.grid, len(space.warped)
    none = sp.csr_matrix((2 * grid.count, 2 * grid.count))
    warp = warp_stiffness(grid, sheet) if many else none
    stiff = space.whole(plate_stiffness(grid, sheet, layers), warp)
    mass = sum(space.of_fields(scalar, fields) for scalar, fields in plate_mass(grid, sheet, layers))
    return stiff, mass + space.warp_only(warp_mass(grid, sheet)) if many else mass


def with_bars(bound: Bound, bars: tuple[Bar, ...], laps: tuple[Lap, ...] | None = None) -> Bound:
    """Return the same plate with bars of other heights on the same feet and stations."""
    return replace(bound, plate=replace(bound.plate, bars=bars, laps=bound.plate.laps if laps is None else laps))


def _laps(plate: BracedPlate, numbers: tuple[Numbering, ...], link: Any) -> tuple[tuple[Any, ...], tuple[Floats, ...]]:
    """Return, of each lap, the rows (places, all unknowns) that give how far its faces part, and their springs."""
    starts, gaps, springs = _starts(numbers), [], []
    for lap in plate.laps:
        low, up, spring = lap_rows(lap, plate.bars, numbers)
        gap = _placed(low, starts[lap.below], link.shape[0]) - _placed(up, starts[lap.above], link.shape[0])
        gaps.append((gap @ link).tocsr())
        springs.append(spring)
    return tuple(gaps), tuple(springs)


def gaps_of(bound: Bound) -> tuple[tuple[Any, ...], tuple[Floats, ...]]:
    """Return, of each lap, the rows (places, all unknowns) that give how far its faces part, and their springs."""
    return _laps(bound.plate, bound.numbers, bound.link)


def _placed(m: Any, at: int, total: int) -> Any:
    import scipy.sparse as sp

    return sp.csr_matrix((m.data, m.indices + at, m.indptr), shape=(m.shape[0], total))


def assemble(bound: Bound) -> System:
    """Return the system of a plate with its bars as they are."""
    parts = [element_matrices(bar) for bar in bound.plate.bars]
    empty = np.zeros((0, 1, 1))
    stiff, heavy = (np.concatenate([p[k] for p in parts]) if parts else empty for k in (0, 1))
    gaps, springs = gaps_of(bound)
    return System(
        bound,
        Built(bound.hanging, bound.base_stiffness, stiff, gaps, springs),
        Built(bound.hanging, bound.base_mass, heavy),
    )


def modes(system: System, count: int, rigid: int = 0, factor: Cholesky | None = None) -> tuple[Floats, Floats]:
    """Return (frequencies Hz ascending (count,), shapes (unknowns, count)), mass-normalised.

    ``rigid`` motions without stiffness are found first and dropped; a plate that is held has none.
    """
    shift = -((2 * pi * 20.0) ** 2) if rigid else 0.0
    if factor is None or rigid:
        factor = system.stiffness.plus(system.mass, -shift).factor()
    values, shapes = lowest(factor.solve, system.mass, count + rigid)
    return np.sqrt(np.maximum(values[rigid:] + shift, 0)) / (2 * pi), shapes[:, rigid:]

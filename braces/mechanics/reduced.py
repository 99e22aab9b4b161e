"""A plate on a small basis of its own movements, with its bars' inner movements left free.

The plate moves as a sum of m shapes; whatever the bars do inside, they do at least energy for it (static
condensation, exact for loads). So a new profile costs small dense work only. For the modes a bar's section moves with
its foot as a rigid one, and each frequency is then mended by Rayleigh's quotient with the bars' full movement.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.bar import FOOT_LINES, Bar, foot_curves, hermite
from braces.mechanics.braced_plate import Bound, gaps_of
from braces.mechanics.cholesky import Cholesky, Pattern, make_pattern, number_clusters
from braces.mechanics.spline_grid import Ints

_S, _SW = np.polynomial.legendre.leggauss(4)
_RIGID = 6  #: s, n, z of the foot's middle; turn about the bar, slope along it, turn in the plan


@dataclass(frozen=True, slots=True, eq=False)
class Inner:
    """How the inner unknowns of all bars are eliminated."""

    first: int  #: number of the plate's unknowns: inner ones follow
    count: int
    scatter: Any  #: sparse (inner unknowns, elements x inner unknowns of one)
    pattern: Pattern
    alone: Ints  #: (elements, i x i) where in a flat element matrix its inner ones stand, in order of elimination


@dataclass(frozen=True, slots=True, eq=False)
class Reduced:
    """A bound plate on a basis."""

    bound: Bound
    inner: Inner
    basis: Floats  #: (plate unknowns, m)
    stiffness: Floats  #: (m, m) of plate, patches and rim
    mass: Floats
    feet: Floats  #: (elements, foot unknowns, m)
    rigid: Floats  #: (elements, 4, 6, m) section's rigid movement at each Gauss point


@dataclass(frozen=True, slots=True, eq=False)
class Condensed:
    """The reduced plate with its bars of one carving."""

    stiffness: Floats  #: (m, m)
    mass: Floats
    factor: Cholesky  #: of the bars' inner unknowns
    held: Floats  #: L^-1 of their coupling to the basis

    def inner(self, small: Floats) -> Floats:
        """Return the inner unknowns (i, k) that go with plate movements (m, k)."""
        return -self.factor.back(self.held @ small)


def make_inner(bound: Bound) -> Inner:
    """Return how the bars of a bound plate are condensed."""
    import scipy.sparse as sp

    hang, first = bound.hanging, bound.space.count
    count = bound.link.shape[1] - first
    own = hang.inner_numbers - first  # (elements, i)
    cliques: list[Ints] = list(own)
    cliques += [found[found >= first] - first for found in (np.unique(g.indices) for g in gaps_of(bound)[0])]
    cluster = number_clusters(hang.cluster[first:])
    pattern = make_pattern(sp.csr_matrix((count, count)), cluster, tuple(cliques))
    turned = hang.inner[np.argsort(pattern.place[own], axis=1, kind="stable")]  # (elements, i)
    size = len(hang.foot) + len(hang.inner)
    alone = (turned[:, :, None] * size + turned[:, None, :]).reshape(len(own), -1)
    flat = own.ravel()
    scatter = sp.csr_matrix((np.ones(len(flat)), (flat, np.arange(len(flat)))), shape=(count, len(flat)))
    return Inner(
        first, count, scatter, replace(pattern, sorting=(*[None] * len(own), *pattern.sorting[len(own) :])), alone
    )


def reduce_to(bound: Bound, inner: Inner, basis: Floats) -> Reduced:
    """Return a bound plate on a ``basis`` (plate unknowns, m) of movements."""
    n, hang = bound.space.count, bound.hanging
    elements = len(hang.feet)
    m = basis.shape[1]
    feet = np.zeros((elements, len(hang.foot), m))
    for e, (foot, plate) in enumerate(zip(hang.feet, hang.feet_numbers, strict=True)):
        feet[e] = foot @ basis[plate]
    base, heavy = bound.base_stiffness[:n, :n], bound.base_mass[:n, :n]
    small = [np.asarray(basis.T @ np.asarray(a @ basis)) for a in (base, heavy)]
    rigid, at = np.zeros((elements, len(_S), _RIGID, m)), 0
    for bar in bound.plate.bars:
        e = bar.elements
        rigid[at : at + e] = np.einsum("epri,eim->eprm", _rigid_rows(bar), feet[at : at + e])
        at += e
    return Reduced(bound, inner, basis, _even(small[0]), _even(small[1]), feet, rigid)


def _even(a: Floats) -> Floats:
    return (a + a.T) / 2


def _rigid_rows(bar: Bar) -> Floats:
    """(elements, 4, 6, foot unknowns): the section's rigid movement from the foot's."""
    length = np.diff(bar.stations_mm)[:, None]
    curve, slope = hermite(np.broadcast_to((_S + 1) / 2, (bar.elements, len(_S))), length)
    value, turn = foot_curves(bar.width_mm)
    lines = len(FOOT_LINES)
    out = np.zeros((bar.elements, len(_S), _RIGID, 3, lines, 4))
    for row, component, across, along in (
        (0, 0, value, curve),
        (1, 1, value, curve),
        (2, 2, value, curve),
        (3, 2, turn, curve),
        (4, 2, value, slope),
        (5, 0, turn, curve),
    ):
        out[:, :, row, component] = across[:, None] * along[:, :, None, :]
    return out.reshape(bar.elements, len(_S), _RIGID, 3 * lines * 4)


def _rigid_mass(bar: Bar, own: Floats) -> Floats:
    """(elements, 4, 6, 6) mass of the sections against their rigid movement, from their moments (e, 4, 49)."""
    rho = bar.density_kg_m3 * 1e-12
    y, z = bar.width_mm / 2, bar.scale_mm
    at = own.reshape(*own.shape[:2], 7, 7)

    def moment(i: int, j: int) -> Floats:
        return np.asarray(rho * y**i * z**j * at[..., i, j])

    # u_s = s + y turn_in_plan - z slope; u_n = n - z turn; u_z = z0 + y turn
    parts: tuple[tuple[tuple[int, int, int, float], ...], ...] = (
        ((0, 0, 0, 1.0), (5, 1, 0, 1.0), (4, 0, 1, -1.0)),
        ((1, 0, 0, 1.0), (3, 0, 1, -1.0)),
        ((2, 0, 0, 1.0), (3, 1, 0, 1.0)),
    )
    out = np.zeros((*own.shape[:2], _RIGID, _RIGID))
    for part in parts:
        for a, i, j, f in part:
            for b, k, q, g in part:
                out[..., a, b] += f * g * moment(i + k, j + q)
    return out


def condense(
    reduced: Reduced, elements: Floats, own: list[Floats], gaps: tuple[Any, ...], springs: tuple[Floats, ...]
) -> Condensed:
    """Return the reduced plate with bars of ``elements`` (stiffness), moments ``own`` and glued laps."""
    hang, inner = reduced.bound.hanging, reduced.inner
    foot, within = hang.foot, hang.inner
    count, m = len(elements), reduced.basis.shape[1]
    feet = reduced.feet
    alone = np.take_along_axis(elements.reshape(count, -1), inner.alone, axis=1).reshape(count, len(within), -1)
    pushed = np.matmul(elements[:, foot[:, None], foot], feet)
    stiff = reduced.stiffness + feet.reshape(-1, m).T @ pushed.reshape(-1, m)
    coupled = np.matmul(elements[:, within[:, None], foot], feet)
    load = np.asarray(inner.scatter @ coupled.reshape(-1, m))
    held = []
    for gap, spring in zip(gaps, springs, strict=True):
        moved, at = np.asarray(gap[:, : inner.first] @ reduced.basis), gap[:, inner.first :]
        stiff = stiff + moved.T @ (spring[:, None] * moved)
        load = load + at.T @ (spring[:, None] * moved)
        tight = at[:, np.unique(at.indices)].toarray()
        held.append(tight.T @ (spring[:, None] * tight))

    def clique(k: int) -> Floats:
        return np.asarray(alone[k] if k < count else held[k - count])

    factor = Cholesky(None, inner.pattern, clique)
    half = factor.half(load)
    heavy = np.concatenate([_rigid_mass(b, q) for b, q in zip(reduced.bound.plate.bars, own, strict=True)])
    moving = np.matmul(heavy, reduced.rigid)
    mass = reduced.mass + reduced.rigid.reshape(-1, m).T @ moving.reshape(-1, m)
    return Condensed(_even(stiff - half.T @ half), _even(mass), factor, half)

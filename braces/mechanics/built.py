"""A plate's matrix as it is built: a sparse part of the plate's own, and the dense elements of its bars.

The elements stay dense: they act on vectors through the rows that hang them on the plate, and go into the
factorisation as cliques, so that the large sparse sum of both is made only when somebody asks for it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.cholesky import Cholesky, Pattern, make_pattern
from braces.mechanics.spline_grid import Ints


@dataclass(frozen=True, slots=True, eq=False)
class Hanging:
    """How all elements of all bars hang on a plate, and in which order the whole is best solved."""

    rows: Any  #: sparse, (elements x unknowns of one, unknowns): an element's own unknowns from the system's
    feet: tuple[Floats, ...]  #: of each element: (its foot unknowns, the plate unknowns they follow)
    feet_numbers: tuple[Ints, ...]  #: which plate unknowns those are
    inner_numbers: Ints  #: (elements, i) which of all unknowns an element's inner ones are
    cluster: Ints  #: (n,) which unknowns stand at one place
    foot: Ints  #: (f,) which of an element's unknowns belong to its foot
    inner: Ints  #: (i,) which do not
    pattern: Pattern  #: a clique for each element, its plate unknowns first, then one for each lap


@dataclass(frozen=True, slots=True, eq=False)
class Built:
    """A symmetric matrix: base + elements + gap^T springs gap."""

    hanging: Hanging
    base: Any  #: sparse (n, n)
    elements: Floats  #: (elements, u, u)
    gaps: tuple[Any, ...] = ()  #: of each lap: sparse (places, n), how far its faces part
    springs: tuple[Floats, ...] = ()  #: of each lap: (places,) N/mm

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return int(self.base.shape[0]), int(self.base.shape[0])

    def __matmul__(self, x: Floats) -> Floats:
        """Return the product with a vector (n,) or with columns (n, k)."""
        count, size, _ = self.elements.shape
        wide = x.reshape(len(x), -1)
        out = np.asarray(self.base @ wide)
        if count:
            moved = np.asarray(self.hanging.rows @ wide).reshape(count, size, -1)
            pushed = np.matmul(self.elements, moved).reshape(count * size, -1)
            out = out + self.hanging.rows.T @ pushed
        for gap, spring in zip(self.gaps, self.springs, strict=True):
            out = out + gap.T @ (spring[:, None] * (gap @ wide))
        return np.asarray(out).reshape(x.shape)

    def plus(self, other: Built, factor: float) -> Built:
        """Return this + factor x other, both of one plate; the springs of one of them only may be there."""
        assert not (self.springs and other.springs)
        return replace(
            self,
            base=(self.base + factor * other.base).tocsr(),
            elements=self.elements + factor * other.elements,
            gaps=self.gaps or other.gaps,
            springs=self.springs or tuple(factor * s for s in other.springs),
        )

    def clique(self, k: int) -> Floats:
        """Return the k-th clique's dense matrix: of an element, then of a lap."""
        if k >= len(self.elements):
            gap = self.gaps[k - len(self.elements)]
            held = gap[:, np.unique(gap.indices)].toarray()
            return np.asarray(held.T @ (self.springs[k - len(self.elements)][:, None] * held))
        h, own = self.hanging, self.elements[k]
        foot = h.feet[k]
        c, i = foot.shape[1], len(h.inner)
        out = np.empty((c + i, c + i))
        out[:c, :c] = foot.T @ (own[np.ix_(h.foot, h.foot)] @ foot)
        out[:c, c:] = foot.T @ own[np.ix_(h.foot, h.inner)]
        out[c:, :c] = out[:c, c:].T
        out[c:, c:] = own[np.ix_(h.inner, h.inner)]
        return out

    def tocsc(self) -> Any:
        """Return the whole as one scipy CSC matrix."""
        import scipy.sparse as sp

        out = self.base.tocsr()
        count, size, _ = self.elements.shape
        if count:
            blocks = sp.bsr_matrix(
                (self.elements, np.arange(count), np.arange(count + 1)), shape=(count * size, count * size)
            )
            out = out + self.hanging.rows.T @ (blocks.tocsr() @ self.hanging.rows)
        for gap, spring in zip(self.gaps, self.springs, strict=True):
            out = out + gap.T @ sp.diags(spring) @ gap
        return out.tocsc()

    def factor(self) -> Cholesky:
        """Return the factorisation. Raises ValueError unless the matrix is positive definite."""
        return Cholesky(self.base, self.hanging.pattern, self.clique)


def hang(base: Any, cluster: Ints, rows: Any, parts: tuple[Ints, Ints], count: int, gaps: tuple[Any, ...]) -> Hanging:
    """Return how ``count`` elements hang on a plate.

    ``parts``: which of an element's unknowns are foot, and inner, ones. Only the pattern of ``base`` and of the laps'
    ``gaps`` matters.
    """
    foot, inner = parts
    size = len(foot) + len(inner)
    feet, numbers, own_inner, cliques = [], [], [], []
    for e in range(count):
        own = rows[e * size : (e + 1) * size]
        held = own[foot]
        plate = np.unique(held.indices)
        feet.append(np.asarray(held[:, plate].toarray()))
        numbers.append(plate)
        own_inner.append(own[inner].indices)
        cliques.append(np.concatenate([plate, own_inner[-1]]))
    cliques += [np.unique(gap.indices) for gap in gaps]
    pattern = make_pattern(base, cluster, tuple(cliques))
    within = np.array(own_inner, dtype=np.int64).reshape(count, len(inner))
    return Hanging(rows, tuple(feet), tuple(numbers), within, cluster, foot, inner, pattern)

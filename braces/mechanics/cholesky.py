"""A sparse symmetric factorisation, L L^T, made for plates: many unknowns share one place, and fronts are dense.

Unknowns come in clusters (the fields of one spline, the functions of one station of a bar). Clusters, not unknowns,
are ordered, by the minimum-degree rule; clusters that see the same others are eliminated together as one dense front
(multifrontal method; Duff and Reid 1983, from memory), so the work is done by LAPACK on big blocks. The order depends
on the pattern only, so one ``Pattern`` serves every matrix in which the same clusters touch. A matrix is a sparse one
and dense cliques, which never need to be made sparse.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Floats
from braces.mechanics.spline_grid import Ints

_FEW = 160  #: a front with fewer pivots joins the one above it more readily: small blocks waste LAPACK
_PADDING = (0.2, 0.03)  #: share of stored zeros that is worth it, for fronts of few and of many pivots
_MOST_RUNS = 60  #: a child's rows that fall into so few runs are added run by run, else by index


@dataclass(frozen=True, slots=True, eq=False)
class Fitting:
    """Where the rows of a smaller dense matrix go in a front: run by run, or by index if the runs are many."""

    runs: tuple[tuple[slice, slice], ...]  #: (rows of the smaller one, rows of the front)
    rows: Ints | None

    def add(self, dense: Floats, small: Floats) -> None:
        """Add the lower triangle of a matrix to that of a front."""
        if self.rows is not None:
            dense.T[np.ix_(self.rows, self.rows)] += small.T
            return
        for i, (from_column, column) in enumerate(self.runs):
            for from_row, row in self.runs[i:]:
                dense[row, column] += small[from_row, from_column]


@dataclass(frozen=True, slots=True, eq=False)
class Front:
    """One dense step: ``pivots`` first, then the rows they leave behind, all in the order of elimination."""

    start: int  #: first pivot
    pivots: int
    below: Ints  #: (r,) later unknowns that the pivots touch, ascending
    children: tuple[tuple[int, Fitting], ...]
    cliques: tuple[tuple[int, Fitting], ...]  #: those whose first unknown is among the pivots


@dataclass(frozen=True, slots=True, eq=False)
class Pattern:
    """The order of elimination of a matrix."""

    order: Ints  #: (n,) unknown that is eliminated at each step
    place: Ints  #: (n,) step at which each unknown is eliminated
    fronts: tuple[Front, ...]
    sorting: tuple[Ints | None, ...]  #: in which order a clique's own unknowns are eliminated; None: as they come


def make_pattern(matrix: Any, cluster: Ints, cliques: tuple[Ints, ...] = ()) -> Pattern:
    """Return the order of elimination of a symmetric sparse (CSR or CSC) matrix and cliques of its unknowns.

    ``cluster`` (n,): the number of each unknown's cluster, 0, 1, 2 ..
    """
    near = _touching(matrix, cluster, cliques)
    weight = np.bincount(cluster)
    sequence = _minimum_degree(near)
    groups = _fronts(near, weight, sequence)
    members = np.split(np.argsort(cluster, kind="stable"), np.cumsum(weight)[:-1])
    order = np.concatenate([members[c] for pivots, _, _ in groups for c in pivots])
    place = np.empty(len(order), dtype=np.int64)
    place[order] = np.arange(len(order))
    sorting = tuple(np.argsort(place[c]) for c in cliques)
    steps = tuple(place[c][s] for c, s in zip(cliques, sorting, strict=True))
    first = np.array([int(c.min()) for c in steps], dtype=np.int64)
    fronts: list[Front] = []
    start = 0
    for pivots, below, children in groups:
        size = int(weight[pivots].sum())
        rows = np.sort(np.concatenate([place[members[c]] for c in below])) if below else np.zeros(0, dtype=np.int64)
        every = np.concatenate([start + np.arange(size), rows])
        own = np.flatnonzero((first >= start) & (first < start + size)).tolist()
        fronts.append(
            Front(
                start,
                size,
                rows,
                tuple((c, _fitting(every, fronts[c].below)) for c in children),
                tuple((c, _fitting(every, steps[c])) for c in own),
            )
        )
        start += size
    plain = tuple(None if (np.diff(s) > 0).all() else s for s in sorting)
    return Pattern(order, place, tuple(fronts), plain)


def _fitting(every: Ints, some: Ints) -> Fitting:
    """Return where the steps ``some`` lie among the steps ``every`` of a front, both ascending."""
    rows = np.searchsorted(every, some)
    cuts = np.flatnonzero(np.diff(rows) != 1) + 1
    if len(cuts) >= _MOST_RUNS:
        return Fitting((), rows)
    ends = [0, *cuts.tolist(), len(rows)]
    return Fitting(
        tuple((slice(a, b), slice(int(rows[a]), int(rows[a]) + b - a)) for a, b in itertools.pairwise(ends)), None
    )


def _touching(matrix: Any, cluster: Ints, cliques: tuple[Ints, ...]) -> list[Ints]:
    """Return, for each cluster, the other clusters that it touches."""
    count = int(cluster.max()) + 1
    of = cluster[matrix.indices]
    by_cluster = np.split(np.argsort(cluster, kind="stable"), np.cumsum(np.bincount(cluster))[:-1])
    ptr = matrix.indptr
    shared: list[list[Ints]] = [[] for _ in range(count)]
    for clique in cliques:
        together = np.unique(cluster[clique])
        for c in together:
            shared[c].append(together)
    out = []
    hit = np.zeros(count, dtype=bool)
    for own, rows in enumerate(by_cluster):
        for r in rows:
            hit[of[ptr[r] : ptr[r + 1]]] = True
        for together in shared[own]:
            hit[together] = True
        hit[own] = False
        found = np.flatnonzero(hit)
        hit[found] = False
        out.append(found)
    return out


def _minimum_degree(near: list[Ints]) -> Ints:
    """Return the clusters in the order of elimination: SuperLU's minimum degree on the graph of clusters."""
    import scipy.sparse as sp
    import scipy.sparse.linalg as sla

    count = len(near)
    rows = np.repeat(np.arange(count), [len(a) for a in near])
    cols = np.concatenate([*near, np.zeros(0, dtype=np.int64)])
    graph = sp.csc_matrix((np.full(len(rows), -1.0), (rows, cols)), shape=(count, count))
    graph = (graph + sp.diags(np.array([len(a) + 1.0 for a in near]))).tocsc()
    lu = sla.splu(graph, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    return np.argsort(lu.perm_c)


def _fronts(near: list[Ints], weight: Ints, sequence: Ints) -> list[tuple[list[int], list[int], list[int]]]:
    """Return (pivots, below, children) of each front in order of elimination; pivots and below are clusters.

    Fronts of single clusters first, by the elimination tree; then each joins its parent where that costs few zeros.
    """
    count = len(sequence)
    step = np.empty(count, dtype=np.int64)
    step[sequence] = np.arange(count)
    below: list[set[int]] = [set() for _ in range(count)]  # by step
    parent = np.full(count, -1)
    kids: list[list[int]] = [[] for _ in range(count)]
    for k in range(count):
        later = step[near[sequence[k]]]
        rest = set(later[later > k].tolist())
        for c in kids[k]:
            rest |= below[c]
        rest.discard(k)
        below[k] = rest
        if rest:
            parent[k] = min(rest)
            kids[parent[k]].append(k)
    heavy = weight[sequence]
    return _joined(below, kids, heavy, sequence)


def _joined(
    below: list[set[int]], kids: list[list[int]], heavy: Ints, sequence: Ints
) -> list[tuple[list[int], list[int], list[int]]]:
    count = len(below)
    pivots = [[k] for k in range(count)]
    size = heavy.astype(np.int64).copy()  # of the pivots of the front that ends in each step
    rest = np.array([int(heavy[list(b)].sum()) if b else 0 for b in below])
    waste = np.zeros(count)
    for k in range(count):
        for c in sorted(kids[k], key=lambda c: (-rest[c], c)):
            # What the child stores more when its pivots get all rows of its parent's front.
            more = size[c] * (size[k] + rest[k] - rest[c]) + waste[c] + waste[k]
            whole = (size[c] + size[k]) * (size[c] + size[k] + rest[k])
            allowed = _PADDING[0] if min(size[c], size[k]) < _FEW else _PADDING[1]
            if more <= allowed * whole and (more == 0 or size[c] + size[k] < 6 * _FEW):
                pivots[k] = pivots[c] + pivots[k]
                kids[k] = [x for x in kids[k] if x != c] + kids[c]
                size[k] += size[c]
                waste[k] = more
                size[c] = 0
    roots = [k for k in range(count) if size[k] and not below[k]]
    visit: list[int] = []
    stack = [(r, False) for r in reversed(roots)]
    while stack:
        k, ready = stack.pop()
        if ready:
            visit.append(k)
        else:
            stack.append((k, True))
            stack += [(c, False) for c in reversed(kids[k])]
    number = {k: i for i, k in enumerate(visit)}
    return [
        (
            [int(sequence[p]) for p in pivots[k]],
            [int(sequence[b]) for b in sorted(below[k])],
            [number[c] for c in kids[k]],
        )
        for k in visit
    ]


class Cholesky:
    """The factor of one symmetric positive definite matrix. Raises ValueError for a matrix that is not."""

    def __init__(self, matrix: Any | None, pattern: Pattern, clique: Callable[[int], Floats] | None = None) -> None:
        """``matrix`` sparse, or None for cliques alone; ``clique(k)`` gives the k-th one's own dense matrix."""
        self._pattern = pattern
        self._parts = _factorise(matrix, pattern, clique)

    def solve(self, b: Floats) -> Floats:
        """Return the solution(s) of matrix x = b, for b of shape (n,) or (n, k)."""
        return self.back(self.half(b))

    def half(self, b: Floats) -> Floats:
        """Return y = L^-1 b in the order of elimination: y^T y is b^T x of the solution."""
        x = np.array(b[self._pattern.order], dtype=np.float64)
        for front, (own, low) in zip(self._pattern.fronts, self._parts, strict=True):
            part = slice(front.start, front.start + front.pivots)
            x[part] = own @ x[part]
            if len(front.below):
                x[front.below] -= low @ x[part]
        return x

    def back(self, y: Floats) -> Floats:
        """Return the solution(s) from what ``half`` gave."""
        x = y.copy()
        for front, (own, low) in zip(reversed(self._pattern.fronts), reversed(self._parts), strict=True):
            part = slice(front.start, front.start + front.pivots)
            if len(front.below):
                x[part] -= low.T @ x[front.below]
            x[part] = own.T @ x[part]
        return np.asarray(x[self._pattern.place])


def _factorise(
    matrix: Any | None, pattern: Pattern, clique: Callable[[int], Floats] | None
) -> list[tuple[Floats, Floats]]:
    """Return, for each front, (inverse of the pivots' triangle, the rows below)."""
    from scipy.linalg import blas, lapack

    local = np.zeros(len(pattern.order), dtype=np.int64)
    left: dict[int, Floats] = {}
    out = []
    for k, front in enumerate(pattern.fronts):
        p, size = front.pivots, front.pivots + len(front.below)
        dense = np.zeros((size, size), order="F")
        if matrix is not None:
            local[front.start : front.start + p] = np.arange(p)
            local[front.below] = np.arange(p, size)
            _load(dense, matrix, pattern, front, local)
        for c, fitting in front.cliques:
            assert clique is not None
            own, sorting = clique(c), pattern.sorting[c]
            fitting.add(dense, (own if sorting is None else own[sorting[:, None], sorting]).T)
        for c, fitting in front.children:
            fitting.add(dense, left.pop(c))
        head, info = lapack.dpotrf(dense[:p, :p], lower=1, clean=1)
        if info:
            raise ValueError("the matrix is not positive definite")
        inverse, _ = lapack.dtrtri(head, lower=1)
        if size > p:
            low = blas.dtrsm(1.0, head, dense[p:, :p], side=1, lower=1, trans_a=1)
            left[k] = blas.dsyrk(-1.0, low, beta=1.0, c=dense[p:, p:], lower=1)
        else:
            low = np.zeros((0, p))
        out.append((inverse, low))
    return out


def _load(dense: Floats, matrix: Any, pattern: Pattern, front: Front, local: Ints) -> None:
    """Put the matrix's own entries of the pivots' columns into the front's lower triangle."""
    ptr = matrix.indptr
    unknowns = pattern.order[front.start : front.start + front.pivots]
    begin, many = ptr[unknowns], ptr[unknowns + 1] - ptr[unknowns]
    at = np.repeat(begin - np.concatenate([[0], np.cumsum(many)[:-1]]), many) + np.arange(int(many.sum()))
    column = np.repeat(np.arange(front.pivots), many)
    row = pattern.place[matrix.indices[at]]
    keep = row >= front.start + column
    flat = dense.reshape(-1, order="F")
    flat[column[keep] * dense.shape[0] + local[row[keep]]] = matrix.data[at[keep]]


def number_clusters(keys: NDArray[Any]) -> Ints:
    """Return cluster numbers 0, 1, 2 .. from any integer keys (n,), equal where the keys are."""
    return np.unique(keys, return_inverse=True)[1].astype(np.int64).ravel()

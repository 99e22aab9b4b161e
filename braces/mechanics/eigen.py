"""The lowest modes of a symmetric pair, from its inverse: blocks of vectors, so that the work is on dense blocks.

Block Krylov space of K^-1 M with full orthogonalisation in the mass (shift-invert block Lanczos; Grimes, Lewis and
Simon 1994, from memory). The start is fixed, so results are the same on every run.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from braces.base.arrays import Floats

_MORE = 4  #: a block is so many vectors wider than the modes that are asked
_WIDEST = 14  #: widest block: past this more steps of a narrower one are quicker
_CLOSE = 1e-9  #: of an eigenvalue, the bound at which it has settled
_STEPS = 60


def lowest(
    solve: Callable[[Floats], Floats], mass: Any, count: int, start: Floats | None = None
) -> tuple[Floats, Floats]:
    """Return (eigenvalues ascending (count,), vectors (n, count)) of K x = value M x; ``solve`` applies K^-1.

    ``start`` (n, k): vectors near the ones sought, if there are any. Vectors are orthonormal in the mass. Raises
    ArithmeticError if they do not settle.
    """
    n = mass.shape[0]
    width = min(count + _MORE, _WIDEST, n)
    block = np.random.default_rng(1).standard_normal((n, width)) if start is None else start
    kept: list[Floats] = []
    heavy: list[Floats] = []  # M times them
    small = np.zeros((0, 0))
    block = solve(np.asarray(mass @ block))
    for _ in range(_STEPS):
        block, pushed = _orthonormal(block, mass, kept, heavy)
        kept.append(block)
        heavy.append(pushed)
        grown = solve(pushed)
        old = len(small)
        column = np.concatenate([h.T @ grown for h in heavy])
        bigger = np.zeros((len(column), len(column)))
        bigger[:old, :old] = small
        bigger[:, old:] = column
        bigger[old:, :old] = column[:old].T
        small = (bigger + bigger.T) / 2
        rest = grown - sum(q @ column[i : i + q.shape[1]] for q, i in zip(kept, _offsets(kept), strict=True))
        if len(small) >= count:
            values, turned = np.linalg.eigh(small)
            values, turned = values[::-1][:count], turned[:, ::-1][:, :count]
            # What the last block still adds: the residual of each pair in the mass norm.
            tail = rest @ turned[old:]
            gap = np.sqrt(np.abs(np.einsum("ij,ij->j", tail, np.asarray(mass @ tail))))
            if (gap**2 <= (_CLOSE * np.abs(values)) * np.abs(values)).all() or len(small) >= n:
                found = sum(q @ turned[i : i + q.shape[1]] for q, i in zip(kept, _offsets(kept), strict=True))
                return 1 / values, np.asarray(found)
        block = rest
    raise ArithmeticError("the modes did not settle")


def _offsets(parts: list[Floats]) -> list[int]:
    return [0, *np.cumsum([p.shape[1] for p in parts]).tolist()][: len(parts)]


def _orthonormal(block: Floats, mass: Any, kept: list[Floats], heavy: list[Floats]) -> tuple[Floats, Floats]:
    """Return (the block made orthonormal to all before and in itself, M times it)."""
    for _ in range(2):
        for q, h in zip(kept, heavy, strict=True):
            block = block - q @ (h.T @ block)
        pushed = np.asarray(mass @ block)
        gram = block.T @ pushed
        values, turned = np.linalg.eigh((gram + gram.T) / 2)
        good = values > 1e-13 * max(float(values[-1]), 1e-300)
        turned = turned[:, good] / np.sqrt(values[good])
        block, pushed = block @ turned, pushed @ turned
    return block, pushed

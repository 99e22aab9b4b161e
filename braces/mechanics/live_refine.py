"""One step from the live answer to the full solution: all unknowns, the first factorisation, no new one.

What the live answer leaves unbalanced is put on the plate as first carved; the answer sought lies close to the space
of both (a step of the locally optimal block method of Knyazev 2001, from memory, for loads and modes at once).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.analyse import Solved
from braces.mechanics.built import Built
from braces.mechanics.live_basis import Ready

_LEAST = 1e-12  #: of the greatest: directions with less energy than that are the rounding of others


@dataclass(frozen=True, slots=True, eq=False)
class Refined:
    """The answer in all unknowns."""

    deflection: Floats | None
    turn_rad: float | None
    hertz: Floats
    shapes: Floats


def refined(first: Solved, carving: Ready, still: Floats, shapes: Floats) -> Refined:
    """Return the answer one step on from movements in all unknowns.

    ``still`` (n, 0 or 2): under the strings, and of the adjoint; ``shapes`` (n, modes).
    """
    assert first.factor is not None
    hang, bound = carving.bound.hanging, carving.bound
    stiff = Built(hang, bound.base_stiffness, carving.stiffness, carving.gaps, carving.springs)
    heavy = Built(hang, bound.base_mass, carving.mass)
    k, count = still.shape[1], shapes.shape[1]
    pushes = np.zeros((len(shapes), 0))
    if k and first.load is not None and first.turn is not None:
        pushes = np.column_stack([first.load, first.turn])
    moved = np.column_stack([still, shapes])
    held, carried = stiff @ moved, heavy @ moved
    value = np.einsum("ij,ij->j", shapes, held[:, k:]) / np.einsum("ij,ij->j", shapes, carried[:, k:])
    left = held.copy()
    left[:, :k] -= pushes
    left[:, k:] -= value * carried[:, k:]
    step = first.factor.solve(left)
    both = np.column_stack([moved, step])
    k_both, m_both = np.column_stack([held, stiff @ step]), np.column_stack([carried, heavy @ step])
    turned = _orthonormal(both, k_both)
    small = turned.T @ (both.T @ m_both) @ turned
    lower, mixed = np.linalg.eigh((small + small.T) / 2)
    mixed, inverse = mixed[:, ::-1][:, :count], lower[::-1][:count]
    found = both @ (turned @ mixed) / np.sqrt(inverse)
    hertz = 1 / np.sqrt(inverse) / (2 * pi)
    if not k:
        return Refined(None, None, hertz, found)
    deflection = both @ (turned @ (turned.T @ (both.T @ pushes[:, 0])))
    return Refined(deflection, float(pushes[:, 1] @ deflection), hertz, found)


def _orthonormal(both: Floats, held: Floats) -> Floats:
    """Return what turns ``both`` into movements of unit energy, each doing no work on the others."""
    gram = both.T @ held
    scale = 1 / np.sqrt(np.diag(gram))
    values, turned = np.linalg.eigh(scale[:, None] * (gram + gram.T) / 2 * scale)
    good = values > _LEAST * values[-1]
    return np.asarray(scale[:, None] * turned[:, good] / np.sqrt(values[good]))

"""Which mode of one plate is which of another: by shape, not by number."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.values import PlateStrength, Shape

_ALIKE = 0.5  #: modal assurance below which two shapes are not called the same


@dataclass(frozen=True, slots=True)
class Pair:
    """A mode of the first plate, that of the second which moves most like it, counted from 1, and how much alike."""

    first: int
    second: int | None
    alike_ratio: float  #: modal assurance criterion: 1 for the same shape


def paired_modes(first: PlateStrength, second: PlateStrength) -> tuple[Pair, ...]:
    """Return every mode of the first plate with its like on the second, bodies stretched onto each other.

    Modal assurance over the plan, (a.b)^2 / (a.a b.b) (Allemang and Brown 1982); pairs so that all together are most
    alike; a mode without a like stands alone.
    """
    from scipy.optimize import linear_sum_assignment

    if not first.modes or not second.modes:
        return ()
    table = np.array([[_assurance(a.shape, b.shape) for b in second.modes] for a in first.modes])
    rows, columns = linear_sum_assignment(-table)
    like = {int(i): int(j) for i, j in zip(rows, columns, strict=True)}
    found = []
    for i in range(len(first.modes)):
        j = like.get(i)
        alike = 0.0 if j is None else float(table[i, j])
        found.append(Pair(i + 1, None if j is None or alike < _ALIKE else j + 1, alike))
    return tuple(found)


def _assurance(a: Shape, b: Shape) -> float:
    stretched = b.value[np.ix_(_nearest(a.x_mm, b.x_mm), _nearest(a.y_mm, b.y_mm))]
    both = np.isfinite(a.value) & np.isfinite(stretched)
    u, v = a.value[both], stretched[both]
    power = float(u @ u) * float(v @ v)
    return float(u @ v) ** 2 / power if power > 0 else 0.0


def _nearest(of: Floats, among: Floats) -> list[int]:
    """For each place of one even grid the nearest of another, the first stretched to the ends of the second."""
    if len(of) < 2 or len(among) < 2:
        return [0] * len(of)
    return [round(float(k)) for k in np.linspace(0, len(among) - 1, len(of))]

"""The range of a solved number from the bounds that were measured."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Protocol

import numpy as np

if TYPE_CHECKING:
    from braces.mechanics.values import Bound, Shape

STATEMENT = "A model, not a promise: bring a new top up to pitch slowly."


class Bounded(Protocol):
    """Numbers that say how far they may be off: a ``Strength``, or the figures of a live model."""

    @property
    def bounds(self) -> tuple[Bound, ...]:
        """The bounds of the grid they were solved on."""


@cache
def formula_bounds() -> tuple[Bound, ...]:
    """Return how far the numbers of single braces may be off as evaluations of their formulas."""
    from braces.mechanics.values import Bound

    text = files("braces.mechanics").joinpath("data", "formula_bounds.toml").read_text(encoding="utf-8")
    return tuple(Bound(r["quantity"], r["low"], r["high"], r["measured_on"]) for r in tomllib.loads(text)["bounds"])


def bound(strength: Bounded, quantity: str) -> Bound | None:
    """Return how far numbers of a kind may be off, or None if that was not measured."""
    return next((b for b in strength.bounds if b.quantity == quantity), None)


def mode_bound(strength: Bounded, number: int) -> Bound | None:
    """Return the bound of a mode's frequency, the first mode being 1."""
    return bound(strength, "mode 1" if number == 1 else "modes 2 to 10")


def limits(value: float, of: Bound) -> tuple[float, float]:
    """Return the least and the greatest that the exact solution may be: a number may be too high, or too low."""
    ends = (value * (1 - of.high_ratio), value * (1 + of.low_ratio))
    return min(ends), max(ends)


def extreme(shape: Shape, sign: int) -> tuple[float, float, float]:
    """Return (value, x, y) where sign times a field is greatest."""
    index = int(np.nanargmax(sign * shape.value))
    i, j = np.unravel_index(index, shape.value.shape)
    return float(shape.value[i, j]), float(shape.x_mm[i]), float(shape.y_mm[j])

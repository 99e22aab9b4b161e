"""Turned round: which heights give the number that is wanted.

Of all heights that reach it within their limits those are taken that change least from what the maker drew: the sum of
the squares of all changes is smallest. So wood moves where it does most, and what does little for the aim stays as it
is. Each step solves the plate, asks for the derivatives, and goes to the least change that would reach the aim if they
held all the way; a step that cannot be made, or leads away, is halved.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Floats

_STEPS = 12
_HALVINGS = 6
_NO_SAY_FRACTION = 0.02  #: of the strongest slope: a height that does less has other work, which this aim does not see


Trial = tuple[float, Floats]  #: value in the aim's unit, and its change (n,) for each mm of each height
#: Solves for heights in mm (n,); None if braces of those heights cannot be made.
Attempt = Callable[[Floats], Trial | None]


@dataclass(frozen=True, slots=True, eq=False)
class Reached:
    """The heights found, (n,) mm, what they give, and whether that is the aim."""

    heights_mm: Floats
    trial: Trial
    met: bool


def least_change(slope: Floats, wanted: float, low_mm: Floats, high_mm: Floats) -> Floats:
    """Return the changes x (n,) of least sum of squares with slope . x = wanted, low <= x <= high.

    If the limits do not let it be reached, the changes that come nearest. Zero must lie within the limits. By
    Lagrange's condition x = clip(m slope, low, high) for one number m, found by bisection.
    """
    rank = np.where(np.abs(slope) < _NO_SAY_FRACTION * np.abs(slope).max(initial=0.0), 0.0, slope)
    if not rank.any():
        return np.zeros(len(slope))

    def change(m: float) -> Floats:
        return np.asarray(np.clip(m * rank, np.where(rank == 0, 0, low_mm), np.where(rank == 0, 0, high_mm)))

    far = float(np.max(np.maximum(-low_mm, high_mm)) / np.abs(rank[rank != 0]).min()) + 1.0
    ends = [-far, far]
    for _ in range(100):
        middle = (ends[0] + ends[1]) / 2
        ends[0 if float(slope @ change(middle)) < wanted else 1] = middle
    return change((ends[0] + ends[1]) / 2)


def carve_to(
    aim: float, start_mm: Floats, limits_mm: tuple[Floats, Floats], attempt: Attempt, within: float, drawn_mm: Floats
) -> Reached:
    """Return the heights that bring a value to ``aim``, to ``within`` of it, or as near as the limits let it come.

    Begins at ``start_mm`` (n,), which must be possible, and keeps the change from ``drawn_mm`` (n,) least;
    ``limits_mm`` are the least and greatest heights, both (n,). Raises ValueError if the start cannot be made.
    """
    at = start_mm
    here = attempt(at)
    if here is None:
        raise ValueError("the heights to begin from cannot be made")
    for _ in range(_STEPS):
        value, slope = here
        if abs(value - aim) <= within:
            break
        wanted = aim - value + float(slope @ (at - drawn_mm))
        goal = drawn_mm + least_change(slope, wanted, limits_mm[0] - drawn_mm, limits_mm[1] - drawn_mm)
        step = goal - at
        if np.abs(step).max() < 1e-4:
            break
        for _ in range(_HALVINGS):
            there = attempt(at + step)
            if there is not None and abs(there[0] - aim) < abs(value - aim):
                break
            step = step / 2
        else:
            break
        at, here = at + step, there
    return Reached(at, here, abs(here[0] - aim) <= within)

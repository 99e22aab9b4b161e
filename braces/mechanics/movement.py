"""How far the plates swell and shrink with the air they live in, by the handbook's equations."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from braces.carved.values import Carved
from braces.design.woods import Wood
from braces.mechanics.moisture import change_ratio_along_ring, equilibrium_moisture_percent, size_change_mm

TEMPERATURE_DEG = 20.0  #: Celsius
GLUED_FRACTION = 0.45  #: relative humidity that widths are counted from: common practice in a workshop
_AIR = (0.25, 0.35, 0.45, 0.55, 0.65, 0.75)
_QUARTERSAWN_DEG = 90.0


@dataclass(frozen=True, slots=True)
class Air:
    """One kind of air, and what it does to plates across their grain at the lower bout."""

    humidity_fraction: float
    moisture_fraction: float  #: that wood comes to in it, of its oven-dry mass
    top_mm: float | None  #: wider than at ``GLUED_FRACTION``; None for a wood whose movement is not known
    back_mm: float | None


def plate_movement(carved: Carved, wood_named: Callable[[str], Wood]) -> tuple[Air, ...]:
    """Return how a free quartersawn plate's width at the lower bout follows the air at 20 deg C, dry air first.

    Equation 4-5 for the moisture, chapter 13 for the size: coefficients that hold from 6 to 14 %; single pieces scatter
    by about 1 % of moisture. Braces and rim hold a plate back: what cannot move is stress, or a crack.
    """
    design = carved.placed.design
    width = design.body.lower_bout.width_mm
    at = equilibrium_moisture_percent(TEMPERATURE_DEG, 100 * GLUED_FRACTION)
    rows = []
    for humidity in _AIR:
        moisture = equilibrium_moisture_percent(TEMPERATURE_DEG, 100 * humidity)
        moves = [_wider(wood_named(p.wood), width, at, moisture) for p in (design.top, design.back)]
        rows.append(Air(humidity, moisture / 100, moves[0], moves[1]))
    return tuple(rows)


def _wider(board: Wood, width_mm: float, from_percent: float, to_percent: float) -> float | None:
    if board.movement is None:
        return None
    ratio = change_ratio_along_ring(board.movement, _QUARTERSAWN_DEG)
    return size_change_mm(width_mm, ratio, from_percent, to_percent)

"""Heights and top widths at even distances along a brace."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.carved.values import CarvedBrace

STEP_MM = 10.0
_FLAT_MM = 0.05  #: shoulders lower than this are not seen: the top counts as level from side to side


@dataclass(frozen=True, slots=True)
class Station:
    """One place on a brace."""

    at_mm: float  #: from the start, on the centre line
    height_mm: float  #: above the glue face
    land_mm: float  #: width of the level top; 0 on a rounded one


def stations(brace: CarvedBrace, step_mm: float = STEP_MM) -> tuple[Station, ...]:
    """Return stations every ``step_mm`` from the start, and one at the end."""
    at = np.append(np.arange(0.0, brace.length_mm - 1e-6, step_mm), brace.length_mm)
    level = np.flatnonzero(np.abs(brace.shape.border) < 1e-12)
    land = float(brace.shape.y_mm[level[-1]] - brace.shape.y_mm[level[0]]) if len(level) else 0.0
    return tuple(
        Station(float(x), brace.height.at(x), brace.width_mm if brace.drop.at(x) < _FLAT_MM else land) for x in at
    )

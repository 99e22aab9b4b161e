"""The mechanics as the page shows it: numbers with their bounds, and fields over a plate as lines."""

from __future__ import annotations

import numpy as np

from braces.app.strength import strength_of
from braces.carved.values import Carved
from braces.mechanics.ranges import Bounded, bound, limits, mode_bound
from braces.mechanics.values import Bound, PlateStrength
from braces.mechanics.values import Shape as Moves
from braces.sheets.strength_field import contours, field, levels, nice_step
from braces.sheets.strength_plan import Plate
from braces.sheets.words import PlateName
from braces.web.picture import Table, number, path

MODES_SHOWN = 6


def strength_table(carved: Carved) -> Table:
    """Return the full analysis of an instrument."""
    strength = strength_of(carved, spread=False).strength
    plates: tuple[tuple[PlateName, PlateStrength], ...] = (("top", strength.top), ("back", strength.back))
    return {
        "plates": {
            name: plate_numbers(solved, strength) | {"overlays": overlays(carved, name, solved)}
            for name, solved in plates
        },
        "assumptions": list(strength.assumptions),
    }


def plate_numbers(solved: PlateStrength, bounds: Bounded) -> Table:
    """Return the numbers of a solved plate, each with what the model leaves open."""
    return {
        "plate mass": f"{solved.plate_mass_g:.1f}",
        "braces mass": f"{solved.braces_mass_g:.2f}",
        "turn": _bounded(solved.bridge_turn_deg, bound(bounds, "bridge turn"), 3),
        "rise": None if solved.bridge_rise_mm is None else f"{solved.bridge_rise_mm:.2f}",
        "modes": [
            _bounded(m.frequency_hz, mode_bound(bounds, k), 1) for k, m in enumerate(solved.modes[:MODES_SHOWN], 1)
        ],
    }


def overlays(carved: Carved, name: PlateName, solved: PlateStrength) -> list[Table]:
    """Return deflection and modes of a plate as lines to lay over its picture."""
    plate = Plate(carved, name)
    region = plate.region(to_lining=solved.rim != "free")
    made = [] if solved.deflection is None else [_field(plate, region, solved.deflection, "deflection", "mm")]
    for k, mode in enumerate(solved.modes[:MODES_SHOWN], 1):
        made.append(_field(plate, region, mode.shape, f"mode {k}", ""))
    return made


def _bounded(value: float | None, of: Bound | None, digits: int) -> Table | None:
    """A number with the least and the greatest that the exact solution of the model may be."""
    if value is None:
        return None
    low, high = limits(value, of) if of is not None else (None, None)
    return {
        "value": f"{value:.{digits}f}",
        "low": None if low is None else f"{low:.{digits}f}",
        "high": None if high is None else f"{high:.{digits}f}",
    }


def _field(plate: Plate, region: object, moves: Moves, title: str, unit: str) -> Table:
    """A field as lines of one height each, outward and inward apart."""
    whole = field(moves)
    low, high = float(np.nanmin(moves.value)), float(np.nanmax(moves.value))
    step = nice_step(low, high, 10)
    lines = []
    for level in levels(low, high, step):
        d = "".join(path(plate.view.all_seen(line)) for line in contours(whole, level, region))
        if d:
            lines.append({"level": number(level, 3), "d": d})
    return {"title": title, "unit": unit, "step": number(step, 4), "low": number(low, 3), "high": number(high, 3),
            "lines": lines}  # fmt: skip

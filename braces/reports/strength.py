"""Stiffness, weights, movement and modes as numbers for summary.json.

Every number that is a solution of the model stands beside the range in which the exact solution lies, as far as that
was measured; the ranges say nothing about how well wood and rim are known.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from braces.mechanics.ranges import STATEMENT, bound, extreme, formula_bounds, limits, mode_bound
from braces.reports.figures import rounded as _r
from braces.reports.strength_outlook import outlook_summary
from braces.reports.strength_tables import strength_tables

if TYPE_CHECKING:
    from braces.base.arrays import Floats
    from braces.mechanics.brace_figures import BraceFigures
    from braces.mechanics.outlook import Outlook
    from braces.mechanics.values import Bound, BraceStress, PlateStrength, Shape, Strength

__all__ = ["UNBOUNDED", "mechanics_summary", "strength_tables"]

#: Kinds of number that no bound was measured for.
UNBOUNDED = (
    "masses of plates",
    "stiffness of braces with their strip of plate",
    "what laps leave",
    "stresses",
    "string tensions",
    "what a millimetre off changes",
    "movement with the air",
)
_EVERY_MM = 10.0  #: as the stations of the heights


def mechanics_summary(strength: Strength, outlook: Outlook | None = None) -> dict[str, Any]:
    """Return what summary.json says under "mechanics"; units stand in the keys.

    A solved number is a table of its ``value`` and of ``low`` and ``high``, the ends of its range, or None where no
    bound was measured on the grid used.
    """
    stresses = {s.name: s for s in strength.top.stresses + strength.back.stresses}
    return {
        "statement": STATEMENT,
        "strings": {
            "set": strength.load.set_name,
            "provenance": strength.load.provenance,
            "scale_mm": _r(strength.load.scale_mm),
            "height_mm": _r(strength.load.height_mm),
            "tensions": [
                {"note": note, "tension_n": _r(pull)}
                for note, pull in zip(strength.load.notes, strength.load.tensions_n, strict=True)
            ],
            "total_n": _r(strength.load.total_n),
            "torque_n_mm": _r(strength.load.torque_n_mm),
        },
        "braces": [_brace(b, stresses.get(b.name)) for b in strength.braces],
        "plates": {p.name: _plate(p, strength) for p in (strength.top, strength.back)},
        "bounds": [
            {
                "quantity": b.quantity,
                "too_low_ratio": _r(b.low_ratio),
                "too_high_ratio": _r(b.high_ratio),
                "measured_on": b.measured_on,
            }
            for b in (*strength.bounds, *formula_bounds())
        ],
        "without_bound": list(UNBOUNDED),
        "assumptions": list(strength.assumptions),
        "woods": [{"wood": wood, "provenance": mark} for wood, mark in strength.marks],
    } | ({} if outlook is None else outlook_summary(outlook, strength))


def _brace(b: BraceFigures, stress: BraceStress | None) -> dict[str, Any]:
    weak = b.weakest
    return {
        "name": b.name,
        "wood": b.wood,
        "provenance": b.provenance,
        "mass_g": _r(b.mass_g),
        "blank_mass_g": _r(b.blank_mass_g),
        "blank_stiffness_n_mm2": _r(b.blank_n_mm2),
        "strip_width_mm": _r(b.strip_width_mm),
        "bench_deflection_mm": _r(b.bench_deflection_mm),
        "tap_hz": _r(b.tap_hz),
        "blank_tap_hz": _r(b.blank_tap_hz),
        "weakest": None
        if weak is None
        else {
            "at_mm": _r(weak.at_mm),
            "with_plate_n_mm2": _r(weak.stiffness_n_mm2),
            "own_of_blank_ratio": _r(weak.of_blank_ratio),
        },
        "stress": None
        if stress is None
        else {
            "worst_mpa": _r(stress.worst_mpa),
            "at_mm": _r(stress.worst_at_mm),
            "long_load_strength_mpa": _r(stress.long_load_strength_mpa),
            "used_fraction": _r(stress.used_fraction),
        },
        "laps": [
            {
                "at_mm": _r(lap.at_mm),
                "with": lap.with_name,
                "kind": lap.kind,
                "height_left_ratio": _r(lap.height_ratio),
                "own_stiffness_left_ratio": _r(lap.stiffness_ratio),
            }
            for lap in b.laps
        ],
        "stations": [_station(b, stress, at) for at in _places(b)],
    }


def _places(b: BraceFigures) -> list[float]:
    """Return every so many mm along a brace, and its end."""
    length = float(b.x_mm[-1])
    return [*map(float, np.arange(0.0, length - 1e-6, _EVERY_MM)), length]


def _station(b: BraceFigures, stress: BraceStress | None, at_mm: float) -> dict[str, Any]:
    columns: dict[str, Floats | None] = {
        "height_mm": b.height_mm,
        "area_mm2": b.area_mm2,
        "centroid_mm": b.centroid_mm,
        "inertia_mm4": b.inertia_mm4,
        "own_n_mm2": b.own_n_mm2,
        "with_plate_n_mm2": b.with_plate_n_mm2,
        "axis_mm": b.axis_mm,
        "metre_mass_g": b.metre_mass_g,
        "bench_deflection_mm": b.bench_curve_mm,
    }
    found = {key: _r(float(np.interp(at_mm, b.x_mm, v))) for key, v in columns.items() if v is not None}
    return {"at_mm": _r(at_mm), **found, "stress_mpa": None if stress is None else _stress_at(stress, at_mm)}


def _stress_at(stress: BraceStress, at_mm: float) -> float | None:
    """Stress at the nearest place where it was worked out; None at the ends and in a lap, where it was not."""
    if not float(stress.x_mm[0]) <= at_mm <= float(stress.x_mm[-1]):
        return None
    value = float(stress.stress_mpa[int(np.argmin(np.abs(stress.x_mm - at_mm)))])
    return None if np.isnan(value) else _r(value)


def _plate(plate: PlateStrength, strength: Strength) -> dict[str, Any]:
    moves = bound(strength, "deflection")
    return {
        "rim": plate.rim,
        "mass_g": _r(plate.plate_mass_g),
        "braces_mass_g": _r(plate.braces_mass_g),
        "bridge_turn_deg": _ranged(plate.bridge_turn_deg, bound(strength, "bridge turn")),
        "bridge_rise_mm": _ranged(plate.bridge_rise_mm, moves),
        "most_outward_mm": None if plate.deflection is None else _peak(plate.deflection, moves, 1),
        "most_inward_mm": None if plate.deflection is None else _peak(plate.deflection, moves, -1),
        "modes": [
            {"number": number, "frequency_hz": _ranged(mode.frequency_hz, mode_bound(strength, number))}
            for number, mode in enumerate(plate.modes, start=1)
        ],
        "unknowns": plate.unknowns_count,
        "grid_mm": _r(plate.step_mm),
    }


def _ranged(value: float | None, of: Bound | None) -> dict[str, float | None] | None:
    if value is None:
        return None
    low, high = (None, None) if of is None else limits(value, of)
    return {"value": _r(value), "low": _r(low), "high": _r(high)}


def _peak(shape: Shape, of: Bound | None, sign: int) -> dict[str, Any]:
    value, x, y = extreme(shape, sign)
    return {**(_ranged(value, of) or {}), "at": [_r(x), _r(y)]}

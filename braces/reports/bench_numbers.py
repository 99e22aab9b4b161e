"""bench.json: what the workshop worked out, as numbers; units stand in the keys."""

from __future__ import annotations

from math import floor, isfinite, log10
from typing import Any

from braces.design.model import Design
from braces.workshop.bench import Bench
from braces.workshop.clamps import ClosingClamps
from braces.workshop.go_bars import BraceBars, PlateBars
from braces.workshop.humidity import PlateAir
from braces.workshop.props import PropFit
from braces.workshop.rim import Rim, Side
from braces.workshop.strips import StripCut, StripEnd
from braces.workshop.tape import Tape

VERSION = "braces-bench/1"
_STATION_MM = 10.0
_SIGNIFICANT = 6
_NOTHING = 1e-9  #: what is left of sums that cancel


def bench_numbers(design: Design, bench: Bench, revision: str) -> dict[str, Any]:
    """Return what bench.json says; a part that could not be worked out is null, and ``problems`` says why."""
    plates = ("top", "back")
    return {
        "version": VERSION,
        "design": {"name": design.name, "revision": design.revision, "hash": revision},
        "rim": None if bench.rim is None else _rim(bench.rim),
        "rim_strips": [_tape(t) for t in bench.tapes],
        "edges": [{"name": e.name, "length_mm": _n(e.length_mm), "cut_mm": _n(e.cut_mm)} for e in bench.edges],
        "rosette": None
        if bench.rosette is None
        else {
            "inner_radius_mm": _n(bench.rosette.inner_radius_mm),
            "outer_radius_mm": _n(bench.rosette.outer_radius_mm),
            "cutter_mm": _n(bench.rosette.cutter_mm),
            "circles_mm": [_n(c) for c in bench.rosette.circles_mm],
            "depths_mm": [_n(d) for d in bench.rosette.depths_mm],
        },
        "centre_strip": [_strip(c) for c in bench.strips],
        "box": {
            "inside_mm3": _n(bench.air.inside_mm3),
            "wood_mm3": _n(bench.air.wood_mm3),
            "air_mm3": _n(bench.air.air_mm3),
            "resonance_hz": None
            if bench.air.lowest_hz is None
            else [_n(bench.air.lowest_hz), _n(bench.air.highest_hz)],
            "limits": list(bench.air.limits),
        },
        "go_bars": [_bars(b) for b in bench.bars],
        "clamps": [{"plate": name} | _clamps(c) for name, c in zip(plates, bench.clamps, strict=False)],
        "air": [_air(a) for a in bench.humidity],
        "props": [_prop(p) for p in bench.props],
        "notes": list(bench.notes),
        "problems": list(bench.problems),
    }


def _n(value: float | None) -> float | None:
    """Six significant digits; nothing where there is no number (a flat dome has no radius)."""
    if value is None or not isfinite(value):
        return None
    if abs(value) < _NOTHING:
        return 0.0
    return round(float(value), _SIGNIFICANT - 1 - floor(log10(abs(value)))) + 0.0


def _rim(rim: Rim) -> dict[str, Any]:
    return {
        "alike": rim.alike,
        "differ_mm": _n(rim.differ_mm),
        "sanding_mm": _n(rim.spec.sanding_mm),
        "lining_height_mm": _n(rim.lining_height_mm),
        "lining_thickness_mm": _n(rim.lining_thickness_mm),
        "least_between_linings_mm": _n(rim.least_between_linings_mm),
        "sides": [_side(s) for s in rim.sides],
        "blocks": [
            {
                "name": b.name,
                "width_mm": _n(b.width_mm),
                "thickness_mm": _n(b.thickness_mm),
                "outer_height_mm": _n(b.outer_height_mm),
                "inner_height_mm": _n(b.inner_height_mm),
                "top_bevel_deg": _n(b.top_bevel_deg),
                "back_bevel_deg": _n(b.back_bevel_deg),
            }
            for b in rim.blocks
        ],
    }


def _side(side: Side) -> dict[str, Any]:
    count = int(side.length_mm // _STATION_MM)
    along = [k * _STATION_MM for k in range(count + 1)] + [side.length_mm]
    stations = [(a, *side.at(a)) for a in along]
    return {
        "side": side.name,
        "length_mm": _n(side.length_mm),
        "outside_mm": _n(side.outside_mm),
        "inside_mm": _n(side.inside_mm),
        "marks": [{"place": m.kind, "along_mm": _n(m.along_mm), "height_mm": _n(m.height_mm)} for m in side.marks],
        "stations": [
            {"along_mm": _n(a), "top_z_mm": _n(t), "back_z_mm": _n(b), "height_mm": _n(t - b)} for a, t, b in stations
        ],
    }


def _tape(tape: Tape) -> dict[str, Any]:
    return {
        "side": tape.side,
        "from_mm": _n(tape.tail_block_mm),
        "to_mm": _n(tape.neck_block_mm),
        "pockets": [
            {
                "number": p.number,
                "plate": p.plate,
                "brace": p.brace,
                "from_mm": _n(p.from_mm),
                "to_mm": _n(p.to_mm),
                "height_mm": _n(p.height_mm),
                "reach_mm": _n(p.reach_mm),
            }
            for p in tape.pockets
        ],
    }


def _strip(cut: StripCut) -> dict[str, Any]:
    return {
        "plate": cut.plate,
        "number": cut.number,
        "wood": cut.wood,
        "glue_mm": _n(cut.glue_mm),
        "room_mm": _n(cut.room_mm),
        "width_mm": _n(cut.width_mm),
        "thickness_mm": _n(cut.thickness_mm),
        "ends": {"tail": _end(cut.tail_end), "neck": _end(cut.neck_end)},
    }


def _end(end: StripEnd) -> dict[str, Any]:
    return {"meets": end.meets, "bevel_deg": _n(end.bevel_deg)}


def _bars(bars: PlateBars) -> dict[str, Any]:
    return {
        "plate": bars.plate,
        "material": bars.material,
        "provenance": bars.provenance,
        "bar_length_mm": _n(bars.bar_length_mm),
        "stress_fraction": _n(bars.stress_fraction),
        "push_n": _n(bars.push_n),
        "worst_energy_n_mm": _n(bars.worst_energy_n_mm),
        "braces": [_brace_bars(b) for b in bars.braces],
        "notes": list(bars.notes),
    }


def _brace_bars(row: BraceBars) -> dict[str, Any]:
    published = row.published
    return {
        "brace": row.brace,
        "spacing_mm": _n(row.spacing_mm),
        "push_n": _n(row.push_n),
        "pressure_mpa": _n(row.pressure_mpa),
        "published_mpa": [published.low_mpa, published.high_mpa],
        "source": published.source,
        "bars": [
            {
                "number": p.number,
                "along_mm": _n(p.along_mm),
                "at": [_n(p.at[0]), _n(p.at[1])],
                "stack_mm": _n(p.stack_mm),
                "gap_mm": _n(p.gap_mm),
                "push_n": _n(p.bar.push_n),
                "bow_mm": _n(p.bar.bow_mm),
                "end_slope_deg": _n(p.bar.end_slope_deg),
            }
            for p in row.places
        ],
    }


def _clamps(made: ClosingClamps) -> dict[str, Any]:
    return {
        "count": made.count,
        "spacing_mm": _n(made.spacing_mm),
        "safe_n": _n(made.safe_n),
        "governs": made.governs,
        "bearing_n": _n(made.bearing_n),
        "bowing_n": _n(made.bowing_n),
        "cracking_n": _n(made.cracking_n),
        "pressure_mpa": _n(made.pressure_mpa),
        "published_mpa": [made.published.low_mpa, made.published.high_mpa],
        "flat_stretches": [
            {"side": s.side, "from_mm": _n(s.from_mm), "to_mm": _n(s.to_mm)} for s in made.flat_stretches
        ],
        "notes": list(made.notes),
    }


def _air(air: PlateAir) -> dict[str, Any]:
    return {
        "plate": air.plate,
        "window_fraction": None if air.window_fraction is None else [_n(f) for f in air.window_fraction],
        "provenance": air.provenance,
        "rows": [
            {
                "humidity_fraction": _n(r.humidity_fraction),
                "moisture_fraction": _n(r.moisture_fraction),
                "radius_mm": [_n(v) for v in r.radius_mm],
                "outside_range": r.outside_range,
            }
            for r in air.rows
        ],
        "braces": [
            {
                "brace": b.brace,
                "grain_angle_deg": _n(b.grain_angle_deg),
                "radius_mm": _n(b.radius_mm),
                "rise_per_percent_mm": [_n(v) for v in b.rise_per_percent_mm],
                "sprung_radius_mm": [_n(v) for v in b.sprung_radius_mm],
            }
            for b in air.braces
        ],
        "notes": list(air.notes),
    }


def _prop(fit: PropFit) -> dict[str, Any]:
    way = fit.way
    return {
        "at": [_n(fit.spec.x_mm), _n(fit.spec.y_mm)],
        "length_mm": _n(fit.length_mm),
        "stands_on": fit.on_back or "back",
        "presses": fit.on_top or "top",
        "top_bevel_deg": [_n(v) for v in fit.top_bevel_deg],
        "back_bevel_deg": [_n(v) for v in fit.back_bevel_deg],
        "blocked_by": fit.blocked_by or None,
        "comes_out": None if way is None else way.found,
        "least_freed_mm": _n(fit.least_freed_mm),
        "better_place": None if fit.better_place is None else [_n(v) for v in fit.better_place],
        "way": [
            {"at": [_n(p.x_mm), _n(p.y_mm), _n(p.z_mm)], "turn_deg": _n(p.turn_deg), "lean_deg": _n(p.lean_deg)}
            for p in (way.poses if way is not None else ())
        ],
        "advice": fit.advice,
    }

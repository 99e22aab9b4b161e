"""What stands beside the analysis, as numbers for summary.json and as tables: carving, the wood's spread, the air."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from braces.reports.figures import rounded as _r
from braces.reports.plain_tables import Page

if TYPE_CHECKING:
    from braces.mechanics.outlook import Band, Outlook, SpreadBands
    from braces.mechanics.schedule import Schedule
    from braces.mechanics.sensitivity import BraceGain
    from braces.mechanics.values import Strength


def outlook_summary(outlook: Outlook, strength: Strength) -> dict[str, Any]:
    """Return the keys that stand beside the analysis under "mechanics"."""
    return {
        "millimetre_off": [_off(g) for g in outlook.gains],
        "schedule": [_schedule(s) for s in outlook.schedules],
        "air": [
            {
                "humidity_ratio": _r(a.humidity_fraction),
                "moisture_ratio": _r(a.moisture_fraction),
                "top_wider_mm": _r(a.top_mm),
                "back_wider_mm": _r(a.back_mm),
            }
            for a in outlook.air
        ],
        "spread": None if outlook.spread is None else _spread(outlook.spread, strength),
    }


def _off(gain: BraceGain) -> dict[str, Any]:
    return {
        "name": gain.name,
        "lighter_g": _r(float(gain.mass_g.sum())),
        "bridge_turns_more_deg": _r(-float(gain.turn_deg.sum())),
        "modes_change_hz": [_r(-float(h)) for h in gain.hertz.sum(axis=0)],
    }


def _schedule(found: Schedule) -> dict[str, Any]:
    return {
        "name": found.brace,
        "wood": found.wood,
        "stages": [
            {
                "stage": s.name,
                "mass_g": _r(s.mass_g),
                "taken_off_g": _r(s.taken_off_g),
                "tap_hz": _r(s.tap_hz),
                "bench_deflection_mm": _r(s.bench_deflection_mm),
                "stiffness_left_ratio": _r(s.stiffness_ratio),
            }
            for s in found.stages
        ],
    }


def _spread(spread: SpreadBands, strength: Strength) -> dict[str, Any]:
    top = strength.top
    turn = None if top.bridge_turn_deg is None else _band(top.bridge_turn_deg, spread.turn)
    return {
        "samples": spread.samples_count,
        "woods": [{"what": w.what, "variation_ratio": _r(w.ratio), "source": w.source} for w in spread.woods],
        "bridge_turn_deg": turn,
        "modes_hz": [_band(m.frequency_hz, b) for m, b in zip(top.modes, spread.modes, strict=False)],
    }


def _band(value: float, band: Band) -> dict[str, Any]:
    return {"value": _r(value), "low": _r(value * band.low_ratio), "high": _r(value * band.high_ratio)}


def outlook_tables(outlook: Outlook, strength: Strength) -> str:
    """Return the stages of carving and the spread as tables, 100 columns at most; nothing of what was left out."""
    page = Page()
    page.table(
        "Carving in three stages: 1 to length and height, 2 profile carved, 3 section shaped and laps cut",
        (
            "brace",
            "stick\ng",
            "taps\nHz",
            "1 off\ng",
            "stiff\n%",
            "taps\nHz",
            "2 off\ng",
            "stiff\n%",
            "taps\nHz",
            "3 off\ng",
            "stiff\n%",
            "taps\nHz",
        ),
        (_stages(s) for s in outlook.schedules),
        "lrrrrrrrrrrr",
    )
    if outlook.schedules:
        page.say("Stiff: left of the stage before, as a beam on supports at its ends. Beam formulas.")
        page.say()
    if outlook.spread is not None:
        page.table(
            f"The same design in other sticks: nine of ten of {outlook.spread.samples_count} samples lie between",
            ("", "here", "from", "to"),
            _spread_rows(outlook.spread, strength),
            "lrrr",
        )
        what = "; ".join(f"{w.what}: {100 * w.ratio:.0f} % ({w.source})" for w in outlook.spread.woods)
        page.say(f"Latin hypercube over the coefficients of variation of the {what}.")
    return page.text()


def _stages(found: Schedule) -> tuple[str, ...]:
    blank, *rest = found.stages
    cells = [c for s in rest for c in (f"{s.taken_off_g:.1f}", f"{100 * s.stiffness_ratio:.0f}", f"{s.tap_hz:.0f}")]
    return found.brace, f"{blank.mass_g:.1f}", f"{blank.tap_hz:.0f}", *cells


def _spread_rows(spread: SpreadBands, strength: Strength) -> list[tuple[str, ...]]:
    top = strength.top
    rows: list[tuple[str, ...]] = []
    if top.bridge_turn_deg is not None:
        v, b = top.bridge_turn_deg, spread.turn
        rows.append(("turn of the bridge, deg", f"{v:.2f}", f"{v * b.low_ratio:.2f}", f"{v * b.high_ratio:.2f}"))
    for k, b in enumerate(spread.modes[: len(top.modes)]):
        v = top.modes[k].frequency_hz
        rows.append((f"top's mode {k + 1}, Hz", f"{v:.0f}", f"{v * b.low_ratio:.0f}", f"{v * b.high_ratio:.0f}"))
    return rows

"""The bounds printed beside the numbers of single braces hold on every brace of all presets."""

from __future__ import annotations

import numpy as np
import pytest
from support.designs import carved_of

from braces.design.load import preset_names
from braces.design.own_woods import wood_of
from braces.mechanics import brace_figures
from braces.mechanics.beam import bench_deflection_mm
from braces.mechanics.ranges import formula_bounds
from braces.mechanics.schedule import schedule
from braces.mechanics.sections import section

BOUNDS = {b.quantity: b for b in formula_bounds()}


def inside(value: float, exact: float, quantity: str) -> bool:
    of = BOUNDS[quantity]
    return -of.low_ratio <= value / exact - 1 <= of.high_ratio


@pytest.mark.parametrize("name", preset_names())
def test_formulas_hold_against_much_finer_ones(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    carved, coarse = carved_of(name), brace_figures.stations
    for brace in carved.braces:
        own = wood_of(carved.placed.design, brace.wood)
        figures = brace_figures.brace_figures(brace, own, own, 2.5)
        with monkeypatch.context() as finer:
            finer.setattr(brace_figures, "stations", lambda b, count=61: coarse(b, 241))
            assert inside(figures.tap_hz, brace_figures.tap_hz(brace, own), "tap tone of a free brace"), brace.name
        x = coarse(brace, 1201)
        part = section(brace, x)
        shear = own.elastic.g_lr_mpa * brace_figures.SHEAR_FACTOR * part.area_mm2
        sink = bench_deflection_mm(x, own.elastic.e_l_mpa * part.inertia_mm4, shear, brace_figures.BENCH_LOAD_N)
        assert inside(figures.bench_deflection_mm, sink, "bend at the bench"), brace.name
        # Volume by its own route: adaptive double integrals hold it to 2e-5 (tests of volume).
        grams = float(brace.volume_mm3) * own.density_kg_m3 * 1e-6
        assert inside(figures.mass_g, grams, "weight of a brace or stick")
        assert inside(schedule(brace, own).stages[-1].mass_g, grams, "weight of a brace or stick"), brace.name
        assert np.isfinite(figures.own_n_mm2).all()

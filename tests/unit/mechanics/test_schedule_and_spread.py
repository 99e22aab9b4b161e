"""The carving schedule, and the spread of the answers with the wood."""

import numpy as np
import pytest

from braces.design.woods import wood
from braces.mechanics.brace_figures import brace_figures
from braces.mechanics.braced_plate import Mesh, modes
from braces.mechanics.instrument import Setting
from braces.mechanics.schedule import schedule
from braces.mechanics.spread import basis, family, latin_hypercube, spread
from braces.mechanics.strings import string_load, string_sets

COARSE = Mesh(step_mm=14.0, detail_mm=10.0, element_mm=40.0)
LOAD = string_load(string_sets()["light"], 628.65)


def test_a_schedule_runs_from_blank_to_finished_brace(fieldfare):
    for brace in fieldfare.braces:
        own = wood(brace.wood)
        stages = schedule(brace, own).stages
        masses = [s.mass_g for s in stages]
        assert masses == sorted(masses, reverse=True)
        assert stages[0].mass_g == pytest.approx(
            brace.blank.length_mm * brace.blank.width_mm * brace.blank.height_mm * own.density_kg_m3 * 1e-6
        )
        assert sum(s.taken_off_g for s in stages) == pytest.approx(masses[0] - masses[-1])
        # The same finished brace by the carving's own volume, and by the brace's table.
        assert masses[-1] == pytest.approx(brace.mass_g, rel=5e-3)
        # On one span a square stick is stiffer with the cube of its height, but for its shear (textbook).
        tall = brace.blank.height_mm / float(brace.height.y_mm.max())
        assert 1 / tall**3 <= stages[1].stiffness_ratio < 1
        table = brace_figures(brace, own, own, 2.8)
        assert stages[-1].tap_hz == pytest.approx(table.tap_hz)
        assert stages[-1].bench_deflection_mm == pytest.approx(table.bench_deflection_mm)


def test_a_latin_hypercube_takes_one_sample_from_every_slice():
    # By its definition (McKay, Beckman and Conover 1979): one from each equally likely slice of every factor.
    from statistics import NormalDist

    f = latin_hypercube(50, (0.1, 0.2), seed=3)
    for k, s in enumerate((0.1, 0.2)):
        slices = np.floor([50 * NormalDist(1, s).cdf(v) for v in f[:, k]])
        assert sorted(slices) == list(range(50))
    assert (latin_hypercube(50, (0.1,), 3) == latin_hypercube(50, (0.1,), 3)).all()


def test_samples_on_the_small_basis_are_full_solutions(dunnock):
    made = family(dunnock, Setting(), LOAD, COARSE)
    found = spread(made, samples=200)
    assert found.hertz.shape == (200, 10)
    for i in (0, int(np.argmax(found.turn_deg))):
        system = made.at(found.factors[i])
        factor = system.stiffness.factor()
        assert found.turn_deg[i] == pytest.approx(np.degrees(made.turn @ factor.solve(made.load)), rel=2e-3)
        assert found.hertz[i] == pytest.approx(modes(system, 10, factor=factor)[0], rel=5e-3)
    low, high = found.range_of(found.turn_deg)
    assert low < np.median(found.turn_deg) < high
    assert basis(made, (0.2, 0.2, 0.1, 0.1)).shape[1] < 120


def test_split_matrices_add_up(dunnock):
    made = family(dunnock, Setting(), LOAD, COARSE)
    again = made.at(np.ones(4))
    whole = made.system.stiffness.tocsc()
    assert abs(again.stiffness.tocsc() - whole).max() < 1e-9 * abs(whole).max()
    # Twice the density everywhere it scales, four times the mass nowhere: frequencies fall, by less than sqrt(2).
    heavy = made.at(np.array([1, 1, 2.0, 2.0]))
    ratio = modes(made.system, 1)[0][0] / modes(heavy, 1)[0][0]
    assert 1.0 < ratio < np.sqrt(2)

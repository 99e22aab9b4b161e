"""How long the mechanics take. Timed and printed, never asserted on absolute time: ratios only."""

from time import perf_counter

import pytest

from braces.carved.carve import carve
from braces.design.load import load
from braces.design.woods import wood
from braces.mechanics.analyse import QUICK, solve_plate
from braces.mechanics.brace_figures import brace_figures
from braces.mechanics.braced_plate import Mesh
from braces.mechanics.instrument import Setting
from braces.mechanics.sensitivity import turn_deg
from braces.mechanics.strings import string_load, string_sets
from braces.placed.place import place

LOAD = string_load(string_sets()["light"], 645.16)


@pytest.fixture(scope="module")
def fieldfare():
    return carve(place(load("fieldfare").design))


def seconds(work, times=3):
    best = float("inf")
    for _ in range(times):
        start = perf_counter()
        work()
        best = min(best, perf_counter() - start)
    return best


def test_a_brace_table_is_quick_against_a_plate(fieldfare, capsys):
    b, w = fieldfare.top.braces[0], wood("engelmann spruce")
    table = seconds(lambda: brace_figures(b, w, w, 2.8))
    whole = seconds(
        lambda: solve_plate(fieldfare, "top", Setting(), LOAD, Mesh(12.0, detail_mm=16.0, element_mm=30.0)), 1
    )
    with capsys.disabled():
        print(f"\none brace {1e3 * table:.1f} ms, one coarse plate {whole:.2f} s")
    assert table < whole / 20


@pytest.mark.slow
def test_cost_against_unknowns(fieldfare, capsys):
    rows = []
    for mesh in (Mesh(12.0, detail_mm=16.0, element_mm=30.0), QUICK, Mesh(6.0, detail_mm=14.0, element_mm=25.0)):
        start = perf_counter()
        solved = solve_plate(fieldfare, "top", Setting(), LOAD, mesh)
        rows.append((mesh.step_mm, solved.system.count, perf_counter() - start, turn_deg(solved), solved.hertz[0]))
    with capsys.disabled():
        print("\nstep mm, unknowns, s, bridge deg, mode 1 Hz")
        for r in rows:
            print(f"{r[0]:5.1f} {r[1]:8d} {r[2]:6.1f} {r[3]:7.3f} {r[4]:7.1f}")
    # A finer grid is softer: the frequency falls from grid to grid, and by less each time.
    assert rows[0][4] > rows[1][4] > rows[2][4]
    assert rows[0][4] - rows[1][4] > rows[1][4] - rows[2][4]

"""How long the mechanics take. Timed and printed, never asserted on absolute time: ratios measured in one run only.

Times are of the processor, not of the clock on the wall, so that other work on the machine counts as little as it can.
"""

import resource
from time import process_time

import numpy as np
import pytest

from braces.carved.carve import carve
from braces.design.load import load
from braces.design.woods import wood
from braces.mechanics.analyse import QUICK, REPORT, solve_plate, solved_again
from braces.mechanics.brace_figures import brace_figures
from braces.mechanics.braced_plate import Mesh
from braces.mechanics.instrument import Setting
from braces.mechanics.live import live_model
from braces.mechanics.sensitivity import turn_deg
from braces.mechanics.solid_check import cases
from braces.mechanics.solid_check.calculix import run
from braces.mechanics.solid_check.compare import compare
from braces.mechanics.spread import family, spread
from braces.mechanics.strings import string_load, string_sets
from braces.placed.place import place

LOAD = string_load(string_sets()["light"], 645.16)


@pytest.fixture(scope="module")
def fieldfare():
    return carve(place(load("fieldfare").design))


def seconds(work, times=3):
    best = float("inf")
    for _ in range(times):
        start = process_time()
        work()
        best = min(best, process_time() - start)
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


def live_row(fieldfare, mesh):
    solve_plate(fieldfare, "top", Setting(), LOAD, Mesh(20.0))  # imports, caches
    start = process_time()
    live = live_model(fieldfare, "top", Setting(), LOAD, mesh)
    build = process_time() - start
    first = seconds(lambda: solve_plate(fieldfare, "top", Setting(), LOAD, mesh), 1)
    bars = live.first.model.plate.bars
    again = seconds(lambda: solved_again(live.first, bars), 1)
    return (
        mesh.step_mm,
        live.first.system.count,
        first,
        again,
        seconds(lambda: live.refined(fieldfare)),
        seconds(lambda: live.update(fieldfare), 5),
        seconds(lambda: live.gains(fieldfare), 1),
        build,
    )


@pytest.mark.parametrize("mesh", [QUICK, pytest.param(REPORT, marks=pytest.mark.slow)], ids=["quick", "report"])
def test_live_against_full(fieldfare, mesh, capsys):
    step, count, first, again, refined, update, gains, build = live_row(fieldfare, mesh)
    with capsys.disabled():
        print(
            f"\n{step:g} mm, {count} unknowns: first solution {first:.2f} s, again {again:.2f} s, refined "
            f"{1e3 * refined:.0f} ms, live {1e3 * update:.0f} ms, gains {1e3 * gains:.0f} ms, live model {build:.1f} s"
        )
    assert again < first
    assert refined < again / 3
    assert update < again / 8


@pytest.mark.slow
def test_cost_against_unknowns(fieldfare, capsys):
    rows = []
    for mesh in (Mesh(12.0, detail_mm=16.0, element_mm=30.0), QUICK, REPORT):
        start = process_time()
        solved = solve_plate(fieldfare, "top", Setting(), LOAD, mesh)
        rows.append((mesh.step_mm, solved.system.count, process_time() - start, turn_deg(solved), solved.hertz[0]))
    with capsys.disabled():
        print("\nstep mm, unknowns, s, bridge deg, mode 1 Hz")
        for r in rows:
            print(f"{r[0]:5.1f} {r[1]:8d} {r[2]:6.1f} {r[3]:7.3f} {r[4]:7.1f}")
    # A finer grid is softer: the frequency falls from grid to grid.
    assert rows[0][4] > rows[1][4] > rows[2][4]
    # Cost grows by less than the square of the unknowns.
    power = np.log(rows[2][2] / rows[0][2]) / np.log(rows[2][1] / rows[0][1])
    assert power < 2


@pytest.mark.slow
def test_two_hundred_samples_of_the_spread(fieldfare, capsys):
    once = seconds(lambda: solve_plate(fieldfare, "top", Setting(), LOAD, QUICK), 1)
    every = seconds(lambda: spread(family(fieldfare, Setting(), LOAD, QUICK), 200), 1)
    with capsys.disabled():
        print(f"\n200 samples {every:.1f} s, {every / once:.1f} solutions' worth")
    assert every < 20 * once


@pytest.mark.slow
def test_against_the_solid_model_it_is_checked_with(capsys, tmp_path):
    case = next(c for c in cases.EVERY if c.edge == "clamped")
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    solid = run(case, tmp_path, 10.0)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    theirs = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    errors = []
    ours = seconds(lambda: errors.append(compare(case, solid, REPORT, 10.0)), 2)
    with capsys.disabled():
        print(f"\nsolid model {theirs:.0f} s of processor, plate model {ours:.2f} s: {theirs / ours:.0f} times")
    # A hundred times is what is wanted, and not reached (18 measured): this only guards what there is.
    assert theirs > 8 * ours

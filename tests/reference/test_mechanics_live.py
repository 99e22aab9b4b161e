"""The live model against full solutions of the same grid: error at most half a percent over carvings of every kind.

The full solution is the one held against solid elements, closed forms and tables in the other mechanics tests.
"""

from dataclasses import replace

import numpy as np
import pytest

from braces.carved.carve import carve
from braces.design.load import load
from braces.mechanics.analyse import solve_plate, solved_again
from braces.mechanics.bar import Bar
from braces.mechanics.bar_moments import element_matrices
from braces.mechanics.braced_plate import Mesh
from braces.mechanics.instrument import Setting, carved_again
from braces.mechanics.live import LayoutChangedError, live_model
from braces.mechanics.sensitivity import gains, turn_deg
from braces.mechanics.strings import string_load, string_sets
from braces.placed.place import place

GRID = Mesh(step_mm=10.0, detail_mm=12.0, element_mm=25.0)
LOAD = string_load(string_sets()["light"], 645.16)


@pytest.fixture(scope="module")
def fieldfare():
    return carve(place(load("fieldfare").design))


@pytest.fixture(scope="module")
def live(fieldfare):
    return live_model(fieldfare, "top", Setting(), LOAD, GRID)


def recarved(carved, seed):
    """Every brace of the top changed: height 0.5 to 1.3 times, valleys moved by up to 15 mm, shoulders 0.7 to 1.2."""
    rng = np.random.default_rng(seed)
    braces = []
    for b in carved.top.braces:
        by, x = rng.uniform(0.5, 1.3), b.height.x_mm.copy()
        room = np.diff(x).min() / 3
        x[1:-1] += rng.uniform(-min(15.0, room), min(15.0, room), len(x) - 2)
        side = rng.uniform(0.7, 1.2)
        height = replace(
            b.height,
            x_mm=x,
            y_mm=b.height.y_mm * by,
            slope_in=b.height.slope_in * by,
            slope_out=b.height.slope_out * by,
        )
        drop = replace(
            b.drop,
            x_mm=x,
            y_mm=b.drop.y_mm * by * side,
            slope_in=b.drop.slope_in * by * side,
            slope_out=b.drop.slope_out * by * side,
        )
        notches = tuple(replace(n, depth_mm=n.depth_mm * by) for n in b.notches)
        braces.append(replace(b, height=height, drop=drop, notches=notches))
    return replace(carved, top=replace(carved.top, braces=tuple(braces)))


@pytest.mark.parametrize("seed", [1, 2, 3, 4, 5])
def test_live_figures_are_full_solutions(live, fieldfare, seed):
    other = recarved(fieldfare, seed)
    figures = live.update(other)
    bars, laps = carved_again(live.first.model, other.top, Setting())
    full = solved_again(live.first, bars, laps)
    assert figures.plate.bridge_turn_deg == pytest.approx(turn_deg(full), rel=5e-3)
    assert [m.frequency_hz for m in figures.plate.modes] == pytest.approx(full.hertz.tolist(), rel=5e-3)
    # One step on it is a full solution for every purpose of a bench: a thousandth.
    refined = live.refined(other)
    assert refined.plate.bridge_turn_deg == pytest.approx(turn_deg(full), rel=1e-3)
    assert [m.frequency_hz for m in refined.plate.modes] == pytest.approx(full.hertz.tolist(), rel=1e-3)
    assert refined.plate.bridge_rise_mm == pytest.approx(figures.plate.bridge_rise_mm, rel=0.01)
    assert np.nanmax(np.abs(refined.plate.deflection.value - figures.plate.deflection.value)) < 0.01


def test_the_carving_it_was_built_for(live, fieldfare):
    figures = live.update(fieldfare)
    assert figures.plate.bridge_turn_deg == pytest.approx(turn_deg(live.first), rel=1e-3)
    assert [m.frequency_hz for m in figures.plate.modes] == pytest.approx(live.first.hertz.tolist(), rel=1e-3)
    assert 0 < figures.error_ratio < 0.005
    assert figures.plate.braces_mass_g == pytest.approx(sum(b.mass_g for b in fieldfare.top.braces))
    assert sum(b.share_fraction for b in figures.braces) == pytest.approx(1)
    # Deflections and shapes are pictures of the same solution: pressure centre of the same sign, same grid.
    field = figures.plate.deflection
    assert field.value.shape == (len(field.x_mm), len(field.y_mm))
    assert np.nanmax(np.abs(figures.plate.modes[0].shape.value)) == pytest.approx(1)


def test_live_gains_are_those_of_the_full_solution(live, fieldfare):
    ours, theirs = live.gains(fieldfare), gains(live.first)
    for a, b in zip(ours, theirs, strict=True):
        scale = max(np.abs(g.turn_deg).max() for g in theirs)
        assert a.turn_deg == pytest.approx(b.turn_deg, rel=0.03, abs=0.01 * scale)
        scale = max(np.abs(g.hertz).max() for g in theirs)
        assert a.hertz == pytest.approx(b.hertz, rel=0.05, abs=0.02 * scale)
        assert a.mass_g == pytest.approx(b.mass_g)


def test_another_layout_is_refused_in_words(live, fieldfare):
    moved = replace(fieldfare.top.braces[2], origin_xy_mm=(0.0, 0.0))
    braces = (*fieldfare.top.braces[:2], moved, *fieldfare.top.braces[3:])
    other = replace(fieldfare, top=replace(fieldfare.top, braces=braces))
    with pytest.raises(LayoutChangedError, match=r"tone bar 1.*elsewhere"):
        live.update(other)
    with pytest.raises(ValueError, match="held"):
        live_model(fieldfare, "top", Setting(rim="free"), LOAD, GRID)


def test_a_dense_front_factor_solves_what_it_factors(fieldfare):
    # Against the residual itself, and against scipy's own sparse LU on the assembled matrix.
    from scipy.sparse.linalg import splu

    solved = solve_plate(fieldfare, "top", Setting(), LOAD, Mesh(14.0, detail_mm=10.0, element_mm=40.0))
    b = np.random.default_rng(1).standard_normal((solved.system.count, 3))
    x = solved.factor.solve(b)
    assert np.abs(solved.system.stiffness @ x - b).max() < 1e-7 * np.abs(b).max()
    lu = splu(solved.system.stiffness.tocsc())
    assert x[:, 0] == pytest.approx(lu.solve(b[:, 0]), rel=1e-5, abs=1e-7 * np.abs(x[:, 0]).max())


def test_an_element_from_moments_stores_the_energy_of_uniform_stretch():
    # By hand: E A e^2 / 2 for each mm of a bar of 6 x 10 mm stretched evenly (no Poisson ratio).
    one = np.ones(4)

    def faces(s, y):
        return np.zeros((len(s), len(y))), np.full((len(s), len(y)), 10.0)

    t, w = np.polynomial.legendre.leggauss(4)
    law = np.diag([1e4, 1e4, 1e4, 5e3, 5e3, 5e3])
    bar = Bar(
        "bar",
        (0.0, 0.0),
        (1.0, 0.0),
        6.0,
        np.array([0.0, 20.0]),
        (),
        faces,
        12.0,
        (3 * t, 3 * w),
        law,
        400.0,
        (0, 0, 0),
    )
    stiff, mass = element_matrices(bar)
    v = np.zeros(stiff.shape[1])
    # u_s = s on the foot lines: value 0 and 20 at the ends, slope 1.
    v[:16] = np.tile([0.0, 1.0, 20.0, 1.0], 4)
    assert v @ stiff[0] @ v / 2 == pytest.approx(1e4 * 60 * 20 / 2)
    v[:16] = np.tile([one[0], 0.0, 1.0, 0.0], 4)
    assert v @ mass[0] @ v == pytest.approx(400e-12 * 60 * 20)

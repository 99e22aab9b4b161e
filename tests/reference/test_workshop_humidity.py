"""Domes and damp against textbook cases.

Sources: S. Timoshenko, Analysis of bi-metal thermostats, 1925: 1/rho = 6 e (1+m)^2 / (h (3 (1+m)^2 + (1+mn)(m^2 +
1/(mn)))), m the ratio of thicknesses, n of moduli (formula from memory, rederived by energy below); laminated bending:
n equal layers bent together spring back by 1/n^2; Wood Handbook table 13-5 (text): Engelmann spruce C_R 0.00130;
its equation 4-5 (text) for moisture: 20 deg C and 45 % give 8.49 %.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize
from support.designs import carved_of

from braces.workshop.bilayer import Layer, curvature, radius_mm, sprung_back_ratio, together_n_mm2
from braces.workshop.humidity import AirSpec, plate_air

CASES = [(1.0, 1.0, 1000.0, 1000.0), (2.0, 1.0, 900.0, 12000.0), (2.8, 15.0, 1250.0, 9790.0), (0.5, 3.0, 500.0, 100.0)]


def rectangle(thick: float, e: float, low: float) -> Layer:
    return Layer(e * thick, e * thick**3 / 12, low + thick / 2)


@pytest.mark.parametrize(("a1", "a2", "e1", "e2"), CASES)
def test_timoshenkos_formula(a1: float, a2: float, e1: float, e2: float) -> None:
    m, n, h, strain = a1 / a2, e1 / e2, a1 + a2, 1e-3
    expected = 6 * strain * (1 + m) ** 2 / (h * (3 * (1 + m) ** 2 + (1 + m * n) * (m**2 + 1 / (m * n))))
    low, high = rectangle(a1, e1, 0.0), rectangle(a2, e2, a1)
    assert curvature(low, high, strain) == pytest.approx(expected, rel=1e-12)


def test_equal_strips_bend_by_three_halves_of_the_strain_over_the_height() -> None:
    low, high = rectangle(1.5, 2000.0, 0.0), rectangle(1.5, 2000.0, 1.5)
    assert curvature(low, high, 2e-3) == pytest.approx(1.5 * 2e-3 / 3.0, rel=1e-12)


@pytest.mark.parametrize(("a1", "a2", "e1", "e2"), CASES)
def test_least_energy_gives_the_same_bend(a1: float, a2: float, e1: float, e2: float) -> None:
    """Strain at z is s - k z; minimise the strain energy of both layers over (s, k), the lower one wanting e more."""
    free = 1e-3
    z, w = np.polynomial.legendre.leggauss(4)
    za, zb = a1 / 2 * (z + 1), a1 + a2 / 2 * (z + 1)

    def energy(v: np.ndarray) -> float:
        s, k = v * 1e-3
        one = e1 * a1 / 2 * np.sum(w * (s - k * za - free) ** 2)
        two = e2 * a2 / 2 * np.sum(w * (s - k * zb) ** 2)
        return float(one + two) * 1e3

    best = minimize(energy, [0.0, 0.0], method="BFGS", options={"gtol": 1e-12})
    found = curvature(rectangle(a1, e1, 0.0), rectangle(a2, e2, a1), free)
    assert found == pytest.approx(best.x[1] * 1e-3, rel=1e-5)


def test_two_equal_layers_bent_together_spring_back_by_a_quarter() -> None:
    """1/n^2 with both layers bent; here only the lower one was: half of that."""
    low, high = rectangle(1.0, 1000.0, 0.0), rectangle(1.0, 1000.0, 1.0)
    assert together_n_mm2(low, high) == pytest.approx(1000.0 * 2.0**3 / 12)
    assert sprung_back_ratio(low, high) == pytest.approx(1 / 8)


def test_a_bare_cross_brace_follows_the_handbook() -> None:
    """An even square brace across an Engelmann top: the strain is C_R for each 1 %."""
    changes = (
        ('profile = { law = "tapered", curve = "parabola", land = "60 mm" }', 'profile = { law = "straight" }'),
        ('section = { law = "rounded", blend = "20 mm" }', 'section = { law = "square" }'),
        (
            'ends = { kind = "tucked", height = "3 mm", length = "14 mm", reach = "4.5 mm" }',
            'ends = { kind = "butted" }',
        ),
    )
    carved = carved_of("fieldfare", *changes)
    air = plate_air(carved, "top")
    moved = next(b for b in air.braces if b.brace == "upper transverse")
    brace = next(b for b in carved.top.braces if b.name == "upper transverse")
    assert moved.grain_angle_deg == pytest.approx(90.0)
    e_l = 1.1 * 8900.0  # table 5-3 and the note to table 5-1
    e_r, thick = 0.128 * e_l, 0.110 * 25.4
    wide = 12.0 + 20 * thick
    low = Layer(e_r * wide * thick, e_r * wide * thick**3 / 12, -thick / 2)
    high = Layer(e_l * 12.0 * 14.0, e_l * 12.0 * 14.0**3 / 12, 7.0)
    bend = curvature(low, high, 0.00130)
    assert moved.rise_per_percent_mm[0] == pytest.approx(bend * brace.length_mm**2 / 8, rel=2e-3)


def test_the_table_adds_bends_at_the_handbooks_moistures() -> None:
    """20 deg C: 30 % gives 6.19 %, 45 % gives 8.49 %, 65 % gives 12.00 % of moisture (handbook equation 4-5)."""
    air = plate_air(carved_of("fieldfare"), "back")
    rows = {round(100 * r.humidity_fraction): r for r in air.rows}
    for humidity, moisture in ((30, 6.19), (45, 8.49), (65, 12.00)):
        assert 100 * rows[humidity].moisture_fraction == pytest.approx(moisture, abs=0.006)
    dome = carved_of("fieldfare").placed.back.dome.inner_radius_mm
    assert rows[45].radius_mm == pytest.approx((dome, dome), rel=1e-9)
    bends = [(1 / rows[h].radius_mm[0] - 1 / dome) / (rows[h].moisture_fraction - rows[45].moisture_fraction)
             for h in (30, 40, 55, 65)]  # fmt: skip
    assert bends == pytest.approx([bends[0]] * 4, rel=1e-9)  # even in moisture
    assert bends[0] > 0  # damp rounds, dry flattens


def test_the_window_is_where_the_radius_has_changed_as_allowed() -> None:
    carved = carved_of("fieldfare")
    spec = AirSpec(allowed_fraction=0.3, least_fraction=0.40, most_fraction=0.50, step_fraction=0.0005)
    air = plate_air(carved, "back", spec)
    assert air.window_fraction is not None
    dome = carved.placed.back.dome.inner_radius_mm
    for edge, ratio in zip(air.window_fraction, (1.3, 0.7), strict=True):
        near = min(air.rows, key=lambda r: abs(r.humidity_fraction - edge))
        worst = min(near.radius_mm, key=lambda v: -abs(v - dome))
        assert worst / dome == pytest.approx(ratio, rel=0.02)


def test_radius_of_a_flat_and_a_hollow() -> None:
    assert radius_mm(0.0) == float("inf")
    assert radius_mm(-0.5) == -2.0

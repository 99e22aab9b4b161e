"""Woods, moisture and stock tests against the Wood Handbook (FPL-GTR-190, 2010; FPL-GTR-282, 2021) and closed forms."""

from math import pi, sqrt

import numpy as np
import pytest

from braces.design.woods import wood, woods
from braces.mechanics.free_plate import free_plate_modes, tap_tones
from braces.mechanics.moisture import (
    change_ratio_along_ring,
    density_at_kg_m3,
    equilibrium_moisture_glass_percent,
    equilibrium_moisture_percent,
    property_at,
    size_change_mm,
)
from braces.mechanics.stock_tests import (
    BarTap,
    BendTest,
    Found,
    PlateTap,
    bar_tap,
    bend_test,
    measured_wood,
    plate_tap,
)


def test_sitka_constants_are_the_ratios_of_the_handbook():
    # Tables 5-1, 5-2 (Sitka spruce) and 5-3: MOE 10 800 MPa; note to table 5-1: E_L = 1.1 MOE.
    e = wood("Sitka spruce").elastic
    assert e.e_l_mpa == pytest.approx(1.1 * 10800)
    assert (e.e_r_mpa, e.e_t_mpa) == pytest.approx((0.078 * 11880, 0.043 * 11880))
    assert (e.g_lr_mpa, e.g_lt_mpa, e.g_rt_mpa) == pytest.approx((0.064 * 11880, 0.061 * 11880, 0.003 * 11880))
    assert (e.nu_lr_ratio, e.nu_lt_ratio, e.nu_rt_ratio) == (0.372, 0.467, 0.435)
    assert e.provenance == "text"


def test_a_borrowed_or_remembered_value_says_so():
    assert wood("red spruce").elastic.provenance == "borrowed"
    assert "sitka" in wood("red spruce").elastic.source
    assert wood("Engelmann spruce").elastic.provenance == "memory"
    assert wood("Indian rosewood").weakest_mark == "borrowed"


@pytest.mark.parametrize("name", sorted(woods()))
def test_every_wood_is_a_possible_solid(name):
    # Positive definite compliance: the thermodynamic limit on orthotropic constants (Lempriere 1968, from memory).
    e = wood(name).elastic
    s = np.diag([1 / e.e_l_mpa, 1 / e.e_r_mpa, 1 / e.e_t_mpa])
    s[0, 1] = s[1, 0] = -e.nu_lr_ratio / e.e_l_mpa
    s[0, 2] = s[2, 0] = -e.nu_lt_ratio / e.e_l_mpa
    s[1, 2] = s[2, 1] = -e.nu_rt_ratio / e.e_r_mpa
    assert np.linalg.eigvalsh(s).min() > 0
    assert min(e.g_lr_mpa, e.g_lt_mpa, e.g_rt_mpa) > 0


@pytest.mark.parametrize(("celsius", "humidity", "moisture"), [(21.1, 40, 7.7), (21.1, 65, 12.0)])
def test_moisture_content_of_printed_table(celsius, humidity, moisture):
    # Wood Handbook table 4-2, two printed entries, one decimal.
    assert equilibrium_moisture_percent(celsius, humidity) == pytest.approx(moisture, abs=0.05)


def test_the_two_handbook_equations_agree_between_20_and_80_percent():
    # Equations 4-5 and 4-6 were fitted to the same isotherms; in a workshop's air they stay within the
    # 1 % moisture by which single pieces scatter anyway (common practice).
    for celsius in (15.6, 21.1, 30.0):  # a workshop's air
        for humidity in range(20, 81, 10):
            a = equilibrium_moisture_percent(celsius, humidity)
            assert abs(a - equilibrium_moisture_glass_percent(celsius, humidity)) < 1.0


def test_moisture_grows_with_humidity_and_refuses_nonsense():
    run = [equilibrium_moisture_percent(20.0, h) for h in range(0, 100, 5)]
    assert np.all(np.diff(run) > 0)
    assert run[0] == 0
    with pytest.raises(ValueError, match="humidity"):
        equilibrium_moisture_percent(20.0, 100.0)


def test_size_change_and_ring_angle():
    # Table 13-5: Sitka C_R 0.00148, C_T 0.00263; dD = D C (M2 - M1).
    move = wood("sitka spruce").movement
    assert size_change_mm(400, change_ratio_along_ring(move, 90), 8, 6) == pytest.approx(-1.184)
    assert change_ratio_along_ring(move, 0) == 0.00263
    assert change_ratio_along_ring(move, 45) == pytest.approx((0.00148 + 0.00263) / 2)


def test_handbook_moisture_examples():
    # Printed example to equation 5-3: white ash modulus of rupture 119 500 kPa at 8 %.
    assert property_at(103_000, 66_000, 8, 24) == pytest.approx(119_500, abs=100)
    # Table 4-6a: specific gravity 0.40 (basic) at 100 % moisture 800 kg/m3 is above saturation; at 12 % it is itself.
    assert density_at_kg_m3(448.0, 12) == pytest.approx(448.0)
    assert density_at_kg_m3(448.0, 0) < density_at_kg_m3(448.0, 12) < density_at_kg_m3(448.0, 20)


def test_three_point_bend_gives_back_a_beam():
    # Closed form: d = P l^3 / 48 E I + P l / (4 G A') with A' = 5 b h / 6 (Wood Handbook table 9-1).
    e, g, b, h, span, load = 11_000.0, 11_000.0 / 16, 15.0, 20.0, 300.0, 40.0
    d = load * span**3 / (48 * e * b * h**3 / 12) + load * span / (4 * g * 5 / 6 * b * h)
    found = bend_test(BendTest((span, 0), (load, 0), (d, 0), (b, 0), (h, 0.1)))
    assert found.e_along_mpa == pytest.approx(e, rel=1e-9)
    assert found.e_along_spread_mpa == pytest.approx(3 * 0.1 / 20 * e)  # height to the third power


def test_uncertainty_of_a_bend_matches_a_random_trial():
    rng = np.random.default_rng(7)
    test = BendTest((400, 1.0), (20, 0.1), (1.5, 0.02), (8, 0.05), (16, 0.05))
    readings = (test.span_mm, test.load_n, test.deflection_mm, test.width_mm, test.height_mm)
    drawn = [bend_test(BendTest(*((rng.normal(*r), 0.0) for r in readings))).e_along_mpa for _ in range(4000)]
    assert bend_test(test).e_along_spread_mpa == pytest.approx(np.std(drawn), rel=0.05)


def _timoshenko_bar_hz(length, b, h, e, g, density, elements=60):
    """Independent solve: 2-node Timoshenko elements with one-point shear, free ends."""
    n, le = elements + 1, length / elements
    k, m = np.zeros((2 * n, 2 * n)), np.zeros((2 * n, 2 * n))
    ei, ga, rho = e * b * h**3 / 12, 5 / 6 * g * b * h, density * 1e-12
    for i in range(elements):
        d = [2 * i, 2 * i + 1, 2 * i + 2, 2 * i + 3]
        bend, shear = np.array([0, -1, 0, 1]) / le, np.array([-1 / le, -0.5, 1 / le, -0.5])
        k[np.ix_(d, d)] += le * (ei * np.outer(bend, bend) + ga * np.outer(shear, shear))
        lump = np.array([[2, 0, 1, 0], [0, 0, 0, 0], [1, 0, 2, 0], [0, 0, 0, 0]]) * rho * b * h * le / 6
        turn = np.array([[0, 0, 0, 0], [0, 2, 0, 1], [0, 0, 0, 0], [0, 1, 0, 2]]) * rho * b * h**3 / 12 * le / 6
        m[np.ix_(d, d)] += lump + turn
    low = np.linalg.inv(np.linalg.cholesky(m))
    return np.sqrt(np.maximum(np.linalg.eigvalsh(low @ k @ low.T), 0))[2] / (2 * pi)


@pytest.mark.parametrize("slender", [12.0, 18.0, 30.0])
def test_bar_tap_against_a_solved_timoshenko_bar(slender):
    e, b, h, rho = 11_000.0, 8.0, 16.0, 420.0
    length = slender * h
    coarse, fine = (_timoshenko_bar_hz(length, b, h, e, e / 16, rho, n) for n in (40, 80))
    f = (4 * fine - coarse) / 3  # Richardson: the elements' error falls with the square of their length
    found = bar_tap(BarTap((f, 0), (length, 0), (b, 0), (h, 0), (rho * length * b * h * 1e-6, 0)))
    assert found.e_along_mpa == pytest.approx(e, rel=0.01)
    assert found.density_kg_m3 == pytest.approx(rho)


def test_slender_bar_is_the_standard_formula():
    # ASTM E1876 (from memory): E = 0.9465 (m f^2 / b) (L^3 / t^3) T1, T1 -> 1.
    m, f, b, length, h = 5.0, 200.0, 10.0, 1000.0, 2.0
    found = bar_tap(BarTap((f, 0), (length, 0), (b, 0), (h, 0), (m, 0)))
    assert found.e_along_mpa == pytest.approx(0.9465 * m * 1e-6 * f**2 / b * (length / h) ** 3, rel=5e-4)


def test_free_square_plate_converged_and_nafems():
    # Converged Ritz values (computed; below Leissa's printed upper bounds 13.489 19.789 24.432), nu = 0.3.
    e, t, rho = 200e3, 0.01, 8000.0
    q = (e / 0.91, e / 0.91, e / 2.6, 0.3 * e / 0.91)
    hz, _ = free_plate_modes(1, 1, t, rho, q)
    scaled = hz * 2 * pi * sqrt(rho * 1e-12 * t / (e * t**3 / 12 / 0.91))
    assert scaled[:6] == pytest.approx([13.468, 19.596, 24.270, 34.801, 34.801, 61.093], abs=1.5e-3)
    # NAFEMS FV12: 10 x 10 x 0.05 m steel, printed 1.622 2.360 2.922 4.190 4.190 7.356 Hz.
    hz, _ = free_plate_modes(10e3, 10e3, 50.0, rho, q)
    assert hz[:6] == pytest.approx([1.622, 2.360, 2.922, 4.190, 4.190, 7.356], abs=1e-3)


def test_orthotropic_free_plate_tap_tones_and_back():
    # Computed reference (converged Ritz): 500 x 400 x 2.8 mm Sitka: 19.18, 25.878 and 59.545 Hz.
    tones = tap_tones(500, 400, 2.8, 448, 11880, 926.64, 760.32, 0.372)
    assert (tones.twist_hz, tones.across_hz, tones.along_hz) == pytest.approx((19.18, 25.878, 59.545), abs=2e-3)
    found = plate_tap(
        PlateTap(
            (tones.twist_hz, 0),
            (tones.along_hz, 0),
            (tones.across_hz, 0),
            (500, 0),
            (400, 0),
            (2.8, 0.01),
            (448 * 0.5 * 0.4 * 2.8, 0),
            (0.372, 0),
        )
    )
    assert (found.e_along_mpa, found.e_across_mpa, found.shear_mpa) == pytest.approx((11880, 926.64, 760.32), rel=2e-4)
    # At a fixed mass E goes with thickness to the -3rd: only its uncertainty is left here.
    assert found.e_along_spread_mpa / found.e_along_mpa == pytest.approx(3 * 0.01 / 2.8, rel=0.01)


def test_tones_of_no_plate_are_refused():
    with pytest.raises(ValueError, match="three tones"):
        plate_tap(PlateTap((500, 0), (20, 0), (20, 0), (500, 0), (400, 0), (2.8, 0), (250, 0)))


def test_measured_stock_replaces_the_table():
    listed = wood("red spruce")
    own = measured_wood(listed, Found(e_along_mpa=13_000.0, density_kg_m3=430.0))
    assert own.elastic.e_l_mpa == 13_000.0
    assert own.elastic.e_r_mpa / own.elastic.e_l_mpa == pytest.approx(listed.elastic.e_r_mpa / listed.elastic.e_l_mpa)
    assert (own.density_kg_m3, own.provenance, own.elastic.provenance) == (430.0, "measured", "measured")
    across = measured_wood(listed, Found(e_across_mpa=800.0, shear_mpa=700.0)).elastic
    assert (across.e_l_mpa, across.e_r_mpa, across.g_lr_mpa) == (listed.elastic.e_l_mpa, 800.0, 700.0)

"""The plate model without and with bars against closed forms.

Sources: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells; Leissa, Vibration of Plates (NASA SP-160),
replaced by converged values where Leissa's are upper bounds; NAFEMS FV12; Navier's series for orthotropic plates;
Donnell-Mushtari-Vlasov shallow shell with shear-diaphragm edges. "computed" marks values from a closed form or a
converged series worked out independently of this program.
"""

from math import pi, sqrt

import numpy as np
import pytest
import shapely

from braces.design.woods import Elastic, wood
from braces.mechanics.bar import Bar, numbering
from braces.mechanics.bar_moments import element_matrices
from braces.mechanics.braced_plate import BracedPlate, Mesh, assemble, bind, modes
from braces.mechanics.loads import patch_mean, pressure
from braces.mechanics.plate_model import A, B, Sheet, U, V, W
from braces.mechanics.rim import LineSpring, Rim
from braces.mechanics.sections import Section, composite
from braces.mechanics.wood_axes import cross_shear, plane_stress, solid_stiffness

E, NU, RHO = 11_000.0, 0.3, 400.0
SQUARE = 200.0
THIN = 0.4  #: thickness: thin enough for Kirchhoff's plate, 1/500


def isotropic(t=THIN):
    q = E / (1 - NU**2) * np.array([[1, NU, 0], [NU, 1, 0], [0, 0, (1 - NU) / 2]])
    return q, np.eye(2) * E / 2 / (1 + NU)


def rim_of(kind, corners, q, t, step):
    line = np.array([*corners, corners[0]], dtype=float)
    bend, stretch = q[0, 0] * t**3 / 12, q[0, 0] * t
    out, flat, turn = 1e4 * bend / step**3, 1e4 * stretch / step, 1e4 * bend / step
    return {
        "free": Rim("free"),
        "supported": Rim("supported", (LineSpring(line, out),)),
        "hinged": Rim("hinged", (LineSpring(line, out, flat),)),
        "clamped": Rim("clamped", (LineSpring(line, out, flat, turn),)),
    }[kind]


def plate(kind, step=10.0, size=(SQUARE, SQUARE), t=THIN, law=None, curvature=(0.0, 0.0, 0.0), rho=RHO, bars=()):
    a, b = size
    q, g = law or isotropic()
    sheet = Sheet(shapely.box(0, 0, a, b), t, q, g, rho, curvature)
    mesh = Mesh(step, coarse=False, offset=(0.0, 0.0))
    rim = rim_of(kind, [(0, 0), (a, 0), (a, b), (0, b)], q, t, step)
    return assemble(bind(BracedPlate(sheet, (), bars, (), rim), mesh))


def scaled(hertz, a, t, rho=RHO):
    return hertz * 2 * pi * a**2 * sqrt(rho * 1e-12 * t / (E * t**3 / 12 / (1 - NU**2)))


@pytest.mark.parametrize(
    ("kind", "rigid", "exact"),
    [
        (
            "free",
            6,
            [13.468, 19.596, 24.270, 34.801, 34.801],
        ),  # converged (computed); Leissa prints 13.489 19.789 24.432
        ("clamped", 0, [35.985, 73.394, 73.394, 108.217, 131.581]),  # converged (computed); Leissa 35.992 73.413
        ("hinged", 0, [2 * pi**2, 5 * pi**2, 5 * pi**2, 8 * pi**2, 10 * pi**2]),  # exact: pi^2 (m^2 + n^2)
    ],
)
def test_frequencies_of_a_thin_square(kind, rigid, exact):
    hertz, _ = modes(plate(kind, step=8.0), 5, rigid)
    assert scaled(hertz, SQUARE, THIN) == pytest.approx(exact, rel=2e-3)


def test_a_free_plate_has_six_motions_without_stiffness():
    system = plate("free", step=40.0)
    hertz, _ = modes(system, 1, rigid=6)
    every = np.sort(np.abs(np.linalg.eigvalsh(_dense(system))))
    assert (every[:6] < 1e-5 * every[6]).all()
    assert hertz[0] > 1


def _dense(system):
    k, m = system.stiffness.tocsc().toarray(), system.mass.tocsc().toarray()
    low = np.linalg.inv(np.linalg.cholesky(m + 1e-18 * np.eye(len(m))))
    return low @ k @ low.T


@pytest.mark.parametrize(
    ("kind", "uniform", "point"),
    [
        ("hinged", 0.00406235, None),  # Timoshenko 0.00406 (q a^4 / D)
        ("clamped", 0.00126532, None),  # Timoshenko 0.00126
    ],
)
def test_deflection_of_a_thin_square(kind, uniform, point):
    system = plate(kind)
    space = system.bound.space
    force = pressure(space, shapely.box(0, 0, SQUARE, SQUARE), 1e-6 * SQUARE**2)
    moved = system.stiffness.factor().solve(force)
    middle = (space.rows(np.array([SQUARE / 2]), np.array([SQUARE / 2]), [(W, 0, 0, 1.0)]) @ moved)[0]
    d = E * THIN**3 / 12 / (1 - NU**2)
    assert middle * d / (1e-6 * SQUARE**4) == pytest.approx(uniform, rel=2e-3)
    # Energy balance: the work of the load is twice the strain energy.
    assert force @ moved == pytest.approx(moved @ (system.stiffness @ moved), rel=1e-9)


def test_maxwell_reciprocity():
    system = plate("hinged", step=20.0)
    space = system.bound.space
    one = patch_mean(space, shapely.box(40, 50, 60, 70), [(W, 0, 0, 1.0)])
    two = patch_mean(space, shapely.box(120, 90, 150, 130), [(W, 0, 1, 1.0)])
    factor = system.stiffness.factor()
    assert one @ factor.solve(two) == pytest.approx(two @ factor.solve(one), rel=1e-8)


def test_patch_test_constant_strain_and_curvature():
    # u = 1e-3 x and w = 1e-5 x^2 / 2 with a = -w,x: energy q11/2 area (t e^2 + t^3/12 k^2), exact for splines.
    system = plate("free", step=20.0, t=3.0)
    grid = system.bound.space.grid
    i, _ = grid.places()
    # Coefficients of x and x^2 in uniform cubic splines: knot averages (Marsden's identity).
    x = grid.x0_mm + (i - 1.0) * grid.step_mm
    v = np.zeros(system.count)
    v[U::5][: len(x)] = 1e-3 * x
    v[W::5][: len(x)] = 1e-5 / 2 * (x**2 - grid.step_mm**2 / 3)
    v[A::5][: len(x)] = -1e-5 * x
    q, _ = isotropic()
    energy = q[0, 0] / 2 * SQUARE**2 * (3.0 * 1e-6 + 3.0**3 / 12 * 1e-10)
    assert v @ (system.stiffness @ v) / 2 == pytest.approx(energy, rel=1e-9)
    assert (V, B) == (1, 4)


def sitka():
    e = wood("sitka spruce").elastic
    return plane_stress(e), cross_shear(e)


def test_orthotropic_navier_with_shear_is_below_and_near_thin_plate_theory():
    # Shear 30 times stiffer stands for thin-plate theory.
    # Navier (computed): 500 x 400 x 2.8 mm Sitka, grain along x: 34.05 64.368 111.98 119.929 136.198 Hz, thin plate.
    q, g = sitka()
    hertz, _ = modes(plate("hinged", 12.5, (500.0, 400.0), 2.8, (q, g * 30), rho=448.0), 5)
    assert hertz == pytest.approx([34.05, 64.368, 111.98, 119.929, 136.198], rel=2e-3)
    flexible, _ = modes(plate("hinged", 12.5, (500.0, 400.0), 2.8, (q, g), rho=448.0), 5)
    assert (flexible < hertz).all()
    assert (flexible > 0.97 * hertz).all()  # rolling shear costs 1 to 2 % here, never more than a few


def test_shallow_sphere_with_diaphragm_edges():
    # Computed from the Airy-function solution: the plate above on a 25 ft sphere: 55.962 and 91.323 Hz. Shear-diaphragm
    # edges (w = 0, free to move along their normal, held along themselves) on straight sides.
    q, g = sitka()
    a, b, t, step = 500.0, 400.0, 2.8, 12.5
    k = -1 / (25 * 304.8)
    sheet = Sheet(shapely.box(0, 0, a, b), t, q, g * 30, 448.0, (k, k, 0.0))
    system = assemble(bind(BracedPlate(sheet, (), (), (), Rim("none")), Mesh(step, coarse=False, offset=(0.0, 0.0))))
    space, held = system.bound.space, system.stiffness.base
    s = np.linspace(2.5, 497.5, 100)
    for field, x, y in (
        (V, np.zeros(100), s * b / a),
        (V, np.full(100, a), s * b / a),
        (U, s, np.zeros(100)),
        (U, s, np.full(100, b)),
    ):
        for f, stiff in ((W, 1e4 * q[0, 0] * t**3 / 12 / step**3), (field, 1e4 * q[0, 0] * t / step)):
            rows = space.rows(x, y, [(f, 0, 0, 1.0)])
            held = held + 5.0 * stiff * rows.T @ rows
    from dataclasses import replace

    hertz, _ = modes(replace(system, stiffness=replace(system.stiffness, base=held.tocsr())), 2)
    assert hertz == pytest.approx([55.962, 91.323], rel=3e-3)


def bar_of(width, high, length, elastic, rho=RHO, name="bar", y=0.0, element=20.0):
    t, w = np.polynomial.legendre.leggauss(4)

    def faces(s, n):
        return np.zeros((len(s), len(n))), np.full((len(s), len(n)), high)

    return Bar(
        name,
        (0.0, y),
        (1.0, 0.0),
        width,
        np.linspace(0, length, int(length / element) + 1),
        (),
        faces,
        high,
        (t * width / 2, w * width / 2),
        solid_stiffness(elastic),
        rho,
        (0.0, 0.0, 0.0),
    )


def bar_hertz(bar):
    k, m = element_matrices(bar)
    n = numbering(bar)
    stiff, mass = np.zeros((n.total, n.total)), np.zeros((n.total, n.total))
    for a, b, at in zip(k, m, n.element, strict=True):
        stiff[np.ix_(at, at)] += a
        mass[np.ix_(at, at)] += b
    from scipy.linalg import eigh

    values = eigh(stiff, mass, eigvals_only=True, subset_by_index=[0, 18])
    return np.sqrt(np.abs(values)) / (2 * pi)


ISO = Elastic(E, E * (1 + 1e-9), E, E / 2.6, E / 2.6, E / 2.6, NU, NU, NU, "assumed", "isotropic")


def test_a_free_solid_bar_bends_and_twists_as_textbooks_say():
    b, h, length = 8.0, 12.0, 400.0
    hertz = bar_hertz(bar_of(b, h, length, ISO, element=40.0))
    assert (hertz[:6] < 0.1).all()
    rho = RHO * 1e-12
    lateral = 4.730041**2 / (2 * pi * length**2) * sqrt(E * b**2 / 12 / rho)
    upright = 4.730041**2 / (2 * pi * length**2) * sqrt(E * h**2 / 12 / rho)
    # Rectangle of ratio 1.5: J = 0.1958 a b^3 (Timoshenko and Goodier). Twist: f = sqrt(G J / rho Ip) / 2 L.
    twist = sqrt(E / 2.6 * 0.1958 * h * b**3 / (rho * b * h * (b * b + h * h) / 12)) / (2 * length)
    assert hertz[6] == pytest.approx(lateral, rel=6e-3)  # shear and rotary inertia take off about (h/l)^2 x 7
    assert hertz[7] == pytest.approx(upright, rel=1.2e-2)
    assert np.abs(hertz / twist - 1).min() < 0.01


def test_a_braced_strip_is_its_composite_section():
    # A long strip of plate with a bar along its middle bends as the transformed section says (computed by hand).
    e = wood("sitka spruce").elastic
    length, width, t, b, h = 800.0, 30.0, 3.0, 8.0, 12.0
    q, g = plane_stress(e), cross_shear(e)
    sheet = Sheet(shapely.box(0, 0, length, width), t, q, g, 448.0)
    bar = bar_of(b, h, length, e, 448.0, y=width / 2, element=40.0)
    mesh = Mesh(7.5, coarse=False)
    system = assemble(bind(BracedPlate(sheet, (), (bar,), (), Rim("free")), mesh))
    hertz, shapes = modes(system, 6, 6)
    one = np.ones(1)
    part = Section(b * h * one, h / 2 * one, b * h**3 / 12 * one, h * one, 0 * one)
    ei = composite(part, e.e_l_mpa, e.e_l_mpa, width, t).stiffness_n_mm2[0]
    metre = 448e-12 * (b * h + width * t)
    expected = 4.730041**2 / (2 * pi * length**2) * sqrt(ei / metre)
    rows = system.bound.space.rows(np.array([1.0, 400.0]), np.array([15.0, 15.0]), [(W, 0, 0, 1.0)])
    size = np.abs(rows @ shapes[: system.bound.space.count]).sum(axis=0)
    upright = hertz[size > 0.5 * size.max()]
    # Shear and rotary inertia take off 0.5 to 1 % here (r^2/l^2 (49.5 + 12.3 E/kG) / 2, r^2 = 19 mm2, E/kG = 19 to 27).
    assert upright.min() == pytest.approx(expected, rel=0.012)
    assert upright.min() < expected


def test_a_grid_off_the_edges_and_coarse_far_away_gives_the_same_plate():
    q, g = isotropic()
    box = shapely.box(0, 0, SQUARE, SQUARE)
    sheet = Sheet(box, 2.0, q, g, RHO)
    found = []
    for mesh in (Mesh(8.0, coarse=False, offset=(0.0, 0.0)), Mesh(8.0, coarse=False, offset=(0.37, 0.81))):
        found.append(modes(assemble(bind(BracedPlate(sheet, (), (), (), Rim("free")), mesh)), 6, 6)[0])
    assert found[0] == pytest.approx(found[1], rel=1e-3)


def test_the_error_falls_as_the_grid_is_refined():
    exact = np.array([35.985, 73.394])
    errors = []
    for step in (40.0, 20.0, 10.0):
        hertz, _ = modes(plate("clamped", step), 2)
        errors.append(np.abs(scaled(hertz, SQUARE, THIN) / exact - 1).max())
    assert errors[2] < errors[1] < errors[0]
    assert errors[0] > 8 * errors[2]  # at least third order over two halvings

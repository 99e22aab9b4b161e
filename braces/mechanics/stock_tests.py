"""From a maker's bench measurements to stiffness and density, with the uncertainty carried through.

A reading is (value, standard uncertainty) in the unit its name states. Uncertainties are taken as independent and
small, and are added in quadrature, each times how strongly the result depends on it (GUM, JCGM 100:2008, 5.1.2).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from braces.base.arrays import Floats
from braces.design.own_woods import measured
from braces.design.woods import Wood
from braces.mechanics.free_plate import tap_tones

Reading = tuple[float, float]

#: First root of cos(x) cosh(x) = 1: the free bar's fundamental (textbook; verified in the tests).
_FREE_BAR_ROOT = 4.730040744862704
_THETA = _FREE_BAR_ROOT * 0.982502  #: root x (cosh - cos)/(sinh - sin), the free bar's end slope
_SHEAR_FACTOR = 5 / 6  #: rectangle
#: Wood Handbook: shear modulus about E_L / 16 where it was not measured.
E_OVER_G = 16.0


@dataclass(frozen=True, slots=True)
class Found:
    """What a stick or plate turned out to be. None where the test cannot tell."""

    e_along_mpa: float | None = None
    e_along_spread_mpa: float | None = None  #: standard uncertainty
    e_across_mpa: float | None = None
    e_across_spread_mpa: float | None = None
    shear_mpa: float | None = None
    shear_spread_mpa: float | None = None
    density_kg_m3: float | None = None
    density_spread_kg_m3: float | None = None


@dataclass(frozen=True, slots=True)
class BendTest:
    """Three-point bend: a load in the middle of a span."""

    span_mm: Reading
    load_n: Reading
    deflection_mm: Reading
    width_mm: Reading
    height_mm: Reading


@dataclass(frozen=True, slots=True)
class BarTap:
    """A free bar, held at 0.224 of its length from either end and tapped in the middle."""

    frequency_hz: Reading
    length_mm: Reading
    width_mm: Reading
    height_mm: Reading
    mass_g: Reading


@dataclass(frozen=True, slots=True)
class PlateTap:
    """A free rectangular plate, grain along its length, and its three tap tones."""

    twist_hz: Reading
    along_hz: Reading
    across_hz: Reading
    length_mm: Reading
    width_mm: Reading
    thickness_mm: Reading
    mass_g: Reading
    nu_ratio: Reading = (0.37, 0.05)  #: nu_LR, from the table of woods


def measured_wood(listed: Wood, found: Found) -> Wood:
    """Return the table's wood with what was found in its place, as ``measured`` says."""
    return measured(listed, found.e_along_mpa, found.e_across_mpa, found.shear_mpa, found.density_kg_m3)


def _relative(*powers: tuple[Reading, float]) -> float:
    """Relative uncertainty of a product of powers."""
    return sqrt(sum((n * spread / value) ** 2 for (value, spread), n in powers))


def bend_test(test: BendTest, e_over_g_ratio: float = E_OVER_G) -> Found:
    """Return the modulus along the grain from a three-point bend, shear deflection taken off.

    E = P l^3 / (4 b h^3 d) (Wood Handbook, table 9-1) times 1 + 1.2 (E/G) (h/l)^2.

    >>> found = bend_test(BendTest((400.0, 0.0), (10.0, 0.0), (1.0, 0.0), (10.0, 0.0), (20.0, 0.0)), 0.0)
    >>> found.e_along_mpa
    2000.0
    """
    readings = (test.span_mm, test.load_n, test.deflection_mm, test.width_mm, test.height_mm)
    span, load, d, b, h = (r[0] for r in readings)
    e = load * span**3 / (4 * b * h**3 * d) * (1 + 1.2 * e_over_g_ratio * (h / span) ** 2)
    spread = _relative(
        (test.span_mm, 3), (test.load_n, 1), (test.deflection_mm, -1), (test.width_mm, -1), (test.height_mm, -3)
    )
    return Found(e_along_mpa=e, e_along_spread_mpa=e * spread)


def bar_tap(test: BarTap, e_over_g_ratio: float = E_OVER_G) -> Found:
    """Return modulus and density from a free bar's fundamental, shear and rotary inertia allowed for.

    Euler: f = (x^2 / 2 pi l^2) sqrt(E I / rho A), x = 4.7300. Correction of Goens as used by Hearmon:
    E = E_euler (1 + (h^2 / 12 l^2) (F1 + F2 E / (5/6 G))), F1 = t^2 + 6 t, F2 = t^2 - 2 t, t = 4.647 (from memory;
    the tests compare it with a solved Timoshenko bar).
    """
    readings = (test.frequency_hz, test.length_mm, test.width_mm, test.height_mm, test.mass_g)
    f, length, b, h, m = (r[0] for r in readings)
    density = m / (length * b * h) * 1e6
    euler = 48 * pi**2 / _FREE_BAR_ROOT**4 * (m * 1e-6) * f**2 * length**3 / (b * h**3)
    first, second = _THETA**2 + 6 * _THETA, _THETA**2 - 2 * _THETA
    e = euler * (1 + h**2 / (12 * length**2) * (first + second * e_over_g_ratio / _SHEAR_FACTOR))
    spread = _relative(
        (test.mass_g, 1), (test.frequency_hz, 2), (test.length_mm, 3), (test.width_mm, -1), (test.height_mm, -3)
    )
    dense = _relative((test.mass_g, 1), (test.length_mm, -1), (test.width_mm, -1), (test.height_mm, -1))
    return Found(
        e_along_mpa=e, e_along_spread_mpa=e * spread, density_kg_m3=density, density_spread_kg_m3=density * dense
    )


def plate_tap(test: PlateTap) -> Found:
    """Return E_L, E_R, G_LR and density from three tap tones of a free plate, by inverting its Ritz model.

    Raises ValueError if no set of stiffnesses gives those tones (the shapes were probably mistaken).
    """
    readings = (
        test.twist_hz,
        test.along_hz,
        test.across_hz,
        test.length_mm,
        test.width_mm,
        test.thickness_mm,
        test.mass_g,
        test.nu_ratio,
    )
    values = np.array([r[0] for r in readings])
    best = _plate_stiffness(values)
    change = np.zeros((3, len(values)))
    for i, (value, spread) in enumerate(readings):
        if spread:
            step = np.zeros(len(values))
            step[i] = 1e-3 * value
            moved = _plate_stiffness(values + step) - _plate_stiffness(values - step)
            change[:, i] = moved / (2e-3 * value) * spread
    spreads = np.sqrt((change**2).sum(1))
    density = test.mass_g[0] / (test.length_mm[0] * test.width_mm[0] * test.thickness_mm[0]) * 1e6
    dense = _relative((test.mass_g, 1), (test.length_mm, -1), (test.width_mm, -1), (test.thickness_mm, -1))
    return Found(
        float(best[0]),
        float(spreads[0]),
        float(best[1]),
        float(spreads[1]),
        float(best[2]),
        float(spreads[2]),
        density,
        density * dense,
    )


def _plate_stiffness(values: Floats) -> Floats:
    """(E_L, E_R, G_LR) in MPa from (twist, along, across Hz, length, width, thickness mm, mass g, nu)."""
    twist, along, across, length, width, thickness, mass, nu = (float(v) for v in values)
    density = mass / (length * width * thickness) * 1e6
    rho = density * 1e-12
    # Plain beam and one-term twist formulas start Newton's method close by.
    beam = 12 * rho * (2 * pi) ** 2 / _FREE_BAR_ROOT**4 / thickness**2
    x = np.log(
        [
            beam * along**2 * length**4,
            beam * across**2 * width**4,
            rho * (2 * pi * twist * length * width / thickness) ** 2 / 48,
        ]
    )
    goal = np.log([along, across, twist])

    def tones(v: Floats) -> Floats:
        e1, e2, g = np.exp(v)
        t = tap_tones(length, width, thickness, density, e1, e2, g, nu, 8)
        return np.log([t.along_hz, t.across_hz, t.twist_hz])

    for _ in range(30):
        miss = goal - tones(x)
        if np.abs(miss).max() < 1e-10:
            return np.asarray(np.exp(x)[[0, 1, 2]])
        jacobian = np.stack([(tones(x + d) - tones(x - d)) / 2e-5 for d in np.eye(3) * 1e-5], axis=1)
        if np.linalg.cond(jacobian) > 1e8:
            break
        x = x + np.clip(np.linalg.solve(jacobian, miss), -0.5, 0.5)
    raise ValueError("no plate has these three tones: check which shape gave which")

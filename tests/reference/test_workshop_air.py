"""The air in a box with walls that do not move.

Sources: a bottle of one litre with a neck of 3 cm2 and 5 cm sounds at about 130 Hz (J. Wolfe, Helmholtz resonance,
UNSW, from memory); a plug of air on a closed volume of ideal gas, integrated by scipy; the end correction of two
flanged ends, 1.7 r (Kinsler & Frey, Fundamentals of Acoustics, section 10.5: 2 x 8 r / (3 pi) rounded), and the exact
conductivity 2 r of a hole in a plate without thickness (Rayleigh, from memory); 331.3 and 343.2 m/s in dry air at 0
and 20 deg C (handbooks, from memory); volume of a spherical cap (textbook).
"""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from support.designs import carved_of

from braces.workshop.box import box_air, helmholtz_hz, integral_inside, neck_lengths_mm, speed_of_sound_mm_s


def test_wolfes_bottle() -> None:
    assert helmholtz_hz(300.0, 1.0e6, 50.0) == pytest.approx(130.0, rel=0.03)  # the source says "about"


@pytest.mark.parametrize(("area", "volume", "length"), [(300.0, 1.0e6, 50.0), (7500.0, 12.0e6, 82.0)])
def test_a_plug_of_air_on_a_volume_of_gas(area: float, volume: float, length: float) -> None:
    """P V^1.4 is constant in the box; the plug moves by Newton's law. A tiny swing: its period from scipy."""
    c, pressure = speed_of_sound_mm_s(20.0), 0.101325  # mm/s, N/mm2
    mass = 1.4 * pressure / c**2 * area * length  # density is 1.4 p / c^2

    def move(_: float, v: np.ndarray) -> list[float]:
        inside = pressure * (volume / (volume + area * v[0])) ** 1.4
        return [v[1], area * (inside - pressure) / mass]

    def back(_: float, v: np.ndarray) -> float:
        return float(v[0])

    back.direction = -1.0  # type: ignore[attr-defined]
    expected = helmholtz_hz(area, volume, length)
    start = [0.0, 1e-3 * length * 2 * pi * expected]
    run = solve_ivp(move, (0.0, 2.2 / expected), start, events=back, rtol=1e-10, atol=1e-13)
    first, second = run.t_events[0][:2]
    assert 1 / (second - first) == pytest.approx(expected, rel=2e-5)


def test_two_bounds_hold_the_textbooks_neck() -> None:
    short, long = neck_lengths_mm(50.0, 2.8)
    assert pi * 50.0**2 / neck_lengths_mm(50.0, 0.0)[0] == pytest.approx(2 * 50.0, rel=1e-12)
    assert long == pytest.approx(2.8 + 1.7 * 50.0, rel=2e-3)
    assert short < long


def test_speed_of_sound() -> None:
    assert speed_of_sound_mm_s(0.0) == pytest.approx(331.3e3, rel=1e-12)
    assert speed_of_sound_mm_s(20.0) == pytest.approx(343.2e3, rel=3e-4)


def test_a_real_body_in_one_line() -> None:
    """A steel string of this size: 98 mm hole, 10 to 14 litres (common practice)."""
    air = box_air(carved_of("fieldfare"))
    assert air.lowest_hz is not None
    assert air.highest_hz is not None
    litres = air.air_mm3 / 1e6
    assert 10 < litres < 14
    r, thick = 49.0, 0.110 * 25.4
    for hz, neck in ((air.lowest_hz, thick + 16 * r / (3 * pi)), (air.highest_hz, thick + pi * r / 2)):
        assert hz == pytest.approx(343.2e3 / (2 * pi) * sqrt(pi * r**2 / (air.air_mm3 * neck)), rel=5e-4)


def test_volume_of_a_spherical_cap() -> None:
    """pi h^2 (3 R - h) / 3 over the outline of a circle, by the quadrature that the box's volume is made with."""
    from braces.curves.path import Path
    from braces.curves.polynomial import quintic_pieces

    radius, sphere = 60.0, 400.0
    a = np.linspace(0.0, 2 * pi, 17)
    points = np.column_stack([radius * np.sin(a), -radius * np.cos(a)])
    first = np.column_stack([np.cos(a), np.sin(a)]) * radius * pi / 8
    second = np.column_stack([-np.sin(a), np.cos(a)]) * radius * (pi / 8) ** 2
    circle = Path(quintic_pieces(points, first, second))
    base = sqrt(sphere**2 - radius**2)
    found = integral_inside(circle, lambda xy: np.sqrt(sphere**2 - xy[:, 0] ** 2 - xy[:, 1] ** 2) - base)
    h = sphere - base
    assert found == pytest.approx(pi * h**2 * (3 * sphere - h) / 3, rel=1e-6)

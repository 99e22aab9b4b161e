"""Go-bars against the elastica's table, Euler's load, and the equation of the bent line integrated numerically.

Sources: Timoshenko & Gere, Theory of Elastic Stability, table 2-5 as remembered (values from memory: P/Pcr, xa/l and
ya/l over the end slope; the print cuts digits off); Euler pi^2 EI / L^2 (textbook); scipy's initial value solver.
"""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.special import ellipe, ellipk

from braces.workshop.elastica import LEAST_GAP_RATIO, bent_bar

EI = 3.0e6
#: end slope, P/Pcr, xa/l, ya/l
TABLE = [(20, 1.015, 0.970, 0.220), (40, 1.063, 0.881, 0.422), (60, 1.152, 0.741, 0.593)]


@pytest.mark.parametrize(("slope", "push", "gap", "bow"), TABLE)
def test_against_the_printed_table(slope: float, push: float, gap: float, bow: float) -> None:
    """The table is of a cantilever: a bar between two points is two of them, its bow half of ya."""
    bar = bent_bar(1000.0, 1000.0 * gap, EI)
    assert bar.end_slope_deg == pytest.approx(slope, abs=0.15)  # three printed digits of xa/l
    assert bar.push_n / bar.euler_n == pytest.approx(push, abs=1.5e-3)
    assert bar.bow_mm / 500.0 == pytest.approx(bow, abs=2e-3)


#: computed series, to four decimals: end slope, P/Pcr, xa/l, ya/l
COMPUTED = [
    (5, 1.0010, 0.9981, 0.0555), (10, 1.0038, 0.9924, 0.1108), (30, 1.0351, 0.9324, 0.3239),
    (60, 1.1517, 0.7410, 0.5932), (80, 1.2939, 0.5594, 0.7195),
]  # fmt: skip


@pytest.mark.parametrize(("slope", "push", "gap", "bow"), COMPUTED)
def test_against_the_series(slope: float, push: float, gap: float, bow: float) -> None:
    bar = bent_bar(1.0, gap, 1.0)
    assert bar.push_n / bar.euler_n == pytest.approx(push, abs=1.5e-4)
    assert bar.end_slope_deg == pytest.approx(slope, abs=0.15)
    assert bar.bow_mm / 0.5 == pytest.approx(bow, abs=1.5e-3)


def test_a_hardly_bent_bar_pushes_with_eulers_load() -> None:
    bar = bent_bar(700.0, 699.99, EI)
    assert bar.push_n == pytest.approx(pi**2 * EI / 700.0**2, rel=1e-4)
    assert bar.euler_n == pytest.approx(pi**2 * EI / 700.0**2, rel=1e-12)


@pytest.mark.parametrize("gap", [690.0, 650.0, 580.0])
def test_against_the_equation_of_the_bent_line(gap: float) -> None:
    """EI t'' = -P sin t from the slope and push found, free end: the far end must arrive at the gap with slope -a."""
    length = 700.0
    bar = bent_bar(length, gap, EI)

    def grow(_: float, v: np.ndarray) -> list[float]:
        return [v[1], -bar.push_n / EI * sin(v[0]), cos(v[0]), sin(v[0])]

    a = radians(bar.end_slope_deg)
    run = solve_ivp(grow, (0.0, length), [a, 0.0, 0.0, 0.0], rtol=1e-10, atol=1e-12, dense_output=True)
    slope, bend, along, off = run.y[:, -1]
    assert slope == pytest.approx(-a, abs=1e-6)
    assert bend == pytest.approx(0.0, abs=1e-8)
    assert along == pytest.approx(gap, abs=1e-4)
    assert off == pytest.approx(0.0, abs=1e-4)
    assert run.sol(length / 2)[3] == pytest.approx(bar.bow_mm, abs=1e-4)
    stored = quad(lambda s: EI / 2 * float(run.sol(s)[1]) ** 2, 0.0, length, epsabs=1e-4)[0]
    assert bar.energy_n_mm == pytest.approx(stored, rel=1e-6)
    assert bar.moment_n_mm == pytest.approx(EI * abs(float(run.sol(length / 2)[1])), rel=1e-6)


def test_energy_is_the_work_of_pushing_it_in() -> None:
    work = quad(lambda d: bent_bar(700.0, 700.0 - d, EI).push_n, 1e-6, 60.0)[0]
    assert bent_bar(700.0, 640.0, EI).energy_n_mm == pytest.approx(work, rel=1e-5)


def test_the_steepest_bar_is_that_of_the_series() -> None:
    """2 E / K - 1 at k = sin 40 deg, written out in the program: from scipy, and 0.5594 in the table above."""
    k2 = sin(radians(40.0)) ** 2
    assert pytest.approx(2 * ellipe(k2) / ellipk(k2) - 1, rel=1e-12) == LEAST_GAP_RATIO
    assert bent_bar(1000.0, 1000.0 * LEAST_GAP_RATIO + 1e-6, EI).end_slope_deg == pytest.approx(80.0, abs=1e-3)
    with pytest.raises(ValueError, match="leans more than 80"):
        bent_bar(1000.0, 1000.0 * LEAST_GAP_RATIO - 0.1, EI)


@pytest.mark.parametrize("gap", [700.0, 720.0, 0.0, -1.0, 300.0])
def test_bars_that_do_not_stand_are_refused(gap: float) -> None:
    with pytest.raises(ValueError, match="bar of 700"):
        bent_bar(700.0, gap, EI)

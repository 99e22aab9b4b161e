"""Piecewise cubics and the slopes that keep them from overshooting; scipy's own curves are the measure."""

import numpy as np
import pytest
from scipy.interpolate import CubicHermiteSpline, PchipInterpolator

from braces.base.arrays import frozen_floats
from braces.curves.hermite import Hermite, from_knots, joined, sampled
from braces.curves.monotone import monotone_slopes

X = np.array([0.0, 10.0, 14.0, 40.0, 55.0, 90.0])
Y = np.array([3.0, 12.0, 12.0, 6.5, 9.0, 2.0])


def test_values_slopes_and_bends_against_scipy() -> None:
    m = np.array([0.3, -0.2, 0.0, 0.1, -0.4, 0.0])
    ours, theirs = from_knots(X, Y, m), CubicHermiteSpline(X, Y, m)
    at = np.linspace(0.01, 89.99, 997)
    assert ours(at) == pytest.approx(theirs(at), abs=1e-12)
    assert ours.slope(at) == pytest.approx(theirs(at, 1), abs=1e-12)
    assert ours.second(at) == pytest.approx(theirs(at, 2), abs=1e-12)
    assert ours.integral() == pytest.approx(float(theirs.integrate(0, 90)), rel=1e-12)


def test_monotone_slopes_against_scipys_pchip() -> None:
    """Both follow Fritsch and Butland (1984)."""
    assert monotone_slopes(X, Y) == pytest.approx(PchipInterpolator(X, Y).derivative()(X), abs=1e-12)
    assert monotone_slopes(X[:2], Y[:2]) == pytest.approx([0.9, 0.9])


@pytest.mark.parametrize("y", [[0, 1, 0], [0, 1, 1.0], [5, 0, 4.9], [0, 9, 10.0]])
def test_end_slopes_against_scipys_pchip(y: list[float]) -> None:
    x = np.array([0.0, 7.0, 9.0])
    assert monotone_slopes(x, np.array(y)) == pytest.approx(PchipInterpolator(x, y).derivative()(x), abs=1e-12)


def test_level_beyond_the_ends() -> None:
    curve = from_knots(X, Y)
    assert curve(np.array([-5.0, 95.0])) == pytest.approx([3.0, 2.0])
    assert curve.slope(np.array([-5.0, 95.0])) == pytest.approx([0.0, 0.0])
    assert (curve.lo_mm, curve.hi_mm) == (0.0, 90.0)


def test_a_kink_is_kept() -> None:
    roof = Hermite(frozen_floats([0, 5, 10]), frozen_floats([0, 5, 0]), frozen_floats([1, -1]), frozen_floats([1, -1]))
    assert roof.at(2.5) == 2.5
    assert roof.at(7.5) == 2.5
    assert float(roof.slope(4.999)) == pytest.approx(1.0)
    assert float(roof.slope(5.0)) == -1.0


def test_more_knots_change_nothing() -> None:
    curve = from_knots(X, Y, monotone_slopes(X, Y))
    fine = curve.refined([-3, 0, 5, 14, 14 + 1e-12, 33.3, 90, 100])
    assert len(fine.x_mm) == len(X) + 2
    at = np.linspace(0, 90, 500)
    assert fine(at) == pytest.approx(curve(at), abs=1e-12)
    assert fine.slope(at[1:-1]) == pytest.approx(curve.slope(at[1:-1]), abs=1e-12)


def test_parts_must_meet() -> None:
    a, b = from_knots([0, 1], [0, 1]), from_knots([1, 2], [1, 0])
    assert joined([a, b]).at(1.0) == 1.0
    with pytest.raises(ValueError, match="meet"):
        joined([a, from_knots([1, 2], [1.1, 0])])
    with pytest.raises(ValueError, match="meet"):
        joined([a, from_knots([1.1, 2], [1, 0])])


def test_sampled_parabola_is_exact() -> None:
    curve = sampled(lambda x: x**2, lambda x: 2 * x, np.array([0.0, 3.0, 10.0]))
    assert curve(np.array([1.0, 7.0])) == pytest.approx([1.0, 49.0])


@pytest.mark.parametrize("x", [[0, 0, 1], [0, 2, 1], [0]])
def test_knots_must_ascend(x: list[float]) -> None:
    with pytest.raises(ValueError, match=r"ascend|knots"):
        from_knots(x, [0.0] * len(x))

"""B-splines from polynomial pieces, evaluated by scipy (de Boor's algorithm)."""

import numpy as np
import pytest
from scipy.interpolate import BSpline, CubicHermiteSpline

from braces.curves.hermite import Hermite, from_knots
from braces.curves.spline import from_pieces, hermite_pieces, place_pieces, sampled_pieces


def evaluated(spline, at):
    return BSpline(np.repeat(spline.knots, spline.multiplicities), spline.poles, spline.degree)(at)


def test_a_smooth_hermite_curve():
    x, y, m = [0, 1, 3, 7], [2, 5, 1, 4], [0, 1, -2, 0.5]
    curve = from_knots(x, y, m)
    spline = from_pieces(curve.x_mm, np.stack([place_pieces(curve.x_mm), hermite_pieces(curve)], axis=-1))
    at = np.linspace(0, 7, 401)
    assert spline.multiplicities == (4, 2, 2, 4)
    assert evaluated(spline, at)[:, 0] == pytest.approx(at, abs=1e-12)
    assert evaluated(spline, at)[:, 1] == pytest.approx(CubicHermiteSpline(x, y, m)(at), abs=1e-12)


def test_a_kink_keeps_its_knot():
    curve = Hermite(*(np.array(a, dtype=float) for a in ([0, 2, 3], [0, 2, 0], [1, -2], [1, -2])))
    spline = from_pieces(curve.x_mm, hermite_pieces(curve)[..., None])
    assert spline.multiplicities == (4, 3, 4)
    assert evaluated(spline, [1.0, 2.0, 2.5])[:, 0] == pytest.approx([1, 2, 1])


@pytest.mark.parametrize("degree", [1, 2, 4, 5])
def test_sampling_a_polynomial_loses_nothing(degree):
    p = np.polynomial.Polynomial(np.arange(1, degree + 2) / 7)
    spline = from_pieces(np.array([0.0, 2.0]), sampled_pieces(lambda s: p(s)[:, None], np.array([0.0, 2.0]), degree))
    at = np.linspace(0, 2, 51)
    assert evaluated(spline, at)[:, 0] == pytest.approx(p(at), rel=1e-12)


def test_pieces_of_a_smooth_function_join_smoothly():
    def f(s):
        return np.column_stack([s, np.where(s < 1, s**2, 2 * s - 1)])

    spline = from_pieces(np.array([0.0, 1.0, 4.0]), sampled_pieces(f, np.array([0.0, 1.0, 4.0]), 2))
    assert spline.multiplicities == (3, 1, 3)
    at = np.linspace(0, 4, 101)
    assert evaluated(spline, at) == pytest.approx(f(at), abs=1e-12)

"""The curves and surfaces of a brace's top against the words of the contract, evaluated by scipy's B-splines."""

import numpy as np
import pytest
from scipy.interpolate import BSpline
from solid_specimens import barrel, dome, falling, scalloped, straight_taper, x_bass

from braces.curves.section import gabled, rounded
from braces.solids.rails import across, along_glue, arc_step_mm, rail, strip_surface, top_of

SHAPES = {"square": gabled(8, 8), "gabled": gabled(8, 2), "ridge": gabled(8, 0), "rounded": rounded(8)}


def evaluated(spline, at):
    """The spline by de Boor's algorithm, as scipy has it."""
    return BSpline(np.repeat(spline.knots, spline.multiplicities), spline.poles, spline.degree)(at)


def stated(stick, x, y):
    """The top in the words of the contract."""
    return stick.glue.z(x, 0.0) + stick.height(x) - stick.drop(x) * stick.shape(y)


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize("radius_mm", [2500.0, 8534.0])
def test_rails_follow_height_and_arc(shape, radius_mm):
    stick = x_bass(shape=shape, glue=dome(radius_mm, y_mm=60.0))
    top = top_of(stick, -20.0, 520.0, [])
    x = np.linspace(-20, 520, 3001)
    for i, y in enumerate(shape.y_mm):
        p = evaluated(rail(top, i, -20.0, 520.0), x)
        assert np.abs(p[:, 0] - x).max() < 1e-9
        assert np.abs(p[:, 1] - y).max() < 1e-12
        assert np.abs(p[:, 2] - stated(stick, x, y)).max() < 1e-6


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_edges_across_are_exact(shape):
    stick = x_bass(shape=shape, drop=falling(scalloped(500.0), 0.3))
    top = top_of(stick, -20.0, 520.0, [])
    for y0, y1 in zip(shape.y_mm[:-1], shape.y_mm[1:], strict=True):
        for x0, x1 in ((120.0, 120.0), (120.0, 133.0), (101.0, 98.0)):
            spline = across(top, (x0, y0), (x1, y1))
            t = np.linspace(0, 1, 101)
            p = evaluated(spline, t * spline.knots[-1])
            assert np.abs(p[:, 0] - (x0 + t * (x1 - x0))).max() < 1e-11
            assert np.abs(p[:, 2] - top.z(p[:, 0], p[:, 1])).max() < 1e-11
            assert np.abs(p[:, 2] - stated(stick, p[:, 0], p[:, 1])).max() < 1e-6


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_strips_are_the_surface_between_rails(shape):
    stick = x_bass(shape=shape)
    top = top_of(stick, -20.0, 520.0, [])
    x = np.linspace(-20, 520, 301)
    for i in range(len(shape.middle)):
        s = strip_surface(top, i, -20.0, 520.0)
        knots = np.repeat(s.along.knots, s.along.multiplicities)
        lines = np.stack([BSpline(knots, line, 3)(x) for line in s.lines])
        for t in (0.0, 0.3, 0.5, 1.0):
            y = s.y_mm[0] + t * (s.y_mm[1] - s.y_mm[0])
            weights = [1 - t, t] if shape.degree == 1 else [(1 - t) ** 2, 2 * t * (1 - t), t * t]
            p = np.tensordot(weights, lines, axes=1)
            assert np.abs(p[:, 1] - y).max() < 1e-12
            assert np.abs(p[:, 2] - stated(stick, x, y)).max() < 1e-6


def test_a_kink_stays_and_smooth_knots_are_smooth():
    height = straight_taper(400.0)
    stick = x_bass(height=height, drop=falling(height), length_mm=400.0, notches=[])
    spline = rail(top_of(stick, 0.0, 400.0, []), 0, 0.0, 400.0)
    kinks = [float(x) for x, m in zip(spline.knots, spline.multiplicities, strict=True) if m == 3]
    assert kinks == pytest.approx([20, 160, 240, 380])
    assert set(spline.multiplicities[1:-1]) == {2, 3}


@pytest.mark.parametrize("axis_deg", [0.0, 37.0, 90.0])
def test_edges_on_a_barrel_follow_it(axis_deg):
    glue = barrel(axis_deg)
    spline = along_glue(glue, (0.0, -4.0), (480.0, 30.0))
    p = evaluated(spline, np.linspace(0, spline.knots[-1], 2001))
    assert np.abs(p[:, 2] - glue.z(p[:, 0], p[:, 1])).max() < 2e-7


def test_spans_are_as_long_as_the_error_bound_allows():
    """Cubic Hermite error h^4 / 384 max |f''''| (from memory, any text on numerical analysis); circle 3 / R^3."""
    h, radius = arc_step_mm(dome()), 8534.0
    assert 2e-8 < h**4 / 384 * 3 / radius**3 < 1e-7

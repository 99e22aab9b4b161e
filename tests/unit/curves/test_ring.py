"""Closed curves through points, against circles and ellipses."""

import numpy as np
import pytest

from braces.curves.ring import circle, fitting, raised, ring_through
from braces.curves.surface import Surface


def ellipse(a, b, count):
    t = np.linspace(0, 2 * np.pi, count, endpoint=False)
    return np.column_stack([a * np.cos(t), b * np.sin(t)])


def test_a_circle_is_round():
    ring = circle(3.0, -2.0, 50.0)
    p, _ = ring.at(np.linspace(0, ring.s_mm[-1], 5000))
    assert np.abs(np.hypot(p[:, 0] - 3, p[:, 1] + 2) - 50).max() < 1e-8 * 50
    assert p[1250] == pytest.approx([3, 48], abs=0.1)
    assert np.array_equal(ring.points[0], ring.points[-1])


@pytest.mark.parametrize("turn", [1, -1])
def test_area_and_second_moment_of_an_ellipse(turn):
    """pi a b and pi a^3 b / 4 (handbook values), whichever way the points run.

    The curve may be 0.002 mm off all round: 0.002 * 1070 mm of perimeter is 2.4e-5 of the area; a fifth is allowed.
    """
    ring = ring_through(ellipse(200.0, 140.0, 400)[::turn])
    assert ring.integral(lambda x, y: np.ones_like(x)) == pytest.approx(np.pi * 200 * 140, rel=5e-6)
    assert ring.integral(lambda x, y: x**2) == pytest.approx(np.pi * 200**3 * 140 / 4, rel=5e-6)


def test_the_curve_stays_by_the_points_and_between_them():
    ring = ring_through(ellipse(200.0, 140.0, 320))
    p, _ = ring.at(np.linspace(0, ring.s_mm[-1], 4000))
    off = (np.hypot(p[:, 0] / 200, p[:, 1] / 140) - 1) * 140
    assert np.abs(off).max() < 0.005
    assert len(ring.s_mm) - 1 <= 320 // 2


def test_few_points_are_all_kept():
    points = ellipse(200.0, 140.0, 12)
    ring = ring_through(points)
    assert ring.points[:-1] == pytest.approx(points)


def test_splitting_changes_nothing():
    ring = ring_through(ellipse(200.0, 140.0, 320))
    s = np.linspace(0, ring.s_mm[-1], 999)
    assert ring.split(3).at(s)[0] == pytest.approx(ring.at(s)[0], abs=1e-10)
    assert len(ring.split(3).s_mm) == 3 * (len(ring.s_mm) - 1) + 1


def test_a_raised_ring_follows_the_dome():
    dome = Surface("sphere", 4000.0, 20.0, -30.0, 4000.0)
    fine = fitting(circle(0.0, 150.0, 50.0), dome, 1e-6)
    z, dz = raised(fine, dome)
    assert z == pytest.approx(dome.z(*fine.points.T), abs=1e-12)
    step = 1e-4
    (ahead, _), (back, _) = fine.at(fine.s_mm[1:-1] + step), fine.at(fine.s_mm[1:-1] - step)
    assert dz[1:-1] == pytest.approx((dome.z(*ahead.T) - dome.z(*back.T)) / (2 * step), abs=1e-7)


def test_a_ring_too_coarse_for_its_surface_is_refused():
    with pytest.raises(ValueError, match="too coarse"):
        fitting(circle(0.0, 0.0, 50.0, piece_count=3), Surface("sphere", 90.0, 0, 20.0, 90.0), 1e-13)

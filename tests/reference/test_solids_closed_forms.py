"""Solids of braces against closed forms of elementary solid geometry.

Sources: volumes of prisms, wedges, spherical and cylindrical segments (any handbook of mensuration, from memory);
the block over a sphere by quadrature in scipy. Lengths of typical braces are common practice.
"""

import sys
from math import asin, radians, sin, sqrt
from pathlib import Path

import pytest
from scipy.integrate import dblquad

sys.path.insert(0, str(Path(__file__).parents[1] / "unit" / "solids"))

from solid_reading import assert_one_good_solid, reread, spheres
from solid_specimens import barrel, brace, dome, flat, inlet, level, notch

from braces.curves.hermite import from_knots
from braces.curves.section import gabled, rounded
from braces.curves.surface import Surface
from braces.solids.brace import brace_solid
from braces.solids.check import volume_mm3
from braces.solids.step import step_bytes

RUN = from_knots([-30.0, 330.0], [25.0, 25.0])  # a level profile, 300 long between the ends and some over
KEPT = 5e-6  # twenty times closer than the 100 ppm a part must keep


def read_back(stick):
    solid = reread(step_bytes(brace_solid(stick), stick.name))
    assert_one_good_solid(solid)
    return solid


def straight(height_mm, drop_mm, shape, glue, **more):
    return brace(level(RUN, height_mm), level(RUN, drop_mm), shape, glue, 300.0, **more)


@pytest.mark.parametrize("ends", [(90.0, 90.0), (60.0, 60.0), (50.0, 130.0)])
def test_square_stick_on_a_flat_plate(ends):
    """Box; skewed ends take as much off one side as they leave on the other: the length of the middle counts."""
    assert volume_mm3(read_back(straight(15, 0, gabled(8, 8), flat(), ends=ends))) == pytest.approx(
        300 * 8 * 15, rel=KEPT
    )


def test_gabled_stick_on_a_flat_plate():
    """Trapezoidal prism: (15 * 8 - 2 triangles of 3 x 6 / 2) * 300 for a land of 2 and shoulders 6 down."""
    assert volume_mm3(read_back(straight(15, 6, gabled(8, 2), flat()))) == pytest.approx(
        (15 * 8 - 2 * 3 * 6 / 2) * 300, rel=KEPT
    )


def test_rounded_stick_on_a_flat_plate():
    """Parabolic segment: 2/3 of its box (Archimedes). 9 mm of side under a cap of 6."""
    assert volume_mm3(read_back(straight(15, 6, rounded(8), flat()))) == pytest.approx(
        (9 * 8 + 2 / 3 * 8 * 6) * 300, rel=KEPT
    )


def test_tapered_stick_on_a_flat_plate():
    """Wedge: mean of 5 and 15 high. Its slope is straight, so a cubic through its ends is exact."""
    slope = from_knots([0.0, 300.0], [5.0, 15.0], [10 / 300, 10 / 300])
    stick = brace(slope, level(slope), gabled(8, 8), flat(), 300.0)
    assert volume_mm3(read_back(stick)) == pytest.approx(300 * 8 * 10, rel=KEPT)


def test_stick_along_the_axis_of_a_barrel():
    """Under it a cylinder segment: R^2 asin(b / 2R) - (b / 2) sqrt(R^2 - b^2 / 4), chord b = 40, R = 500."""
    b, radius = 40.0, 500.0
    segment = radius**2 * asin(b / 2 / radius) - b / 2 * sqrt(radius**2 - b**2 / 4)
    under_chord = radius - sqrt(radius**2 - b**2 / 4)
    section = b * 15 - (b * under_chord - segment)  # the plate rises beside the line that heights are taken from
    stick = straight(15, 0, gabled(b, b), barrel(0.0, radius))
    assert volume_mm3(read_back(stick)) == pytest.approx(section * 300, rel=KEPT)


def test_stick_across_a_barrel():
    """Top and glue face are the same arc 15 apart: exactly 15 high all along."""
    stick = straight(15, 0, gabled(12, 12), barrel(90.0, 2500.0, 150.0))
    assert volume_mm3(read_back(stick)) == pytest.approx(300 * 12 * 15, rel=KEPT)


def test_block_on_a_sphere():
    """scipy's QUADPACK over z = R - sqrt(R^2 - r^2), on a tight dome far off its axis."""
    glue = dome(2500.0, 120.0, 220.0)

    def height(y, x):
        r = 2500.0
        base = glue.z_mm
        ridge = base - sqrt(r**2 - (x - 120) ** 2 - 220**2)
        return ridge + 15 - (base - sqrt(r**2 - (x - 120) ** 2 - (y - 220) ** 2))

    expected, _ = dblquad(height, 0, 300, -10, 10, epsabs=1e-8)
    solid = read_back(straight(15, 0, gabled(20, 20), glue))
    assert volume_mm3(solid) == pytest.approx(expected, rel=KEPT)
    ((centre, radius),) = spheres(solid)
    assert radius == pytest.approx(2500.0, abs=1e-3)
    assert centre == pytest.approx([120.0, 220.0, glue.z_mm], abs=1e-3)


def test_a_wide_block_on_a_long_dome():
    """Over the box 300 x 40 x 25: the arc's segment (closed form) above, the sphere (scipy's QUADPACK) below."""
    radius, half = 8534.0, 150.0
    segment = radius**2 * asin(half / radius) - half * sqrt(radius**2 - half**2)
    under_arc = segment + 300 * sqrt(radius**2 - half**2)  # under the middle arc, from the centre's level
    under_sphere, _ = dblquad(lambda y, x: sqrt(radius**2 - x * x - y * y), -150, 150, -20, 20, epsabs=1e-9)
    stick = straight(25, 0, gabled(40, 40), dome(radius, 150.0))
    expected = 300 * 40 * 25 + under_sphere - 40 * under_arc
    assert volume_mm3(read_back(stick)) == pytest.approx(expected, rel=KEPT)


@pytest.mark.parametrize("angle", [90.0, 65.0, 130.0])
@pytest.mark.parametrize("opens", ["plate", "room"])
def test_a_lap_takes_out_a_prism_on_a_parallelogram(angle, opens):
    """Parallelogram of width 8 between sides 8.1 apart: 8 * 8.1 / sin(angle); 6 mm deep either way."""
    floor = 6.0 if opens == "plate" else 9.0
    cut = straight(15, 0, gabled(8, 8), flat(), notches=[notch(150.0, floor, opens, angle, 8.1)])
    taken = 300 * 8 * 15 - volume_mm3(read_back(cut))
    assert taken == pytest.approx(8 * 8.1 / sin(radians(angle)) * 6, rel=1e-4)


@pytest.mark.parametrize("angle", [90.0, 65.0, 130.0])
@pytest.mark.parametrize("y", [(-4.0, -2.5), (1.0, 4.0)])
def test_an_inlet_takes_out_a_prism_on_a_smaller_parallelogram(angle, y):
    """Parallelogram as long as the guest is let in, between sides 6.1 apart, 8 mm high."""
    cut = straight(15, 0, gabled(8, 8), flat(), notches=[inlet(150.0, 8.0, y, angle, 6.1)])
    taken = 300 * 8 * 15 - volume_mm3(read_back(cut))
    assert taken == pytest.approx((y[1] - y[0]) * 6.1 / sin(radians(angle)) * 8, rel=1e-4)


def test_two_lapped_sticks_make_up_the_cross_they_came_from():
    """Union of two crossing boxes: both volumes less one shared parallelogram prism (inclusion and exclusion)."""
    a = straight(15, 0, gabled(8, 8), flat(), notches=[notch(150.0, 7.5, "plate", 82.0, 8.0)])
    b = straight(15, 0, gabled(8, 8), flat(), notches=[notch(150.0, 7.5, "room", 98.0, 8.0)])
    total = sum(volume_mm3(read_back(s)) for s in (a, b))
    assert total == pytest.approx(2 * 300 * 8 * 15 - 8 * 8 / sin(radians(82)) * 15, rel=KEPT)


def test_the_plane_is_the_limit_of_a_great_sphere():
    far = Surface("sphere", 1e6, 150.0, 0.0, 1e6)
    assert volume_mm3(read_back(straight(15, 0, gabled(8, 8), far))) == pytest.approx(300 * 8 * 15, rel=KEPT)

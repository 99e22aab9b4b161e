"""Arches of plates and glue faces.

Sources, beside each value:
- closed forms of the circle and the sphere: sagitta s = R - sqrt(R^2 - c^2/4); a plane at distance d from the centre
  cuts a circle of radius sqrt(R^2 - d^2)
- Euler's theorem on the curvature of a cylinder in an oblique direction: 1/rho = sin^2(a) / r
- a 15 ft dish for backs and a 25 to 30 ft dish for tops: common practice, from no printed source
"""

from math import asin, atan, atan2, degrees, hypot, sin, sqrt

import numpy as np
import pytest
from numpy.typing import NDArray
from support.designs import TWO, carved_of, placed_of

from braces.carved.values import CarvedBrace
from braces.curves.surface import Surface
from braces.placed.dome import Dome

FT_MM = 304.8  # exact: ISO 80000-3 gives the foot as 0.3048 m
BRACES = [(name, b.name) for name in TWO for b in carved_of(name).braces]

#: Sagitta in mm over chords of 200 ... 500 mm, worked out apart from this program from the closed form above.
SAGITTAS = {
    12: (1.3673, 3.0771, 4.1889, 5.4722, 6.9271, 8.5539),
    15: (1.0937, 2.4613, 3.3504, 4.3765, 5.5398, 6.8402),
    16: (1.0254, 2.3074, 3.1409, 4.1028, 5.1932, 6.4121),
    20: (0.8203, 1.8458, 2.5124, 3.2817, 4.1537, 5.1285),
    25: (0.6562, 1.4765, 2.0098, 2.6251, 3.3226, 4.1022),
    28: (0.5859, 1.3183, 1.7944, 2.3438, 2.9665, 3.6624),
    30: (0.5468, 1.2304, 1.6747, 2.1875, 2.7686, 3.4182),
    40: (0.4101, 0.9228, 1.2560, 1.6405, 2.0763, 2.5634),
    60: (0.2734, 0.6152, 0.8373, 1.0936, 1.3842, 1.7089),
}
CHORDS_MM = (200, 300, 350, 400, 450, 500)


def brace(design: str, name: str) -> CarvedBrace:
    return next(b for b in carved_of(design).braces if b.name == name)


@pytest.mark.parametrize("feet", SAGITTAS)
def test_sagittas_of_common_dishes(feet: int) -> None:
    face = Dome("sphere", feet * FT_MM, 0.0, 0.0).outer
    for chord, sagitta in zip(CHORDS_MM, SAGITTAS[feet], strict=True):
        assert face.at(chord / 2, 0.0) - face.at(0.0, 0.0) == pytest.approx(sagitta, abs=0.5e-4)
        assert face.at(0.0, chord / 2) == face.at(chord / 2, 0.0)


#: Radius of the circle in which a plane at distance d cuts a sphere: sqrt(R^2 - d^2), worked out apart.
CUTS = {(25, 100): 7619.3438, (25, 200): 7617.3749, (15, 50): 4571.7266}


@pytest.mark.parametrize(("feet", "distance_mm"), CUTS)
def test_an_upright_cut_through_a_dish(feet: int, distance_mm: int) -> None:
    face = Dome("sphere", feet * FT_MM, 0.0, 0.0).outer
    x = np.array([-200.0, 0.0, 200.0])
    assert circle_radius(x, face.z(x, float(distance_mm))) == pytest.approx(CUTS[feet, distance_mm], abs=1e-3)


def circle_radius(x: NDArray[np.float64], z: NDArray[np.float64]) -> float:
    """Radius of the circle through three points (law of sines: a b c / (4 area))."""
    p = np.column_stack([x, z])
    sides = [hypot(*(p[i] - p[j])) for i, j in ((0, 1), (1, 2), (2, 0))]
    twice_area = abs((p[1] - p[0])[0] * (p[2] - p[0])[1] - (p[1] - p[0])[1] * (p[2] - p[0])[0])
    return float(np.prod(sides) / (2 * twice_area))


@pytest.mark.parametrize(("design", "name"), BRACES)
def test_glue_line_is_the_arc_that_an_upright_plane_cuts(design: str, name: str) -> None:
    """Radius sqrt((R - t)^2 - d^2), d being the distance in plan from the apex to the brace's line."""
    b, placed = brace(design, name), placed_of(design)
    dome = next(p.dome for p in placed.plates if p.name == b.plate)
    (x0, y0), (hx, hy) = b.origin_xy_mm, b.heading_xy
    d = abs((0.0 - x0) * hy - (dome.apex_y_mm - y0) * hx)
    radius = dome.radius_mm - dome.thickness_mm
    assert b.glue_arc_radius_mm == pytest.approx(sqrt(radius**2 - d**2), rel=1e-12)
    x = np.array([0.0, b.length_mm / 2, b.length_mm])
    assert circle_radius(x, b.glue.z(x, 0.0)) == pytest.approx(b.glue_arc_radius_mm, rel=1e-7)


@pytest.mark.parametrize(("design", "name"), BRACES)
def test_bevel_is_the_tilt_of_the_glue_face_across_the_brace(design: str, name: str) -> None:
    """asin(d / (R - t)); the tilt itself is measured by differences at the belly of the arch."""
    b, placed = brace(design, name), placed_of(design)
    dome = next(p.dome for p in placed.plates if p.name == b.plate)
    (x0, y0), (hx, hy) = b.origin_xy_mm, b.heading_xy
    along = (0.0 - x0) * hx + (dome.apex_y_mm - y0) * hy
    d = abs((0.0 - x0) * hy - (dome.apex_y_mm - y0) * hx)
    assert abs(b.bevel_deg) == pytest.approx(degrees(asin(d / (dome.radius_mm - dome.thickness_mm))), abs=1e-9)
    h = 0.5
    tilt = atan((b.glue.at(along, -h) - b.glue.at(along, h)) / (2 * h))  # + where the left side reaches lower
    assert b.bevel_deg == pytest.approx(degrees(tilt), abs=1e-6)


@pytest.mark.parametrize(("design", "name"), BRACES)
def test_underside_fits_a_sphere_concentric_with_the_dish(design: str, name: str) -> None:
    """A least-squares sphere through points of the underside, put back on the plate, has the dish's own centre."""
    b, placed = brace(design, name), placed_of(design)
    dome = next(p.dome for p in placed.plates if p.name == b.plate)
    x, y = np.meshgrid(np.linspace(0, b.length_mm, 21), np.linspace(-b.width_mm / 2, b.width_mm / 2, 5))
    (hx, hy), sign = b.heading_xy, 1.0 if b.plate == "back" else -1.0
    lateral = (-hy * sign, hx * sign)  # Y is left as seen from inside: a top seen from inside is turned over
    u = b.origin_xy_mm[0] + x * hx + y * lateral[0]
    v = b.origin_xy_mm[1] + x * hy + y * lateral[1]
    w = b.glue.z(x, y) + b.glue_depth_mm
    # The face stands over the plate's inner face everywhere ...
    depth = dome.radius_mm - np.sqrt((dome.radius_mm - dome.thickness_mm) ** 2 - u**2 - (v - dome.apex_y_mm) ** 2)
    assert np.max(np.abs(w - depth)) < 1e-9
    # ... and all its points are equally far from the dish's centre.
    from_centre = np.sqrt(u**2 + (v - dome.apex_y_mm) ** 2 + (w - dome.radius_mm) ** 2)
    assert np.max(np.abs(from_centre - (dome.radius_mm - dome.thickness_mm))) < 1e-8


def test_least_squares_sphere_through_a_glue_face() -> None:
    """The same without knowing the centre: |p|^2 = 2 c.p + (r^2 - |c|^2) solved for a long brace's underside."""
    b = brace("fieldfare", "x-treble")
    x, y = np.meshgrid(np.linspace(0, b.length_mm, 41), np.linspace(-60, 60, 41))
    p = np.column_stack([x.ravel(), y.ravel(), b.glue.z(x, y).ravel()])
    solved = np.linalg.lstsq(np.column_stack([2 * p, np.ones(len(p))]), np.sum(p**2, axis=1), rcond=None)[0]
    radius = sqrt(solved[3] + np.sum(solved[:3] ** 2))
    assert radius == pytest.approx(28 * FT_MM - 0.110 * 25.4, rel=1e-6)


@pytest.mark.parametrize("angle_deg", [15, 40, 90])
def test_oblique_line_on_a_cylinder(angle_deg: int) -> None:
    """Euler's theorem, at the lowest point of the line."""
    a = np.radians(angle_deg)
    axis = (float(np.cos(a)), float(np.sin(a)))
    face = Surface("cylinder", 5000.0, 0.0, 0.0, 5000.0, axis)
    h = 2.0
    bend = (face.at(h, 0) - 2 * face.at(0, 0) + face.at(-h, 0)) / h**2
    assert 1 / bend == pytest.approx(5000.0 / sin(a) ** 2, rel=1e-5)


def test_glue_radius_on_a_cylindrical_back() -> None:
    change = ('dome = { shape = "sphere", radius = "15 ft"', 'dome = { shape = "cylinder", radius = "15 ft"')
    inner = 15 * FT_MM - 0.095 * 25.4
    for b in carved_of("fieldfare", change).back.braces:
        a = atan2(b.heading_xy[1], b.heading_xy[0]) - np.pi / 2  # from the cylinder's axis, the centre line
        assert b.glue_arc_radius_mm == pytest.approx(inner / sin(a) ** 2, rel=1e-9)
        x = np.array([b.glue.x_mm - 3.0, b.glue.x_mm, b.glue.x_mm + 3.0])
        assert circle_radius(x, b.glue.z(x, 0.0)) == pytest.approx(b.glue_arc_radius_mm, rel=1e-4)


def test_flat_plate_has_straight_glue_lines() -> None:
    carved = carved_of(
        "fieldfare", ('dome = { shape = "sphere", radius = "28 ft", apex', 'dome = { shape = "flat", apex')
    )
    for b in carved.top.braces:
        assert b.glue_arc_radius_mm == float("inf")
        assert b.bevel_deg == 0.0
        assert np.ptp(b.glue.z(np.linspace(0, b.length_mm, 9), 0.0)) == 0.0

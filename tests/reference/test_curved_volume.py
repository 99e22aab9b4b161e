"""Wood and glue face of curved braces.

Sources: Pappus's second theorem (volume = area of the section times the way of its centroid, any calculus text);
scipy's adaptive double integral in polar coordinates about the arc's centre, which knows nothing of stations; the
sphere's equation; a straight brace, which an ever larger radius must give.
"""

from math import atan2, cos, inf, radians, sin, sqrt

import numpy as np
import pytest
from scipy.integrate import dblquad
from support.designs import carved_of, design_of

from braces.carved.carve import carve
from braces.carved.solidity import volume_mm3
from braces.carved.values import Carved, CarvedBrace, Notch
from braces.curves.course import between
from braces.curves.hermite import from_knots
from braces.curves.section import gabled, rounded
from braces.curves.surface import Along, Surface
from braces.placed.place import place

FLAT = Surface("plane", inf, 0.0, 0.0, 0.0)
NONE = from_knots([0.0, 400.0], [0.0, 0.0])


def bow(carved: Carved) -> CarvedBrace:
    return next(b for b in carved.braces if b.name == "upper bow")


@pytest.mark.parametrize("radius", [180.0, -250.0])
def test_a_level_square_bar_by_pappus(radius: float) -> None:
    """Its centroid runs along the centre line, which is what the length is measured on."""
    level = from_knots([0.0, 400.0], [12.0, 12.0])
    volume = volume_mm3(FLAT, level, NONE, gabled(8, 8), 400.0, 0.0, 0.0, (), radius)
    assert volume == pytest.approx(8 * 12 * 400.0, rel=1e-12)


def test_a_wedge_across_by_pappus() -> None:
    """Higher towards the outside: the centroid of a triangle lies a third of the width from its upright side."""
    radius, width, tall = 200.0, 12.0, 9.0
    # A gabled top without a land is two such triangles, turned about the centre.
    level, drop = from_knots([0.0, 300.0], [tall, tall]), from_knots([0.0, 300.0], [tall, tall])
    volume = volume_mm3(FLAT, level, drop, gabled(width, 0.0), 300.0, 0.0, 0.0, (), radius)
    turn = 300.0 / radius
    halves = sum(width / 2 * tall / 2 * (radius + side * width / 6) * turn for side in (-1, 1))
    assert volume == pytest.approx(halves, rel=1e-12)


def wood_at(b: CarvedBrace, s: float, y: float, x: float, z: float) -> float:
    """Height of wood over a place of the bench plan, known both ways; the bed is asked for in plain x and y."""
    top = b.bed.at(*_centre_line(b, s)) + b.height.at(s) - b.drop.at(s) * float(b.shape(y))
    return max(top - b.bed.at(x, z), 0.0)


def _centre_line(b: CarvedBrace, s: float) -> tuple[float, float]:
    """Written out anew: the centre of the arc lies square over the middle of the chord."""
    r, half = b.radius_mm, b.length_mm / 2 / b.radius_mm
    a = s / r - half
    return r * sin(half) + r * sin(a), r * cos(half) - r * cos(a)


def test_the_preset_by_dblquad() -> None:
    b = bow(carved_of("curlew"))
    r, half = b.radius_mm, b.length_mm / 2 / b.radius_mm
    centre = (r * sin(half), r * cos(half))

    def limit(y: float, end: bool) -> float:
        """Angle at which an end face, a plane through the end of the centre line, meets the circle of radius r - y."""
        s = b.length_mm if end else 0.0
        face = (b.end if end else b.start).face_angle_deg
        px, py = _centre_line(b, s)
        a = radians(face) + s / r - half
        dx, dy = cos(a), sin(a)
        ox, oy = px - centre[0], py - centre[1]
        along = ox * dx + oy * dy
        root = sqrt(along**2 - (ox * ox + oy * oy - (r - y) ** 2))
        t = min((-along - root, -along + root), key=abs)
        return atan2(ox + t * dx, -(oy + t * dy))

    def height(angle: float, y: float) -> float:
        x, z = centre[0] + (r - y) * sin(angle), centre[1] - (r - y) * cos(angle)
        return wood_at(b, (angle + half) * r, y, x, z) * (r - y)

    wide = b.width_mm / 2
    volume = dblquad(height, -wide, wide, lambda y: limit(y, False), lambda y: limit(y, True), epsabs=0.05, epsrel=1e-7)
    assert b.volume_mm3 == pytest.approx(volume[0], rel=5e-5)


def test_the_glue_face_is_the_sphere() -> None:
    """Points of the glue face, taken to the body by the brace's own placing, all lie on the plate's inner sphere."""
    carved = carved_of("curlew")
    b, dome = bow(carved), carved.placed.top.dome
    points = []
    for s in np.linspace(0, b.length_mm, 9):
        for y in (-6.0, 0.0, 6.0):
            x, z = b.plan_at(float(s), y)
            points.append((x, z - dome.apex_y_mm, b.glue.at(float(s), y) + b.glue_depth_mm - dome.radius_mm))
    radii = np.linalg.norm(points, axis=1)
    assert radii == pytest.approx(np.full(len(points), dome.inner_radius_mm), rel=1e-12)
    # An independent fit: |p|^2 = 2 c.p + k is linear in the centre.
    p = np.array(points)
    fit = np.linalg.lstsq(np.column_stack([2 * p, np.ones(len(p))]), np.sum(p * p, axis=1), rcond=None)[0]
    assert sqrt(float(fit[3] + fit[:3] @ fit[:3])) == pytest.approx(dome.inner_radius_mm, rel=1e-3)


def test_slopes_along_a_course_by_differences() -> None:
    bed = Surface("sphere", 3000.0, 40.0, -25.0, 3000.0)
    face = Along(bed, between((0.0, 0.0), (250.0, 0.0), -300.0))
    for s, y in ((10.0, -5.0), (130.0, 0.0), (240.0, 6.0)):
        by_s = (face.at(s + 1e-3, y) - face.at(s - 1e-3, y)) / 2e-3
        by_y = (face.at(s, y + 1e-3) - face.at(s, y - 1e-3)) / 2e-3
        assert [float(v) for v in face.slope(s, y)] == pytest.approx([by_s, by_y], abs=1e-9)


def curved_and_straight(bow_mm: float) -> tuple[CarvedBrace, CarvedBrace]:
    text = ('bow = "26 mm"', f'bow = "{bow_mm} mm"')
    straight = design_of(
        "curlew",
        ('lay = "curved"', 'lay = "between"'),
        (text[0] + "\n", ""),
        ('bow_to = "neck"\n', ""),
        ("laminations = 6\n", ""),
    )
    return bow(carve(place(design_of("curlew", text)))), bow(carve(place(straight)))


def test_a_very_large_radius_is_a_straight_brace() -> None:
    bent, straight = curved_and_straight(1.0)
    assert bent.radius_mm > 9000
    error = abs(bent.volume_mm3 - straight.volume_mm3) / straight.volume_mm3
    assert error < 2e-3  # the two run 1 mm apart
    level = from_knots([0.0, 400.0], [12.0, 12.0])
    drop = from_knots([0.0, 400.0], [3.0, 3.0])
    dome = Surface("sphere", 7000.0, 200.0, 30.0, 7000.0)
    plain = volume_mm3(dome, level, drop, rounded(8), 400.0, 0.3, -0.2, ())
    for radius, within in ((1e6, 1e-4), (1e8, 1e-6), (-1e10, 1e-8)):
        face = Along(dome, between((0.0, 0.0), (400.0, 0.0), radius))
        assert volume_mm3(face, level, drop, rounded(8), 400.0, 0.3, -0.2, (), radius) == pytest.approx(
            plain, rel=within
        )


@pytest.mark.parametrize("y", [-4.0, 0.0, 5.0])
def test_a_notch_wall_stays_a_plane(y: float) -> None:
    """The walls are lines in the straight frame: their places on the arcs are intersections of line and circle."""
    radius, angle, across = 150.0, 70.0, 8.1
    n = Notch(
        "o", "half-lap", "room", 60.0, angle, across, across / sin(radians(angle)), 5.0, 0.0, 5.0, radius_mm=radius
    )
    turn = radians(angle)
    for wall, off in zip(n.walls(y), (-across / 2, across / 2), strict=True):
        a = (wall - 60.0) / radius
        x, z = (radius - y) * sin(a), radius - (radius - y) * cos(a)  # the crossing at the origin, X along the tangent
        assert x * sin(turn) - z * cos(turn) == pytest.approx(off, abs=1e-9)

"""The pieces that tools are built from: prisms, bars, flat-sided solids, marks, swept nets, checks, line drawings.

Sources: closed forms of areas and volumes, beside each value.
"""

from math import cos, pi, radians, sin, sqrt, tan

import numpy as np
import pytest
from manifold3d import Manifold

from braces.curves.hermite import from_knots
from braces.curves.spline import hermite_pieces, place_pieces
from braces.curves.surface import Surface
from braces.solids.check import check_solid, volume_mm3
from braces.solids.kernel import SolidError
from braces.solids.tools.bar import Pit, bar_solid, dome_patch
from braces.solids.tools.bodies import DEPTH_MM, Mark, body, box, engraved, groove, pin_hole, set_text, slab, triangles
from braces.solids.tools.checks import overhangs, thinnest_mm
from braces.solids.tools.planar import planar_solid
from braces.solids.tools.prism import Arc, area_mm2, cubic, polygon, prism
from braces.solids.tools.strokes import plain, text_lines, text_size_mm
from braces.solids.tools.swept import places, swept


def test_a_disc():
    disc = [Arc((3.0, 4.0), 10.0, 0.0, pi), Arc((3.0, 4.0), 10.0, pi, 2 * pi)]
    assert area_mm2(disc) == pytest.approx(pi * 100)
    check_solid(prism(disc, -1.0, 4.0), "disc", 500 * pi)


def test_a_plate_with_a_round_bite():
    """Area of a circular segment: R^2 / 2 (a - sin a)."""
    a = 1.2
    bite = [(-20.0, -10.0), (20.0, -10.0), (20.0, 0.0)]
    c, r = 10.0 / sin(a / 2) * cos(a / 2), 10.0 / sin(a / 2)
    bite += [(10.0, 0.0), Arc((0.0, c), r, -pi / 2 + a / 2, -pi / 2 - a / 2), (-10.0, 0.0), (-20.0, 0.0)]
    area = 40 * 10 - r**2 / 2 * (a - sin(a))
    assert area_mm2(bite) == pytest.approx(area)
    check_solid(prism(bite, 0.0, 3.0), "bite", 3 * area)


def test_a_plate_under_a_cubic():
    """The integral of a cubic Hermite piece with level ends is its length times the mean of its ends."""
    curve = from_knots([0.0, 30.0, 70.0], [5.0, 12.0, 8.0])
    edge = cubic(curve.x_mm, np.stack([place_pieces(curve.x_mm), hermite_pieces(curve)], axis=-1))
    # Walked from left to right the curve is a lower edge, so the plate lies above it.
    outline = [edge, (70.0, 20.0), (0.0, 20.0)]
    area = 70 * 20 - (30 * 8.5 + 40 * 10)
    assert area_mm2(outline) == pytest.approx(area)
    check_solid(prism(outline, 0.0, 2.0), "plate", 2 * area)
    corners = np.array(polygon(outline, 0.01))
    low = corners[corners[:, 1] < 19]
    fine = np.linspace(0, 70, 3001)
    off = np.abs(np.interp(fine, low[:, 0], low[:, 1]) - curve(fine))
    assert 0.001 < off.max() <= 0.01
    assert len(low) < 120


def test_chords_of_an_arc():
    """The sagitta of a chord over an angle a is R (1 - cos(a / 2))."""
    ring = polygon([Arc((0.0, 0.0), 50.0, 0.0, pi), Arc((0.0, 0.0), 50.0, pi, 2 * pi)], 0.01)
    middles = (np.array(ring) + np.roll(ring, -1, axis=0)) / 2
    sagitta = 50 - np.hypot(*middles.T)
    assert 0.008 < sagitta.max() <= 0.01


def test_a_pitted_bar_whichever_way_its_section_runs():
    """Volume of a pyramid over a regular octagon of inner radius r: 8 tan(22.5 deg) r^2 * r / 3."""
    ring = [(-10.0, 0.0), (10.0, 0.0), (10.0, 20.0), (-10.0, 20.0)]
    pit = 8 * tan(radians(22.5)) * 4.0**3 / 3
    for border, after in ((ring, 2), (ring[::-1], 0)):
        made = bar_solid(border, (0.0, 100.0), [Pit(20.0, 0.0, 4.0), Pit(80.0, 1.0, 4.0)], after)
        check_solid(made, "bar", 40000 - 2 * pit)


def test_a_bar_that_encloses_nothing_is_refused():
    with pytest.raises(SolidError):
        bar_solid([(0.0, 0.0), (5.0, 0.0), (10.0, 0.0)], (0.0, 10.0))


def test_a_block_on_a_cylinder():
    """The integral of sqrt(R^2 - x^2) from -h to h is R^2 asin(h / R) + h sqrt(R^2 - h^2)."""
    r, h = 400.0, 50.0
    patch = dome_patch(Surface("cylinder", r, 0.0, 0.0, r), 10.0, (-h, h))
    made = bar_solid([patch, (10.0, 30.0), (-10.0, 30.0)], (-h, h))
    under_arc = 2 * h * r - (r**2 * np.arcsin(h / r) + h * sqrt(r**2 - h**2))
    check_solid(made, "block", 20 * (2 * h * 30 - under_arc))


def test_a_flat_sided_body_becomes_the_same_solid():
    made = box((0, 0, 0), (50, 30, 10)) + slab([(10, 5), (40, 3), (30, 25)], 0, 15) - box((20, 8, -1), (26, 12, 30))
    exact = planar_solid(*triangles(made))
    check_solid(exact, "body", made.volume())


def test_a_body_that_is_open_is_refused():
    vertices, faces = triangles(box((0, 0, 0), (1, 1, 1)))
    with pytest.raises(SolidError):
        body(vertices, faces[1:])
    with pytest.raises(SolidError):
        body(vertices, faces[:, ::-1])


def test_a_swept_net_of_a_prism():
    section = np.array([(0, 0), (10, 0), (10, 6), (5, 2), (0, 6)], dtype=float)
    made = body(*swept(np.array([0.0, 7.0, 20.0]), np.broadcast_to(section, (3, 5, 2))))
    assert made.volume() == pytest.approx(20 * (60 - 10 * 4 / 2))


def test_chords_keep_to_the_tolerance():
    curve = from_knots([0.0, 40.0, 100.0], [2.0, 14.0, 3.0])
    x = places((curve,), (5.0, 95.0), 0.01)
    assert x[0] == 5.0
    assert x[-1] == 95.0
    fine = np.linspace(5, 95, 5001)
    assert np.abs(np.interp(fine, x, curve(x)) - curve(fine)).max() <= 0.01


def test_letters_stay_in_their_box():
    for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-+/.=<>":
        p = np.array([q for line in text_lines(letter, 6.0) for q in line])
        assert np.abs(p).max(axis=0).tolist() <= [2.0 + 1e-9, 3.0 + 1e-9], letter
    assert len({text_lines(c, 6.0) for c in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-+/.=<>"}) == 43


def test_text_in_the_letters_there_are():
    assert plain("Fieldfare Á2 #") == "FIELDFARE A2 -"
    assert text_size_mm("AB\nC", 6.0) == (5.6 + 4.0, 6.0 + 9.0)


def test_a_mark_is_as_deep_as_said_and_nothing_where_it_cannot_be_legible():
    block = box((0, 0, 0), (80, 20, 5))
    made = engraved(block, [Mark("FIELDFARE A", (40, 10, 5), (70, 16), 8.0)])
    assert (block - made).bounding_box()[2] == pytest.approx(5 - DEPTH_MM)
    assert 20 < block.volume() - made.volume() < 0.1 * 80 * 20 * DEPTH_MM * 5
    assert groove(Mark("FIELDFARE A", (0, 0, 0), (10, 16))).is_empty()
    assert set_text(Mark("FIELDFARE A", (0, 0, 0), (23, 16)))[0] == "FIELDFARE\nA"
    assert set_text(Mark("FIELDFARE A", (0, 0, 0), (14, 6), others=("A",)))[0] == "A"


def test_a_mark_on_the_bed_is_read_from_below():
    """An L has its foot on the right; seen from below right and left change places."""
    block = box((-10, -10, 0), (10, 10, 5))
    above = block - engraved(block, [Mark("L", (0, 0, 5), (20, 20), 9.0)])
    below = block - engraved(block, [Mark("L", (0, 0, 0), (20, 20), 9.0, face="under")])
    # Turned about X, the foot of the letter is at +y below and at -y above, and on the right in both views.
    assert above.trim_by_plane((0, 1, 0), 0).volume() < above.volume() / 2
    assert below.trim_by_plane((0, 1, 0), 0).volume() > below.volume() / 2
    assert below.bounding_box()[5] == pytest.approx(DEPTH_MM)


def test_a_pin_hole_takes_its_pin_and_needs_no_support():
    block = box((0, -10, 0), (40, 10, 20))
    made = block - pin_hole((20, 0, 10), 4.0, 60)
    vertices, faces = triangles(made)
    assert not len(overhangs(vertices, faces))
    pin = Manifold.cylinder(40, 2.0, 2.0, 90).rotate((0, 90, 0)).translate((0, 0, 10))
    assert (made ^ pin).volume() == pytest.approx(0, abs=1e-9)
    assert (made ^ Manifold.cylinder(40, 2.02, 2.02, 90).rotate((0, 90, 0)).translate((0, 0, 10))).volume() > 0


def test_overhangs_are_found():
    tee = box((0, 0, 0), (10, 10, 10)) + box((-5, 0, 10), (15, 10, 14))
    vertices, faces = triangles(tee)
    assert len(overhangs(vertices, faces)) > 0
    leaning = slab([(0, 0), (10, 0), (10, 10), (0, 10)], 0, 5).warp(lambda p: (p[0] + p[2], p[1], p[2]))
    assert not len(overhangs(*triangles(leaning)))  # exactly 45 degrees
    more = slab([(0, 0), (10, 0), (10, 10), (0, 10)], 0, 5).warp(lambda p: (p[0] + 1.05 * p[2], p[1], p[2]))
    assert len(overhangs(*triangles(more)))


def test_a_thin_wall_is_found():
    made = box((0, 0, 0), (30, 30, 5)) + box((0, 10, 5), (30, 10.7, 20))
    assert thinnest_mm(*triangles(made), 2.0) == pytest.approx(0.7)
    assert volume_mm3(planar_solid(*triangles(made))) == pytest.approx(made.volume())

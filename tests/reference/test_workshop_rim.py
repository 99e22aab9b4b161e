"""The rim against closed forms and other people's quadrature.

Sources: geometry of circle, sphere and plane; volume of a spherical cap pi h^2 (3R - h) / 3 (textbook);
scipy's adaptive quadrature; shapely's lengths along lines.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy import integrate
from shapely.geometry import LineString, Point, Polygon
from support.designs import carved_of, placed_of

from braces.curves.frames import Placement
from braces.curves.path import Path
from braces.curves.polynomial import quintic_pieces
from braces.placed.dome import Dome
from braces.placed.values import Placed
from braces.workshop.along import parameter_at, places
from braces.workshop.box import inside_mm3
from braces.workshop.edges import EdgeSpec, edge_strips
from braces.workshop.rim import FlatBout, RimSpec, rim
from braces.workshop.tape import tapes

R_MM, TOP_MM, BACK_MM = 190.0, 7000.0, 4000.0
SIDE_MM, TOP_THICK_MM, BACK_THICK_MM = 2.032, 2.8, 2.4
TILT_DEG, BACK_Z_MM = 2.0, -90.0


def circle(radius: float) -> Path:
    """A circle about (0, radius) from the tail anticlockwise, true to a few 1e-8 of its radius."""
    a = np.linspace(0.0, 2 * pi, 17)
    step = pi / 8
    p = np.column_stack([radius * np.sin(a), radius - radius * np.cos(a)])
    first = np.column_stack([np.cos(a), np.sin(a)]) * radius * step
    second = np.column_stack([-np.sin(a), np.cos(a)]) * radius * step**2
    return Path(quintic_pieces(p, first, second))


def round_box(back: Dome, tilt_deg: float) -> Placed:
    """A round body under a spherical top whose apex is its middle, the back turned about the tail's axis."""
    placed = placed_of("fieldfare")
    c, s = cos(radians(tilt_deg)), sin(radians(tilt_deg))
    pose = Placement(((1.0, 0.0, 0.0), (0.0, c, -s), (0.0, s, c)), (0.0, 0.0, BACK_Z_MM))
    top = replace(placed.top, dome=Dome("sphere", TOP_MM, TOP_THICK_MM, R_MM))
    return replace(placed, outline=circle(R_MM), top=top, back=replace(placed.back, dome=back), back_pose=pose)


FLAT = Dome("flat", float("inf"), BACK_THICK_MM, R_MM)
SPHERE = Dome("sphere", BACK_MM, BACK_THICK_MM, R_MM)


def test_side_of_a_round_box_on_a_tilted_plane() -> None:
    """Top edge: a circle about a sphere's axis is level. Back edge: the plane raised by its thickness square to it."""
    made = rim(round_box(FLAT, TILT_DEG))
    level = sqrt((TOP_MM - TOP_THICK_MM) ** 2 - R_MM**2) - TOP_MM
    for side in made.sides:
        assert side.top_z_mm == pytest.approx(level, abs=1e-3)
        angle = side.along_mm / (R_MM - SIDE_MM / 2)
        y = R_MM - R_MM * np.cos(angle)
        # The plane's points (v cos t, v sin t) moved by the thickness along its normal (-sin t, cos t).
        t = radians(TILT_DEG)
        back = BACK_Z_MM + y * np.tan(t) + BACK_THICK_MM / cos(t)
        assert side.back_z_mm == pytest.approx(back, abs=1e-3)
        assert side.length_mm == pytest.approx(pi * (R_MM - SIDE_MM / 2), abs=1e-3)
        assert side.outside_mm == pytest.approx(pi * R_MM, abs=1e-3)
        assert side.inside_mm == pytest.approx(pi * (R_MM - SIDE_MM), abs=1e-3)


def test_side_of_a_round_box_on_a_tilted_sphere() -> None:
    """The back is a sphere whose centre is carried along: the upright line meets it by Pythagoras."""
    placed = round_box(SPHERE, TILT_DEG)
    t = radians(TILT_DEG)
    yc, zc = cos(t) * R_MM - sin(t) * BACK_MM, sin(t) * R_MM + cos(t) * BACK_MM + BACK_Z_MM
    for side, sign in zip(rim(placed).sides, (-1, 1), strict=True):
        angle = side.along_mm / (R_MM - SIDE_MM / 2)
        x, y = sign * R_MM * np.sin(angle), R_MM - R_MM * np.cos(angle)
        back = zc - np.sqrt((BACK_MM - BACK_THICK_MM) ** 2 - x**2 - (y - yc) ** 2)
        assert side.back_z_mm == pytest.approx(back, abs=1e-3)


@pytest.mark.parametrize("name", ["fieldfare", "dunnock", "linnet"])
def test_sides_of_real_bodies_stand_between_the_two_spheres(name: str) -> None:
    placed = placed_of(name)
    top, back = placed.top.dome, placed.back.dome
    centre = placed.back_pose(np.array([0.0, back.apex_y_mm, back.radius_mm]))
    outline = LineString(placed.outline.point(np.linspace(0, 8, 8001)))
    for side in rim(placed).sides:
        sign = (1 if side.name == "treble" else -1) * (1 if placed.design.handed == "right" else -1)
        line = LineString(placed.outline.inside(placed.design.body.side_mm / 2).point(np.linspace(0, 8, 80001)))
        for k in range(0, len(side.along_mm), 29):
            along = side.along_mm[k] if sign > 0 else line.length - side.along_mm[k]
            at = np.array(line.interpolate(along).coords[0])
            # From the middle of the side's thickness to its outside: the nearest point of the outline.
            x, y = outline.interpolate(outline.project(Point(at))).coords[0]
            z_top = sqrt(top.inner_radius_mm**2 - x**2 - (y - top.apex_y_mm) ** 2) - top.radius_mm
            z_back = centre[2] - sqrt(back.inner_radius_mm**2 - x**2 - (y - centre[1]) ** 2)
            assert side.top_z_mm[k] == pytest.approx(z_top, abs=2e-3)
            assert side.back_z_mm[k] == pytest.approx(z_back, abs=2e-3)


def test_lengths_against_adaptive_quadrature() -> None:
    """The middle of the side: the outline moved inwards by half its thickness, its speed by differences."""
    placed = placed_of("fieldfare")
    d = placed.design.body.side_mm / 2

    def speed(u: float) -> float:
        h = 1e-5
        low, high = (
            placed.outline.point(v) + d * np.array([-t[1], t[0]])
            for v, t in ((u - h, placed.outline.tangent(u - h)), (u + h, placed.outline.tangent(u + h)))
        )
        return float(hypot(*(high - low))) / (2 * h)

    long = sum(integrate.quad(speed, k + 1e-4, k + 1 - 1e-4, epsabs=1e-6)[0] for k in range(4))
    ends = sum(speed(k + e) * 1e-4 for k in range(4) for e in (1e-4, 1 - 1e-4))
    assert rim(placed).side("treble").length_mm == pytest.approx(long + ends, abs=5e-3)


def test_volume_of_a_round_box_is_a_cylinder_and_a_cap() -> None:
    placed = round_box(FLAT, 0.0)
    r, big = R_MM - SIDE_MM, TOP_MM - TOP_THICK_MM
    h = big - sqrt(big**2 - r**2)
    level = sqrt(big**2 - r**2) - TOP_MM - BACK_Z_MM - BACK_THICK_MM
    assert inside_mm3(placed) == pytest.approx(pi * r**2 * level + pi * h**2 * (3 * big - h) / 3, rel=1e-7)


def test_volume_of_a_real_body_against_scipy() -> None:
    placed = placed_of("fieldfare")
    top, back = placed.top.dome, placed.back.dome
    centre = placed.back_pose(np.array([0.0, back.apex_y_mm, back.radius_mm]))
    wall = placed.outline.inside(placed.design.body.side_mm)
    poly = Polygon(wall.dense(1200))  # chords cut off less than 1e-4 of a mm

    def half_width(y: float) -> float:
        return poly.intersection(LineString([(0, y), (500, y)])).length

    def height(x: float, y: float) -> float:
        z = sqrt(top.inner_radius_mm**2 - x**2 - (y - top.apex_y_mm) ** 2) - top.radius_mm
        return z - centre[2] + sqrt(back.inner_radius_mm**2 - x**2 - (y - centre[1]) ** 2)

    low, high = poly.bounds[1], poly.bounds[3]
    # y = m + s sin(a): the width grows like a root at both ends, which the sine takes away.
    m, s = (low + high) / 2, (high - low) / 2

    def slice_mm2(a: float) -> float:
        y = m + s * sin(a)
        w = half_width(y)
        return float(integrate.fixed_quad(lambda x: np.array([height(v, y) for v in x]), 0, w, n=8)[0]) * s * cos(a)

    total = 2 * integrate.quad(slice_mm2, -pi / 2, pi / 2, limit=200, epsrel=1e-7)[0]
    assert inside_mm3(placed) == pytest.approx(total, rel=5e-7)


def test_flat_bout_is_a_plane_through_three_places() -> None:
    placed = placed_of("fieldfare")
    made = rim(placed, RimSpec(flat_bout=FlatBout(330.0, 1.5)))
    domed = rim(placed)
    side, plain = made.side("treble"), domed.side("treble")
    begins = next(m for m in side.marks if m.kind == "flat begins")
    assert begins.top_z_mm == pytest.approx(plain.at(begins.along_mm)[0], abs=2e-3)  # no step where it begins
    assert side.top_z_mm[-1] == pytest.approx(plain.top_z_mm[-1] - 1.5, abs=1e-9)
    flat = side.along_mm > begins.along_mm + 1
    u = np.array([parameter_at(placed.outline.inside(placed.design.body.side_mm / 2), a) for a in side.along_mm[flat]])
    y = placed.outline.point(u)[:, 1]
    # A symmetrical body: level across, so its height is a straight line over y.
    slope = np.polyfit(y, side.top_z_mm[flat], 1)
    assert side.top_z_mm[flat] == pytest.approx(np.polyval(slope, y), abs=1e-9)
    assert side.top_z_mm[~flat] == pytest.approx(plain.top_z_mm[~flat], abs=5e-2)
    assert side.back_z_mm == pytest.approx(plain.back_z_mm, abs=1e-12)


def test_bouts_and_waist_are_where_the_file_says() -> None:
    placed = placed_of("fieldfare")
    body = placed.design.body
    at = {p.kind: p for p in places(placed.outline, body, 1)}
    for kind, spec in (("lower bout", body.lower_bout), ("waist", body.waist), ("upper bout", body.upper_bout)):
        assert at[kind].x_mm == pytest.approx(spec.width_mm / 2, abs=1e-6)
        assert at[kind].y_mm == pytest.approx(spec.at_mm, abs=1e-3)
    assert at["tail block"].x_mm == pytest.approx(body.tail_block_width_mm / 2, abs=1e-9)


@pytest.mark.parametrize("name", ["fieldfare", "linnet", "whimbrel"])
def test_tape_pockets_stand_where_the_plans_have_them(name: str) -> None:
    """Mouth corners of the plan, raised onto the plate and put into the body, projected on the linings by shapely."""
    carved = carved_of(name)
    placed = carved.placed
    inset = placed.design.body.side_mm + placed.design.lining.thickness_mm
    line = LineString(placed.outline.inside(inset).point(np.linspace(0, placed.outline.count, 40001)))
    hand = 1 if placed.design.handed == "right" else -1
    count = 0
    for tape in tapes(carved):
        sign = hand if tape.side == "treble" else -hand
        for pocket in tape.pockets:
            plate = carved.top if pocket.plate == "top" else carved.back
            plan = next(p for p in plate.pockets if p.number == pocket.number)
            assert plan.brace == pocket.brace
            along = []
            for corner in (plan.corners[0], plan.corners[-1]):
                xy = np.array(corner)
                if pocket.plate == "back":
                    xy = placed.back_pose(np.array([*corner, placed.back.dome.outer.at(*corner)]))[:2]
                at = line.project(Point(xy))
                along.append(at if sign > 0 else line.length - at)
            # 0.05: a tilted plate's lining is parallel to its outline in the plate, not quite in the body.
            assert sorted(along) == pytest.approx([pocket.from_mm, pocket.to_mm], abs=0.05)
            count += 1
    assert count == len(carved.top.pockets) + len(carved.back.pockets)


def test_binding_of_a_round_box() -> None:
    """A level circle: half its length; a tilted flat back: half an ellipse, against scipy's elliptic integral."""
    from scipy.special import ellipe

    strips = edge_strips(round_box(FLAT, TILT_DEG), EdgeSpec(binding_mm=3.0, purfling_mm=0.0))
    assert len(strips) == 4
    r = R_MM - 1.5
    for strip in strips:
        if strip.plate == "top":
            assert strip.length_mm == pytest.approx(pi * r, abs=1e-3)
        else:
            a = r / cos(radians(TILT_DEG))
            assert strip.length_mm == pytest.approx(2 * a * float(ellipe(1 - (r / a) ** 2)), abs=1e-3)


def test_a_lopsided_outline_gives_two_templates() -> None:
    """The outline pushed to the treble side: lengths against chords along 400 000 points of each half."""
    placed = placed_of("fieldfare")
    long = placed.design.body.length_mm
    pushed = placed.outline.mapped(lambda p: np.column_stack([p[:, 0] + 6 * np.sin(pi * p[:, 1] / long) ** 2, p[:, 1]]))
    made = rim(replace(placed, outline=pushed))
    assert not made.alike
    half = pushed.count / 2
    middle = pushed.inside(placed.design.body.side_mm / 2)
    for side, span in ((made.side("treble"), (0.0, half)), (made.side("bass"), (half, float(pushed.count)))):
        points = middle.point(np.linspace(*span, 400001)[:-1])
        assert side.length_mm == pytest.approx(float(np.hypot(*np.diff(points, axis=0).T).sum()), abs=5e-3)
    treble, bass = made.side("treble"), made.side("bass")
    assert treble.length_mm != pytest.approx(bass.length_mm, abs=0.05)
    widest = [next(m for m in s.marks if m.kind == "waist") for s in (treble, bass)]
    # The treble waist stands further out, so both domes have fallen and risen further there: the side is lower.
    assert widest[0].height_mm < widest[1].height_mm

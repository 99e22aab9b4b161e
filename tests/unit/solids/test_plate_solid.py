"""Plates and assemblies: spheres of R and R - t, braces that sit on them and lap into one another."""

from math import atan2, cos, degrees, hypot, inf, pi, radians, sin

import manifold3d
import numpy as np
import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_BSplineSurface
from OCP.TopAbs import TopAbs_VERTEX
from OCP.TopoDS import TopoDS
from scipy.integrate import dblquad
from solid_reading import assert_one_good_solid, cylinder_radii, reread, solids, spheres
from solid_specimens import brace, falling, notch, scalloped

from braces.curves.frames import Placement
from braces.curves.section import gabled
from braces.curves.surface import Surface
from braces.solids.brace import brace_solid
from braces.solids.check import faces_of, glue_points, parts_of, volume_mm3
from braces.solids.mesh import mesh
from braces.solids.plate import PlateShape, brace_placement, plate_assembly, plate_solid
from braces.solids.step import step_bytes

RADIUS, THICK, APEX = 8534.0, 2.8, 190.0
OUTER = Surface("sphere", RADIUS, 0.0, APEX, RADIUS)
INNER = Surface("sphere", RADIUS - THICK, 0.0, APEX, RADIUS)
FACE_DOWN = Placement(((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)), (0.0, 0.0, 0.0))


def ring(radius=180.0, x=0.0, y=APEX, count=320):
    t = np.linspace(0, 2 * np.pi, count, endpoint=False)
    return np.column_stack([x + radius * np.cos(t), y + radius * np.sin(t)])


def waisted(count=480):
    """A body outline with a waist, from the tail centre; a sum of a few cosines."""
    t = np.linspace(0, 2 * np.pi, count, endpoint=False)
    r = 150 + 35 * np.cos(2 * t) + 12 * np.cos(t) - 8 * np.cos(4 * t)
    return np.column_stack([1.1 * r * np.sin(t), 245 - 1.3 * r * np.cos(t)])


def top(**changes):
    usual = {"outline": waisted(), "outer": OUTER, "inner": INNER, "hole": (0.0, 330.0, 50.0)}
    return PlateShape("top plate", -1, **{**usual, **changes})


def shell_mm3(a, radius=RADIUS, thick=THICK):
    """Between concentric spheres within distance a of their axis: integral of 2 pi r sqrt(R^2 - r^2), closed form."""
    inner = radius - thick
    return 2 * pi / 3 * (radius**3 - (radius**2 - a**2) ** 1.5 - inner**3 + (inner**2 - a**2) ** 1.5)


def test_a_round_plate_has_the_volume_of_a_spherical_shell():
    solid = reread(step_bytes(plate_solid(top(outline=ring(), hole=None)), "top plate"))
    assert_one_good_solid(solid)
    assert volume_mm3(solid) == pytest.approx(shell_mm3(180.0), rel=5e-6)


def place_of(vertex):
    return BRep_Tool.Pnt_s(TopoDS.Vertex_s(vertex))


def lens(radius=260.0, half=210.0, count=300):
    """Two equal arcs that meet in true corners at x = 0, y = APEX -/+ half."""
    off = (radius**2 - half**2) ** 0.5
    t = np.linspace(-np.arcsin(half / radius), np.arcsin(half / radius), count, endpoint=False)
    arc = np.column_stack([radius * np.cos(t) - off, radius * np.sin(t)])
    return np.concatenate([arc, -arc]) + np.array([0.0, APEX])


@pytest.mark.parametrize("facing", [-1, 1])
@pytest.mark.parametrize("hole", [None, (0.0, APEX, 50.0)])
def test_true_corners_stay_corners(facing, hole):
    plate = PlateShape("plate", facing, lens(), OUTER, INNER, hole, (0, 300))
    solid = reread(step_bytes(plate_solid(plate), "plate"))
    assert_one_good_solid(solid)
    # Wall corners stand at the lens's tips to 1e-5 mm on both faces: nothing is rounded off.
    found = np.array([(p.X(), p.Y()) for p in map(place_of, parts_of(solid, TopAbs_VERTEX))])
    for y in (APEX - 210.0, APEX + 210.0):
        assert np.sum(np.hypot(found[:, 0], found[:, 1] - y) < 1e-4) >= 2
    # Volume between concentric spheres over the lens, by scipy's adaptive double integral.
    off = (260.0**2 - 210.0**2) ** 0.5
    depth = lambda y, x: INNER.z(x, y) - OUTER.z(x, y)  # noqa: E731
    edge = lambda x: (260.0**2 - (x + off) ** 2) ** 0.5  # noqa: E731
    half, _ = dblquad(depth, 0.0, 260.0 - off, lambda x: APEX - edge(x), lambda x: APEX + edge(x), epsabs=1e-2)
    bored = shell_mm3(50.0) if hole else 0.0
    assert volume_mm3(solid) == pytest.approx(2 * half - bored, rel=2e-6)


def test_one_true_corner():
    """A drop: a corner of 90 degrees whose sides run into three quarters of a circle, flat: (3 pi / 4 + 1) r^2."""
    r, flat = 150.0, {"outer": Surface("plane", inf, 0, APEX, 0.0), "inner": Surface("plane", inf, 0, APEX, 2.6)}
    t = np.linspace(-pi / 4, 5 * pi / 4, 601)
    round_ = r * np.column_stack([np.cos(t), np.sin(t)]) + np.array([0.0, APEX])
    tip = np.array([(0.0, APEX - r * 2**0.5)])
    side = [tip + (p - tip) * k for p, k in ((round_[-1], s) for s in np.linspace(0, 1, 101)[-2:0:-1])]
    other = [tip + (round_[0] - tip) * s for s in np.linspace(0, 1, 101)[1:-1]]
    drop = np.concatenate([tip, *other, round_, *side])
    solid = plate_solid(top(outline=drop, hole=None, corners=(0,), **flat))
    assert volume_mm3(solid) == pytest.approx((3 * pi / 4 + 1) * r**2 * 2.6, rel=1e-5)


def test_a_round_hole_in_its_middle():
    solid = reread(step_bytes(plate_solid(top(outline=ring(), hole=(0.0, APEX, 50.0))), "top plate"))
    assert volume_mm3(solid) == pytest.approx(shell_mm3(180.0) - shell_mm3(50.0), rel=5e-6)


@pytest.mark.parametrize("facing", [-1, 1])
@pytest.mark.parametrize("hole", [None, (2.0, 330.0, 50.0)])
def test_a_plate_with_a_waist(facing, hole):
    shape = PlateShape("plate", facing, waisted(), OUTER, INNER, hole)
    solid = reread(step_bytes(plate_solid(shape), "plate"))
    assert_one_good_solid(solid)
    radii = sorted(r for _, r in spheres(solid))
    assert radii == pytest.approx([RADIUS - THICK, RADIUS], abs=1e-3)
    assert all(c == pytest.approx([0, APEX, RADIUS], abs=1e-3) for c, _ in spheres(solid))
    assert cylinder_radii(solid) == ([pytest.approx(50.0, abs=1e-6)] * 2 if hole else [])


@pytest.mark.parametrize(
    ("outer", "inner"),
    [
        (Surface("cylinder", 6000.0, 0, APEX, 6000.0), Surface("cylinder", 5997.4, 0, APEX, 6000.0)),
        (Surface("plane", inf, 0, APEX, 0.0), Surface("plane", inf, 0, APEX, 2.6)),
    ],
    ids=["cylinder", "flat"],
)
def test_plates_that_are_no_spheres(outer, inner):
    solid = reread(step_bytes(plate_solid(top(outer=outer, inner=inner)), "plate"))
    assert_one_good_solid(solid)
    vertices, faces = mesh(solid, 0.05)
    assert len(vertices) - len(faces) / 2 == 0  # Euler: a ring has genus one, V - E + F = V - F / 2 = 0


def test_a_flat_plate_weighs_area_times_thickness():
    """pi (180^2 - 50^2) * 2.6."""
    flat = {"outer": Surface("plane", inf, 0, 0, 0.0), "inner": Surface("plane", inf, 0, 0, 2.6)}
    solid = plate_solid(top(outline=ring(), hole=(20.0, 150.0, 50.0), **flat))
    assert volume_mm3(solid) == pytest.approx(pi * (180**2 - 50**2) * 2.6, rel=5e-6)


def test_the_rim_follows_the_outline():
    """Within 5 um of the circle the points were taken from, sampled on the wall itself."""
    off = []
    for f in faces_of(plate_solid(top(outline=ring(), hole=None))):
        wall = BRepAdaptor_Surface(f)
        if wall.GetType() == GeomAbs_BSplineSurface:
            for u in np.linspace(wall.FirstUParameter(), wall.LastUParameter(), 500).tolist():
                p = wall.Value(u, 0.5)
                off.append(hypot(p.X(), p.Y() - APEX) - 180.0)
    assert len(off) == 1000
    assert np.abs(off).max() < 0.005


# Two braces of a top that cross, worked out here by hand in the body's plan.

CROSSING, LENGTH, HALF_LAP = (0.0, 290.0), 360.0, 9.0


def crossing_brace(name, heading_deg, notches):
    """A brace whose middle lies over the crossing; bench frame by plain trigonometry."""
    h = (cos(radians(heading_deg)), sin(radians(heading_deg)))
    origin = (CROSSING[0] - LENGTH / 2 * h[0], CROSSING[1] - LENGTH / 2 * h[1])
    # In the plate frame u = -x; the lateral axis lies to the left of the heading there.
    hu, ou = -h[0], -origin[0]
    to_apex = (0.0 - ou, APEX - origin[1])
    along = to_apex[0] * hu + to_apex[1] * h[1]
    across = -to_apex[0] * h[1] + to_apex[1] * hu
    depth = RADIUS - np.sqrt((RADIUS - THICK) ** 2 - across**2)
    glue = Surface("sphere", RADIUS - THICK, along, across, RADIUS - depth)
    height = scalloped(LENGTH)
    return brace(
        height,
        falling(height, square=(155, 205)),
        gabled(8.0, 2.0),
        glue,
        LENGTH,
        name=name,
        notches=notches,
        origin=origin,
        heading=h,
        depth_mm=float(depth),
    )


def lapped_pair():
    """Headings 41 and 139 degrees, hence crossing at 98; walls 8.1 apart; both floors meet at one depth."""
    bass, treble = (crossing_brace("x", a, []) for a in (41.0, 139.0))
    floor_w = bass.glue_depth_mm + bass.glue.at(LENGTH / 2, 0.0) + HALF_LAP
    # Seen from inside the heading 41 runs at 139 and the other way about: left of one is 98 on from the other.
    low = notch(LENGTH / 2, floor_w - bass.glue_depth_mm, "plate", 180.0 - 98.0, 8.1)
    high = notch(LENGTH / 2, floor_w - treble.glue_depth_mm, "room", 98.0, 8.1)
    return crossing_brace("x-bass", 41.0, [low]), crossing_brace("x-treble", 139.0, [high])


def body_mesh(stick):
    """The brace in its place in the body, for manifold3d's booleans."""
    vertices, faces = mesh(brace_solid(stick), 0.01)
    body = FACE_DOWN.after(brace_placement(stick, -1))(vertices)
    return manifold3d.Manifold(manifold3d.Mesh(body.astype(np.float32), faces.astype(np.uint32)))


def test_half_laps_close_and_hold():
    bass, treble = lapped_pair()
    a, b = body_mesh(bass), body_mesh(treble)
    assert (a ^ b).volume() < 0.5
    # Without the laps the two would share a parallelogram prism of 8 * 8 / sin(98) * 16 mm3.
    whole = [body_mesh(crossing_brace("x", h, [])) for h in (41.0, 139.0)]
    assert (whole[0] ^ whole[1]).volume() == pytest.approx(8 * 8 / sin(radians(98)) * 16, rel=0.01)
    # They hold: half the clearance of 0.1 along a brace is free, then 8 mm of wall meets 9 mm of wood.
    along = np.array([cos(radians(41)), sin(radians(41)), 0])
    assert (a.translate(0.045 * along) ^ b).volume() < 0.01
    assert (a.translate(0.5 * along) ^ b).volume() == pytest.approx(
        (0.5 * sin(radians(98)) - 0.05) * 8 / sin(radians(98)) * 9, rel=0.03
    )
    # Lifted off its seat, the one that opens to the plate comes away freely.
    assert (a.translate([0, 0, -0.5]) ^ b).volume() < 0.01
    assert (a.translate([0, 0, 0.5]) ^ b).volume() > 20


def test_placed_glue_faces_lie_on_the_plates_inner_sphere():
    """The sphere of radius R - t about (0, apex, -R) in body axes, z up out of the top."""
    for stick in lapped_pair():
        points = glue_points(brace_solid(stick), stick.glue)
        body = FACE_DOWN.after(brace_placement(stick, -1))(points)
        off = np.linalg.norm(body - [0.0, APEX, -RADIUS], axis=1) - (RADIUS - THICK)
        assert np.abs(off).max() < 0.005
        assert body[:, 2].max() < -THICK + 1e-6


def test_a_top_brace_hangs_and_points_where_its_plan_says():
    stick = lapped_pair()[0]
    body = FACE_DOWN.after(brace_placement(stick, -1))
    start, end, high = body(np.array([[0.0, 0, 0], [LENGTH, 0, 0], [LENGTH / 2, 0, 10]]))
    assert degrees(atan2(end[1] - start[1], end[0] - start[0])) == pytest.approx(41.0)
    assert high[:2] == pytest.approx(CROSSING)
    assert high[2] < start[2]


def test_a_back_brace_stands():
    stick = crossing_brace("back 2", 0.0, [])
    motion = brace_placement(stick, 1)
    start, left, high = motion(np.array([[0.0, 0, 0], [0.0, 1, 0], [0.0, 0, 1]]))
    assert left - start == pytest.approx([0, 1, 0])
    assert high - start == pytest.approx([0, 0, 1])


def test_an_assembly_puts_every_part_in_its_place():
    pair = lapped_pair()
    data = plate_assembly("Fieldfare top", top(), [(b, brace_solid(b)) for b in pair], FACE_DOWN)
    parts = solids(reread(data))
    expected = [volume_mm3(plate_solid(top())), *(b.volume_mm3 for b in pair)]
    assert [volume_mm3(p) for p in parts] == pytest.approx(expected, rel=1e-6)
    for stick, part in zip(pair, parts[1:], strict=True):
        vertices, _ = mesh(part, 0.05)
        bench, _ = mesh(brace_solid(stick), 0.05)
        body = FACE_DOWN.after(brace_placement(stick, -1))(bench)
        assert vertices.mean(axis=0) == pytest.approx(body.mean(axis=0), abs=1e-3)
        assert np.abs(np.ptp(vertices, axis=0) - np.ptp(body, axis=0)).max() < 1e-4
        # It touches the inner sphere of the plate, and does not come through.
        depth = RADIUS - THICK - np.linalg.norm(vertices - [0.0, APEX, -RADIUS], axis=1)
        assert depth.min() == pytest.approx(0.0, abs=0.005)
    assert data == plate_assembly("Fieldfare top", top(), [(b, brace_solid(b)) for b in pair], FACE_DOWN)


def test_a_plate_faces_up_or_down():
    with pytest.raises(ValueError, match="faces"):
        PlateShape("plate", 0, waisted(), OUTER, INNER)

"""Tools put where they are used: they interfere with the wood by nothing and stand off it by exactly the clearance.

Sources: Boolean intersections by manifold3d of meshes made within 0.01 mm; distances between exact
shapes by the kernel's own extrema; closed forms of the notch and the pocket, which are prisms.
"""

from dataclasses import replace
from functools import cache
from math import cos, radians, sin, tan

import numpy as np
import pytest
from manifold3d import Manifold
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.GeomAbs import GeomAbs_BSplineSurface, GeomAbs_Plane
from support.designs import carved_of
from support.tool_parts import SETTINGS, brace, common_mm3, part, parts_of, piece_body, placed

from braces.curves.frames import Placement, stay
from braces.solids.brace import brace_solid
from braces.solids.check import faces_of, volume_mm3
from braces.solids.mesh import mesh
from braces.solids.tools.bodies import body, box, slab
from braces.solids.tools.placing import moved
from braces.solids.tools.pockets import home_of, shape_of
from braces.solids.tools.prism import prism
from braces.solids.tools.profiles import section_at, stations_of
from braces.solids.tools.registry import tool_parts

C, G = SETTINGS.clearance_mm, SETTINGS.gauge_mm
MESH_MM = 0.005
DEEP_MM = 1.0  #: into the pocket


@cache
def wood(name: str) -> Manifold:
    return body(*mesh(brace_solid(brace(name)), MESH_MM))


CAULS = [p for p in parts_of("fieldfare") if p.name.startswith("clamping-caul")]


@pytest.mark.parametrize("made", CAULS, ids=lambda p: p.name)
def test_a_clamping_caul_clears_its_brace_and_bears_when_pushed(made):
    """Lowered by 0.03 mm less than the clearance it is free, by 0.03 mm more it bites: the two meshes are off by half
    of that each. Its cheeks stand off the sides by the clearance itself."""
    stick, caul = wood(made.serves[0]), piece_body(made.pieces[0])
    assert common_mm3(placed(caul, made.home), stick) == 0
    assert common_mm3(placed(caul, made.home, (0, 0, -(C - 0.03))), stick) == 0
    assert common_mm3(placed(caul, made.home, (0, 0, -(C + 0.03))), stick) > 0.5
    cheeks = {
        round(abs(s.Plane().Location().Y()), 9)
        for f in faces_of(made.shape)
        if (s := BRepAdaptor_Surface(f)).GetType() == GeomAbs_Plane and abs(s.Plane().Axis().Direction().Y()) > 0.999
    }
    assert round(brace(made.serves[0]).width_mm / 2 + C, 9) in cheeks


@pytest.mark.parametrize("made", CAULS, ids=lambda p: p.name)
def test_the_floor_of_a_caul_is_the_top_of_the_brace_lifted(made):
    """Points of the exact faces against glue + height - drop * shape, to a hundredth of a micrometre."""
    b = brace(made.serves[0])
    shape = moved(made.shape, made.home)
    count = 0
    for face in faces_of(shape):
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() != GeomAbs_BSplineSurface:
            continue
        u = np.linspace(surface.FirstUParameter(), surface.LastUParameter(), 23)
        v = np.linspace(surface.FirstVParameter(), surface.LastVParameter(), 5)
        p = np.array([[(q := surface.Value(a, w)).X(), q.Y(), q.Z()] for a in u for w in v])
        if np.abs(p[:, 1]).max() > b.width_mm / 2 + C + 1e-9:
            continue  # a cheek
        y = np.clip(p[:, 1], -b.width_mm / 2, b.width_mm / 2)
        top = b.glue.z(p[:, 0], 0.0) + b.height(p[:, 0]) - b.drop(p[:, 0]) * b.shape(y)
        assert np.abs(p[:, 2] - top - C).max() < 1e-5
        count += 1
    assert count >= 3


@pytest.mark.parametrize("name", [p.name for p in parts_of("fieldfare") if p.name.startswith("carving-gauge")])
def test_a_carving_gauge_clears_its_brace(name):
    made = part(name)
    gauge = body(*mesh(made.shape, MESH_MM))
    stick = wood(made.serves[0])
    assert common_mm3(placed(gauge, made.home), stick) == 0
    assert common_mm3(placed(gauge, made.home, (0, 0, -(C - 0.03))), stick) == 0
    assert common_mm3(placed(gauge, made.home, (0, 0, -(C + 0.03))), stick) > 0.01


@pytest.mark.parametrize("name", ["carving-gauge-top-x-bass", "carving-gauge-top-tone-bar-1"])
def test_the_edge_of_a_carving_gauge_is_the_ridge_lifted(name):
    made = part(name)
    b = brace(made.serves[0])
    edges = [s for f in faces_of(made.shape) if (s := BRepAdaptor_Surface(f)).GetType() == GeomAbs_BSplineSurface]
    assert len(edges) == 1
    for u in np.linspace(edges[0].FirstUParameter(), edges[0].LastUParameter(), 101):
        p = edges[0].Value(u, 1.0)
        ridge = b.glue.at(p.X(), 0.0) + b.height.at(p.X())
        assert p.Y() == pytest.approx(ridge + C, abs=1e-5)


def test_features_of_the_x_can_be_read_off_the_carving_gauge():
    """The design file says: 16 mm at the crossing, valley 8.5, peak 13; feet on the plate."""
    made = part("carving-gauge-top-x-bass")
    b = brace("x-bass")
    by_kind = {f.kind: f for f in b.features}
    surface = next(s for f in faces_of(made.shape) if (s := BRepAdaptor_Surface(f)).GetType() == GeomAbs_BSplineSurface)
    us = np.linspace(surface.FirstUParameter(), surface.LastUParameter(), 4001)
    edge = np.array([[(p := surface.Value(u, 0.0)).X(), p.Y()] for u in us])
    for kind, height in (("top", 16.0), ("valley", 8.5), ("peak", 13.0)):
        x = by_kind[kind].at_mm
        z = float(np.interp(x, edge[:, 0], edge[:, 1]))
        assert z - b.glue.at(x, 0.0) - C == pytest.approx(height, abs=1e-3)


@pytest.mark.parametrize("name", ["x-bass", "x-treble"])
def test_a_notch_gauge_in_its_notch(name):
    """Lifted off the floor by a millimetre, the go tongue stands off each wall by half of the gauge's play; the no-go
    tongue in its place would overlap by as much; on the floor the edge of the brace lies between the steps."""
    made = next(p for p in parts_of("fieldfare") if p.name.startswith("notch-gauge") and p.serves == (name,))
    b = brace(name)
    notch = b.notches[0]
    away = 1.0 if notch.opens == "room" else -1.0
    lifted = Placement(stay().rotation, (0.0, 0.0, away)).after(made.home)
    exact = BRepExtrema_DistShapeShape(brace_solid(b), moved(made.shape, lifted))
    assert exact.Value() == pytest.approx(G / 2, abs=1e-6)

    gauge, stick = piece_body(made.pieces[0]), wood(name)
    assert common_mm3(placed(gauge, made.home, (0, 0, 1e-4 * away)), stick) == 0
    # Turned half round about the bar's middle and slid along the brace until the tongue meets the notch.
    own_angle = notch.angle_deg if notch.opens == "room" else 180 - notch.angle_deg
    middle = b.width_mm / 2 + C + 10.0
    slide = 2 * middle / tan(radians(own_angle))
    half_round = Placement(((-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)), (slide, 2 * middle, 0.0))
    turned = placed(gauge, made.home.after(half_round), (0, 0, 1e-4 * away))
    depth = dict(made.dimensions)["low step mm"]
    overlap = common_mm3(turned, stick)
    # Both sides together, over the width of the brace at the notch's angle.
    assert overlap == pytest.approx(G * b.width_mm / sin(radians(notch.angle_deg)) * depth, rel=0.02)

    top = b.glue.at(notch.at_mm, 0.0) + (b.height.at(notch.at_mm) if notch.opens == "room" else 0.0)
    steps = [dict(made.dimensions)[k] for k in ("low step mm", "high step mm")]
    assert abs(top - notch.floor_z_mm) == pytest.approx(notch.depth_mm, abs=1e-6)
    assert steps[0] < notch.depth_mm < steps[1]
    assert steps[0] == pytest.approx(notch.depth_mm - G, abs=0.02)  # the tilt of the glue face over a quarter width
    assert steps[1] == pytest.approx(notch.depth_mm + G, abs=0.02)


@pytest.mark.parametrize(
    "made", [p for p in parts_of("fieldfare") if p.name.startswith("pocket-gauge")], ids=lambda p: p.name
)
def test_a_pocket_gauge_in_its_pocket(made):
    """The go tongue fills the pocket, a prism over its corners, but for the play; the wood round it is left alone."""
    carved = carved_of("fieldfare")
    plate, placed_plate = (carved.top, carved.placed.top) if "-top-" in made.name else (carved.back, carved.placed.back)
    number = int(made.name.split("-")[3])
    pocket = next(p for p in plate.pockets if p.number == number)
    shape = shape_of(pocket, placed_plate.lining)
    void = slab(shape.corners, 0.0, pocket.height_mm)
    low, high = min(u for u, _ in shape.corners), max(u for u, _ in shape.corners)
    beyond = box((low, DEEP_MM, -1.0), (high, 40.0, 40.0))  # clear of the shoulders, which follow the lining
    tongue, inside = piece_body(made.pieces[0]) ^ beyond, void ^ beyond
    assert common_mm3(tongue, inside) == pytest.approx(tongue.volume(), rel=1e-9)  # nothing of it outside
    walls = [np.subtract(shape.corners[i + 1], shape.corners[i]) for i in (0, 2)]
    reach = [
        float(np.hypot(*w)) * (1 - DEEP_MM / w_n) for w, w_n in zip(walls, (abs(w[1]) for w in walls), strict=True)
    ]
    lost = sum(reach) * G / 2 + float(np.hypot(*np.subtract(shape.corners[2], shape.corners[1]))) * G
    assert inside.volume() / pocket.height_mm - tongue.volume() / (pocket.height_mm - G) == pytest.approx(
        lost, rel=0.06
    )
    corners = home_of(shape)(np.array([[*c, 0.0] for c in shape.corners]))[:, :2]
    assert sorted(map(tuple, np.round(corners, 6).tolist())) == sorted(
        (round(x, 6), round(y, 6)) for x, y in pocket.corners
    )


def test_a_pocket_jig_cuts_its_pocket():
    """What the window lets through is the pocket; the slot stops at its height."""
    carved = carved_of("fieldfare")
    for plate, placed_plate, hand in ((carved.top, carved.placed.top, -1.0), (carved.back, carved.placed.back, 1.0)):
        for pocket in plate.pockets:
            made = next(
                p for p in parts_of("fieldfare") if p.name.startswith(f"pocket-jig-{plate.name}-{pocket.number}-")
            )
            shape = shape_of(pocket, placed_plate.lining)
            jig = piece_body(made.pieces[0])
            way = slab([(hand * u, n) for u, n in shape.corners], -1.0, 6.0 + pocket.height_mm)
            assert common_mm3(jig, way) == pytest.approx(0, abs=1e-6)
            wider = slab([(1.02 * hand * u, n) for u, n in shape.corners], 1.0, 5.0)
            assert common_mm3(jig, wider) > 0.01
            stop = 6.0 + pocket.height_mm
            post = box((-0.2, -C - 2.5, stop - 0.5), (0.2, -C - 2.0, stop + 0.5))  # in the inner leg, under the slot
            assert common_mm3(jig, post) == pytest.approx(post.volume() / 2, rel=1e-6)


def test_a_section_gauge_stands_off_its_section_by_the_clearance():
    made = part("section-gauge-top-x-treble")
    b = brace("x-treble")
    gauge = made.pieces[0]
    pitch = b.width_mm + 2 * C + 8.0
    assert any(b.drop.at(x) < 1e-9 for x in stations_of(b))
    for k, x in enumerate(stations_of(b)):
        section = section_at(b, x)
        ring = [*section[:, 0], section[-1, -1]]
        middle = 8.0 + (pitch - 8.0) / 2 + k * pitch
        slope = float(b.glue.slope(x, 0.0)[1])
        aside, up = np.array([1.0, -slope]) / np.hypot(1, slope), np.array([slope, 1.0]) / np.hypot(1, slope)
        feet = [ring[-1] - up * ring[-1][1] / up[1], ring[0] - up * ring[0][1] / up[1]]
        wood_there = slab([(float(p[0]) + middle, float(p[1])) for p in [*ring, *feet]], 0.5, 2.0)
        solid = piece_body(gauge)
        assert common_mm3(solid, wood_there) == 0
        # Moved sideways a sloping shoulder meets the slot before the side does, so that is tried where it is square.
        moves = [up] if b.drop.at(x) > 1e-9 else [up, aside, -aside]
        for move in moves:
            for share, bites in ((0.98, False), (1.02, True)):
                shifted = wood_there.translate((*(move * C * share), 0.0))
                assert (common_mm3(solid, shifted) > 1e-6) == bites


def test_the_crossing_gauge_lies_between_the_legs():
    """Both sides of the wedge stand off the faces of the X by the clearance; the angle is the design's 98 degrees."""
    made = part("crossing-gauge-top-1-x")
    assert dict(made.dimensions)["included angle deg"] == pytest.approx(98.0, abs=1e-6)
    placed_gauge = moved(made.shape, made.home)
    for name in ("x-bass", "x-treble"):
        b = brace(name)
        x, y = b.origin_xy_mm
        hx, hy = b.heading_xy
        half, long = b.width_mm / 2, b.length_mm
        ring = [(0.0, -half), (long, -half), (long, half), (0.0, half)]
        corners = [(x + s * hx - t * hy, y + s * hy + t * hx) for s, t in ring]
        stick = prism(corners, 0.0, 4.0)
        assert BRepExtrema_DistShapeShape(stick, placed_gauge).Value() == pytest.approx(C, abs=1e-6)
    sights = placed_gauge
    corners = {(round(p[0], 6), round(p[1], 6)) for p in mesh(sights, 0.1)[0][:, :2].tolist()}
    on_centre = [c for c in corners if abs(c[0]) < 1e-6]
    assert len(on_centre) == 2


def test_strip_gauges_fit_the_gaps():
    carved = carved_of("fieldfare")
    for made in (p for p in parts_of("fieldfare") if p.name.startswith("strip-gauge")):
        sizes = dict(made.dimensions)
        walls = sorted(
            round(s.Plane().Location().Y(), 6)
            for f in faces_of(made.shape)
            if (s := BRepAdaptor_Surface(f)).GetType() == GeomAbs_Plane and abs(s.Plane().Axis().Direction().Y()) > 0.9
        )
        assert walls.count(round((sizes["gap mm"] - G) / 2, 6)) == 1
        assert walls.count(round((sizes["gap mm"] + G) / 2, 6)) == 1
    gaps = sorted(dict(p.dimensions)["gap mm"] for p in parts_of("fieldfare") if p.name.startswith("strip-gauge"))
    widths = sorted({b.width_mm + 0.2 for b in carved.back.braces})  # the design file: clearance 0.2 mm in all
    assert gaps == pytest.approx(widths, abs=1e-3)


def test_steps_of_the_height_gauge_stand_on_the_plate():
    """Each step at its own middle, above the sphere of the plate's inside."""
    made = part("height-gauge-top")
    radius = carved_of("fieldfare").placed.top.dome.inner_radius_mm
    heights = [v for _, v in made.dimensions]
    v = made.pieces[0].vertices
    half = np.ptp(v[:, 0]) / 2
    for k, height in enumerate(heights[:-1]):
        middle = -half + 12 * k + 6
        level = v[(np.abs(np.abs(v[:, 0] - middle) - 6) < 1e-6) & (v[:, 1] > 1.0)][:, 1]
        assert np.abs(level - (height + radius - (radius**2 - middle**2) ** 0.5)).min() < 1e-6


@cache
def stick_of(name: str, design: str) -> Manifold:
    return body(*mesh(brace_solid(brace(name, design)), MESH_MM))


def test_an_inlet_gauge_in_its_inlet():
    """Whimbrel's tone bar is let into the side of the X from the glue face. In place the go tongue touches nothing;
    it stands off both walls by half the play, off the inner end by the play, and its steps bracket the depth."""
    plate = carved_of("whimbrel").top
    b, notch = next((b, n) for b in plate.braces for n in b.notches if n.kind == "inlet")
    made = next(
        p for p in parts_of("whimbrel") if p.name.startswith("notch-gauge") and p.title.endswith(f"for {notch.with_}")
    )
    gauge, stick = piece_body(made.pieces[0]), stick_of(b.name, "whimbrel")
    assert common_mm3(placed(gauge, made.home, (0, 0, -1e-4)), stick) == 0
    along = (cos(radians(notch.angle_deg)), sin(radians(notch.angle_deg)))
    across = (-along[1], along[0])
    for sense in (1.0, -1.0):
        for share, bites in ((0.9, False), (1.2, True)):
            shift = (sense * share * G / 2 * across[0], sense * share * G / 2 * across[1], -1e-3)
            assert (common_mm3(placed(gauge, made.home, shift), stick) > 1e-4) == bites
    inwards = -1.0 if notch.y_from_mm > -b.width_mm / 2 else 1.0
    deeper = tuple(inwards * 1.3 * G / abs(along[1]) * v * (1.0 if along[1] > 0 else -1.0) for v in along)
    assert common_mm3(placed(gauge, made.home, (*deeper, -1e-3)), stick) > 1e-4
    steps = [dict(made.dimensions)[k] for k in ("low step mm", "high step mm")]
    assert steps[0] < notch.depth_mm < steps[1]


def test_the_gauge_of_a_notch_for_every_notch():
    """Every notch of every preset with notches of each kind has a gauge with its width and angle."""
    for name in ("whimbrel", "dunnock", "curlew"):
        gauges = [dict(p.dimensions) for p in parts_of(name) if p.name.startswith("notch-gauge")]
        for b in carved_of(name).braces:
            for n in b.notches:
                assert any(
                    abs(g["across mm"] - n.across_mm) < 0.01 and abs(g["angle deg"] - n.angle_deg) < 0.01
                    for g in gauges
                ), (name, b.name, n.kind)


BLANKS = replace(SETTINGS, cauls_on="blank")


def test_cauls_on_blanks_are_prisms_with_straight_floors():
    """Section: the bar's width by its height less the groove and two chamfers; less a pyramid of eight sides in each
    seat, 8 tan(22.5 deg) h^2 at its mouth and h deep (a third of base times height)."""
    for made in tool_parts(carved_of("fieldfare"), BLANKS, ("clamping-caul",)):
        sizes = dict(made.dimensions)
        b = brace(made.serves[0])
        wide, long = sizes["width mm"], sizes["to mm"] - sizes["from mm"]
        low, high, _ = (made.pieces[0].size_mm[2], b.width_mm + 2 * C, 0.0)
        section = wide * low - high * (1.5 + C) - 0.6**2
        seats = sum(1 for k in sizes if k.startswith("seat"))
        h = min(4.0, wide / 2 - 1.2)
        pit = 8 * tan(radians(22.5)) * h**3 / 3
        assert volume_mm3(made.shape) == pytest.approx(section * long - seats * pit, rel=1e-6), made.name


def test_a_flat_plate_gets_a_flat_sanding_block():
    """Wren's back is flat: a prism of the stated section, no radius."""
    made = part("sanding-caul-back", "wren")
    sizes = dict(made.dimensions)
    assert "radius mm" not in sizes
    section = sizes["channel mm"] * 12 + 2 * 4 * 22 + 2 * 14 * 8 - 2 * 3 * 0.6**2 / 2
    assert volume_mm3(made.shape) == pytest.approx(section * sizes["length mm"], rel=1e-9)


def test_volume_of_a_strip_gauge():
    """A prism: handle 56 x 24, tongues 20 long of both widths, 4 thick."""
    made = part("strip-gauge-back-16_2")
    assert volume_mm3(made.shape) == pytest.approx((56 * 24 + 20 * (16.1 + 16.3)) * 4, rel=1e-9)

"""Curved braces as solids. Outside checks: Pappus, the kernel's own volume and booleans, a fit of the glue face."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest
import trimesh
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.GeomAbs import GeomAbs_Cylinder, GeomAbs_Sphere
from solid_reading import assert_one_good_solid, reread
from solid_specimens import brace, level, scalloped
from support.curved import BENT_ROD, BOW, ROD, lapped, with_braces
from support.designs import carved_of, raw_of

from braces.carved.values import CarvedBrace
from braces.curves.course import between
from braces.curves.hermite import from_knots
from braces.curves.section import gabled, rounded
from braces.curves.surface import Along, Surface
from braces.solids.brace import brace_solid, build_brace
from braces.solids.check import VOLUME_RATIO, faces_of, glue_points, volume_mm3
from braces.solids.mesh import mesh
from braces.solids.plate import brace_placement
from braces.solids.step import location, step_bytes


def bow() -> CarvedBrace:
    return next(b for b in carved_of("curlew").braces if b.name == "upper bow")


def arc(radius: float, length: float, height: float, shape, drop: float = 0.0) -> CarvedBrace:
    """A level bar on a flat plate, bent."""
    tall = from_knots([0.0, length], [height, height])
    straight = brace(tall, level(tall, drop), shape, Surface("plane", inf, 0.0, 0.0, 0.0), length)
    chord = 2 * radius * np.sin(length / 2 / radius)
    glue = Along(straight.bed, between((0.0, 0.0), (float(chord), 0.0), radius))
    ends = {w: replace(getattr(straight, w), radius_mm=radius) for w in ("start", "end")}
    return replace(straight, glue=glue, radius_mm=radius, **ends)


@pytest.mark.parametrize("radius", [150.0, -220.0])
def test_pappus(radius: float) -> None:
    """Area of the section times the way of its centroid."""
    made = build_brace(arc(radius, 200.0, 12.0, gabled(8, 8)))
    assert volume_mm3(made) == pytest.approx(8 * 12 * 200.0, rel=1e-7)
    cap = build_brace(arc(radius, 200.0, 12.0, rounded(8), 4.0))
    assert volume_mm3(cap) == pytest.approx(8 * (12 - 4 / 3) * 200.0, rel=1e-7)


def test_the_preset_read_back_from_its_file() -> None:
    b = bow()
    shape = reread(step_bytes(brace_solid(b), b.name))
    assert_one_good_solid(shape)
    assert volume_mm3(shape) == pytest.approx(b.volume_mm3, rel=VOLUME_RATIO / 10)
    points = glue_points(shape, b.bed)
    assert np.abs(points[:, 2] - b.bed.z(points[:, 0], points[:, 1])).max() < 1e-5
    fit = np.linalg.lstsq(np.column_stack([2 * points, np.ones(len(points))]), np.sum(points**2, axis=1), rcond=None)[0]
    assert np.sqrt(fit[3] + fit[:3] @ fit[:3]) == pytest.approx(b.bed.radius_mm, rel=1e-3)


def test_its_sides_are_cylinders_about_the_bend() -> None:
    b = bow()
    kinds = [BRepAdaptor_Surface(f) for f in faces_of(brace_solid(b))]
    radii = sorted(k.Cylinder().Radius() for k in kinds if k.GetType() == GeomAbs_Cylinder)
    assert radii == pytest.approx([b.radius_mm - 6, b.radius_mm + 6], rel=1e-12)
    assert [k.Sphere().Radius() for k in kinds if k.GetType() == GeomAbs_Sphere] == [b.bed.radius_mm]


def test_its_mesh_is_closed() -> None:
    vertices, faces = mesh(brace_solid(bow()))
    body = trimesh.Trimesh(vertices, faces, process=False)
    assert body.is_watertight
    assert body.volume == pytest.approx(bow().volume_mm3, rel=1e-3)


@pytest.mark.parametrize("opens", ["bow", "rod"])
@pytest.mark.parametrize("other", [ROD, BENT_ROD], ids=["straight", "curved"])
def test_laps_claim_no_wood_twice(other: dict[str, object], opens: str) -> None:
    carved = lapped(other, opens)
    a, b = (next(x for x in carved.back.braces if x.name == n) for n in ("bow", "rod"))
    bodies = [brace_solid(x).Moved(location(brace_placement(x, 1))) for x in (a, b)]
    for body, x in zip(bodies, (a, b), strict=True):
        assert volume_mm3(body) == pytest.approx(x.volume_mm3, rel=VOLUME_RATIO / 10)
    assert volume_mm3(BRepAlgoAPI_Common(*bodies).Shape()) < 1e-6
    whole = [build_brace(replace(x, notches=())).Moved(location(brace_placement(x, 1))) for x in (a, b)]
    assert volume_mm3(BRepAlgoAPI_Common(*whole).Shape()) > 500
    # The slot in either takes the other with the play asked for: 0.1 mm, and what its sides bulge.
    for x, y in ((a, b), (b, a)):
        notch = next(n for n in x.notches if n.with_ == y.name)
        a_rad = np.radians(notch.angle_deg)
        # Half of what a slot covers of the other's side, and the rise of a chord so long.
        covers = (x.width_mm / 2 + y.width_mm / 2 * abs(np.cos(a_rad))) / np.sin(a_rad)
        bulge = covers**2 / 2 / (abs(y.radius_mm) - y.width_mm / 2)
        assert notch.across_mm - y.width_mm - 0.1 == pytest.approx(bulge, rel=0.1, abs=1e-9)


def test_a_bend_too_slight_to_see_is_the_straight_solid() -> None:
    height = scalloped(300.0)
    straight = brace(height, level(height), gabled(8, 8), Surface("sphere", 6000.0, 150.0, 40.0, 6000.0), 300.0)
    bent = replace(
        straight,
        glue=Along(straight.bed, between((0.0, 0.0), (300.0, 0.0), 1e8)),
        radius_mm=1e8,
        start=replace(straight.start, radius_mm=1e8),
        end=replace(straight.end, radius_mm=1e8),
    )
    assert volume_mm3(build_brace(bent)) == pytest.approx(
        volume_mm3(build_brace(straight)), rel=5e-6
    )  # the kernel integrates to 1e-6


@pytest.mark.parametrize("dome", [{"shape": "cylinder", "radius": "9 ft"}, {"shape": "flat"}], ids=["cylinder", "flat"])
def test_on_other_plates(dome: dict[str, str]) -> None:
    """Plates arched one way only, and flat ones; with a strip notch and a lap in the brace."""
    raw = raw_of("siskin")
    back = raw["back"] | {"dome": dome}
    back["centre_strip"] = back["centre_strip"] | {"at_braces": "brace relieved"}
    carved = with_braces(BOW, ROD, laps=[{"between": ["bow", "rod"], "opens_to_plate": "rod"}], back=back)
    b = next(x for x in carved.back.braces if x.name == "bow")
    assert {n.kind for n in b.notches} == {"half-lap", "strip"}
    shape = brace_solid(b)
    assert volume_mm3(shape) == pytest.approx(b.volume_mm3, rel=VOLUME_RATIO / 10)
    points = glue_points(shape, b.bed)
    assert np.abs(points[:, 2] - b.bed.z(points[:, 0], points[:, 1])).max() < 1e-5

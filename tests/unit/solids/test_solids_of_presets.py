"""Every brace of every instrument that comes with the program, as wood: sound, as heavy as stated, in its own place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations
from math import isinf
from typing import Any

import manifold3d
import numpy as np
import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from solid_reading import assert_one_good_solid, reread
from support.designs import carved_of

from braces.carved.caps import cap_wood
from braces.carved.values import CarvedBrace, CarvedPlate
from braces.curves.frames import Placement
from braces.design.load import preset_names
from braces.placed.dome import Dome
from braces.solids.brace import brace_solid, build_brace
from braces.solids.check import glue_points, volume_mm3
from braces.solids.mesh import mesh
from braces.solids.plate import brace_placement
from braces.solids.step import step_bytes

Change = tuple[str, str]


@dataclass(frozen=True, slots=True, eq=False)
class Made:
    """One brace with its solid and the way to its plate's frame."""

    brace: CarvedBrace
    solid: Any
    to_plate: Placement


@cache
def made(plate_name: str, name: str, *changes: Change) -> tuple[Made, ...]:
    carved = carved_of(name, *changes)
    plate: CarvedPlate = carved.top if plate_name == "top" else carved.back
    facing = -1 if plate_name == "top" else 1
    return tuple(Made(b, brace_solid(b), brace_placement(b, facing)) for b in plate.braces)


@pytest.fixture(scope="module", params=preset_names())
def preset(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module", params=["top", "back"])
def plate(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_every_brace_is_one_closed_valid_solid_of_the_stated_volume(preset, plate):
    """The stated volume is a quadrature made without the kernel."""
    for m in made(plate, preset):
        assert_one_good_solid(m.solid)
        assert volume_mm3(m.solid) == pytest.approx(m.brace.volume_mm3, rel=1e-6), m.brace.name


@pytest.mark.slow
def test_a_reader_finds_the_same_solids_in_the_files(preset, plate):
    for m in made(plate, preset):
        read_back = reread(step_bytes(m.solid, m.brace.name))
        assert_one_good_solid(read_back)
        assert volume_mm3(read_back) == pytest.approx(m.brace.volume_mm3, rel=1e-5), m.brace.name


def off_the_plate_mm(points: np.ndarray, dome: Dome) -> float:
    """Furthest that points in a plate's frame stand off its glue side, from the words of the design.

    The outer face is a sphere of the dish's radius that touches w = 0 under the apex; the glue side is concentric
    with it and one thickness nearer to its centre. A flat plate's glue side lies one thickness into the room.
    """
    if isinf(dome.radius_mm):
        return float(np.abs(points[:, 2] - dome.thickness_mm).max())
    from_centre = np.linalg.norm(points - [0.0, dome.apex_y_mm, dome.radius_mm], axis=1)
    return float(np.abs(from_centre - (dome.radius_mm - dome.thickness_mm)).max())


def test_placed_glue_faces_lie_on_the_plates_glue_side(preset, plate):
    dome = getattr(carved_of(preset).placed, plate).dome
    for m in made(plate, preset):
        points = m.to_plate(glue_points(m.solid, m.brace.bed))
        assert len(points) > 20
        assert off_the_plate_mm(points, dome) < 0.005, m.brace.name


def in_place(m: Made) -> manifold3d.Manifold:
    vertices, faces = mesh(m.solid, 0.05)
    body = manifold3d.Manifold(manifold3d.Mesh64(m.to_plate(vertices), faces.astype(np.uint64)))
    assert body.status() == manifold3d.Error.NoError
    return body


def shared_mm3(bodies: list[manifold3d.Manifold]) -> float:
    """Wood that two bodies claim, over all pairs whose boxes meet; by manifold3d, on the triangles."""
    boxes = [np.array(b.bounding_box()).reshape(2, 3) for b in bodies]
    total = 0.0
    for (a, box_a), (b, box_b) in combinations(zip(bodies, boxes, strict=True), 2):
        if np.all(np.maximum(box_a[0], box_b[0]) < np.minimum(box_a[1], box_b[1])):
            total += (a ^ b).volume()
    return total


@pytest.mark.slow
def test_no_two_braces_of_a_plate_claim_the_same_wood(preset, plate):
    assert shared_mm3([in_place(m) for m in made(plate, preset)]) < 0.5


@pytest.mark.parametrize(
    ("name", "brace"), [("fieldfare", "x-bass"), ("whimbrel", "x-treble"), ("goshawk", "lattice-a5")]
)
def test_a_brace_left_whole_where_others_cross_is_noticed(name, brace):
    """So that the test above can fail: without its notches a brace claims the wood of those that it meets."""
    whole = [
        replace(m, solid=build_brace(replace(m.brace, notches=()))) if m.brace.name == brace else m
        for m in made("top", name)
    ]
    assert shared_mm3([in_place(m) for m in whole]) > 20


def test_an_inlet_takes_the_end_of_its_guest_and_no_more():
    """The tone bar's end is 8 mm wide and its inlet 8.1 mm; it is let in by the whole depth."""
    host, guest = (next(m for m in made("top", "whimbrel") if m.brace.name == n) for n in ("x-treble", "tone bar 1"))
    cut = next(n for n in host.brace.notches if n.kind == "inlet")
    whole = replace(host, solid=build_brace(replace(host.brace, notches=())))
    inside = in_place(whole) ^ in_place(guest)
    taken = volume_mm3(whole.solid) - volume_mm3(build_brace(replace(host.brace, notches=(cut,))))
    assert 0 < inside.volume() < taken
    assert inside.volume() == pytest.approx(taken * 8.0 / 8.1, rel=0.02)


def middle_mm(m: Made) -> np.ndarray:
    """Centre of mass in the plate's frame."""
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(m.solid, found, 1e-6)
    at = found.CentreOfMass()
    return m.to_plate(np.array([[at.X(), at.Y(), at.Z()]]))[0]


@pytest.mark.parametrize("plate_name", ["top", "back"])
def test_a_left_handed_instrument_is_the_mirror_image_in_wood(plate_name):
    """Reflection in the plane x = 0: it keeps volumes and turns centres of mass over."""
    left_handed = ('handed = "right"', 'handed = "left"')
    rights, lefts = made(plate_name, "fieldfare"), made(plate_name, "fieldfare", left_handed)
    assert [m.brace.name for m in rights] == [m.brace.name for m in lefts]
    for right, left in zip(rights, lefts, strict=True):
        assert volume_mm3(left.solid) == pytest.approx(volume_mm3(right.solid), rel=1e-9)
        assert middle_mm(left) == pytest.approx(middle_mm(right) * [-1, 1, 1], abs=1e-5), right.brace.name


def low_ends_mm(brace: CarvedBrace) -> float:
    return min(brace.start.height_mm, brace.end.height_mm)


VARIANTS: dict[str, tuple[str, Change, Callable[[CarvedBrace], bool]]] = {
    "feathered to 0.3 mm": (
        "fieldfare",
        ('kind = "feathered", height = "2 mm", ', 'kind = "feathered", '),
        lambda b: b.end.kind == "feathered" and low_ends_mm(b) == pytest.approx(0.3),
    ),
    "free to 0.3 mm": (
        "redstart",
        ('kind = "free", height = "1.5 mm"', 'kind = "free", height = "0.3 mm"'),
        lambda b: b.end.kind == "free" and low_ends_mm(b) == pytest.approx(0.3),
    ),
    "cylinder": (
        "dunnock",
        ('shape = "sphere", radius = "40 ft"', 'shape = "cylinder", radius = "40 ft"'),
        lambda b: b.glue.kind == "cylinder",
    ),
    "flat": (
        "curlew",
        ('shape = "sphere", radius = "28 ft", apex = "at the saddle"', 'shape = "flat"'),
        lambda b: b.glue.kind == "plane" and bool(b.notches),
    ),
    "cut-out to the room": (
        "whimbrel",
        ('depth = "7 mm", opens_to = "plate"', 'depth = "7 mm", opens_to = "room"'),
        lambda b: any(n.kind == "cut-out" and n.opens == "room" for n in b.notches),
    ),
}


@pytest.mark.parametrize(("name", "change", "is_meant"), VARIANTS.values(), ids=VARIANTS)
def test_variants_that_no_preset_has(name, change, is_meant):
    sticks = made("top", name, change)
    assert any(is_meant(m.brace) for m in sticks)
    for m in sticks:
        assert_one_good_solid(m.solid)
        assert volume_mm3(m.solid) == pytest.approx(m.brace.volume_mm3, rel=1e-6), m.brace.name


def test_a_cap_lies_on_its_lap_and_claims_no_wood_of_the_braces():
    """A slab of 40 x 8 x 1.5 mm; lifted off it touches nothing, pressed down by 0.2 mm it claims 0.2 mm of its bed."""
    carved = carved_of("whimbrel")
    (cap,) = carved.top.caps
    brace = next(b for b in carved.top.braces if b.name == cap.along)
    wood = cap_wood(cap, brace)
    solid = brace_solid(wood)
    assert_one_good_solid(reread(step_bytes(solid, cap.name)))
    assert volume_mm3(solid) == pytest.approx(40 * 8 * 1.5, rel=1e-6)
    sticks = [in_place(m) for m in made("top", "whimbrel") if m.brace.name in (cap.along, cap.across)]
    placed = in_place(Made(wood, solid, brace_placement(wood, -1)))
    assert sum((placed ^ s).volume() for s in sticks) < 2.0  # the meshes' tolerance of 0.05 mm, on 320 mm2
    pressed = placed.translate((0.0, 0.0, -0.2))
    claimed = sum((pressed ^ s).volume() for s in sticks)
    gap = 2 * 8.0 * 0.05 / np.sin(np.radians(79))  # the play of the lap, half on either side
    assert claimed == pytest.approx(0.2 * (40 * 8 - gap), rel=0.1)

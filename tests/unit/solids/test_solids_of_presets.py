"""Every brace of every instrument that comes with the program, as wood: sound, as heavy as stated, in its own place."""

from __future__ import annotations

from dataclasses import dataclass
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

from braces.carved.values import CarvedBrace, CarvedPlate
from braces.curves.frames import Placement
from braces.design.load import preset_names
from braces.placed.dome import Dome
from braces.solids.brace import brace_solid
from braces.solids.check import glue_points, volume_mm3
from braces.solids.mesh import mesh
from braces.solids.plate import brace_placement
from braces.solids.step import step_bytes

SPHERE = '[top]\n'
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
        points = m.to_plate(glue_points(m.solid, m.brace.glue))
        assert len(points) > 20
        assert off_the_plate_mm(points, dome) < 0.005, m.brace.name


def in_place(m: Made) -> manifold3d.Manifold:
    vertices, faces = mesh(m.solid, 0.02)
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

"""Triangles of a solid: closed for two independent libraries, and close to the wood."""

import manifold3d
import numpy as np
import pytest
import trimesh
from solid_specimens import barrel, brace, dome, level, notch, scalloped, x_bass

from braces.curves.section import gabled, rounded
from braces.solids.brace import brace_solid
from braces.solids.mesh import is_closed, mesh

STICKS = {
    "gabled": x_bass(),
    "rounded": x_bass(shape=rounded(8), notches=[notch(250.0, 9.0, "plate")]),
    "barrel": x_bass(glue=barrel(37.0)),
    "square": brace(scalloped(500.0), level(scalloped(500.0)), gabled(8, 8), dome(), 500.0),
}


@pytest.mark.parametrize("stick", STICKS.values(), ids=STICKS)
def test_watertight_and_true(stick):
    vertices, faces = mesh(brace_solid(stick), 0.02)
    body = trimesh.Trimesh(vertices, faces, process=False)
    assert body.is_watertight
    assert body.is_winding_consistent
    solid = manifold3d.Manifold(manifold3d.Mesh(vertices.astype(np.float32), faces.astype(np.uint32)))
    assert solid.status() == manifold3d.Error.NoError
    # Flat triangles within 0.02 mm of the surface: at most that much times the area.
    assert abs(body.volume - stick.volume_mm3) < 0.02 * body.area
    assert solid.volume() == pytest.approx(body.volume, rel=1e-5)


def test_vertices_on_the_glue_face_are_on_the_dome():
    stick = x_bass()
    vertices, _ = mesh(brace_solid(stick), 0.02)
    low = vertices[np.abs(vertices[:, 2] - stick.glue.z(vertices[:, 0], vertices[:, 1])) < 0.5]
    assert len(low) > 40
    assert np.abs(low[:, 2] - stick.glue.z(low[:, 0], low[:, 1])).max() < 1e-5


def test_a_finer_tolerance_is_finer():
    solid = brace_solid(STICKS["square"])
    coarse, fine = (len(mesh(solid, t)[1]) for t in (0.1, 0.01))
    assert fine > 2 * coarse


def test_a_missing_or_turned_triangle_is_noticed():
    _, faces = mesh(brace_solid(STICKS["square"]), 0.1)
    assert is_closed(faces)
    assert not is_closed(faces[1:])
    turned = faces.copy()
    turned[0] = turned[0, ::-1]
    assert not is_closed(turned)

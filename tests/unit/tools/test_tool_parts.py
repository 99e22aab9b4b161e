"""What every part of every preset must be: one valid solid, closed meshes, printable as it lies, within the bed."""

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
import trimesh
from manifold3d import Error
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.TopAbs import TopAbs_SOLID
from support.designs import carved_of
from support.tool_parts import SETTINGS, part, parts_of, piece_body

from braces.design.load import preset_names
from braces.solids.check import free_edge_count, volume_mm3
from braces.solids.check import parts_of as shapes_of
from braces.solids.mesh import mesh
from braces.solids.stl import stl_bytes
from braces.solids.tools.checks import overhangs, thinnest_mm
from braces.solids.tools.registry import TOOLS, chosen, tool_parts
from braces.solids.tools.settings import BED_MARGIN_MM, LEAST_WALL_MM

MARK_MM3_PER_MM2 = 0.5  #: a mark is half a millimetre deep


@pytest.mark.parametrize("name", sorted(preset_names()))
def test_every_part_is_one_valid_solid_and_its_pieces_are_printable(name):
    parts = parts_of(name)
    assert len({p.name for p in parts}) == len(parts)
    room = max(SETTINGS.bed_mm[:2]) - 2 * BED_MARGIN_MM + 1e-6
    for made in parts:
        assert sum(1 for _ in shapes_of(made.shape, TopAbs_SOLID)) == 1, made.name
        assert free_edge_count(made.shape) == 0, made.name
        assert BRepCheck_Analyzer(made.shape).IsValid(), made.name
        assert volume_mm3(made.shape) > 0, made.name
        for piece in made.pieces:
            assert piece_body(piece).status() == Error.NoError, piece.name
            read = trimesh.load(BytesIO(stl_bytes(piece.vertices, piece.faces)), file_type="stl")
            assert read.is_watertight, piece.name
            assert read.volume == pytest.approx(piece.volume_mm3, rel=1e-4), piece.name
            assert piece.vertices[:, 2].min() == 0, piece.name
            if made.printed:
                assert max(piece.size_mm[:2]) <= room, piece.name
                assert not len(leaning(made, piece)), piece.name


def leaning(made, piece):
    """Triangles that lean out too far; level ones do not count where the part says that it has bridges."""
    found = overhangs(piece.vertices, piece.faces)
    if not made.bridges:
        return found
    heights = piece.vertices[piece.faces[found], 2]
    return found[np.ptp(heights, axis=1) > 1e-6]


def test_a_part_says_what_it_bridges_only_where_it_does():
    for made in parts_of("fieldfare"):
        if made.bridges:
            assert any(len(overhangs(p.vertices, p.faces)) for p in made.pieces), made.name


@pytest.mark.parametrize("made", parts_of("fieldfare"), ids=lambda p: p.name)
def test_the_marks_take_little_and_the_mesh_is_that_of_the_solid(made):
    """Volumes of solid and printed pieces differ by marks, dowel holes and chords only."""
    exact = volume_mm3(made.shape)
    if len(made.pieces) == 1:
        assert made.volume_mm3 <= exact + 0.002 * exact
        assert made.volume_mm3 > 0.96 * exact


@pytest.mark.parametrize("made", parts_of("fieldfare"), ids=lambda p: p.name)
def test_walls_can_be_printed(made):
    """Two passes of a 0.4 mm nozzle: common practice. The unmarked solid is measured: lands between the strokes of a
    mark are only as high as the mark is deep."""
    assert thinnest_mm(*mesh(made.shape, 0.05), 2 * LEAST_WALL_MM) >= LEAST_WALL_MM


def test_every_tool_of_the_registry_makes_something_for_a_guitar():
    for tool in TOOLS:
        assert any(True for _ in tool_parts(carved_of("fieldfare"), SETTINGS, (tool.key,))), tool.key
    assert len(parts_of("fieldfare")) >= 20
    assert [t.key for t in chosen(("strip-gauge", "go-bar"))] == ["strip-gauge", "go-bar"]
    with pytest.raises(KeyError):
        chosen(("spoon",))


def test_a_smaller_bed_makes_more_pieces_of_the_same_length():
    small = replace(SETTINGS, bed_mm=(150.0, 150.0, 150.0))
    made = next(iter(tool_parts(carved_of("fieldfare"), small, ("sanding-caul",))))
    whole = part("sanding-caul-top")
    assert len(whole.pieces) == 2
    assert len(made.pieces) == 3
    assert sum(p.size_mm[0] for p in made.pieces) == pytest.approx(sum(p.size_mm[0] for p in whole.pieces))
    assert max(p.size_mm[0] for p in made.pieces) <= 144


def test_pieces_of_a_split_part_meet_again():
    """The holes of both pieces face each other: cut faces are mirror images in area."""
    a, b = part("sanding-caul-top").pieces
    faces = []
    for piece, x in ((a, a.vertices[:, 0].max()), (b, b.vertices[:, 0].min())):
        on = np.all(np.abs(piece.vertices[piece.faces][:, :, 0] - x) < 1e-9, axis=1)
        p = piece.vertices[piece.faces[on]]
        faces.append(np.linalg.norm(np.cross(p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]), axis=1).sum() / 2)
    assert faces[0] == pytest.approx(faces[1], rel=1e-9)

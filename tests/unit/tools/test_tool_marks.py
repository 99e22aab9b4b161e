"""What is engraved: every printed part says what it is, legibly."""

from dataclasses import replace

import pytest
from support.designs import carved_of
from support.tool_parts import SETTINGS, parts_of

from braces.design.load import preset_names
from braces.solids.tools.bodies import DEPTH_MM, Mark, box, engraved, set_text, triangles
from braces.solids.tools.checks import overhangs
from braces.solids.tools.registry import tool_parts
from braces.solids.tools.settings import LEAST_TEXT_MM


@pytest.mark.parametrize("name", sorted(preset_names()))
def test_every_printed_part_names_the_instrument_and_its_revision(name):
    design = carved_of(name).placed.design
    for made in parts_of(name):
        found = [set_text(m) for m in made.marks]
        words = {w for text, _ in found for w in text.split()}
        assert all(not height or height >= LEAST_TEXT_MM for _, height in found), made.name
        if made.printed:
            assert design.revision in words or design.name in words, made.name


def test_most_parts_carry_the_design_s_hash_too():
    marked = replace(SETTINGS, mark="ab12cd34")
    parts = [p for p in tool_parts(carved_of("fieldfare"), marked) if p.printed]
    without = [p.name for p in parts if not any("ab12cd34" in set_text(m)[0] for m in p.marks)]
    assert len(without) <= 0.05 * len(parts), without


def test_radii_are_engraved():
    for made in parts_of("fieldfare"):
        radius = dict(made.dimensions).get("radius mm")
        if radius is not None:
            assert any(f"R {radius:.1f}" in set_text(m)[0].replace("\n", " ") for m in made.marks), made.name


def test_words_on_the_front_can_be_printed_without_support():
    """All letters there are, on an upright wall: nothing leans out by more than 45 degrees but the level roofs of
    strokes, which are half a millimetre deep."""
    words = "ABCDEFGHIJKLM\nNOPQRSTUVWXYZ\n0123456789\n- + / . = < >"
    wall = engraved(box((0, 0, 0), (120, 5, 60)), [Mark(words, (60, 0, 30), (110, 50), 6.0, face="front")])
    vertices, faces = triangles(wall)
    found = overhangs(vertices, faces)
    heights = vertices[faces[found], 2]
    assert len(found)
    assert (heights.max(axis=1) - heights.min(axis=1)).max() < 1e-6
    assert vertices[faces[found], 1].max() <= DEPTH_MM + 1e-9

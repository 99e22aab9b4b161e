"""The rim and the air in the box: what they say of real designs, and what they refuse."""

from __future__ import annotations

from math import pi

import pytest
from support.designs import carved_of, design_of, placed_of

from braces.workshop.box import LIMITS, box_air, helmholtz_hz, neck_lengths_mm
from braces.workshop.edges import SPARE_MM, EdgeSpec, edge_strips
from braces.workshop.faces import back_glue_z_mm, gap_mm, slopes_deg, top_glue_z_mm
from braces.workshop.habits import thickness_notes
from braces.workshop.rim import FlatBout, RimSpec, rim
from braces.workshop.tape import tapes

PRESETS = ("fieldfare", "dunnock", "curlew", "goshawk", "linnet", "redstart", "whimbrel", "wren")


@pytest.mark.parametrize("name", PRESETS)
def test_every_preset_has_a_rim(name: str) -> None:
    made = rim(placed_of(name))
    assert made.alike
    assert [s.name for s in made.sides] == ["bass", "treble"]
    for side in made.sides:
        assert side.inside_mm < side.length_mm < side.outside_mm
        assert side.outside_mm - side.inside_mm == pytest.approx(pi * placed_of(name).design.body.side_mm, abs=1e-6)
        kinds = [m.kind for m in side.marks]
        assert kinds == ["tail", "tail block", "lower bout", "waist", "upper bout", "neck block", "neck end"]
        assert side.marks[0].along_mm == pytest.approx(0.0, abs=1e-9)
        assert side.marks[-1].along_mm == pytest.approx(side.length_mm, abs=1e-6)


def test_depth_less_plates_is_the_height_at_the_ends() -> None:
    """The file gives depths over both plates; between plates a side is lower by their thicknesses, cos of slopes."""
    placed = placed_of("fieldfare")
    body = placed.design.body
    plates = placed.design.top.thickness_mm + placed.design.back.thickness_mm
    for mark, depth in (("tail", body.depth.tail_mm), ("neck end", body.depth.neck_mm)):
        height = next(m for m in rim(placed).side("bass").marks if m.kind == mark).height_mm
        assert height == pytest.approx(depth - plates, abs=0.03)
        assert height < depth - plates  # a sloping plate is thicker along an upright line


def test_blocks_lean_as_the_domes_do() -> None:
    placed = placed_of("fieldfare")
    tail, neck = rim(placed).blocks
    for block, y, way in ((tail, placed.design.body.side_mm, 1), (neck, 482 - placed.design.body.side_mm, -1)):
        assert block.outer_height_mm == pytest.approx(gap_mm(placed, 0.0, y), abs=1e-9)
        top, back = slopes_deg(placed, 0.0, y + way * block.thickness_mm / 2)
        assert block.top_bevel_deg == pytest.approx(way * top[1], abs=1e-3)
        assert block.back_bevel_deg == pytest.approx(-way * back[1], abs=1e-3)


def test_no_block_without_thickness() -> None:
    assert [b.name for b in rim(placed_of("fieldfare", ('tail_block = "19 mm"', 'tail_block = "0 mm"'))).blocks] == [
        "neck block"
    ]


def test_a_flat_bout_off_the_body_is_refused() -> None:
    with pytest.raises(ValueError, match="no body"):
        rim(placed_of("fieldfare"), RimSpec(flat_bout=FlatBout(600.0)))


def test_tapes_cover_all_pockets_once_between_the_blocks() -> None:
    for name in PRESETS:
        carved = carved_of(name)
        found = [(p.plate, p.number) for t in tapes(carved) for p in t.pockets]
        assert sorted(found) == sorted((p.plate, p.number) for plate in carved.plates for p in plate.pockets)
        for tape in tapes(carved):
            assert 0 < tape.tail_block_mm < tape.neck_block_mm < tape.along_mm[-1]
            assert all(p.to_mm > p.from_mm for p in tape.pockets)


def test_air_of_the_box_is_between_its_bounds() -> None:
    carved = carved_of("fieldfare")
    air = box_air(carved)
    assert 0.03 < air.wood_mm3 / air.inside_mm3 < 0.12
    assert air.lowest_hz is not None
    assert air.highest_hz is not None
    assert air.lowest_hz < air.highest_hz
    assert air.limits == LIMITS
    # Warmer air is quicker by half a degree's share: 331.3 sqrt(1 + t/273.15).
    warm = box_air(carved, 30.0).lowest_hz
    assert warm is not None
    assert warm / air.lowest_hz == pytest.approx((303.15 / 293.15) ** 0.5, rel=1e-12)


def test_a_thick_plate_and_a_small_hole_lower_the_pitch() -> None:
    assert helmholtz_hz(100.0, 1e6, 60.0) < helmholtz_hz(100.0, 1e6, 50.0)
    short, long = neck_lengths_mm(50.0, 0.0)
    assert pi * 50.0**2 / short == pytest.approx(2 * 50.0)  # conductivity of a hole in a plate without thickness: 2 r
    assert long > short


def test_strips_for_the_edges() -> None:
    placed = placed_of("fieldfare")
    strips = edge_strips(placed)
    assert len(strips) == 8
    binding, purfling = strips[0], strips[4]
    assert binding.cut_mm == binding.length_mm + SPARE_MM
    # Parallel curves: half a turn times the distance between them, 1 mm to 2.75 mm in.
    assert binding.length_mm - purfling.length_mm == pytest.approx(pi * 1.75, abs=0.05)
    assert edge_strips(placed, EdgeSpec(0.0, 0.0)) == ()


def test_faces_agree_with_the_gap() -> None:
    import numpy as np

    placed = placed_of("dunnock")
    at = np.array([[30.0, 200.0]])
    assert gap_mm(placed, 30.0, 200.0) == pytest.approx(
        float(top_glue_z_mm(placed, at)[0] - back_glue_z_mm(placed, at)[0]), abs=1e-12
    )


def test_usual_thicknesses_pass_and_others_are_named() -> None:
    assert thickness_notes(design_of("fieldfare")) == ()
    thick = thickness_notes(design_of("fieldfare", ('side       = "0.080 in"', 'side       = "3.2 mm"')))
    assert len(thick) == 1
    assert "3.2" in thick[0]
    assert "side" in thick[0]

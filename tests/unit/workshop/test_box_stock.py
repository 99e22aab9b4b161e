"""The stock of the box: every finished piece can be cut from its blank."""

import pytest
from support.designs import carved_of

from braces.app.workshop import bench_of
from braces.design.load import preset_names
from braces.workshop.box_stock import ENDS_MM, ROUND_MM, box_stock


@pytest.mark.parametrize("name", preset_names())
def test_blanks_hold_what_is_cut_from_them(name: str) -> None:
    carved = carved_of(name)
    made = bench_of(carved)
    assert made.rim is not None
    pieces = {p.piece: p for p in box_stock(carved, made)}
    for plate in carved.placed.plates:
        halves, (x, y) = pieces[f"halves of the {plate.name}"], plate.outline.dense().T
        long, wide, thick = halves.size_mm
        assert halves.count == 2
        assert long == pytest.approx(float(y.max() - y.min()) + 2 * ROUND_MM)
        assert 2 * wide >= float(x.max() - x.min()) + 2 * ROUND_MM - 1e-9
        assert thick == plate.spec.thickness_mm
    long, high, _ = pieces["sides"].size_mm
    for side in made.rim.sides:
        assert long >= side.outside_mm + 2 * ENDS_MM - 1e-9
        assert high >= float(side.height_mm.max()) + 2 * made.rim.spec.sanding_mm - 1e-9
    assert pieces["linings"].count == 4
    for block in made.rim.blocks:
        assert pieces[block.name].size_mm[2] > max(block.outer_height_mm, block.inner_height_mm)

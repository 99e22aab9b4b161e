"""How plates follow the air: the handbook's numbers, put together by hand."""

import pytest

from braces.design.woods import wood
from braces.mechanics.movement import plate_movement


def test_a_top_swells_by_the_handbooks_coefficient(fieldfare):
    rows = {round(100 * a.humidity_fraction): a for a in plate_movement(fieldfare, wood)}
    # Wood Handbook table 4-2 at 21.1 deg C; at 20 deg C within 0.1.
    for humidity, percent in ((25, 5.4), (45, 8.5), (65, 12.0), (75, 14.4)):
        assert 100 * rows[humidity].moisture_fraction == pytest.approx(percent, abs=0.12)
    # Table 13-5: Engelmann spruce 0.00130 radially for each 1 %, lower bout 376 mm: 376 x 0.0013 x 3.5 = 1.71 mm.
    assert rows[65].top_mm == pytest.approx(376 * 0.0013 * 3.5, abs=0.06)
    assert rows[45].top_mm == rows[45].back_mm == 0
    assert rows[25].top_mm < 0 < rows[75].back_mm


def test_a_wood_whose_movement_is_not_known_is_left_out(fieldfare):
    from dataclasses import replace

    rows = plate_movement(fieldfare, lambda name: replace(wood(name), movement=None))
    assert all(a.top_mm is None and a.back_mm is None for a in rows)
